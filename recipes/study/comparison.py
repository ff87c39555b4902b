"""Designs side by side, each judged: fields that differ, figures with differences, better and worse."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final, Literal

from geometry.finding import Finding
from recipes.assess import Assessment, assess
from recipes.design.load import BadInput, load
from recipes.field.answer import FieldAnswer
from recipes.field.magnetic_circuit import SPREAD
from recipes.kept_field import kept_or_solved
from recipes.motor import Motor, solve
from recipes.refusal import bad_input
from recipes.study.comparison_figures import (
    BY_NAME,
    KEYS,
    Figures,
    Key,
    figure_or_none,
    figures_of,
    number,
)

Mark = Literal["better", "worse", "same", "other", ""]

SAME = 0.005
"""Figures closer than this share are the same: nobody builds finer (common practice)."""

LETTERS = "ABCDEFGH"
"""Designs are told apart by letter; more than eight side by side are read by nobody."""


@dataclass(frozen=True)
class Side:
    """One design of a comparison.

    Args:
        letter: "A" is the first, which all others are held against.
        file: as given.
        job, assessment: of the design.
        figures: see `recipes.study.comparison_figures`.
    """

    letter: str
    file: str
    motor: Motor
    assessment: Assessment
    figures: Figures

    @property
    def name(self) -> str:
        """The design's name."""
        return self.motor.design.name

    @property
    def stops(self) -> tuple[Finding, ...]:
        """Why it cannot be made as it stands; empty for a sound design."""
        return tuple(f for f in self.assessment.findings if f.level == "stop")


@dataclass(frozen=True)
class Row:
    """One figure of every design.

    Args:
        key: what it is.
        values: one for each design; None where a design has none; relative ones as ratios to
            the first design that has one.
        percents: difference from the first design in percent; None for the first and where
            nothing can be said.
        marks: verdict on each design against the first; "" for the first.
    """

    key: Key
    values: tuple[float | str | None, ...]
    percents: tuple[float | None, ...]
    marks: tuple[Mark, ...]


@dataclass(frozen=True)
class FieldRow:
    """One field of the design file that is not the same in all designs; None where left out."""

    name: str
    values: tuple[str | None, ...]


def compare(
    files: Sequence[Path], *, quick: bool = False, tell: Callable[[str], None] = lambda _: None
) -> tuple[Side, ...]:
    """Return the designs in `files` side by side, each judged by every quick rule.

    Torque is that of the field, kept or solved now; of the magnetic circuit if `quick`, or where one
    design has no field.

    Args:
        files: of the designs.
        quick: solve no field, and take no kept one.
        tell: hears which field is being solved.

    Raises:
        BadInput: fewer than two or more than eight files, or a file that cannot be read; every
            fault of every file is told, with the file's name.
    """
    if not 2 <= len(files) <= len(LETTERS):
        raise BadInput([_count(len(files), len(LETTERS))])
    designs, faults = [], []
    for path in files:
        try:
            designs.append(load(path))
        except BadInput as bad:
            faults += [_named(path, f) for f in bad.findings]
    if faults:
        raise BadInput(faults)

    motors = [solve(design) for design in designs]
    answers = [] if quick else _answers(files, motors, tell)
    if answers:  # the field of one is not held against the circuit of another
        motors = [solve(design, answer) for design, answer in zip(designs, answers, strict=True)]
    seen = [assess(motor, whole=False) for motor in motors]
    return sides_of([str(path) for path in files], motors, seen)


def _answers(
    files: Sequence[Path], motors: Sequence[Motor], tell: Callable[[str], None]
) -> list[FieldAnswer]:
    """Return the field of every motor; none at all where one has none."""
    if not all(figure and figure.magnetic for figure in map(figure_or_none, motors)):
        return []
    found = []
    for file, motor in zip(files, motors, strict=True):
        said = f"{file}: "
        answer = kept_or_solved(motor, lambda words, said=said: tell(said + words))  # type: ignore[misc]
        if answer is None:
            return []
        found.append(answer)
    return found


def _count(given: int, most: int) -> Finding:
    return bad_input(
        "FILE",
        given,
        f"compare takes 2 to {most} design files, not {given}",
        "name the files to hold side by side",
        most,
    )


def _named(path: Path, fault: Finding) -> Finding:
    if str(path) in fault.message:
        return fault
    return replace(fault, message=f"{path}: {fault.message}")


