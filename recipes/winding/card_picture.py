"""The stator as the winder sees it, from the lead side: coils, arrows, tails, links, terminals.

    number                     from outside to inside along one tooth
      U+
    [tip]
    |///| -> arrow: how the wire crosses the tooth on this side
    S   F    where start and finish come up, at the root
    |   |
    (links of phase U, then V, then W on circles of their own; a dot is a joint)
     U1      terminal

The outline is that of the sheet, not to scale; coils, tails and links are drawn for reading.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from geometry.drafting.drawing import (
    Fill,
    Item,
    Items,
    Stroke,
    Text,
    box,
    line,
    polyline,
    text_lines,
)
from geometry.drafting.font import LINE_PITCH, SMALLEST_TEXT, text_width, wrap
from geometry.drafting.view import View
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.printing.page import Page, live_box
from geometry.segment import Arc, Line
from recipes.design.lamination import Hub, Lamination
from recipes.design.winding import Motor, Winding
from recipes.drawing_conventions import fitted
from recipes.stator.slot import TOOTH_1, SlotShape
from recipes.winding.circuit import Join
from recipes.winding.layout import PHASES, Phase, WindingLayout
from recipes.winding.marks import (
    LINK_STYLES,
    MINUS,
    PLUS,
    Block,
    Frame,
    RingText,
    block_arrow,
    coil_label,
    hatched_block,
    ring_text,
)
from recipes.winding.sense import over_end, seen_from_gap
from recipes.written_sheets import HEADING

#: With more teeth, tails have no letters and links are left to the joint list.
MOST_TEETH = 48

#: Lettering of tails, mm.
LETTER = 2.5


class Stage:
    """Measures of the picture, mm on the sheet and rad.

    Attributes:
        centre, radius: of the whole picture.
        numbers, phases: setting of the two rings of labels outside the teeth.
        tip, root, bore: radii of the steel.
        block: the coil on every tooth.
        half: half the angle from coil to coil; no tail lies on a multiple of it from tooth 1.
        tail: angle from a tooth's axis to the place where its start or finish comes up.
        below: radius under the letters of the tails, where links begin.
    """

    def __init__(
        self,
        layout: WindingLayout,
        slot: SlotShape,
        lam: Lamination,
        centre: Point,
        radius: float,
    ) -> None:
        """Fit a stator into a circle on the sheet."""
        self.centre, self.radius = centre, radius
        self.teeth, self.slots = layout.teeth, layout.slots
        self.pitch = 2 * math.pi / self.slots
        self.numbers = self._labels([str(k + 1) for k in range(self.slots)], radius - 4.0)
        self.phases = self._labels(["W\u2212"], radius - self.numbers.depth - 4.0, 3.5)
        self.tip = radius - self.numbers.depth - self.phases.depth - 2.2
        self.factor = self.tip / (lam.outer_diameter / 2)
        self.root = (lam.outer_diameter / 2 - lam.slot_depth) * self.factor
        self.bore = lam.bore_diameter / 2 * self.factor
        self.alternate = layout.coil_sides == "alternate teeth"
        self.block = self._block(slot)
        # tails at a quarter of the coils' pitch lie as far from each other as from the next coil's
        reach = math.atan2(0.8 * self.block.half_inner, self.block.inner)
        self.half = (2 if self.alternate else 1) * self.pitch / 2
        self.tail = min(self.half / 2, reach)
        self.lettered = self.slots <= MOST_TEETH
        self.below = self.root - (5.4 if self.lettered else 0.8)

    def _labels(self, words: list[str], radius: float, largest: float = 5.0) -> RingText:
        sizes = tuple(h for h in (5.0, 3.5, LETTER) if h <= largest)
        return ring_text(words, 2 * radius * math.sin(math.pi / self.slots), sizes)

    def _block(self, slot: SlotShape) -> Block:
        """Return the coil on every tooth: along the flank, and into both slots.

        Half of each slot where every tooth is wound, more where the neighbours are bare.
        """
        share = 1.25 if self.alternate else 0.84
        flank = slot.flank
        outer = flank.start.x * self.factor
        inner = min(flank.end.x * self.factor, outer - 3.0)
        most = 2.2 * max(flank.start.y, flank.end.y) * self.factor
        half = [min(share * x * math.tan(self.pitch / 2), most) for x in (inner, outer)]
        return Block(inner, outer, *half)

    def angle(self, k: int) -> float:
        """Return the direction of a tooth by its index."""
        return TOOTH_1 + self.pitch * k

    def polar(self, radius: float, angle: float) -> Point:
        """Return a place on the sheet by its distance from the axle."""
        return self.centre.plus(Point.polar(radius, angle))

    def end_angle(self, k: int, end: str) -> float:
        """Return where a coil's "start" or "finish" comes up; the start at the arrow's point."""
        side = over_end(self.teeth[k].sense) * (1 if end == "start" else -1)
        return self.angle(k) + side * self.tail


# A link leaves a finish, runs counter-clockwise on a circle and rises to a start. Links of a phase
# that do not meet share a circle; the circles of U lie outside those of V and W.

#: With more circles, links are left to the joint list; distances of the circles that are tried, mm.
MOST_TRACKS = 12
TRACKS_APART = (3.8, 3.2, 2.6)

#: Smallest radius that names of terminals may reach; radius of a joint's dot; mm.
INNERMOST, DOT = 5.0, 0.75

#: Length and width of the arrow on a crossover, mm.
ROUTE_ARROW = 3.0, 2.0


@dataclass(frozen=True)
class Inside:
    """What was drawn, and the radius in mm that stays free inside it; no items: no room."""

    items: Items
    free: float


def _links(stage: Stage, joints: Sequence[Join]) -> Inside:
    """Return the links on their circles."""
    below, tracks = stage.below, _tracks(stage, joints)
    count = 1 + max((track for *_, track in tracks), default=-1)
    if 0 < count <= MOST_TRACKS:
        for apart in TRACKS_APART:
            radii = [below - 2.2 - apart * i for i in range(count)]
            if radii[-1] - 14.0 >= INNERMOST:
                drawn = (_link(stage, x, one, two, radii[n]) for x, one, two, n in tracks)
                return Inside(tuple(item for link in drawn for item in link), radii[-1] - 2.4)
    return Inside((), below)


def _tracks(stage: Stage, joints: Sequence[Join]) -> list[tuple[Join, float, float, int]]:
    """Return link, both angles (rad) and circle, counted from outside, of every link."""
    found = []
    base = 0
    for phase in PHASES:
        occupied: list[list[tuple[float, float]]] = []
        for join in joints:
            if join.phase != phase or join.from_tooth is None or join.to_tooth is None:
                continue
            one = stage.end_angle(join.from_tooth, join.from_end)
            two = stage.end_angle(join.to_tooth, join.to_end)
            arc = one, (two - one) % (2 * math.pi)
            free = (n for n, there in enumerate(occupied) if not _meets(arc, there))
            n = next(free, len(occupied))
            if n == len(occupied):
                occupied.append([])
            occupied[n].append(arc)
            found.append((join, one, two, base + n))
        base += len(occupied)
    return found


def _meets(arc: tuple[float, float], others: list[tuple[float, float]]) -> bool:
    """Tell whether an arc (start, sweep) runs into one of the others."""
    start, sweep = arc
    turn = 2 * math.pi
    return any((b - start) % turn <= sweep or (start - b) % turn <= other for b, other in others)


def _link(stage: Stage, join: Join, one: float, two: float, radius: float) -> Items:
    """Return a link between two angles on its circle: a dot where it is soldered, else an arrow."""
    below, polar = stage.below, stage.polar
    corners = polar(below, one), polar(radius, one), polar(radius, two), polar(below, two)
    arc = Arc(corners[1], corners[2], stage.centre, True)
    run = (Line(*corners[:2]), arc, Line(*corners[2:]))
    # On an axis between two tails, where nothing crosses: a dot on a crossing would lie.
    turn = math.ceil((one - TOOTH_1) / stage.half + 1e-6) * stage.half + TOOTH_1
    spot = polar(radius, turn)
    mark = (
        Fill((Outline.circle(spot, DOT),))
        if join.soldered
        else block_arrow(spot, turn + math.pi / 2, *ROUTE_ARROW)
    )
    return Stroke(run, LINK_STYLES[join.phase]), mark


@dataclass(frozen=True)
class _Terminal:
    """Where a terminal's lead comes up: angle on the sheet in rad, and its name."""

    angle: float
    words: str
    phase: Phase


