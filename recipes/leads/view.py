"""The picture of the leads: packed in the bore, and on their way from coils to controller.

across, at the slot          along, slot up (schematic bends, true axle)
 .--------.                                      / to the coils
/  o O o   \\___      strain relief  _____________|  |______
|  O o O    ___        __|__        |  sleeve  __/  R mouth
 \\________ /       __/      ========|==========            - bore
                   \\_/ drip loop    |______________________
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from geometry.outline import Outline
from geometry.point import ORIGIN, Point
from geometry.sheet.drawing import Drawing, Fill, Item, Stroke, Text, text_lines
from geometry.sheet.font import SMALLEST_TEXT, text_width, wrap
from geometry.sheet.hatch import hatch
from geometry.sheet.view import View
from recipes.axle.cross import slot_radius, slot_section
from recipes.job import Job
from recipes.leads.along import leads_along
from recipes.leads.bundle import SLEEVE, LeadBundle, lead_bundle_of
from recipes.refusal import Refused, finding

#: Size of the picture, mm.
WIDTH, HEIGHT = 200.0, 205.0

#: Centre of the view across, and its radius on the sheet.
ACROSS, ACROSS_RADIUS = Point(52.0, 150.0), 42.0


def lead_view(job: Job) -> Drawing:
    """Return the picture of the leads.

    Raises:
        Refused: the design names no leads, or its axle cannot be drawn.
    """
    bundle = lead_bundle_of(job)
    if bundle is None:
        raise Refused(
            finding(
                "stop", "leads-unknown", "axle.leads", 0, None,
                "axle.leads names no leads: there is no bundle to draw",
                "give phases, Hall and temperature leads", "common practice", "practice",
            )
        )  # fmt: skip
    items: list[Item] = [*_across(job, bundle), *_legend(job, bundle), *leads_along(job, bundle)]
    return Drawing(WIDTH, HEIGHT, tuple(items), f"{job.design.name}: leads in the axle")


def _across(job: Job, bundle: LeadBundle) -> Iterator[Item]:
    """Yield the section at the slot as mounted, with every lead to scale."""
    r = slot_radius(job)
    scale = max(1, int(1000 * ACROSS_RADIUS / r)), 1000
    turn = math.radians(job.design.axle.wire_slot.angle)
    steel = View(ACROSS, scale, ORIGIN, turn)
    region = steel.region(slot_section(job, r))
    yield from hatch(region)
    for loop in region.loops:
        yield Stroke(loop.segments, "visible")
    view = View(ACROSS, scale)
    if bundle.packing.hole + 2 * SLEEVE <= bundle.bore:
        sleeve = Outline.circle(ACROSS, (bundle.packing.hole / 2 + SLEEVE) * view.factor)
        yield Stroke(sleeve.segments, "hidden")
    marks = [k for k, kind in enumerate(bundle.kinds, 1) for _ in range(kind.count)]
    for mark, d, centre in zip(marks, bundle.diameters, bundle.packing.centres, strict=True):
        spot, size = view.point(centre), d * view.factor
        ring = Outline.circle(spot, size / 2)
        yield Fill((ring,), "white")
        if mark == 1:
            yield Fill((ring,), "grey")
        yield Stroke(ring.segments, "visible")
        if math.hypot(text_width(str(mark), SMALLEST_TEXT), SMALLEST_TEXT) < 0.98 * size:
            yield Text(spot.x, spot.y, SMALLEST_TEXT, str(mark), "centre", level="middle")
    yield Text(ACROSS.x, ACROSS.y + ACROSS_RADIUS + 4.0, 3.5, "across, at the wire slot", "centre")


def _legend(job: Job, bundle: LeadBundle) -> Iterator[Item]:
    x, top = ACROSS.x + ACROSS_RADIUS + 12.0, ACROSS.y + ACROSS_RADIUS + 6.5
    fits = bundle.packing.hole <= bundle.bore
    lines = [f"{job.design.name}: leads through the axle", ""]
    lines += [
        f"{mark}   {k.count} × {k.name}, ⌀{k.diameter:.4g} over the insulation"
        for mark, k in enumerate(bundle.kinds, 1)
    ]
    lines += [
        "",
        f"packed tight: ⌀{bundle.packing.hole:.2f}; by hand about ⌀{bundle.hand_diameter:.1f}",
        f"bore ⌀{bundle.bore:.4g}, {100 * bundle.fill:.0f} % full; at most {100 * bundle.limit:.0f} % "
        f"for a pull of {bundle.pull:.0f} mm (NEC ch. 9)",
        f"smallest bore for these leads ⌀{bundle.smallest_bore:g}",
        f"wire slot {bundle.slot_width:.4g} × {bundle.slot_length:.4g}, "
        f"{100 * bundle.slot_fill:.0f} % full; "
        + ("the bundle passes at once" if bundle.passes_slot_at_once else "thread lead by lead"),
    ]
    if bundle.jam_ratio is not None:
        lines.append(
            f"bore over lead {bundle.jam_ratio:.2f}; three leads jam at 2.8 to 3.2 (NEC ch. 9)"
        )
    if not fits:
        lines.append("THE LEADS DO NOT FIT THE BORE")
    lines += ["", "connectors do not pass: crimp them after threading"]
    lines.append("Hall leads in a sleeve of their own: a phase that touches one kills the sensor")
    wrapped = [part for words in lines for part in wrap(words, WIDTH - x - 6.0, SMALLEST_TEXT)]
    yield from text_lines(x, top, SMALLEST_TEXT, wrapped)
