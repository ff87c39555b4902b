"""Lettering stays apart: what finds an overlap, and the layouts that avoid one."""

from __future__ import annotations

import dataclasses
import itertools
import math
import random

import pytest

from geometry.drafting.dimension import LinearDimension, Span, stack, upright
from geometry.drafting.drawing import Drawing, Fill, Stroke, Text, line
from geometry.drafting.legible import crossings, legibility, overlaps
from geometry.errors import GeometryError
from geometry.point import Point
from tests.support.drawing import PAPERS, shaft_sheet

# --- lettering stays apart --------------------------------------------------------------------


@pytest.mark.parametrize(("paper", "landscape"), PAPERS)
def test_a_full_sheet_reads_on_every_paper(paper: str, landscape: bool) -> None:
    sheet = shaft_sheet(paper, landscape)
    assert len(sheet.texts) > 40
    assert [(f.message, f.where) for f in legibility(sheet)] == []


def test_overlapping_texts_are_found() -> None:
    pair = (Text(50.0, 50.0, 2.5, "first 12.3"), Text(60.0, 51.4, 2.5, "second 4.5"))
    found = overlaps(Drawing(210.0, 297.0, pair))
    assert [(o.text, o.other) for o in found] == [("first 12.3", "second 4.5")]
    x, y = found[0].where
    assert 60.0 < x < 70.0
    assert 51.0 < y < 53.0
    apart = (pair[0], dataclasses.replace(pair[1], y=54.0))
    assert overlaps(Drawing(210.0, 297.0, apart)) == []
    assert len(overlaps(Drawing(210.0, 297.0, apart), clearance=0.8)) == 1


def test_slanting_texts_whose_upright_boxes_cross_are_not_reported() -> None:
    texts = tuple(
        Text(50.0 + 6.0 * k, 50.0, 2.5, "slanting text", angle=math.pi / 4) for k in (0, 1)
    )
    (ax0, ax1), (bx0, bx1) = (
        (min(p.x for p in t.corners()), max(p.x for p in t.corners())) for t in texts
    )
    assert ax0 < bx0 < ax1 < bx1  # seen as upright boxes they do overlap
    assert overlaps(Drawing(210.0, 297.0, texts)) == []


def test_every_other_fault_of_a_sheet_is_reported() -> None:
    items = (
        Text(50.0, 50.0, 3.5, "struck"),
        line(Point(45.0, 51.0), Point(80.0, 52.0)),
        Text(20.0, 20.0, 1.8, "tiny"),
        Text(200.0, 100.0, 2.5, "over the edge of the paper"),
        Text(20.0, 120.0, 2.5, "轴"),
    )
    codes = {f.code: f.field for f in legibility(Drawing(210.0, 297.0, items))}
    assert codes == {
        "text-crossed": "struck",
        "text-small": "tiny",
        "text-off-sheet": "over the edge of the paper",
        "text-glyph": "轴",
    }
    touching = (items[0], line(Point(45.0, 49.9), Point(80.0, 49.9)))  # under the words
    assert crossings(Drawing(210.0, 297.0, touching)) == []


def _spans(rng: random.Random, kind: str) -> list[tuple[float, float]]:
    length = rng.uniform(60.0, 170.0)
    cuts = sorted(rng.uniform(1.0, length) for _ in range(rng.randint(2, 8)))
    if kind == "from one face":
        pairs = [(0.0, x) for x in cuts]
    elif kind == "chain":
        pairs = list(itertools.pairwise([0.0, *cuts]))
    else:
        pairs = [tuple(sorted(rng.sample([0.0, *cuts, length], 2))) for _ in cuts]  # type: ignore[misc] # two floats
    return [(a, b) for a, b in pairs if b - a > 0.3]


@pytest.mark.parametrize("axis", ["x", "y"])
@pytest.mark.parametrize("kind", ["from one face", "chain", "any two"])
def test_stacked_lengths_never_meet(kind: str, axis: str) -> None:
    for seed in range(25):
        rng = random.Random(f"{kind} {axis} {seed}")
        side = rng.choice((-1, 1))
        spans = []
        for a, b in _spans(rng, kind):
            ends = [(60.0 + v, 150.0) if axis == "x" else (150.0, 60.0 + v) for v in (a, b)]
            words = f"{b - a:.2f}" + rng.choice(("", " ±0.05"))
            spans.append(Span(Point(*ends[0]), Point(*ends[1]), words))
        dims = stack(spans, base=150.0, direction=side, axis="x" if axis == "x" else "y")
        sheet = Drawing(400.0, 400.0, tuple(i for d in dims for i in d.items()))
        assert [f.message for f in legibility(sheet)] == [], seed
        rows = sorted({abs(d.at - 150.0) for d in dims})
        assert sorted(d.text for d in dims) == sorted(s.text for s in spans)
        assert all(b - a >= 8.0 - 1e-9 for a, b in itertools.pairwise(rows))
        assert all((d.at - 150.0) * side >= 10.0 - 1e-9 for d in dims)


