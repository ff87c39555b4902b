"""Parallel paths and joints: hand-reasoned cases, all windings by sums, small ones exhaustively."""

import itertools
import math
from collections import Counter

import pytest

from recipes.winding.circuit import (
    Join,
    joint_list,
    parallel_paths,
    paths_for,
    sections,
    terminal_links,
)
from recipes.winding.layout import PHASES, WindingLayout, emf_steps, layout
from tests.support.winding import all_windings, phase_sum, teeth_sum


@pytest.mark.parametrize(
    ("slots", "poles", "sides", "legal"),
    [
        # 12/10: U on teeth 1+ 2- 7- 8+. Tooth 7 lies 5 pole pairs x 180 = 900 = 180 degrees on and is
        # wound the other way: same voltage as tooth 1. Two angles, two coils each: 1 or 2 paths.
        (12, 10, "every tooth", (1, 2)),
        (12, 14, "every tooth", (1, 2)),
        # 12/8: every third tooth is 3 x 120 = 360 degrees on: four equal coils.
        (12, 8, "every tooth", (1, 2, 4)),
        # 9/8: three coils at -20, 0, +20 degrees: no two are equal.
        (9, 8, "every tooth", (1,)),
        # 24/28 is two 12/14 machines in a row: two angles, four coils each.
        (24, 28, "every tooth", (1, 2, 4)),
        # 18/20 is two 9/10 machines, three angles with two coils each.
        (18, 20, "every tooth", (1, 2)),
        (27, 24, "every tooth", (1, 3)),
        (36, 42, "every tooth", (1, 2, 3, 6)),
        (27, 22, "every tooth", (1,)),
        # 12/10 on alternate teeth: U on teeth 1+ and 7-, equal voltages.
        (12, 10, "alternate teeth", (1, 2)),
        # 18/16 on alternate teeth: nine coils, 40 degrees apart, none equal; 2 with all teeth wound.
        (18, 16, "alternate teeth", (1,)),
        (18, 16, "every tooth", (1, 2)),
    ],
)
def test_legal_paths_by_hand(slots, poles, sides, legal):
    assert parallel_paths(layout(slots, poles, sides)) == legal


