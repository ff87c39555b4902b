"""Words on the axle's sheet: title block, notes and the table of drill centres."""

from __future__ import annotations

from geometry.segment import Box
from geometry.sheet.drawing import Items, text_lines
from geometry.sheet.font import LINE_PITCH, SMALLEST_TEXT, wrap
from geometry.sheet.frame import Sheet, TitleBlock, framed_sheet
from geometry.sheet.table import Table, table
from recipes.axle.key_rules import key_words
from recipes.axle.profile import STATOR_ROUND, seat_round
from recipes.axle.sections import slot_feature
from recipes.drawing_words import Words, fitted, plain
from recipes.job import Job


def framed(job: Job, paper: str, scale: str) -> Sheet:
    """Return the sheet with its frame and title block."""
    design = job.design
    block = TitleBlock(
        title=fitted(f"Axle, {design.name}", 76.0, 3.5),
        number=fitted(f"{design.slug}-axle", 46.0, SMALLEST_TEXT),
        revision=job.revision,
        material=fitted(
            f"{design.axle.material}, stock ⌀{plain(design.axle.stock_diameter)}",
            108.0,
            SMALLEST_TEXT,
        ),
        scale=scale,
    )
    return framed_sheet(paper, block)


def notes(job: Job) -> tuple[str, ...]:
    """Return the notes of the drawing, one sentence or two each."""
    axle, keys = job.design.axle, key_words(job)
    found = [
        f"Bearing seats for {axle.bearing}: turn or grind, not file; push fit by hand, the bearing is "
        "the gauge.",
        "Stator seat: match to the measured bore.",
        f"Inner corners: seats R{seat_round(job):.2f}, collar R{STATOR_ROUND:g} max.",
        f"Both ends {plain(axle.edge_break)} × 45°. Other surfaces Ra 3.2.",
        "Deburr slot and bore inside and out.",
    ]
    if keys:
        found.append(keys)
    if keys or axle.flats:
        found.append("Angles: seen on face A, 0° right, 90° up.")
    if job.design.units == "in":
        found.append("Inches in brackets.")
    return tuple(found)


def notes_items(job: Job, room: Box) -> Items:
    """Return the notes in a box, numbered, wrapped to its width."""
    lines: list[str] = []
    for k, note in enumerate(notes(job), 1):
        first, *rest = wrap(note, room[2] - room[0] - 4.0, SMALLEST_TEXT)
        lines += [f"{k}  {first}", *(f"    {words}" for words in rest)]
    pitch = min(
        LINE_PITCH * SMALLEST_TEXT, (room[3] - room[1] - SMALLEST_TEXT) / max(1, len(lines) - 1)
    )
    return text_lines(room[0], room[3], SMALLEST_TEXT, lines, pitch=pitch)


def drill_table(job: Job, words: Words, x: float, top: float) -> Table:
    """Return the table of the two holes that end the wire slot; its top left at (x, top) mm."""
    slot, span = job.design.axle.wire_slot, slot_feature(job)
    r = slot.width / 2
    rows = [("wire slot", "centre from A", "drill")]
    rows += [
        (f"hole {k}", words.size(z), words.size(slot.width, "⌀"))
        for k, z in enumerate((span.start + r, span.end - r), 1)
    ]
    return table(x, top, rows)
