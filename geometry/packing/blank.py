"""Flat pieces on rectangular blanks: for one's own machine, or to see how many blanks an order takes.

    +---------------------------+   sheet_margin: from the edge of the blank to every piece
    | (o) (o) (o) (o)  +--+--+  |   part_gap: between two pieces
    |   (o) (o) (o)    +--+--+  |
    | (o) (o) (o) (o)  +--+--+  |   Every piece takes the box round it. Round ones of one size lie
    +---------------------------+   in square or staggered rows, whichever hold more.

Large pieces go first, as blocks of rows where those hold more; `rectpack` finds a place for every
block and for every box that stands alone. The result is a nest that was found, not a proof that no
better one exists. Not used: holes of pieces, gaps inside a box, cuts shared by two pieces.

Lengths are whole nanometres inside, so that the last digit of a float never decides what fits.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from copy import deepcopy
from dataclasses import dataclass
from functools import cached_property

import shapely
from rectpack import MaxRectsBl, MaxRectsBssf

from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.segment import Arc, Box
from geometry.tolerance import SAGITTA

#: More pieces than this are refused.
MOST_PIECES = 100_000

#: A piece whose hull fills this much of the circle round it is laid as a circle.
ROUND_SHARE = 0.95

_NANOMETRE = 1e-6  # mm


@dataclass(frozen=True)
class NestPiece:
    """A piece to cut `quantity` times.

    Args:
        name: for people.
        region: outline and holes, mm.
        quantity: how many.
        may_turn: whether it may lie turned by a quarter; False where the grain matters.
    """

    name: str
    region: Region
    quantity: int = 1
    may_turn: bool = True


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


@dataclass(frozen=True)
class _Cell:
    """The box that a piece takes up with its gap, in nm; pieces of equal cells share rows."""

    width: int
    height: int
    round: bool
    may_turn: bool


#: cell, whether it lies turned by a quarter, and its lower left corner in nm.
_Spot = tuple[_Cell, bool, int, int]


@dataclass
class _Blank:
    """A blank that is being filled: its free rectangles as rectpack keeps them, and its cells."""

    bin: MaxRectsBl | MaxRectsBssf
    spots: list[_Spot]

    @property
    def top(self) -> int:
        """Height up to which something lies, in nm."""
        return max((rect.top for rect in self.bin), default=0)

    def put(self, block: Sequence[_Spot]) -> bool:
        """Lay a block of rows as one rectangle; return whether there is a place for it."""
        width = max(x + (c.height if turned else c.width) for c, turned, x, _ in block)
        height = max(y + (c.width if turned else c.height) for c, turned, _, y in block)
        self.bin.rot = False
        rect = self.bin.add_rect(width, height)
        if rect is not None:
            self.spots += [(c, turned, rect.x + x, rect.y + y) for c, turned, x, y in block]
        return rect is not None

    def fill(self, cell: _Cell, number: int) -> None:
        """Lay up to `number` cells one by one."""
        self.bin.rot = cell.may_turn
        for _ in range(number):
            rect = self.bin.add_rect(cell.width, cell.height)
            if rect is None:
                return
            self.spots.append((cell, rect.width != cell.width, rect.x, rect.y))


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
        Every copy of every piece, once. Gaps and margins are kept to a millionth of a millimetre.
        The same input gives the same nest.

    Raises:
        GeometryError: a measure that cannot be used, or pieces that no blank holds; names every
            such piece, its size and the room.
    """
    measured, room = _measured(pieces, sheet, part_gap, sheet_margin)
    waiting: dict[_Cell, list[tuple[str, Box]]] = {}  # the next piece last
    for piece, (cell, box) in reversed([*zip(pieces, measured, strict=True)]):
        waiting.setdefault(cell, []).extend([(piece.name, box)] * piece.quantity)
    order = sorted(waiting, key=lambda cell: -cell.width * cell.height)
    numbers = {cell: len(waiting[cell]) for cell in order}
    plans = [_plan(numbers, _Blank(bin_of(*room), [])) for bin_of in (MaxRectsBl, MaxRectsBssf)]
    best = min(plans, key=lambda plan: (len(plan), plan[-1].top))

    def placement(cell: _Cell, turned: bool, x: int, y: int) -> Placement:
        name, (left, bottom, _, top) = waiting[cell].pop()
        dx, dy = (-top, left) if turned else (left, bottom)  # corner of the piece as it lies
        angle = math.pi / 2 if turned else 0.0
        return Placement(
            name, _NANOMETRE * x + sheet_margin - dx, _NANOMETRE * y + sheet_margin - dy, angle
        )

    sheets = [tuple(placement(*spot) for spot in blank.spots) for blank in best]
    return Nest(sheet, tuple(sheets), math.fsum(p.region.area * p.quantity for p in pieces))


