"""The whole build sheet of a design: pictures first, then the steps of the build in order."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from geometry.drafting.drawing import Drawing
from geometry.finding import Finding
from recipes.catalogue import Parts
from recipes.manufacturing.order_line import OrderLine
from recipes.motor import Motor
from recipes.report.assembly_picture import motor_picture
from recipes.report.book import Book
from recipes.report.field_pictures import field_pictures
from recipes.report.fields import FieldNote, field_note, in_file_order
from recipes.report.model import PackPath, Picture, Sheet, Step
from recipes.report.needs import STEPS, needs_of, step_of_finding
from recipes.report.pictures import axle_picture, card_picture, liner_picture
from recipes.report.slot_picture import slot_picture, tooth_picture
from recipes.report.stator_picture import stator_picture_of
from recipes.report.steps_covers import covers_step
from recipes.report.steps_rotor import axle_step, bearings_step, magnets_step, sensors_step
from recipes.report.steps_sheets import coupon_step, cut_step, deburr_step, stack_step
from recipes.report.steps_testing import run_step, test_step
from recipes.report.steps_winding import join_step, line_step, wind_step
from recipes.terminal import verdict

if TYPE_CHECKING:
    from collections.abc import Sequence


#: Makers of the pictures at the head, in order.
PICTURES = (
    motor_picture,
    stator_picture_of,
    tooth_picture,
    slot_picture,
    liner_picture,
    axle_picture,
    card_picture,
)

#: Makers of the steps, in the order of the build.
MAKERS = (
    coupon_step,
    cut_step,
    deburr_step,
    stack_step,
    line_step,
    wind_step,
    join_step,
    test_step,
    axle_step,
    bearings_step,
    magnets_step,
    sensors_step,
    covers_step,
    run_step,
)

#: What the tool takes where a field is left out, by the key of the result.
TAKEN = {
    **{
        f"lamination.{n}": (f"{n}_mm", " mm")
        for n in ("tip_radius", "tip_inner_radius", "neck_radius", "root_radius")
    },
    "lamination.stacking_factor": ("stacking_factor", ""),
    "hub.rotation_step": ("rotation_step_slots", " slots"),
    "rotor.ring_bore": ("ring_bore_diameter_mm", " mm"),
    "axle.grease_limit": ("bearing_heat_limit_C", " °C"),
    "axle.yield_strength": ("axle_yield_MPa", " MPa"),
}


def build_sheet(
    motor: Motor,
    parts: Parts,
    results: dict[str, float | int | str],
    findings: Sequence[Finding],
    lines: Sequence[OrderLine],
    files: Sequence[PackPath],
    flux: Drawing | None = None,
) -> Sheet:
    """Return the build sheet.

    Args:
        motor: of a design without findings of level `stop`.
        parts: of that motor.
        results, findings: what `recipes.assess.assess` found, whole.
        lines: from `recipes.report.order.order_lines`, of all parts.
        files: of the pack that the sheet travels with.
        flux: picture of the field, if it was solved.

    Raises:
        Refused: something that the design is made of does not exist or does not fit.
    """
    book = Book(motor, parts, results, findings, lines, files)
    drawn = [*(make(book) for make in PICTURES), *field_pictures(motor, flux)]
    pictures = tuple(_linked(book, picture) for picture in drawn)
    steps = tuple(_furnished(book, make(book)) for make in MAKERS)
    task, lam = motor.design.motor, motor.design.lamination
    bare = Sheet(
        motor.design.name,
        motor.design.slug,
        motor.revision,
        f"{task.slots} slots, {task.poles} poles, {book.said(lam.outer_diameter)} over the tips, "
        f"{book.said(motor.stack.length, 2)} high, {motor.design.winding.turns} turns of "
        f"{motor.design.winding.strands} × {motor.wire.label}, {motor.design.winding.connection}",
        verdict(results, findings),
        pictures,
        steps,
        (),
        tuple(files),
    )
    return motor.design.wording.reworded(replace(bare, fields=_fields(book, bare)))


def _furnished(book: Book, step: Step) -> Step:
    """Return a step with its lines of the order and its findings."""
    assert step.key in STEPS
    mine = tuple(f for f in book.findings if step_of_finding(f) == step.key)
    return replace(
        step,
        needs=needs_of(step.key, book.lines),
        findings=mine,
        pictures=tuple(_linked(book, p) for p in step.pictures),
    )


def _linked(book: Book, picture: Picture) -> Picture:
    """Return a picture that names its file only if this pack has it."""
    return picture if book.path(picture.file) else replace(picture, file="")


def _fields(book: Book, sheet: Sheet) -> tuple[FieldNote, ...]:
    names = {f for figure in sheet.all_figures for f in figure.fields}
    names |= {f for p in sheet.all_pictures for m in p.marks for f in m.fields}
    notes = []
    for name in in_file_order(book.motor.design, names):
        key, unit = TAKEN.get(name, ("", ""))
        taken = (
            f"{book.results[key]:.4g}{unit}"
            if key in book.results and isinstance(book.results[key], float | int)
            else ""
        )
        notes.append(field_note(book.motor.design, name, taken))
    return tuple(notes)
