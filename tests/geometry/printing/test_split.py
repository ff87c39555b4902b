"""Strips that no page holds: cut into lengths by straight cuts, with the lap that was asked for."""

from __future__ import annotations

import pytest
import shapely

from geometry.outline import Outline, Region
from geometry.part import Path
from geometry.point import Point
from geometry.printing.page_layout import MOST_PAGES, lay_out, parted
from geometry.printing.piece import Parting, Piece
from geometry.segment import Line

ROOMS = ((181.0, 195.6), (250.4, 126.0))


def strip(length: float, lap: float | None, axis: str = "y") -> Piece:
    w, b = 43.7, 1.5
    spots = [(b, 0), (w - b, 0), (w, b), (w, length - b), (w - b, length), (b, length),
             (0, length - b), (0, b)]  # fmt: skip
    folds = (
        Path((Line(Point(0.0, 4.3), Point(w, 4.3)),)),
        Path((Line(Point(13.1, 4.3), Point(13.1, length - 4.3)),)),
    )
    return Piece(
        (Region(Outline.polygon(spots)),), "slot liner", 3, "aramid", 0.18, folds, grain=0.0,
        parting=None if lap is None else Parting(axis, lap),  # type: ignore[arg-type] # "x" or "y"
    )  # fmt: skip


def shape(piece: Piece) -> shapely.Polygon:
    return shapely.Polygon(piece.regions[0].outer.points)


@pytest.mark.parametrize(("length", "lap", "count"), [(413.6, 12.0, 2), (731.9, 12.0, 4), (413.6, 0.0, 2)])  # fmt: skip
def test_lengths_put_together_with_their_laps_are_the_strip(
    length: float, lap: float, count: int
) -> None:
    whole = strip(length, lap)
    parts = parted(whole, ROOMS)
    assert len(parts) == count
    assert sum(shape(p).area for p in parts) == pytest.approx(
        shape(whole).area + (count - 1) * lap * 43.7
    )
    assert shapely.union_all([shape(p) for p in parts]).symmetric_difference(
        shape(whole)
    ).area == pytest.approx(0.0, abs=1e-6)
    for one, two in zip(parts, parts[1:], strict=False):  # noqa: RUF007
        assert shape(one).intersection(shape(two)).area == pytest.approx(lap * 43.7)
    heights = [p.box[3] - p.box[1] for p in parts]
    assert heights == pytest.approx([heights[0]] * count)
    assert heights[0] <= 250.4


def test_each_length_shows_where_the_edge_of_its_neighbour_lies() -> None:
    first, second = parted(strip(413.6, 12.0), ROOMS)
    edge = second.box[1]
    (line,) = [path.segments[0] for path in first.reference]
    assert line.start.y == line.end.y == pytest.approx(edge)
    assert abs(line.end.x - line.start.x) == pytest.approx(43.7)
    assert "part A of 2 that lap 12 mm" in first.facts
    assert "butt" in parted(strip(413.6, 0.0), ROOMS)[0].facts


def test_folds_are_shared_out() -> None:
    whole = strip(413.6, 12.0)
    length = sum(s.length for path in whole.fold for s in path.segments)
    parts = parted(whole, ROOMS)
    assert sum(s.length for p in parts for path in p.fold for s in path.segments) == pytest.approx(
        length + 12.0
    )


def test_nothing_is_parted_without_leave_or_across_what_stays_too_wide() -> None:
    assert parted(strip(413.6, None), ROOMS) == ()
    assert parted(strip(413.6, 12.0, "x"), ROOMS) == ()


def test_a_strip_that_lies_down_is_not_parted_and_one_longer_is() -> None:
    """250 mm lie on an A4-and-Letter page turned on its side; 10 mm more do not."""
    whole = lay_out([strip(238.0, 12.0)], title="Liners", page="both")
    assert whole.parted == {}
    assert all(p.width_mm > p.height_mm for p in whole.pages)
    longer = lay_out([strip(259.0, 12.0)], title="Liners", page="both")
    assert longer.parted == {"slot liner": 2}
    said = [t.text for p in longer.pages for t in p.texts]
    for letter in "AB":
        assert sum(f"part {letter} " in words and "of 3" in words for words in said) == 3


def test_more_copies_than_pages_are_printed_once_and_say_so() -> None:
    sheet = Piece((Region(Outline.rectangle(170.0, 150.0)),), "cover", 57, "card", 0.5)
    made = lay_out([sheet], title="Covers", page="both")
    assert made.single == ("cover",)
    assert len(made.pages) == 1
    assert any("template for 57 pieces" in t.text for t in made.pages[0].texts)
    few = Piece((Region(Outline.rectangle(170.0, 150.0)),), "cover", MOST_PAGES, "card", 0.5)
    assert lay_out([few], title="Covers", page="both").single == ()
