"""Lettering of the paper ring: where number, phase and arrow find room, in which size.

Each of the three stands on the band or on the tooth's finger; phase and arrow may be missing where
paper is scarce, the number never. Of all ways that fit the best is taken (`_merit`): everything
there, the number on the band where no coil hides it, and a plain band, which two round cuts make,
unless fingers allow larger lettering.

All stands as if its tooth pointed up: the ring is turned in the hand, tooth by tooth.

Shape of the ring for one end of the stator: a band on the yoke, a finger on every tooth.

            ____ outer   stays back from the air gap
           |    |
           |    |  finger, stays back from both flanks
        ___|    |___ band   stays back from the slot bottom
       (            )
        ------------  inner  clear of axle, key, and collar

Origin: axis of the motor. A tooth too slim for lettering has no finger; the band carries all.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Literal

from geometry.drafting.drawing import Item, Text
from geometry.drafting.font import text_width
from geometry.outline import Outline, Region
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, Line, Segment
from recipes.winding.layout import WindingLayout
from recipes.winding.marks import MINUS, Frame, block_arrow, coil_label
from recipes.winding.sense import over_end


@dataclass(frozen=True)
class RingShape:
    """Measures of one ring in mm.

    Args:
        slots: number of teeth.
        inner, band, outer: radii of the hole, of the band, and of the fingers' ends.
        half: half the width of a finger; 0 for none, `outer` is then `band`.
    """

    slots: int
    inner: float
    band: float
    outer: float
    half: float

    @property
    def pitch(self) -> float:
        """Angle from tooth to tooth, rad."""
        return 2 * math.pi / self.slots

    def without_fingers(self) -> RingShape:
        """Return the plain band."""
        return replace(self, outer=self.band, half=0.0)

    def whole(self, axes: Sequence[float]) -> Region:
        """Return the ring with fingers on these axes (rad, counter-clockwise)."""
        hole = (Outline.circle(ORIGIN, self.inner),)
        if not self.half:
            return Region(Outline.circle(ORIGIN, self.band), hole)
        fingers = [self._finger(a) for a in axes]
        segments: list[Segment] = []
        for k, finger in enumerate(fingers):
            after = fingers[(k + 1) % len(fingers)][0].start
            segments += [*finger, Arc(finger[-1].end, after, ORIGIN, True)]
        return Region(Outline(tuple(segments)), hole)

    def sector(self, axes: Sequence[float]) -> Region:
        """Return the piece with fingers on these axes, parted in the middle of the slots."""
        low, high = axes[0] - self.pitch / 2, axes[-1] + self.pitch / 2
        start, stop = Point.polar(self.band, low), Point.polar(self.band, high)
        segments: list[Segment] = []
        at = start
        for a in axes if self.half else ():
            finger = self._finger(a)
            segments += [Arc(at, finger[0].start, ORIGIN, True), *finger]
            at = finger[-1].end
        inner = Point.polar(self.inner, high), Point.polar(self.inner, low)
        segments += [
            Arc(at, stop, ORIGIN, True),
            Line(stop, inner[0]),
            Arc(*inner, ORIGIN, False),
            Line(inner[1], start),
        ]
        return Region(Outline(tuple(segments)))

    def _finger(self, axis: float) -> tuple[Segment, ...]:
        """Return both sides and the end of a finger, from the band and back to it."""
        base, tip = (math.sqrt(r * r - self.half**2) for r in (self.band, self.outer))
        corners = ((base, -1.0), (tip, -1.0), (tip, 1.0), (base, 1.0))
        a, b, c, d = (Point(x, side * self.half).rotated(axis) for x, side in corners)
        return Line(a, b), Arc(b, c, ORIGIN, True), Line(c, d)


Place = Literal["band", "finger", ""]

#: Sizes tried for numbers and for phases, mm.
NUMBER_SIZES, PHASE_SIZES = (5.0, 3.5, 2.5), (3.5, 2.5)

#: A plain band with numbers of at least this height, mm, beats fingers.
GOOD_NUMBER = 3.5

#: Clear distance between lettering; of lettering from a cut; mm.
GAP, EDGE = 0.6, 0.3

#: Arrow: greatest and least length, and width of its head, mm.
LONGEST, SHORTEST, HEAD = 6.0, 1.8, 2.4

#: Lettering of the name of the stator's end, mm.
SIDE_SIZE = 2.5

QUARTER = math.pi / 2


@dataclass(frozen=True)
class Setting:
    """A word on every tooth: where, radius of its middle and size in mm, whether it reads outward."""

    place: Place
    radius: float
    height: float
    outward: bool

    def text(self, frame: Frame, words: str) -> Text:
        """Return the word on the tooth of that frame."""
        spot = frame.at(self.radius)
        turn = frame.angle if self.outward else frame.angle - QUARTER
        return Text(spot.x, spot.y, self.height, words, "centre", turn, "middle")


@dataclass(frozen=True)
class RingLabels:
    """Where everything stands on every tooth.

    Args:
        shape: the ring, without fingers if they carry nothing.
        number, phase: setting of both words; phase None: no room.
        signed: the phase is written with its sense, "U+"; else as a letter beside its arrow.
        arrow: (radius of its middle, length) in mm; None: no room.
        spare: radii in mm between which a finger is still blank.
    """

    shape: RingShape
    number: Setting
    phase: Setting | None
    signed: bool
    arrow: tuple[float, float] | None
    spare: tuple[float, float]

    def side(self, frame: Frame, words: str) -> Text | None:
        """Return the name of the stator's end on the blank rest of a finger, None if too short."""
        low, high = self.spare
        wide = text_width(words, SIDE_SIZE)
        if 2 * self.shape.half - 2 * EDGE < SIDE_SIZE or wide > high - low:
            return None
        return Setting("finger", high - wide / 2, SIDE_SIZE, True).text(frame, words)

    def items(self, frame: Frame, index: int, winding: WindingLayout) -> list[Item]:
        """Return the lettering of one tooth by its index; a bare tooth has its number only."""
        tooth = winding.teeth[index]
        found: list[Item] = [self.number.text(frame, str(index + 1))]
        if tooth.phase and self.phase:
            found.append(self.phase.text(frame, coil_label(tooth) if self.signed else tooth.phase))
        if tooth.phase and self.arrow:
            radius, length = self.arrow
            turn = frame.angle + over_end(tooth.sense) * QUARTER
            found.append(block_arrow(frame.at(radius), turn, length, HEAD))
        return found


