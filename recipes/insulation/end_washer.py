"""The end washer: an insulating ring on each end face, a little larger than the steel in the slots.

Outline: see `recipes.stator.end_cap`. On stepped ends it lies on the last, narrowest sheet, so that the
round is not squared again. Not checked: whether a stiff sheet of this thickness bends under the wire.
"""

from __future__ import annotations

from geometry.finding import Finding
from geometry.part import Part
from recipes.job import Job
from recipes.stator.end_cap import BELOW, cover, cover_job

_FIELD = "end_washer.extension"


def end_washer(job: Job) -> tuple[Part, ...]:
    """Return the washer for both ends; none if its thickness is 0.

    Raises:
        Refused: its outline cannot be drawn.
    """
    washer = job.design.end_washer
    if washer.thickness == 0:
        return ()
    region = cover(job, cover_job(job, washer.extension, _FIELD), _FIELD)
    under = "the end cap" if job.design.ends.end_cap else "the steel"
    return (
        Part(
            name="end_washer",
            cut=(region,),
            material="aramid, pressboard or glass laminate",
            thickness=washer.thickness,
            quantity=2,
            settings={"extension_mm": washer.extension, "below_air_gap_mm": BELOW},
            notes=(
                f"one on each end of the stack, between the coils and {under}; both alike",
                f"it stays {BELOW:g} mm below the air-gap face: trim what stands out",
            ),
        ),
    )


def end_washer_findings(job: Job) -> list[Finding]:
    """Refuse a washer that cannot be drawn; nothing else is judged here."""
    end_washer(job)
    return []
