"""What the stack-up along the axle must leave, and its figures."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import partial

from geometry.finding import Finding
from recipes.covers.arrangement import Arrangement
from recipes.covers.chain import Chain, Placed
from recipes.covers.closed_rotor import ClosedRotor
from recipes.design.axle import Axle
from recipes.design.covers import Covers
from recipes.refusal import finding
from recipes.tables.bearings import Bearing

#: Coil ends stay so far off a turning cover, mm (common practice: 2, more where leads cross).
LEAST_COIL = 2.0

#: Play of a rotor that neither bearing fixes, mm: more is heard and felt (common practice).
MOST_PLAY = 0.5

#: How far the magnets may lie off the stack before they pull along the axle and lose flux, as a share
#: of its length, at least so many mm (common practice).
OFFSET_SHARE, OFFSET = 0.06, 1.0

_practice = partial(finding, source="common practice", confidence="practice")


def chain_findings(
    covers: Covers,
    axle: Axle,
    arranged: Arrangement,
    bearing: Bearing,
    put: Placed,
    found: Sequence[Chain],
) -> list[Finding]:
    """Judge every chain.

    Args:
        covers, axle: tables of the design.
        arranged: nominal places.
        bearing: both are alike.
        put: what else lies on the axle.
        found: the chains.
    """
    by_key = {chain.key: chain for chain in found}
    return [
        *_end_float(covers, by_key["end_float"]),
        *_floating_seat(covers, axle, arranged, bearing, by_key["end_float"]),
        *_held(covers, arranged, bearing, put),
        *_coil(by_key["coil_to_lead_cover"], axle, arranged, lead=True),
        *_coil(by_key["coil_to_far_cover"], axle, arranged, lead=False),
        *_offset(by_key["magnet_offset"], put.length),
    ]


def _end_float(covers: Covers, chain: Chain) -> Iterator[Finding]:
    (least, most), likely = chain.worst, chain.likely
    if least < 0.0:
        wide = chain.widest
        yield _practice(
            "stop" if likely[1] < 0.0 else "warn",
            "bearings-preloaded",
            "covers.end_float",
            f"covers.end_float = {covers.end_float:g} mm: {least:.2f} mm is left if all lengths err the "
            f"wrong way ({likely[0]:.2f} mm is likely); below zero the bolts press both bearings against "
            "their shoulders, they run hot and fail",
            value=least,
            limit=0.0,
            fix=f"use {covers.end_float - least:.2f} mm, closer tolerances (most takes: {wide.name}, "
            f"± {wide.half:.2f} mm), or measure and fit shims",
        )
    if covers.fixed == "neither" and most > MOST_PLAY:
        yield _practice(
            "warn",
            "rotor-knocks",
            "covers.fixed",
            f"neither bearing is fixed: the rotor may move {most:.2f} mm along the axle and knocks",
            value=most,
            limit=MOST_PLAY,
            fix="fix one bearing, or take the play out with shims or a wave spring washer behind one outer "
            "ring",
        )


def _floating_seat(
    covers: Covers, axle: Axle, arranged: Arrangement, bearing: Bearing, chain: Chain
) -> Iterator[Finding]:
    """The floating inner ring slides on its seat, and stays on it."""
    floating = {"lead side": (1,), "far side": (0,), "neither": ()}[covers.fixed]
    seats = sorted(axle.seats, key=lambda s: s.from_face)
    for k in floating:
        seat, field = seats[-1 if k else 0], f"axle.seats[{k + 1}]"
        if seat.fit in ("js6", "k5", "k6"):
            yield _practice(
                "warn",
                "floating-ring-tight",
                f"{field}.fit",
                f"{field}.fit = {seat.fit!r}: this bearing floats, but its inner ring sits too tight to "
                "slide",
                value=seat.fit,
                limit="h6",
                fix="use h6 or g6, or fix this bearing and let the other one float",
            )
        start = arranged.shoulders[k]
        length = seat.from_face + seat.length - start if k else start - seat.from_face
        need = bearing.width_mm + chain.worst[1] + bearing.chamfer_min_mm
        if length < need - bearing.chamfer_min_mm:
            yield _practice(
                "warn",
                "floating-seat-short",
                f"{field}.length",
                f"{field}.length = {length:g} mm: the floating bearing, {bearing.width_mm:g} mm wide, may "
                f"stand {chain.worst[1]:.2f} mm off its shoulder and leave its seat",
                value=length,
                limit=need,
                fix=f"use {math.ceil(2 * need) / 2:g} mm or more, or a smaller covers.end_float",
            )


def _held(
    covers: Covers, arranged: Arrangement, bearing: Bearing, put: Placed
) -> Iterator[Finding]:
    if covers.fixed == "neither" or put.held or covers.end_float == 0.0:
        return
    lead = covers.fixed == "lead side"
    place = (
        arranged.shoulders[0] - bearing.width_mm
        if lead
        else arranged.shoulders[1] + bearing.width_mm
    )
    yield _practice(
        "note",
        "fixed-bearing-not-held",
        "axle.grooves",
        f"nothing holds the fixed bearing on the {covers.fixed} outward: only magnets and load keep the "
        f"rotor from moving {covers.end_float:g} mm along the axle",
        value=covers.end_float,
        limit=0.0,
        fix=f"a retaining ring in a groove at the bearing's outer face, {place:g} mm from face A, and "
        "retaining compound in its housing; or a wave spring washer at the floating bearing",
    )


def _coil(chain: Chain, axle: Axle, arranged: Arrangement, *, lead: bool) -> Iterator[Finding]:
    (worst, _), (likely, _) = chain.worst, chain.likely
    if likely >= LEAST_COIL:
        return
    side, k = ("lead side", 0) if lead else ("far side", 1)
    more = math.ceil(2 * (LEAST_COIL - likely)) / 2
    field = f"axle.seats[{k + 1}].from_face"
    now = sorted(axle.seats, key=lambda s: s.from_face)[-k].from_face
    inner = arranged.inners[k]
    yield _practice(
        "stop" if chain.nominal <= 0.0 else "warn",
        "coil-meets-cover",
        field,
        f"coil ends to the cover on the {side}: {chain.nominal:.2f} mm as drawn, {worst:.2f} mm at worst, "
        f"{likely:.2f} mm is likely; the cover turns, {LEAST_COIL:g} mm keep varnish and leads off it",
        value=likely,
        limit=LEAST_COIL,
        fix=f"use {field} = {now - more if lead else now + more:g} mm, or a deeper pocket: the cover's "
        f"inner face lies {inner:.1f} mm from face A",
    )


def _offset(chain: Chain, length: float) -> Iterator[Finding]:
    off, most = max(map(abs, chain.likely)), max(OFFSET, OFFSET_SHARE * length)
    if off <= most:
        return
    wide = chain.widest
    yield _practice(
        "note",
        "magnets-off-stack",
        "covers.end_float",
        f"the magnets may lie {off:.2f} mm off the middle of a stack of {length:.1f} mm: they pull the "
        "rotor along the axle until it stands in the middle, against the bearings",
        value=off,
        limit=most,
        fix=f"most takes: {wide.name}, ± {wide.half:.2f} mm; glue the magnets where the assembled rotor "
        "wants them, or order them longer than the stack",
    )


def cover_results(closed: ClosedRotor | None) -> dict[str, float | int | str]:
    """Return figures of the covers and of the stack-up; none without covers."""
    if closed is None:
        return {}
    arranged, bolts, turned, found = closed.arranged, closed.bolts, closed.turned, closed.chains
    shape = arranged.shape
    results: dict[str, float | int | str] = {
        "cover_outside_diameter_mm": 2 * shape.outside,
        "cover_lip_bore_mm": 2 * shape.lip,
        "cover_pocket_depth_mm": shape.depth,
        "cover_bolt_circle_mm": 2 * shape.circle,
        "cover_bolt_hole_mm": shape.hole,
        "cover_bolts": bolts.number,
        "cover_bolt_length_mm": bolts.least if bolts.length is None else bolts.length,
        "covers_apart_mm": arranged.apart,
        "rotor_ring_length_mm": arranged.ring[1] - arranged.ring[0],
        "magnets_from_ring_end_mm": arranged.magnets_from_ring_end,
        "rim_speed_m_per_s": turned.rim_speed,
    }
    for side, length in zip(("lead", "far"), arranged.spacers, strict=True):
        if length:
            results[f"spacer_ring_{side}_mm"] = length
    if turned.stress is not None and turned.limit is not None and turned.energy is not None:
        results |= {
            "cover_stress_MPa": turned.stress,
            "cover_stress_limit_MPa": turned.limit,
            "rotor_energy_J": turned.energy,
        }
    for chain in found:
        results |= {
            f"{chain.key}_mm": chain.nominal,
            f"{chain.key}_worst_least_mm": chain.worst[0],
            f"{chain.key}_worst_most_mm": chain.worst[1],
            f"{chain.key}_likely_least_mm": chain.likely[0],
            f"{chain.key}_likely_most_mm": chain.likely[1],
        }
    return results


def chain_csv(found: Sequence[Chain]) -> str:
    """Return the stack-up as a table: one line for every link, then one for the gap that they leave."""
    rows = ["gap,link,sign,nominal_mm,upper_mm,lower_mm,source,field"]
    for chain in found:
        rows += [
            f'{chain.key},"{k.name}",{k.sign:+d},{_number(k.nominal)},{_number(k.upper)},'
            f'{_number(k.lower)},"{k.source}",{k.field}'
            for k in chain.links
        ]
        for name, (low, high) in (("worst case", chain.worst), ("root of squares", chain.likely)):
            upper, lower = high - chain.nominal, low - chain.nominal
            rows.append(
                f'{chain.key},"sum, {name}",=,{_number(chain.nominal)},{_number(upper)},'
                f"{_number(lower)},,"
            )
    return "\n".join(rows) + "\n"


def _number(value: float) -> str:
    return f"{round(value, 3) + 0.0:g}"
