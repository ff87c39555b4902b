"""Rules on grooves for retaining rings, and what each ring holds along the axle.

  ring      DIN 471: the groove's wall beyond the ring is n long, else it shears off
 _|_ n      groove  F = FN x yield / 200 MPa x depth as cut / t
| | |___    ring    FR against a sharp edge, FRg against a chamfer such as a bearing's
|m|         without safety, both from the table
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from geometry.finding import Finding
from recipes.design.axle import Axle
from recipes.refusal import note, stop, warn
from recipes.shaft.profile import Piece
from recipes.shaft.ring_groove import RingGroove, ring_grooves
from recipes.shaft.sections import SAME, Section
from recipes.tables.axle_steel import axle_steel_of
from recipes.tables.reader import TableError
from recipes.tables.retaining_rings import GROOVE_YIELD, RetainingRing, retaining_ring

#: A ring of the user's own wants this many groove depths of material to the end of the axle
#: (common practice; n of DIN 471 is 3 t).
GROOVE_EDGE = 3.0

#: The shaft may be this much below the ring's own diameter, mm: an end turned free of a bearing's
#: bore (common practice). The groove is shallower by half of it and holds less.
RING_UNDER = 0.3

_stop, _warn = partial(stop, source="DIN 471"), partial(warn, source="DIN 471")


def ring_findings(
    axle: Axle, sections: tuple[Section, ...], pieces: tuple[Piece, ...]
) -> list[Finding]:
    """Return the findings on every groove that lies on the axle.

    Args:
        axle: table of the design.
        sections, pieces: as of `axle_sections` and `axle_pieces`.
    """
    found: list[Finding] = []
    for k, groove in enumerate(ring_grooves(axle), 1):
        over = shaft_at(groove, sections)
        if over is None:
            continue  # off the axle: told by the rules of places
        found += _cut(groove, over)
        if groove.diameter < over - SAME:
            found += _edge(k, groove, over, pieces)
        if groove.ring:
            found += [*_size(groove, groove.ring, over), *_passes(groove, groove.ring, sections)]
        else:
            found += _unnamed(groove, over)
    return found


def shaft_at(groove: RingGroove, sections: tuple[Section, ...]) -> float | None:
    """Return the least diameter round a groove, mm; None off the axle."""
    here = [s for s in sections if s.end > groove.from_face and s.start < groove.end]
    return min((s.diameter for s in here), default=None)


def _cut(groove: RingGroove, over: float) -> Iterator[Finding]:
    """A groove is cut below the diameter round it."""
    if groove.diameter < over - SAME:
        return
    field = f"{groove.field}.diameter"
    yield stop(
        "groove-not-cut",
        field,
        f"{field} = {groove.diameter:g} mm is not below the {over:g} mm round it",
        value=groove.diameter,
        limit=over,
        fix=f"use less than {over:g} mm",
    )


def edge_left(groove: RingGroove, over: float, pieces: tuple[Piece, ...]) -> float:
    """Return the shorter of the two walls beside a groove, mm.

    A wall ends with the axle, or where less than half of the groove's depth stands above its floor.
    """
    half = (over + groove.diameter) / 2
    low = max(
        (p.end for p in pieces if p.end <= groove.from_face + SAME and p.diameter < half),
        default=0.0,
    )
    high = min(
        (p.start for p in pieces if p.start >= groove.end - SAME and p.diameter < half),
        default=pieces[-1].end,
    )
    return min(groove.from_face - low, high - groove.end)


def _edge(k: int, groove: RingGroove, over: float, pieces: tuple[Piece, ...]) -> Iterator[Finding]:
    """Enough of the axle stands beyond a groove that its wall does not break out."""
    depth, edge = (over - groove.diameter) / 2, edge_left(groove, over, pieces)
    least = groove.ring.edge_mm if groove.ring else GROOVE_EDGE * depth
    if edge >= least - SAME:
        return
    why = "n of DIN 471" if groove.ring else f"{GROOVE_EDGE:g} x its depth of {depth:.2f} mm"
    yield warn(
        "groove-near-end",
        f"{groove.field}.from_face",
        f"groove {k} leaves {edge:.2f} mm of axle beside it, less than {least:.2f} mm ({why}): the edge "
        "may break out",
        value=edge,
        limit=least,
        fix=f"keep {least:.2f} mm",
        source="DIN 471" if groove.ring else "common practice",
        confidence="standard" if groove.ring else "practice",
    )


def _size(groove: RingGroove, ring: RetainingRing, over: float) -> Iterator[Finding]:
    """Shaft and groove have the ring's size."""
    if over > ring.shaft_mm + SAME or over < ring.shaft_mm - RING_UNDER - SAME:
        yield _stop(
            "ring-not-for-shaft",
            f"{groove.field}.ring",
            f"{groove.field}.ring = {ring.shaft_mm:g} mm, but the axle has {over:g} mm there",
            value=ring.shaft_mm,
            limit=over,
            fix=f"turn that place to {ring.shaft_mm:g} mm ({RING_UNDER:g} mm less at most), or name the "
            "ring for it",
        )
    least = ring.groove_mm - ring.groove_under_mm
    if groove.diameter > ring.groove_mm + SAME:
        yield _stop(
            "ring-groove-shallow",
            f"{groove.field}.diameter",
            f"{groove.field}.diameter = {groove.diameter:g} mm is above {ring.groove_mm:g} mm: the ring "
            "does not seat and flies off",
            value=groove.diameter,
            limit=ring.groove_mm,
            fix=f"use {ring.groove_mm:g} mm, or leave diameter out",
        )
    elif groove.diameter < least - SAME:
        yield _warn(
            "ring-groove-deep",
            f"{groove.field}.diameter",
            f"{groove.field}.diameter = {groove.diameter:g} mm is below {least:g} mm: the ring sits loose "
            "and the axle is weakened more than need be",
            value=groove.diameter,
            limit=least,
            fix=f"use {least:g} to {ring.groove_mm:g} mm, or leave diameter out",
        )
    if groove.width < ring.width_mm - SAME:
        yield _stop(
            "ring-groove-narrow",
            f"{groove.field}.width",
            f"{groove.field}.width = {groove.width:g} mm takes no ring of {ring.thickness_mm:g} mm; "
            f"{ring.width_mm:g} mm is the least",
            value=groove.width,
            limit=ring.width_mm,
            fix=f"use {ring.width_mm:g} mm or more, or leave width out",
        )


