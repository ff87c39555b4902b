"""Copper of a flexible lead by its current, in mm2 and AWG, and how thick it is over the insulation.

    current       rated current of the appliance that a flexible cord feeds, IEC 60335-1 table 11
    AWG           first even gauge that holds as much copper (ASTM B258: d = 0.127 mm x 92^((36-n)/39))
    over it       strands fill 0.75 of their circle, and a thin wall of 0.25 mm (common practice)

The table is for cords in free air. Leads packed in a hot bore carry it only for a while: heat-proof
insulation (silicone, PTFE), and more copper where the bore has room (common practice). Local codes for
fixed wiring decide beyond the motor.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

SOURCE: Final = "IEC 60335-1 table 11, flexible cords in free air; AWG by ASTM B258"

#: Greatest current in A, and least copper in mm2 (IEC 60335-1 table 11, seen in a maker's manual).
SECTIONS: Final = (
    (3.0, 0.5),
    (6.0, 0.75),
    (10.0, 1.0),
    (16.0, 1.5),
    (25.0, 2.5),
    (32.0, 4.0),
    (40.0, 6.0),
    (63.0, 10.0),
)

#: Signals of sensors: strength counts, not current (common practice).
SIGNAL_MM2: Final = 0.14

#: Share of a strand's circle that is copper, and wall of thin insulation in mm (common practice).
STRANDED, WALL = 0.75, 0.25

#: Even gauges that lead wire is sold in, thin to thick.
GAUGES: Final = range(28, 0, -2)


@dataclass(frozen=True)
class LeadSection:
    """A size of lead: copper in mm2, the AWG that holds as much, and its least diameter insulated, mm."""

    copper_mm2: float
    awg: int
    insulated_mm: float


def lead_section(current_A: float) -> LeadSection | None:
    """Return the least lead for a current in A r.m.s.; None beyond the table."""
    found = next((area for most, area in SECTIONS if current_A <= most), None)
    return None if found is None else section_of(found)


def section_of(copper_mm2: float) -> LeadSection:
    """Return the lead of so much copper."""
    # 0.14 and 26 AWG, 0.5 and 20 AWG are sold as the same: a tenth less counts as equal
    awg = next((n for n in GAUGES if awg_mm2(n) >= 0.9 * copper_mm2), GAUGES[-1])
    over = math.sqrt(4.0 * copper_mm2 / (math.pi * STRANDED)) + 2.0 * WALL
    return LeadSection(copper_mm2, awg, over)


def awg_mm2(gauge: int) -> float:
    """Return the copper of a gauge in mm2 (ASTM B258)."""
    diameter = 0.127 * math.pow(92.0, (36 - gauge) / 39.0)
    return math.pi / 4.0 * diameter**2