def _terminals(stage: Stage, joints: Sequence[Join], inner: float) -> Inside:
    """Return the leads to the terminals, whose circles lie at the radius `inner` or within."""
    several = any(join.path > 1 for join in joints)
    ends = []
    for join in joints:
        path = f" ({join.path})" if several else ""
        for tooth, end, other, terminal in (
            (join.to_tooth, join.to_end, join.from_tooth, join.from_end),
            (join.from_tooth, join.from_end, join.to_tooth, join.to_end),
        ):
            if tooth is not None and other is None:
                angle = stage.end_angle(tooth, end)
                ends.append(_Terminal(angle, terminal + path, join.phase))
    ends.sort(key=lambda t: t.angle)
    for height in (3.5, LETTER):
        wide = max(text_width(t.words, height) for t in ends)
        step = wide + 2 * DOT + 1.8
        rows = _rows(ends, inner - wide, step, height)
        if len(rows) <= 2 and inner - len(rows) * step >= INNERMOST:
            break
    else:
        return Inside((), inner)
    items: list[Item] = []
    top = stage.below if stage.lettered else stage.block.inner
    for i, row in enumerate(rows):
        radius = inner - i * step
        for lead in row:
            start, foot = stage.polar(top, lead.angle), stage.polar(radius + DOT, lead.angle)
            ring = Outline.circle(stage.polar(radius, lead.angle), DOT)
            words = text_width(lead.words, height)
            name = RingText(height, False, words)
            items += [
                line(start, foot, LINK_STYLES[lead.phase]),
                Stroke(ring.segments, "visible"),
                name.text(stage.centre, radius - DOT - 0.7 - words / 2, lead.angle, lead.words),
            ]
    return Inside(tuple(items), inner - len(rows) * step)


