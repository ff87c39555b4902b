"""Words on the stack's drawing: title block, notes and the list of what it is made of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.sheet.font import SMALLEST_TEXT
from geometry.sheet.frame import Sheet
from recipes.drawing_sheet import titled_sheet
from recipes.drawing_words import Words, fitted, plain
from recipes.stack_drawing.layers import layers
from recipes.tables.fits import fit_limits
from recipes.tables.reader import TableError

if TYPE_CHECKING:
    from recipes.job import Job

#: Width of the column of materials, mm.
MATERIAL_WIDTH = 34.0


def framed(job: Job, paper: str, scale: str) -> Sheet:
    """Return the sheet with its frame and title block."""
    mass = float(job.parts["stack"][0].settings["mass_kg"])
    weight = f"{1000 * mass:.0f} g" if mass < 1 else f"{mass:.2f} kg"
    return titled_sheet(
        job, paper, scale, what="stack", kind="assembly drawing",
        material=f"{job.design.lamination.steel}, glued, steel {weight}",
        edges="ISO 13715: tooth faces free of burr",
    )  # fmt: skip


def notes(job: Job) -> tuple[str, ...]:
    """Return the notes of the drawing, the weightiest first."""
    design, settings = job.design, job.parts["stack"][0].settings
    step, words = int(settings["rotation_step_slots"]), Words(design.units == "in")
    found = ["Glue under clamp on a mandrel; no weld, no bolt in a tooth."]
    if step:
        slots = "1 slot" if step == 1 else f"{step} slots"
        turn = float(settings["rotation_step_deg"])
        found.append(f"Turn each sheet by {turn:.4g}° ({slots}), burrs one way.")
    else:
        found.append("All sheets the same way round, burrs one way.")
    if settings["tells_faces_apart"] == "yes":
        found.append("Marks in the bore line up, or a sheet is over.")
    fit = design.axle.stator_seat.fit
    try:
        seat = " ".join(words.limits(fit_limits(design.lamination.bore_diameter, fit)))
        found.append(f"Axle seat {seat}: turned last, to the measured bore.")
    except TableError:  # said by the rules of the axle
        found.append("Axle seat: turned last, to the measured bore.")
    found.append("Height: add or leave out one sheet.")
    if design.units == "in":
        found.append("Inches in brackets.")
    return tuple(found)


def items_list(job: Job) -> list[tuple[str, ...]]:
    """Return the rows of the list (ISO 7573 fields): item, pieces, what, material."""
    counts: dict[str, tuple[int, str, str]] = {}
    for layer in layers(job):
        part = layer.part
        pieces = counts.get(part.name, (0, "", ""))[0] + layer.count
        what = part.name.replace("lamination_end", "end sheet ").replace("_", " ")
        material = part.material if layer.steel else MATERIALS[part.name]
        counts[part.name] = (pieces, f"{what}, {plain(part.thickness)}", material)
    order = sorted(counts, key=lambda name: (not name.startswith("lamination"), name))
    rows: list[tuple[str, ...]] = [("item", "pieces", "what, thickness", "material")]
    for k, name in enumerate(order, 1):
        pieces, what, material = counts[name]
        rows.append((str(k), str(pieces), what, fitted(material, MATERIAL_WIDTH, SMALLEST_TEXT)))
    return rows


#: Short words for the materials of what is not steel.
MATERIALS = {"end_cap": "laminate or print", "end_washer": "aramid, pressboard"}
