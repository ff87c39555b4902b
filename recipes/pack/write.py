"""Write the whole pack of a design into its folder: all of it, or nothing.

Files are made and read back in memory, written into a folder beside the target, and swapped in
by one rename. Whatever fails before that leaves an earlier pack as it was.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

from geometry.part import Part
from recipes.assess import Assessment
from recipes.catalogue import RECIPES
from recipes.job import Job
from recipes.order.lines import OrderLine, order_lines
from recipes.pack.crew import Crew, hands
from recipes.pack.files import (
    PackFile,
    Planned,
    ReadBackFailed,
    make_checked,
    make_svg,
    planned,
    planned_nests,
)
from recipes.pack.solid_worker import SolidWorker
from recipes.pack.swap import swap_in
from recipes.shop.nest_plan import nest_parts

#: The page that shows and explains everything else.
PAGE = "build-sheet.html"

Progress = Callable[[str, int, int], None]


@dataclass(frozen=True)
class Written:
    """A pack on disk: its folder and its files, in order of the manifest."""

    folder: Path
    files: tuple[PackFile, ...]


def write_pack(
    job: Job,
    assessment: Assessment,
    out: Path,
    *,
    text: str,
    only: tuple[str, ...] = (),
    worker: SolidWorker | None = None,
    progress: Progress | None = None,
) -> Written:
    """Write the pack of a design to `out / <design name>`.

    Args:
        job: a design without findings of level `stop`.
        assessment: its findings and results.
        out: folder that holds packs; made if missing.
        text: the design file's text, which travels in every file.
        only: names of recipes; all if empty.
        worker: process for STEP and STL files; None writes none.
        progress: told (file, done, total) after each file.

    Raises:
        ReadBackFailed: a file does not say what the outline says; nothing is replaced.
        OSError: the folder cannot be written; nothing is replaced.
    """
    plans = [
        plan
        for recipe in RECIPES
        if not only or recipe.name in only
        for plan in planned(job, job.parts[recipe.name], recipe.files, text)
        if worker or plan.purpose != "solid"
    ]
    parts = [p for r in RECIPES if not only or r.name in only for p in job.parts[r.name]]
    nests = nest_parts(job, parts)
    plans += planned_nests(nests, text)
    files = list(_made(job, plans, worker, progress))
    files += _records(assessment, text)
    lines = order_lines(job, parts)
    files += _orders(job, lines, nests)
    files.append(_page(job, assessment, lines, files))
    files.append(PackFile("manifest.json", _manifest(job, files), "read"))
    folder = out / job.design.slug
    swap_in(folder, {f.path: f.data for f in files})
    return Written(folder, tuple(files))


def _made(
    job: Job, plans: list[Planned], worker: SolidWorker | None, progress: Progress | None
) -> Iterator[PackFile]:
    """Make and read back every planned file and view; yield them in the order of the plan."""
    views = _views(job)
    total, done = len(plans) + len(views), 0

    def tell(name: str) -> None:
        nonlocal done
        done += 1
        if progress:
            progress(name, done, total)

    with Crew() as crew:
        flat = [p for p in plans if worker is None or p.purpose != "solid"]
        for plan in sorted(flat, key=lambda p: _FIRST.index(p.purpose)):
            crew.add(plan.path, make_checked, plan)
        for view in views:
            crew.add(view.path, view.make, job)
        _load_writers({p.path.rpartition(".")[2] for p in flat})
        crew.start(most=max(1, hands() - 1))  # the main work takes its share of the queue
        here = set()
        for name in crew.work():
            here.add(name)
            tell(name)
        made = {}
        for plan in plans:
            apart = worker is not None and plan.purpose == "solid"
            made[plan.path] = worker.result(plan) if worker and apart else crew.result(plan.path)
            if plan.path not in here:
                tell(plan.path)
        for plan in plans:
            yield PackFile(plan.path, made[plan.path], plan.purpose, plan.part)
        for view in views:
            yield PackFile(view.path, crew.result(view.path), view.path.split("/")[0])


def _load_writers(endings: set[str]) -> None:
    """Load the libraries of these kinds of file once, for the hands to share."""
    for ending, modules in _WRITERS.items():
        for module in modules if ending in endings else ():
            import_module(module)


#: What writes and reads back files by their ending.
_WRITERS = {
    "dxf": ("ezdxf.document", "geometry.dxf.write", "geometry.dxf.read"),
    "pdf": ("reportlab.pdfgen.canvas", "reportlab.pdfbase.ttfonts", "pypdfium2.raw"),
}

#: Kinds of file in the order in which they are begun: what takes longest first.
_FIRST = ("wind", "draw", "print", "solid", "cut")


@dataclass(frozen=True)
class _View:
    """A file about the whole motor: its path, and the function that makes it from a job."""

    path: str
    make: Callable[[Job], bytes]


def _views(job: Job) -> list[_View]:
    from recipes.axle.strength_view import axle_strength_view
    from recipes.ends.edge_view import edge_view
    from recipes.leads.view import lead_view
    from recipes.slot.slot_view import slot_view
    from recipes.slot.stator_view import stator_view
    from recipes.winding.choices import winding_choices

    return [
        _View("read/stator.svg", lambda job: make_svg(stator_view(job))),
        _View("read/edge.svg", lambda job: make_svg(edge_view(job))),
        _View("read/axle-strength.svg", lambda job: make_svg(axle_strength_view(job))),
        *([_View("read/leads.svg", lambda job: make_svg(lead_view(job)))] if job.design.axle.leads else []),
        _View("wind/choices.md", lambda job: winding_choices(job).encode()),
        _View("read/slot.svg", lambda job: make_svg(slot_view(job))),
    ]  # fmt: skip


def _records(assessment: Assessment, text: str) -> list[PackFile]:
    return [
        PackFile("results.json", _json(assessment.results), "read"),
        PackFile("findings.json", _json([f.as_dict() for f in assessment.findings]), "read"),
        PackFile("design.toml", text.encode(), "read"),
    ]


def _orders(job: Job, lines: Sequence[OrderLine], nests: Sequence[Part]) -> list[PackFile]:
    from recipes.order.text import order_csv, order_markdown

    return [
        PackFile("order.md", order_markdown(job, lines, nests).encode(), "read"),
        PackFile("order.csv", order_csv(job, lines).encode(), "read"),
    ]


def _page(
    job: Job, assessment: Assessment, lines: Sequence[OrderLine], files: Sequence[PackFile]
) -> PackFile:
    """Return the build sheet, read back: its figures are the results, its links the files."""
    from recipes.pack.page.check import check_page
    from recipes.pack.page.html import page_html
    from recipes.page.model import PackPath
    from recipes.page.sheet import build_sheet

    paths = tuple(PackPath(f.path, f.part.name if f.part else "") for f in files)
    data = page_html(build_sheet(job, assessment.results, assessment.findings, lines, paths))
    faults = check_page(data, assessment.results, {f.path for f in files})
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
