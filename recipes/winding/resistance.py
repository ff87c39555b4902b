"""Resistance of coil, phase and lead pair: cold, on the bench, hot; and how far it may spread.

Nominal values use 58 S m/mm2 (IEC 60028) and the nominal bare diameter; the nominal of
IEC 60317-0-1 (58.5 S m/mm2) is 0.86 % lower. The band takes the least and greatest resistance per
metre of the wire's standard, and one slack in length less or more than the one counted.

A phase is its coils without tails, the links between them and two phase ends:

    joint      arc between the two teeth at the slot bottom + 2 x 15 mm up to the joint
    crossover  the same arc + 2 x 8 mm over the cuffs, where the wire goes on uncut

Not counted: the lead cable, and joints (a good one adds nothing that a hobby meter shows).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from geometry.finding import Finding
from recipes.design.winding import Winding
from recipes.refusal import note, warn
from recipes.tables.copper import resistance_ratio
from recipes.tables.wire import Wire
from recipes.winding.circuit import (
    LEAD_RESISTANCE,
    Circuit,
    Connection,
    Join,
    joint_list,
    parallel_paths,
)
from recipes.winding.layout import WindingLayout
from recipes.winding.turn_length import PHASE_TAIL, SLACK

RISE_MM: Final = 15.0
"""From a coil up to its joint, on each side of a link (common practice)."""

CROSSOVER_RISE_MM: Final = 8.0
"""From a coil over the cuff to the way round, on each side of a crossover (common practice)."""

JOINT_MM: Final = 20.0
"""Of each tail, twisted and soldered into a joint (common practice)."""

FOUR_WIRE_BELOW_OHM: Final = 1.0
"""A two-wire meter's own leads have 0.1 to 0.3 ohm (common practice)."""

SPREAD: Final = (
    (0.02, "good: the limit for random-wound machines (ANSI/EASA AR100)"),
    (0.05, "look for a miscounted coil or a poor joint (common practice)"),
    (0.10, "find the coil and wind it anew (common practice)"),
)
"""Deviation of a lead pair from the mean of the three, and what it means."""


@dataclass(frozen=True)
class WindingResistance:
    """Resistances in ohm at 20 C, and at two other temperatures.

    Args:
        connection: "wye" or "delta".
        coil_ohm: one wire with both tails uncut, as measured before joining: one coil, or as many as
            the wire winds; the shortest where they differ.
        phase_ohm: one phase from U1 to U2.
        least, greatest: factors on any of these, from the standard's band and the slack.
        room_C: bench.
        hot_C: thermal class of the enamel.
    """

    connection: Connection
    coil_ohm: float
    phase_ohm: float
    least: float
    greatest: float
    room_C: float
    hot_C: float

    @property
    def lead_ohm(self) -> float:
        """Between two leads at 20 C."""
        return self.phase_ohm * LEAD_RESISTANCE[self.connection]

    @property
    def lead_band_ohm(self) -> tuple[float, float]:
        """Between two leads at 20 C: least and greatest that good wire can give."""
        return self.lead_ohm * self.least, self.lead_ohm * self.greatest

    @property
    def needs_four_wires(self) -> bool:
        """Tell whether a common two-wire meter cannot measure coil or lead pair."""
        return min(self.coil_ohm, self.lead_ohm) < FOUR_WIRE_BELOW_OHM

    def lead_at(self, temp_C: float) -> float:
        """Between two leads at `temp_C`."""
        return self.lead_ohm * resistance_ratio(temp_C)

    def coil_at(self, temp_C: float) -> float:
        """One coil with its tails at `temp_C`."""
        return self.coil_ohm * resistance_ratio(temp_C)


def winding_resistance(
    circuit: Circuit,
    winding: Winding,
    wire: Wire,
    wire_ohm: float,
    phase_ohm: Mapping[int, float],
) -> WindingResistance:
    """Return the resistances of a winding.

    Args:
        circuit: how its coils are joined.
        winding: tails and temperatures.
        wire: of one strand.
        wire_ohm: one wire as cut, at 20 C; the shortest where they differ.
        phase_ohm: one phase at 20 C, by number of parallel paths.
    """
    nominal = wire.resistance_20C_ohm_per_m
    return WindingResistance(
        connection=circuit.connection,
        coil_ohm=wire_ohm,
        phase_ohm=phase_ohm[circuit.paths],
        least=wire.resistance_min_ohm_per_m / nominal / (1.0 + SLACK),
        greatest=wire.resistance_max_ohm_per_m / nominal * (1.0 + SLACK),
        room_C=winding.room_temperature,
        hot_C=float(winding.enamel_class),
    )


