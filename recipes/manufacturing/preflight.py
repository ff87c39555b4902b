"""`preflight` on a terminal: words in, the report of a file on disk out."""

from __future__ import annotations

import gc
import math
import re
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from geometry.finding import LEVELS, Finding
from geometry.formats.drawing_file import ENDINGS, drawing_bytes
from geometry.inspection.cut_file import LARGEST_FILE, FileError, read_cut_file
from recipes.cli.terminal import Talk, Voice, show_findings
from recipes.design.load import BadInput
from recipes.design.units import to_mm
from recipes.manufacturing import preflight_file as of_file
from recipes.manufacturing import preflight_shape as of_least
from recipes.manufacturing import preflight_shape as of_part
from recipes.manufacturing import preflight_shape as of_shape
from recipes.manufacturing.preflight_facts import Facts
from recipes.tables.process import process
from recipes.tables.reader import TableError

#     `preflight`: look at any cut file as a shop would, and say what, where, and what to do.
#
# Each rule is one small function from the facts to findings; `RULES` is the list.

Measures = dict[str, float | int | str | bool | None]
Rule = Callable[[Facts], Iterator[Finding]]

#: Every rule, in the order in which a shop looks.
RULES: tuple[Rule, ...] = (
    of_file.unit_declared,
    of_file.unit_agrees,
    of_file.size_sane,
    of_file.kinds,
    of_file.layers,
    of_file.planes,
    of_file.spaces,
    of_file.own_word,
    of_shape.something,
    of_shape.specks,
    of_shape.single,
    of_shape.joined,
    of_shape.apart,
    of_shape.nested,
    of_shape.round_circles,
    of_least.holes,
    of_least.slots,
    of_least.webs,
    of_least.worst_case,
    of_least.inside_corners,
    of_part.fits_sheet,
    of_part.not_too_small,
    of_part.tabs,
    of_part.turns,
    of_part.flips,
)

#: At most so many findings of one kind are listed; the rest is counted.
MOST_OF_A_KIND = 25


@dataclass(frozen=True)
class Report:
    """Findings, most serious first; flat measures with the unit in each key; the facts."""

    findings: tuple[Finding, ...]
    measures: Measures
    facts: Facts


def preflight(
    data: bytes,
    process_name: str = "laser",
    thickness: float | None = None,
    sheet: tuple[float, float] | None = None,
    source: str = "",
) -> Report:
    """Judge a cut file.

    Args:
        data: the whole file.
        process_name: how it would be cut; a name of the process table.
        thickness: of the sheet in mm; None judges by the absolute limits only.
        sheet: width and height of the stock in mm; None takes the largest usual one.
        source: name of the file, for messages.

    Raises:
        BadInput: the file cannot be read: empty, huge, binary, cut off, damaged.
        TableError: an unknown process; names the known ones.
    """
    shop = process(process_name)
    try:
        with _no_collecting():
            facts = Facts(read_cut_file(data, source), shop, thickness, sheet)
            findings = [*_listed(f for rule in RULES for f in rule(facts))]
            measures = _measures(facts)
    except FileError as error:
        raise unreadable(source, str(error).removeprefix(f"{source}: "), error.hint) from None
    findings.sort(key=lambda f: LEVELS.index(f.level))
    return Report(tuple(findings), measures, facts)


