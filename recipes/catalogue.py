"""Every part, in the order of the build. Adding one is one file and one line here.

A line names the part's function and gives it what it takes. Nothing else knows how a part is made.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass

from geometry.part import Part
from geometry.printing.page_layout import Layout
from recipes.covers.cover import covers_of
from recipes.covers.rotor_ring import rotor_ring_parts
from recipes.insulation.end_washer import end_washer
from recipes.insulation.liner import liner
from recipes.insulation.paper_sheets import paper_sheets
from recipes.insulation.strips import slot_strips
from recipes.motor import Motor
from recipes.refusal import Refused, refuse_stops
from recipes.rotor.hall_jig import hall_jig
from recipes.rotor.hall_plan import hall_plan
from recipes.rotor.magnet_ring import magnet_ring
from recipes.searches import paper_rings
from recipes.shaft.axle import axle
from recipes.shaft.axle_wrap import axle_wrap, axle_wraps
from recipes.shaft.corner import seat_band
from recipes.shaft.lead_jig import lead_jig
from recipes.shaft.seat_steps import fit_words, key_steps, seat_steps, seat_table, warm_steps
from recipes.stator.coupon import coupon
from recipes.stator.end_cap import end_cap
from recipes.stator.end_laminations import end_laminations
from recipes.stator.lamination import lamination
from recipes.stator.stack import stack
from recipes.templates import template_layout
from recipes.winding.card import card_figures, coil_sheets, coil_steps, joint_sheets, winding_card
from recipes.winding.card_picture import (
    Stage,
    first_tooth,
    picture_circle,
    picture_sheet,
    picture_words,
)
from recipes.winding.card_run import paths_words, route_rows, several_coils
from recipes.winding.card_tables import tooth_rows
from recipes.winding.tooth_ring import tooth_ring


@dataclass(frozen=True)
class Recipe:
    """One line of the catalogue.

    Args:
        name: plain name: of its function, and of its first part.
        files: kinds of file that its parts become: "cut" (DXF for a cutter), "print" (1:1 PDF),
            "draw" (drawing as DXF and PDF), "solid" (STEP), "mesh" (STL), "knife" (page as SVG for a paper cutter), "wind" (sheets for the winder as
            one PDF and pictures), "sheet" (drawings printed 1:1 as one PDF). A part without the
            needed shape (no region, no drawing, no body) leaves its kind out.
        meaning: one line for people.
        make: from the motor to its parts; raises Refused if they cannot be drawn.
    """

    name: str
    files: tuple[str, ...]
    meaning: str
    make: Callable[[Motor, Parts], tuple[Part, ...]]


class Parts(dict[str, tuple[Part, ...]]):
    """The parts of one motor by the recipe's name, each made when it is first looked at.

    Looking at one raises `Refused` if it cannot be drawn.
    """

    def __init__(self, motor: Motor) -> None:
        """Make nothing yet."""
        super().__init__()
        self._motor = motor
        self._layouts: dict[str, Layout] = {}

    def __missing__(self, name: str) -> tuple[Part, ...]:
        """Make the parts of a recipe."""
        self[name] = made = next(r for r in RECIPES if r.name == name).make(self._motor, self)
        return made

    def layout(self, name: str) -> Layout:
        """The 1:1 pages of a recipe's paper parts, laid out once."""
        if name not in self._layouts:
            printed = tuple(p for p in self[name] if p.cut)
            self._layouts[name] = template_layout(printed, self._motor.imprint)
        return self._layouts[name]

    @property
    def sheets(self) -> tuple[Part, ...]:
        """The lamination, then the sheets of the end steps."""
        return (*self["lamination"], *self["end_laminations"])


def _axle(motor: Motor, _: Parts) -> tuple[Part, ...]:
    refuse_stops(motor.axle_findings)
    return axle(motor.axle_shape, seat_band(motor.design.axle, motor.bearing), motor.imprint)


def _coupon(motor: Motor, _: Parts) -> tuple[Part, ...]:
    drawn = 0.0
    with suppress(Refused):  # not measured yet, as the rules of the kerf say
        drawn = motor.kerf.drawn
    return coupon(motor.design.lamination, motor.slot, motor.process, drawn)


def _end_laminations(motor: Motor, parts: Parts) -> tuple[Part, ...]:
    lam, steps = motor.design.lamination, motor.design.ends.steps
    (full,) = parts["lamination"]
    return end_laminations(lam, steps, full, motor.wire.overall_max_mm, motor.stack.end_to_order)


def slot_papers(parts: Parts) -> tuple[Part, ...]:
    """Return liner, wedge and separator, as far as the motor has them; the trial strips are left out."""
    return (parts["liner"][0], *parts["slot_strips"])


def _routes(motor: Motor) -> tuple[str, tuple[tuple[str, ...], ...]] | None:
    if not several_coils(motor.design.winding):
        return None
    legal = tuple(motor.phase_ohms)
    rows = route_rows(
        motor.wire_runs, motor.layout, motor.paths, motor.resistance, motor.imprint.inches
    )
    return paths_words(motor.wire_runs, motor.paths, legal), rows


def _rotor_ring(motor: Motor, _: Parts) -> tuple[Part, ...]:
    d = motor.design
    length = d.rotor.magnet_length or d.lamination.stack_length
    closed = None if d.covers is None else motor.closed_rotor
    return rotor_ring_parts(d.rotor, motor.rotor_ring, length, d.covers, closed, motor.imprint)


