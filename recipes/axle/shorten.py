"""Where a long, thin axle may be shown shortened: in the middle of plain round stretches."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from geometry.errors import GeometryError
from geometry.sheet.short_view import GAP, Stretch
from recipes.axle.key_seat import key_seats_of
from recipes.axle.profile import axle_pieces
from recipes.axle.sections import SAME, axle_sections, flat_features, groove_features, slot_feature

if TYPE_CHECKING:
    from recipes.job import Job

#: A stretch that is shortened keeps at least this much on the sheet, gap included, mm.
LEAST_SHOWN = 15.0

#: Halvings in the search for the length that every long stretch keeps.
_HALVINGS = 50


def plain_stretches(job: Job) -> list[Stretch]:
    """Return the stretches of one diameter and fit without slot, groove, flat or key seat, mm."""
    cuts = [slot_feature(job), *groove_features(job), *flat_features(job)]
    spans = [(f.start, f.end) for f in cuts]
    if (keys := key_seats_of(job)) is not None:
        spans.append((keys.start, keys.end))
    depth = job.design.axle.bore_depth
    marks = {0.0, job.design.axle.length, *(z for span in spans for z in span)}
    marks |= {z for s in axle_sections(job) for z in (s.start, s.end)}
    marks |= {depth} if depth is not None else set()
    return [
        (a, b)
        for a, b in pairwise(sorted(marks))
        if b - a > SAME and not any(low < (a + b) / 2 < high for low, high in spans)
    ]


def left_out(job: Job, factor: float, room: float) -> tuple[Stretch, ...]:
    """Return what to leave out so that the axle takes `room` mm of the sheet: the longest lose most.

    Raises:
        GeometryError: it fits as it is, or even then not.
    """
    plain = plain_stretches(job)
    rest = job.design.axle.length - sum(b - a for a, b in plain)

    def shown(most: float) -> float:
        return rest + sum(min(b - a, most) for a, b in plain)

    low, high = LEAST_SHOWN / factor, max(b - a for a, b in plain)
    if shown(high) * factor <= room or shown(low) * factor > room:
        raise GeometryError("the axle need not or cannot be shortened to this", value=room)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if shown(middle) * factor <= room else (low, middle)
    gap = GAP / factor
    cuts = []
    for a, b in plain:
        if b - a > low + gap:
            kept = (low - gap) / 2
            cuts.append((a + kept, b - kept))
    return tuple(cuts)


def radius_at(job: Job, z: float) -> float:
    """Return the outer radius of the axle at `z` mm from face A."""
    return next(p.diameter for p in axle_pieces(job) if p.start <= z <= p.end) / 2
