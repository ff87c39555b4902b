"""The command line: `lamwright`, also `python -m recipes`. It only calls the recipes."""

from __future__ import annotations

import codecs
import gc
import io
import os
import signal
import sys
import unicodedata
from collections.abc import Sequence
from types import ModuleType
from typing import NoReturn

INTERRUPTED = 130
"""Exit status of a command that was stopped by Ctrl-C: 128 and the number of the signal."""

PLAIN = {"Ø": "dia. ", "±": "+-", "°": "deg", "×": "x", "·": ".", "–": "-", "—": "-", "→": "->"}
"""What stands for a sign where the terminal's encoding lacks it; other letters lose their marks."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; return the exit status (0 fine, 1 a `stop` finding, 2 bad input)."""
    try:
        _begin_soon()
        from recipes.cli.commands import run

        if signal.getsignal(signal.SIGINT) is _stopped_while_loading:
            signal.signal(signal.SIGINT, signal.default_int_handler)
        return run(list(sys.argv[1:] if argv is None else argv))
    except BrokenPipeError:
        # Whoever read our output has had enough; what is still buffered has nowhere to go.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        print("\nstopped; nothing was replaced", file=sys.stderr)
        return INTERRUPTED


def entry() -> NoReturn:
    """Run the command of this process and end it at once.

    All work is done and everything is written when `main` returns; taking every module apart, as
    an interpreter does at its end, would take a tenth of a quick look.
    """
    # Libraries turn Ctrl-C into errors of their own while they load; nothing is written by then.
    signal.signal(signal.SIGINT, _stopped_while_loading)
    try:
        speak_anywhere()
        status = main()
        sys.stdout.flush()
        sys.stderr.flush()
    except BrokenPipeError:
        status = 0  # as in `main`: the reader has had enough
    except KeyboardInterrupt:
        status = INTERRUPTED
    except OSError as error:  # what was said could not be written: a full disk
        os.write(2, f"lamwright: cannot write the output: {error.strerror}\n".encode())
        status = 2
    os._exit(status)


def _stopped_while_loading(*_: object) -> NoReturn:
    os.write(2, b"\nstopped; nothing was replaced\n")
    os._exit(INTERRUPTED)


def speak_anywhere() -> None:
    """Let every text be said on any stream: one that is closed, or whose encoding lacks a letter."""
    codecs.register_error("plain", _plain_letters)
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:  # closed by whoever began this process
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115 - for good
        elif isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="plain")


def _plain_letters(error: UnicodeError) -> tuple[str, int]:
    """Return what stands for the letters that an encoding lacks: `2` for a superscript two."""
    assert isinstance(error, UnicodeEncodeError)
    lacking = error.object[error.start : error.end]
    plain = "".join(PLAIN.get(letter) or _nearest_letter(letter) for letter in lacking)
    return plain, error.end


def _nearest_letter(letter: str) -> str:
    nearest = unicodedata.normalize("NFKD", letter).encode("ascii", "ignore").decode()
    return nearest or "?"


def _begin_soon() -> None:
    """Set the process up: leave out what costs a fifth of a quick look and serves nobody here.

    pydantic looks for plugins in the metadata of every installed package: there is none to find.
    The collector of circular garbage goes over all modules again and again while they load.
    The linear algebra below numpy starts a thread for each core, which spins for a tenth of a
    second: nothing here multiplies matrices large enough to share, and other processes want it.
    """
    home = os.path.expanduser("~")
    if os.path.lexists(home) and not os.access(home, os.R_OK | os.X_OK):
        # reportlab and ezdxf look for settings there, and end in an error where they may not look.
        os.environ["HOME"] = os.path.join(os.sep, "nonexistent")
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
