"""Paper to wrap round the axle, 1:1: where to drill the wire slot, file flats, mill key seats.

The scribed axle must agree with its drawing: the wrap is for the bench, the drawing has the limits.
Not drawn: the round of the slot's mouth (it is filed last).

  seam                 slot                  seam        x = angle x (d + paper) / 2: the middle
    |  '  '  '  '  '  '  '  '  '  '  '  '  '  |          of the paper has this radius
    |              .-----.                    |        y = distance from face A, downward
    |              |  +  |  drill centres     |
    |              |  +  |                    |        Seen from outside with face A up, angles
    |              '-----'                    |        rise to the right: counter-clockwise as
    |  '  '  '  '  '  '  '  '  '  '  '  '  '  |        seen on face A.
    +--------- this edge to shoulder ---------+

One wrap for every turned stretch that has something to mark: wire slot, flats, grooves, key seats.
The wall of the slot is flat, so on the skin its round ends are no circles: they are drawn in
chords that stray less than 0.01 mm; nothing is cut along them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from geometry.drafting.drawing import Drawing, Lazy, Stroke, Text, edges, line
from geometry.drafting.font import SMALLEST_TEXT, text_width
from geometry.drafting.legible import Occupied
from geometry.drafting.sheet import table
from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.point import Point
from geometry.printing.tiles import Figure
from recipes.design.axle import Axle, WireSlot
from recipes.design.lamination import Keyway
from recipes.drawing_conventions import Imprint, Words, plain
from recipes.shaft.ring_groove import ring_grooves
from recipes.shaft.sections import (
    SAME,
    Section,
    drill_centres,
    flat_features,
    slot_feature,
)
from recipes.true_scale import true_scale_pages

#: Paper beyond the last mark, room for the scale, mm.
BEYOND = 9.0

#: An edge farther than this from the marks is not worth the paper if there is a nearer one, mm.
FAR = 120.0

#: A step up of at least this height stops the edge of paper, mm.
STOPS = 0.4

#: Chords of one round end of the slot.
CHORDS = 32


@dataclass(frozen=True)
class Mark:
    """Something on the skin, symmetric about a direction.

    Args:
        name: for the reader.
        angle: direction of its middle in the design's degrees.
        start, end: from face A, mm.
        half: half its angle on the skin, rad; `math.pi` goes right round.
    """

    name: str
    angle: float
    start: float
    end: float
    half: float


@dataclass(frozen=True)
class Wrap:
    """One piece of paper round one turned stretch.

    Args:
        diameter: nominal of the axle there, mm.
        paper: thickness of the paper, mm.
        start, end: from face A, mm.
        edge: "start" or "end": the edge that is laid against something.
        against: what that is.
        seam: direction of the seam in the design's degrees.
        marks: flats, grooves, key seats.
        slot: the wire slot, if it lies here.
    """

    diameter: float
    paper: float
    start: float
    end: float
    edge: str
    against: str
    seam: float
    marks: tuple[Mark, ...]
    slot: Mark | None

    @property
    def width(self) -> float:
        """Once round, at the middle of the paper, mm."""
        return math.pi * (self.diameter + self.paper)

    @property
    def at_edge(self) -> float:
        """Distance from face A of the edge that is laid against something, mm."""
        return self.start if self.edge == "start" else self.end

    def x(self, degrees: float) -> float:
        """Return the distance from the left seam of a direction of the design, mm."""
        return (degrees - self.seam) % 360.0 / 360.0 * self.width

    @property
    def sheet(self) -> Region:
        """The paper, its lower left corner at the origin."""
        wide, high = self.width, self.end - self.start
        return Region(Outline.rectangle(wide, high, Point(wide / 2, high / 2)))

    def y(self, z: float) -> float:
        """Return the height on the paper, from its lower edge, of a distance from face A, mm."""
        return self.end - z


@dataclass(frozen=True)
class _Band:
    """A stretch of one diameter, with those of its neighbours; 0 beyond a face."""

    start: float
    end: float
    diameter: float
    before: float
    after: float


def axle_wraps(
    axle: Axle, sections: Sequence[Section], keyway: Keyway | None, paper: float
) -> tuple[Wrap, ...]:
    """Return the wraps from face A to face B.

    Args:
        axle: as designed.
        sections: turned sections from face A to face B.
        keyway: of the stack; None where it takes no key.
        paper: thickness of the paper, mm.
    """
    bands: list[_Band] = []  # neighbours of one diameter joined
    for s in sections:
        if bands and abs(bands[-1].diameter - s.diameter) <= SAME:
            bands[-1] = replace(bands[-1], end=s.end)
        else:
            bands.append(_Band(s.start, s.end, s.diameter, 0.0, 0.0))
    sizes = [0.0, *(b.diameter for b in bands), 0.0]
    stack = next(s for s in sections if s.kind == "stator")
    found = []
    for k, band in enumerate(bands):
        slot, marks = _slot(axle, band), _marks(axle, keyway, stack, band)
        if slot or marks:
            beside = replace(band, before=sizes[k], after=sizes[k + 2])
            found.append(_wrap(beside, slot, marks, paper, axle.wire_slot.angle + 180.0))
    return tuple(found)


def slot_edge(wrap: Wrap, width: float) -> list[tuple[float, float]]:
    """Return the slot's outline on the paper, closed, counter-clockwise, from the lower left.

    A hole of radius w / 2 across a cylinder of radius r meets its skin at the angle
    asin((w / 2) sin(u) / r) and the height (w / 2) cos(u) from the hole's axis.
    """
    assert wrap.slot is not None
    r, half = wrap.diameter / 2, width / 2
    middle, scale = wrap.x(wrap.slot.angle), (wrap.diameter + wrap.paper) / 2
    low, high = wrap.y(wrap.slot.end) + half, wrap.y(wrap.slot.start) - half
    turns = [math.pi * (k / CHORDS - 0.5) for k in range(CHORDS + 1)]
    skin = [(scale * math.asin(half * math.sin(u) / r), half * math.cos(u)) for u in turns]
    return [
        *((middle + a, low - b) for a, b in skin),
        *((middle + a, high + b) for a, b in reversed(skin)),
    ]


def _wrap(
    band: _Band, slot: Mark | None, marks: tuple[Mark, ...], paper: float, seam: float
) -> Wrap:
    all_marks = (*marks, *((slot,) if slot else ()))
    low, high = min(m.start for m in all_marks), max(m.end for m in all_marks)
    ways = [
        ("start", _against(band.before, band.diameter, "A"), high - band.start),
        ("end", _against(band.after, band.diameter, "B"), band.end - low),
    ]
    ranks = {"shoulder": 0, "face A": 1, "face B": 1, "step": 2}
    edge, against, _ = min(ways, key=lambda w: (w[2] > FAR, ranks[w[1]], w[2]))
    return Wrap(
        diameter=band.diameter,
        paper=paper,
        start=band.start if edge == "start" else max(band.start, low - BEYOND),
        end=band.end if edge == "end" else min(band.end, high + BEYOND),
        edge=edge,
        against=against,
        seam=seam,
        marks=marks,
        slot=slot,
    )


def _against(neighbour: float, own: float, face: str) -> str:
    """Return what an edge is laid against: a shoulder stops it, a face or a step is only flush."""
    if neighbour == 0.0:
        return f"face {face}"
    return "shoulder" if neighbour - own >= 2 * STOPS else "step"


def _slot(axle: Axle, band: _Band) -> Mark | None:
    slot, cut = slot_feature(axle), axle.wire_slot
    if not (band.start - SAME <= slot.start and slot.end <= band.end + SAME):
        return None
    if cut.width >= band.diameter:
        return None
    half = math.asin(cut.width / band.diameter)
    return Mark("wire slot", cut.angle, slot.start, slot.end, half)


def _marks(axle: Axle, key: Keyway | None, stack: Section, band: _Band) -> tuple[Mark, ...]:
    """Return what else lies on a stretch."""
    found = []
    for feature, cut in zip(flat_features(axle), axle.flats, strict=True):
        if cut.across < band.diameter - SAME:
            half = math.acos(cut.across / band.diameter)
            found += [
                Mark("flat", cut.angle + turn, feature.start, feature.end, half)
                for turn in (0.0, 180.0)
            ]
    for groove in ring_grooves(axle):
        if groove.diameter < band.diameter - SAME:
            found.append(Mark("groove", 0.0, groove.from_face, groove.end, math.pi))
    if key is not None and key.width < band.diameter:
        half = math.asin(key.width / band.diameter)
        found += [
            Mark("key seat", 90.0 + 360.0 * k / key.count, stack.start, stack.end, half)
            for k in range(key.count)
        ]
    return tuple(
        replace(m, start=max(m.start, band.start), end=min(m.end, band.end))
        for m in found
        if min(m.end, band.end) - max(m.start, band.start) > SAME
    )


# One wrap as a figure: its edge, its marks and scale, and the words that must stay on it.

#: Ticks of the scale of angles: every so many degrees, their length, and that of a numbered one, mm.
STEP, TICK, LONG_TICK = 10, 1.5, 2.5

#: Steps of the numbers on the scale, degrees.
NUMBER_STEPS = (30, 45, 90, 180)

#: Half the length of a drill centre's cross over the radius of its hole.
CROSS_SHARE = 0.6

#: The middle line of the slot goes beyond its ends by this much, mm.
OVER = 2.0

_QUARTER = math.pi / 2


def wrap_figure(wrap: Wrap, number: int, words: Words) -> Figure:
    """Return the wrap at true size, its name above it; lower left corner at the origin."""
    width, height = wrap.width, wrap.end - wrap.start
    sheet = wrap.sheet
    lines: list[Stroke] = [s for s in edges(sheet, "cut") if isinstance(s, Stroke)]
    lines += _ticks(wrap, height)
    lines += [s for m in wrap.marks for s in _mark(wrap, m)]
    lines += _slot_strokes(wrap)
    occupied, texts = Occupied(lines), list[Text]()

    def first_free(places: Iterator[Text]) -> Text | None:
        return occupied.first_free(p for p in places if _inside(p, width, height))

    against = first_free(_edge_places(wrap, words, height))
    above = 2.0
    if against is None:  # no room on the paper: beside the edge
        y = height + above if wrap.edge == "start" else -above - SMALLEST_TEXT
        against = Text(width / 2, y, SMALLEST_TEXT, f"this edge to {edge_words(wrap)}", "centre")
        above += 4.0 if wrap.edge == "start" else 0.0
    texts.append(against)
    occupied.add(texts)
    for places in _texts(wrap, number, words, height):
        spot = first_free(places)
        if spot is not None:
            texts.append(spot)
            occupied.add((spot,))
    ends = f"{plain(wrap.start)} to {plain(wrap.end)} mm from face A"
    name = f"wrap {number}: ⌀{words.size(wrap.diameter)}, {words.said(ends)}"
    title = Text(width / 2, height + above, SMALLEST_TEXT, name, "centre")
    return Figure((*lines, *texts, title), (sheet,), name)


def drill_figure(wrap: Wrap, slot: WireSlot, words: Words) -> Figure:
    """Return the table of the two drill centres of the wire slot that lies on a wrap."""
    rows = [("hole", f"from {edge_words(wrap)}, {words.unit}", "from face A", "direction", "drill")]
    rows += [
        (
            str(k),
            words.size(abs(z - wrap.at_edge)),
            words.size(z),
            f"{plain(slot.angle)}°",
            words.size(slot.width, "⌀"),
        )
        for k, z in enumerate(drill_centres(slot), start=1)
    ]
    return Figure(table(0.0, 0.0, rows).items)


def edge_words(wrap: Wrap) -> str:
    """Return what the edge is laid against, for the reader."""
    return wrap.against if wrap.against.startswith("face") else f"the {wrap.against}"


def _ticks(wrap: Wrap, height: float) -> list[Stroke]:
    """Return the scale of angles at both edges."""
    found = []
    numbered = _number_step(wrap)
    for degrees in range(0, 360, STEP if wrap.width > 60.0 else 3 * STEP):
        x = wrap.x(degrees)
        if min(x, wrap.width - x) < 0.3:
            continue  # the seam itself
        long = LONG_TICK if degrees % numbered == 0 else TICK
        for foot, way in ((0.0, 1.0), (height, -1.0)):
            found.append(line(Point(x, foot), Point(x, foot + way * long), "mark"))
    return found


def _number_step(wrap: Wrap) -> int:
    wide = text_width("330°", SMALLEST_TEXT) + 1.5
    return next((s for s in NUMBER_STEPS if s / 360 * wrap.width >= wide), NUMBER_STEPS[-1])


def _mark(wrap: Wrap, mark: Mark) -> Iterator[Stroke]:
    """Yield the edges of a flat, groove or key seat, parted where it crosses the seam."""
    low, high = wrap.y(mark.end), wrap.y(mark.start)
    if mark.half >= math.pi:
        for y in (low, high):
            if 0.0 < y < wrap.end - wrap.start:
                yield line(Point(0.0, y), Point(wrap.width, y), "mark")
        return
    reach = mark.half / (2 * math.pi) * wrap.width
    middle = wrap.x(mark.angle)
    for shift in (-wrap.width, 0.0, wrap.width):
        a, b = middle + shift - reach, middle + shift + reach
        left, right = max(a, 0.0), min(b, wrap.width)
        if right - left < 1e-9:
            continue
        for x in (x for x in (a, b) if 0.0 < x < wrap.width):
            yield line(Point(x, low), Point(x, high), "mark")
        for y in (low, high):
            if 1e-9 < y < wrap.end - wrap.start - 1e-9:
                yield line(Point(left, y), Point(right, y), "mark")


def _slot_strokes(wrap: Wrap) -> Iterator[Stroke]:
    """Yield the slot's edge, its middle line, and a cross at both drill centres."""
    if wrap.slot is None:
        return
    height, x = wrap.end - wrap.start, wrap.x(wrap.slot.angle)
    half = wrap.diameter / 2 * math.sin(wrap.slot.half)
    spots = [Point(*p) for p in slot_edge(wrap, 2 * half)]
    yield Stroke(Outline.polygon(spots).segments, "mark")
    ends = wrap.y(wrap.slot.end) - OVER, wrap.y(wrap.slot.start) + OVER
    low, high = max(ends[0], LONG_TICK), min(ends[1], height - LONG_TICK)
    yield line(Point(x, low), Point(x, high), "centre")
    arm = CROSS_SHARE * half
    for y in (wrap.y(wrap.slot.start) - half, wrap.y(wrap.slot.end) + half):
        yield line(Point(x - arm, y), Point(x + arm, y), "mark")


