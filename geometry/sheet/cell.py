"""A piece and its label in one box, ready to be put on a page.

The whole label stands inside the piece if it has room there. Beside a piece stands its name and
number alone, because the knife takes off what is beside; what is said of all copies then stands
once on the page, as a caption.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from geometry.point import Point
from geometry.sheet.drawing import Items, Stroke
from geometry.sheet.font import LINE_PITCH, SMALLEST_TEXT, wrap
from geometry.sheet.piece import CLEAR, LABEL_STYLES, Label, LabelStyle, Piece, place_inside

#: Height of a line of a caption with the gap below it, mm.
CAPTION = LINE_PITCH * SMALLEST_TEXT


@dataclass(frozen=True)
class Cell:
    """A piece with its label in one box: where both stand from the box's lower left corner.

    Args:
        piece: turned as it lies on the page.
        width, height: of the box, mm.
        shift: from the piece's own coordinates to the box.
        label, label_at: how the label is set, and where.
        brief: the label has the name alone; a caption has to tell the rest.
        revision: for the whole label.
    """

    piece: Piece
    width: float
    height: float
    shift: Point
    label: LabelStyle
    label_at: Point
    brief: bool
    revision: str

    def items(self, corner: Point, copy: int) -> Items:
        """Return one copy with the lower left corner of its box at `corner`."""
        step = corner.plus(self.shift)
        drawn = (
            Stroke(tuple(s.moved(step.x, step.y) for s in stroke.segments), stroke.style)
            for stroke in self.piece.strokes
        )
        label = Label.of(self.piece, copy, self.revision, self.label, self.brief)
        return (*drawn, *label.items(corner.plus(self.label_at)))


def captions(pieces: Sequence[Piece], width: float) -> list[str]:
    """Return in lines of `width` mm what is said of all copies, once for pieces of one kind."""
    said = dict.fromkeys(p.facts for p in pieces)
    return [words for facts in said for words in wrap(facts, width, SMALLEST_TEXT)]


def caption_band(pieces: Sequence[Piece], width: float) -> float:
    """Return the height in mm that captions of these pieces take, clear of what lies below."""
    lines = len(captions(pieces, width))
    return CAPTION * lines + CLEAR if lines else 0.0


def cell_of(piece: Piece, way: float, size: tuple[float, float], revision: str) -> Cell | None:
    """Return the piece as it lies on the page, label inside if it fits, else beside it.

    Args:
        piece: in its own coordinates.
        way: direction that its grain takes on the page, rad.
        size: width and height of the room on the page, mm.
        revision: for the label.

    Returns:
        None if the page does not hold it.
    """
    turns = (way - piece.grain,) if piece.grain is not None else (0.0, math.pi / 2)
    for turn in turns:
        turned = piece.rotated(turn)
        x0, y0, x1, y1 = turned.box
        if x1 - x0 > size[0] + 1e-9 or y1 - y0 > size[1] + 1e-9:
            continue
        for cell in (_labelled_inside(turned, revision), *_labelled_beside(turned, revision)):
            if cell and cell.width <= size[0] + 1e-9 and cell.height <= size[1] + 1e-9:
                return cell
    return None


def _labelled_inside(piece: Piece, revision: str) -> Cell | None:
    x0, y0, x1, y1 = piece.box
    # the last copy has the longest number
    labels = [Label.of(piece, piece.quantity, revision, style) for style in LABEL_STYLES]
    found = place_inside(piece, labels)
    if found is None:
        return None
    shift = Point(-x0, -y0)
    at = found[1].plus(shift)
    style = LABEL_STYLES[found[0]]
    return Cell(piece, x1 - x0, y1 - y0, shift, style, at, False, revision)


def _labelled_beside(piece: Piece, revision: str) -> list[Cell]:
    """Return the piece with its name below, and at its right; the longer side first."""
    x0, y0, x1, y1 = piece.box
    wide, high = x1 - x0, y1 - y0
    level, upright = (LabelStyle(SMALLEST_TEXT, turned) for turned in (False, True))
    (low_w, low_h), (side_w, side_h) = (
        Label.of(piece, piece.quantity, revision, style, True).size for style in (level, upright)
    )
    foot, tall = CLEAR + low_h, max(high, side_h)
    below = Cell(
        piece, max(wide, low_w), high + foot, Point(-x0, foot - y0), level, Point(0.0, 0.0),
        True, revision,
    )  # fmt: skip
    aside = Cell(
        piece, wide + CLEAR + side_w, tall, Point(-x0, tall - high - y0), upright,
        Point(wide + CLEAR, tall - side_h), True, revision,
    )  # fmt: skip
    return [below, aside] if wide >= high else [aside, below]
