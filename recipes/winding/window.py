"""Will the wire fit? The winding window of the lined slot, circles counted in it, three fill figures.

    copper_fill        copper area of all conductors / bare slot area
    wire_fill_lined    sum of D^2 / winding window, D = largest overall diameter of the wire
    turns_at_least     turns whose circles really go into one coil side, laid in rows: proven, though
                       a search (`geometry.packing.pack_circles`) finds a few more in most slots

Winding window: what all sections that a wire passes (`slot_sections`) have in common, each less the
liner along its wall; less everything from the wedge outwards, less the separator; a coil on every
tooth has half of it. All areas in mm2, slot frame as in `recipes.stator.slot`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from geometry.finding import Finding
from geometry.packing import pack_circles
from geometry.packing.region import Floats
from geometry.polygon import to_polygon
from recipes.design.insulation import Wedge
from recipes.design.winding import Winding
from recipes.refusal import Refused, stop, warn
from recipes.stator.slot import SlotShape
from recipes.tables.wire import Wire
from recipes.winding.slot_sections import SlotSection

if TYPE_CHECKING:
    from shapely import Polygon

#: Hand limits of sum D^2 / room: comfortable, and with expert layer winding (common
#: practice).
COMFORTABLE, EXPERT = 0.70, 0.80

#: Copper / bare slot area that nobody reaches by hand with round wire (common practice).
MOST_COPPER = 0.50

#: Teeth that take more than this share of the pitch at half the slot depth are unusually wide, and
#: paper that takes more than this share of the bare slot is much (common practice: half, and a tenth).
WIDE_TEETH, MUCH_PAPER = 0.6, 0.25

#: Least overlap under a tip that holds a wedge, mm (common practice), and step of a wedge that had to
#: become narrower.
LEAST_OVERLAP, OVERLAP_STEP = 0.3, 0.05


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
        wedge_half: half the width that the wedge can have, mm; 0 without one.
        paper, separator: thickness of liner and separator, mm.
        sections: with the lined area of each, without wedge and separator, mm2.
        off_flank, off_floor: how far covers reach beyond the steel's flank and slot bottom, mm.
    """

    slot_area: float
    polygon: Polygon
    sides: int
    diameter: float
    copper_area: float
    strands: int
    turns: int
    wedge_span: tuple[float, float]
    wedge_half: float
    paper: float
    separator: float
    sections: tuple[tuple[SlotSection, float], ...]
    off_flank: float
    off_floor: float

    @property
    def conductors(self) -> int:
        """Wires in one coil side."""
        return self.turns * self.strands

    @property
    def lined_area(self) -> float:
        """Winding window of the whole slot, mm2."""
        return float(self.sides * self.polygon.area)

    @property
    def decided_by(self) -> SlotSection:
        """The section that leaves least room for wire."""
        return min(self.sections, key=lambda section: section[1])[0]

    @property
    def floor(self) -> float:
        """What covers the slot bottom: liner, and what covers of the end faces reach beyond it, mm."""
        return self.paper + self.off_floor

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
    sections: Sequence[SlotSection],
    wire: Wire,
    winding: Winding,
    paper: float,
    wedge: Wedge,
    separator: float,
) -> WindingWindow:
    """Return the winding window of a slot and what follows from it.

    Args:
        sections: the bare slot wherever a wire passes it, the steel first.
        wire: its largest overall diameter and copper count.
        winding: turns, strands, coil sides.
        paper: thickness of the liner, mm.
        wedge: strip under the tips.
        separator: thickness of the strip between two coil sides, mm.

    Raises:
        Refused: liner, wedge and separator leave nothing for wire.
    """
    import shapely

    slot, both = sections[0].slot, winding.coil_sides == "every tooth"
    lined = [_lined(section.slot, paper) for section in sections]
    common = shapely.intersection_all(lined)
    outer, inner, half = _wedge_place(common, slot, wedge, paper)
    low = separator / 2 if both else -slot.outline.box[3] - 1.0
    polygon = _polygon(common, low, inner)
    areas = [_polygon(one, -slot.outline.box[3] - 1.0, slot.wall[0].start.x).area for one in lined]
    tightest = sections[areas.index(min(areas))]
    field = tightest.field
    cause = f"; the {tightest.name} leaves least" if field else ""
    if polygon.is_empty or polygon.area < wire.overall_max_mm**2:
        raise Refused(
            stop(
                "no-room",
                "liner.thickness",
                "liner, wedge and separator leave no room for wire in the slot" + cause,
                value=paper,
                fix="use thinner paper or a wider slot" + (f", or less {field}" if field else ""),
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
        wedge_half=half,
        paper=paper,
        separator=separator,
        sections=tuple(zip(sections, areas, strict=True)),
        off_flank=max(s.off_flank for s in sections),
        off_floor=max(s.off_floor for s in sections),
    )


def _lined(slot: SlotShape, paper: float) -> Polygon:
    """Return the bare slot, prolonged through its opening, less the liner along its wall."""
    import shapely

    half = slot.opening / 2
    bare = to_polygon(slot.outline, side="inside")
    # The liner lines the wall, not the opening: prolong the slot outwards before shrinking it.
    beyond = shapely.box(
        slot.wall[0].start.x - 1e-6, -half, slot.outline.box[2] + 4 * paper + 1.0, half
    )
    return shapely.union(bare, beyond).buffer(-paper, quad_segs=64)


def _polygon(lined: Polygon, low: float, inner: float) -> Polygon:
    """Return the window above y = `low` and up to x = `inner` mm; empty if there is none.

    .---------------------------.
    |  liner  ..............    |       what is lined, less everything from the wedge outwards, less
    |        |   window     |====       half the separator; of a coil on every tooth the upper half
    |--------'--------------'---- axis
    """
    import shapely

    x0, _, _, y1 = lined.bounds
    window = shapely.intersection(lined, shapely.box(x0 - 1.0, low, inner, y1 + 1.0))
    if window.geom_type == "MultiPolygon":
        window = max(window.geoms, key=lambda part: part.area)
    return window


def _wedge_place(
    lined: Polygon, slot: SlotShape, wedge: Wedge, paper: float
) -> tuple[float, float, float]:
    """Return x of the wedge's outer and inner face and half its width, mm; equal and 0 without one.

    The strip is straight, so it rests where its edges meet the liner under the tips. It is no wider
    than the lined slot anywhere in its thickness: where slots narrow inwards, its inner edges decide.
    """
    mouth = slot.wall[0].start.x
    if wedge.thickness == 0:
        return mouth, mouth, 0.0
    least, most = slot.opening / 2 + LEAST_OVERLAP, slot.opening / 2 + wedge.overlap
    outer = _rest(lined, most, wedge.thickness, mouth - paper)
    if outer is None and most < slot.outline.box[3]:
        low, high = least, most
        while high - low > OVERLAP_STEP / 4:
            middle = (low + high) / 2
            fits = _rest(lined, middle, wedge.thickness, mouth - paper) is not None
            low, high = (middle, high) if fits else (low, middle)
        most = slot.opening / 2 + OVERLAP_STEP * math.floor(
            (low - slot.opening / 2) / OVERLAP_STEP + 1e-9
        )
        outer = _rest(lined, most, wedge.thickness, mouth - paper)
    if outer is None or most < least - 1e-9:
        raise Refused(
            stop(
                "wedge-too-wide",
                "wedge.overlap",
                f"wedge.overlap = {wedge.overlap:g} mm: the strip is wider than the room under the tips",
                value=wedge.overlap,
                fix="use a smaller overlap or a thinner wedge, or thickness = 0 for no wedge",
            )
        )
    return outer, outer - wedge.thickness, most


def _rest(lined: Polygon, half: float, thickness: float, most: float) -> float | None:
    """Return x of the outer face of a wedge of that half width; None if it bites into the liner.

    Args:
        lined: slot without its liner, both halves.
        half, thickness: of the wedge, mm.
        most: x that it rests at where tips without slope hold it, mm.
    """
    import shapely

    x0, _, x1, _ = lined.bounds
    chord = shapely.intersection(lined, shapely.LineString([(x0, half), (x1, half)]))
    if chord.is_empty:
        return None
    low, _, high, _ = chord.bounds
    outer = float(min(high, most))
    return outer if outer - thickness >= low - 1e-9 else None


def window_results(fill: WindingWindow) -> dict[str, float | int | str]:
    """Return areas and fill figures for `results.json`."""
    return {
        "slot_area_mm2": fill.slot_area,
        "lined_slot_area_mm2": fill.lined_area,
        "winding_window_decided_by": fill.decided_by.name,
        **{f"lined_area_in_{s.name.replace(' ', '_')}_mm2": area for s, area in fill.sections},
        "conductors_per_slot": fill.sides * fill.conductors,
        "turns_per_coil": fill.turns,
        "wire_overall_max_mm": fill.diameter,
        "copper_fill": fill.copper_fill,
        "wire_fill_lined": fill.wire_fill,
    }


def room_causes(window: WindingWindow) -> Iterator[tuple[str, str]]:
    """Yield what takes unusually much of the slot, with the way out, the steel first."""
    slot, lined = window.sections[0][0].slot, window.sections[0][1]
    inner, _, outer, _ = slot.outline.box
    pitch = (inner + outer) * slot.half_pitch
    free = window.slot_area / (outer - inner)
    if free < (1 - WIDE_TEETH) * pitch:
        sides, half = slot.sides, round(pitch / 2, 1)
        yield (
            f"lamination.{sides.field} = {sides.width:.3g} mm leaves the slot {100 * free / pitch:.0f} % of "
            f"a pitch of {pitch:.3g} mm",
            f"use lamination.{sides.field} = {half:g} mm, half of the pitch",
        )
    paper = 1 - lined / window.slot_area
    if paper > MUCH_PAPER:
        yield (
            f"liner.thickness = {window.paper:.3g} mm takes {100 * paper:.0f} % of the bare slot",
            "use a thinner liner",
        )
    if field := window.decided_by.field:
        lost = 1 - min(area for _, area in window.sections) / lined
        yield (
            f"the {window.decided_by.name} takes {100 * lost:.0f} % of the lined slot",
            f"use a smaller {field}",
        )


def wedge_findings(window: WindingWindow, wedge: Wedge, opening: float) -> list[Finding]:
    """Tell of a wedge that is made narrower than asked for, or it would bite into the liner.

    Args:
        window: with the wedge as it goes in.
        wedge: the [wedge] table.
        opening: clear width between two teeth, mm.
    """
    overlap = window.wedge_half - opening / 2
    if wedge.thickness == 0 or overlap >= wedge.overlap - 1e-9:
        return []
    return [
        warn(
            "wedge-narrowed",
            "wedge.overlap",
            f"wedge.overlap = {wedge.overlap:.3g} mm: in its thickness of {wedge.thickness:.3g} mm the lined "
            f"slot becomes narrower than the strip, whose edges would bite into the liner; it is made "
            f"{2 * window.wedge_half:.2f} mm wide",
            value=wedge.overlap,
            limit=overlap,
            fix=f"use wedge.overlap = {overlap:.2f} mm, or a thinner wedge",
        )
    ]


def copper_fill_findings(fill: WindingWindow) -> list[Finding]:
    """Refuse more copper than round wire laid by hand reaches."""
    if fill.copper_fill <= MOST_COPPER:
        return []
    causes = list(room_causes(fill))
    return [
        stop(
            "copper-fill",
            "winding.turns",
            f"winding.turns = {fill.turns}: copper would fill {100 * fill.copper_fill:.0f} % of the "
            f"slot; round wire laid by hand stays below {100 * MOST_COPPER:.0f} %"
            + "".join(f"; {cause}" for cause, _ in causes),
            value=round(fill.copper_fill, 3),
            limit=MOST_COPPER,
            fix=", or ".join([*(way for _, way in causes), "use fewer turns or thinner wire"]),
            source="common practice",
            confidence="practice",
        )
    ]