def _inside(text: Text, width: float, height: float) -> bool:
    return all(0.5 <= p.x <= width - 0.5 and 0.5 <= p.y <= height - 0.5 for p in text.corners())


def _texts(wrap: Wrap, number: int, words: Words, height: float) -> Iterator[Iterator[Text]]:
    """Yield for every further text its places, best first; the most needed texts come first."""
    low = wrap.edge == "start"  # numbers stand at the free edge, the words at the other
    for degrees in range(0, 360, _number_step(wrap)):
        spot, away = Point(wrap.x(degrees), 0.0), LONG_TICK + 0.8 + SMALLEST_TEXT / 2
        rows = (away, height - away) if low else (height - away, away)
        yield (_text(spot.x, y, f"{degrees}°") for y in rows)
    for mark in (*wrap.marks, *((wrap.slot,) if wrap.slot else ())):
        yield _mark_places(wrap, mark)
    for x in (2.2, wrap.width - 2.2):
        yield (_text(x, s * height, "seam", _QUARTER) for s in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8))
    yield _anywhere(
        wrap, height, (f"wrap {number}: ⌀{words.size(wrap.diameter)}", f"wrap {number}")
    )
    yield _anywhere(wrap, height, ("↑ face A", "↑ A"))


def _text(x: float, y: float, words: str, turn: float = 0.0) -> Text:
    return Text(x, y, SMALLEST_TEXT, words, "centre", turn, "middle")


