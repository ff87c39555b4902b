"""Every part, in the order of the build. Adding one is one file and one line here.

A line names the part's function and gives it what it takes. Nothing else knows how a part is made.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass

from geometry.part import Part
from recipes.insulation.end_washer import end_washer
from recipes.insulation.liner import liner
from recipes.insulation.strips import slot_strips
from recipes.job import Job
from recipes.refusal import Refused, refuse_stops
from recipes.rotor.hall_jig import hall_jig
from recipes.rotor.hall_plan import hall_plan
from recipes.rotor.magnet_ring import magnet_ring
from recipes.shaft.axle import axle
from recipes.shaft.axle_wrap import axle_wrap, axle_wraps
from recipes.shaft.lead_jig import lead_jig
from recipes.shaft.profile import seat_round
from recipes.shaft.seat_steps import key_steps, seat_steps, seat_table, warm_steps
from recipes.stator.coupon import coupon
from recipes.stator.end_cap import end_cap
from recipes.stator.end_laminations import end_laminations
from recipes.stator.lamination import lamination
from recipes.stator.stack import stack
from recipes.winding.card import card_figures, coil_sheets, coil_steps, joint_sheets, winding_card
from recipes.winding.card_picture import (
    Stage,
    first_tooth,
    picture_circle,
    picture_sheet,
    picture_words,
)
from recipes.winding.card_tables import tooth_rows
from recipes.winding.tooth_ring import tooth_ring


@dataclass(frozen=True)
class Recipe:
    """One line of the catalogue.

    Args:
        name: plain name: of its function, and of its first part.
        files: kinds of file that its parts become: "cut" (DXF for a cutter), "print" (1:1 PDF),
            "draw" (drawing as DXF and PDF), "solid" (STEP), "mesh" (STL), "wind" (sheets for the winder as
            one PDF and pictures), "sheet" (drawings printed 1:1 as one PDF). A part without the
            needed shape (no region, no drawing, no body) leaves its kind out.
        meaning: one line for people.
        make: from the motor to its parts; raises Refused if they cannot be drawn.
    """

    name: str
    files: tuple[str, ...]
    meaning: str
    make: Callable[[Job], tuple[Part, ...]]


def _axle(job: Job) -> tuple[Part, ...]:
    refuse_stops(job.axle_findings)
    return axle(job.axle_shape, seat_round(job.bearing), job.imprint)


def _coupon(job: Job) -> tuple[Part, ...]:
    drawn = 0.0
    with suppress(Refused):  # not measured yet, as the rules of the kerf say
        drawn = job.kerf.drawn
    return coupon(job.design.lamination, job.slot, job.process, drawn)


def _end_laminations(job: Job) -> tuple[Part, ...]:
    lam, steps = job.design.lamination, job.design.ends.steps
    (full,) = job.parts["lamination"]
    return end_laminations(lam, steps, full, job.wire.overall_max_mm, job.stack.end_to_order)


def _winding_card(job: Job) -> tuple[Part, ...]:
    d, page, inches = job.design, job.design.print.page, job.imprint.inches
    stage = Stage(job.layout, job.slot, d.lamination, *picture_circle(page))
    picture = picture_sheet(
        stage,
        job.joints,
        job.parts["lamination"][0].cut[0],
        picture_words(d.motor, d.winding, job.wire.label),
        first_tooth(d.hub),
        page,
    )
    order, r = job.wire_order, job.resistance
    coils = coil_sheets(
        card_figures(d.winding, job.wire, job.conductors, order, r, inches),
        coil_steps(d.winding, job.wire, order.coil_cut_m, inches),
        tooth_rows(job.layout, job.joints),
        job.conductors,
        r.coil_ohm,
        page,
    )
    cautions = next(way for way in job.connections if way.own).cautions
    joints = joint_sheets(d.winding, job.joints, cautions, r, d.motor.supply_voltage, page)
    return winding_card([picture, *coils, *joints], order.coils, d.winding, job.imprint)


RECIPES: tuple[Recipe, ...] = (
    Recipe(
        "coupon",
        ("cut",),
        "test coupon: cut it first, measure it, type the figures in",
        _coupon,
    ),
    Recipe(
        "lamination",
        ("cut", "draw", "solid"),
        "stator sheet for the cutting shop",
        lambda job: lamination(job.design, job.slot, job.stack.full_to_order, job.imprint),
    ),
    Recipe(
        "end_laminations",
        ("cut",),
        "narrower sheets for both ends of the stack",
        _end_laminations,
    ),
    Recipe(
        "stack",
        ("draw", "solid"),
        "finished stack",
        lambda job: stack(
            job.design,
            job.slot,
            job.stack,
            job.sheets,
            (*job.parts["end_washer"], *job.parts["end_cap"]),
            job.imprint,
        ),
    ),
    Recipe(
        "end_cap",
        ("solid", "mesh"),
        "cap with rounded edges to print or machine",
        lambda job: end_cap(job.design, job.slot, job.wire.overall_max_mm),
    ),
    Recipe(
        "end_washer",
        ("cut", "print"),
        "insulating ring for both ends",
        lambda job: end_washer(job.design, job.slot, job.wire.overall_max_mm),
    ),
    Recipe(
        "liner",
        ("cut", "print"),
        "slot paper, flat, with its trial strips",
        lambda job: liner(job.liner_size, job.design.liner, job.design.motor.slots),
    ),
    Recipe(
        "slot_strips",
        ("cut", "print"),
        "wedges and separators",
        lambda job: slot_strips(
            job.design, job.liner_size.body, job.window.wedge_span, job.window.sides
        ),
    ),
    Recipe(
        "winding_card",
        ("wind",),
        "winding card: picture, tally boxes, joint list",
        lambda job: _winding_card(job),
    ),
    Recipe(
        "tooth_ring",
        ("sheet",),
        "paper rings for both ends, 1:1",
        lambda job: tooth_ring(job.paper_rings, job.layout, job.imprint),
    ),
    Recipe(
        "hall_jig",
        ("cut", "sheet"),
        "jig that holds the Hall sensors at their angles, 1:1",
        lambda job: hall_jig(
            job.hall_jig_plate, job.design.motor.slots, job.design.hall.jig_thickness, job.imprint
        ),
    ),
    Recipe(
        "hall_plan",
        ("sheet",),
        "Hall sensors: places, truth table, every legal set of slots",
        lambda job: hall_plan(
            job.hall_plan, job.hall_sets, job.design.hall.arrangement, job.imprint
        ),
    ),
    Recipe(
        "lead_jig",
        ("sheet",),
        "card that turns the stack to the wire slot and orders the leads, 1:1",
        lambda job: lead_jig(job.lead_jig, job.design.winding.connection, job.imprint),
    ),
    Recipe(
        "magnet_ring",
        ("sheet",),
        "spacing and polarity ring for the magnets, 1:1",
        lambda job: magnet_ring(
            job.design.rotor, job.design.motor.poles, job.rotor_ring, job.imprint
        ),
    ),
    Recipe(
        "axle",
        ("draw", "solid"),
        "hollow axle with wire slot and seats",
        lambda job: _axle(job),
    ),
    Recipe(
        "axle_wrap",
        ("sheet",),
        "paper to wrap round the axle and mark it by, 1:1",
        lambda job: axle_wrap(
            axle_wraps(
                job.design.axle,
                job.sections,
                job.design.hub.keyway,
                job.design.print.paper_thickness,
            ),
            job.design.axle.wire_slot,
            job.imprint,
        ),
    ),
    Recipe(
        "seat_steps",
        ("sheet",),
        "bench sheet: limits and play of every seat, steps to size",
        lambda job: seat_steps(
            seat_table(
                job.seats,
                job.hub_fit,
                job.bearing,
                job.design.axle,
                job.design.lamination.bore_diameter,
            ),
            job.seat_steps,
            warm_steps(job.shrink_fits, job.hub_temperature, job.design.winding.room_temperature),
            key_steps(job.key_seats),
            job.imprint,
        ),
    ),
)
