"""A design text that travels inside a file, in pieces that any text format can carry.

The text becomes base64 pieces `LWD2:<digest>:<k>/<n>:<piece>;` of at most `PIECE` characters, free
of quotes, brackets and line ends, so DXF comments, STEP comments and PDF information survive it.
The digest (SHA-256 of the text, 16 hexadecimal digits) stands in every piece: one changed
character is told from the design that was written.
"""

from __future__ import annotations

import base64
import re
from hashlib import sha256

PIECE = 180

#: Longest text that travels, in bytes: a design file is a few kilobytes.
LONGEST = 1_000_000

_MOST_PIECES = -(-LONGEST * 4 // 3) // PIECE + 1
_MARK = re.compile(rb"LWD2:([0-9a-f]{16}):(\d{1,6})/(\d{1,6}):([A-Za-z0-9+/=]{1,%d});" % PIECE)


def pieces(text: str) -> list[str]:
    """Return the marked pieces that carry `text`, in order; no piece for an empty text."""
    data = text.encode("utf-8")
    code, digest = base64.b64encode(data).decode("ascii"), _digest(data).decode("ascii")
    parts = [code[i : i + PIECE] for i in range(0, len(code), PIECE)]
    return [f"LWD2:{digest}:{k}/{len(parts)}:{part};" for k, part in enumerate(parts, start=1)]


def extract(data: bytes) -> str | None:
    """Return the text that `data` (a whole file) carries, or None if it carries none.

    Raises:
        ValueError: pieces are missing, damaged, of several designs, or more than a design has.
    """
    marks = _MARK.findall(data)
    heads = {(digest, int(count)) for digest, _, count, _ in marks}
    if not heads:
        return None
    if len(heads) > 1:
        raise ValueError("the design inside the file is damaged: pieces of several designs")
    ((digest, total),) = heads
    found: dict[int, bytes] = {}
    for _, number, _, piece in marks:
        if found.setdefault(int(number), piece) != piece:
            raise ValueError(f"the design inside the file is damaged: two pieces {int(number)}")
    if total > _MOST_PIECES:
        raise ValueError(f"the design inside the file is longer than {LONGEST} bytes")
    if len(found) != total or not 1 <= min(found) <= max(found) <= total:
        raise ValueError(f"the design inside the file is damaged: {len(found)} of {total} pieces")
    try:
        text = base64.b64decode(b"".join(found[k] for k in sorted(found)), validate=True)
    except ValueError as error:
        raise ValueError(f"the design inside the file is damaged: {error}") from error
    if _digest(text) != digest:
        raise ValueError("the design inside the file is damaged: its checksum does not agree")
    return text.decode("utf-8")


def _digest(data: bytes) -> bytes:
    return sha256(data).hexdigest()[:16].encode("ascii")