def _edge_places(wrap: Wrap, words: Words, height: float) -> Iterator[Text]:
    """Yield places for the words at the edge that is laid against something."""
    against = wrap.against
    short = f"this edge {'flush with' if against == 'step' else 'to'} {against}"
    far = "" if against.startswith("face") else f", {words.size(wrap.at_edge)} from face A"
    first = TICK + 0.8 + SMALLEST_TEXT / 2
    for said in (f"{short}{far}", short, f"to {against}"):
        for k in range(4):
            off = first + 3.4 * k
            y = off if wrap.edge == "end" else height - off
            for n in (0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6, -6, 7, -7):
                yield _text((0.5 + 0.06 * n) * wrap.width, y, said)


def _mark_places(wrap: Wrap, mark: Mark) -> Iterator[Text]:
    """Yield places for a name: within the mark, upright in it, then beside it."""
    x, y = wrap.x(mark.angle), (wrap.y(mark.start) + wrap.y(mark.end)) / 2
    if mark.half >= math.pi:
        off = (mark.end - mark.start) / 2 + 0.8 + SMALLEST_TEXT / 2
        for s in (0.5, 0.35, 0.65, 0.2, 0.8):
            for dy in (0.0, off, -off):
                yield _text(s * wrap.width, y + dy, mark.name)
        return
    reach = min(mark.half / (2 * math.pi), 0.5) * wrap.width
    for turn in (0.0, _QUARTER):
        for dx in (0.0, 0.4 * reach, -0.4 * reach):
            yield _text(x + dx, y, mark.name, turn)
    for away in (2.4, 3.5, 6.0):
        for side in (1.0, -1.0):
            for dy in (0.0, 4.0, -4.0):
                yield _text(x + side * (reach + away), y + dy, mark.name, _QUARTER)


