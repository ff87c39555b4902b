"""Ranked alternatives near a pair, and the flat row of one pair."""

import json

import pytest

from recipes.study.neighbours import as_row, neighbours


def test_ranking_puts_balanced_pull_first_then_factor_then_cogging():
    found = neighbours(24, 28, reach=3, top=99)
    assert [entry.rank for entry in found] == list(range(1, len(found) + 1))
    keys = [(not e.pull_balanced, -round(e.winding_factor, 3), -e.cogging_cycles) for e in found]
    assert keys == sorted(keys)
    assert (found[0].slots, found[0].poles) == (24, 26)
    # 27/26 has the highest factor of all, but one sector only.
    highest = max(found, key=lambda e: e.winding_factor)
    assert (highest.slots, highest.poles, highest.pull_balanced) in {
        (27, 26, False),
        (27, 28, False),
    }
    assert highest.rank > max(e.rank for e in found if e.pull_balanced)


def test_equal_factors_are_ranked_by_cogging():
    # 24/26 and 24/22 share 0.949; 312 cogging cycles stand before 264.
    found = [e for e in neighbours(24, 24, reach=2) if e.slots == 24]
    assert [(e.poles, e.cogging_cycles) for e in found] == [(26, 312), (22, 264)]


def test_what_if_it_had_thirty_poles():
    found = {(e.slots, e.poles): e for e in neighbours(27, 28, reach=2, top=99)}
    assert found[27, 30].winding_factor == pytest.approx(0.945214, abs=6e-7)
    assert found[27, 30].cogging_cycles == 270
    assert found[27, 30].parallel_paths == (1, 3)
    assert found[27, 30].pull_balanced
    assert found[27, 30].pattern.startswith("U+ U- U+ ")
    assert found[27, 28].asked
    assert not found[27, 28].pull_balanced


def test_top_cuts_but_the_pair_asked_about_stays_with_its_rank():
    found = neighbours(24, 28, top=3)
    assert [e.rank for e in found[:3]] == [1, 2, 3]
    assert len(found) == 4
    assert (found[3].slots, found[3].poles, found[3].asked) == (24, 28, True)
    assert found[3].rank > 4


def test_a_pair_that_cannot_be_wound_still_gets_alternatives():
    found = neighbours(24, 18, reach=2)
    assert {(24, 20), (24, 16)} <= {(e.slots, e.poles) for e in found}
    assert not any(e.asked for e in found)


def test_alternate_teeth_pass_over_odd_slots():
    found = neighbours(12, 14, "alternate teeth", reach=2)
    assert {e.slots for e in found} == {12}
    assert {e.poles for e in found} == {14, 16}


def test_ranges_end_at_the_limits():
    assert {e.slots for e in neighbours(3, 2, top=99)} <= set(range(3, 10))
    assert max(e.poles for e in neighbours(120, 160, top=99)) <= 160


def test_row_of_a_pair():
    row = as_row(12, 14)
    assert row["winding_factor"] == pytest.approx(0.933, abs=0.001)
    assert row["winding_factor"] == pytest.approx(row["pitch_factor"] * row["distribution_factor"])
    assert (row["winding_factor_3"], row["winding_factor_5"]) == pytest.approx((0.5, 0.0669873))
    assert row["cogging_cycles_per_rev"] == 84
    assert row["parallel_paths"] == "1, 2"
    assert row["hall_slots"] == "2, 6, 10"
    assert row["hall_spacings_slots"] == "4"
    assert row["hall_spacing_mechanical_deg"] == pytest.approx(120 / 7)
    assert row["radial_pull_balanced"] is True
    assert "Bianchi" in row["source"]
    assert json.loads(json.dumps(row)) == row


def test_row_of_a_pair_that_cannot_be_wound():
    row = as_row(12, 12)
    assert row["feasible"] is False
    assert "t = gcd(12, 6) = 6" in row["reason"]
    assert row["nearest_slots_poles"] == "12/10, 12/14, 9/12, 12/8"
    assert "winding_factor" not in row
    with pytest.raises(ValueError, match=r"motor\.poles = 5: must be even .*use 4 or 6"):
        as_row(9, 5)
