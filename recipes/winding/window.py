"""Will the wire fit? Room in the lined slot, circles counted in it, and the three fill figures.

    copper_fill        copper area of all conductors / bare slot area
    wire_fill_lined    sum of D^2 / room for wire, D = largest overall diameter of the wire
    turns_at_least     turns whose circles really go into one coil side, laid in rows: proven, though
                       a search (`geometry.packing.pack_circles`) finds a few more in most slots

Room: the slot, less the liner along its wall, less everything from the wedge outwards, less the
separator; a coil on every tooth has half of it. All areas in mm2, slot frame as in `recipes.stator.slot`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from geometry.finding import Finding
from geometry.packing import pack_circles
from geometry.point import Point
from geometry.polygon import to_polygon
from geometry.segment import Line, crossings, fraction_on
from recipes.refusal import Refused, stop

if TYPE_CHECKING:
    import numpy as np
    from shapely import Polygon

    from recipes.job import Job

#: Hand limits of sum D^2 / room: comfortable, and with expert layer winding (common
#: practice).
COMFORTABLE, EXPERT = 0.70, 0.80

#: Copper / bare slot area that nobody reaches by hand with round wire (common practice).
MOST_COPPER = 0.50


@dataclass(frozen=True)
class WindingWindow:
    """Room and figures of one slot.

    Args:
        slot_area: bare slot, by closed form.
        room: polygon of one coil side's room, on the upper side of the slot axis.
        sides: coil sides that share a slot, 1 or 2.
        diameter: largest overall diameter of the wire, mm.
        copper_area: of one wire, mm2.
        strands, turns: of one coil.
        wedge_span: x of the wedge's outer and inner face, mm.
    """

    slot_area: float
    room: Polygon
    sides: int
    diameter: float
    copper_area: float
    strands: int
    turns: int
    wedge_span: tuple[float, float]

    @property
    def conductors(self) -> int:
        """Wires in one coil side."""
        return self.turns * self.strands

    @property
    def lined_area(self) -> float:
        """Room for wire in the whole slot, mm2."""
        return float(self.sides * self.room.area)

    @property
    def copper_fill(self) -> float:
        """Copper area / bare slot area."""
        return self.sides * self.conductors * self.copper_area / self.slot_area

    @property
    def wire_fill(self) -> float:
        """Sum of D^2 / room."""
        return self.sides * self.conductors * self.diameter**2 / self.lined_area

    @cached_property
    def spots(self) -> np.ndarray[Any, Any]:
        """Centres (n, 2) of circles laid in rows in one coil side, mm, deepest first."""

        return pack_circles(self.room, self.diameter, effort="rows")

    @property
    def turns_at_least(self) -> int:
        """Turns whose circles go into one coil side for certain."""
        return len(self.spots) // self.strands


def winding_window_of(job: Job) -> WindingWindow:
    """Return room and figures for the slot of a design.

    Raises:
        Refused: liner, wedge and separator leave no room at all.
    """
    design, wire = job.design, job.wire
    sides = 2 if design.winding.coil_sides == "every tooth" else 1
    outer_x, inner_x = _wedge_span(job)
    room = _room(job, inner_x)
    if room.is_empty or room.area < wire.overall_max_mm**2:
        raise Refused(
            stop(
                "no-room",
                "liner.thickness",
                "liner, wedge and separator leave no room for wire in the slot",
                value=design.liner.thickness,
                fix="use thinner paper or a wider slot",
            )
        )
    return WindingWindow(
        slot_area=job.slot.outline.area,
        room=room,
        sides=sides,
        diameter=wire.overall_max_mm,
        copper_area=wire.copper_area_mm2,
        strands=design.winding.strands,
        turns=design.winding.turns,
        wedge_span=(outer_x, inner_x),
    )


def _room(job: Job, inner: float) -> Polygon:
    """Return the room of one coil side up to x = `inner` mm; empty if there is none.

    .---------------------------.
    |  liner  ..............    |       bare slot, less the liner along its wall, less everything
    |        |   room       |====       from the wedge outwards, less half the separator; of a coil
    |--------'--------------'---- axis  on every tooth the upper half
    """
    import shapely

    design, slot = job.design, job.slot
    x0, _, x1, y1 = slot.outline.box
    half, paper = slot.opening / 2, design.liner.thickness
    both = design.winding.coil_sides == "every tooth"
    low = design.separator.thickness / 2 if both else -y1 - 1.0
    bare = to_polygon(slot.outline, side="inside")
    # The liner lines the wall, not the opening: prolong the slot outwards before shrinking it.
    beyond = shapely.box(slot.wall[0].start.x - 1e-6, -half, x1 + 4 * paper + 1.0, half)
    lined = shapely.union(bare, beyond).buffer(-paper, quad_segs=64)
    room = shapely.intersection(lined, shapely.box(x0 - 1.0, low, inner, y1 + 1.0))
    if room.geom_type == "MultiPolygon":
        room = max(room.geoms, key=lambda part: part.area)
    return room


def _wedge_span(job: Job) -> tuple[float, float]:
    """Return x of the wedge's outer and inner face, mm; equal if there is none.

    The strip is straight, so it rests where its edges meet the liner under the tips.
    """
    wedge, slot = job.design.wedge, job.slot
    mouth = slot.wall[0].start.x
    if wedge.thickness == 0:
        return mouth, mouth
    reach = slot.opening / 2 + wedge.overlap
    underside = _wall_x_at(slot.wall, reach)
    if underside is None:
        raise Refused(
            stop(
                "wedge-too-wide",
                "wedge.overlap",
                f"wedge.overlap = {wedge.overlap:g} mm: the strip is wider than the room under the tips",
                value=wedge.overlap,
                fix="use a smaller overlap, or thickness = 0 for no wedge",
            )
        )
    outer = min(mouth, underside) - job.design.liner.thickness
    return outer, outer - wedge.thickness


def _wall_x_at(wall: tuple[Any, ...], y: float) -> float | None:
    """Return x of the slot wall under the tip at the height y above the slot axis."""

    for edge in wall:
        low, _, high, _ = edge.box()
        level = Line(Point(low - 1.0, y), Point(high + 1.0, y))
        for spot in crossings(edge, level):
            if -1e-9 <= fraction_on(edge, spot) <= 1 + 1e-9:
                return spot.x
    return None


def window_results(job: Job) -> dict[str, float | int | str]:
    """Return areas and fill figures for `results.json`."""
    fill = job.window
    return {
        "slot_area_mm2": fill.slot_area,
        "lined_slot_area_mm2": fill.lined_area,
        "conductors_per_slot": fill.sides * fill.conductors,
        "turns_per_coil": fill.turns,
        "wire_overall_max_mm": fill.diameter,
        "copper_fill": fill.copper_fill,
        "wire_fill_lined": fill.wire_fill,
    }


def copper_fill_findings(fill: WindingWindow) -> list[Finding]:
    """Refuse more copper than round wire laid by hand reaches."""
    if fill.copper_fill <= MOST_COPPER:
        return []
    return [
        stop(
            "copper-fill",
            "winding.turns",
            f"winding.turns = {fill.turns}: copper would fill {100 * fill.copper_fill:.0f} % of the "
            f"slot; round wire laid by hand stays below {100 * MOST_COPPER:.0f} %",
            value=round(fill.copper_fill, 3),
            limit=MOST_COPPER,
            fix="use fewer turns or thinner wire",
            source="common practice",
            confidence="practice",
        )
    ]