def sides_of(
    files: Sequence[str], motors: Sequence[Motor], seen: Sequence[Assessment]
) -> tuple[Side, ...]:
    """Return the sides of a comparison, with letters in the order given; at most eight.

    Where the magnets of one are not known, the field is taken as equal in all of them.
    """
    torque = [figure_or_none(motor) for motor in motors]
    if not all(t.magnetic for t in torque if t):
        torque = [t and t.in_equal_field() for t in torque]
    return tuple(
        Side(letter, file, motor, assessment, figures_of(assessment.results, figure))
        for letter, file, motor, assessment, figure in zip(
            LETTERS, files, motors, seen, torque, strict=False
        )
    )


def rows_of(sides: Sequence[Side]) -> tuple[Row, ...]:
    """Return every figure that at least one design has, in the order of `KEYS`."""
    rows = (_row(key, [side.figures for side in sides]) for key in KEYS)
    return tuple(row for row in rows if any(v is not None for v in row.values))


def _row(key: Key, figures: Sequence[Figures]) -> Row:
    values: list[float | str | None] = [f.get(key.name) for f in figures]
    numbers = [number(f, key.name) for f in figures]
    if key.relative:
        base = next((n for n in numbers if n), None)
        numbers = [None if n is None or base is None else n / base for n in numbers]
        values = list(numbers)
    percents: list[float | None] = [None]
    marks: list[Mark] = [""]
    for value, other in zip(numbers[1:], values[1:], strict=True):
        percents.append(_percent(numbers[0], value))
        marks.append(_mark(key, numbers[0], value, values[0], other))
    return Row(key, tuple(values), tuple(percents), tuple(marks))


def _percent(first: float | None, other: float | None) -> float | None:
    if first is None or other is None or first == 0.0:
        return None
    return 100.0 * (other - first) / abs(first)


def _mark(key: Key, first: float | None, other: float | None, a: object, b: object) -> Mark:
    if first is None or other is None:
        return "" if a is None or b is None else "same" if a == b else "other"
    if abs(other - first) <= SAME * max(abs(first), abs(other)):
        return "same"
    if key.sense == "none":
        return "other"
    return "better" if (other > first) == (key.sense == "more") else "worse"


def fields_of(sides: Sequence[Side]) -> tuple[FieldRow, ...]:
    """Return the fields in which the designs differ, in the order of the design file.

    Names and notes are left out, and so is what was measured.
    """
    flat = [
        _flat(side.motor.design.model_dump(exclude={"name", "notes", "measured"})) for side in sides
    ]
    names = dict.fromkeys(name for table in flat for name in table)
    rows = (FieldRow(name, tuple(table.get(name) for table in flat)) for name in names)
    return tuple(row for row in rows if len(set(row.values)) > 1)


def _flat(value: Any, name: str = "") -> dict[str, str | None]:
    if isinstance(value, dict):
        parts = [_flat(v, f"{name}.{k}" if name else k) for k, v in value.items()]
    elif isinstance(value, list | tuple):
        parts = [_flat(v, f"{name}[{k}]") for k, v in enumerate(value, 1)]
    else:
        text = None if value is None else f"{value:.6g}" if isinstance(value, float) else str(value)
        return {name: text}
    return {k: v for part in parts for k, v in part.items()}


# Which is better for what the builder needs: one answer for each need, with its reason.


@dataclass(frozen=True)
class Need:
    """What somebody may want most.

    Args:
        words: the need.
        key: figure that answers it, of `recipes.study.comparison_figures`.
        least: share by which figures must differ before the model tells them apart.
        also: figures named beside it.
        noun: what a percentage is of.
    """

    words: str
    key: str
    least: float
    also: tuple[str, ...] = ()
    noun: str = ""


NEEDS: Final[tuple[Need, ...]] = (
    Need("stays coolest for the same torque", "copper_loss_same_torque", 0.05, noun="heat"),
    Need(
        "takes the hardest short burst for the same torque",
        "warming_same_torque",
        0.05,
        noun="warming",
    ),
    Need("most torque per root watt of heat", "torque_per_root_watt", 0.025, noun="torque"),
    Need("longest until too hot to touch, each at its own current", "seconds_to_touch_limit", 0.05),
    Need("easiest to wind", "wire_fill_lined", 0.03, ("spare_turns", "conductors_per_slot")),
    Need("lightest (stack, wire, magnets)", "active_mass_kg", 0.02, ("wire_mass_kg",)),
    Need("least wire to buy", "wire_order_kg", 0.02),
    Need("least to cut", "cut_length_all_m", 0.02, ("sheets_to_order",)),
    Need("probably the smoothest", "cogging_cycles_per_rev", 0.02),
    Need("most torque per root watt, as measured", "torque_per_root_watt_measured", 0.05),
)


