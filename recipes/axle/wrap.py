"""What lies where on the axle's skin, unrolled: the paper that is wrapped round it.

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
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from recipes.axle.sections import (
    SAME,
    axle_sections,
    flat_features,
    groove_features,
    slot_feature,
    stator_feature,
)

if TYPE_CHECKING:
    from recipes.job import Job

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


def wraps_of(job: Job) -> tuple[Wrap, ...]:
    """Return the wraps from face A to face B.

    Raises:
        Refused: see `recipes.axle.sections.axle_sections`.
    """
    return tuple(w for band in _bands(job) if (w := _wrap(job, band)) is not None)


def drill_centres(job: Job) -> tuple[float, float]:
    """Return the distances from face A of the two holes that make the wire slot's ends, mm."""
    slot = job.design.axle.wire_slot
    return slot.from_face + slot.width / 2, slot.from_face + slot.length - slot.width / 2


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


def _bands(job: Job) -> list[_Band]:
    """Return turned stretches, neighbours of one diameter joined."""
    found: list[_Band] = []
    for s in axle_sections(job):
        if found and abs(found[-1].diameter - s.diameter) <= SAME:
            found[-1] = replace(found[-1], end=s.end)
        else:
            found.append(_Band(s.start, s.end, s.diameter, 0.0, 0.0))
    sizes = [0.0, *(b.diameter for b in found), 0.0]
    return [replace(b, before=sizes[k], after=sizes[k + 2]) for k, b in enumerate(found)]


def _wrap(job: Job, band: _Band) -> Wrap | None:
    slot, marks = _slot(job, band), _marks(job, band)
    if slot is None and not marks:
        return None
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
        paper=job.design.print.paper_thickness,
        start=band.start if edge == "start" else max(band.start, low - BEYOND),
        end=band.end if edge == "end" else min(band.end, high + BEYOND),
        edge=edge,
        against=against,
        seam=job.design.axle.wire_slot.angle + 180.0,
        marks=marks,
        slot=slot,
    )


def _against(neighbour: float, own: float, face: str) -> str:
    """Return what an edge is laid against: a shoulder stops it, a face or a step is only flush."""
    if neighbour == 0.0:
        return f"face {face}"
    return "shoulder" if neighbour - own >= 2 * STOPS else "step"


def _slot(job: Job, band: _Band) -> Mark | None:
    slot, cut = slot_feature(job), job.design.axle.wire_slot
    if not (band.start - SAME <= slot.start and slot.end <= band.end + SAME):
        return None
    if cut.width >= band.diameter:
        return None
    half = math.asin(cut.width / band.diameter)
    return Mark("wire slot", cut.angle, slot.start, slot.end, half)


def _marks(job: Job, band: _Band) -> tuple[Mark, ...]:
    """Return what else lies on a stretch."""
    axle, found = job.design.axle, []
    for feature, cut in zip(flat_features(job), axle.flats, strict=True):
        if cut.across < band.diameter - SAME:
            half = math.acos(cut.across / band.diameter)
            found += [
                Mark("flat", cut.angle + turn, feature.start, feature.end, half)
                for turn in (0.0, 180.0)
            ]
    for feature, groove in zip(groove_features(job), axle.grooves, strict=True):
        if groove.diameter < band.diameter - SAME:
            found.append(Mark("groove", 0.0, feature.start, feature.end, math.pi))
    key, seat = job.design.hub.keyway, stator_feature(job)
    if key is not None and key.width < band.diameter:
        half = math.asin(key.width / band.diameter)
        found += [
            Mark("key seat", 90.0 + 360.0 * k / key.count, seat.start, seat.end, half)
            for k in range(key.count)
        ]
    return tuple(
        replace(m, start=max(m.start, band.start), end=min(m.end, band.end))
        for m in found
        if min(m.end, band.end) - max(m.start, band.start) > SAME
    )
