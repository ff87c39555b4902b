"""End sheets and covers take the holes of the full sheet: the very ones that they would draw."""

from __future__ import annotations

from recipes.catalogue import Parts
from tests.support.design import job


def test_end_sheets_have_the_loops_that_they_would_draw_alone() -> None:
    whole = job("kayak-thruster")
    parts = Parts(whole)
    full, ends = parts["lamination"][0], parts["end_laminations"]
    assert ends
    for step, sheet in zip(whole.design.ends.steps, ends, strict=True):
        width = whole.design.lamination.tooth_width - 2 * step.narrower_by
        alone = job("kayak-thruster", ends=None, lamination__tooth_width=width)
        assert sheet.cut == Parts(alone)["lamination"][0].cut
        assert all(a is b for a, b in zip(sheet.cut[0].holes, full.cut[0].holes, strict=True))


def test_a_cover_has_the_holes_of_the_sheet_but_a_bore_without_mark() -> None:
    whole = job("potters-wheel")
    sheet, cap = Parts(whole)["lamination"][0].cut[0], Parts(whole)["end_cap"][0].cut[0]
    assert cap.holes[:-1] == sheet.holes[:-1]
    assert len(cap.holes[-1].segments) < len(sheet.holes[-1].segments)