@dataclass(frozen=True)
class Answer:
    """One need and who serves it.

    Args:
        need: what is wanted.
        winner: letter of the design; "" if the model cannot tell.
        words: the answer with its reason.
    """

    need: Need
    winner: str
    words: str


def answers_of(sides: Sequence[Side]) -> tuple[Answer, ...]:
    """Answer every need for which two designs or more have the figure.

    A design that cannot be made as it stands is told as such where it comes first: its stator may
    be sound all the same.
    """
    found = (_answer(need, sides) for need in NEEDS)
    return tuple(answer for answer in found if answer is not None)


def _answer(need: Need, sides: Sequence[Side]) -> Answer | None:
    key = BY_NAME[need.key]
    known = [(side, v) for side in sides if (v := number(side.figures, need.key)) is not None]
    if len(known) < 2:
        return None
    sign = -1.0 if key.sense == "more" else 1.0
    (best, first), (second, next_) = sorted(known, key=lambda pair: sign * pair[1])[:2]
    apart = abs(first - next_) / max(abs(first), abs(next_), 1e-300)
    if apart < need.least:
        names = " and ".join(
            side.letter for side, v in known if abs(v - first) <= need.least * abs(first)
        )
        return Answer(need, "", f"no difference that counts: {names} within {100 * need.least:g} %")
    if key.relative:
        says = f"{_more_or_less(first, next_)} {need.noun} than {second.letter}"
    else:
        says = f"{_said(first, key.unit)}, {second.letter} {_said(next_, key.unit)}"
    also = "".join(_also(name, best, second) for name in need.also)
    mend = "; mend its STOP first" if best.stops else ""
    return Answer(need, best.letter, f"{best.letter}: {says}{also}{mend}")


def _more_or_less(first: float, other: float) -> str:
    part = 100.0 * (first - other) / other
    return f"{abs(part):.0f} % {'more' if part > 0 else 'less'}"


def _also(name: str, best: Side, second: Side) -> str:
    key = BY_NAME[name]
    a, b = number(best.figures, name), number(second.figures, name)
    if a is None or b is None:
        return ""
    return f"; {key.label} {_said(a, key.unit)}, {second.letter} {_said(b, key.unit)}"


def _said(value: float, unit: str) -> str:
    if unit == "share":
        return f"{100.0 * value:.0f} %"
    number = f"{value:.3g}" if abs(value) < 1000.0 else f"{value:.0f}"
    return f"{number} {unit}".rstrip()


def unknowns(sides: Sequence[Side]) -> tuple[str, ...]:
    """Say what the model does not know, and what of it matters for these designs."""
    found = [
        "Loss in iron and drag at speed are not in it: a design with more poles or a heavier tooth "
        "may run hotter at speed than its copper says.",
        "Noise, and cogging by what is not alike: a bent sheet, a magnet out of its place."
        if all(side.motor.field for side in sides)
        else "Cogging and noise: only the number of steps per turn is known, not their strength.",
        "Torque is that of the magnetic field of each outline, its ends not counted."
        if all(side.motor.field for side in sides)
        else f"Torque is that of a magnetic circuit, which keeps within {100 * SPREAD:.0f} % of the field "
        "where steel is not full; without --quick the field is solved, where every file has one.",
        "How well coils are tied, varnished and cooled moves long-run currents by more than most "
        "differences here.",
        "Hands: fill, crossings and joints are as good as they are made; record what you measure.",
    ]
    full = {s.letter: t for s in sides if (t := number(s.figures, "tooth_full") or 0.0) > 1.0}
    if full:
        names = ", ".join(f"{letter} {100.0 * (t - 1.0):.0f} %" for letter, t in full.items())
        found.append(
            f"Teeth carry more flux than their steel's share: {names} beyond it. What they lose by "
            "that is counted along one tooth only, so their torque may be less than shown."
        )
    blind = [s.letter for s in sides if "tooth_field_T" not in s.figures]
    if blind:
        found.append(
            f"Magnets of {', '.join(blind)} are not known: the field in the gap is taken as the same "
            "for all."
        )
    unmeasured = [s.letter for s in sides if "lead_resistance_20C_measured_ohm" not in s.figures]
    if unmeasured:
        found.append(
            f"Nothing is measured yet of {', '.join(unmeasured)}: lead resistances and the speed "
            "constant (lamwright record) replace half of this guesswork."
        )
    return tuple(found)
