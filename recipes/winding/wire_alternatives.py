"""Neighbouring wires and strand counts of equal copper, side by side.

Rows: three sizes up and down with the strands of the design, and every size of the same standard
and grade that gives its copper within 12 % with one to six strands in hand. Each is laid by hand
into the lined slot as the design's own wire is (same count, in the slot as rounded for the wire of
the design); resistance and heating go with copper area at equal length of turn.

Order of rows: usable ones first, then copper falling, strands rising. Usable: the turns fit, one
wire passes the lined opening, and a hand can bend it. Marked are up to three rows that are usable
and comfortable (at most 70 % of the lined slot, fewer than five wires in hand): most copper;
softest; fewest wires in hand, the last two among those with at least 97 % of the copper.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from geometry.finding import Finding
from recipes.design.units import significant
from recipes.design.winding import Winding
from recipes.insulation.liner import PASS_FACTOR, PASS_PLAY
from recipes.refusal import note
from recipes.tables.wire import Wire, list_wires
from recipes.winding.window import COMFORTABLE, EXPERT, WindingWindow

NEIGHBOURS: Final = 3
COPPER_WITHIN: Final = 0.12
MOST_STRANDS: Final = 6
ENOUGH_COPPER: Final = 0.97

MORE_COPPER: Final = 1.15
"""From so much more copper on another wire is worth buying (common practice)."""

SPARE_TURNS: Final = 1.5
"""Turns that fit, over turns asked for, from which a slot is badly used."""

CANDIDATES_TRIED: Final = 3
"""Wires that are laid one by one to find the thickest; the fill has judged them before."""

STIFF_MM: Final = 1.0
HARD_MM: Final = 1.25
FINE_MM: Final = 0.2
"""Bare diameters from or below which wire bends with effort, is hard to lay by hand (1.2 to 1.3),
breaks easily (common practice)."""

UNTIDY_STRANDS: Final = 5
"""From so many in hand they no longer lie side by side by themselves (common practice)."""

Counter = Callable[[WindingWindow], int]
"""Says how many wires hands lay into one coil side of a winding window."""


@dataclass(frozen=True)
class WireAlternative:
    """One wire with a number of strands in hand; ratios are against the design.

    Args:
        wire: row of the standard.
        strands: in hand.
        copper_ratio: copper area / that of the design.
        resistance_ratio: of lead pair and coil.
        wire_fill: sum of D^2 / room in the lined slot.
        turns_that_fit: by hand, counted as those of the design.
        fits: at least the turns of the design, within what an expert hand can fill.
        layers: rows that one coil side needs if laid row on row.
        heating_rate_K_per_s: at the design current, at the start.
        bend_ratio: strands x d^4, what the fingers feel.
        opening: "passes", "tight" (only if the opening is cut true) or "too thick".
        hand: "easy", "stiff", "untidy", "hard" or "fragile".
        own: the wire of the design.
        mark: why it is one of the best three, or "".
    """

    wire: Wire
    strands: int
    copper_ratio: float
    resistance_ratio: float
    wire_fill: float
    turns_that_fit: int
    fits: bool
    layers: int
    heating_rate_K_per_s: float
    bend_ratio: float
    opening: str
    hand: str
    own: bool
    mark: str = ""

    @property
    def usable(self) -> bool:
        """Tell whether this can be wound by hand as it stands."""
        return self.fits and self.opening != "too thick" and self.hand not in ("hard", "fragile")

    @property
    def comfortable(self) -> bool:
        """Tell whether it goes in without a practised hand."""
        return self.usable and self.wire_fill <= COMFORTABLE and self.hand != "untidy"

    @property
    def copper_mm2(self) -> float:
        """Copper area of all strands."""
        return self.strands * self.wire.copper_area_mm2


def wire_alternatives(
    own: Wire,
    winding: Winding,
    window: WindingWindow,
    opening: tuple[float, float],
    own_rate_K_per_s: float,
    count: Counter,
) -> tuple[WireAlternative, ...]:
    """Return the alternatives, best first.

    Args:
        own: wire of the design.
        winding: turns and strands of the design.
        window: of one coil side.
        opening: width of the slot's opening and how true it is cut, mm.
        own_rate_K_per_s: heating of the design at its current, at the start.
        count: wires that hands lay into one coil side.
    """
    candidates = _candidates(own, winding.strands)
    given = own, winding, window, opening, own_rate_K_per_s, count
    found = list(_judged(candidates, *given))
    found.sort(key=lambda r: (not r.usable, -r.copper_mm2, r.strands, r.wire.label))
    return _marked(found)


def _judged(
    candidates: Iterable[tuple[Wire, int]],
    own: Wire,
    winding: Winding,
    window: WindingWindow,
    opening: tuple[float, float],
    own_rate_K_per_s: float,
    count: Counter,
) -> Iterator[WireAlternative]:
    """Yield each candidate with its verdict; the rest as of `wire_alternatives`."""
    asked = winding.strands * own.copper_area_mm2
    low_x, _, high_x, _ = window.polygon.bounds
    counted: dict[float, int] = {}
    for wire, strands in candidates:
        diameter, wires = wire.overall_max_mm, strands * winding.turns
        if diameter not in counted:
            counted[diameter] = count(replace(window, diameter=diameter))
        turns = counted[diameter] // strands
        ratio = strands * wire.copper_area_mm2 / asked
        wire_fill = window.sides * wires * diameter**2 / window.lined_area
        yield WireAlternative(
            wire=wire,
            strands=strands,
            copper_ratio=ratio,
            resistance_ratio=1.0 / ratio,
            wire_fill=wire_fill,
            turns_that_fit=turns,
            fits=turns >= winding.turns and wire_fill <= EXPERT,
            layers=math.ceil(wires / max(1, int((high_x - low_x) / diameter))),
            heating_rate_K_per_s=own_rate_K_per_s / ratio**2,
            bend_ratio=strands * wire.bare_mm**4 / (winding.strands * own.bare_mm**4),
            opening=_opening(opening[0] - 2.0 * window.paper, opening[1], diameter),
            hand=_hand(wire, strands),
            own=wire.label == own.label and strands == winding.strands,
        )


def thicker_wire(
    own: Wire,
    winding: Winding,
    window: WindingWindow,
    opening: tuple[float, float],
    own_rate_K_per_s: float,
    count: Counter,
) -> WireAlternative | None:
    """Return the most copper that goes in comfortably at the turns of the design, or None.

    Only asked where the slot has much room to spare, so the first candidates that the fill lets
    through nearly always go in. Arguments as of `wire_alternatives`.
    """
    copper = winding.strands * own.copper_area_mm2
    room = COMFORTABLE * float(window.polygon.area) / winding.turns
    larger = [
        (wire, n)
        for wire in list_wires(own.standard, own.grade)
        for n in range(1, UNTIDY_STRANDS)
        if n * wire.copper_area_mm2 > MORE_COPPER * copper
        and n * wire.overall_max_mm**2 <= room
        and _opening(opening[0] - 2.0 * window.paper, opening[1], wire.overall_max_mm) == "passes"
        and _hand(wire, n) == "easy"
    ]
    larger.sort(key=lambda c: (-c[1] * c[0].copper_area_mm2, c[1]))
    tried = larger[:CANDIDATES_TRIED]
    rows = _judged(tried, own, winding, window, opening, own_rate_K_per_s, count)
    return next((row for row in rows if row.comfortable), None)


def thicker_wire_findings(
    found: WireAlternative | None,
    winding: Winding,
    window: WindingWindow,
    fit: int,
    loss_W: float,
    to_touch_s: float,
) -> list[Finding]:
    """Propose the wire that uses the room of a slot in which far more turns would fit.

    Args:
        found: that wire; None if there is none.
        winding, window: of the design.
        fit: turns of the design's own wire that fit by hand.
        loss_W: in the copper of the design at 20 C.
        to_touch_s: until the design's copper is too hot to touch.
    """
    if found is None:
        return []
    ratio = found.resistance_ratio
    own = f"{winding.strands} x {winding.wire}" if winding.strands > 1 else str(winding.wire)
    new = f"{found.strands} x {found.wire.label}" if found.strands > 1 else found.wire.label
    return [
        note(
            "room-for-thicker-wire",
            "winding.wire",
            f"winding.turns = {winding.turns} of {own}: {fit} would fit, so the slot is filled to "
            f"{100 * window.wire_fill:.0f} %; {new} at the same turns fills it to "
            f"{100 * found.wire_fill:.0f} % and has {100 * ratio:.0f} % of the resistance: about "
            f"{significant(loss_W * ratio, 3)} W instead of {significant(loss_W, 3)} W in the copper, and "
            f"{significant(to_touch_s / ratio**2, 3)} s instead of {significant(to_touch_s, 3)} s to the touch limit",
            value=winding.turns,
            limit=fit,
            fix=f"use wire {found.wire.label} with strands = {found.strands}, or more turns if less speed per "
            "volt is wanted",
            source="wires laid in the lined slot; length of turn taken as equal",
            confidence="practice",
        )
    ]


def _candidates(own: Wire, strands: int) -> list[tuple[Wire, int]]:
    """Return (wire, strands) of every row, each once."""
    wires = list_wires(own.standard, own.grade)
    at = next(i for i, wire in enumerate(wires) if wire.label == own.label)
    near = wires[max(0, at - NEIGHBOURS) : at + NEIGHBOURS + 1]
    copper = strands * own.copper_area_mm2
    equal = [
        (wire, n)
        for n in range(1, MOST_STRANDS + 1)
        for wire in wires
        if abs(n * wire.copper_area_mm2 / copper - 1.0) <= COPPER_WITHIN
    ]
    return list(dict.fromkeys([(wire, strands) for wire in near] + equal))


def _opening(clear: float, tolerance: float, diameter: float) -> str:
    """Judge the lined opening for one wire at a time (common practice); all in mm."""
    need = PASS_FACTOR * diameter + PASS_PLAY
    if clear < need:
        return "too thick"
    return "passes" if clear - tolerance >= need else "tight"


def _hand(wire: Wire, strands: int) -> str:
    if wire.bare_mm > HARD_MM:
        return "hard"
    if wire.bare_mm < FINE_MM:
        return "fragile"
    if strands >= UNTIDY_STRANDS:
        return "untidy"
    return "stiff" if wire.bare_mm > STIFF_MM else "easy"


def _marked(rows: list[WireAlternative]) -> tuple[WireAlternative, ...]:
    """Mark up to three comfortable rows, each for a reason of its own."""
    good = [r for r in rows if r.comfortable]
    enough = [r for r in good if r.copper_ratio >= ENOUGH_COPPER] or good
    reasons: dict[int, str] = {}

    def mark(
        pool: list[WireAlternative], key: Callable[[WireAlternative], tuple[float, ...]], say: str
    ) -> None:
        left = [r for r in pool if id(r) not in reasons]
        if left:
            best = min(left, key=key)
            reasons[id(best)] = say.format(
                copper=100.0 * best.copper_ratio,
                cool=100.0 * best.resistance_ratio**2,
                bend=100.0 * best.bend_ratio,
                n=best.strands,
            )

    mark(
        good,
        lambda r: (-r.copper_mm2, r.strands, r.bend_ratio),
        "least heat: {copper:.0f} % of the copper, heats {cool:.0f} % as fast",
    )
    mark(
        enough,
        lambda r: (r.bend_ratio, r.strands, -r.copper_mm2),
        "softest with enough copper: {bend:.0f} % of the bending force, {copper:.0f} % of the copper",
    )
    mark(
        enough,
        lambda r: (r.strands, r.wire.series == "R40", -r.copper_mm2),
        "fewest to keep in order: {n} in hand, {copper:.0f} % of the copper",
    )
    return tuple(replace(r, mark=reasons.get(id(r), "")) for r in rows)


def wire_alternative_results(
    rows: Sequence[WireAlternative],
) -> dict[str, float | int | str]:
    """Return the best three wires, each with its reason, for `results.json`."""
    best = [r for r in rows if r.mark]
    return {
        f"ladder_{k}": f"{r.strands} x {r.wire.label}: {r.mark}"
        for k, r in enumerate(best, start=1)
    }
