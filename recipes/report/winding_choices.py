"""The winder's choices in words and tables: other wires, other ways to join the coils, heat."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from recipes.design.winding import Motor, Winding
from recipes.heat.limits import BURN_CAUTION
from recipes.heat.steady import Layer
from recipes.winding.circuit import Connected
from recipes.winding.wire_alternatives import WireAlternative


def winding_choices(
    name: str,
    motor: Motor,
    winding: Winding,
    alternatives: Iterable[WireAlternative],
    connections: Sequence[Connected],
    layers: Iterable[Layer],
) -> str:
    """Return the page as Markdown, lines ended by a line feed.

    Args:
        name: of the design.
        motor, winding: slots, poles, turns.
        alternatives: other wires, best first.
        connections: the same coils joined in every legal way.
        layers: that heat passes.
    """
    parts = [
        f"# {name}: choices for the winder",
        f"{motor.slots} slots, {motor.poles} poles, {winding.turns} turns on a tooth.",
        "## Other wires of about the same copper",
        "Turns that fit are counted by packing; fill is the sum of D² over the lined slot: up to 70 % "
        "is comfortable, up to 80 % needs a practised hand. Resistance is against this design.",
        _table(
            (
                "wire",
                "in hand",
                "fill",
                "turns that fit",
                "rows",
                "resistance",
                "K/s",
                "opening",
                "hand",
                "why",
            ),
            (_wire_cells(r) for r in alternatives),
        ),
        "## Other ways to join the same coils",
        "Speed per volt and torque per ampere are ratios to this design's own way.",
        _table(
            (
                "joined",
                "in parallel",
                "turns in series",
                "leads, mOhm at 20 C",
                "A/mm²",
                "speed per volt",
                "torque per ampere",
                "",
            ),
            (_connection_cells(r) for r in connections),
        ),
        "\n".join(f"- {c}" for c in _cautions(connections)),
        "## How the heat leaves",
        "Thermal resistance of each layer, all coils together, best and worst (varnished and tight, "
        "dry and loose). A layer of glue is an insulator too; air is the worst.",
        _table(
            ("layer", "best K/W", "worst K/W"),
            ((x.name, f"{x.best_K_per_W:.3g}", f"{x.worst_K_per_W:.3g}") for x in layers),
        ),
        BURN_CAUTION,
    ]
    return "\n\n".join(parts) + "\n"


def _wire_cells(row: WireAlternative) -> tuple[str, ...]:
    why = row.mark or ("this design" if row.own else "")
    return (
        row.wire.label,
        str(row.strands),
        f"{100 * row.wire_fill:.0f} %",
        f"{row.turns_that_fit}{'' if row.fits else ': too few'}",
        str(row.layers),
        f"{row.resistance_ratio:.2f}",
        f"{row.heating_rate_K_per_s:.2f}",
        row.opening,
        row.hand,
        why,
    )


def _connection_cells(row: Connected) -> tuple[str, ...]:
    return (
        row.circuit.connection,
        str(row.circuit.paths),
        str(row.circuit.turns_in_series),
        f"{1000 * row.lead_resistance_20C_ohm:.1f}",
        f"{row.circuit.current_density_A_per_mm2:.1f}",
        f"{row.speed_per_volt:.3f}",
        f"{row.torque_per_ampere:.3f}",
        "this design" if row.own else "",
    )


def _cautions(rows: Iterable[Connected]) -> list[str]:
    return list(
        dict.fromkeys(
            f"{row.circuit.connection}, {row.circuit.paths} in parallel: {caution}"
            for row in rows
            for caution in row.cautions
        )
    )


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)
