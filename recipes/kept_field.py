"""The answer of a motor's field: worked out, kept in the user's cache folder, found again.

An answer is found by what shapes it (outline, rotor, steel, ampere-turns, connection) and by the program
that gave it: every change of either has another name. A file that is missing, torn or foreign is no
answer; one that cannot be written is not kept. The folder may be deleted at any time.
"""

from __future__ import annotations

import json
import os
import sys
import tempfile
from collections.abc import Callable
from contextlib import suppress
from dataclasses import asdict
from functools import cache
from hashlib import sha256
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Final

from recipes.field.answer import FieldAnswer
from recipes.field.answer import field_answer as field_answer_of
from recipes.field.answer import ranking_figures as ranking_figures_of
from recipes.field.answer import solved_field as solved_field_of
from recipes.field.figures import SolvedField
from recipes.field.materials import steels
from recipes.field.turns import phase_turns
from recipes.motor import Motor
from recipes.refusal import Refused

#: Most answers that are kept; the oldest go first.
MOST: Final = 300


def folder() -> Path:
    """Return where answers lie: below XDG_CACHE_HOME, else where the system keeps caches."""
    if given := os.environ.get("XDG_CACHE_HOME"):
        base = Path(given)
    elif sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Caches"
    else:
        base = Path.home() / ".cache"
    return base / "lamwright" / "field"


def solved_field(
    motor: Motor, *, fine: bool = False, tell: Callable[[str], None] = lambda _: None
) -> SolvedField:
    """Return the solved field; takes some seconds, and tells what it does."""
    d = motor.design
    turns = phase_turns(motor.layout, d.winding.turns, motor.paths)
    steel, amperes = steels(d.lamination.steel, motor.stack.factor), motor.circuit.phase_current_A
    return solved_field_of(motor.cross_section, turns, steel, amperes, fine=fine, tell=tell)


def field_answer(
    motor: Motor,
    solved: SolvedField,
    *,
    fine: bool = False,
    tell: Callable[[str], None] = lambda _: None,
) -> FieldAnswer:
    """What a solved field says; takes as long again."""
    circuit, cold = motor.circuit, motor.design.motor.ambient
    found = field_answer_of(solved, circuit, cold, fine=fine, tell=tell)
    return found.with_loss(circuit.phase_current_A, motor.resistance.phase_ohm)


def ranking_figures(motor: Motor, order: int) -> FieldAnswer:
    """What tells a motor apart from others, by elements of first or second order; never kept."""
    turns = phase_turns(motor.layout, motor.design.winding.turns, motor.paths)
    steel = steels(motor.design.lamination.steel, motor.stack.factor)
    return ranking_figures_of(motor.cross_section, turns, steel, motor.circuit, order)


def kept_or_solved(motor: Motor, tell: Callable[[str], None]) -> FieldAnswer | None:
    """Return the kept answer of a motor, else work it out and keep it; None where there is no field."""
    if (found := kept(motor)) is None:
        try:
            solved = solved_field(motor, fine=False, tell=tell)
            found = field_answer(motor, solved, fine=False, tell=tell)
        except Refused:
            return None
        keep(motor, found)
    return found


def kept(motor: Motor) -> FieldAnswer | None:
    """Return the answer for a motor's outline, rotor, steel and ampere-turns; None if there is none."""
    try:
        shape, turns = _shape(motor)
        found = json.loads(_file(shape).read_text(encoding="utf-8"))
        figures, waves, before = found["figures"], found["waves"], float(found["turns"])
        whole = all(isinstance(v, float | int | str) for v in figures.values())
        if not whole or found["shape"] != shape:
            return None
        answer = FieldAnswer(figures, {k: tuple(map(float, v)) for k, v in waves.items()})
        answer = answer.scaled(turns / before)
        return answer.with_loss(motor.circuit.phase_current_A, motor.resistance.phase_ohm)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RuntimeError, Refused):
        return None


def keep(motor: Motor, answer: FieldAnswer) -> None:
    """Keep the answer for a motor; where that cannot be done, do nothing."""
    shape, turns = _shape(motor)
    with suppress(OSError, RuntimeError):
        file = _file(shape)
        file.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=file.parent, suffix=".part")
        try:
            with os.fdopen(handle, "w", encoding="utf-8") as page:
                json.dump({"shape": shape, "turns": turns, **asdict(answer)}, page)
            os.replace(name, file)
        except OSError:
            Path(name).unlink(missing_ok=True)
            raise
        every = sorted(file.parent.glob("*.json"), key=lambda p: p.stat().st_mtime)
        for old in every[:-MOST]:
            old.unlink(missing_ok=True)


def _shape(motor: Motor) -> tuple[str, float]:
    """Return what shapes the field but for turns, as one text, and turns of one coil over its paths."""
    section, circuit, d = motor.cross_section, motor.circuit, motor.design
    ring, rotor, each = section.ring, section.rotor, d.winding.turns / motor.paths
    coils = tuple((tooth.phase, tooth.sense) for tooth in motor.layout.teeth)
    told = (
        section.slot.slots,
        section.slot.half,
        (section.inner, section.window_end, section.poles, section.length),
        (rotor.magnet_width, rotor.magnet_thickness, rotor.magnet_shape, rotor.magnets_per_pole),
        (ring.face, ring.bore, ring.gap, section.gap_band, ring.magnet, d.motor.ambient),
        (rotor.ring_thickness, section.ring_thickness),
        (d.lamination.steel, motor.stack.factor, circuit.connection),
        (motor.layout.coil_sides, coils, f"{each * circuit.phase_current_A:.9g}"),
    )
    return repr(told), each


def _file(shape: str) -> Path:
    return folder() / f"{sha256(f'{_program()} {shape}'.encode()).hexdigest()[:32]}.json"


@cache
def _program() -> str:
    """Return version and contents of the modules that solve the field."""
    try:
        told = version("lamwright")
    except PackageNotFoundError:
        told = "0"
    here = Path(__file__).parent
    found = sha256(told.encode())
    for room in (here.parent / "geometry" / "field", here / "field"):
        for module in sorted(room.glob("*.py")):
            found.update(module.read_bytes())
    return found.hexdigest()