@contextmanager
def _no_collecting() -> Iterator[None]:
    """Keep Python from looking for unused cycles: of a million small values none is in one.

    It would look again whenever their number has grown by a quarter, which makes large files slow.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def unreadable(source: str, what: str, fix: str = "") -> BadInput:
    """Return the error for a file that cannot be judged at all."""
    return BadInput(
        [
            Finding(
                "stop",
                "bad-input",
                "file",
                source,
                None,
                f"{source or 'file'}: {what}",
                fix or "export it again as a DXF text",
                "",
                "yours",
            )
        ]
    )


def _listed(findings: Iterator[Finding]) -> Iterator[Finding]:
    """Pass on the first of each kind, then one line that counts the rest."""
    seen: Counter[tuple[str, str]] = Counter()
    last: dict[tuple[str, str], Finding] = {}
    for f in findings:
        key = f.code, f.level
        seen[key] += 1
        last[key] = f
        if seen[key] <= MOST_OF_A_KIND:
            yield f
    for kind, count in seen.items():
        if count > MOST_OF_A_KIND:
            f = last[kind]
            yield Finding(
                f.level,
                f.code,
                f.field,
                count,
                f.limit,
                f"{count - MOST_OF_A_KIND} more of the kind {f.code!r} are not listed",
                "mend what is listed and check again",
                f.source,
                f.confidence,
                f.where,
            )


def _measures(facts: Facts) -> Measures:
    """Return the figures of the part; None where they cannot be told."""
    depths = facts.nesting.depth
    whole = bool(facts.regions) and not facts.chains.runs and not facts.crossings
    chains = (*facts.chains.loops, *facts.chains.runs)
    sym = facts.symmetry
    web, slot = (next((w.size for w in facts.widths if w.kind == k), None) for k in ("web", "slot"))
    values: Measures = {
        "width_mm": facts.size[0],
        "height_mm": facts.size[1],
        "outlines": len(facts.loops),
        "parts": sum(1 for d in depths if d % 2 == 0),
        "holes": sum(1 for d in depths if d % 2),
        "open_ends": len(facts.chains.ends),
        "pierces": len(chains),
        "cut_length_mm": math.fsum(s.length for c in chains for s in c.segments),
        "net_area_mm2": math.fsum(r.area for r in facts.regions) if whole else None,
        "smallest_hole_mm": facts.holes[0][0] if facts.holes else None,
        "narrowest_slot_mm": slot,
        "narrowest_web_mm": web,
        "smallest_corner_radius_mm": facts.corners[0].radius if facts.corners else None,
        "largest_joint_gap_mm": max((c.gap for c in chains), default=0.0),
        "symmetry_order": None if sym is None else sym.order,
        "flip_mark": of_part.flip_mark(facts),
        "entities": len(facts.file.model),
        "version": facts.file.release,
        "unit": facts.file.unit,
        "mm_per_unit": facts.mm_per_unit,
        "process": facts.process.name,
        "thickness_mm": facts.thickness,
    }
    return {k: _tidy(v) for k, v in values.items()}


def _tidy(value: float | int | str | bool | None) -> float | int | str | bool | None:
    """Round to 7 significant digits: what survives any processor, and more than anyone measures."""
    return float(f"{value:.7g}") if isinstance(value, float) else value


#: Thicknesses of sheet that anyone cuts (mm).
THICKNESS = (0.01, 200.0)


def inspect(
    path: Path, process: str = "laser", thickness: str | None = None, sheet: str | None = None
) -> Report:
    """Return the report of the file at `path`.

    Args:
        path: the file.
        process: name of the process table.
        thickness: of the sheet, as people write it: "0.5", "0.02 in".
        sheet: size of the stock: "1000x2000".

    Raises:
        BadInput: file or argument cannot be used; names value, limit and fix.
    """
    t = None if thickness is None else _thickness(thickness)
    stock = None if sheet is None else _sheet(sheet)
    try:
        return preflight(_read(path), process, t, stock, str(path))
    except TableError as error:
        raise _fault("--process", process, str(error), "use one of them") from None


def save_picture(report: Report, path: Path, target: Path) -> None:
    """Write the marked picture of a report of the file `path` to `target`.

    Raises:
        BadInput: the ending is none that can be written.
        OSError: the file cannot be written.
    """
    from recipes.manufacturing.preflight_picture import preflight_picture

    if target.suffix.lower() not in ENDINGS:
        fix = f"let its name end in {' or '.join(ENDINGS)}"
        raise _fault("--picture", str(target), f"cannot be written as {target.suffix!r}", fix)
    target.write_bytes(drawing_bytes(preflight_picture(report, path.name), target.suffix))


def show(report: Report, talk: Talk = "normal") -> None:
    """Print findings, measures and one sentence."""

    voice = Voice(sys.stdout, talk)
    show_findings(report.findings, voice)
    width = max(len(k) for k in report.measures)
    for key, value in report.measures.items():
        if value is not None and talk != "quiet":
            voice.say(f"{key:{width}}  {value}")
    voice.say(verdict(report), "bold")


def verdict(report: Report) -> str:
    """Answer in one sentence whether a shop would take the file."""
    count = {level: sum(f.level == level for f in report.findings) for level in ("stop", "warn")}
    if count["stop"]:
        return f"Would a shop take it? No: {count['stop']} to mend first."
    if count["warn"]:
        return f"Would a shop take it? Most likely, but look at {count['warn']} first."
    return "Would a shop take it? Yes."


def _read(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        raise unreadable(str(path), "there is no such file", "check the path") from None
    except IsADirectoryError:
        raise unreadable(str(path), "that is a folder", "name the DXF in it") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise unreadable(str(path), reason.lower(), "check path and permissions") from None
    return data


def _thickness(text: str) -> float:
    try:
        value = to_mm(text)
    except ValueError as error:
        raise _fault("--thickness", text, str(error), "write it like 0.5 or '0.02 in'") from None
    low, high = THICKNESS
    if not low <= value <= high:
        raise _fault(
            "--thickness", text, f"must be {low:g} to {high:g} mm", "check the number and its unit"
        )
    return value


def _sheet(text: str) -> tuple[float, float]:
    parts = re.split(r"\s*[x×]\s*", text.strip().lower())
    try:
        width, height = (to_mm(p) for p in parts)
    except ValueError:
        raise _fault("--sheet", text, "is not two sides", "write it like 1000x2000") from None
    if min(width, height) <= 0:
        raise _fault("--sheet", text, "both sides must be above 0 mm", "write it like 1000x2000")
    return width, height


def _fault(field: str, value: str, what: str, fix: str) -> BadInput:
    text = f"{field} {value!r}: {what}"
    return BadInput([Finding("stop", "bad-input", field, value, None, text, fix, "", "yours")])
