"""Numbered notes in a box of the sheet."""

from __future__ import annotations

from collections.abc import Sequence

from geometry.errors import GeometryError
from geometry.segment import Box
from geometry.sheet.drawing import Items, text_lines
from geometry.sheet.font import LINE_PITCH, SMALLEST_TEXT, wrap

#: Least distance of two base lines, in sizes of lettering: ascenders and descenders stay apart.
LEAST_PITCH = 1.38


def numbered_notes(notes: Sequence[str], room: Box, *, height: float = SMALLEST_TEXT) -> Items:
    """Return the notes one below the other from the top of `room`, wrapped to its width; all in mm.

    Raises:
        GeometryError: they need more height than the room has.
    """
    lines: list[str] = []
    for k, note in enumerate(notes, 1):
        first, *rest = wrap(note, room[2] - room[0] - 4.0, height)
        lines += [f"{k}  {first}", *(f"    {words}" for words in rest)]
    pitch = min(LINE_PITCH * height, (room[3] - room[1] - height) / max(1, len(lines) - 1))
    if pitch < LEAST_PITCH * height:
        raise GeometryError(
            f"{len(lines)} lines of notes do not fit their box", value=len(lines),
            hint="shorten them or use a larger sheet",
        )  # fmt: skip
    return text_lines(room[0], room[3], height, lines, pitch=pitch)
