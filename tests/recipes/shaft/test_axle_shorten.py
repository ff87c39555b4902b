"""A long thin axle is shown shortened where it is plain, and every length stays true in words.

Source: ISO 128-3, shortened views between break lines (from memory).
"""

import pytest

from geometry.drafting.drawing import Drawing, Stroke
from geometry.drafting.view import GAP
from geometry.errors import GeometryError
from recipes.catalogue import Parts
from recipes.drawing_conventions import plain
from recipes.motor import Motor
from recipes.shaft.sections import slot_feature
from recipes.shaft.side_view import LEAST_SHOWN, left_out, plain_stretches
from tests.support.axle import BUSY, LONG
from tests.support.design import job
from tests.support.extremes import axle_of

THIN = ("688", 700.0)


def sheet(j: Motor) -> Drawing:
    (drawing,) = Parts(j)["axle"][0].drawings
    return drawing


def is_break(stroke):
    """Tell whether a stroke of five edges is a break across the axle, and no frame of a tolerance."""
    xs, _ = zip(*(e.start for e in stroke.segments), stroke.segments[-1].end, strict=True)
    return min(xs) < xs[0] == xs[-1] < max(xs) < min(xs) + 8


@pytest.mark.parametrize("changes", [BUSY, LONG, {}])
def test_plain_stretches_hold_no_feature(changes):
    j = job(**changes)
    slot, axle = slot_feature(j.design.axle), j.design.axle
    cuts = [(slot.start, slot.end)]
    cuts += [(g.from_face, g.from_face + g.width) for g in axle.grooves]
    cuts += [(f.from_face, f.from_face + f.length) for f in axle.flats]
    keys = j.key_seats
    cuts += [(keys.start, keys.end)] if keys else []
    assert (keys is None) == (j.design.hub.keyway is None)
    found = plain_stretches(j.axle_shape)
    assert found
    for a, b in found:
        assert 0.0 <= a < b <= axle.length
        assert any(s.start <= a + 1e-9 and b <= s.end + 1e-9 for s in j.sections)
        assert all(b <= low + 1e-9 or a >= high - 1e-9 for low, high in cuts)


@pytest.mark.parametrize(("factor", "room"), [(1.0, 214.0), (0.5, 180.0), (2.0, 330.0)])
def test_axle_takes_the_room_it_is_given(factor, room):
    j = axle_of(*THIN)
    cuts = left_out(j.axle_shape, factor, room)
    saved = sum((b - a) * factor - GAP for a, b in cuts)
    assert 700.0 * factor - saved == pytest.approx(room, abs=1e-6)
    for a, b in cuts:
        (whole,) = [
            (low, high) for low, high in plain_stretches(j.axle_shape) if low < a and b < high
        ]
        assert (whole[1] - whole[0] - (b - a)) * factor + GAP >= LEAST_SHOWN - 1e-6
        assert j.axle_shape.radius_at(a) == j.axle_shape.radius_at(b)


def test_refuses_what_fits_or_cannot():
    j = axle_of(*THIN)
    for factor, room in ((0.2, 141.0), (5.0, 101.0)):
        with pytest.raises(GeometryError, match="shortened"):
            left_out(j.axle_shape, factor, room)


def test_sheet_of_a_thin_axle():
    j = axle_of(*THIN)
    drawing = sheet(j)
    words = [t.text for t in drawing.texts]
    for s in j.sections:
        assert plain(s.start) in words
    assert "700" in words
    assert "2:1" in words
    zigzags = [
        s for s in drawing.items
        if isinstance(s, Stroke) and s.style == "narrow" and len(s.segments) == 5 and is_break(s)
    ]  # fmt: skip
    places = sorted(z.segments[0].start.x for z in zigzags)
    gaps = list(zip(places[::2], places[1::2], strict=True))
    assert len(gaps) >= 3
    low, high = (
        f(p.y for z in zigzags for p in (z.segments[0].start, z.segments[-1].end))
        for f in (min, max)
    )
    for a, b in gaps:
        assert b - a == pytest.approx(GAP)
        for item in drawing.items:
            if not isinstance(item, Stroke) or item in zigzags or item.style == "centre":
                continue
            for s in item.segments:
                x0, y0, x1, y1 = s.box()
                inside = y0 > low and y1 < high
                assert not (inside and x0 < b - 1e-6 and x1 > a + 1e-6), item


def test_axle_that_can_be_read_whole_is_not_shortened():
    for j in (job(), axle_of("688", 120.0)):
        assert not [
            s for s in sheet(j).items
            if isinstance(s, Stroke) and s.style == "narrow" and len(s.segments) == 5 and is_break(s)
        ]  # fmt: skip
