"""The motor cut along its axis, every part numbered: what the half-section holds, as one picture.

   1  2   3      numbers of what lies far out
   |  |   |
  [ through a slot ]      liner, wedge, coil
  ------ axis ------
  [ through a tooth ]     steel from hub to tip
     |    |
     7    8      numbers of what lies near the axis

Hatched by ISO 128-3: what stands still one way on white, what turns the other way on blue. Bolts,
nuts and balls are not cut; paper and other thin strips are black; coils have a tone.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from geometry.drafting.drawing import Drawing, Fill, Item, Text, Tone, line, text_lines
from geometry.drafting.font import wrap
from geometry.drafting.symbol import centre_line, hatch
from geometry.drafting.view import View
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.polygon import to_polygon
from recipes.assembly.body import Body

#: (recipe, how the body's name begins, what the item is called, its line of the order: what its part or
#: item matches); the first that fits counts.
ITEMS = (
    ("axle", "", "hollow axle", "axle"),
    ("lamination", "", "stator sheets", "lamination"),
    ("end_laminations", "", "end sheets", r"lamination_end.*"),
    ("end_cap", "", "end caps", "end_cap"),
    ("end_washer", "", "end washers", "end_washer"),
    ("liner", "", "slot liners", "liner"),
    ("slot_strips", "", "slot wedges", "wedge"),
    ("rotor_ring", "spacer", "spacer rings", r"spacer_ring_.*"),
    ("", "spacer", "spacer rings", r"spacer_ring_.*"),
    ("rotor_ring", "magnet ring", "steel ring", "rotor_ring"),
    ("", "magnet ring", "steel ring", r"ring for the magnets.*"),
    ("", "magnets", "magnets", r"magnets for .*"),
    ("cover", "", "covers", r"cover_.*"),
    ("", "coil", "coils", r"enamelled .*"),
    ("", "bolts", "bolts of the covers", r"bolts of the covers"),
    ("", "bearing", "bearings", r"deep groove .*"),
    ("", "retaining ring", "retaining rings", r"retaining ring.*"),
    ("", "nut", "nuts of the axle", r"(hexagon nut|locknut).*"),
    ("", "clamp collar", "clamp collars", r"split clamp collar"),
    ("", "frame", "frame (your own)", ""),
)

#: Width of the picture, its margins left and right, room for numbers above and below, mm.
WIDTH, MARGIN, NUMBERS = 170.0, 8.0, 14.0

#: Tallest that both halves together become, lettering, least distance of two numbers, mm.
TALLEST, LETTERING, APART = 150.0, 3.2, 6.5

#: From line to line of the list, mm.
PITCH = 5.5

#: Recipes whose bodies are stretches or rings of one piece in the section.
ONE_PIECE = ("axle", "lamination")

#: A strip thinner than this on the sheet is black, mm; hatching of what stands, and of what turns.
THIN, SPACING = 1.0, 1.8
STANDS, TURNS = math.pi / 4, 3 * math.pi / 4

#: Names of bodies that are not hatched.
UNCUT = ("bolts", "nut")


@dataclass(frozen=True)
class Numbered:
    """One item of the list of parts.

    Args:
        number: in the picture.
        title: what it is called.
        order: pattern of the part's name, or of the item, on its line of the order; "" for none.
        bodies: that it is made of.
    """

    number: int
    title: str
    order: str
    bodies: tuple[Body, ...]

    @property
    def motion(self) -> str:
        """Whether it turns or stands; of a bearing one ring does each."""
        kinds = {body.turns for body in self.bodies}
        return "one ring turning" if len(kinds) > 1 else "turning" if True in kinds else "standing"

    def orders(self, name: str) -> bool:
        """Return whether a part or an item of the order is this one."""
        return re.fullmatch(self.order, name) is not None


def numbered(bodies: Sequence[Body]) -> tuple[Numbered, ...]:
    """Return the items of the list of parts, numbered in the order of `ITEMS`."""
    rows: dict[tuple[str, str], list[Body]] = {}
    for _, _, title, order in ITEMS:
        rows.setdefault((title, order), [])
    for body in bodies:
        title, order = next(
            (
                (title, order)
                for recipe, start, title, order in ITEMS
                if body.part == recipe and body.name.startswith(start)
            ),
            (body.name, ""),
        )
        rows.setdefault((title, order), []).append(body)
    kept = [(row, tuple(found)) for row, found in rows.items() if found]
    return tuple(Numbered(k, *row, found) for k, (row, found) in enumerate(kept, 1))


def section_view(bodies: Sequence[Body], name: str, listed: Sequence[str] = ()) -> Drawing:
    """Return the picture.

    Args:
        bodies: as of `half_section`.
        name: of the design.
        listed: lines below the picture.
    """
    low, high = min(b.box[0] for b in bodies), max(b.box[2] for b in bodies)
    tall = max(b.box[3] for b in bodies)
    scale = min((WIDTH - 2 * MARGIN) / (high - low), TALLEST / 2 / tall)
    words = [row for text in listed for row in wrap(text, WIDTH - 2 * MARGIN, LETTERING)]
    foot = PITCH * (len(words) + 1) if words else 0.0
    axis = foot + NUMBERS + tall * scale
    place = Point(WIDTH / 2, axis)
    ratio, about = (round(1e6 * scale), 1_000_000), Point((low + high) / 2, 0.0)
    up = View(place, ratio, about)
    down = View(place, ratio, about, math.pi, mirrored=True)
    items: list[Item] = []
    for view, in_slot in ((up, True), (down, False)):
        shown = [b for b in bodies if not b.around or b.turns or bool(b.around.first) == in_slot]
        for body in sorted(_joined(shown), key=lambda b: b.name.startswith(UNCUT)):
            items += _drawn(body, view)
        items += _balls(bodies, view)
    items.append(centre_line(up.at(low, 0.0), up.at(high, 0.0)))
    items += _numbers(numbered(bodies), (up, down), tall)
    items += text_lines(MARGIN, foot, LETTERING, words, pitch=PITCH)
    return Drawing(WIDTH, axis + tall * scale + NUMBERS, tuple(items), f"{name}: half-section")


def _joined(bodies: Sequence[Body]) -> Iterator[Body]:
    """Yield the bodies, those of axle and stack joined: inside one piece no edge is seen."""
    import shapely

    for part in ONE_PIECE:
        if pieces := [p for b in bodies if b.part == part for p in b.polygons]:
            whole = shapely.get_parts(shapely.union_all(pieces))
            rings = tuple(Outline.polygon(list(p.exterior.coords)[:-1]) for p in whole)
            yield Body(part, rings, part=part)
    yield from (b for b in bodies if b.part not in ONE_PIECE)


def _drawn(body: Body, view: View) -> Iterator[Item]:
    """Yield tone, hatching and edges of one body."""
    for outline in body.outlines:
        shape = view.outline(outline)
        x0, y0, x1, y1 = shape.box
        if min(x1 - x0, y1 - y0) < THIN and not body.turns and body.gives:
            yield Fill((shape,), "black")
            continue
        tone: Tone = "sand" if body.gives else "sky" if body.turns else "white"
        yield Fill((shape,), tone)
        if not body.gives and not body.name.startswith(UNCUT):
            angle = TURNS if body.turns else STANDS
            yield from hatch(Region(shape), spacing=SPACING, angle=angle)
        yield view.stroke(outline.segments, "visible" if min(x1 - x0, y1 - y0) > THIN else "narrow")


def _balls(bodies: Sequence[Body], view: View) -> Iterator[Item]:
    """Yield a ball between the two rings of each bearing."""
    rings = [b for b in bodies if b.unit.startswith("bearing")]
    for inner, outer in zip(rings[::2], rings[1::2], strict=True):
        middle = Point((inner.box[0] + inner.box[2]) / 2, (inner.box[3] + outer.box[1]) / 2)
        ball = Outline.circle(middle, (outer.box[1] - inner.box[3]) / 2)
        yield Fill((view.outline(ball),), "white")
        yield view.stroke(ball.segments, "visible")


def _numbers(items: Sequence[Numbered], views: tuple[View, View], tall: float) -> Iterator[Item]:
    """Yield the numbers, those of what lies far out above, the others below."""
    rows: tuple[list[tuple[float, int, Outline]], ...] = ([], [])
    for item in items:
        body, outline = max(
            ((b, o) for b in item.bodies for o in b.outlines), key=lambda found: found[1].area
        )
        z0, r0, z1, r1 = outline.box
        near = r0 + r1 < tall if body.around is None or body.turns else not body.around.first
        rows[1 if near else 0].append(((z0 + z1) / 2, item.number, outline))
    for view, row, way in zip(views, rows, (1.0, -1.0), strict=True):
        row.sort(key=lambda found: found[:2])
        y = view.at(0.0, tall).y + way * (NUMBERS - LETTERING - 1.0)
        places = _spread([view.at(z, 0.0).x for z, _, _ in row])
        for (_, number, outline), x in zip(row, places, strict=True):
            tip = view.point(_inside(outline, views[0].model(Point(x, view.origin.y)).x))
            yield line(tip, Point(x, y - way * 0.8))
            yield Fill((Outline.circle(tip, 0.7),))
            yield Text(x, y, LETTERING, str(number), "centre", level="base" if way > 0 else "top")


def _inside(outline: Outline, z: float) -> Point:
    """Return a place in an outline, as near below or above `z` as may be."""
    import shapely

    z0, r0, z1, r1 = outline.box
    edge, shape = (z1 - z0) / 6, to_polygon(outline)
    near = shapely.Point(min(max(z, z0 + edge), z1 - edge), (r0 + r1) / 2)
    found = near if shape.contains(near) else shape.representative_point()
    return Point(found.x, found.y)


def _spread(wanted: Sequence[float]) -> list[float]:
    """Return places near those wanted, in order, at least `APART` from each other, in the margins."""
    found = list(wanted)
    for _ in range(4 * len(found)):  # neighbours that are too near give way by halves
        for k in range(len(found) - 1):
            if (lacks := APART - (found[k + 1] - found[k])) > 0.0:
                found[k] -= lacks / 2
                found[k + 1] += lacks / 2
    return [min(max(x, MARGIN / 2), WIDTH - MARGIN / 2) for x in found]
