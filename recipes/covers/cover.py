"""The covers: discs cut from plate, then turned; their cut file, body and drawing.

half-section, outer face at the left, one hole drawn:

    outer face (z = 0)
    |<-- rim -->|        rim: thickness less register_depth, what a bolt passes
     ___________  ...... outside
    |___________|______
    |__bolt hole|...... circle
    |           |
    |           '--.... spigot: enters the ring's bore by register_depth
    |              |
    |<lip>._ _ _ _ |... pocket: outside of the bearing, housing_depth deep
    |_____|             lip
    - - - - - - - - - - axis

The plate is cut with the lip's hole small by bore_allowance, and with such holes as the cutter can
make; all others stand as marks on the printed template, and in the cut file if engrave_marks asks. Not checked: whether the lathe swings the plate.
"""

from __future__ import annotations

import math
from itertools import pairwise

from geometry.drafting.drawing import Lazy
from geometry.errors import GeometryError
from geometry.outline import Outline, Region
from geometry.part import Part, Path
from geometry.point import ORIGIN, Point
from geometry.segment import Line
from geometry.solids import AxialHole, Drilled, Revolved
from recipes.covers.arrangement import CoverShape
from recipes.covers.closed_rotor import ClosedRotor
from recipes.covers.rules import drilled, jack_angles
from recipes.covers.turned_drawing import Axial, Circle, Edge, TurnedPart, turned_drawing
from recipes.design.covers import Covers
from recipes.drawing_conventions import Imprint
from recipes.refusal import Refused, misfit
from recipes.shaft.seat_fit import RingFit
from recipes.tables.bearings import Bearing
from recipes.tables.bolts import bolt
from recipes.tables.process import Process

#: A bolt hole stands straight up, seen from the outer face.
FIRST_HOLE = math.pi / 2

#: Half the length of a cross that marks a hole to be drilled, mm.
CROSS = 2.0

#: Run-out of register and seat face to the pocket, mm (common practice).
RUN_OUT = 0.03

#: Largest round in the corner of the pocket as a share of the bearing's own chamfer (common practice).
CORNER_SHARE = 0.8


def covers_of(
    covers: Covers | None,
    closed: ClosedRotor | None,
    housing: RingFit | None,
    bearing: Bearing,
    imprint: Imprint,
) -> tuple[Part, ...]:
    """Return both covers; none if the design gives none.

    Args:
        covers: table of the design.
        closed: what follows from it.
        housing: recommended fit of the bearing in its pocket; None beyond the table.
        bearing: both are alike.
        imprint: of the design.

    Raises:
        Refused: holes that meet each other or a step.
    """
    if covers is None or closed is None:
        return ()
    return tuple(
        _cover(covers, closed, housing, bearing, imprint, lead=lead) for lead in (True, False)
    )


def _cover(
    covers: Covers,
    closed: ClosedRotor,
    housing: RingFit | None,
    bearing: Bearing,
    imprint: Imprint,
    *,
    lead: bool,
) -> Part:
    shape, cutter, side = closed.arranged.shape, closed.cutter, "lead" if lead else "far"
    holes = hole_circles(covers, shape, lead=lead)
    try:
        body = Drilled(
            Revolved(profile(shape)),
            tuple(AxialHole(p, c.diameter / 2) for c in holes for p in c.centers),
        )
        region = cut_region(covers, shape, holes, cutter)
    except GeometryError as error:
        raise Refused(misfit(error, "covers.bolts")) from None
    marked = [c for c in holes if is_marked(c, shape, cutter)]
    notes = _notes(covers, bearing, marked, side)
    words = TurnedPart(
        name=f"cover_{side}",
        title=f"{side}-side cover",
        material=f"{covers.material}, plate {shape.thickness:g} mm",
        profile=profile(shape),
        edges=_edges(shape, housing),
        axials=_axials(covers, shape),
        circles=holes,
        notes=notes[1:],
        run_out=RUN_OUT,
        field="covers.thickness",
    )
    return Part(
        name=f"cover_{side}",
        cut=(region,),
        material=covers.material,
        thickness=shape.thickness,
        quantity=1,
        mark=tuple(_cross(p) for c in marked for p in c.centers),
        settings={
            "outer_diameter_mm": round(2 * shape.outside, 4),
            "bore_cut_mm": round(2 * shape.lip - covers.bore_allowance, 4),
            "lip_bore_mm": round(2 * shape.lip, 4),
            "pocket_diameter_mm": round(2 * shape.pocket, 4),
            "pocket_depth_mm": round(shape.depth, 4),
            "register_diameter_mm": round(2 * shape.spigot, 3),
            "register_depth_mm": round(shape.register, 4),
            "holes_marked": sum(len(c.centers) for c in marked),
            "kerf_to_draw_mm": covers.kerf_full_width,
            "marks_engraved": "yes" if covers.engrave_marks else "no",
        },
        notes=notes,
        solid=body,
        drawings=Lazy(lambda: (turned_drawing(words, imprint),), count=1),
    )


