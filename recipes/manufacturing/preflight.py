"""Look at any cut file as a shop would, and say what, where, and what to do.

Each rule is one small function from the facts to findings; `RULES` is the list.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from geometry.finding import LEVELS, Finding, Level
from geometry.inspection.cut_file import FileError, read_cut_file
from recipes.design.load import BadInput
from recipes.manufacturing import preflight_file as of_file
from recipes.manufacturing import preflight_lines as of_lines
from recipes.manufacturing import preflight_shape as of_shape
from recipes.manufacturing.preflight_facts import Facts
from recipes.refusal import bad_input
from recipes.tables.process import process

Measures = dict[str, float | int | str | bool | None]
Rule = Callable[[Facts], Iterator[Finding]]

#: Every rule, in the order in which a shop looks.
RULES: tuple[Rule, ...] = (
    of_file.unit_declared,
    of_file.unit_agrees,
    of_file.size_sane,
    of_file.kinds,
    of_file.layers,
    of_lines.broken_lines,
    of_lines.unplotted,
    of_lines.wide_lines,
    of_lines.extruded,
    of_lines.folds,
    of_file.planes,
    of_file.spaces,
    of_file.own_word,
    of_shape.something,
    of_shape.specks,
    of_shape.single,
    of_shape.joined,
    of_shape.apart,
    of_shape.nested,
    of_lines.chords,
    of_shape.holes,
    of_shape.slots,
    of_shape.webs,
    of_shape.worst_case,
    of_shape.inside_corners,
    of_shape.fits_sheet,
    of_shape.not_too_small,
    of_shape.tabs,
    of_shape.turns,
    of_shape.flips,
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
        facts = Facts(read_cut_file(data, source), shop, thickness, sheet)
        findings = [*_listed(f for rule in RULES for f in rule(facts))]
        measures = _measures(facts)
    except FileError as error:
        raise unreadable(source, str(error).removeprefix(f"{source}: "), error.hint) from None
    findings.sort(key=lambda f: LEVELS.index(f.level))
    return Report(tuple(findings), measures, facts)


def unreadable(source: str, what: str, fix: str = "") -> BadInput:
    """Return the error for a file that cannot be judged at all."""
    text, fix = f"{source or 'file'}: {what}", fix or "export it again as a DXF text"
    return BadInput([bad_input("file", source, text, fix)])


def _listed(findings: Iterator[Finding]) -> Iterator[Finding]:
    """Pass on the first of each kind, then one line that counts the rest."""
    seen: Counter[tuple[str, Level]] = Counter()
    last: dict[tuple[str, Level], Finding] = {}
    for f in findings:
        key = f.code, f.level
        seen[key] += 1
        last[key] = f
        if seen[key] <= MOST_OF_A_KIND:
            yield f
    for key, count in seen.items():
        if count > MOST_OF_A_KIND:
            yield replace(
                last[key],
                value=count,
                message=f"{count - MOST_OF_A_KIND} more of the kind {key[0]!r} are not listed",
                fix="mend what is listed and check again",
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
        "flip_mark": None if sym is None else not sym.mirrored,
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