def _winding_card(motor: Motor, parts: Parts) -> tuple[Part, ...]:
    d, page, inches = motor.design, motor.design.print.page, motor.imprint.inches
    stage = Stage(motor.layout, motor.slot, d.lamination, *picture_circle(page))
    picture = picture_sheet(
        stage,
        motor.joints,
        parts["lamination"][0].cut[0],
        picture_words(d.motor, d.winding, motor.wire.label),
        first_tooth(d.hub),
        page,
    )
    order, r = motor.wire_order, motor.resistance
    coils = coil_sheets(
        card_figures(d.winding, motor.wire, motor.conductors, order, r, inches),
        coil_steps(d.winding, motor.wire, order.coil_cut_m, motor.wire_order.bobbin, inches),
        tooth_rows(motor.layout, motor.joints),
        motor.conductors,
        "" if several_coils(d.winding) else "mΩ" if r.coil_ohm < 1.0 else "Ω",
        _routes(motor),
        page,
        motor.imprint.said,
    )
    cautions = next(way for way in motor.connections if way.own).cautions
    volts, say = d.motor.supply_voltage, motor.imprint.said
    joints = joint_sheets(d.winding, motor.joints, cautions, r, volts, page, say)
    return winding_card([picture, *coils, *joints], order.coils, d.winding, motor.imprint)


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
        lambda motor, _: lamination(
            motor.design, motor.slot, motor.stack.full_to_order, motor.imprint
        ),
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
        lambda motor, parts: stack(
            motor.design,
            motor.slot,
            motor.stack,
            parts.sheets,
            (*parts["end_washer"], *parts["end_cap"]),
            motor.imprint,
        ),
    ),
    Recipe(
        "end_cap",
        ("solid", "mesh"),
        "cap with rounded edges to print or machine",
        lambda motor, _: end_cap(motor.design, motor.slot, motor.wire.overall_max_mm),
    ),
    Recipe(
        "end_washer",
        ("cut", "print"),
        "insulating ring for both ends",
        lambda motor, _: end_washer(motor.design, motor.slot, motor.wire.overall_max_mm),
    ),
    Recipe(
        "liner",
        ("cut", "print"),
        "slot paper, flat, with its trial strips",
        lambda motor, _: liner(motor.liner_size, motor.design.liner, motor.design.motor.slots),
    ),
    Recipe(
        "slot_strips",
        ("cut", "print"),
        "wedges and separators",
        lambda motor, _: slot_strips(
            motor.design,
            motor.liner_size.body,
            2 * motor.window.wedge_half,
            (motor.root_radius + motor.window.floor, motor.window.wedge_span[1]),
            motor.window.sides,
        ),
    ),
    Recipe(
        "paper_sheets",
        ("cut", "knife"),
        "liners, wedges and separators laid out on sheets for a paper cutter",
        lambda motor, parts: paper_sheets(slot_papers(parts), motor.design.print),
    ),
    Recipe(
        "winding_card",
        ("wind",),
        "winding card: picture, tally boxes, joint list",
        _winding_card,
    ),
    Recipe(
        "tooth_ring",
        ("sheet",),
        "paper rings for both ends, 1:1",
        lambda motor, _: tooth_ring(
            paper_rings(motor), motor.layout, motor.wire_runs, motor.imprint
        ),
    ),
    Recipe(
        "hall_jig",
        ("cut", "sheet"),
        "jig that holds the Hall sensors at their angles, 1:1",
        lambda motor, _: hall_jig(
            motor.hall_jig_plate,
            motor.design.motor.slots,
            motor.design.hall.jig_thickness,
            motor.imprint,
        ),
    ),
    Recipe(
        "hall_plan",
        ("sheet",),
        "Hall sensors: places, truth table, every legal set of slots",
        lambda motor, _: hall_plan(
            motor.hall_plan,
            motor.hall_sets,
            motor.design.hall.arrangement,
            motor.design.winding.connection,
            motor.imprint,
        ),
    ),
    Recipe(
        "lead_jig",
        ("sheet",),
        "card that turns the stack to the wire slot and orders the leads, 1:1",
        lambda motor, _: lead_jig(motor.lead_jig, motor.design.winding.connection, motor.imprint),
    ),
    Recipe(
        "magnet_ring",
        ("sheet",),
        "spacing and polarity ring for the magnets, 1:1",
        lambda motor, _: magnet_ring(
            motor.design.rotor, motor.design.motor.poles, motor.rotor_ring, motor.imprint
        ),
    ),
    Recipe(
        "rotor_ring",
        ("draw", "solid"),
        "steel ring that carries the magnets, with its spacer rings",
        _rotor_ring,
    ),
    Recipe(
        "cover",
        ("cut", "print", "draw", "solid"),
        "covers with bearing housings: plate to cut, then to turn",
        lambda motor, _: covers_of(
            motor.design.covers, motor.closed_rotor, motor.hub_fit, motor.bearing, motor.imprint
        ),
    ),
    Recipe(
        "axle",
        ("draw", "solid"),
        "hollow axle with wire slot and seats",
        _axle,
    ),
    Recipe(
        "axle_wrap",
        ("sheet",),
        "paper to wrap round the axle and mark it by, 1:1",
        lambda motor, _: axle_wrap(
            axle_wraps(
                motor.design.axle,
                motor.sections,
                motor.design.hub.keyway,
                motor.design.print.paper_thickness,
            ),
            motor.design.axle.wire_slot,
            motor.imprint,
        ),
    ),
    Recipe(
        "seat_steps",
        ("sheet",),
        "bench sheet: limits and play of every seat, steps to size",
        lambda motor, _: seat_steps(
            seat_table(
                motor.seats,
                motor.hub_fit,
                motor.bearing,
                motor.design.axle,
                motor.design.lamination.bore_diameter,
            ),
            motor.seat_steps,
            warm_steps(
                motor.shrink_fits, motor.hub_temperature, motor.design.winding.room_temperature
            ),
            key_steps(motor.key_seats),
            fit_words(motor.design.axle, motor.bearing_clearance),
            motor.imprint,
        ),
    ),
)