@pytest.mark.parametrize(
    "cuts", [(0.0, 8.1, 18.1, 23.3), (0.0, 7.3, 20.5, 23.1), (0.0, 1.3, 14.3, 25.1, 26.9)]
)
def test_a_crowded_chain_gets_one_more_row(cuts: tuple[float, ...]) -> None:
    pairs = [*itertools.pairwise(cuts), (cuts[0], cuts[-1])]
    spans = [
        Span(Point(60.0 + a, 50.0), Point(60.0 + b, 50.0), f"{b - a:.2f} ±0.05") for a, b in pairs
    ]
    dims = stack(spans, base=50.0, direction=1)
    sheet = Drawing(200.0, 200.0, tuple(i for d in dims for i in d.items()))
    assert [f.message for f in legibility(sheet)] == []
    assert len(sheet.texts) == len(pairs)


def test_a_length_that_spans_another_lies_farther_out() -> None:
    feet = {name: Point(x, 40.0) for name, x in (("a", 20.0), ("b", 51.3), ("c", 97.9))}
    spans = [Span(feet["a"], feet["c"], "77.9"), Span(feet["a"], feet["b"], "31.3")]
    rows = {d.text: d.at for d in stack(spans, base=40.0, direction=-1)}
    assert rows == {"31.3": 30.0, "77.9": 22.0}


# --- dimensions -------------------------------------------------------------------------------


def test_a_wide_dimension_has_its_text_above_the_middle_and_arrows_inside() -> None:
    dim = LinearDimension(Point(20.0, 50.0), Point(67.3, 44.0), "47.3", 30.0)
    items = dim.items()
    words = next(i for i in items if isinstance(i, Text))
    assert words.x == pytest.approx(43.65)
    low = min(p.y for p in words.corners())
    assert low == pytest.approx(30.0 + 0.8)  # clear of the line
    tips = [i.loops[0].points[0] for i in items if isinstance(i, Fill)]
    assert tips == [Point(20.0, 30.0), Point(67.3, 30.0)]
    backs = [i.loops[0].box for i in items if isinstance(i, Fill)]
    assert backs[0][0] == pytest.approx(20.0)  # the head lies between the extension lines
    assert backs[1][2] == pytest.approx(67.3)
    gaps = [
        (s.segments[0].start.y, s.segments[0].end.y)
        for s in items
        if isinstance(s, Stroke) and abs(s.segments[0].start.x - s.segments[0].end.x) < 1e-9
    ]
    assert sorted(gaps) == [
        (pytest.approx(44.0 - 0.8), pytest.approx(28.0)),
        (pytest.approx(50.0 - 0.8), pytest.approx(28.0)),
    ]


def test_a_narrow_dimension_turns_its_arrows_and_moves_its_text_out() -> None:
    dim = LinearDimension(Point(20.0, 50.0), Point(22.6, 50.0), "2.6 H9", 40.0)
    arrows = [i.loops[0].box for i in dim.items() if isinstance(i, Fill)]
    assert arrows[0][2] == pytest.approx(20.0)
    assert arrows[1][0] == pytest.approx(22.6)
    words = next(i for i in dim.items() if isinstance(i, Text))
    assert min(p.x for p in words.corners()) > 22.6 + 2.5


def test_texts_read_from_below_or_from_the_right() -> None:
    # ISO 129-1: values are read from the bottom or from the right-hand side of the sheet.
    for k in range(48):
        turn = k * math.pi / 24
        read = upright(turn)
        assert -math.pi / 2 + 1e-6 < read <= math.pi / 2 + 1e-6
        assert abs(math.sin(read - turn)) < 1e-9
        end = Point(100.0, 100.0).plus(Point.polar(30.0, turn))
        dim = LinearDimension(Point(100.0, 100.0), end, "30", 6.0, "aligned")
        words = next(i for i in dim.items() if isinstance(i, Text))
        assert words.angle == pytest.approx(read)
    assert upright(math.pi / 2) == pytest.approx(math.pi / 2)
    assert upright(-math.pi / 2) == pytest.approx(math.pi / 2)


def test_a_dimension_of_nothing_is_refused() -> None:
    with pytest.raises(GeometryError, match="'0' spans nothing"):
        LinearDimension(Point(20.0, 50.0), Point(20.0, 60.0), "0", 40.0)
