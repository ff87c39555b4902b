"""Flat pieces on rectangular blanks: for one's own machine, or to see how many blanks an order takes.

    +---------------------------+   sheet_margin: from the edge of the blank to every piece
    | (o) (o) (o) (o)  +--+--+  |   part_gap: between two pieces
    |   (o) (o) (o)    +--+--+  |
    | (o) (o) (o) (o)  +--+--+  |   Pieces that are round within 5 % are laid as circles, never
    +---------------------------+   worse than square, hexagonal, stretched or mixed rows of them.

Large pieces go first, in the best even layout of a whole blank; smaller ones go into the gaps
they leave, then above. The result is a nest that was found, not a proof that no better one
exists. Not used: holes of pieces (see `geometry.nest.shape`), cuts shared by two pieces.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from geometry.errors import GeometryError
from geometry.nest.check import verify
from geometry.nest.fill import Kind, fill_sheets
from geometry.nest.shape import Shape, grown_by, shape_of
from geometry.outline import Region
from geometry.tolerance import READ_BACK

#: More pieces than this are refused.
MOST_PIECES = 100_000


@dataclass(frozen=True)
class NestPiece:
    """A piece to cut `quantity` times.

    Args:
        name: for people.
        region: outline and holes, mm.
        quantity: how many.
        angles: turns in rad that it allows, such as (0.0,) or (0.0, math.pi) where the grain
            matters; None for any.
    """

    name: str
    region: Region
    quantity: int = 1
    angles: tuple[float, ...] | None = None


@dataclass(frozen=True)
class Placement:
    """Where a piece lies: turned by `angle` rad about its own origin, then moved by (x, y) mm."""

    name: str
    x: float
    y: float
    angle: float

    def place(self, region: Region) -> Region:
        """Return a region as it lies on the blank, whose lower left corner is the origin."""
        turned = region.rotated(self.angle) if self.angle else region
        return turned.moved(self.x, self.y)


@dataclass(frozen=True)
class Nest:
    """Pieces on blanks.

    Args:
        size: width and height of every blank, mm.
        sheets: for each blank what lies on it.
        piece_area: net area of all pieces together, mm2.
    """

    size: tuple[float, float]
    sheets: tuple[tuple[Placement, ...], ...]
    piece_area: float

    @property
    def sheet_count(self) -> int:
        """Number of blanks."""
        return len(self.sheets)

    @property
    def use_fraction(self) -> float:
        """Net area of the pieces / area of all blanks."""
        return self.piece_area / (self.size[0] * self.size[1] * self.sheet_count)

    @cached_property
    def repeats(self) -> tuple[tuple[tuple[Placement, ...], int], ...]:
        """Different blanks, and how often each is cut."""
        counts: dict[tuple[Placement, ...], int] = {}
        for sheet in self.sheets:
            counts[sheet] = counts.get(sheet, 0) + 1
        return tuple(counts.items())


def nest(
    pieces: Sequence[NestPiece], sheet: tuple[float, float], part_gap: float, sheet_margin: float
) -> Nest:
    """Return pieces laid out on as few blanks as are found to do.

    Args:
        pieces: what to cut.
        sheet: width and height of a blank, mm.
        part_gap: least clear distance between two pieces, mm.
        sheet_margin: least clear distance of a piece from the edge of the blank, mm.

    Returns:
        Every copy of every piece, once. Gaps and margins are checked against the true outlines
        to a millionth of a millimetre. The same input gives the same nest.

    Raises:
        GeometryError: a measure that cannot be used, or pieces that no blank holds; names every
            such piece, its size and the room.
    """
    shapes, room = _shapes_and_room(pieces, sheet, part_gap, sheet_margin)
    reach = (sheet[0] - room[0]) / 2
    kinds = _kinds(pieces, shapes)
    owner = {id(pose): kind for kind in kinds for pose in kind.shape.poses}
    queues = {id(k): [(n, number) for n, number in k.members] for k in kinds}
    sheets: list[tuple[Placement, ...]] = []
    for spots, count in fill_sheets(kinds, room):
        for _ in range(count):
            placed = []
            for pose, x, y in spots:
                kind = owner[id(pose)]
                n = _next(queues[id(kind)])
                own = shapes[n].poses[kind.shape.poses.index(pose)]
                shift = own.shift
                placed.append(
                    Placement(pieces[n].name, x + reach + shift.x, y + reach + shift.y, own.angle)
                )
            sheets.append(tuple(placed))
    found = Nest(sheet, tuple(sheets), math.fsum(p.region.area * p.quantity for p in pieces))
    regions = {p.name: p.region for p in pieces}
    verify((s for s, _ in found.repeats), regions, sheet, part_gap, sheet_margin)
    return found


def check_pieces(
    pieces: Sequence[NestPiece], sheet: tuple[float, float], part_gap: float, sheet_margin: float
) -> None:
    """Raise GeometryError as `nest` would, without laying anything out; lengths in mm."""
    _shapes_and_room(pieces, sheet, part_gap, sheet_margin)


def _shapes_and_room(
    pieces: Sequence[NestPiece], sheet: tuple[float, float], part_gap: float, sheet_margin: float
) -> tuple[list[Shape], tuple[float, float]]:
    """Return the grown shapes, and the room for them, whose edges they may touch."""
    _usable(pieces, sheet, part_gap, sheet_margin)
    reach = sheet_margin - READ_BACK - grown_by(part_gap)
    room = (sheet[0] - 2 * reach, sheet[1] - 2 * reach)
    shapes = [shape_of(p.region, p.angles, part_gap) for p in pieces]
    _holds(pieces, shapes, room, sheet, sheet_margin)
    return shapes, room


def _next(queue: list[tuple[int, int]]) -> int:
    """Take the next piece of a kind."""
    n, number = queue[0]
    if number > 1:
        queue[0] = (n, number - 1)
    else:
        del queue[0]
    return n


def _kinds(pieces: Sequence[NestPiece], shapes: Sequence[Shape]) -> list[Kind]:
    """Join round pieces of equal size, which share rows."""
    joined: dict[float | tuple[int], list[int]] = {}
    for n, shape in enumerate(shapes):
        joined.setdefault(round(shape.diameter, 6) if shape.round else (n,), []).append(n)
    kinds = []
    for members in joined.values():
        largest = max(members, key=lambda n: shapes[n].diameter)
        kinds.append(Kind(shapes[largest], tuple((n, pieces[n].quantity) for n in members)))
    return kinds


def _usable(
    pieces: Sequence[NestPiece], sheet: tuple[float, float], part_gap: float, sheet_margin: float
) -> None:
    """Refuse measures that mean nothing."""
    if not pieces:
        raise GeometryError("there is no piece to nest")
    names = [p.name for p in pieces]
    twice = sorted({n for n in names if names.count(n) > 1})
    if twice:
        raise GeometryError(f"two pieces have one name: {', '.join(twice)}")
    for what, value, least in (
        ("width of the blank", sheet[0], 1.0),
        ("height of the blank", sheet[1], 1.0),
        ("part_gap", part_gap, 0.0),
        ("sheet_margin", sheet_margin, 0.0),
    ):
        if not (math.isfinite(value) and value >= least):
            raise GeometryError(
                f"{what} is {value:g} mm, must be a finite length of at least {least:g} mm",
                value=value,
                limit=least,
            )
    for p in pieces:
        if p.quantity < 1 or (p.angles is not None and not p.angles):
            raise GeometryError(f"{p.name}: needs a quantity of at least 1 and at least one angle")
    total = sum(p.quantity for p in pieces)
    if total > MOST_PIECES:
        raise GeometryError(
            f"{total} pieces are more than {MOST_PIECES}",
            value=total,
            limit=MOST_PIECES,
            hint="nest fewer at a time",
        )


def _holds(
    pieces: Sequence[NestPiece],
    shapes: Sequence[Shape],
    room: tuple[float, float],
    sheet: tuple[float, float],
    sheet_margin: float,
) -> None:
    """Refuse pieces that no blank holds, all at once."""
    wrong = []
    for piece, shape in zip(pieces, shapes, strict=True):
        if not any(p.width <= room[0] and p.height <= room[1] for p in shape.poses):
            x0, y0, x1, y1 = piece.region.box
            wrong.append((max(x1 - x0, y1 - y0), f"{piece.name}, {x1 - x0:.2f} x {y1 - y0:.2f} mm"))
    if wrong:
        inner = (sheet[0] - 2 * sheet_margin, sheet[1] - 2 * sheet_margin)
        raise GeometryError(
            f"too large for a blank of {sheet[0]:g} x {sheet[1]:g} mm, which leaves "
            f"{inner[0]:g} x {inner[1]:g} mm inside a margin of {sheet_margin:g} mm, in every turn "
            f"allowed: {'; '.join(text for _, text in wrong)}",
            value=max(size for size, _ in wrong),
            limit=max(inner),
            hint="use a larger blank or a smaller sheet_margin, or allow other angles",
        )
