"""Write the whole pack of a design into its folder: all of it, or nothing.

Files are made and read back in memory, written into a folder beside the target, and swapped in
by one rename. Whatever fails before that leaves an earlier pack as it was.

    this process ---- plan ----> files of part after part ----> judge again, page ----> search ----> swap
    a worker            load the CAD kernel, bodies ----> search, if it comes to that first
    another             the magnetic field, its pictures
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geometry.drafting.drawing import Drawing
from geometry.packing import pack_circles
from geometry.part import Part
from recipes.assess import Assessment, Results, assess
from recipes.build.files import (
    PackFile,
    Planned,
    ReadBackFailed,
    field_pictures,
    make_checked,
    paths_by_part,
    planned,
    planned_nests,
    planned_views,
)
from recipes.build.pool import Pool, answer, cores
from recipes.build.swap import swap_in
from recipes.catalogue import RECIPES, Parts
from recipes.field.answer import FieldAnswer
from recipes.field.flux_view import flux_view
from recipes.kept_field import field_answer, solved_field
from recipes.kept_field import keep as keep_answer
from recipes.manufacturing.nest_plan import nest_parts
from recipes.manufacturing.order_line import OrderLine
from recipes.manufacturing.order_text import order_csv, order_markdown
from recipes.motor import Motor, solve
from recipes.refusal import Refused
from recipes.report.html import page_html
from recipes.report.html_check import check_page
from recipes.report.model import PackPath
from recipes.report.order import order_lines
from recipes.report.sheet import build_sheet

if TYPE_CHECKING:
    from shapely import Polygon

#: Told of each file that is made: its path, how many are, and how many there will be.
Progress = Callable[[str, int, int], None]

#: The page that shows and explains everything else.
PAGE = "build-sheet.html"

#: What was found, and what was asked for.
RECORDS = ("results.json", "findings.json", "design.toml")


@dataclass(frozen=True)
class Written:
    """A pack on disk: its folder, its files in order of the manifest, and what was found at last.

    No files: the field stops the design, and nothing was replaced.
    """

    folder: Path
    files: tuple[PackFile, ...]
    assessment: Assessment


def write_pack(
    motor: Motor,
    parts: Parts,
    assessment: Assessment,
    out: Path,
    *,
    text: str,
    only: tuple[str, ...] = (),
    solids: bool = False,
    search: bool = False,
    field: bool = False,
    tell: Progress = lambda *_: None,
) -> Written:
    """Write the pack of a design to `out / <design name>`.

    Args:
        motor: of a design without findings of level `stop`.
        parts: of that motor.
        assessment: its findings and results.
        out: folder that holds packs; made if missing.
        text: the design file's text, which travels in every file.
        only: names of recipes to write; all if empty.
        solids: write STEP and STL files too.
        search: for the most circles that go into the slot, which takes about a second.
        field: solve the magnetic field of a rotor with magnets, judge by it, and write its pictures.
        tell: told of every file.

    Raises:
        ReadBackFailed: a file does not say what the outline says; nothing is replaced.
        Refused: a part or a sheet cannot be made; nothing is replaced.
        OSError: the folder cannot be written; nothing is replaced.
    """
    recipes = [r for r in RECIPES if not only or r.name in only]
    made_parts = [p for r in recipes for p in parts[r.name]]
    design = motor.design
    nests = nest_parts(made_parts, design.lamination, design.shop, motor.kerf)
    every = [
        plan
        for r in recipes
        for plan in planned(motor, parts[r.name], r.files, text, partial(parts.layout, r.name))
    ]
    every += [*planned_nests(nests, text), *planned_views(motor, parts)]
    plans = [p for p in every if solids or p.purpose != "solid"]
    lines = design.wording.reworded(order_lines(motor, made_parts, paths_by_part(motor, parts)))
    orders = _orders(motor, lines, nests)
    made, turns, solved = _made(motor, plans, search, field, tell)
    files = [PackFile(p.path, made[p.path], p.purpose, p.part) for p in plans]
    if solved is not None:
        keep_answer(motor, solved[0])
        motor = solve(design, solved[0])
        assessment = assess(motor, parts)
        if any(f.level == "stop" for f in assessment.findings):
            return Written(out / design.slug, (), assessment)
        files += field_pictures(motor, solved[0], solved[1])
    paths = [*((f.path, f.part) for f in files), *((path, None) for path in RECORDS)]
    paths += [(f.path, None) for f in orders]
    flux = solved[1] if solved else None
    page = _page(motor, parts, assessment, lines, paths, flux)
    files += [*_records(assessment, turns, text), *orders, page]
    files.append(PackFile("manifest.json", _manifest(motor, files), "read"))
    folder = out / motor.design.slug
    swap_in(folder, {f.path: f.data for f in files})
    return Written(folder, tuple(files), assessment)


def _made(
    motor: Motor, plans: Sequence[Planned], search: bool, field: bool, tell: Progress
) -> tuple[dict[str, bytes], int | None, tuple[FieldAnswer, Drawing] | None]:
    """Return the planned files by path, turns that a search found, and the field, if these were asked for.

    Bodies, and the search where there is time, are left to a worker, the field to another.
    """
    made: dict[str, bytes] = {}

    def keep(files: dict[str, bytes]) -> None:
        for path in files:
            made[path] = files[path]
            tell(path, len(made), len(plans))

    bodies = _bodies(plans)
    count = partial(_most_turns, motor.window.polygon, motor.window.diameter, motor.window.strands)
    ask = partial(_field, motor) if field else None
    workers = int(bool(bodies) or search) + int(field)
    with Pool(workers if cores() > 1 else 0) as pool:
        asked = pool.submit(ask) if ask else None
        begun = [(pool.submit(body), body) for body in bodies]
        counted = pool.submit(count) if search else None
        for plan in plans:
            if plan.purpose != "solid":
                keep({plan.path: make_checked(plan)})
        turns = answer(counted, count, idle=True) if counted else None
        for future, body in begun:
            keep(answer(future, body))
        solved = answer(asked, ask) if asked and ask else None
    return made, turns, solved


def _field(motor: Motor) -> tuple[FieldAnswer, Drawing] | None:
    """Return what the field says and its picture; None without magnets or where it cannot be meshed."""
    try:
        solved = solved_field(motor)
        found = field_answer(motor, solved)
    except Refused:
        return None
    return found, flux_view(
        solved, motor.circuit.phase_current_A, motor.design.name, motor.design.wording
    )


def _bodies(plans: Sequence[Planned]) -> list[Callable[[], dict[str, bytes]]]:
    """Return a call for each body, which makes all of its files."""
    groups: dict[str, list[Planned]] = {}
    for plan in plans:
        if plan.purpose == "solid" and plan.part is not None:
            groups.setdefault(plan.part.name, []).append(plan)
    return [partial(make_bodies, group) for group in groups.values()]


def make_bodies(plans: Sequence[Planned]) -> dict[str, bytes]:
    """Return the files of one body by path, made and read back; the kernel's shape serves all.

    Raises:
        ReadBackFailed: see `make_checked`.
    """
    return {plan.path: make_checked(plan) for plan in plans}


def _most_turns(room: Polygon, diameter: float, strands: int) -> int:
    """Return the turns whose circles go into the room, as many as a search finds."""
    return len(pack_circles(room, diameter)) // strands


def _searched(results: Results, turns: int | None) -> Results:
    """Return results with the turns that a search found in the place of those for certain."""
    certain = "turns_possible_at_least"
    if turns is None or certain not in results:
        return results
    turns = max(turns, int(results[certain]))
    return {
        k if k != certain else "turns_possible": v if k != certain else turns
        for k, v in results.items()
    }


def _records(assessment: Assessment, turns: int | None, text: str) -> list[PackFile]:
    found = [f.as_dict() for f in assessment.findings]
    data = (_json(_searched(assessment.results, turns)), _json(found), text.encode())
    return [PackFile(path, each, "read") for path, each in zip(RECORDS, data, strict=True)]


def _orders(motor: Motor, lines: Sequence[OrderLine], nests: Sequence[Part]) -> list[PackFile]:
    return [
        PackFile(
            "order.md", order_markdown(motor.design, motor.kerf, lines, nests).encode(), "read"
        ),
        PackFile("order.csv", order_csv(lines, motor.design.rates.currency).encode(), "read"),
    ]


def _page(
    motor: Motor,
    parts: Parts,
    assessment: Assessment,
    lines: Sequence[OrderLine],
    paths: Sequence[tuple[str, Part | None]],
    flux: Drawing | None,
) -> PackFile:
    """Return the build sheet, read back: its figures are the results, its links the files."""
    shown = tuple(PackPath(path, part.name if part else "") for path, part in paths)
    data = page_html(
        build_sheet(motor, parts, assessment.results, assessment.findings, lines, shown, flux)
    )
    faults = check_page(data, assessment.results, {path for path, _ in paths})
    if faults:
        raise ReadBackFailed(f"{PAGE}: read back, it differs: {'; '.join(faults)}")
    return PackFile(PAGE, data, "read")


def _manifest(motor: Motor, files: list[PackFile]) -> bytes:
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
    return _json({"design": motor.design.model_dump(mode="json"), "files": rows})


def _json(value: Any) -> bytes:
    return (json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode()
