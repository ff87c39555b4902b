"""The stator: a third of its slots bare, a third lined, a third wound with every wire to scale."""

from __future__ import annotations

import math

from geometry.drafting.drawing import Drawing, Fill, Item, polyline
from geometry.drafting.view import View
from geometry.outline import Outline
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
    job = book.job
    lam, slots = job.design.lamination, job.design.motor.slots
    centre = Point(WIDTH / 2, FOOT + RADIUS + 1.0)
    view = View(centre, (round(1e6 * RADIUS / (lam.outer_diameter / 2)), 1_000_000))
    sheet = job.parts["lamination"][0].cut[0]
    turns = tuple(2 * k * math.pi / slots for k in range(slots))
    layers = (
        Layer("steel", (Fill(view.region(sheet).loops, "grey"),)),
        Layer("paper", tuple(_lined(book, view)), centre, turns[slots // 3 :]),
        Layer("wire", tuple(_wires(book, view)), centre, turns[2 * slots // 3 :]),
    )
    drawing = Drawing(WIDTH, FOOT + 2 * RADIUS + 2.0, view.edges(sheet, "visible"), "stator")
    wires = f"{job.window.strands} × " if job.window.strands > 1 else ""
    return Picture(
        "stator",
        "Stator",
        f"Stator sheet seen from the lead side: {slots} teeth with rounded tips. Going round "
        "counter-clockwise from the top, the slots are first bare, then lined, then wound.",
        drawing,
        (
            f"From the top, counter-clockwise: slots bare, lined, and wound with "
            f"{job.window.turns} turns of {wires}{job.wire.label}, every wire to scale. Tooth 1 is up.",
        ),
        _marks(book, centre, view),
        layers=layers,
        file="read/stator.svg",
    )


def _flips(book: Book) -> tuple[float, ...]:
    return (1.0, -1.0) if book.job.window.sides == 2 else (1.0,)


def _first(book: Book) -> float:
    return TOOTH_1 + math.pi / book.job.design.motor.slots


def _lined(book: Book, view: View) -> list[Item]:
    """Return the inside of the liner of the first slot, both halves."""
    turn, room = _first(book), book.job.window.room.exterior.simplify(0.02)
    return [
        polyline([view.point(Point(x, flip * y).rotated(turn)) for x, y in room.coords], "narrow")
        for flip in _flips(book)
    ]


def _wires(book: Book, view: View) -> list[Item]:
    """Return every wire of the first slot."""
    turn, radius = _first(book), book.job.wire.bare_mm / 2 * view.factor
    return [
        Fill((Outline.circle(view.point(Point(x, flip * y).rotated(turn)), radius),), "grey")
        for x, y in book.job.conductors.laid.tolist()
        for flip in _flips(book)
    ]


def _marks(book: Book, centre: Point, view: View) -> tuple[Mark, ...]:
    lam, motor = book.job.design.lamination, book.job.design.motor
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
