"""Steps in the order of the bench, and tools and leads for the sizes of this motor."""

from __future__ import annotations

import re

import pytest

from recipes.report.needs import STEPS, step_of_line
from recipes.shaft.lead_copper import lead_copper_findings
from tests.support.design import STARTERS, design
from tests.support.page import starter_book, starter_sheet


def words(name: str, step: str) -> list[str]:
    found = next(s for s in starter_sheet(name).steps if s.key == step)
    return [entry.text for entry in found.entries]


def place(sentences: list[str], start: str) -> int:
    return next(k for k, s in enumerate(sentences) if start in s)


@pytest.mark.parametrize("name", STARTERS)
def test_rings_go_on_before_liners_and_trial_strips_are_cut_first(name: str) -> None:
    """Common practice: what lies under the paper goes on before it, what is tried is made first."""
    line = words(name, "line")
    rings, strips = place(line, "paper rings"), place(line, "trial strips")
    assert rings < strips < place(line, "Cut all liners") < place(line, "Push each in")
    coupon = words(name, "coupon")
    assert place(coupon, "Cut the three trial strips") < place(coupon, "Fold a trial strip")
    at = {
        line.part: STEPS.index(step_of_line(line)) for line in starter_book(name).lines if line.part
    }
    assert at["tooth_ring_lead"] == at["tooth_ring_far"] == STEPS.index("line")
    assert at["liner_trial"] == STEPS.index("coupon")


@pytest.mark.parametrize("name", STARTERS)
def test_the_jig_for_the_leads_comes_before_joining(name: str) -> None:
    book, join = starter_book(name), words(name, "join")
    if any(line.part == "lead_jig" for line in book.lines):
        assert place(join, "jig for the leads") < place(join, "Slide a sleeve")
        assert {step_of_line(x) for x in book.lines if x.part == "lead_jig"} == {"join"}


@pytest.mark.parametrize("name", STARTERS)
def test_gauges_reach_every_size_of_this_motor(name: str) -> None:
    """Seats, stator seat and bores by the results and the design, not by the list of tools."""
    book = starter_book(name)
    spans: dict[str, list[tuple[float, float]]] = {"outside micrometer": [], "bore gauge": []}
    for line in book.lines:
        for key, found in spans.items():
            if line.item.startswith(key):
                low, high = re.findall(r"(\d+) to (\d+) mm", line.item)[0]
                found.append((float(low), float(high)))
    bore = book.motor.design.lamination.bore_diameter
    shafts = [bore, float(book.results["seat_1_max_mm"]), float(book.results["seat_2_max_mm"])]
    bores = [
        bore,
        *([float(book.results["housing_max_mm"])] if "housing_max_mm" in book.results else []),
    ]
    for size in shafts:
        assert any(low <= size <= high for low, high in spans["outside micrometer"]), size
    for size in bores:
        assert any(low <= size <= high for low, high in spans["bore gauge"]), size
    calliper = next(x.item for x in book.lines if x.item.startswith("calliper"))
    assert float(re.findall(r"\d+", calliper)[0]) >= book.motor.design.lamination.outer_diameter


@pytest.mark.parametrize(("name", "copper"), [
    ("potters-wheel", "1 mm2 (16 AWG)"), ("kayak-thruster", "2.5 mm2 (12 AWG)"),
    ("wool-spinner", "16 AWG of"),
])  # fmt: skip
def test_leads_have_their_copper(name: str, copper: str) -> None:
    """IEC 60335-1 table 11 by the current in one lead; sensors 0.14 mm2, 26 AWG (common practice)."""
    lines = [x for x in starter_book(name).lines if " lead, stranded" in x.item]
    phase = next(x for x in lines if x.item.startswith("phase"))
    assert phase.size.startswith(copper), (phase.size, starter_book(name).results["lead_current_A"])
    hall = [x for x in lines if x.item.startswith("Hall")]
    assert all(x.size.startswith(("0.14 mm2 (26 AWG)", "26 AWG of")) for x in hall)


def test_a_lead_too_thin_for_its_current_is_told() -> None:
    leads = design("kayak-thruster").axle.leads
    assert lead_copper_findings(leads, 24.2) == []
    (found,) = lead_copper_findings(leads, 26.0)
    assert found.field == "axle.leads"
    assert "4 mm2 (10 AWG)" in found.message
    assert lead_copper_findings(leads, 64.0) == []
