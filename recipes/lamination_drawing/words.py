"""Words on the lamination's drawing: title block and notes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.sheet.frame import Sheet
from recipes.drawing_sheet import titled_sheet
from recipes.drawing_words import plain
from recipes.lamination_drawing.slot_detail import CORNER_NAMES
from recipes.tables.process import process

if TYPE_CHECKING:
    from recipes.job import Job

#: Burr that a sheet may have, mm (common practice: 0.02 to 0.05).
BURR = 0.05


def framed(job: Job, paper: str, scale: str) -> Sheet:
    """Return the sheet with its frame and title block."""
    lam = job.design.lamination
    return titled_sheet(
        job, paper, scale, what="lamination", kind="reference to the cut file",
        material=f"{lam.steel}, sheet {plain(lam.sheet_thickness)}",
        edges=f"ISO 13715: burr ≤ {BURR:g}, one face",
    )  # fmt: skip


def notes(job: Job) -> tuple[str, ...]:
    """Return the notes of the drawing, the weightiest first."""
    shop = process(job.design.shop.process)
    kept = [CORNER_NAMES[name] for name, size in job.slot.radii.items() if size > 0]
    rounds = f"{', '.join(kept[:-1])} and {kept[-1]}" if len(kept) > 1 else "".join(kept)
    found = ["For reference: the DXF cut file rules; finished sizes, no kerf."]
    if rounds:
        found.append(f"Leave no square corner at {rounds}: it cuts the enamel.")
    found.append("No burr in the bore or on a tooth face.")
    brackets = " Inches in brackets." if job.design.units == "in" else ""
    found.append(f"±: what {shop.name} holds.{brackets}")
    if job.design.lamination.tip_angle:
        parallel = "tooth" if job.design.lamination.slot_shape == "parallel teeth" else "slot"
        found.append(f"Slope: from a line square to the {parallel}.")
    step = int(job.parts["lamination"][0].settings["rotation_step_slots"])
    if step:
        found.append(f"Looks the same turned by {'1 slot' if step == 1 else f'{step} slots'}.")
    return tuple(found)
