"""Insulation resistance from winding to steel, against 5 Mohm at 40 C.

It halves for every 10 K more (IEEE 43, thermoplastic enamel and asphalt; the careful choice), so a
cold winding must show more:  least = 5 Mohm x 2^((40 - T) / 10)
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from recipes.measured.leads import bench_temp_C
from recipes.measured.row import Beside, judged

if TYPE_CHECKING:
    from recipes.job import Job

LEAST_MOHM: Final = 5.0
"""Random-wound, below 1 kV, corrected to 40 C: IEEE 43-2013 table 3."""


def least_insulation_Mohm(temp_C: float) -> float:
    """Return the least reading in Mohm of a winding at `temp_C` that is 5 Mohm at 40 C."""
    return float(LEAST_MOHM * 2.0 ** ((40.0 - temp_C) / 10.0))


def insulation_row(job: Job) -> Beside:
    """Return the insulation resistance beside its least."""
    temp, reading = bench_temp_C(job), job.design.measured.insulation
    least = least_insulation_Mohm(temp)
    verdict = judged(reading, least, None, far=0.8 * least)
    if verdict in ("look", "off"):
        meaning = (
            "do not connect it: usually damp (dry it at 80 °C and measure again), dirt, or a wire "
            "through its paper at a tooth's end edge; part the phases to find the coil"
        )
    else:
        meaning = (
            "measure before Hall sensors or a thermistor are connected; 500 V DC: keep hands off, "
            "then discharge the winding"
        )
    return Beside(
        "measured.insulation", "from winding to steel, after 1 min at 500 V DC", None, reading,
        "Mohm", least, None, f"5 Mohm at 40 °C, halved for every 10 K, copper at {temp:g} °C",
        verdict, meaning, "IEEE 43-2013, random-wound below 1 kV", "standard",
    )  # fmt: skip
