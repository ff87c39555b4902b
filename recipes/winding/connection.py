"""The same coils joined in every legal way, side by side.

All rows are fed with the lead current of the design. With N turns in series and c = sqrt(3) in
wye, 1 in delta:

    speed per volt       ~ 1 / (c N)       relative to the design's own connection
    torque per ampere    ~ c N             (lead ampere)

so a way that turns faster pulls less by as much, and for equal torque every way makes the same
loss in the copper: nothing is gained but the match to supply and controller.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from geometry.finding import Finding
from recipes.design.winding import Motor, Winding
from recipes.refusal import warn
from recipes.winding.circuit import (
    CONNECTIONS,
    LEAD_RESISTANCE,
    Circuit,
    Connection,
    circuit,
    parallel_paths,
)
from recipes.winding.layout import WindingLayout, winding_factors

SQUARE_FIELD_THIRD: Final = 1.0 / 3.0
"""Third harmonic of a square field wave / its fundamental: most that plain magnets can give."""

THIRD_MATTERS: Final = 0.05
"""Third harmonic of the voltage / fundamental from which delta is warned of (common practice)."""


@dataclass(frozen=True)
class Connected:
    """One way to join the coils.

    Args:
        circuit: currents and turns at the lead current of the design.
        lead_resistance_20C_ohm: between two leads.
        speed_per_volt, torque_per_ampere: relative to the design's own way.
        own: this is the design's own way.
        cautions: what to mind, in sentences.
    """

    circuit: Circuit
    lead_resistance_20C_ohm: float
    speed_per_volt: float
    torque_per_ampere: float
    own: bool
    cautions: tuple[str, ...]


def connections(
    own: Circuit,
    layout: WindingLayout,
    winding: Winding,
    motor: Motor,
    phase_ohms: Mapping[int, float],
) -> tuple[Connected, ...]:
    """Return every legal way, wye before delta, parallel paths rising.

    Args:
        own: the design's own way.
        layout, winding, motor: as `recipes.winding.circuit.circuit` takes them.
        phase_ohms: resistance of one phase by legal number of parallel paths.
    """
    third = third_harmonic_share(layout)
    rows = []
    for connection in CONNECTIONS:
        for paths, ohm in phase_ohms.items():
            way = circuit(layout, paths, connection, winding, motor, own.strand_area_mm2)
            ratio = way.acting_turns / own.acting_turns
            rows.append(
                Connected(
                    circuit=way,
                    lead_resistance_20C_ohm=LEAD_RESISTANCE[connection] * ohm,
                    speed_per_volt=1.0 / ratio,
                    torque_per_ampere=ratio,
                    own=(connection, paths) == (own.connection, own.paths),
                    cautions=_cautions(way, third),
                )
            )
    return tuple(rows)


def third_harmonic_share(layout: WindingLayout) -> float:
    """Return the largest third harmonic of a phase voltage / its fundamental.

    A square field wave round the air gap, weighted with the winding factors of order 1 and 3. It
    is equal in all three phases and drives a current round a delta, at any load. Source: winding
    factors by star of slots; Fourier series of a square wave.
    """
    factors = winding_factors(layout, (1, 3))
    return SQUARE_FIELD_THIRD * factors[3].winding / factors[1].winding


def _cautions(way: Circuit, third: float) -> tuple[str, ...]:
    found = []
    if way.connection == "delta":
        found.append(
            f"third harmonic up to {100.0 * third:.0f} % of a phase's voltage drives current round the "
            "delta: leave one corner open, turn the rotor, and measure across the gap before you "
            "close it"
        )
    if way.paths > 1:
        found.append(
            f"measure the {way.paths} paths of each phase before joining them: equal within "
            "2 %; a miscounted coil or a rotor off centre makes current circulate with leads open"
        )
    return tuple(found)


def connection_results(own: Circuit, layout: WindingLayout) -> dict[str, float | int | str]:
    """Return how the coils are joined for `results.json`."""
    return {
        "turns_in_series": own.turns_in_series,
        "parallel_paths_legal": ", ".join(str(a) for a in parallel_paths(layout)),
        "lead_current_A": own.lead_current_A,
        "third_harmonic_share": third_harmonic_share(layout),
    }


def connection_findings(connection: Connection, third: float) -> list[Finding]:
    """Judge a delta by the share of the third harmonic in a phase's voltage."""
    if connection != "delta" or third < THIRD_MATTERS:
        return []
    return [
        warn(
            "delta-circulates",
            "winding.connection",
            f"winding.connection = 'delta': the third harmonic, up to {100 * third:.0f} % of a "
            "phase's voltage, drives a current round the delta that heats and brakes at any load",
            value=round(third, 3),
            limit=THIRD_MATTERS,
            fix="use wye with more parallel paths or fewer turns for the same speed, or measure across "
            "one open corner of the delta before closing it",
            source="star of slots, order 3; square field of the magnets as the worst case",
            confidence="practice",
        )
    ]
