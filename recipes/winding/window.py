"""Will the wire fit? The winding window of the lined slot, circles counted in it, three fill figures.

    copper_fill        copper area of all conductors / bare slot area
    wire_fill_lined    sum of D^2 / winding window, D = largest overall diameter of the wire
    turns_at_least     turns whose circles really go into one coil side, laid in rows: proven, though
                       a search (`geometry.packing.pack_circles`) finds a few more in most slots

Winding window: the slot, less the liner along its wall, less everything from the wedge outwards,
less the separator; a coil on every tooth has half of it. All areas in mm2, slot frame as in
`recipes.stator.slot`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from geometry.finding import Finding
from geometry.packing import pack_circles
from geometry.packing.region import Floats
from geometry.point import Point
from geometry.polygon import to_polygon
from geometry.segment import Line, Segment, crossings, fraction_on
from recipes.design.insulation import Wedge
from recipes.design.winding import Winding
from recipes.refusal import Refused, stop
from recipes.stator.slot import SlotShape
from recipes.tables.wire import Wire

if TYPE_CHECKING:
    from shapely import Polygon

#: Hand limits of sum D^2 / room: comfortable, and with expert layer winding (common
#: practice).
COMFORTABLE, EXPERT = 0.70, 0.80

#: Copper / bare slot area that nobody reaches by hand with round wire (common practice).
MOST_COPPER = 0.50


@dataclass(frozen=True)
class WindingWindow:
    """Winding window and figures of one slot.

    Args:
        slot_area: bare slot, by closed form.
        polygon: winding window of one coil side, on the upper side of the slot axis.
        sides: coil sides that share a slot, 1 or 2.
        diameter: largest overall diameter of the wire, mm.
        copper_area: of one wire, mm2.
        strands, turns: of one coil.
        wedge_span: x of the wedge's outer and inner face, mm.
        paper, separator: thickness of liner and separator, mm.
    """

    slot_area: float
    polygon: Polygon
    sides: int
    diameter: float
    copper_area: float
    strands: int
    turns: int
    wedge_span: tuple[float, float]
    paper: float
    separator: float

    @property
    def conductors(self) -> int:
        """Wires in one coil side."""
        return self.turns * self.strands

    @property
    def lined_area(self) -> float:
        """Winding window of the whole slot, mm2."""
        return float(self.sides * self.polygon.area)

    @property
    def copper_fill(self) -> float:
        """Copper area / bare slot area."""
        return self.sides * self.conductors * self.copper_area / self.slot_area

    @property
    def wire_fill(self) -> float:
        """Sum of D^2 / winding window."""
        return self.sides * self.conductors * self.diameter**2 / self.lined_area

    @cached_property
    def circles(self) -> Floats:
        """Centres (n, 2) of circles laid in rows in one coil side, mm, deepest first."""
        return pack_circles(self.polygon, self.diameter, effort="rows")

    @property
    def turns_at_least(self) -> int:
        """Turns whose circles go into one coil side for certain."""
        return len(self.circles) // self.strands


def winding_window(
    slot: SlotShape,
    wire: Wire,
    winding: Winding,
    paper: float,
    wedge: Wedge,
    separator: float,
) -> WindingWindow:
    """Return the winding window of a slot and what follows from it.

    Args:
        slot: the bare slot.
        wire: its largest overall diameter and copper count.
        winding: turns, strands, coil sides.
        paper: thickness of the liner, mm.
        wedge: strip under the tips.
        separator: thickness of the strip between two coil sides, mm.

    Raises:
        Refused: liner, wedge and separator leave nothing for wire.
    """
    both = winding.coil_sides == "every tooth"
    outer, inner = _wedge_span(slot, wedge, paper)
    low = separator / 2 if both else -slot.outline.box[3] - 1.0
    polygon = _polygon(slot, paper, low, inner)
    if polygon.is_empty or polygon.area < wire.overall_max_mm**2:
        raise Refused(
            stop(
                "no-room",
                "liner.thickness",
                "liner, wedge and separator leave no room for wire in the slot",
                value=paper,
                fix="use thinner paper or a wider slot",
            )
        )
    return WindingWindow(
        slot_area=slot.outline.area,
        polygon=polygon,
        sides=2 if both else 1,
        diameter=wire.overall_max_mm,
        copper_area=wire.copper_area_mm2,
        strands=winding.strands,
        turns=winding.turns,
        wedge_span=(outer, inner),
        paper=paper,
        separator=separator,
    )


def _polygon(slot: SlotShape, paper: float, low: float, inner: float) -> Polygon:
    """Return the window above y = `low` and up to x = `inner` mm; empty if there is none.

    .---------------------------.
    |  liner  ..............    |       bare slot, less the liner along its wall, less everything
    |        |   window     |====       from the wedge outwards, less half the separator; of a coil
    |--------'--------------'---- axis  on every tooth the upper half
    """
    import shapely

    x0, _, x1, y1 = slot.outline.box
    half = slot.opening / 2
    bare = to_polygon(slot.outline, side="inside")
    # The liner lines the wall, not the opening: prolong the slot outwards before shrinking it.
    beyond = shapely.box(slot.wall[0].start.x - 1e-6, -half, x1 + 4 * paper + 1.0, half)
    lined = shapely.union(bare, beyond).buffer(-paper, quad_segs=64)
    window = shapely.intersection(lined, shapely.box(x0 - 1.0, low, inner, y1 + 1.0))
    if window.geom_type == "MultiPolygon":
        window = max(window.geoms, key=lambda part: part.area)
    return window


def _wedge_span(slot: SlotShape, wedge: Wedge, paper: float) -> tuple[float, float]:
    """Return x of the wedge's outer and inner face, mm; equal if there is none.

    The strip is straight, so it rests where its edges meet the liner under the tips.
    """
    mouth = slot.wall[0].start.x
    if wedge.thickness == 0:
        return mouth, mouth
    underside = _wall_x_at(slot.wall, slot.opening / 2 + wedge.overlap)
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
    outer = min(mouth, underside) - paper
    return outer, outer - wedge.thickness


def _wall_x_at(wall: Sequence[Segment], y: float) -> float | None:
    """Return x of the slot wall under the tip at the height y above the slot axis."""
    for edge in wall:
        low, _, high, _ = edge.box()
        level = Line(Point(low - 1.0, y), Point(high + 1.0, y))
        for spot in crossings(edge, level):
            if -1e-9 <= fraction_on(edge, spot) <= 1 + 1e-9:
                return spot.x
    return None


def window_results(fill: WindingWindow) -> dict[str, float | int | str]:
    """Return areas and fill figures for `results.json`."""
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
