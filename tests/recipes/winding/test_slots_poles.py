"""What slots and poles alone decide: which pairs can be wound, winding factors, cogging.

Outside values: tests/reference/winding_factors.csv (sources in its first lines).
"""

import cmath
import itertools
import math

import pytest

from recipes.winding import layout as w
from recipes.winding.layout import is_balanced
from tests.support.winding import (
    all_windings,
    closed_form_distribution,
    pair_name,
    phase_sum,
    read_reference,
    threes,
)

FACTORS = read_reference("winding_factors.csv")
ORDERS = (1, 3, 5, 7, 9, 11, 13, 47)


def test_feasible_is_the_three_count_of_slots_against_pole_pairs_over_the_whole_range():
    for sides, even_only in (("every tooth", False), ("alternate teeth", True)):
        for slots in range(3, 121):
            for poles in range(2, 161, 2):
                expected = threes(slots) > threes(poles // 2) and not (even_only and slots % 2)
                # Only the bare rule here: the message of a refusal costs a search.
                assert is_balanced(slots, poles, sides) is expected, (slots, poles)


@pytest.mark.parametrize("row", FACTORS, ids=pair_name)
def test_feasible_agrees_with_reference(row):
    answer = w.feasible(int(row["slots"]), int(row["poles"]), row["coil_sides"])
    assert bool(answer) is (row["feasible"] == "1")


@pytest.mark.parametrize(
    ("slots", "poles"), [(12, 6), (12, 12), (15, 12), (15, 18), (24, 18), (30, 24), (33, 30)]
)
def test_infeasible_pair_is_refused_with_field_value_limit_and_a_fix_that_works(slots, poles):
    answer = w.feasible(slots, poles)
    assert not answer
    assert answer.field == "motor.poles"
    assert answer.value == f"{poles} with motor.slots = {slots}"
    assert "z = " in answer.limit
    with pytest.raises(ValueError, match=r"motor\.poles") as caught:
        w.layout(slots, poles)
    assert str(caught.value) == answer.message
    pairs = [tuple(map(int, p.split("/"))) for p in answer.fix.split(": ")[1].split(", ")]
    assert len(pairs) == 4
    assert all(w.feasible(*pair) for pair in pairs)


def test_reason_shows_the_arithmetic():
    assert w.feasible(24, 18).message == (
        "motor.poles = 18 with motor.slots = 24: 24 coils and 9 pole pairs give "
        "t = gcd(24, 9) = 3 and z = 24/(3 x 3) = 2.667 coils a phase and repeat, which must be "
        "a whole number for three equal phases; "
        "nearest that work (slots/poles): 24/20, 24/16, 27/18, 24/22"
    )


@pytest.mark.parametrize(
    ("arguments", "field", "words"),
    [
        ((10, 8), "motor.slots", "multiple of 3"),
        ((2, 4), "motor.slots", "from 3 to 120"),
        ((123, 4), "motor.slots", "from 3 to 120"),
        ((12.0, 10), "motor.slots", "whole number"),
        ((12, 162), "motor.poles", "from 2 to 160"),
        ((12, 7), "motor.poles", "use 6 or 8 poles"),
        ((15, 14, "alternate teeth"), "motor.slots", 'set winding.coil_sides = "every tooth"'),
        ((12, 10, "each tooth"), "winding.coil_sides", '"every tooth" or "alternate teeth"'),
    ],
)
def test_bad_input_names_the_field_and_the_way_out(arguments, field, words):
    w.layout(12, 10)  # an answer that is kept: 12.0 equals 12
    with pytest.raises(ValueError, match=r"must|need") as caught:
        w.layout(*arguments)
    assert str(caught.value).startswith(f"{field} = ")
    assert words in str(caught.value)


def test_small_stators_by_trying_every_layout():
    """Six coils: all 5760 layouts with two coils a phase; which are balanced, and how good?"""
    sharings = set(itertools.permutations("UUVVWW"))
    for poles in range(2, 26, 2):
        spokes = [cmath.exp(1j * math.pi * poles * k / 6) for k in range(6)]
        best = 0.0
        for sharing in sharings:
            coils = {p: [spokes[k] for k in range(6) if sharing[k] == p] for p in "UVW"}
            for signs in itertools.product((1, -1), repeat=3):
                u, v, x = (c[0] + s * c[1] for c, s in zip(coils.values(), signs, strict=True))
                turned = (cmath.exp(2j * math.pi / 3), cmath.exp(-2j * math.pi / 3))
                for a, b, c in itertools.product((1, -1), turned, (1, -1)):
                    if abs(a * v - u * b) < 1e-9 and abs(c * x - u * b * b) < 1e-9:
                        best = max(best, abs(u) / 2)
        assert (best > 1e-9) is bool(w.feasible(6, poles)), poles
        if best > 1e-9:
            assert best == pytest.approx(closed_form_distribution(w.layout(6, poles), 1))


@pytest.mark.parametrize("row", [r for r in FACTORS if r["published_3dec"]], ids=pair_name)
def test_published_three_digit_factor(row):
    """Published to three digits (from memory, see the file): 0.001 leaves room for their rounding."""
    winding = w.layout(int(row["slots"]), int(row["poles"]), row["coil_sides"])
    factor = w.winding_factors(winding, (1,))[1].winding
    assert factor == pytest.approx(float(row["published_3dec"]), abs=0.001)


@pytest.mark.parametrize("row", [r for r in FACTORS if r["kw1"]], ids=pair_name)
def test_six_digit_factor_with_pitch_and_distribution(row):
    winding = w.layout(int(row["slots"]), int(row["poles"]), row["coil_sides"])
    found = w.winding_factors(winding, (1,))[1]
    assert found.winding == pytest.approx(float(row["kw1"]), abs=6e-7)
    assert found.pitch == pytest.approx(float(row["kp"]), abs=6e-7)
    assert found.distribution == pytest.approx(float(row["kd"]), abs=6e-7)


@pytest.mark.parametrize("poles", [10, 14])
def test_twelve_slots_alternate_teeth_give_the_sine_of_75_degrees(poles):
    found = w.winding_factors(w.layout(12, poles, "alternate teeth"), (1,))[1]
    assert found.winding == pytest.approx(math.sin(math.radians(75)), abs=1e-12)
    assert found.distribution == pytest.approx(1.0, abs=1e-12)


def test_phasors_and_closed_form_agree_for_every_winding_and_harmonic():
    for winding in all_windings():
        found = w.winding_factors(winding, ORDERS)
        for order in ORDERS:
            closed = closed_form_distribution(winding, order)
            distribution = abs(phase_sum(winding, "U", order)) / winding.coils_per_phase
            pitch = abs(math.sin(order * math.pi * winding.poles / 2 / winding.slots))
            assert abs(found[order].distribution - closed) < 1e-9, (winding, order)
            assert found[order].winding == found[order].pitch * found[order].distribution
            assert abs(found[order].distribution - distribution) < 1e-9, (winding, order)
            assert abs(found[order].pitch - pitch) < 1e-9, (winding, order)


@pytest.mark.parametrize("order", [0, -1, 2])
def test_orders_a_rotor_cannot_have_are_refused(order):
    with pytest.raises(ValueError, match=f"order = {order}: must be odd"):
        w.winding_factors(w.layout(12, 14), (order,))


@pytest.mark.parametrize(
    "row",
    [r for r in FACTORS if r["cogging_cycles_per_rev"]],
    ids=pair_name,
)
def test_cogging_cycles_and_symmetry_agree_with_reference(row):
    slots, poles = int(row["slots"]), int(row["poles"])
    assert w.cogging_cycles(slots, poles) == int(row["cogging_cycles_per_rev"])
    if row["gcd_slots_poles"]:
        assert w.symmetry(slots, poles) == int(row["gcd_slots_poles"])


def test_cogging_anchors():
    """Values of the trade for common pairs; also gcd x lcm = slots x poles."""
    anchors = {(12, 10): 60, (12, 14): 84, (9, 8): 72, (36, 40): 360, (36, 42): 252}
    for (slots, poles), cycles in anchors.items():
        assert w.cogging_cycles(slots, poles) == cycles
        assert cycles * w.symmetry(slots, poles) == slots * poles
