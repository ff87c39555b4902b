"""Asking for a wire as people write it, and what is refused."""

from __future__ import annotations

import math

import pytest

from recipes.tables.reader import TableError
from recipes.tables.wire import awg_wire, find_wire, list_wires, metric_wire


@pytest.mark.parametrize(
    ("asked", "grade", "label", "grade_name"),
    [
        ("0.71 mm", 2, "0.71 mm", "grade 2"),
        ("0.710mm", 1, "0.71 mm", "grade 1"),
        (0.71, "grade 3", "0.71 mm", "grade 3"),
        (0.7104, 2, "0.71 mm", "grade 2"),
        (0.212, "2", "0.212 mm", "grade 2"),
        (1, 1, "1.00 mm", "grade 1"),
        ("24 AWG", 1, "24 AWG", "single build"),
        ("24AWG", "heavy", "24 AWG", "heavy build"),
        ("AWG 24", "single", "24 AWG", "single build"),
        ("awg19", "2", "19 AWG", "heavy build"),
        ("0.0201 in", 2, "24 AWG", "heavy build"),
        ("35.9 mil", "Heavy build", "19 AWG", "heavy build"),
        ('0.0285"', 2, "21 AWG", "heavy build"),
        ("0.02795 in", 2, "0.71 mm", "grade 2"),
    ],
)
def test_wire_is_found_as_people_write_it(
    asked: float | str, grade: int | str, label: str, grade_name: str
) -> None:
    wire = find_wire(asked, grade)
    assert (wire.label, wire.grade_name) == (label, grade_name)


def test_a_bare_number_in_an_inch_design_is_in_inches() -> None:
    assert find_wire(0.0201, 2, "in").label == "24 AWG"
    assert find_wire("0.0201", 2, "in").label == "24 AWG"
    assert find_wire("0.71 mm", 2, "in").label == "0.71 mm"


@pytest.mark.parametrize(
    ("asked", "grade", "parts"),
    [
        ("0.72 mm", 2, ["0.72 mm", "0.710 mm and 0.750 mm"]),
        (0.7106, 2, ["0.7106 mm", "0.710 mm and 0.750 mm"]),
        (3.0, 1, ["3 mm", "1.900 mm and 2.000 mm"]),
        ("0.028 in", 2, ["0.028 in", "0.7112 mm", "0.710 mm and 0.750 mm", "21 AWG (0.0285 in)"]),
        ("36 AWG", 2, ["36 AWG", "10 to 35"]),
        ("23.5 AWG", 2, ["23.5 AWG", "whole number"]),
        ("12 AWG", 1, ["12 AWG", "starts at 14 AWG", "choose heavy build (grade 2)"]),
        ("24 AWG", 3, ["grade 3", "single (1) and heavy (2)"]),
        ("24 AWG", "triple", ["grade 'triple'", "single (1) and heavy (2)"]),
        ("0.71 mm", 4, ["grade 4", "grade 1, 2 and 3"]),
        ("0.71 mm", "heavy", ["grade 'heavy'", "belongs to AWG", "grade 2"]),
        ("0.71 mm", True, ["grade True"]),
        ("24 AWG", True, ["grade True"]),
        ("5 kg", 2, ["'5 kg'", "another kind of unit"]),
        ("abc", 2, ["'abc'", "0.35 mm"]),
        (math.nan, 2, ["nan"]),
    ],
)
def test_what_is_no_wire_is_refused_with_the_nearest(
    asked: float | str, grade: int | str, parts: list[str]
) -> None:
    with pytest.raises(ValueError, match=r"wire|grade|length") as caught:
        find_wire(asked, grade)
    for part in parts:
        assert part in str(caught.value)


def test_awg_takes_whole_numbers_only() -> None:
    for wrong in (True, 24.0, "24", None):
        with pytest.raises(TableError, match="give a whole number from 10 to 35"):
            awg_wire(wrong, 2)  # type: ignore[arg-type]  # what a caller may pass


def test_an_unknown_standard_is_refused() -> None:
    with pytest.raises(TableError, match="choose 'IEC 60317-0-1' or 'NEMA MW 1000'"):
        list_wires("JIS C 3202")


def test_sources_say_which_rule_a_row_follows() -> None:
    assert metric_wire(0.71, 2).source == "IEC 60317-0-1:2013 Table 1"
    assert metric_wire(0.75, 2).source == "IEC 60317-0-1:2013 Annex A rule, enamel of 0.800 mm"
    assert awg_wire(19, 2).source == "NEMA MW 1000"
