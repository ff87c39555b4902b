"""The command line: `lamwright`, also `python -m recipes`. It only calls the recipes."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; return the exit status (0 fine, 1 a `stop` finding, 2 bad input)."""
    from recipes.cli import run

    try:
        return run(list(sys.argv[1:] if argv is None else argv))
    except BrokenPipeError:
        # Whoever read our output has had enough; what is still buffered has nowhere to go.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        print("\nstopped; nothing was replaced", file=sys.stderr)
        return 130


if __name__ == "__main__":
    sys.exit(main())
