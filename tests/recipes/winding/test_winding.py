"""The layout tooth by tooth: balance, common patterns, direction, symmetry and radial pull.

Outside values: tests/reference/winding_layouts.csv (source in its first lines). Everything else is
checked against sums written out here, over every pair in the range.
"""

import cmath
import itertools
import math

import pytest

from recipes.winding import layout as w
from tests.support.winding import all_windings, pair_name, phase_sum, read_reference

LAYOUTS = read_reference("winding_layouts.csv")


def test_every_winding_in_the_range_is_balanced():
    windings = all_windings()
    assert len(windings) == 3620
    turn = cmath.exp(2j * math.pi / 3)
    for winding in windings:
        u, v, x = (phase_sum(winding, phase) for phase in "UVW")
        assert abs(u) > 0.01, winding
        assert abs(v - u * turn) < 1e-9, winding
        assert abs(x - u * turn * turn) < 1e-9, winding
        counts = {len(winding.teeth_of(phase)) for phase in w.PHASES}
        assert counts == {winding.coils_per_phase}
        assert abs(w.phasor(winding, "U") - u) < 1e-9


def test_no_layout_has_a_higher_factor():
    """No phase axis lets the coils, each at its nearest axis, add up to more than the layout."""
    for winding in all_windings()[::37]:
        angles = [
            math.pi * winding.poles * k / winding.slots
            for k, tooth in enumerate(winding.teeth)
            if tooth.phase
        ]
        total = sum(abs(phase_sum(winding, phase)) for phase in "UVW")
        for i in range(60):
            axis = math.radians(i + 0.5)
            bound = sum(
                max(abs(math.cos(a - axis - n * math.pi / 3)) for n in range(3)) for a in angles
            )
            assert bound <= total + 1e-9, winding


def test_first_tooth_starts_the_longest_u_run_and_alternate_teeth_are_bare():
    for winding in all_windings():
        coils = "".join(tooth.phase for tooth in winding.teeth)
        first_run = len(coils) - len(coils.lstrip("U"))
        # Tooth 1 begins a run, so no run goes over the end of the text.
        assert first_run == max(len(run) for run in coils.replace("V", "W").split("W")), winding
        assert winding.teeth[0] == w.Tooth("U", 1)
        step = 1 if winding.coil_sides == "every tooth" else 2
        assert winding.teeth[-step].phase != "U"
        assert all((tooth.phase != "") is (k % step == 0) for k, tooth in enumerate(winding.teeth))
        assert all(tooth.sense == 0 for tooth in winding.teeth if not tooth.phase)


@pytest.mark.parametrize("row", LAYOUTS, ids=pair_name)
def test_layout_is_the_common_one_up_to_rotation_phase_names_and_turning_round(row):
    slots, poles = int(row["slots"]), int(row["poles"])
    common = [(mark[0], 1 if mark[1] == "+" else -1) for mark in row["layout"].split()]
    ours = [(tooth.phase, tooth.sense) for tooth in w.layout(slots, poles).teeth]
    same = [
        (shift, names, sign)
        for shift in range(slots)
        for names in itertools.permutations("UVW")
        for sign in (1, -1)
        if all(
            ours[(k + shift) % slots] == (names["UVW".index(phase)], sense * sign)
            for k, (phase, sense) in enumerate(common)
        )
    ]
    assert same
    factor = w.winding_factors(w.layout(slots, poles), (1,))[1].winding
    assert factor == pytest.approx(float(row["kw1"]), abs=6e-7)


def test_printed_patterns():
    assert w.layout(12, 14).pattern == "U+ U- W- W+ V+ V- U- U+ W+ W- V- V+"
    assert w.layout(12, 10, "alternate teeth").pattern == "U+ . V- . W+ . U- . V+ . W- ."
    # Odd z: two coils one way, one the other way, in each phase and repeat.
    assert w.layout(18, 20).pattern == " ".join(["U+ U- U+ W+ W- W+ V+ V- V+"] * 2)