def _rows(
    ends: list[_Terminal], radius: float, step: float, height: float
) -> list[list[_Terminal]]:
    """Deal names, written along the radius, out to rows `step` apart so that none overlap."""
    rows: list[list[_Terminal]] = []
    for end in ends:
        for i, row in enumerate(rows):
            turns = (abs(math.remainder(end.angle - o.angle, 2 * math.pi)) for o in row)
            if all(turn * (radius - i * step) >= height + 1.2 for turn in turns):
                row.append(end)
                break
        else:
            rows.append([end])
    return rows


@dataclass(frozen=True)
class Picture:
    """The finished picture, and what of it the legend must explain: dots of joints, arrows of crossovers."""

    items: Items
    links: bool
    terminals: bool
    dots: bool = True
    arrows: bool = False


def stator_picture(stage: Stage, joints: Sequence[Join], sheet: Region) -> Picture:
    """Return the picture of a wound `sheet`."""
    links = _links(stage, joints) if stage.lettered else Inside((), stage.below)
    marks = _terminals(stage, joints, links.free if links.items else stage.below - 1.5)
    items: list[Item] = [*_steel(stage, sheet, min(links.free, marks.free)), *_coils(stage)]
    items += _tails(stage, joints) if stage.lettered else []
    items += [*links.items, *marks.items, *_names(stage)]
    between = [j for j in joints if not j.terminal] if links.items else []
    dots, arrows = (any(j.soldered is soldered for j in between) for soldered in (True, False))
    return Picture(tuple(items), bool(links.items), bool(marks.items), dots, arrows)


def _steel(stage: Stage, sheet: Region, free: float) -> list[Item]:
    """Return the sheet's outline, and its bore where nothing else is drawn."""
    view = View(stage.centre, (round(stage.factor * 1_000_000), 1_000_000))
    items: list[Item] = list(view.edges(sheet.outer, "narrow"))
    if stage.bore < free - 1.0:
        items += view.edges(sheet.holes[-1], "narrow")
        free = stage.bore
    if free > text_width("lead side", 3.5) / 2 + 2.0:
        items.append(
            Text(stage.centre.x, stage.centre.y, 3.5, "lead side", "centre", level="middle")
        )
    return items


def _coils(stage: Stage) -> list[Item]:
    items: list[Item] = []
    block = stage.block
    middle, deep = (block.inner + block.outer) / 2, block.outer - block.inner
    wide = 2 * block.half_at(middle)
    length, head = 0.78 * min(wide, 22.0), min(4.2, 0.36 * wide + 0.5, 0.75 * deep)
    for k, tooth in enumerate(stage.teeth):
        if not tooth.phase:
            continue
        frame = Frame(stage.centre, stage.angle(k))
        items += hatched_block(block, frame, tooth.phase)
        half = min(length / 2 + 1.0, 0.43 * wide)
        plate = Block(middle - 0.62 * head, middle + 0.62 * head, half, half)
        items.append(Fill((plate.outline(frame),), "white"))
        way = over_end(tooth.sense) * math.pi / 2
        items.append(block_arrow(frame.at(middle), frame.angle + way, length, head))
    return items