def check_pieces(
    pieces: Sequence[NestPiece], sheet: tuple[float, float], part_gap: float, sheet_margin: float
) -> None:
    """Raise GeometryError as `nest` would, without laying anything out; lengths in mm."""
    _measured(pieces, sheet, part_gap, sheet_margin)


def _plan(numbers: dict[_Cell, int], empty: _Blank) -> list[_Blank]:
    """Lay one kind of cell after the other, first into what the blanks so far leave free."""
    blanks: list[_Blank] = []
    for cell, number in numbers.items():
        left = number
        fuller: dict[int, _Blank] = {}  # blanks that carry the same are one object, filled once
        for n, blank in enumerate(blanks):
            if not left:
                break
            after = fuller.get(id(blank))
            if after is None or len(after.spots) - len(blank.spots) > left:
                after = fuller[id(blank)] = _add(blank, cell, left)
            left -= len(after.spots) - len(blank.spots)
            blanks[n] = after
        while left:
            after = _add(empty, cell, left)
            blanks += [after] * (left // len(after.spots))
            left %= len(after.spots)
    return blanks


def _add(blank: _Blank, cell: _Cell, number: int) -> _Blank:
    """Return a copy of a blank with up to `number` more cells: most first, then the lowest."""
    tries = []
    for block in _blocks(cell, blank.bin.width, blank.bin.height - blank.top):
        copy = deepcopy(blank)
        if copy.put(block[:number]):
            copy.fill(cell, number - len(block[:number]))
            tries.append(copy)
    if not tries:
        copy = deepcopy(blank)
        copy.fill(cell, number)
        tries.append(copy)
    return max(tries, key=lambda tried: (len(tried.spots), -tried.top))


def _blocks(cell: _Cell, width: int, height: int) -> Iterator[list[_Spot]]:
    """Yield full blocks of rows of one cell in a rectangle, each from below; lengths in nm."""
    for turned in (False, True) if cell.may_turn and cell.width != cell.height else (False,):
        w, h = (cell.height, cell.width) if turned else (cell.width, cell.height)
        if w <= width and h <= height:
            rows = [(k * w, n * h) for n in range(height // h) for k in range(width // w)]
            yield [(cell, turned, x, y) for x, y in rows]
    if cell.round and cell.width <= min(width, height):
        yield [(cell, False, x, y) for x, y in staggered_rows(width, height, cell.width)]
        columns = sorted(staggered_rows(height, width, cell.width))  # lowest first
        yield [(cell, False, x, y) for y, x in columns]


def staggered_rows(width: int, height: int, diameter: int) -> list[tuple[int, int]]:
    """Return equal circles in a rectangle, every second row set back by half a pitch.

        o o o o       o   o   o   o      With the pitch p along the row, rows lie
         o o o          o   o   o   o    sqrt(d^2 - p^2 / 4) apart: hexagonal if p = d, and nearer
        o o o o       o   o   o   o      if p takes the whole width.

    Args:
        width, height: of the rectangle, in whole units such as nm; circles may touch its sides.
        diameter: d of every circle, at most either side; two may touch.

    Returns:
        Lower left corners of the boxes round the circles, row by row from below, for the pitch
        that holds most circles; hexagonal if that is as good.
    """
    pitches = [diameter]
    for number in range(width // diameter, 1, -1):
        pitches += [(width - diameter) // (number - 1), 2 * (width - diameter) // (2 * number - 1)]
    best, most = (0, 0, 0, 0), 0
    for pitch in pitches:
        if not diameter <= pitch <= math.sqrt(3) * diameter:  # else every other row would collide
            continue
        back, step = -(-pitch // 2), math.ceil(math.sqrt(diameter**2 - (pitch // 2) ** 2))
        rows = 1 + (height - diameter) // step
        full, short = (1 + (width - start - diameter) // pitch for start in (0, back))
        count = full * ((rows + 1) // 2) + short * (rows // 2)
        if count > most:
            best, most = (pitch, back, step, rows), count
    pitch, back, step, rows = best
    return [
        (start + k * pitch, n * step)
        for n in range(rows)
        for start in [back * (n % 2)]
        for k in range(1 + (width - start - diameter) // pitch)
    ]


def round_circle(outline: Outline) -> tuple[Point, float] | None:
    """Return centre and radius (mm) of the circle round an outline that nearly fills it, else None.

    The centre is that of the smallest circle round the outline's chords; the radius is exact.
    """
    corners = shapely.MultiPoint([tuple(p) for p in outline.chords(SAGITTA)])
    middle = shapely.minimum_bounding_circle(corners).centroid
    centre = Point(middle.x, middle.y)
    far = max(p.distance(centre) for p in outline.points)
    for edge in outline.segments:
        if isinstance(edge, Arc):
            away = edge.center.minus(centre)
            if edge.covers(math.atan2(away.y, away.x)):
                far = max(far, edge.center.distance(centre) + edge.radius)
    nearly = corners.convex_hull.area >= ROUND_SHARE * math.pi * far**2
    return (centre, far) if nearly else None


def _measured(
    pieces: Sequence[NestPiece], sheet: tuple[float, float], part_gap: float, sheet_margin: float
) -> tuple[list[tuple[_Cell, Box]], tuple[int, int]]:
    """Return cell and box (mm) of each piece, and the room for cells (nm); refuse what cannot be."""
    _check_measures(pieces, sheet, part_gap, sheet_margin)
    inner = (sheet[0] - 2 * sheet_margin, sheet[1] - 2 * sheet_margin)
    room = (round((inner[0] + part_gap) / _NANOMETRE), round((inner[1] + part_gap) / _NANOMETRE))
    measured, wrong = [], []
    for piece in pieces:
        box = piece.region.box
        sides = (box[2] - box[0], box[3] - box[1])
        circle = round_circle(piece.region.outer)
        if circle:
            (x, y), r = circle
            box = (x - r, y - r, x + r, y + r)
        w = round((box[2] - box[0] + part_gap) / _NANOMETRE)
        h = round((box[3] - box[1] + part_gap) / _NANOMETRE)
        measured.append((_Cell(w, h, circle is not None, piece.may_turn), box))
        ways = ((w, h), (h, w)) if piece.may_turn else ((w, h),)
        if not any(a <= room[0] and b <= room[1] for a, b in ways):
            wrong.append((max(sides), f"{piece.name}, {sides[0]:.2f} x {sides[1]:.2f} mm"))
    if wrong:
        raise GeometryError(
            f"too large for a blank of {sheet[0]:g} x {sheet[1]:g} mm, which leaves "
            f"{inner[0]:g} x {inner[1]:g} mm inside a margin of {sheet_margin:g} mm, in every turn "
            f"allowed: {'; '.join(text for _, text in wrong)}",
            value=max(size for size, _ in wrong),
            limit=max(inner),
            hint="use a larger blank or a smaller sheet_margin, or allow other angles",
        )
    return measured, room


def _check_measures(
    pieces: Sequence[NestPiece], sheet: tuple[float, float], part_gap: float, sheet_margin: float
) -> None:
    """Refuse measures that mean nothing."""
    if not pieces:
        raise GeometryError("there is no piece to nest")
    names = [p.name for p in pieces]
    twice = sorted({n for n in names if names.count(n) > 1})
    if twice:
        raise GeometryError(f"two pieces have one name: {', '.join(twice)}")
    measures = {
        "width of the blank": (sheet[0], 1.0),
        "height of the blank": (sheet[1], 1.0),
        "part_gap": (part_gap, 0.0),
        "sheet_margin": (sheet_margin, 0.0),
        **{f"{p.name}: quantity": (p.quantity, 1) for p in pieces},
    }
    for what, (value, least) in measures.items():
        if not (math.isfinite(value) and value >= least):
            unit = "" if what.endswith("quantity") else " mm"
            raise GeometryError(
                f"{what} is {value:g}{unit}, must be finite and at least {least:g}{unit}",
                value=value,
                limit=least,
            )
    total = sum(p.quantity for p in pieces)
    if total > MOST_PIECES:
        raise GeometryError(
            f"{total} pieces are more than {MOST_PIECES}",
            value=total,
            limit=MOST_PIECES,
            hint="nest fewer at a time",
        )
