"""The table of axle steels, and how a design's words find a row.

Outside values: EN 10083-2 C45 and EN 10083-3 42CrMo4 (published copies of steel makers), EN 10025-2
S355J2 (a steel maker's page), Shigley Table A-20 (1045 and 1018); typed from those pages.
"""

import pytest

from recipes.tables.axle_steel import axle_steel, axle_steel_of, list_axle_steels
from recipes.tables.reader import load_table
from tests.support.design import job

#: words, bar in mm, yield and tensile strength in MPa, match
ASKED = [
    ("C45 normalised", 38.0, 305, 580, "exact"),
    ("C45+N", 16.0, 340, 620, "exact"),
    ("C45E +QT", 40.0, 430, 650, "exact"),
    ("c45 quenched and tempered", 40.1, 370, 630, "exact"),
    ("42CrMo4 +QT", 15.0, 900, 1100, "exact"),
    ("1.7225", 30.0, 750, 1000, "exact"),
    ("S355J2+N", 30.0, 345, 470, "exact"),
    ("St52 rolled", 63.5, 325, 470, "exact"),
    ("1045 cold drawn", 25.4, 530, 630, "exact"),
    ("SAE 1045 HR", 25.4, 310, 570, "exact"),
    ("1018 CD", 20.0, 370, 440, "exact"),
    ("stainless 1.4301", 25.0, 190, 500, "exact"),
    ("AISI 304", 25.0, 190, 500, "exact"),
    ("1045", 25.4, 310, 570, "condition open"),
    ("C45", 12.0, 340, 620, "condition open"),
    ("1045 cold drawn", 40.0, 530, 630, "bar too thick"),
    ("shaft from an old printer", 12.0, 190, 340, "unknown"),
    ("steel 10450", 12.0, 190, 340, "unknown"),
    ("", 12.0, 190, 340, "unknown"),
]


@pytest.mark.parametrize(("words", "bar", "least", "tensile", "match"), ASKED)
def test_words_find_the_row(words, bar, least, tensile, match) -> None:
    found = axle_steel(words, bar)
    assert (found.yield_MPa, found.tensile_MPa, found.match) == (least, tensile, match)


def test_every_row_is_sane_and_found_by_its_own_words() -> None:
    rows = list_axle_steels()
    assert len(rows) == len(load_table("axle_steels.csv").rows) > 30
    for cells, row in zip(load_table("axle_steels.csv").rows, rows, strict=True):
        assert 0.35 < row.yield_MPa / row.tensile_MPa < 0.9
        assert 180 <= row.yield_MPa <= 900
        assert cells.number("over_mm") < cells.number("up_to_mm")
        again = axle_steel(f"{row.name} {row.condition}", cells.number("up_to_mm"))
        assert (again.yield_MPa, again.match) == (row.yield_MPa, "exact")
        assert len(row.source) > 20


def test_thicker_bars_are_never_stronger() -> None:
    kinds: dict[tuple[str, str], list[float]] = {}
    for row in list_axle_steels():
        kinds.setdefault((row.name, row.condition), []).append(row.yield_MPa)
    for found in kinds.values():
        assert found == sorted(found, reverse=True)


def test_a_certificate_goes_before_the_table() -> None:
    both = axle_steel_of(job(axle__yield_strength=415.0, axle__tensile_strength=690.0).design.axle)
    assert (both.yield_MPa, both.tensile_MPa, both.match) == (415.0, 690.0, "yours")
    one = axle_steel_of(job(axle__material="from the shed", axle__yield_strength=415.0).design.axle)
    assert (one.yield_MPa, one.tensile_MPa, one.match) == (415.0, 415.0, "yours")
    other = axle_steel_of(job(axle__tensile_strength=290.0).design.axle)
    assert (other.yield_MPa, other.tensile_MPa, other.match) == (290.0, 290.0, "exact")