def test_every_split_of_every_winding_has_equal_voltages_and_coils():
    for winding in all_windings():
        for paths in parallel_paths(winding):
            groups = paths_for(winding, paths)
            assert tuple(groups) == PHASES
            for phase, split in groups.items():
                assert len(split) == paths
                assert sorted(itertools.chain(*split)) == list(winding.teeth_of(phase))
                assert {len(teeth) for teeth in split} == {winding.coils_per_phase // paths}
                share = phase_sum(winding, phase) / paths
                assert all(abs(teeth_sum(winding, teeth) - share) < 1e-9 for teeth in split)


def totient(number: int) -> int:
    return sum(math.gcd(number, k) == 1 for k in range(1, number + 1))


def test_condition_of_the_completeness_proof_holds_for_every_winding():
    """Coil angles are n neighbouring powers of a root of unity of order N, n <= phi(N), m each."""
    seen = set()
    for winding in all_windings():
        turn = 2 * winding.slots // math.gcd(winding.slots, winding.pole_pairs)
        steps = emf_steps(winding)
        for phase in PHASES:
            counts = Counter(steps[k] for k in winding.teeth_of(phase))
            assert set(counts.values()) == {sections(winding)}
            # The gaps round the circle: all equal but one, the rest of the turn.
            angles = sorted(counts)
            gaps = Counter(
                (b - a) % turn or turn for a, b in zip(angles, angles[1:] + angles[:1], strict=True)
            )
            if len(angles) > 1:
                step = min(gaps)
                assert gaps[step] >= len(angles) - 1, winding
                seen.add((len(angles), turn // math.gcd(turn, step)))
    assert len(seen) == 29  # n from 2 to 20, and odd n to 39
    assert all(n <= totient(order) for n, order in seen)


def splits_exist(values: list[complex], paths: int, share: complex) -> bool:
    """Search every split of some coils into `paths` groups of one size with the sum `share`."""
    if not values:
        return True
    size = len(values) // paths
    for rest in itertools.combinations(range(1, len(values)), size - 1):
        taken = (0, *rest)
        if abs(sum(values[i] for i in taken) - share) < 1e-9:
            left = [v for i, v in enumerate(values) if i not in taken]
            if paths == 1 or splits_exist(left, paths - 1, share):
                return True
    return False


def test_no_other_number_of_paths_exists_by_trying_every_split():
    tried = 0
    for winding in all_windings():
        coils = winding.coils_per_phase
        if coils > 8 or winding.poles > 40:
            continue
        values = [teeth_sum(winding, (k,)) for k in winding.teeth_of("U")]
        possible = tuple(
            paths
            for paths in range(1, coils + 1)
            if coils % paths == 0 and splits_exist(values, paths, sum(values) / paths)
        )
        assert parallel_paths(winding) == possible, winding
        tried += 1
    assert tried > 100


def test_sections_are_dealt_in_turn_so_that_each_path_reaches_all_round():
    winding = layout(24, 28)
    assert paths_for(winding, 2)["U"] == ((0, 1, 12, 13), (6, 7, 18, 19))
    assert paths_for(winding, 4)["V"] == ((4, 5), (10, 11), (16, 17), (22, 23))


def test_illegal_number_of_paths_names_field_value_and_legal_numbers():
    with pytest.raises(ValueError, match=r"winding\.parallel_paths = 3: ") as caught:
        paths_for(layout(24, 28), 3)
    assert "4 equal sections" in str(caught.value)
    assert str(caught.value).endswith("use 1, 2, 4")
    with pytest.raises(ValueError, match=r"use 1$"):
        joint_list(layout(9, 8), 0)


def test_joint_list_in_series_by_hand():
    """12/14: U on teeth 1+ 2- 7- 8+, in series through all four."""
    texts = [join.text for join in joint_list(layout(12, 14)) if join.phase == "U"]
    assert texts == [
        "U1 to tooth 1 start",
        "tooth 1 finish to tooth 2 start",
        "tooth 2 finish to tooth 7 start",
        "tooth 7 finish to tooth 8 start",
        "tooth 8 finish to U2",
    ]


def voltage_along(winding: WindingLayout, chain: list[Join]) -> tuple[complex, list[int]]:
    """Follow the copper from terminal to terminal; add each coil as it is passed through."""
    assert (chain[0].from_tooth, chain[0].from_end) == (None, f"{chain[0].phase}1")
    assert (chain[-1].to_tooth, chain[-1].to_end) == (None, f"{chain[0].phase}2")
    total, passed = 0j, []
    for join, after in itertools.pairwise(chain):
        assert join.to_tooth is not None
        assert after.from_tooth == join.to_tooth
        assert {join.to_end, after.from_end} == {"start", "finish"}
        coil = teeth_sum(winding, (join.to_tooth,))
        total += coil if join.to_end == "start" else -coil
        passed.append(join.to_tooth)
    return total, passed


def test_following_the_joints_gives_the_full_voltage_in_every_path():
    for winding in all_windings()[::13]:
        for paths in parallel_paths(winding):
            joins = joint_list(winding, paths)
            passed_all = []
            for phase in PHASES:
                for path in range(1, paths + 1):
                    chain = [j for j in joins if (j.phase, j.path) == (phase, path)]
                    total, passed = voltage_along(winding, chain)
                    assert abs(total - phase_sum(winding, phase) / paths) < 1e-9, winding
                    passed_all += passed
            assert sorted(passed_all) == [k for k, tooth in enumerate(winding.teeth) if tooth.phase]


def test_terminal_links_of_iec_60034_8():
    """Delta: the bars of the usual terminal block, U1-W2, V1-U2, W1-V2 (IEC 60034-8, from memory)."""
    assert terminal_links("wye") == (("U2", "V2", "W2"),)
    assert terminal_links("delta") == (("U1", "W2"), ("V1", "U2"), ("W1", "V2"))
    with pytest.raises(ValueError, match=r'winding\.connection = "star"'):
        terminal_links("star")