def test_field_turns_towards_rising_tooth_index_when_fed_in_sequence_u_v_w():
    """Add the three phases' pole-pair waves at two instants and see where the crest has gone."""
    for slots, poles in ((12, 14), (12, 10), (9, 8), (24, 28)):
        winding = w.layout(slots, poles)
        sums = [phase_sum(winding, phase) for phase in "UVW"]

        def crest(time_rad: float, sums: list[complex] = sums) -> float:
            field = sum(math.cos(time_rad - n * 2 * math.pi / 3) * s for n, s in enumerate(sums))
            return cmath.phase(field)

        moved = (crest(0.31) - crest(0.07)) % (2 * math.pi)
        assert moved == pytest.approx(0.24, abs=1e-9)


def own_sectors(winding: w.WindingLayout) -> int:
    """Most equal sectors in which coils (all senses kept or all turned) and magnets repeat."""
    q = winding.slots
    for sectors in range(math.gcd(q, winding.poles), 0, -1):
        if math.gcd(q, winding.poles) % sectors:
            continue
        flip = -1 if winding.poles // sectors % 2 else 1
        shift = q // sectors
        if all(
            winding.teeth[(k + shift) % q] == w.Tooth(tooth.phase, flip * tooth.sense)
            for k, tooth in enumerate(winding.teeth)
        ):
            return sectors
    raise AssertionError("one sector always repeats")


def test_symmetry_is_the_layouts_own_and_pull_agrees_with_two_other_rules():
    """Three rules for a balanced pull agree on all windings.

    Sectors of the layout; coil places of each phase cancel as vectors; and no armature wave with
    one pole pair more or less than the magnets (two such waves make a side pull).
    """
    pull_seen = set()
    for winding in all_windings():
        sectors = own_sectors(winding)
        assert sectors == w.symmetry(winding.slots, winding.poles, winding.coil_sides), winding
        balanced = w.radial_pull_balanced(winding)
        assert balanced is (sectors > 1)
        places = [
            abs(sum(cmath.exp(2j * math.pi * k / winding.slots) for k in winding.teeth_of(p)))
            for p in w.PHASES
        ]
        assert balanced is (max(places) < 1e-9), winding
        pull_seen.add((winding.coil_sides, balanced))
    assert len(pull_seen) == 4


def test_side_pull_comes_from_waves_one_pole_pair_apart():
    turn = cmath.exp(2j * math.pi / 3)
    for winding in all_windings()[::11]:
        waves = []
        for pairs in (winding.pole_pairs - 1, winding.pole_pairs + 1):
            u, v, x = (
                sum(
                    tooth.sense * cmath.exp(2j * math.pi * pairs * k / winding.slots)
                    for k, tooth in enumerate(winding.teeth)
                    if tooth.phase == phase
                )
                for phase in "UVW"
            )
            waves += [abs(u + v * turn + x * turn**2), abs(u + v * turn**2 + x * turn)]
            if pairs == 0 or pairs % winding.slots == 0:
                waves = waves[:-2]
        assert w.radial_pull_balanced(winding) is (max(waves, default=0.0) < 1e-8), winding


@pytest.mark.parametrize(
    ("slots", "poles", "sides", "balanced"),
    [
        (9, 8, "every tooth", False),
        (15, 14, "every tooth", False),
        (12, 14, "every tooth", True),
        (27, 24, "every tooth", True),  # three sectors
        (18, 16, "every tooth", True),
        (18, 16, "alternate teeth", False),  # half a turn sets coils on bare teeth
        (12, 14, "alternate teeth", True),
        (6, 4, "alternate teeth", False),  # one coil a phase pulls to its own side
    ],
)
def test_radial_pull(slots, poles, sides, balanced):
    assert w.radial_pull_balanced(w.layout(slots, poles, sides)) is balanced
