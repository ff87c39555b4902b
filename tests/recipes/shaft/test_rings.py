"""Grooves for retaining rings: size by DIN 471, rules, notch, drawing, order.

Values of the ring for 25 mm: groove 23.9 mm, 1.3 mm wide, n 1.7 mm, FN 7.05 kN (DIN 471, checked in
tests/recipes/tables/test_retaining_rings.py). The axle: the potter's wheel, ends of 24.8 mm.
"""

from __future__ import annotations

import pytest

from geometry.drafting.drawing import Text
from recipes.assess import assess
from recipes.catalogue import Parts
from recipes.report.order import order_lines
from recipes.report.steps_rotor import bearings_step
from tests.support.design import job
from tests.support.page import book

#: Rings beside both bearings of 25 mm, outside them.
RINGED = {"axle__grooves": [{"from_face": 20.7, "ring": 25}, {"from_face": 132, "ring": 25}]}

#: One where nothing bends the axle: the notch costs no strength.
UNLOADED = {"axle__grooves": [{"from_face": 132, "ring": 25}]}


def one(**changes: float) -> dict[str, list[dict[str, float]]]:
    return {"axle__grooves": [{"from_face": 20.7, "ring": 25, **changes}]}


def told(changes: dict) -> dict[str, tuple]:
    return {
        f.code: (f.level, f.field, f.value, f.limit)
        for f in assess(job(**changes), whole=False).findings
        if f.field.startswith("axle.grooves[") and not f.code.startswith("axle-")
    }


def test_a_ring_gives_the_groove_its_size() -> None:
    """Red before: width and diameter had to be typed, and nothing held them against a ring."""
    made = job(**RINGED)
    cut = [(p.start, p.end, p.diameter) for p in made.pieces if p.first == "groove"]
    assert cut == [(20.7, 22.0, 23.9), (132.0, 133.3, 23.9)]
    assert told(RINGED) == {}


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        (one(ring=23.5), {"no-such-ring": ("stop", "axle.grooves[1].ring", 23.5, None)}),
        (
            {"axle__grooves": [{"from_face": 20.7, "width": 1.3}]},
            {"groove-without-size": ("stop", "axle.grooves[1].ring", None, None)},
        ),
        (
            one(ring=24),
            {"ring-not-for-shaft": ("stop", "axle.grooves[1].ring", 24, 24.8)},
        ),
        (
            one(ring=26),
            {"ring-not-for-shaft": ("stop", "axle.grooves[1].ring", 26, 24.8)},
        ),
        (
            one(diameter=24.1),
            {"ring-groove-shallow": ("stop", "axle.grooves[1].diameter", 24.1, 23.9)},
        ),
        (
            one(diameter=23.6),
            {"ring-groove-deep": ("warn", "axle.grooves[1].diameter", 23.6, 23.69)},
        ),
        (one(width=1.2), {"ring-groove-narrow": ("stop", "axle.grooves[1].width", 1.2, 1.3)}),
        (
            {**one(from_face=1.6), "axle__load": {"force": 350, "overhang": 215}},  # no frame there
            {"groove-near-end": ("warn", "axle.grooves[1].from_face", 1.6, 1.7)},
        ),
        (
            {"axle__grooves": [{"from_face": 20.7, "width": 1.3, "diameter": 23.9}]},
            {"groove-without-ring": ("note", "axle.grooves[1].ring", None, None)},
        ),
        (
            {"axle__grooves": [{"from_face": 112, "ring": 30}], "axle__land_diameter": 30},
            {},
        ),
    ],
)
def test_rules(changes: dict, expected: dict) -> None:
    got = told(changes)
    for code in expected:
        assert got[code] == expected[code]
    assert set(got) <= {*expected, "ring-cannot-pass", "groove-not-cut"}


def test_a_ring_between_two_thicker_places_cannot_get_there() -> None:
    changes = {"axle__grooves": [{"from_face": 40, "ring": 24}], "axle__land_diameter": 24}
    assert told(changes)["ring-cannot-pass"][:2] == ("stop", "axle.grooves[1].from_face")


def test_a_wall_also_ends_at_a_lower_step() -> None:
    """A groove 1.2 mm before another leaves 1.2 mm, not 22."""
    changes = {"axle__grooves": [{"from_face": z, "ring": 25} for z in (10, 12.5)]}
    assert told(changes)["groove-near-end"][2:] == (1.2, 1.7)


def test_what_the_groove_holds() -> None:
    """FN 7.05 kN x yield / 200 MPa, depth as cut (24.8 - 23.9) / 2 = 0.45 of t = 0.55 mm."""
    made = assess(job(**RINGED), whole=False)
    steel = made.results["axle_yield_MPa"]
    assert made.results["retaining_ring_1"] == "DIN 471 - 25x1.2"
    assert made.results["retaining_ring_2_groove_yields_N"] == pytest.approx(
        7050 * steel / 200 * 0.45 / 0.55, rel=1e-6
    )
    assert made.results["retaining_ring_1_ring_holds_N"] == 3700


def test_a_ring_groove_is_a_notch_of_shigley_table_7_1() -> None:
    made = job(**RINGED)
    notch = {p.name: p.notch for p in made.axle_strength.spikes}["groove"]
    assert (notch.bending, notch.torsion) == (5.0, 3.0)


def test_drawing_says_groove_tolerances_and_ring() -> None:
    (part,) = Parts(job(**RINGED))["axle"]
    words = [t.text for d in part.drawings for t in d.items if isinstance(t, Text)]
    assert {"2 × groove 1.3 +0.14/0", "⌀23.9 0/−0.21", "ring DIN 471 - 25x1.2"} <= set(words)


def test_equal_rings_are_one_line_of_the_order() -> None:
    made = job(**RINGED)
    (line,) = [x for x in order_lines(made, (), {}) if x.item.startswith("retaining ring")]
    assert (line.quantity, line.addressee) == (2, "bearing merchant")
    assert line.size.startswith("DIN 471 - 25x1.2, for a groove 1.30 mm")
    assert line.purpose == "grooves 20.7 and 132 mm from face A"


def test_the_build_sheet_warns_where_rings_are_put_on() -> None:
    cautions = {
        grooved: [
            entry.text
            for entry in bearings_step(book(**(UNLOADED if grooved else {}))).entries
            if "rings fly off" in entry.text
        ]
        for grooved in (True, False)
    }
    assert (len(cautions[True]), cautions[False]) == (1, [])