def profile(shape: CoverShape) -> Outline:
    """Return the half-section in (z, r), outer face at z = 0, mm."""
    rim, thick, lip = shape.thickness - shape.register, shape.thickness, shape.lip_thickness
    spots = [(0.0, shape.lip), (lip, shape.lip), (lip, shape.pocket), (thick, shape.pocket)]
    spots += [(thick, shape.spigot), (rim, shape.spigot)] if shape.register else []
    spots += [(rim, shape.outside), (0.0, shape.outside)]
    return Outline.polygon(spots)


def hole_circles(covers: Covers, shape: CoverShape, *, lead: bool) -> tuple[Circle, ...]:
    """Return the holes of one cover, seen from its outer face."""
    bolts, jack, air = covers.bolts, covers.jack_screws, covers.air_holes
    pitch = 2 * math.pi / bolts.count
    turns = tuple(k * pitch for k in range(bolts.count))
    found = [Circle(shape.circle, shape.hole, _at(shape.circle, turns), "", "covers.bolts")]
    if jack and lead:
        size, turns = bolt(jack.thread), jack_angles(bolts, jack)
        spots = _at(shape.jack_circle, turns)
        found.append(
            Circle(shape.jack_circle, size.tap_drill_mm, spots, jack.thread, "covers.jack_screws")
        )
    if air:
        middle, step = air.circle_diameter / 2, 2 * math.pi / air.count
        spots = _at(middle, tuple((k + 0.5) * step for k in range(air.count)))
        found.append(Circle(middle, air.diameter, spots, "", "covers.air_holes"))
    return tuple(found)


def _at(radius: float, turns: tuple[float, ...]) -> tuple[Point, ...]:
    return tuple(Point.polar(radius, FIRST_HOLE + turn) for turn in turns)


def is_marked(holes: Circle, shape: CoverShape, cutter: Process) -> bool:
    """Tell whether holes are marked for the drill: threads always, and what the cutter cannot cut."""
    return bool(holes.thread) or drilled(holes.diameter, shape.thickness, cutter)


def cut_region(
    covers: Covers, shape: CoverShape, holes: tuple[Circle, ...], cutter: Process
) -> Region:
    """Return the plate as it is cut: outside, the lip's hole with its allowance, holes that can be cut."""
    cut = [c for c in holes if not is_marked(c, shape, cutter)]
    return Region(
        Outline.circle(ORIGIN, shape.outside),
        (
            Outline.circle(ORIGIN, shape.lip - covers.bore_allowance / 2),
            *(Outline.circle(p, c.diameter / 2) for c in cut for p in c.centers),
        ),
    )


def _cross(spot: Point) -> Path:
    a, b = Point(CROSS, 0.0), Point(0.0, CROSS)
    # out and back, so that it is one run of edges
    ends = [spot.plus(a), spot.plus(a, -1.0), spot, spot.plus(b), spot.plus(b, -1.0)]
    return Path(tuple(Line(p, q) for p, q in pairwise(ends)))


def _edges(shape: CoverShape, housing: RingFit | None) -> tuple[Edge, ...]:
    found = [
        Edge(shape.lip, "left"),
        Edge(shape.outside, "left"),
        Edge(shape.pocket, "right", limits=housing.limits if housing else None),
    ]
    if shape.register:
        found.append(Edge(shape.spigot, "right"))
    return tuple(found)


def _axials(covers: Covers, shape: CoverShape) -> tuple[Axial, ...]:
    rim, lip, thick = shape.thickness - shape.register, shape.lip_thickness, shape.thickness
    found = [Axial(lip, rim, shape.pocket, covers.depth_tolerance)]
    if shape.register:
        found.append(Axial(rim, thick, shape.spigot, covers.depth_tolerance))
    return (*found, Axial(0.0, thick, shape.outside, None))


def _notes(covers: Covers, bearing: Bearing, marked: list[Circle], side: str) -> tuple[str, ...]:
    drawn = "drawn nominal, the shop compensates its kerf"
    found = [
        drawn if not covers.kerf_full_width else "the kerf of the plate is drawn in",
        f"cut with the hole {covers.bore_allowance:g} mm small on the diameter, then bored",
        "register: to the measured bore of the ring, it slides on by hand",
        "pocket, register and seat face in one setting; the outside as cut",
        f"pocket: corner R {CORNER_SHARE * bearing.chamfer_min_mm:.2f} at most, mouth 0.5 x 45°; the "
        "bearing is the gauge",
    ]
    for c in marked:
        thread = f", then tap {c.thread}" if c.thread else ""
        where = (
            "at the marks" if covers.engrave_marks else "by the drawing, or the printed template"
        )
        found.append(f"drill {len(c.centers)} holes of {c.diameter:g} mm {where}{thread}")
    carries = (
        "bearing on the lead side, near face A" if side == "lead" else "bearing on the far side"
    )
    found.append(f"carries the {carries}: {bearing.designation}, lip outward")
    return tuple(found)
