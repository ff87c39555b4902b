"""The measures of the drawing font beside the font itself, as fontTools reads it.

Run as a module to take them again: python -m tests.geometry.drafting.test_font
"""

from __future__ import annotations

import json

import pytest
from fontTools.ttLib import TTFont

from geometry.drafting.font import font, font_file, text_reach, text_width


def measured() -> dict[str, object]:
    """Return the units of an em, and advance, lowest and highest point of every character."""
    with TTFont(font_file()) as source:
        outlines, advances = source["glyf"], source["hmtx"]
        found = {}
        for code, name in sorted(source.getBestCmap().items()):
            shape = outlines[name]
            low, high = (shape.yMin, shape.yMax) if shape.numberOfContours else (0, 0)
            found[chr(code)] = [advances[name][0], low, high]
        return {"units_per_em": source["head"].unitsPerEm, "advance_low_high": found}


def test_the_measures_are_those_of_the_font() -> None:
    path = font_file().with_suffix(".json")
    assert json.loads(path.read_text(encoding="ascii")) == measured()
    assert len(font().glyphs) > 900
    # DejaVu Sans has H 1540 units wide and 1493 high (from memory); Condensed takes nine tenths
    assert font().glyphs["H"] == (0.9 * 1540 / 2048, 0.0, 1493 / 2048)


def test_width_and_reach_follow_from_them() -> None:
    size = 2.9 / font().cap_height  # of an em, mm
    width = font().glyphs["g"].advance + font().glyphs["!"].advance
    assert text_width("g!", 2.9) == pytest.approx(width * size)
    assert text_width("g\U0001d6c0", 2.9) == pytest.approx((font().glyphs["g"].advance + 1) * size)
    low, high = font().glyphs["g"].low, font().glyphs["!"].high
    assert text_reach("g! ", 2.9) == pytest.approx((low * size, high * size))
    assert text_reach(" ", 2.9) == (0.0, 0.0)


if __name__ == "__main__":
    text = json.dumps(measured(), separators=(",", ":"))
    font_file().with_suffix(".json").write_text(f"{text}\n", encoding="ascii")