def _tails(stage: Stage, joints: Sequence[Join]) -> list[Item]:
    """Return the letters S and F under every coil, with the tail that comes up there."""
    items: list[Item] = []
    middle, top = stage.root - 2.7, stage.block.inner / math.cos(stage.tail)
    ends = {(j.from_tooth, j.from_end) for j in joints} | {(j.to_tooth, j.to_end) for j in joints}
    for k, end in sorted((k, e) for k, e in ends if k is not None):
        angle = stage.end_angle(k, end)
        spot = stage.polar(middle, angle)
        letter = {"start": "S", "finish": "F"}[end]
        items.append(line(stage.polar(top, angle), stage.polar(stage.root - 1.0, angle), "visible"))
        items.append(Text(spot.x, spot.y, LETTER, letter, "centre", level="middle"))
    return items


def _names(stage: Stage) -> list[Item]:
    items: list[Item] = []
    outer = stage.radius - stage.numbers.depth / 2
    inner = stage.radius - stage.numbers.depth - 0.8 - stage.phases.depth / 2
    for k, tooth in enumerate(stage.teeth):
        angle = stage.angle(k)
        items.append(stage.numbers.text(stage.centre, outer, angle, str(k + 1)))
        if tooth.phase:
            items.append(stage.phases.text(stage.centre, inner, angle, coil_label(tooth)))
    return items


#: Widths of the columns for the senses and for the samples, mm.
SENSES, SAMPLES, GAP = 81.0, 40.0, 4.0


def picture_circle(page: Page) -> tuple[Point, float]:
    """Return centre and radius of the picture on the first sheet of the card."""
    left, _, right, top = live_box(page)
    radius = (right - left) / 2
    return Point((left + right) / 2, top - HEADING - 5.0 - radius), radius


def picture_words(motor: Motor, winding: Winding, wire: str) -> str:
    """Return the winding in one line."""
    paths = f", {winding.parallel_paths} parallel paths" if winding.parallel_paths > 1 else ""
    strands = f"{winding.strands} × " if winding.strands > 1 else ""
    return (
        f"Seen from the lead side. {motor.slots} teeth, {motor.poles} poles, {winding.turns} turns of "
        f"{strands}{wire} on {winding.coil_sides}, {winding.connection}{paths}"
    )


def picture_sheet(
    stage: Stage, joints: Sequence[Join], sheet: Region, words: str, first_tooth: str, page: Page
) -> list[Item]:
    """Return the first sheet of the card: the picture, below it a legend of 185 x 48 mm.

    Args:
        stage: in the circle of `picture_circle`.
        joints: of all phases.
        sheet: the lamination.
        words: the winding in one line.
        first_tooth: how to find tooth 1.
        page: paper.
    """
    left, _, right, top = live_box(page)
    size = 3.5 if text_width(words, 3.5) <= right - left else 2.5
    picture = stator_picture(stage, joints, sheet)
    below = stage.centre.y - stage.radius - 0.8
    words_at = left + SENSES + SAMPLES + 2 * GAP
    sentences = [*_sentences(stage, joints, picture), first_tooth]
    return [
        Text(left, top - HEADING, size, fitted(words, right - left, size), level="top"),
        *picture.items,
        *_senses(left, below),
        *_samples(left + SENSES + GAP, below, picture),
        *_words(sentences, words_at, below, right - words_at),
    ]


def _senses(left: float, top: float) -> Items:
    """Return both senses on the face of a tooth, and what the sides are called."""
    heading = "Tooth seen from the air gap, lead side up"
    items: list[Item] = [Text(left, top, SMALLEST_TEXT, heading, level="top")]
    for sign, mark, x in ((1, PLUS, left + 23.0), (-1, MINUS, left + 62.0)):
        middle, name = Point(x, top - 24.5), f"{mark} {seen_from_gap(sign)}"
        items += _wound_tooth(middle, over_end(sign))
        items.append(Text(x, top - 40.5, 3.5, name, "centre", level="top"))
        for side, word in ((-1, "lower no."), (1, "higher no.")):
            spot = Point(x + side * 12.0, middle.y)
            anchor = math.pi / 2
            items.append(Text(spot.x, spot.y, SMALLEST_TEXT, word, "centre", anchor, "middle"))
    return tuple(items)


