"""Which stator is better for what the builder needs: one answer for each need, with its reason."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from recipes.study.comparison import Side
from recipes.study.comparison_figures import BY_NAME, number


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
        says = f"{_percent(first, next_)} {need.noun} than {second.letter}"
    else:
        says = f"{_said(first, key.unit)}, {second.letter} {_said(next_, key.unit)}"
    also = "".join(_also(name, best, second) for name in need.also)
    mend = "; mend its STOP first" if best.stops else ""
    return Answer(need, best.letter, f"{best.letter}: {says}{also}{mend}")


def _percent(first: float, other: float) -> str:
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
        "Cogging and noise: only the number of steps per turn is known, not their strength.",
        "Leakage beside the teeth, slot openings, and yoke or ring at their limit: torque is "
        "compared without them.",
        "How well coils are tied, varnished and cooled moves long-run currents by more than most "
        "differences here.",
        "Hands: fill, crossings and joints are as good as they are made; record what you measure.",
    ]
    full = {s.letter: t for s in sides if (t := number(s.figures, "tooth_full") or 0.0) > 1.0}
    if full:
        names = ", ".join(f"{letter} {100.0 * (t - 1.0):.0f} %" for letter, t in full.items())
        found.append(
            f"Teeth are asked for more flux than their steel carries: {names} too much. What they "
            "lose by that is counted along one tooth only, so their torque may be less than shown."
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
