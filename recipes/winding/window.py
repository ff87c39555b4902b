"""Will the wire fit? Room in the lined slot, circles counted in it, and the three fill figures.

    copper_fill        copper area of all conductors / bare slot area
    wire_fill_lined    sum of D^2 / room for wire, D = largest overall diameter of the wire
    turns_possible     turns whose circles really go into one coil side, by packing; a quick job
                       has turns_possible_at_least: proven, though a longer search may find more

Room: the slot, less the liner along its wall, less everything from the wedge outwards, less the
separator; a coil on every tooth has half of it. All areas in mm2, slot frame as in `recipes.stator.slot`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

from geometry.outline import Outline
from geometry.packing import pack_circles
from geometry.packing.search import Attempts
from geometry.point import Point
from geometry.polygon import to_polygon
from geometry.segment import Line
from geometry.supporting_curve import crossings, fraction_on
from recipes.refusal import Refused, stop

if TYPE_CHECKING:
    from collections.abc import Callable

    import numpy as np
    import shapely
    from shapely import Polygon

    from recipes.job import Job


#     The room for wire in a lined slot, as few numbers: told to another process before shapely loads.
#
# .---------------------------.
# |  liner  ..............    |       bare slot, less the liner along its wall, less everything
# |        |   room       |====       from the wedge outwards, less half the separator; of a coil
# |--------'--------------'---- axis  on every tooth the upper half


@dataclass(frozen=True)
class WindowShape:
    """What shapes the room of one coil side, slot frame, mm.

    Args:
        outline: of the bare slot.
        mouth: x where the opening begins.
        opening: its clear width.
        liner: thickness of the paper.
        low: least y: half the separator, or below the whole slot where a slot has one side.
        inner: x of the wedge's inner face.
    """

    outline: Outline
    mouth: float
    opening: float
    liner: float
    low: float
    inner: float

    def polygon(self) -> shapely.Polygon:
        """Return the room; empty if there is none."""
        import shapely

        x0, _, x1, y1 = self.outline.box
        half, t = self.opening / 2, self.liner
        bare = to_polygon(self.outline, side="inside")
        # The liner lines the wall, not the opening: prolong the slot outwards before shrinking it.
        beyond = shapely.box(self.mouth - 1e-6, -half, x1 + 4 * t + 1.0, half)
        lined = shapely.union(bare, beyond).buffer(-t, quad_segs=64)
        part = shapely.intersection(lined, shapely.box(x0 - 1.0, self.low, self.inner, y1 + 1.0))
        if part.geom_type == "MultiPolygon":
            part = max(part.geoms, key=lambda p: p.area)
        return part


def pack_room(room: WindowShape, diameter: float, attempts: Attempts = map) -> Any:
    """Return centres of circles in the room; see `geometry.packing.pack_circles`."""

    return pack_circles(room.polygon(), diameter, attempts=attempts)


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
        pack: counts circles, as `geometry.packing.pack_circles` does.
        searched: whether the count of circles comes from the full search, or is a lower bound.
    """

    slot_area: float
    room: Polygon
    sides: int
    diameter: float
    copper_area: float
    strands: int
    turns: int
    wedge_span: tuple[float, float]
    pack: Callable[[Polygon, float], Any] = field(compare=False)
    searched: bool = True

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
        """Centres (n, 2) of the wires that go into one coil side, mm, deepest first."""
        found: np.ndarray[Any, Any] = self.pack(self.room, self.diameter)
        return found[found[:, 0].argsort(kind="stable")]

    @property
    def turns_possible(self) -> int:
        """Turns whose circles go into one coil side, by the full search."""
        return len(self.spots) // self.strands

    @cached_property
    def turns_at_least(self) -> int:
        """Turns whose circles go into one coil side for certain; `turns_possible` if searched."""
        if self.searched:
            return self.turns_possible

        return len(pack_circles(self.room, self.diameter, effort="rows")) // self.strands

    @property
    def count(self) -> dict[str, int]:
        """The turns by circles, under the name that says how sure the number is."""
        name = "turns_possible" if self.searched else "turns_possible_at_least"
        return {name: self.turns_at_least}


def winding_window_of(job: Job) -> WindingWindow:
    """Return room and figures for the slot of a design.

    Raises:
        Refused: liner, wedge and separator leave no room at all.
    """
    design, wire = job.design, job.wire
    sides = 2 if design.winding.coil_sides == "every tooth" else 1
    outer_x, inner_x = _wedge_span(job)
    room = job.once(window_shape_of).polygon()
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
        pack=job.pack,
        searched=not job.quick or design.winding.lay == "random",
    )


def window_shape_of(job: Job) -> WindowShape:
    """Return what shapes the room of one coil side.

    Raises:
        Refused: no slot can be drawn, or the wedge is too wide for it.
    """
    design, slot = job.design, job.slot
    both = design.winding.coil_sides == "every tooth"
    return WindowShape(
        outline=slot.outline,
        mouth=slot.wall[0].start.x,
        opening=slot.opening,
        liner=design.liner.thickness,
        low=design.separator.thickness / 2 if both else -slot.outline.box[3] - 1.0,
        inner=_wedge_span(job)[1],
    )


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
    """Return areas, fill figures and counts for `results.json`."""
    fill = job.window
    return {
        "slot_area_mm2": fill.slot_area,
        "lined_slot_area_mm2": fill.lined_area,
        "conductors_per_slot": fill.sides * fill.conductors,
        "turns_per_coil": fill.turns,
        "wire_overall_max_mm": fill.diameter,
        "copper_fill": fill.copper_fill,
        "wire_fill_lined": fill.wire_fill,
        **fill.count,
    }