def _wound_tooth(middle: Point, sign: int) -> Items:
    """Return a tooth's face with a turn and a half of wire, start and finish up (lead side).

    sign 1: crosses to the right, clockwise; the start goes down there. sign -1: the mirror image.
    """

    def at(x: float, y: float) -> Point:
        return Point(middle.x + sign * x, middle.y + y)

    face = box(middle.x - 3.5, middle.y - 8.0, middle.x + 3.5, middle.y + 8.0, "narrow")
    inner, outer, low, high = 5.5, 8.5, 10.0, 9.5
    tail = high + 5.5
    wire = [
        at(inner, high - 1.2),
        at(inner, -low),
        at(-inner, -low),
        at(-inner, high),
        at(outer, high),
        at(outer, -low - 3.0),
        at(-outer, -low - 3.0),
        at(-outer, tail),
    ]
    across = math.pi if sign < 0 else 0.0
    down, up = -math.pi / 2, math.pi / 2
    return (
        face,
        polyline(wire, "visible"),
        line(at(inner, tail), at(inner, high + 1.2), "visible"),
        block_arrow(at(0.0, high), across, 6.0, 2.6),
        block_arrow(at(outer, 0.0), down, 6.0, 2.6),
        block_arrow(at(-outer, 0.0), up, 6.0, 2.6),
        Text(at(inner, 0.0).x, middle.y + tail + 0.6, SMALLEST_TEXT, "S", "centre"),
        Text(at(-outer, 0.0).x, middle.y + tail + 0.6, SMALLEST_TEXT, "F", "centre"),
    )


def _samples(left: float, top: float, picture: Picture) -> Items:
    heading = "Phase, coil, link" if picture.links or picture.terminals else "Phase, coil"
    items: list[Item] = [Text(left, top, SMALLEST_TEXT, heading, level="top")]
    for row, phase in enumerate(PHASES):
        y = top - 9.0 - 9.0 * row
        items.append(Text(left, y, 5.0, phase, level="middle"))
        frame = Frame(Point(left + 7.5, y), 0.0)
        items += hatched_block(Block(0.0, 13.0, 3.2, 3.2), frame, phase)
        if picture.links or picture.terminals:
            ends = Point(left + 23.0, y), Point(left + 39.0, y)
            items.append(line(*ends, LINK_STYLES[phase]))
        if picture.dots:
            items.append(Fill((Outline.circle(Point(left + 36.5, y), DOT),)))
        if picture.arrows:
            items.append(block_arrow(Point(left + 29.0, y), 0.0, *ROUTE_ARROW))
    notes = ["S start, F finish"]
    if picture.dots:
        notes.append("dot: joint of two tails")
    if picture.arrows:
        notes.append("arrow: wire goes on")
    if picture.terminals:
        notes.append("circle: terminal")
    items += text_lines(left, top - 33.5, SMALLEST_TEXT, notes)
    return tuple(items)


def _words(sentences: Sequence[str], left: float, top: float, width: float) -> Items:
    items: list[Item] = []
    for words in sentences:
        lines = wrap(words, width, SMALLEST_TEXT)
        items += text_lines(left, top, SMALLEST_TEXT, lines)
        top -= SMALLEST_TEXT * (1.0 + LINE_PITCH * (len(lines) - 1) + 0.9)
    return tuple(items)


_SIDES = {1: "higher", -1: "lower"}


def _sentences(stage: Stage, joints: Sequence[Join], picture: Picture) -> list[str]:
    found = [
        f"Arrow: the way the wire crosses the tooth on the lead side; {PLUS} to the {_SIDES[over_end(1)]} "
        f"number, {MINUS} to the {_SIDES[over_end(-1)]}.",
        "S goes down beside the tooth where the arrow points; F comes up on the other side.",
    ]
    if picture.links:
        found.append("Lines that cross without a dot are not joined.")
    else:
        found.append("Who joins whom: see the joint list.")
    if picture.terminals and any(join.path > 1 for join in joints):
        found.append("In brackets: number of the parallel path.")
    if stage.alternate:
        found.append("A tooth without a coil stays bare.")
    return found


def first_tooth(hub: Hub) -> str:
    """Return how to find tooth 1: keys, flats, arms, bolts lie on its axis, windows beside it.

    See `recipes.stator.hub`.
    """
    features = (
        (hub.keyway, "keyway"),
        (hub.flats, "flat"),
        (hub.spokes, "arm"),
        (hub.bolts, "bolt hole"),
    )
    for feature, name in features:
        if feature is not None and feature.count == 1:
            return f"Tooth 1 stands over the {name}. Mark it on the steel."
        if feature is not None:
            article = "an" if name[0] in "aeiou" else "a"
            return f"Tooth 1: a tooth over {article} {name}. Mark it on the steel."
    if hub.windows is not None and hub.windows.count > 1:
        return "Tooth 1: a tooth midway between two windows. Mark it on the steel."
    return "Tooth 1: any tooth. Mark it on the steel before you begin."
