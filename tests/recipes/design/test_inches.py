"""Sentences in inches: figures against NIST SP 811 (1 in = 25.4 mm, 1 ft = 0.3048 m, exact)."""

import re

import pytest

from recipes.assess import assess
from recipes.design.inches import Wording
from recipes.design.load import BadInput, parse
from recipes.motor import solve
from tests.places import ROOT
from tests.support.design import job

LENGTHS = frozenset({"from_face", "slot_opening", "length"})
SAY = Wording(True, {31.75: "1 1/4 in"}, LENGTHS)
MM = Wording(False, {}, LENGTHS)

SENTENCES = {
    "by ISO 2768-1 m, as drawn": "by ISO 2768-1 m, as drawn",
    "end sheets of 2 x 0.13, 1 x 0.80 mm": "end sheets of 2 x 0.0051, 1 x 0.031 in (2 x 0.13, 1 x 0.80 mm)",
    "a wire slot of 5.08 mm": "a wire slot of 0.2 in (5.08 mm)",
    "seat 19.037 to 19.050 mm": "seat 0.7495 to 0.75 in (19.037 to 19.050 mm)",
    "15.000 to 14.989 mm": "0.5905 to 0.5902 in (15.000 to 14.989 mm)",
    "20.00 x 15.50 mm": "0.787 x 0.61 in (20.00 x 15.50 mm)",
    "box 20.00 x 15.50 mm (0.787 x 0.610 in)": "box 0.787 x 0.610 in (20.00 x 15.50 mm)",
    "3.5 in (88.9 mm) over the tips": "3.5 in (88.9 mm) over the tips",
    "cut 2.94 m of wire": "cut 9.65 ft (2.94 m) of wire",
    "at worst 8 um tight": "at worst 0.00031 in (8 um) tight",
    "2 x 0.178 mm liner": "2 x 0.007 in (0.178 mm) liner",
    "net area 40.95 cm2": "net area 6.347 in2 (40.95 cm2)",
    "near: 0.13, 0.18, 0.25 mm": "near: 0.0051, 0.0071, 0.0098 in (0.13, 0.18, 0.25 mm)",
    "a bar of 31.75 mm": "a bar of 1 1/4 in (31.75 mm)",
    "1.5 Nm, 7.9 A/mm2, 10.9 um per m and K": "1.5 Nm, 7.9 A/mm2, 10.9 um per m and K",
    "tooth 3, 5 mm": "tooth 3, 0.2 in (5 mm)",
    "ISO 2768-m, 0.35mm_qty2, R12": "ISO 2768-m, 0.35mm_qty2, R12",
}


@pytest.mark.parametrize(("mm", "inches"), SENTENCES.items())
def test_a_sentence_says_inches_first_and_once(mm, inches):
    assert SAY.said(mm) == inches
    assert SAY.said(inches) == inches  # it may pass twice
    assert MM.said(mm) == mm


def test_a_limit_typed_literally_passes():
    for mm in (0.01 * k for k in range(5, 3000, 37)):
        least = re.search(r"[\d.]+", SAY.said(f"use at least {mm:.2f} mm"))
        most = re.search(r"[\d.]+", SAY.said(f"use at most {mm:.2f} mm"))
        assert least
        assert most
        assert float(least[0]) * 25.4 >= round(mm, 2) - 1e-6
        assert float(most[0]) * 25.4 <= round(mm, 2) + 1e-6
        assert float(least[0]) * 25.4 - mm < 0.026  # a thousandth of an inch at most


def test_a_fix_is_typed_in_the_unit_of_the_file():
    assert SAY.typed("use axle.shoulder.from_face = 74.93") == "use axle.shoulder.from_face = 2.95"
    assert SAY.typed("use slot_opening = 2.54 mm") == "use slot_opening = 0.1 (2.54 mm)"
    assert SAY.typed("use length = 31.75") == 'use length = "1 1/4 in"'
    assert SAY.typed("use turns = 12, or 3 mm more") == "use turns = 12, or 0.12 in (3 mm) more"
    assert MM.typed("use axle.shoulder.from_face = 74.93") == "use axle.shoulder.from_face = 74.93"


def test_findings_of_an_inch_design_and_of_one_in_mm():
    found = assess(job("wool-spinner")).findings
    assert any("0.2 in (5.08 mm)" in f.message for f in found)
    made = job("kayak-thruster")
    assert all(f == made.design.wording.finding(f) for f in assess(made).findings)


def test_a_fraction_is_shown_as_it_was_written():
    text = (ROOT / "recipes/starters/wool-spinner.toml").read_text()
    text = text.replace("width = 0.2, mouth", 'width = "13/64 in", mouth')
    told = [f.message for f in assess(solve(parse(text))).findings]
    assert any("axle.wire_slot.width = 13/64 in (5.159" in t for t in told) or any(
        "13/64 in" in t for t in told
    )


def test_bad_input_of_an_inch_file_is_told_in_inches():
    text = (ROOT / "recipes/starters/wool-spinner.toml").read_text()
    with pytest.raises(BadInput) as refused:
        parse(text.replace("slot_depth = 0.55", "slot_depth = 55"))
    (found,) = refused.value.findings
    assert " in (" in found.fix
    assert found.fix.index(" in ") < found.fix.index(" mm")
