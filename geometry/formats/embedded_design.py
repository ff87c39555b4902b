"""A design text that travels inside a file, in pieces that any text format can carry.

The text becomes base64 pieces `LWD1:<k>/<n>:<piece>;` of at most `PIECE` characters, free of
quotes, brackets and line ends, so DXF comments, STEP comments and PDF information survive it.
"""

from __future__ import annotations

import base64
import re

PIECE = 180
_MARK = re.compile(rb"LWD1:(\d+)/(\d+):([A-Za-z0-9+/=]+);")


def pieces(text: str) -> list[str]:
    """Return the marked pieces that carry `text`, in order; no piece for an empty text."""
    code = base64.b64encode(text.encode("utf-8")).decode("ascii")
    parts = [code[i : i + PIECE] for i in range(0, len(code), PIECE)]
    return [f"LWD1:{k}/{len(parts)}:{part};" for k, part in enumerate(parts, start=1)]


def extract(data: bytes) -> str | None:
    """Return the text that `data` (a whole file) carries, or None if it carries none.

    Raises:
        ValueError: pieces are missing or damaged; says how many of how many were found.
    """
    found: dict[int, bytes] = {}
    total = 0
    for match in _MARK.finditer(data):
        total = max(total, int(match[2]))
        found.setdefault(int(match[1]), match[3])
    if not total:
        return None
    if sorted(found) != list(range(1, total + 1)):
        raise ValueError(f"the design inside the file is damaged: {len(found)} of {total} pieces")
    try:
        return base64.b64decode(b"".join(found[k] for k in sorted(found)), validate=True).decode()
    except ValueError as error:
        raise ValueError(f"the design inside the file is damaged: {error}") from error
