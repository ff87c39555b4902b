"""Where every wire of a coil side lies, how many turns that lets in, and what to say about it.

A tooth has a coil side on either flank, mirror images of each other; this is the one on the upper
side of the slot axis, against the upper tooth (slot frame, see `recipes.stator.slot`).

layered   rows from the tooth outwards, the first from the root, so that the start lead lies at
          the bottom (common practice); see `recipes.winding.conductor_rows` for what a row is and
          how the last wires find a way in. From the places counted so, `crossing_allowance` is
          taken off the total: turns cross from row to row outside the slot, over the tooth's end, and
          what they cost there is shared by all rows, not a fixed number of places in each.
random    circles packed in rows, of which hands reach `RANDOM_SHARE`; nearest the tooth first.

Either way no more than `EXPERT` of the winding window fills, which is the limit of skilled hands.
Strands in hand are laid as strands: a turn is that many consecutive places.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np

from geometry.finding import Finding
from geometry.packing.region import Floats, Ints
from recipes.design.units import counted
from recipes.design.winding import Winding
from recipes.refusal import Refused, stop, warn
from recipes.stator.slot import ParallelTeeth, SlotShape
from recipes.tables.reader import TableError
from recipes.tables.wire import Wire, find_wire, list_wires
from recipes.winding.conductor_rows import PASSAGE, Entrance, place_in_rows
from recipes.winding.window import COMFORTABLE, EXPERT, WindingWindow, room_causes

Lay = Literal["layered", "random"]

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
        heights: distance of each centre from the lined flank (n,), mm; where end caps stand proud, from
            theirs.
        share: of the places that hands reach: 1 - crossing_allowance, or RANDOM_SHARE.
        hand_limit: wires at `EXPERT` fill of the winding window.
        paper: thickness of the liner between flank and wire, mm.
    """

    kind: Lay
    diameter: float
    strands: int
    turns: int
    places: Floats
    rows: Ints
    heights: Floats
    share: float
    hand_limit: int
    paper: float

    @property
    def conductors(self) -> int:
        """Wires asked for in this coil side."""
        return self.turns * self.strands

    @property
    def conductors_by_lay(self) -> int:
        """Wires that have a place, crossings taken off."""
        return math.floor(self.share * len(self.places) + 1e-9)

    @property
    def conductors_possible(self) -> int:
        """Wires that go in by hand: all that have a place, but no more than the hand limit."""
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
        return tuple(int(n) for n in np.bincount(self.rows[: self.conductors])[1:])

    @cached_property
    def turns_per_layer(self) -> tuple[int, ...]:
        """Laid turns in each row; a turn that straddles two rows counts where it begins."""
        begins = self.rows[: len(self.laid) // self.strands * self.strands : self.strands]
        return tuple(int(n) for n in np.bincount(begins, minlength=self.layers + 1)[1:])

    @property
    def layers(self) -> int:
        """Rows begun."""
        return len(self.conductors_per_row)


def flank(slot: SlotShape, paper: float) -> tuple[tuple[float, float], float]:
    """Return the unit vector off the upper tooth's flank and the lined flank's distance along it.

    A point (x, y) of the slot frame lies `x * off[0] + y * off[1] - distance` off what covers the
    flank, `paper` mm thick: liner, and what end caps stand proud.
    """
    if isinstance(slot.sides, ParallelTeeth):
        a = slot.half_pitch
        return (math.sin(a), -math.cos(a)), slot.sides.width / 2 + paper
    return (0.0, -1.0), paper - slot.sides.width / 2


def conductor_wire(winding: Winding) -> Wire:
    """Return the row of the standard table for the wire of a winding.

    Raises:
        Refused: the table has no such size or grade.
    """
    try:
        return find_wire(winding.wire, winding.grade)
    except (TableError, ValueError) as error:
        raise Refused(
            stop(
                "no-such-wire",
                "winding.wire",
                f"winding.wire = {winding.wire!r}, grade {winding.grade}: {error}",
                value=str(winding.wire),
                fix="use a size of the table: lamwright lookup wire lists neighbours",
                source="IEC 60317-0-1, NEMA MW 1000",
            )
        ) from None


def conductor_placement(
    window: WindingWindow, slot: SlotShape, lay: Lay, crossing_allowance: float
) -> ConductorPlacement:
    """Return the place of every wire of one coil side.

    Args:
        window: of that coil side.
        slot: the bare slot.
        lay: "layered" or "random".
        crossing_allowance: share of the places lost where turns of layers cross.
    """
    off, distance = flank(slot, window.paper + window.off_flank)
    if lay == "layered":
        passage = PASSAGE * window.diameter
        # The last wires see the opening with the neighbour's half full.
        beside = window.separator / 2 + passage / 2 if window.sides == 2 else 0.0
        entrance = Entrance(window.wedge_span[1], beside, passage)
        places, rows = place_in_rows(window.polygon, window.diameter, off, entrance)
        heights = places @ np.array(off) - distance
        share = 1.0 - crossing_allowance
    else:
        heights = window.circles @ np.array(off) - distance
        order = np.lexsort((window.circles[:, 0], np.round(heights, 6)))
        places, heights = window.circles[order], heights[order]
        pitch = ROW_PITCH * window.diameter
        rows = 1 + np.round(np.maximum(heights / pitch - 0.5 / ROW_PITCH, 0.0)).astype(np.int64)
        share = RANDOM_SHARE
    return ConductorPlacement(
        lay,
        window.diameter,
        window.strands,
        window.turns,
        places,
        rows,
        heights,
        share,
        _wires_at(EXPERT, window),
        window.paper,
    )


def hand_count(
    slot: SlotShape, lay: Lay, crossing_allowance: float
) -> Callable[[WindingWindow], int]:
    """Return what counts the wires that hands lay into a window of that slot, strands apart.

    Args as of `conductor_placement`; the allowance is a share of the places.
    """
    return lambda window: (
        conductor_placement(window, slot, lay, crossing_allowance).conductors_possible
    )


def _wires_at(fill: float, window: WindingWindow) -> int:
    """Return the wires of one coil side at that sum of D^2 / winding window."""
    return math.floor(fill * float(window.polygon.area) / window.diameter**2)


def conductor_findings(
    window: WindingWindow, placed: ConductorPlacement, thinner: Wire | None
) -> list[Finding]:
    """Judge whether the turns go in, and how hard that is.

    Args:
        window: of one coil side.
        placed: its conductors.
        thinner: a wire of which all turns go in; asked for only where they do not.
    """
    if placed.fails_at:
        return [_too_many(window, placed, thinner)]
    if window.wire_fill <= COMFORTABLE:
        return []
    most = _wires_at(COMFORTABLE, window) // window.strands
    return [
        warn(
            "tight-fill",
            "winding.turns",
            f"winding.turns = {placed.turns}: wire takes {100 * window.wire_fill:.0f} % of the "
            f"lined room (sum of D^2); above {100 * COMFORTABLE:.0f} % only patient layer "
            "winding gets the last turns in",
            value=window.wire_fill,
            limit=COMFORTABLE,
            fix=f"wind a trial tooth first, or use at most {counted(most, 'turn')}",
            source="sum D^2 / room 0.70 comfortable, 0.80 expert; common practice",
            confidence="practice",
        )
    ]


def _too_many(window: WindingWindow, placed: ConductorPlacement, thinner: Wire | None) -> Finding:
    """Say how many turns go in, why no more, and what would."""
    if placed.hand_limit <= placed.conductors_by_lay:
        why = f"wire would take {100 * window.wire_fill:.0f} % of the lined room (sum of D^2), "
        why += f"and skilled hands stop at {100 * EXPERT:.0f} %"
    elif placed.kind == "random":
        why = f"of {len(placed.places)} circles packed in rows, wires that fall as they like "
        why += f"reach {100 * placed.share:.0f} %"
    else:
        why = (
            f"laid row on row there are {len(placed.places)} places for wires that find a way in, "
        )
        why += f"less {100 * (1 - placed.share):.3g} % where turns cross"
    if placed.kind == "layered" and window.turns_at_least >= placed.turns:
        why += f"; as mere circles at least {counted(window.turns_at_least, 'turn')} could be packed, but not by hand"
    causes = list(room_causes(window))
    fewer = (
        f"use at most {counted(placed.turns_that_fit, 'turn')}"
        if placed.turns_that_fit
        else "use thinner wire"
    )
    why = "; ".join([*(cause for cause, _ in causes), why])
    fix = ", or ".join([*(way for _, way in causes), fewer])
    if thinner is not None:
        fix += f", or wire {thinner.label} ({thinner.overall_max_mm:.3f} mm over enamel)"
    return stop(
        "turns-do-not-fit",
        "winding.turns",
        f"winding.turns = {placed.turns}: {placed.turns_that_fit} fit, turn {placed.fails_at} does not "
        f"go in; {why}",
        value=placed.turns,
        limit=placed.turns_that_fit,
        fix=fix,
        source="wires counted in the lined slot; hand limits are common practice",
        confidence="practice",
    )


def wire_that_fits(
    wire: Wire,
    placed: ConductorPlacement,
    crossing_allowance: float,
    lined: Callable[[Wire], tuple[SlotShape, WindingWindow]],
) -> Wire | None:
    """Return the thickest of the next thinner sizes that lets all turns in, or None.

    Layered whatever the design says: in rows of a hand more wires go in.

    Args:
        wire: asked for.
        placed: its conductors.
        crossing_allowance: share of the places lost where turns of layers cross.
        lined: gives slot and winding window for another wire.
    """
    sizes = [w for w in list_wires(wire.standard, wire.grade) if w.overall_max_mm < placed.diameter]
    asked = placed.conductors if placed.kind == "layered" else placed.conductors / RANDOM_SHARE
    for thinner in sizes[: -SIZES_TRIED - 1 : -1]:
        with suppress(Refused):
            slot, window = lined(thinner)
            if _wires_at(EXPERT, window) >= asked:
                again = conductor_placement(window, slot, "layered", crossing_allowance)
                if again.conductors_possible >= asked:
                    return thinner
    return None


def packing_results(
    window: WindingWindow, placed: ConductorPlacement
) -> dict[str, float | int | str]:
    """Return the turns that go into one coil side for certain: circles in rows, or places by hand.

    A search finds a few more in most slots: `build` makes it, and writes `turns_possible` instead.
    """
    circles = max(window.circles, placed.places, key=len)
    return {"turns_possible_at_least": len(circles) // window.strands}


def conductor_results(placed: ConductorPlacement) -> dict[str, float | int | str]:
    """Return the figures for results and winding card, units in the names."""
    return {
        "layers": placed.layers,
        "turns_per_layer": " ".join(map(str, placed.turns_per_layer)),
        "conductors_per_row": " ".join(map(str, placed.conductors_per_row)),
        "turns_that_fit": placed.turns_that_fit,
        "free_places": placed.free_places,
    }
