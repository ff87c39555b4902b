"""The steel ring that carries the magnets, and the spacer rings between it and the covers: turned tubes.

      lead end                     half-section
      |<--------- length --------->|
      .____________________________. ring_bore / 2 + ring_thickness
      |=threads of the covers'     |
      |  screws, both ends         |
      '----------------------------' ring_bore / 2
          |<- magnets ->|
    - - - - - - - - - - - - - - - - axis

Not checked: whether the tube is round before it is turned, and how the lathe holds it.
"""

from __future__ import annotations

import math

from geometry.drafting.drawing import Lazy
from geometry.errors import GeometryError
from geometry.outline import Outline
from geometry.part import Part
from geometry.point import Point
from geometry.solids import AxialHole, Drilled, Revolved
from recipes.covers.closed_rotor import ClosedRotor
from recipes.covers.cover import FIRST_HOLE
from recipes.covers.turned_drawing import Axial, Circle, Edge, TurnedPart, turned_drawing
from recipes.design.covers import Covers
from recipes.design.rotor import Rotor
from recipes.drawing_conventions import Imprint
from recipes.refusal import Refused, misfit
from recipes.rotor.ring import RotorRing

#: What the ring is turned from, and what is left on its diameters for that, mm (common practice).
STEEL, TO_TURN = "plain low-carbon steel, not stainless", 3.0

#: Run-out of bore and end faces to each other, mm (common practice).
RUN_OUT = 0.03


def rotor_ring_parts(
    rotor: Rotor,
    ring: RotorRing | None,
    magnet_length: float,
    covers: Covers | None,
    closed: ClosedRotor | None,
    imprint: Imprint,
) -> tuple[Part, ...]:
    """Return the steel ring and its spacers; none while its thickness is not given.

    Args:
        rotor: table of the design.
        ring: of magnets.
        magnet_length: mm; the ring's own length where nothing closes it.
        covers, closed: of the design; None without covers.
        imprint: of the design.

    Raises:
        Refused: threads that leave the wall.
    """
    if ring is None or rotor.ring_thickness is None:
        return ()
    radii = (ring.bore, ring.bore + rotor.ring_thickness)
    if closed is None or covers is None:
        notes = (*_ring_notes(0.0, magnet_length), "no covers are given: agree how it is held")
        return (_tube("rotor_ring", radii, magnet_length, rotor, None, (), (), notes, imprint),)
    at, most = closed.arranged, covers.length_tolerance
    length = at.ring[1] - at.ring[0]
    notes = _ring_notes(at.magnets_from_ring_end, magnet_length)
    start = at.magnets_from_ring_end
    marks = (
        Axial(0.0, start, ring.bore, None),
        Axial(start, start + magnet_length, ring.bore, None, "magnets"),
    )
    threads: tuple[Circle, ...] = ()
    if covers.bolts.path == "into the ring":
        shape, pitch = at.shape, 2 * math.pi / covers.bolts.count
        spots = tuple(
            Point.polar(shape.circle, FIRST_HOLE + k * pitch) for k in range(covers.bolts.count)
        )
        deep = min(closed.bolts.thread_depth, length / 2 - 1.0)
        size = shape.bolt
        threads = (
            Circle(shape.circle, size.tap_drill_mm, spots, size.thread, "covers.bolts", deep),
        )
        notes += (
            f"threads {size.thread}: drill {size.tap_drill_mm:g}, seen through the covers' holes",
        )
    found = [
        _tube("rotor_ring", radii, round(length, 2), rotor, most, threads, marks, notes, imprint)
    ]
    for side, spacer in zip(("lead", "far"), at.spacers, strict=True):
        if spacer:
            said = (f"stands between ring and cover, {side} side; both end faces parallel",)
            name = f"spacer_ring_{side}"
            found.append(_tube(name, radii, spacer, rotor, most, (), (), said, imprint))
    return tuple(found)


def _ring_notes(start: float, length: float) -> tuple[str, ...]:
    """Return what the turner and the gluer need to know."""
    return (
        "bore and both end faces in one setting",
        "seamless tube or forged ring, soft steel: it carries the magnets' flux",
        f"magnets from {start:.2f} to {start + length:.2f} mm from the lead end: scribe both lines in "
        "the bore",
    )


def _tube(
    name: str,
    radii: tuple[float, float],
    length: float,
    rotor: Rotor,
    length_tolerance: float | None,
    threads: tuple[Circle, ...],
    marks: tuple[Axial, ...],
    notes: tuple[str, ...],
    imprint: Imprint,
) -> Part:
    """Return one tube of inner and outer radius `radii`, mm; `marks` are lengths scribed in its bore."""
    bore, outside = radii
    profile = Outline.polygon([(0.0, bore), (length, bore), (length, outside), (0.0, outside)])
    drill = tuple(
        AxialHole(p, c.diameter / 2, ends)
        for c in threads
        for p in c.centers
        for ends in ((0.0, c.depth), (length - c.depth, length))
    )
    try:
        body = Drilled(Revolved(profile), drill) if drill else Revolved(profile)
    except GeometryError as error:
        raise Refused(misfit(error, "covers.bolts.circle_diameter")) from None
    words = TurnedPart(
        name=name,
        title=name.replace("_", " "),
        material=STEEL,
        profile=profile,
        edges=(
            Edge(outside, "left"),
            Edge(bore, "right", tolerance=rotor.ring_bore_tolerance),
        ),
        axials=(*marks, Axial(0.0, length, outside, length_tolerance)),
        circles=threads,
        notes=notes,
        run_out=RUN_OUT,
        field="rotor.ring_thickness",
    )
    return Part(
        name=name,
        cut=(),
        material=STEEL,
        thickness=0.0,
        quantity=1,
        settings={
            "length_mm": round(length, 3),
            "bore_mm": round(2 * bore, 3),
            "outer_diameter_mm": round(2 * outside, 3),
            "stock_diameter_mm": round(2 * outside + TO_TURN, 1),
        },
        notes=notes,
        solid=body,
        drawings=Lazy(lambda: (turned_drawing(words, imprint),), count=1),
    )
