"""Write the whole pack of a design into its folder: all of it, or nothing.

Files are made and read back in memory, written into a folder beside the target, and swapped in
by one rename. Whatever fails before that leaves an earlier pack as it was.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from geometry.part import Part
from recipes.assess import Assessment
from recipes.build.files import PackFile, ReadBackFailed, paths_by_part
from recipes.build.making import Making
from recipes.build.swap import swap_in
from recipes.job import Job
from recipes.manufacturing.order import order_lines
from recipes.manufacturing.order_line import OrderLine
from recipes.manufacturing.order_text import order_csv, order_markdown
from recipes.report.html import page_html, template
from recipes.report.html_check import check_page
from recipes.report.model import PackPath
from recipes.report.sheet import build_sheet

#: The page that shows and explains everything else.
PAGE = "build-sheet.html"


@dataclass(frozen=True)
class Written:
    """A pack on disk: its folder and its files, in order of the manifest."""

    folder: Path
    files: tuple[PackFile, ...]


def write_pack(
    job: Job, assessment: Assessment, out: Path, *, text: str, making: Making | None = None
) -> Written:
    """Write the pack of a design to `out / <design name>`.

    Args:
        job: a design without findings of level `stop`.
        assessment: its findings and results.
        out: folder that holds packs; made if missing.
        text: the design file's text, which travels in every file.
        making: its files if they are in the making already, for some recipes or with solids;
            None makes those of all recipes, without solids.

    Raises:
        ReadBackFailed: a file does not say what the outline says; nothing is replaced.
        OSError: the folder cannot be written; nothing is replaced.
    """
    if making is None:
        with Making(job, text) as making:
            return write_pack(job, assessment, out, text=text, making=making)
    making.begin()
    lines = order_lines(job, making.parts, paths_by_part(job))
    beside = [*_records(assessment, text), *_orders(job, lines, making.nests)]
    paths = [*making.paths, *((f.path, None) for f in beside)]
    page = _page(job, assessment, lines, paths)  # while hands make what is left
    files = [*making.files(), *beside, page]
    files.append(PackFile("manifest.json", _manifest(job, files), "read"))
    folder = out / job.design.slug
    swap_in(folder, {f.path: f.data for f in files})
    return Written(folder, tuple(files))


def _records(assessment: Assessment, text: str) -> list[PackFile]:
    return [
        PackFile("results.json", _json(assessment.results), "read"),
        PackFile("findings.json", _json([f.as_dict() for f in assessment.findings]), "read"),
        PackFile("design.toml", text.encode(), "read"),
    ]


def _orders(job: Job, lines: Sequence[OrderLine], nests: Sequence[Part]) -> list[PackFile]:

    return [
        PackFile("order.md", order_markdown(job.design, job.kerf, lines, nests).encode(), "read"),
        PackFile("order.csv", order_csv(lines, job.design.rates.currency).encode(), "read"),
    ]


def load_page() -> None:
    """Load what the build sheet needs, for a time when there is nothing else to do."""

    template()


def _page(
    job: Job,
    assessment: Assessment,
    lines: Sequence[OrderLine],
    paths: Sequence[tuple[str, Part | None]],
) -> PackFile:
    """Return the build sheet, read back: its figures are the results, its links the files."""

    shown = tuple(PackPath(path, part.name if part else "") for path, part in paths)
    data = page_html(build_sheet(job, assessment.results, assessment.findings, lines, shown))
    faults = check_page(data, assessment.results, {path for path, _ in paths})
    if faults:
        raise ReadBackFailed(f"{PAGE}: read back, it differs: {'; '.join(faults)}")
    return PackFile(PAGE, data, "read")


def _manifest(job: Job, files: list[PackFile]) -> bytes:
    rows = []
    for f in files:
        row: dict[str, Any] = {"path": f.path, "part": "", "purpose": f.purpose}
        if f.part is not None:
            row |= {
                "part": f.part.name,
                "quantity": f.part.quantity,
                "material": f.part.material,
                "thickness_mm": f.part.thickness,
                "area_mm2": round(f.part.area, 4),
                "cut_length_mm": round(f.part.cut_length, 4),
                "pierces": f.part.pierces,
            }
        if f.part is not None and f.purpose == "cut":  # area and length are those drawn
            row["kerf_full_width_mm"] = f.part.settings.get("kerf_full_width_mm", 0.0)
        rows.append({**row, "sha256": hashlib.sha256(f.data).hexdigest()})
    return _json({"design": job.design.model_dump(mode="json"), "files": rows})


def _json(value: Any) -> bytes:
    return (json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode()
