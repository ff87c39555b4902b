"""Neighbours and equal copper: rows, verdicts, and which three are marked."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from recipes.assess import assess
from recipes.searches import thicker_wire
from recipes.searches import wire_alternatives as solved_alternatives
from recipes.winding.window import WindingWindow
from recipes.winding.wire_alternatives import (
    COPPER_WITHIN,
    Counter,
    WireAlternative,
    wire_alternatives,
)
from tests.support.wire import STARTERS, job_of


def by_area(window: WindingWindow) -> int:
    """Stand-in for hands: a square of 1.04 D for each wire."""
    return int(window.polygon.area / (1.04 * window.diameter) ** 2)


def found(name: str, count: Counter = by_area, /, **changes: object) -> tuple[WireAlternative, ...]:
    j = job_of(name, 1.613, **changes)
    opening = j.design.lamination.slot_opening, j.process.tolerance_mm
    rate = j.heating[0].rate_K_per_s
    return wire_alternatives(j.wire, j.design.winding, j.window, opening, rate, count)


def row(rows: tuple[WireAlternative, ...], strands: int, label: str) -> WireAlternative:
    return next(r for r in rows if (r.strands, r.wire.label) == (strands, label))


def test_rows_of_the_potters_wheel() -> None:
    """2 x 0.75 mm: R40 neighbours 0.63 to 0.90, and equal copper by d = 0.75 sqrt(2/n)."""
    rows = found("potters-wheel")
    pairs = {r.wire.label for r in rows if r.strands == 2}
    assert pairs == {"0.63 mm", "0.67 mm", "0.71 mm", "0.75 mm", "0.80 mm", "0.85 mm", "0.90 mm"}
    for n in (1, 3, 4, 5, 6):
        nearest = 0.75 * math.sqrt(2 / n)
        sizes = [r.wire.bare_mm for r in rows if r.strands == n]
        assert sizes
        assert all(abs(d / nearest - 1) < 0.062 for d in sizes)
    assert len(rows) == len({(r.strands, r.wire.label) for r in rows})
    assert {r.wire.grade for r in rows} == {2}
    assert [(r.strands, r.wire.label) for r in rows if r.own] == [(2, "0.75 mm")]


def test_ratios_by_hand() -> None:
    """4 x 0.56 against 2 x 0.75: copper 4 x 0.56^2 / (2 x 0.75^2), bend 4 x 0.56^4 / (2 x 0.75^4)."""
    rows = found("potters-wheel")
    r = row(rows, 4, "0.56 mm")
    assert r.copper_ratio == pytest.approx(1.11502, abs=1e-5)
    assert r.resistance_ratio == pytest.approx(1 / 1.11502, abs=1e-5)
    assert r.bend_ratio == pytest.approx(0.621637, abs=1e-5)
    own = row(rows, 2, "0.75 mm")
    assert own.copper_ratio == own.bend_ratio == own.resistance_ratio == 1.0
    assert own.heating_rate_K_per_s == pytest.approx(0.51851, abs=1e-4)
    assert r.heating_rate_K_per_s == pytest.approx(0.51851 / 1.11502**2, abs=1e-4)
    assert (
        r.turns_that_fit
        == by_area(replace(job_of("potters-wheel", 1.613).window, diameter=r.wire.overall_max_mm))
        // 4
    )


def test_awg_halves_its_area_every_three_numbers() -> None:
    """Rule of the gauge: 3 numbers up, x 0.4988 in area; so 24 = two 27 = four 30 within 1 %."""
    rows = found("wool-spinner")
    for strands, label in ((2, "27 AWG"), (4, "30 AWG")):
        assert row(rows, strands, label).copper_ratio == pytest.approx(1.0, abs=0.012)


def test_layers_are_rows_along_the_tooth() -> None:
    rows, fill = found("kayak-thruster"), job_of("kayak-thruster", 0.813).window
    depth = fill.polygon.bounds[2] - fill.polygon.bounds[0]
    assert depth == pytest.approx(10.962, abs=1e-3)
    assert row(rows, 4, "0.53 mm").layers == 3  # 40 wires, 18 of 0.6 mm in a row
    assert row(rows, 1, "1.00 mm").layers == 1  # 10 wires, 10 of 1.094 mm in a row
    assert row(rows, 1, "1.06 mm").layers == 2


def test_the_opening_is_judged_for_one_wire_between_two_papers() -> None:
    """R16: 1.15 D + 0.2 in the opening less 2 papers; laser cuts 0.1 mm or so to either side."""
    base = {"liner__thickness": 0.18, "winding__strands": 1, "winding__wire": "1.06 mm"}
    overall = 1.157  # 1.06 grade 2: enamel of 1.120, 1.217 - 1.120, iec60317_round.csv
    need = 1.15 * overall + 0.2 + 0.36
    words = []
    for opening in (need - 0.005, need + 0.02, need + 0.5):
        rows = found("potters-wheel", lamination__slot_opening=opening, **base)
        r = row(rows, 1, "1.06 mm")
        assert r.wire.overall_max_mm == pytest.approx(overall)
        words.append((r.opening, r.usable))
    assert words == [("too thick", False), ("tight", True), ("passes", True)]


@pytest.mark.parametrize(
    ("wire", "strands", "word", "usable"),
    [
        ("1.32 mm", 1, "hard", False),
        ("1.25 mm", 1, "stiff", True),
        ("1.00 mm", 1, "easy", True),
        ("0.45 mm", 5, "untidy", True),
    ],
)
def test_what_a_hand_can_bend(wire: str, strands: int, word: str, usable: bool) -> None:
    changes = {"winding__wire": wire, "winding__strands": strands, "winding__turns": 9}
    r = row(found("potters-wheel", **changes), strands, wire)
    assert (r.hand, r.usable) == (word, usable)


def test_three_are_marked_for_three_reasons() -> None:
    rows = found("potters-wheel", winding__turns=19)
    marked = [r for r in rows if r.mark]
    assert [r.mark.split(":")[0] for r in sorted(marked, key=lambda r: r.mark)] == [
        "fewest to keep in order", "least heat", "softest with enough copper",
    ]  # fmt: skip
    assert all(r.comfortable for r in marked)
    good = [r for r in rows if r.comfortable]
    heat, soft, few = (
        next(r for r in marked if r.mark.startswith(word)) for word in ("least", "soft", "few")
    )
    assert heat.copper_mm2 == max(r.copper_mm2 for r in good)
    enough = [r for r in good if r.copper_ratio >= 0.97]
    assert soft.bend_ratio == min(r.bend_ratio for r in enough)
    assert few.strands == 1
    assert f"{100 * heat.copper_ratio:.0f} % of the copper" in heat.mark


def test_rows_that_cannot_be_wound_come_last_and_unmarked() -> None:
    rows = found("potters-wheel", winding__turns=37)
    usable = [r.usable for r in rows]
    assert usable == sorted(usable, reverse=True)
    assert not all(usable)
    good = [r.copper_mm2 for r in rows if r.usable]
    assert good == sorted(good, reverse=True)
    assert all(not r.mark for r in rows if not r.comfortable)
    assert all(r.turns_that_fit >= 37 for r in rows if r.usable)


def test_nothing_is_marked_where_nothing_fits() -> None:
    rows = found("potters-wheel", winding__turns=180)
    assert not any(r.usable for r in rows)
    assert not any(r.mark for r in rows)


def test_more_than_an_expert_fills_does_not_fit() -> None:
    # 0.80 of the room: counted circles would say yes, hands say no
    rows = found("potters-wheel", lambda *_: 10**6, winding__turns=37)
    assert any(r.wire_fill > 0.80 for r in rows)
    assert all(r.fits == (r.wire_fill <= 0.80) for r in rows)


@pytest.mark.parametrize("name", STARTERS)
def test_starters_as_hands_lay_them(name: str) -> None:
    job = job_of(name)
    rows = solved_alternatives(job)
    own = next(r for r in rows if r.own)
    assert own.fits
    # one count of turns: the table says of the design's own wire what the design says
    assert own.turns_that_fit == job.conductors.turns_that_fit
    assert 1 <= sum(bool(r.mark) for r in rows) <= 3
    assert all(abs(r.copper_ratio - 1) <= COPPER_WITHIN or r.strands == own.strands for r in rows)
    assert rows == solved_alternatives(job_of(name))


def roomy(**changes: object) -> dict[str, object]:
    return {"winding__turns": 20, "winding__wire": "23 AWG", "winding__strands": 1, **changes}


def test_a_slot_with_much_room_to_spare_gets_a_thicker_wire_with_what_it_saves() -> None:
    """AWG: two numbers up are 1.59 x the copper (92^(2 x 2/39), ASTM B258)."""
    j = job_of("wool-spinner", **roomy())
    assert j.conductors.turns_that_fit > 2 * 20
    better = thicker_wire(j)
    assert better is not None
    numbers = 23 - int(better.wire.label.split()[0])
    by_gauge = better.strands * 92 ** (2 * numbers / 39)
    assert better.copper_ratio == pytest.approx(by_gauge, rel=0.01)
    assert better.copper_ratio > 1.5
    assert better.wire_fill <= 0.70
    (said,) = [f for f in assess(j, whole=False).findings if f.code == "room-for-thicker-wire"]
    assert said.level == "note"
    assert (said.value, said.limit) == (20, j.conductors.turns_that_fit)
    loss, touch = j.steady_heat.loss_20C_W, j.heating[0].to_touch_s
    assert (
        f"about {loss / by_gauge:.2g}" in said.message
        or f"{loss * better.resistance_ratio:.3g} W" in said.message
    )
    assert f"{touch * better.copper_ratio**2:.3g} s instead of {touch:.3g} s" in said.message
    # who follows it gets the heat that was promised, and turns that fit
    changes = roomy(winding__wire=better.wire.label, winding__strands=better.strands)
    after = job_of("wool-spinner", **changes)
    assert after.conductors.turns_that_fit >= 20
    assert after.heating[0].to_touch_s == pytest.approx(touch * better.copper_ratio**2, rel=0.02)
    assert after.steady_heat.loss_20C_W == pytest.approx(loss * better.resistance_ratio, rel=0.06)
    assert thicker_wire(after) is None


@pytest.mark.parametrize("name", STARTERS)
def test_a_slot_that_is_used_gets_no_such_word(name: str) -> None:
    assert thicker_wire(job_of(name)) is None
