"""Sections of leads against a published copy of IEC 60335-1 table 11 and the AWG table."""

from __future__ import annotations

import pytest

from recipes.tables.lead_section import awg_mm2, lead_section, section_of
from tests.support.winding import read_reference


@pytest.mark.parametrize("row", read_reference("lead_sections.csv"), ids=lambda r: r["mm2"])
def test_sections_equal_the_published_copy(row: dict[str, str]) -> None:
    for current in (float(row["over_A"]) + 0.01, float(row["up_to_A"])):
        found = lead_section(current)
        assert found is not None
        assert found.copper_mm2 == float(row["mm2"])


def test_beyond_the_table_there_is_no_size() -> None:
    assert lead_section(63.1) is None


def test_gauges_equal_the_wire_table() -> None:
    """ASTM B258 (awg.csv), and the usual pairs of lead wire (common practice)."""
    for row in read_reference("awg.csv"):
        if row["awg"].isdigit() and row["awg"] != "0" and int(row["awg"]) > 0:
            assert awg_mm2(int(row["awg"])) == pytest.approx(float(row["area_mm2"]), rel=1e-4)
    pairs = {0.14: 26, 0.5: 20, 0.75: 18, 1.5: 14, 2.5: 12, 4.0: 10, 6.0: 8}
    assert {a: section_of(a).awg for a in pairs} == pairs


def test_thickness_over_the_insulation() -> None:
    """0.5, 1.5 and 2.5 mm2 are 1.4, 2.1 and 2.6 mm with a thin wall (common practice, PTFE lists)."""
    for area, over in ((0.5, 1.4), (1.5, 2.1), (2.5, 2.6)):
        assert section_of(area).insulated_mm == pytest.approx(over, abs=0.07)
