"""The picture of the field: what it says, how large it is, and that eyes of all kinds can read it."""

import re
from itertools import pairwise

import numpy as np
import pytest

from geometry.drafting.drawing import SCALE, TONES, Drawing, Fill, Stroke, extent
from geometry.formats.drawing_svg import write_svg
from recipes.field.figures import SolvedField, loaded
from recipes.field.flux_view import LEVELS, flux_view
from tests.support.field import solved


@pytest.fixture(scope="module")
def drawn() -> Drawing:
    made, built, wave = solved("kayak-thruster", motor__poles=10)
    driven = loaded(built, wave, 60.0)
    return flux_view(
        SolvedField(built, wave, driven[:1]), 60.0, made.design.name, made.design.wording
    )


def lightness(tone: str) -> float:
    """CIE 1976 L* of an sRGB colour (IEC 61966-2-1, CIE 15)."""
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in TONES[tone])
    return 116 * (0.2126 * r + 0.7152 * g + 0.0722 * b) ** (1 / 3) - 16


def test_the_scale_darkens_in_even_steps_and_lines_show_on_all_of_it() -> None:
    light = [lightness(tone) for tone in SCALE]
    for one, other in pairwise(light):
        assert one - other == pytest.approx(7.0, abs=0.3)
    assert light[-1] > 45  # black lines on it: contrast above 4.5 (WCAG 2.2)
    assert len(SCALE) == len(LEVELS) + 1


def test_everything_lies_on_the_sheet_and_the_file_is_small(drawn: Drawing) -> None:
    x0, y0, x1, y1 = extent(drawn.items)
    assert min(x0, y0) >= 0
    assert x1 <= drawn.width_mm
    assert y1 <= drawn.height_mm
    text = write_svg(drawn)
    assert len(text) < 400_000
    paper = drawn.items[0]
    assert isinstance(paper, Fill)
    assert paper.tone == "white"


def test_the_tooth_that_carries_most_is_named_and_circled_in_both(drawn: Drawing) -> None:
    said = [t.text for t in drawn.texts if "most in tooth" in t.text]
    idle, load = (re.search(r"tooth (\d+) \(as in (\d+)\), ([\d.]+) T", t) for t in said)
    assert idle
    assert load
    assert int(idle[2]) == int(idle[1]) + 6
    assert float(load[3]) > float(idle[3])
    circles = [s for s in drawn.strokes if s.style == "visible" and s.closed]
    assert len(circles) == 2
    for ring, found in zip(circles, (idle, load), strict=True):
        middle = ring.segments[0].center  # type: ignore[union-attr]
        (number,) = (t for t in drawn.texts if (t.x, t.y) == tuple(middle))
        assert number.text == found[1]


def test_lines_of_flux_and_tones_differ_with_the_current(drawn: Drawing) -> None:
    lines = [s for s in drawn.strokes if s.style == "flux"]
    half = (drawn.height_mm + 31.0) / 2
    upper = sum(s.segments[0].start.y > half for s in lines)
    assert 100 < upper < len(lines) - 100
    tones = {f.tone for f in drawn.items if isinstance(f, Fill)}
    assert {"white", "sand", *SCALE[:7]} <= tones
    assert all(isinstance(s, Stroke) for s in lines)


def test_phases_follow_each_other_by_a_third_of_the_period() -> None:
    """What the picture of voltages draws V and W by: U's wave, later."""
    _, _, wave = solved("kayak-thruster")
    for k in (1, 2):
        later = wave.flux[0] * np.exp(-2j * np.pi / 3 * k * wave.orders)
        assert np.abs(wave.flux[k] - later).max() < 1e-9