def phase_ohms(
    layout: WindingLayout,
    winding: Winding,
    wire: Wire,
    coil_wire_m: float,
    root_radius: float,
) -> dict[int, float]:
    """Return the resistance of one phase at 20 C in ohm, by every legal number of parallel paths.

    The paths of a phase may differ a little in their links; they are taken as one mean path.

    Args:
        layout: phase and sense of every tooth.
        winding: strands and tails.
        wire: of one strand.
        coil_wire_m: one strand of one coil, slack included, no tails.
        root_radius: of the slot bottom, mm.
    """
    found = {}
    for paths in parallel_paths(layout):
        joins = [j for j in joint_list(layout, paths, winding.run) if j.phase == "U"]
        links = sum(link.length_mm for link in links_of(joins, layout.slots, root_radius)) / paths
        ends = 2.0 * max(winding.tail, PHASE_TAIL)
        series = layout.coils_per_phase // paths
        metres = series * coil_wire_m + (links + ends) / 1000.0
        found[paths] = wire.resistance_20C_ohm_per_m * metres / (winding.strands * paths)
    return found


@dataclass(frozen=True)
class Link:
    """Wire between two coils, by the indices of their teeth; arc and both ways up to it."""

    from_tooth: int
    to_tooth: int
    length_mm: float


def links_of(joints: Iterable[Join], slots: int, root_radius: float) -> tuple[Link, ...]:
    """Return the wire of some links, but those to a terminal; the shorter way at the root radius, mm."""
    found = []
    for join in joints:
        if join.from_tooth is not None and join.to_tooth is not None:
            apart = (join.to_tooth - join.from_tooth) % slots
            arc = min(apart, slots - apart) * 2.0 * math.pi / slots * root_radius
            rise = RISE_MM if join.soldered else CROSSOVER_RISE_MM
            found.append(Link(join.from_tooth, join.to_tooth, arc + 2.0 * rise))
    return tuple(found)


def winding_resistance_results(r: WindingResistance) -> dict[str, float | int | str]:
    """Return resistances for `results.json`."""
    least, greatest = r.lead_band_ohm
    return {
        "coil_resistance_20C_ohm": r.coil_ohm,
        "phase_resistance_20C_ohm": r.phase_ohm,
        "lead_resistance_20C_ohm": r.lead_ohm,
        "lead_resistance_20C_min_ohm": least,
        "lead_resistance_20C_max_ohm": greatest,
        "lead_resistance_room_ohm": r.lead_at(r.room_C),
        "lead_resistance_hot_ohm": r.lead_at(r.hot_C),
    }


def winding_resistance_findings(
    r: WindingResistance, tail: float, links: Iterable[Link]
) -> list[Finding]:
    """Say what a common meter cannot measure, and which tails (mm) do not reach the next coil."""
    found: list[Finding] = []
    if r.needs_four_wires:
        lead, coil = _said(r.lead_at(r.room_C)), _said(r.coil_at(r.room_C))
        found.append(
            note(
                "four-wire",
                "lead_resistance_room_ohm",
                f"at {r.room_C:g} C one coil has {coil}, two leads {lead}: a common two-wire meter "
                "shows mostly its own leads",
                value=r.lead_at(r.room_C),
                limit=FOUR_WIRE_BELOW_OHM,
                fix="measure with four wires: a steady current of about 1 A, and the voltage at the copper",
                source="common practice",
                confidence="practice",
            )
        )
    longest = max(links, key=lambda link: link.length_mm, default=Link(0, 0, 0.0))
    need = longest.length_mm / 2.0 + JOINT_MM
    if tail < need:
        teeth = f"tooth {longest.from_tooth + 1} to tooth {longest.to_tooth + 1}"
        found.append(
            warn(
                "tail-too-short",
                "winding.tail",
                f"winding.tail = {tail:g} mm: the link from {teeth} is {longest.length_mm:.0f} mm long, "
                f"so each of its two tails needs {need:.0f} mm",
                value=tail,
                limit=need,
                fix=f"use a tail of at least {math.ceil(need / 10) * 10} mm, or join with a piece of "
                "sleeved wire",
                source="arc at the slot bottom, 15 mm up to the joint, 20 mm twisted: common practice",
                confidence="practice",
            )
        )
    return found


def _said(ohm: float) -> str:
    """Return a resistance as a bench meter shows it."""
    return f"{1000.0 * ohm:.1f} mOhm" if ohm < 1.0 else f"{ohm:.3f} Ohm"
