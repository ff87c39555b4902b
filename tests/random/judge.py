"""What must hold of every design: refused by field and reason, or made without a fault.

Each function raises AssertionError with a sentence that says what does not hold.
"""

from __future__ import annotations

import json
import math
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from geometry.finding import Finding
from recipes.assess import Assessment, assess
from recipes.build.files import make_checked, planned
from recipes.catalogue import Parts
from recipes.design import Design
from recipes.design.load import BadInput, validate
from recipes.motor import Motor, solve
from tests.random.fields import table_of
from tests.random.shape import cut_file_holds, part_holds
from tests.random.watch import no_hang
from tests.support.paths import faults_of_path

Tables = dict[str, Any]

#: Kinds of file in the catalogue, cheap ones first.
FLAT, BODIES = ("cut",), ("solid", "mesh")

#: Recipes of steel sheet, by the end of their names.
STEEL = ("lamination", "laminations")

_FIELD = re.compile(r"[a-z_0-9]+(\[\d+\])?(\.[a-z_0-9]+(\[\d+\])?)*")
_NOT_A_NUMBER = re.compile(r"(?<![\w.])-?(nan|inf|infinity)(?![\w.])")


@dataclass
class Seen:
    """What became of one design: its job if it can be made, else the codes that refuse it."""

    job: Motor | None = None
    assessment: Assessment | None = None
    codes: tuple[str, ...] = ()


def judge(tables: Tables, *, whole: bool = False) -> Seen:
    """Judge a design, and what it is refused by.

    Args:
        tables: raw, as TOML gives them.
        whole: with the results and rules that only `build` asks for.
    """
    with no_hang("checking"):
        try:
            design = validate(tables)
        except BadInput as bad:
            refused_well(bad.findings)
            return Seen(codes=tuple(f"{f.code} {_bare(f.field)}" for f in bad.findings))
        job = solve(design)
        seen = assess(job, whole=whole)
    refused_well(list(seen.findings))
    json.dumps(seen.results, allow_nan=False)
    stops = [f for f in seen.findings if f.level == "stop"]
    if stops:
        return Seen(codes=tuple(f"{f.code} {_bare(f.field)}" for f in stops))
    return Seen(job, seen)


def flat_parts_hold(job: Motor, shop: bool = False) -> int:
    """Check every part that is cut, and its cut files; return how many files there were.

    Args:
        job: without a finding that stops it.
        shop: write every cut file, and look at it as a shop does; else those of lamination and
            liner, and look at the lamination's.
    """
    for recipe in _recipes("cut"):
        for part in Parts(job)[recipe.name]:
            with no_hang(part.name):
                part_holds(job, part)
    few = [r.name for r in _recipes("cut") if r.name == "liner" or r.name.endswith(STEEL)]
    return files_hold(job, FLAT, None if shop else few, shop)


def files_hold(
    job: Motor, kinds: tuple[str, ...], names: list[str] | None = None, shop: bool = True
) -> int:
    """Make every file of some kinds and read it back; return how many there were."""
    count = 0
    for recipe in _recipes(*kinds):
        if names is not None and recipe.name not in names:
            continue
        with no_hang(recipe.name):
            wanted = tuple(k for k in recipe.files if k in kinds)
            plans = list(planned(job, Parts(job)[recipe.name], wanted, ""))
        for plan in plans:
            with no_hang(plan.path):
                data = make_checked(plan)
                assert data, plan.path
                if plan.purpose == "cut" and (shop or recipe.name == "lamination"):
                    cut_file_holds(job, plan, data)
            count += 1
    return count


def pack_holds(seen: Seen, folder: Path) -> None:
    """Write the pack of a design judged as a whole, without bodies, and look at what is there."""
    from recipes.build.write import write_pack

    assert seen.job is not None
    assert seen.assessment is not None
    with no_hang("writing the pack"):
        done = write_pack(
            seen.job, Parts(seen.job), seen.assessment, folder, text="name = 'random'", search=True
        )
    on_disk = {p.relative_to(done.folder).as_posix(): p.stat().st_size for p in done.folder.rglob("*") if p.is_file()}  # fmt: skip
    manifest = json.loads((done.folder / "manifest.json").read_text(encoding="utf-8"))
    assert set(on_disk) == {f["path"] for f in manifest["files"]} | {"manifest.json"}
    assert all(on_disk.values()), on_disk
    paths = [f"{done.folder.name}/{path}" for path in on_disk]
    assert [f"{p}: {fault}" for p in paths for fault in faults_of_path(p)] == []
    assert len({p.lower() for p in paths}) == len(paths), sorted(paths)


def _recipes(*kinds: str) -> list[Any]:
    from recipes.catalogue import RECIPES

    return [r for r in RECIPES if set(kinds) & set(r.files)]


def refused_well(findings: list[Finding]) -> None:
    """Every finding says what is wrong; what stops a build names its field and what to do."""
    for f in findings:
        assert f.message.strip(), f
        assert not _NOT_A_NUMBER.search(f.message.lower()), f
        for number in (f.value, f.limit):
            assert not isinstance(number, float) or math.isfinite(number), f
        json.dumps(f.as_dict(), allow_nan=False)
        for path in f.field.split(", "):
            assert _FIELD.fullmatch(path), f
            assert f.level != "stop" or _known(path), f"no such field: {f}"
        assert f.level != "stop" or f.fix.strip(), f


def _known(path: str) -> bool:
    """Tell whether a dotted field, or table, is in the design model."""
    model: type[BaseModel] | None = Design
    for step in re.sub(r"\[\d+\]", "", path).split("."):
        if model is None or step not in model.model_fields:
            return False
        model = table_of(model.model_fields[step].annotation)[0]
    return True


def _bare(path: str) -> str:
    return re.sub(r"\[\d+\]", "", path)
