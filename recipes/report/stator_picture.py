"""The stator: a third of its slots bare, a third lined, a third wound with every wire to scale."""

from __future__ import annotations

import math

from geometry.drafting.drawing import Drawing, Fill
from geometry.drafting.view import View
from geometry.point import Point
from recipes.report.book import Book
from recipes.report.model import Layer, Mark, Picture
from recipes.report.picture_style import WIDTH, note, short, span
from recipes.stator.slot import TOOTH_1

#: Radius of the stator on the sheet, and its height above the foot for a dimension, mm.
RADIUS, FOOT = 54.0, 10.0


def stator_picture_of(book: Book) -> Picture:
    """Return the picture of the whole stator.

    Raises:
        Refused: the design has no lamination, or no room for wire.
    """
    motor = book.motor
    lam, slots = motor.design.lamination, motor.design.motor.slots
    centre = Point(WIDTH / 2, FOOT + RADIUS + 1.0)
    view = View(centre, (round(1e6 * RADIUS / (lam.outer_diameter / 2)), 1_000_000))
    sheet = book.parts["lamination"][0].cut[0]
    turns = tuple(2 * k * math.pi / slots for k in range(slots))
    # the first slot; the others are it, turned
    wound, first = motor.wound_slot, TOOTH_1 + math.pi / slots
    wires = tuple(Fill((copper,), "grey") for copper in wound.copper(view, first))
    layers = (
        Layer("steel", (Fill(view.region(sheet).loops, "grey"),)),
        Layer("paper", tuple(wound.liner(view, first, 0.02)), centre, turns[slots // 3 :]),
        Layer("wire", wires, centre, turns[2 * slots // 3 :]),
    )
    drawing = Drawing(WIDTH, FOOT + 2 * RADIUS + 2.0, view.edges(sheet, "visible"), "stator")
    several = f"{motor.window.strands} × " if motor.window.strands > 1 else ""
    return Picture(
        "stator",
        "Stator",
        f"Stator sheet seen from the lead side: {slots} teeth with rounded tips. Going round "
        "counter-clockwise from the top, the slots are first bare, then lined, then wound.",
        drawing,
        (
            f"From the top, counter-clockwise: slots bare, lined, and wound with "
            f"{motor.window.turns} turns of {several}{motor.wire.label}, every wire to scale. Tooth 1 is up.",
        ),
        _marks(book, centre, view),
        layers=layers,
        file="read/stator.svg",
    )


def _marks(book: Book, centre: Point, view: View) -> tuple[Mark, ...]:
    lam, motor = book.motor.design.lamination, book.motor.design.motor
    left, right = centre.plus(Point(-RADIUS, 0.0)), centre.plus(Point(RADIUS, 0.0))
    bore = centre.plus(Point.polar(lam.bore_diameter / 2 * view.factor, -math.pi / 4))
    tip = centre.plus(Point.polar(RADIUS - 2.0, math.pi / 2 + 3 * math.pi / motor.slots))
    corner = centre.plus(Point(-RADIUS + 11.0, RADIUS - 5.0))
    return (
        span(
            book,
            "over the tooth tips",
            lam.outer_diameter,
            left,
            right,
            2.5,
            "x",
            "lamination.outer_diameter",
        ),
        note(
            "bore",
            f"⌀{short(book, lam.bore_diameter)}",
            bore,
            centre.plus(Point(0.74 * RADIUS, -0.80 * RADIUS)),
            1,
            "lamination.bore_diameter",
        ),
        note("slots", f"{motor.slots} slots", tip, corner, -1, "motor.slots"),
    )
