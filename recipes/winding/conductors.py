"""Where every wire of a coil side lies, how many turns that lets in, and what to say about it.

A tooth has a coil side on either flank, mirror images of each other; this is the one on the upper
side of the slot axis, against the upper tooth (slot frame, see `recipes.stator.slot`).

layered   rows from the tooth outwards, the first from the root, so that the start lead lies at
          the bottom (common practice); see `recipes.winding.conductor_rows` for what a row is and how the last
          wires find room to come in. From the places counted so, `crossing_allowance` is taken
          off the total: turns cross from row to row outside the slot, over the tooth's end, and
          what they cost there is spread over all rows, not a fixed number of places in each.
random    circles packed in rows, of which hands reach `RANDOM_SHARE`; nearest the tooth first.

Either way no more than `EXPERT` of the room fills, which is the limit of skilled hands.
Strands in hand are laid as strands: a turn is that many consecutive places.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray

from geometry.finding import Finding
from geometry.packing.region import Floats, Region
from recipes.job import Job
from recipes.job import Job as Again
from recipes.refusal import Refused, stop, warn
from recipes.stator.slot import ParallelTeeth
from recipes.tables.wire import Wire, list_wires
from recipes.winding.turn_length import turn_results
from recipes.winding.window import COMFORTABLE, EXPERT, WindingWindow

Ints = NDArray[np.int64]


#     The way in: how deep a wire still gets along the far wall of its half slot while it is filled.
#
# A disc somewhat wider than the wire comes through the opening and slides inwards, always as far
# from the tooth as the slot allows: along the separator, because the neighbour's half is full, or
# along the opposite tooth if the slot has one coil side. A wire that leaves it no room shuts the
# way at that depth. Testing this one path is on the safe side: another may be open.
#
# All lengths in wire diameters, in the frame of `geometry.packing.region.Region`.

#: Spacing of the columns in which the way in is tested.
COLUMN = 0.125


@dataclass(frozen=True)
class Entry:
    """Where wire comes in, slot frame (the slot opens along +x), mm.

    Args:
        x: inner end of the opening: the wedge's inner face.
        y: of the disc's centre as it passes there.
        passage: diameter of the disc that must get through.
    """

    x: float
    y: float
    passage: float


class Corridor:
    """How deep the way in reaches. Columns run across the slot axis."""

    def __init__(self, region: Region, entry: Entry) -> None:
        """Find the far wall in every column between slot bottom and opening."""
        x_in, y_in = (np.array([entry.x, entry.y]) - region.origin) / region.diameter
        radius = entry.passage / region.diameter / 2.0
        self.blocks = 0.5 + radius
        free = shapely.buffer(region.polygon, -radius)
        if free.geom_type == "MultiPolygon":
            free = max(free.geoms, key=lambda part: (part.bounds[2], part.area))
        #: Deepest abscissa to which the way is open.
        self.reach, self.top = math.inf, -math.inf
        self.x: list[float] = []
        self.floor: list[float] = []
        if not free.is_empty:
            self.reach, _, high, _ = free.bounds
            x = np.arange(self.reach, x_in, COLUMN) + 1e-9
            ring = np.asarray(free.exterior.coords)
            floor = np.where(x < high, _lower(ring, x), y_in)
            self.x, self.floor = x.tolist(), floor.tolist()
            self.top = float(floor.max(initial=y_in))

    def shut_by(self, x: float, y: float) -> float:
        """Return the outermost abscissa at which a wire at (x, y) alone shuts the way."""
        if y - self.blocks > self.top:
            return -math.inf
        # Few columns, and the outermost one that is shut is enough: quicker one by one.
        first, last = bisect_left(self.x, x - self.blocks), bisect_left(self.x, x + self.blocks)
        lowest, square = y - self.blocks - 1e-9, self.blocks**2
        for k in range(last - 1, first - 1, -1):
            if self.floor[k] > lowest:  # else far below the wire, whatever the column
                across = self.x[k] - x
                if self.floor[k] > y - math.sqrt(max(square - across * across, 0.0)):
                    return self.x[k]
        return -math.inf


def _lower(ring: Floats, x: Floats) -> Floats:
    """Return the lowest ordinate of a closed ring at each abscissa."""
    x0, y0, x1, y1 = ring[:-1, 0], ring[:-1, 1], ring[1:, 0], ring[1:, 1]
    span = np.where(x1 == x0, 1.0, x1 - x0)
    t = (x[:, None] - x0) / span
    y = np.where((t >= 0.0) & (t <= 1.0) & (x1 != x0), y0 + t * (y1 - y0), np.inf)
    lowest: Floats = y.min(axis=1)
    return lowest


#: A wire still gets in where a disc of this many overall diameters does (1.15 D,
#: common practice).
PASSAGE = 1.15

#: Share of circles in rows that a random lay reaches by hand, common practice; a search packs some
#: 3 % more, less than hands differ. For comparison: equal discs at random reach 0.89 of the hexagonal
#: density when shaken down, 0.73 when loose (H. J. H. Brouwers, Soft Matter 2023, doi 10.1039/d3sm01254a).
RANDOM_SHARE = 0.85

#: Distance of two nested rows, in overall diameters.
ROW_PITCH = math.sqrt(3.0) / 2.0

#: Sizes tried below the wire asked for, to name one that fits.
SIZES_TRIED = 8


@dataclass(frozen=True, eq=False)
class ConductorPlacement:
    """One coil side, wire by wire.

    Args:
        kind: "layered" or "random".
        diameter: largest overall diameter of the wire, mm.
        strands, turns: asked for.
        places: centres (n, 2), mm, slot frame, in laying order; the turns asked for take the
            first `turns * strands` of them.
        rows: row of each place (n,), counted from 1 at the tooth.
        heights: distance of each centre from the lined flank (n,), mm.
        share: of the places that hands reach: 1 - crossing_allowance, or RANDOM_SHARE.
        hand_limit: wires at `EXPERT` fill of the room.
    """

    kind: Literal["layered", "random"]
    diameter: float
    strands: int
    turns: int
    places: Floats
    rows: Ints
    heights: Floats
    share: float
    hand_limit: int

    @property
    def conductors(self) -> int:
        """Wires asked for in this coil side."""
        return self.turns * self.strands

    @property
    def conductors_by_lay(self) -> int:
        """Wires that the lay lets in, crossings taken off."""
        return math.floor(self.share * len(self.places) + 1e-9)

    @property
    def conductors_possible(self) -> int:
        """Wires that go in by hand: the lay's count, but no more than the hand limit."""
        return min(self.conductors_by_lay, self.hand_limit)

    @property
    def turns_that_fit(self) -> int:
        """Turns that go in by hand, all strands of each."""
        return self.conductors_possible // self.strands

    @property
    def fails_at(self) -> int | None:
        """First turn that does not go in, counted from 1; None if all do."""
        return self.turns_that_fit + 1 if self.turns > self.turns_that_fit else None

    @property
    def free_places(self) -> int:
        """Wires that could still be added; below 0: wires too many."""
        return self.conductors_possible - self.conductors

    @cached_property
    def laid(self) -> Floats:
        """Centres (m, 2) of the wires asked for; fewer than asked if places run out."""
        return self.places[: self.conductors]

    @cached_property
    def conductors_per_row(self) -> tuple[int, ...]:
        """Laid wires in each row, from the tooth outwards."""
        import numpy as np

        return tuple(int(n) for n in np.bincount(self.rows[: self.conductors])[1:])

    @cached_property
    def turns_per_layer(self) -> tuple[int, ...]:
        """Laid turns in each row; a turn that straddles two rows counts where it begins."""
        import numpy as np

        begins = self.rows[: len(self.laid) // self.strands * self.strands : self.strands]
        return tuple(int(n) for n in np.bincount(begins, minlength=self.layers + 1)[1:])

    @property
    def layers(self) -> int:
        """Rows begun."""
        return len(self.conductors_per_row)


def flank(job: Job) -> tuple[tuple[float, float], float]:
    """Return the unit vector off the upper tooth's flank and the lined flank's distance along it.

    A point (x, y) of the slot frame lies `x * off[0] + y * off[1] - distance` off the paper.
    """
    sides, paper = job.slot.sides, job.design.liner.thickness
    if isinstance(sides, ParallelTeeth):
        a = job.slot.half_pitch
        return (math.sin(a), -math.cos(a)), sides.width / 2 + paper
    return (0.0, -1.0), paper - sides.width / 2


def conductor_placement(job: Job) -> ConductorPlacement:
    """Return the place of every wire of one coil side.

    Raises:
        Refused: no slot, no wire of that size or no room at all.
    """
    import numpy as np

    from recipes.winding.conductor_rows import place_in_rows

    winding, fill = job.design.winding, job.window
    off, distance = flank(job)
    if winding.lay == "layered":
        places, rows = place_in_rows(fill.room, fill.diameter, off, _entry(job))
        heights = places @ np.array(off) - distance
        share = 1.0 - winding.crossing_allowance
    else:
        heights = fill.spots @ np.array(off) - distance
        order = np.lexsort((fill.spots[:, 0], np.round(heights, 6)))
        places, heights = fill.spots[order], heights[order]
        pitch = ROW_PITCH * fill.diameter
        rows = 1 + np.round(np.maximum(heights / pitch - 0.5 / ROW_PITCH, 0.0)).astype(np.int64)
        share = RANDOM_SHARE
    return ConductorPlacement(
        winding.lay,
        fill.diameter,
        fill.strands,
        fill.turns,
        places,
        rows,
        heights,
        share,
        hand_limit(fill),
    )


def hand_limit(fill: WindingWindow) -> int:
    """Return the wires of one coil side at `EXPERT` fill of its room."""
    return math.floor(EXPERT * float(fill.room.area) / fill.diameter**2)


def _entry(job: Job) -> Entry:
    """Return the opening as the last wires see it, the neighbour's half being full."""

    fill = job.window
    passage = PASSAGE * fill.diameter
    beside = job.design.separator.thickness / 2 + passage / 2 if fill.sides == 2 else 0.0
    return Entry(fill.wedge_span[1], beside, passage)


def conductor_findings(job: Job) -> list[Finding]:
    """Judge whether the turns go in, how hard that is, and the edges that they are bent over.

    Raises:
        Refused: see `lay_of`.
    """

    lay = job.conductors
    found = [_too_many(job, lay)] if lay.fails_at else []
    if not found and job.window.wire_fill > COMFORTABLE:
        found.append(
            warn(
                "tight-fill",
                "winding.turns",
                (
                    f"winding.turns = {lay.turns}: wire takes {100 * job.window.wire_fill:.0f} % of the "
                    f"lined room (sum of D^2); above {100 * COMFORTABLE:.0f} % only patient layer "
                    "winding gets the last turns in"
                ),
                value=job.window.wire_fill,
                limit=COMFORTABLE,
                fix=f"wind a trial tooth first, or use at most {_comfortable_turns(job)} turns",
                source="sum D^2 / room 0.70 comfortable, 0.80 expert; common practice",
                confidence="practice",
            )
        )
    return found + (list(job.end_edge_findings) if len(lay.places) >= lay.strands else [])


def _comfortable_turns(job: Job) -> int:
    fill = job.window
    wires = math.floor(COMFORTABLE * float(fill.room.area) / fill.diameter**2)
    return wires // fill.strands


def _too_many(job: Job, lay: ConductorPlacement) -> Finding:
    """Say how many turns go in, why no more, and what would."""
    fill = job.window
    if lay.hand_limit <= lay.conductors_by_lay:
        why = f"wire would take {100 * fill.wire_fill:.0f} % of the lined room (sum of D^2), "
        why += f"and skilled hands stop at {100 * EXPERT:.0f} %"
    elif lay.kind == "random":
        why = f"of {len(lay.places)} circles packed in rows, wires that fall as they like "
        why += f"reach {100 * lay.share:.0f} %"
    else:
        why = f"laid row on row there are {len(lay.places)} places for wires that find a way in, "
        why += f"less {100 * (1 - lay.share):.3g} % where turns cross"
    if lay.kind == "layered" and fill.turns_at_least >= lay.turns:
        why += f"; as mere circles at least {fill.turns_at_least} turns could be packed, but not by hand"
    thinner = _wire_that_fits(job, lay)
    fix = f"use at most {lay.turns_that_fit} turns" if lay.turns_that_fit else "use thinner wire"
    if thinner is not None:
        fix += f", or wire {thinner.label} ({thinner.overall_max_mm:.3f} mm over enamel)"
    return stop(
        "turns-do-not-fit",
        "winding.turns",
        (
            f"winding.turns = {lay.turns}: {lay.turns_that_fit} fit, turn {lay.fails_at} does not "
            f"go in; {why}"
        ),
        value=lay.turns,
        limit=lay.turns_that_fit,
        fix=fix,
        source="wires counted in the lined slot; hand limits are common practice",
        confidence="practice",
    )


def _wire_that_fits(job: Job, lay: ConductorPlacement) -> Wire | None:
    """Return the thickest of the next thinner sizes that lets all turns in, or None."""

    design = job.design
    sizes = [
        w
        for w in list_wires(job.wire.standard, design.winding.grade)
        if w.overall_max_mm < lay.diameter
    ]
    for wire in sizes[: -SIZES_TRIED - 1 : -1]:
        # Layered whatever the design says: in rows of a hand more wires go in.
        winding = design.winding.model_copy(update={"wire": wire.label, "lay": "layered"})
        asked = lay.conductors if lay.kind == "layered" else lay.conductors / RANDOM_SHARE
        try:
            again = Again(design.model_copy(update={"winding": winding}))
            if hand_limit(again.window) >= asked and again.conductors.conductors_possible >= asked:
                return wire
        except Refused:
            continue
    return None


def packing_results(job: Job) -> dict[str, float | int | str]:
    """Return the turns that go into one coil side for certain: circles in rows, or places of a lay.

    A search finds a few more in most slots: `build` makes it, and writes `turns_possible` instead.

    Raises:
        Refused: see `lay_of`.
    """
    circles = max(job.window.spots, job.conductors.places, key=len)
    return {"turns_possible_at_least": len(circles) // job.window.strands}


def conductor_results(job: Job) -> dict[str, float | int | str]:
    """Return the figures for results and winding card, units in the names.

    Raises:
        Refused: see `lay_of`, and `recipes.winding.turn_length.turn_lengths`.
    """

    lay = job.conductors
    return {
        "layers": lay.layers,
        "turns_per_layer": " ".join(map(str, lay.turns_per_layer)),
        "conductors_per_row": " ".join(map(str, lay.conductors_per_row)),
        "turns_that_fit": lay.turns_that_fit,
        "free_places": lay.free_places,
        **turn_results(job),
    }
