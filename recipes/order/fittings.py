"""Small things for one's own shelf: glue, varnish, keys, screws, rings, sensors, magnets."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Final

from recipes.axle.key_seat import key_seats_of
from recipes.order.line import OrderLine, both_units, plain
from recipes.parts.stack import GLUED_FACTOR
from recipes.rotor.ring import rotor_ring_of

if TYPE_CHECKING:
    from geometry.part import Part
    from recipes.job import Job

#: Glue mixed for what stays between the sheets: squeezed out, left in the pot.
GLUE_SPARE: Final = 3.0

#: Resin or varnish for the room between wires: coil ends hold as much again, half runs off.
RESIN_SPARE: Final = 3.0


#: Magnets that break or are lost, as a share.
MAGNET_SPARE: Final = 0.05


def fitting_lines(job: Job, parts: Iterable[Part]) -> list[OrderLine]:
    """Return what the builder buys in a shop for tools and parts.

    Raises:
        Refused: no slot that holds wire, or magnets that do not go into their ring.
    """
    sheet = next((p for p in parts if p.name == "lamination"), None)
    glue = [] if sheet is None else [_glue(job, sheet)]
    return [*glue, _resin(job), _solder(job), *_fasteners(job), *_sensors(job), *_rotor(job)]


def _glue(job: Job, sheet: Part) -> OrderLine:
    """Return the resin that fills what is not steel in the stack."""
    stack = job.stack
    between = (1.0 - stack.factor) * stack.length * sheet.area / 1000.0
    own = job.design.lamination.stacking_factor is not None
    return OrderLine(
        "yourself", "supply", "thin two-part epoxy for laminating",
        _rounded(GLUE_SPARE * between, 10), "ml",
        size=f"{plain(between, 1)} ml stay between the sheets",
        purpose="glues the stack",
        notes=(
            "not needed for sheet with bonding varnish, which is baked under pressure",
            "skin contact sensitises: gloves, fresh air, and the maker's safety sheet",
        ),
        confidence="yours" if own else "practice",
        source="stack less steel, three times for squeeze-out and pot, common practice; "
        + ("lamination.stacking_factor" if own else f"stacking factor {GLUED_FACTOR}, common practice"),
    )  # fmt: skip


def _resin(job: Job) -> OrderLine:
    """Return varnish or resin for the coils."""
    fill = job.fill
    wires = fill.sides * fill.conductors * math.pi / 4 * fill.diameter**2
    room = max(0.0, fill.lined_area - wires) * job.stack.length * job.design.motor.slots / 1000.0
    return OrderLine(
        "yourself", "supply", "impregnating varnish or thin epoxy, class of the enamel or higher",
        _rounded(RESIN_SPARE * room, 50), "ml",
        size=f"{plain(room, 0)} ml of air between the wires in the slots",
        purpose="holds the coils still and carries their heat to the steel",
        notes=(
            "vapours burn and harm: outdoors or with extraction, no flame, oven only if its maker "
            "allows solvents",
        ),
        source="free room in the slots, three times for coil ends and what runs off, common practice",
    )  # fmt: skip


def _solder(job: Job) -> OrderLine:
    return OrderLine(
        "yourself", "supply", "solder and flux for electronics", 1, "roll",
        purpose=f"joints of {job.design.winding.strands * 2} wires and three leads",
    )  # fmt: skip


def _fasteners(job: Job) -> Iterator[OrderLine]:
    hub, axle = job.design.hub, job.design.axle
    keys = key_seats_of(job)
    if keys:
        yield OrderLine(
            "yourself", "supply", "parallel key, key steel, round ends", len(keys.angles), "pieces",
            size=f"{both_units(keys.width)} wide, {both_units(keys.height)} high, "
            f"{both_units(keys.length)} long" + ("; DIN 6885-1 A" if keys.key else ""),
            purpose="holds the stack against turning on the axle",
            source="DIN 6885-1 for section and length",
        )  # fmt: skip
    if hub.bolts:
        yield OrderLine(
            "yourself", "supply", "screw or threaded rod with nut, two insulating washers and a sleeve",
            hub.bolts.count, "sets",
            size=f"passes, sleeve and all, a hole of {both_units(hub.bolts.hole_diameter)}; clamps "
            f"{both_units(job.stack.length)} of sheets",
            purpose="clamps the stack; a bare bolt shorts the sheets",
        )  # fmt: skip
    for groove in axle.grooves:
        yield OrderLine(
            "yourself", "supply", "retaining ring for shafts", 1, "pieces",
            size=f"for a groove {both_units(groove.width)} wide, {both_units(groove.diameter)} at its bottom",
            purpose=f"groove {plain(groove.from_face)} mm from face A",
            notes=("rings fly off when they slip: eye protection and the right pliers",),
        )  # fmt: skip


def _sensors(job: Job) -> Iterator[OrderLine]:
    hall = job.design.hall
    if hall.sensors:
        body = both_units(hall.body_width, hall.body_height, hall.body_thickness)
        yield OrderLine(
            "yourself", "supply", "Hall switch, latching, for brushless motors", 4, "pieces",
            size=f"body {body}, three legs: measure yours before the jig is cut",
            purpose="three for the rotor's position, one spare",
        )  # fmt: skip
    names = " ".join(lead.name.casefold() for lead in job.design.axle.leads)
    if "temp" in names or "therm" in names:
        yield OrderLine(
            "yourself", "supply", "temperature sensor with two insulated wires", 1, "pieces",
            purpose="between two coils; as your controller wants it",
        )  # fmt: skip


def _rotor(job: Job) -> Iterator[OrderLine]:
    """Yield the magnets, and the steel ring if its thickness is given."""
    ring, rotor = rotor_ring_of(job), job.design.rotor
    pinch = (
        "strong magnets jump, pinch and splinter: goggles, gloves, one at a time; 30 cm from "
        "pacemakers, cards and meters; never grind or drill them"
    )
    if ring is None:
        yield OrderLine(
            "yourself", "supply", "magnets for the rotor ring",
            job.design.motor.poles * rotor.magnets_per_pole, "pieces",
            size="not given in this design: as your rotor ring takes them, all alike",
            purpose=f"{plain(rotor.air_gap)} mm off the tooth tips", notes=(pinch,),
            confidence="yours", source="motor.poles",
        )  # fmt: skip
        return
    length = rotor.magnet_length or job.design.lamination.stack_length
    sizes = both_units(rotor.magnet_width or 0.0, rotor.magnet_thickness or 0.0, length)
    spare = max(2, math.ceil(MAGNET_SPARE * ring.count))
    bent = f", arc of radius {plain(ring.face, 2)} mm inside" if rotor.magnet_shape == "arc" else ""
    yield OrderLine(
        "yourself", "supply", "magnets for the rotor ring", ring.count + spare, "pieces",
        material=f"{ring.magnet.name}, up to {plain(ring.magnet.hottest_c)} C",
        size=f"{sizes} (width x thickness x length){bent}, magnetised through the thickness, +/- "
        f"{plain(rotor.magnet_tolerance)} mm",
        purpose=f"{ring.count} on the ring, {spare} spare; one batch",
        mass_kg=ring.mass * (ring.count + spare), notes=(pinch,),
        confidence="practice", source="rotor of the design; spare magnets by common practice",
    )  # fmt: skip
    if rotor.ring_thickness is not None:
        outside = 2 * (ring.bore + rotor.ring_thickness)
        yield OrderLine(
            "turner", "supply", "ring for the magnets", 1, "pieces",
            material="plain low-carbon steel, not stainless",
            size=f"bore {both_units(2 * ring.bore)} +/- {plain(rotor.ring_bore_tolerance)} mm, "
            f"outside {both_units(outside)}, at least {both_units(length)} long",
            purpose="how it is held on the hub is not part of this design: agree it first",
            confidence="practice", source="rotor of the design",
        )  # fmt: skip


def _rounded(ml: float, step: int) -> int:
    """Return ml rounded up to what is sold."""
    return max(1, math.ceil(ml / step)) * step
