"""Where lettering may stand on a framed sheet (frame of ISO 5457, block of ISO 7200)."""

from __future__ import annotations

import pytest

from geometry.drafting.drawing import Text, extent
from geometry.drafting.sheet import TitleBlock, framed_sheet


@pytest.mark.parametrize(
    ("x", "y", "held"),
    [
        (21.0, 197.0, True),
        (19.5, 120.0, False),
        (283.0, 120.0, False),
        (100.0, 198.5, False),
        (60.0, 9.0, False),
        (60.0, 12.0, True),
        (110.0, 51.0, False),
        (110.0, 53.0, True),
        (100.5, 30.0, False),
    ],
)
def test_frame_and_block_are_kept_clear(x: float, y: float, held: bool) -> None:
    sheet = framed_sheet("A4", TitleBlock(title="t", number="n"))
    assert sheet.holds([*sheet.items[:1], Text(x, y, 2.5, "word")]) == held


def test_extent_by_hand() -> None:
    sheet = framed_sheet("A3", TitleBlock(title="t", number="n"))
    assert extent(sheet.items) == pytest.approx((20.0, 10.0, 410.0, 287.0))
    assert extent((Text(7.0, 3.0, 2.5, "H"),))[3] == pytest.approx(5.5)
