"""Notes beside a view: none overlap, no leaders cross; sheets that wait until they are looked at."""

from __future__ import annotations

import itertools
import math
import pickle
import random

import pytest

from geometry.drafting.drawing import Drawing, Fill, Items, Lazy, Stroke, Text
from geometry.drafting.font import LINE_PITCH
from geometry.drafting.label import (
    LEAST_PITCH,
    Note,
    Tip,
    column_height,
    column_width,
    gap_mark,
    note_column,
    numbered_notes,
)
from geometry.drafting.legible import overlaps
from geometry.drafting.symbol import frame_cells, tolerance_frame
from geometry.errors import GeometryError
from geometry.point import Point


def random_notes(seed: int, count: int) -> list[Note]:
    pick = random.Random(seed)
    return [
        Note(
            tuple(
                Tip(Point(pick.uniform(20, 90), pick.uniform(30, 140)))
                for _ in range(pick.randint(1, 4))
            ),
            tuple(f"R{pick.uniform(0.1, 30):.2f}" for _ in range(pick.randint(1, 3))),
        )
        for _ in range(count)
    ]


def column_of(notes: list[Note], x: float, side: int) -> Items | None:
    """The column, or None where its leaders cannot but cross."""
    try:
        return note_column(notes, x=x, side=side, room=(10.0, 190.0))
    except GeometryError:
        return None


@pytest.mark.parametrize(("seed", "side"), list(itertools.product(range(12), (-1, 1))))
def test_notes_stay_apart(seed: int, side: int) -> None:
    from shapely.geometry import LineString

    notes = random_notes(seed, 9)
    x = 110.0 if side > 0 else 5.0
    items = column_of(notes, x, side)
    if items is None:
        return
    assert overlaps(Drawing(300.0, 210.0, items)) == []
    texts = [t for t in items if isinstance(t, Text)]
    assert sorted(t.text for t in texts) == sorted(w for n in notes for w in n.lines)
    corners = [c for t in texts for c in t.corners()]
    assert min(c.y for c in corners) >= 10.0
    assert max(c.y for c in corners) <= 190.0
    assert all(side * (c.x - x) > 0 for c in corners)
    assert max(side * (c.x - x) for c in corners) <= column_width(notes)
    leaders = [
        LineString([i.segments[0].start, i.segments[0].end])
        for i in items
        if isinstance(i, Stroke) and abs(i.segments[0].end.x - x) < 1e-9
    ]
    assert len(leaders) == len(notes)
    for one, two in itertools.combinations(leaders, 2):
        assert not one.crosses(two)


def test_most_random_columns_are_solved() -> None:
    solved = [column_of(random_notes(seed, 9), 110.0, 1) is not None for seed in range(40)]
    assert sum(solved) >= 32


def test_leaders_that_would_cross_change_places() -> None:
    """Tips at one height, the lowest nearest to the column: in the order of their heights they cross."""
    from shapely.geometry import LineString

    tips = [Point(100.0 - 20.0 * k, 100.0 + k) for k in range(4)]
    notes = [Note((Tip(p),), (f"R{p.x:g}", "second", "third")) for p in tips]
    items = note_column(notes, x=110.0, side=1, room=(10.0, 190.0))
    ends = [
        i.segments[0] for i in items
        if isinstance(i, Stroke) and abs(i.segments[0].end.x - 110.0) < 1e-9
    ]  # fmt: skip
    leaders = [LineString([s.start, s.end]) for s in ends]
    assert len(leaders) == 4
    assert not any(a.crosses(b) for a, b in itertools.combinations(leaders, 2))
    by_height = [s.end.y for s in sorted(ends, key=lambda s: s.start.y)]
    assert by_height != sorted(by_height)


def test_column_that_is_too_tall_is_refused() -> None:
    notes = random_notes(3, 9)
    high = column_height(notes)
    note_column(notes[:1], x=110.0, side=1, room=(10.0, 10.0 + notes[0].tall + 0.01))
    with pytest.raises(GeometryError, match="taller"):
        note_column(notes, x=110.0, side=1, room=(10.0, 10.0 + 0.97 * high))
    assert note_column([], x=0.0, side=1, room=(0.0, 1.0)) == ()


def test_mark_stands_between_edges_if_there_is_room() -> None:
    a, b = Point(3.0, 4.0), Point(3.0 + 6.1, 4.0)
    inside = gap_mark(a, b, 1)
    assert inside.at == pytest.approx((6.05, 4.0))
    tips = [f.loops[0].points[0] for f in inside.items if isinstance(f, Fill)]
    assert {(round(p.x, 9), p.y) for p in tips} == {(3.0, 4.0), (9.1, 4.0)}
    for side, end in ((1, 5.2 + 6.0), (-1, 3.0 - 6.0)):
        outside = gap_mark(a, Point(5.2, 4.0), side)
        assert outside.at == pytest.approx((end, 4.0))


def test_numbered_notes_wrap_and_refuse() -> None:
    notes = ["first of all, mind the gap between the two", "second"]
    items = numbered_notes(notes, (10.0, 20.0, 50.0, 40.0))
    assert [t.text[:3] for t in items if isinstance(t, Text)] == ["1  ", "   ", "2  "]
    with pytest.raises(GeometryError, match="do not fit"):
        numbered_notes(notes, (10.0, 20.0, 50.0, 20.0 + 2.5 + 2 * LEAST_PITCH * 2.5 - 0.1))
    assert LEAST_PITCH < LINE_PITCH


@pytest.mark.parametrize("sign", ["run-out", "square"])
def test_frame_holds_its_words(sign) -> None:
    items = tolerance_frame(12.0, 34.0, sign, ("0.14", "A-B"))
    cells = frame_cells(("0.14", "A-B"))
    texts = [t for t in items if isinstance(t, Text)]
    assert [t.text for t in texts] == ["0.14", "A-B"]
    edges = list(itertools.accumulate((12.0, *cells)))
    for t, low, high in zip(texts, edges[1:-1], edges[2:], strict=True):
        xs = [c.x for c in t.corners()]
        assert low < min(xs) < max(xs) < high
    lines = [s for i in items if isinstance(i, Stroke) for s in i.segments]
    assert all(12.0 - 1e-9 <= p.x <= edges[-1] + 1e-9 for s in lines for p in (s.start, s.end))
    steep = [abs(math.sin(s.end.minus(s.start).angle())) for s in lines]
    assert any(0.1 < k < 0.99 for k in steep) == (sign == "run-out")


def test_sheets_wait_until_they_are_looked_at() -> None:
    made = []

    def make() -> tuple[Drawing, ...]:
        made.append(1)
        return (Drawing(210.0, 297.0, ()),)

    sheets = Lazy(make)
    assert pickle.loads(pickle.dumps(sheets)) == ()
    assert not made
    assert len(sheets) == len(list(sheets)) == len(sheets[0:3]) == 1
    assert sheets[0].width_mm == 210.0
    assert made == [1]


def test_sheets_that_are_counted_before_need_not_be_laid_out() -> None:
    def two() -> tuple[Drawing, ...]:
        return (Drawing(210.0, 297.0, ()), Drawing(297.0, 420.0, ()))

    assert (len(Lazy(two, 3)), len(Lazy(two)), bool(Lazy(two, 0))) == (3, 2, False)
    assert [d.width_mm for d in Lazy(two, 2)] == [210.0, 297.0]