def _passes(
    groove: RingGroove, ring: RetainingRing, sections: tuple[Section, ...]
) -> Iterator[Finding]:
    """A ring comes from an end of the axle over nothing thicker than its shaft."""
    ways = (
        [s for s in sections if s.start < groove.from_face],
        [s for s in sections if s.end > groove.end],
    )
    blocks = [max(way, key=lambda s: s.diameter, default=None) for way in ways]
    high = [b for b in blocks if b and b.diameter > ring.shaft_mm + SAME]
    if len(high) < 2:
        return
    low = min(high, key=lambda s: s.diameter)
    yield _stop(
        "ring-cannot-pass",
        f"{groove.field}.from_face",
        f"{groove.field}: the ring for {ring.shaft_mm:g} mm comes over {low.diameter:g} mm "
        f"({low.field}) from the nearer end: opened that far it stays bent",
        value=low.diameter,
        limit=ring.shaft_mm,
        fix="put the groove outside that place, or turn the way to it down",
    )


def _unnamed(groove: RingGroove, over: float) -> Iterator[Finding]:
    """A standard ring would do where none is named."""
    for shaft in (over, over + 0.2):
        try:
            ring = retaining_ring(round(shaft, 3))
        except TableError:
            continue
        yield note(
            "groove-without-ring",
            f"{groove.field}.ring",
            f"{groove.field}: no ring is named, so nobody can say what it holds; {ring.designation} takes "
            f"a groove of {ring.groove_mm:g} mm, {ring.width_mm:g} mm wide",
            fix=f"give ring = {ring.shaft_mm:g} and leave width and diameter out",
            source="DIN 471",
        )
        return


def groove_holds(axle: Axle, groove: RingGroove, over: float) -> float:
    """Return the force in N at which the wall of a groove yields, 0 without a standard ring.

    Args:
        axle, groove: as designed.
        over: diameter round the groove, mm.
    """
    if groove.ring is None:
        return 0.0
    depth = max(0.0, (over - groove.diameter) / 2)
    share = min(1.0, depth / groove.ring.depth_mm) * axle_steel_of(axle).yield_MPa / GROOVE_YIELD
    return 1000.0 * groove.ring.groove_load_kN * share


def ring_results(axle: Axle, sections: tuple[Section, ...]) -> dict[str, float | int | str]:
    """Return name and loads of every standard ring."""
    results: dict[str, float | int | str] = {}
    for k, groove in enumerate(ring_grooves(axle), 1):
        over = shaft_at(groove, sections)
        if groove.ring and over is not None:
            results |= {
                f"retaining_ring_{k}": groove.ring.designation,
                f"retaining_ring_{k}_groove_yields_N": groove_holds(axle, groove, over),
                f"retaining_ring_{k}_ring_holds_N": 1000.0 * groove.ring.chamfer_load_kN,
            }
    return results
