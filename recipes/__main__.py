"""The command line: `lamwright`, also `python -m recipes`. It only calls the recipes."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Sequence
from types import ModuleType
from typing import NoReturn


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; return the exit status (0 fine, 1 a `stop` finding, 2 bad input)."""
    _begin_soon()
    from recipes.cli.commands import run

    try:
        return run(list(sys.argv[1:] if argv is None else argv))
    except BrokenPipeError:
        # Whoever read our output has had enough; what is still buffered has nowhere to go.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        print("\nstopped; nothing was replaced", file=sys.stderr)
        return 130


def entry() -> NoReturn:
    """Run the command of this process and end it at once.

    All work is done and everything is written when `main` returns; taking every module apart, as
    an interpreter does at its end, would take a tenth of a quick look.
    """
    status = main()
    try:
        sys.stdout.flush()
        sys.stderr.flush()
    except BrokenPipeError:
        status = 0  # as in `main`: the reader has had enough
    os._exit(status)


def _begin_soon() -> None:
    """Leave out what costs a fifth of a quick look and serves nobody here.

    pydantic looks for plugins in the metadata of every installed package: there is none to find.
    The collector of circular garbage goes over all modules again and again while they load.
    The linear algebra below numpy starts a thread for each core, which spins for a tenth of a
    second: nothing here multiplies matrices large enough to share, and other processes want it.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # for processes begun from here
    sys.modules.setdefault("pydantic.plugin._loader", _NoPlugins("pydantic.plugin._loader"))
    gc.set_threshold(50_000, 20, 50)


class _NoPlugins(ModuleType):
    """Stands for the module that would look; were it renamed, pydantic would look after all."""

    @staticmethod
    def get_plugins() -> tuple[()]:
        """Return no plugin."""
        return ()


if __name__ == "__main__":
    entry()