def _anywhere(wrap: Wrap, height: float, sayings: Sequence[str]) -> Iterator[Text]:
    for said in sayings:
        for a, b in ((0.3, 0.5), (0.7, 0.5), (0.2, 0.5), (0.8, 0.5)):
            for dy in (0.0, 0.12, -0.12, 0.24, -0.24):
                for dx in (0.0, 0.06, -0.06):
                    yield _text((a + dx) * wrap.width, (b + dy) * height, said)


def axle_wrap(wraps: Sequence[Wrap], slot: WireSlot, imprint: Imprint) -> tuple[Part, ...]:
    """Return the wraps as one part with its pages; none where nothing is to be marked.

    Args:
        wraps: from face A to face B.
        slot: wire slot of the axle.
        imprint: of the design.

    Raises (when its pages are looked at):
        Refused: the printer's rulers are out of range.
    """
    if not wraps:
        return ()
    paper = imprint.printer.paper_thickness
    notes = (
        "Punch the crosses through the paper, drill small first. Clamp the axle; eye protection.",
        "Printed side out, face A up. Seams do not just meet? Measure rulers, axle, paper "
        f"({imprint.said(f'{plain(paper)} mm')}).",
        "Angles: counter-clockwise as you look at face A, 0° right, 90° up.",
        "Seams lie opposite the wire slot, numbers at the free edge.",
    )
    settings: dict[str, float | int | str] = {"paper_thickness_mm": paper}
    for number, wrap in enumerate(wraps, start=1):
        settings[f"wrap_{number}_diameter_mm"] = round(wrap.diameter, 4)
        settings[f"wrap_{number}_width_mm"] = round(wrap.width, 4)

    def pages() -> list[Drawing]:
        figures = []
        for number, wrap in enumerate(wraps, start=1):
            figures.append(wrap_figure(wrap, number, imprint.words))
            if wrap.slot is not None:
                figures.append(drill_figure(wrap, slot, imprint.words))
        return true_scale_pages(figures, imprint, "axle wrap", notes)

    return (
        Part(
            name="axle_wrap",
            cut=tuple(w.sheet for w in wraps),
            material="office paper",
            thickness=paper,
            quantity=1,
            settings=settings,
            notes=notes,
            drawings=Lazy(pages),
        ),
    )
