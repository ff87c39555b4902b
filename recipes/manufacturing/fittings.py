"""Small things for one's own shelf: glue, varnish, keys, screws, rings, sensors, magnets."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Final

from geometry.part import Part
from recipes.design.units import format_number
from recipes.insulation.liner import liner_size
from recipes.job import Job
from recipes.manufacturing.order_line import PRACTICE, OrderLine, both_units, plain
from recipes.rotor.ring import rotor_ring_of
from recipes.stator.stack import GLUED_FACTOR
from recipes.tables.fits import fit_limits
from recipes.tables.reader import TableError
from recipes.winding.resistance import winding_resistance_of
from recipes.winding.wire_order import tension_of

# Tools to have or to make before the parts arrive, with their sizes.

#: Mandrel beyond both ends of the stack together, for plates and nuts, mm.
MANDREL_BEYOND: Final = 60.0

#: Play of a drift in the lined opening, mm.
DRIFT_PLAY: Final = 0.3

#: Least thickness of a clamp plate, mm, and as a share of the sheet's diameter.
PLATE_LEAST, PLATE_SHARE = 8.0, 0.08


def tool_lines(job: Job) -> list[OrderLine]:
    """Return the tools, in the order in which they are needed.

    Raises:
        Refused: no such wire, or no turn that fits.
    """
    return [
        _tool(
            "fine stone and magnifier", 1, "takes the burr off edges; never rounds the tooth tips"
        ),
        *_stacking(job),
        *_lining(job),
        *_winding(job),
        *_measuring(job),
    ]


def _tool(
    item: str, quantity: int, purpose: str, size: str = "", *notes: str, source: str = PRACTICE
) -> OrderLine:
    return OrderLine(
        "yourself",
        "tool",
        item,
        quantity,
        "pieces",
        size=size,
        purpose=purpose,
        notes=notes,
        source=source,
    )


def _stacking(job: Job) -> list[OrderLine]:
    lam = job.design.lamination
    try:
        limits = fit_limits(lam.bore_diameter, "g6")
        size = (
            f"{format_number(limits.min_size_mm, 3)} to {format_number(limits.max_size_mm, 3)} mm"
        )
        source = f"g6 of {limits.source}"
    except TableError:
        size, source = f"0.01 to 0.03 mm below {plain(lam.bore_diameter)} mm", PRACTICE
    length = job.stack.length + MANDREL_BEYOND
    plate = max(PLATE_LEAST, PLATE_SHARE * lam.outer_diameter)
    keys = " with the key" if job.design.hub.keyway else ""
    return [
        _tool(
            f"stacking mandrel{keys}",
            1,
            "lines the sheets up while they are glued",
            f"diameter {size}, at least {both_units(length)} long",
            "grease or wax it, or it stays in",
            source=source,
        ),
        _tool(
            "clamp plates",
            2,
            "press the stack flat over yoke and teeth while the glue sets",
            f"flat, at least {plain(plate, 0)} mm thick, outside {both_units(lam.outer_diameter - 1.0)}, "
            f"hole {both_units(lam.bore_diameter + 0.5)}",
            "film or paper between plate and sheet; sheets are razor-sharp: gloves",
        ),
    ]


def _lining(job: Job) -> list[OrderLine]:
    t, size = job.design.liner.thickness, liner_size(job)
    wall = [s.start for s in job.slot.wall]
    wide = 2 * max(p.y for p in wall) - 2 * t
    deep = max(p.x for p in wall) - min(p.x for p in wall) - t
    return [
        _tool(
            "liner former, hardwood or brass",
            1,
            "bends the long folds of the liner round it",
            f"section of the slot less its paper, {both_units(wide, deep)} at most, "
            f"{both_units(size.body + 20.0)} long",
            "the print of the slot and a trial strip are its template",
        ),
        _tool(
            "sharp knife, steel rule, cutting mat", 1, "cuts the paper parts along the templates"
        ),
    ]


def _winding(job: Job) -> list[OrderLine]:
    clear = job.slot.opening - 2 * job.design.liner.thickness
    drift = max(0.5, clear - DRIFT_PLAY)
    pull = tension_of(job)
    low, high = pull.together_N
    body = liner_size(job).body
    return [
        _tool(
            "wooden wedges",
            6,
            "hold liners and finished coil sides down while you wind on",
            f"tapering to less than {both_units(clear)}, about {plain(body, 0)} mm long",
        ),
        _tool(
            "drift of hardwood or fibre, smooth edges",
            1,
            "pushes turns down through the opening",
            f"{both_units(drift)} thick, nowhere metal",
        ),
        _tool(
            "winding holder",
            1,
            "lets the stator turn tooth by tooth, with both hands free",
            f"pin for a bore of {both_units(job.design.lamination.bore_diameter)}",
        ),
        _tool(
            "wire brake with felt, and a spring balance",
            1,
            "keeps an even pull on the wire",
            f"{plain(pull.least_N, 1)} to {plain(pull.most_N, 1)} N on each wire"
            + (
                f", {plain(low, 0)} to {plain(high, 0)} N on all {pull.strands}"
                if pull.strands > 1
                else ""
            ),
            source="half to four fifths of a wire maker's limit, common practice",
        ),
    ]


def _measuring(job: Job) -> list[OrderLine]:
    found = winding_resistance_of(job)
    low, high = found.lead_band_ohm
    meter = "four-wire milliohm meter" if found.needs_four_wires else "ohmmeter"
    return [
        _tool(
            "micrometer 0 to 25 mm and calliper",
            1,
            "sheet thickness, pile of 20, coupon, seats",
            "reads 0.01 mm",
        ),
        _tool(
            meter,
            1,
            "compares the three lead pairs before power is put on",
            f"{plain(1000 * low, 1)} to {plain(1000 * high, 1)} mOhm between two leads at 20 C",
            source="wire standard's band and 4 % slack",
        ),
        _tool(
            "insulation tester, 500 V direct",
            1,
            "winding against steel, before sensors are connected",
            "",
            "it charges the winding: touch nothing, discharge afterwards; who has no practice with "
            "it lets a motor shop test",
        ),
    ]


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
        "yourself",
        "supply",
        "thin two-part epoxy for laminating",
        _rounded(GLUE_SPARE * between, 10),
        "ml",
        size=f"{plain(between, 1)} ml stay between the sheets",
        purpose="glues the stack",
        notes=(
            "not needed for sheet with bonding varnish, which is baked under pressure",
            "skin contact sensitises: gloves, fresh air, and the maker's safety sheet",
        ),
        confidence="yours" if own else "practice",
        source="stack less steel, three times for squeeze-out and pot, common practice; "
        + (
            "lamination.stacking_factor"
            if own
            else f"stacking factor {GLUED_FACTOR}, common practice"
        ),
    )


def _resin(job: Job) -> OrderLine:
    """Return varnish or resin for the coils."""
    fill = job.window
    wires = fill.sides * fill.conductors * math.pi / 4 * fill.diameter**2
    room = max(0.0, fill.lined_area - wires) * job.stack.length * job.design.motor.slots / 1000.0
    return OrderLine(
        "yourself",
        "supply",
        "impregnating varnish or thin epoxy, class of the enamel or higher",
        _rounded(RESIN_SPARE * room, 50),
        "ml",
        size=f"{plain(room, 0)} ml of air between the wires in the slots",
        purpose="holds the coils still and carries their heat to the steel",
        notes=(
            "vapours burn and harm: outdoors or with extraction, no flame, oven only if its maker "
            "allows solvents",
        ),
        source="free room in the slots, three times for coil ends and what runs off, common practice",
    )


def _solder(job: Job) -> OrderLine:
    return OrderLine(
        "yourself",
        "supply",
        "solder and flux for electronics",
        1,
        "roll",
        purpose=f"joints of {job.design.winding.strands * 2} wires and three leads",
    )


def _fasteners(job: Job) -> Iterator[OrderLine]:
    hub, axle = job.design.hub, job.design.axle
    keys = job.key_seats
    if keys:
        yield OrderLine(
            "yourself",
            "supply",
            "parallel key, key steel, round ends",
            len(keys.angles),
            "pieces",
            size=f"{both_units(keys.width)} wide, {both_units(keys.height)} high, "
            f"{both_units(keys.length)} long" + ("; DIN 6885-1 A" if keys.key else ""),
            purpose="holds the stack against turning on the axle",
            source="DIN 6885-1 for section and length",
        )
    if hub.bolts:
        yield OrderLine(
            "yourself",
            "supply",
            "screw or threaded rod with nut, two insulating washers and a sleeve",
            hub.bolts.count,
            "sets",
            size=f"passes, sleeve and all, a hole of {both_units(hub.bolts.hole_diameter)}; clamps "
            f"{both_units(job.stack.length)} of sheets",
            purpose="clamps the stack; a bare bolt shorts the sheets",
        )
    for groove in axle.grooves:
        yield OrderLine(
            "yourself",
            "supply",
            "retaining ring for shafts",
            1,
            "pieces",
            size=f"for a groove {both_units(groove.width)} wide, {both_units(groove.diameter)} at its bottom",
            purpose=f"groove {plain(groove.from_face)} mm from face A",
            notes=("rings fly off when they slip: eye protection and the right pliers",),
        )


def _sensors(job: Job) -> Iterator[OrderLine]:
    hall = job.design.hall
    if hall.sensors:
        body = both_units(hall.body_width, hall.body_height, hall.body_thickness)
        yield OrderLine(
            "yourself",
            "supply",
            "Hall switch, latching, for brushless motors",
            4,
            "pieces",
            size=f"body {body}, three legs: measure yours before the jig is cut",
            purpose="three for the rotor's position, one spare",
        )
    names = " ".join(lead.name.casefold() for lead in job.design.axle.leads)
    if "temp" in names or "therm" in names:
        yield OrderLine(
            "yourself",
            "supply",
            "temperature sensor with two insulated wires",
            1,
            "pieces",
            purpose="between two coils; as your controller wants it",
        )


def _rotor(job: Job) -> Iterator[OrderLine]:
    """Yield the magnets, and the steel ring if its thickness is given."""
    ring, rotor = rotor_ring_of(job), job.design.rotor
    pinch = (
        "strong magnets jump, pinch and splinter: goggles, gloves, one at a time; 30 cm from "
        "pacemakers, cards and meters; never grind or drill them"
    )
    if ring is None:
        yield OrderLine(
            "yourself",
            "supply",
            "magnets for the rotor ring",
            job.design.motor.poles * rotor.magnets_per_pole,
            "pieces",
            size="not given in this design: as your rotor ring takes them, all alike",
            purpose=f"{plain(rotor.air_gap)} mm off the tooth tips",
            notes=(pinch,),
            confidence="yours",
            source="motor.poles",
        )
        return
    length = rotor.magnet_length or job.design.lamination.stack_length
    sizes = both_units(rotor.magnet_width or 0.0, rotor.magnet_thickness or 0.0, length)
    spare = max(2, math.ceil(MAGNET_SPARE * ring.count))
    bent = f", arc of radius {plain(ring.face, 2)} mm inside" if rotor.magnet_shape == "arc" else ""
    yield OrderLine(
        "yourself",
        "supply",
        "magnets for the rotor ring",
        ring.count + spare,
        "pieces",
        material=f"{ring.magnet.name}, up to {plain(ring.magnet.hottest_c)} C",
        size=f"{sizes} (width x thickness x length){bent}, magnetised through the thickness, +/- "
        f"{plain(rotor.magnet_tolerance)} mm",
        purpose=f"{ring.count} on the ring, {spare} spare; one batch",
        mass_kg=ring.mass * (ring.count + spare),
        notes=(pinch,),
        confidence="practice",
        source="rotor of the design; spare magnets by common practice",
    )
    if rotor.ring_thickness is not None:
        outside = 2 * (ring.bore + rotor.ring_thickness)
        yield OrderLine(
            "turner",
            "supply",
            "ring for the magnets",
            1,
            "pieces",
            material="plain low-carbon steel, not stainless",
            size=f"bore {both_units(2 * ring.bore)} +/- {plain(rotor.ring_bore_tolerance)} mm, "
            f"outside {both_units(outside)}, at least {both_units(length)} long",
            purpose="how it is held on the hub is not part of this design: agree it first",
            confidence="practice",
            source="rotor of the design",
        )


def _rounded(ml: float, step: int) -> int:
    """Return ml rounded up to what is sold."""
    return max(1, math.ceil(ml / step)) * step