def ring_labels(shape: RingShape) -> RingLabels | None:
    """Return the best lettering that finds room, None if not even the numbers do."""
    return max(_ways(shape), key=_merit, default=None)


def _merit(way: RingLabels) -> tuple[float, ...]:
    number, phase = way.number, way.phase
    return (
        way.arrow is not None,
        phase is not None,
        number.place == "band",
        way.signed,
        _worth(way),
        not number.outward,
        number.height,
        phase is not None and not phase.outward,
        phase.height if phase else 0.0,
    )


def _worth(way: RingLabels) -> int:
    """Rank the shape: a plain band with good numbers, fingers with phases, a plain band, the rest."""
    if not way.shape.half:
        return 3 if way.number.height >= GOOD_NUMBER else 1
    return 2 if way.phase is not None and way.phase.place == "finger" else 0


def _ways(shape: RingShape) -> Iterator[RingLabels]:
    """Yield every way that fits."""
    places: tuple[Place, ...] = ("band", "finger") if shape.half else ("band",)
    turns = (False, True)
    numbers = [_Choice(*c) for c in product(places, NUMBER_SIZES, turns)]
    phases = [_Choice(*c) for c in product(places, PHASE_SIZES, turns, turns)]
    for number, phase, arrow in product(numbers, [*phases, None], [*places, None]):
        if phase and not phase.signed and arrow is None:
            continue  # a letter alone does not tell the sense
        way = _Columns(shape).way(number, phase, arrow)
        if way is not None:
            yield way


@dataclass(frozen=True)
class _Choice:
    place: Place
    height: float
    outward: bool
    signed: bool = False


class _Columns:
    """Two columns that fill from outside: the finger and the band."""

    def __init__(self, shape: RingShape) -> None:
        self.shape = shape
        self.digits = "0" * len(str(shape.slots))
        tip = math.sqrt(shape.outer**2 - shape.half**2)
        self.top: dict[Place, float] = {"finger": tip - EDGE, "band": shape.band - EDGE}
        self.foot: dict[Place, float] = {"finger": shape.band + EDGE, "band": shape.inner + EDGE}

    def way(self, number: _Choice, phase: _Choice | None, arrow: Place | None) -> RingLabels | None:
        """Return the labels set so, None if one has no room.

        From outside: on a finger number, phase, arrow; on the band arrow, phase, number, so that
        links tied over the band's edge hide the arrow first.
        """
        words = f"W{MINUS}" if phase and phase.signed else "W"
        one = two = three = None
        if number.place == "finger":
            one = self._word(self.digits, number)
        if arrow == "band":
            three = self._arrow(arrow)
        if phase:
            two = self._word(words, phase)
        if arrow == "finger":
            three = self._arrow(arrow)
        if number.place == "band":
            one = self._word(self.digits, number)
        if one is None or (phase and two is None) or (arrow and three is None):
            return None
        used = {number.place, phase.place if phase else "", arrow or ""}
        shape = self.shape if "finger" in used else self.shape.without_fingers()
        spare = self.foot["finger"], self.top["finger"]
        return RingLabels(shape, one, two, phase is not None and phase.signed, three, spare)

    def _word(self, words: str, choice: _Choice) -> Setting | None:
        place, size, outward = choice.place, choice.height, choice.outward
        across, along = text_width(words, size), size
        if outward:
            across, along = along, across
        radius = self._take(place, along)
        if radius is None or across > self._width(place, radius - along / 2):
            return None
        return Setting(place, radius, size, outward)

    def _arrow(self, place: Place) -> tuple[float, float] | None:
        radius = self._take(place, HEAD)
        if radius is None:
            return None
        share = 0.66 if place == "band" else 1.0  # clear of the neighbour's arrow
        length = min(LONGEST, share * self._width(place, radius - HEAD / 2))
        return (radius, length) if length >= SHORTEST else None

    def _take(self, place: Place, along: float) -> float | None:
        """Return the radius of the middle of the next `along` mm, None if the column is full."""
        top = self.top[place]
        if top - along < self.foot[place]:
            return None
        self.top[place] = top - along - GAP
        return top - along / 2

    def _width(self, place: Place, inner: float) -> float:
        """Return the clear width of a column at the inner edge of something, mm."""
        if place == "finger":
            return 2 * self.shape.half - 2 * EDGE
        return 2 * inner * math.tan(min(self.shape.pitch / 2, 1.2)) - GAP
