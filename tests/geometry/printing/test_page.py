"""1:1 pages: what a ruler, a knife and a second sheet of paper find on them."""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from itertools import combinations, pairwise
from typing import Any

import pdfplumber
import pytest
import shapely

from geometry.drafting.drawing import Drawing, Fill, Stroke, Text
from geometry.drafting.font import text_width
from geometry.drafting.legible import legibility
from geometry.errors import GeometryError
from geometry.formats.drawing_pdf import write_pdf
from geometry.formats.pdf_read import page_paths
from geometry.outline import Outline, Region
from geometry.part import Part, Path
from geometry.point import Point
from geometry.printing.page import (
    LIVE_AREAS,
    PRINT_AT,
    SHEETS,
    Paper,
    Sheet,
    bound,
    correction,
    live_box,
)
from geometry.printing.page_layout import lay_out
from geometry.printing.piece import Piece
from geometry.segment import Line

MM = 25.4 / 72
PAGES = ("A4", "Letter", "both")


def liner(width: float = 47.3, height: float = 52.6, quantity: int = 7, **more: object) -> Piece:
    folds = tuple(
        Path((Line(Point(-width / 2, y), Point(width / 2, y)),))
        for y in (3.9 - height / 2, height / 2 - 3.9)
    )
    sheet = (Region(Outline.rectangle(width, height)),)
    return Piece(sheet, "slot liner", quantity, "aramid paper", 0.18, fold=folds, **more)  # type: ignore[arg-type] # keywords of Piece


WASHER = Piece(
    (Region(Outline.circle(Point(0, 0), 61.7), (Outline.circle(Point(0, 0), 37.9),)),),
    "end washer",
    2,
    "pressboard",
    0.8,
)
STRIP = Piece((Region(Outline.rectangle(5.4, 48.7)),), "wedge", 13, "pressboard", 0.8, grain=1.2)


def laid(pieces: Sequence[Piece], **more: Any) -> list[Drawing]:
    """The pages of a layout."""
    return list(lay_out(pieces, **more).pages)


def cut_loops(page: Drawing) -> list[shapely.Polygon]:
    """The cut loops in the room of a page as polygons; the legend's samples are open."""
    return [
        shapely.Polygon(Outline(s.segments).chords(0.005))
        for s in page.strokes
        if s.style == "cut" and s.closed
    ]


def words(page: Drawing) -> str:
    return " ".join(t.text for t in page.texts)


# --- furniture --------------------------------------------------------------------------------


@pytest.mark.parametrize("name", PAGES)
def test_rulers_and_boxes_measure_true_on_the_page(name: str) -> None:
    (page,) = bound([Sheet(())], Paper(name), "Liners", "")  # type: ignore[arg-type] # a page name
    with pdfplumber.open(io.BytesIO(write_pdf([page], title="x"))) as pdf:
        sheet = pdf.pages[0]
        size = (float(sheet.width) * MM, float(sheet.height) * MM)
        level = [s for s in sheet.lines if abs(s["width"] * MM - 100.0) < 0.05]
        upright = [s for s in sheet.lines if abs(s["height"] * MM - 100.0) < 0.05]
        boxes = sorted((r["width"] * MM, r["height"] * MM) for r in sheet.rects)
        lines = [
            (s["x0"] * MM, s["y0"] * MM, s["width"] * MM, s["height"] * MM) for s in sheet.lines
        ]
    assert size == pytest.approx(SHEETS[name], abs=0.01)
    assert len(level) == len(upright) == 1
    # 10 x 5 cm, and 4 x 2 in at 25.4 mm exactly (international yard and pound agreement 1959).
    assert boxes[0] == pytest.approx((100.0, 50.0), abs=0.05)
    assert boxes[1] == pytest.approx((4 * 25.4, 2 * 25.4), abs=0.05)
    y = level[0]["y0"] * MM
    ticks = sorted(x for x, _, w, h in lines if w < 0.01 and 2.0 < h < 4.0)
    assert len(ticks) == 11
    assert [b - a for a, b in pairwise(ticks)] == pytest.approx([10.0] * 10, abs=0.05)
    x = upright[0]["x0"] * MM
    steps = sorted(v for u, v, w, h in lines if h < 0.01 and 2.0 < w < 4.0 and u < x)
    assert [b - a for a, b in pairwise(steps)] == pytest.approx([10.0] * 10, abs=0.05)
    assert y < 30.0


def test_the_page_for_both_papers_fits_on_either() -> None:
    # A4 210 x 297 (ISO 216); Letter 8.5 x 11 in = 215.9 x 279.4 (ANSI/ASME Y14.1).
    width, height = SHEETS["both"]
    assert width == 210.0
    assert height == pytest.approx(279.4)
    assert LIVE_AREAS["both"] == (190.0, 259.0)
    x0, y0, x1, y1 = live_box("both")
    assert (x1 - x0, y1 - y0) == pytest.approx((190.0, 259.0))
    assert min(x0, y0, width - x1, height - y1) >= 10.0 - 1e-9


@pytest.mark.parametrize("measured", [(100.0, 100.0), (96.3, 97.7), (102.9, 99.1)])
@pytest.mark.parametrize("name", PAGES)
def test_nothing_leaves_the_live_area_even_after_correction(
    name: str, measured: tuple[float, float]
) -> None:
    pages = laid([liner(), WASHER, STRIP], title="Papers", page=name, measured=measured)
    width, height = SHEETS[name]
    live = LIVE_AREAS[name]
    for page in pages:
        sx, sy = page.print_scale
        spots = [p for t in page.texts for p in t.corners()]
        for s in page.strokes:
            boxes = [e.box() for e in s.segments]
            spots += [Point(b[i], b[i + 1]) for b in boxes for i in (0, 2)]
        assert max(abs(p.x - width / 2) * sx for p in spots) <= live[0] / 2 + 1e-6
        assert max(abs(p.y - height / 2) * sy for p in spots) <= live[1] / 2 + 1e-6
        assert [f.message for f in legibility(page)] == []


def test_the_page_says_how_to_print_and_what_the_lines_mean() -> None:
    (page,) = laid([liner(quantity=2)], title="Liners", revision="3f9a", notes=("Gloves on.",))
    said = words(page)
    for part in (
        PRINT_AT,
        "10 x 5 cm inside, 4 x 2 in outside",
        "cut on the middle of the line",
        "fold, do not cut",
        "Page 1 of 1",
        "Revision 3f9a",
        "not ISO 128",
        "Gloves on.",
        "X: 100 mm",
        "cut on the middle of the line (01.2)",
        "Numbers: line types of ISO 128-2",
        "Y: 100 mm",
        "Liners",
    ):
        assert part in said, part
    samples = {s.style for s in page.strokes if not s.closed and len(s.segments) == 1}
    assert {"cut", "fold"} <= samples
    assert "centre" not in samples
    assert "other" not in words(laid([WASHER], title="W")[0])


# --- correction -------------------------------------------------------------------------------


def test_a_correction_makes_the_rulers_measure_100_again() -> None:
    # The printer turns 100 mm into 99.3 across and 100.7 up; on the corrected page the ruler
    # drawn is longer by just that much, so paper shows 100 mm.
    pages = laid([liner(quantity=1)], title="Liners", measured=(99.3, 100.7))
    paths = page_paths(write_pdf(pages, title="x"))[0].paths
    boxes = [c.box for p in paths for c in p.contours if len(c.edges) == 1]
    longest_x = max(b[2] - b[0] for b in boxes)
    longest_y = max(b[3] - b[1] for b in boxes)
    assert longest_x * 0.993 == pytest.approx(100.0, abs=0.01)
    assert longest_y * 1.007 == pytest.approx(100.0, abs=0.01)
    cut = next(c for p in paths for c in p.contours if c.closed and p.width > 0.3)
    x0, y0, x1, y1 = cut.box
    assert (x1 - x0) * 0.993 == pytest.approx(47.3, abs=0.01)
    assert (y1 - y0) * 1.007 == pytest.approx(52.6, abs=0.01)
    assert f"X x {100 / 99.3:.4f}, Y x {100 / 100.7:.4f}" in words(pages[0])
    assert "Not corrected" in words(laid([liner()], title="Liners")[0])


@pytest.mark.parametrize("bad", [(94.9, 100.0), (100.0, 105.1), (math.nan, 100.0), (100.0, 0.0)])
def test_a_ruler_far_off_is_a_setting_and_refused(bad: tuple[float, float]) -> None:
    with pytest.raises(GeometryError, match=r"ruler is said to measure.*100 %"):
        correction(*bad)


# --- layout -----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", PAGES)
def test_every_copy_is_there_at_true_size_apart_and_labelled(name: str) -> None:
    pieces = [liner(quantity=23, gap=4.5), WASHER, STRIP]
    pages = laid(pieces, title="Papers", page=name)
    areas: list[float] = []
    room = Paper(name).room()  # type: ignore[arg-type] # a page name
    for page in pages:
        loops = cut_loops(page)
        outers = [p for p in loops if not any(p.within(q) for q in loops if q is not p)]
        for one, two in combinations(outers, 2):
            assert one.distance(two) >= 4.5 - 1e-6
        for p in outers:
            assert shapely.box(*room).buffer(1e-6).contains(p)
        areas += [p.area for p in outers]
    wanted = [47.3 * 52.6] * 23 + [math.pi * 61.7**2] * 2 + [5.4 * 48.7] * 13
    assert sorted(areas) == pytest.approx(sorted(wanted), rel=1e-3)
    said = " ".join(words(p) for p in pages)
    for piece in pieces:
        for copy in range(1, piece.quantity + 1):
            assert said.count(f"{piece.name} {copy} of {piece.quantity}") == 1
    assert said.count("aramid paper 0.18 mm") == 23  # inside each liner, where it stays
    assert said.count("this side up") == 23 + 2 + sum("wedge " in words(p) for p in pages)
    assert "wedge: pressboard 0.8 mm, 13 pieces, this side up, grain along arrow" in said
    assert [p.title for p in pages] == [
        f"Papers, page {k} of {len(pages)}" for k in range(1, len(pages) + 1)
    ]


def test_a_label_inside_keeps_off_cuts_and_folds() -> None:
    (page,) = laid([liner(quantity=1)], title="Liners")
    label = [shapely.Polygon(t.corners()) for t in page.texts if "slot liner" in t.text]
    (piece,) = cut_loops(page)
    assert piece.contains(label[0])
    folds = [
        shapely.LineString((s.segments[0].start, s.segments[0].end))
        for s in page.strokes
        if s.style == "fold"
    ]
    inside = [f for f in folds if f.intersects(piece)]
    assert len(inside) == 2
    assert all(f.distance(label[0]) >= 0.9 for f in inside)


def test_a_piece_too_small_for_its_label_carries_it_beside() -> None:
    (page,) = laid([STRIP], title="Wedges")
    labels = [shapely.Polygon(t.corners()) for t in page.texts if t.text.startswith("wedge ")]
    assert len(labels) == 13
    pieces = cut_loops(page)
    for piece, label in zip(pieces, labels, strict=True):
        assert not piece.intersects(label)
        assert piece.distance(label) < 12.0
        others = [q for q in pieces if q is not piece]
        assert piece.distance(label) < min(q.distance(label) for q in others)


def grain_arrows(page: Drawing) -> list[float]:
    """Directions in rad (modulo half a turn) of the two-headed grain arrows."""
    tips = [i.loops[0].points for i in page.items if isinstance(i, Fill)]
    return [(p[0].minus(p[1].plus(p[2].minus(p[1]), 0.5)).angle()) % math.pi for p in tips]


@pytest.mark.parametrize("first", [0.0, math.pi / 2, 0.9])
def test_all_grains_run_the_same_way(first: float) -> None:
    pieces = [liner(quantity=4, grain=first), STRIP]
    arrows = [a for p in laid(pieces, title="Papers") for a in grain_arrows(p)]
    assert len(arrows) == 2 * (4 + 13)
    assert all(abs(math.sin(a - arrows[0])) < 1e-9 for a in arrows)


def test_grain_turns_with_a_piece_that_must_be_turned() -> None:
    # 205.3 mm fit the height of the room on A4 (181 x 213.6 mm), not its width.
    long = Piece((Region(Outline.rectangle(205.3, 21.7)),), "strip", 1, "paper", 0.13, grain=0.0)
    short = Piece((Region(Outline.rectangle(31.1, 44.9)),), "patch", 1, "paper", 0.13, grain=0.0)
    (page,) = laid([short, long], title="Papers")
    sizes = sorted(
        (round(b[2] - b[0], 3), round(b[3] - b[1], 3)) for b in (p.bounds for p in cut_loops(page))
    )
    assert sizes == [(21.7, 205.3), (44.9, 31.1)]
    assert grain_arrows(page) == pytest.approx([math.pi / 2] * 4)


def test_what_cannot_be_laid_out_is_refused() -> None:
    with pytest.raises(GeometryError, match="need 4 mm between them"):
        laid([liner(gap=3.0)], title="Liners")
    with pytest.raises(GeometryError, match="no piece"):
        laid([], title="Liners")
    with pytest.raises(GeometryError, match="A4, Letter, both"):
        laid([liner()], title="Liners", page="A5")


def test_a_part_becomes_a_piece_with_its_folds_and_reference_lines() -> None:
    plate = Region(Outline.rectangle(80.3, 61.1))
    run = Path((Line(Point(-40.0, 3.3), Point(40.0, 3.3)),))
    ghost = Path((Line(Point(-44.0, 9.9), Point(44.0, 9.9)),))
    part = Part("cover", (plate,), "pressboard", 0.8, 2, mark=(run,), reference=(ghost,))
    (page,) = laid([Piece.of(part, grain=0.0)], title="Cover")
    styles = [s.style for s in page.strokes]
    assert styles.count("mark") == styles.count("adjacent") == 2 + 1  # two copies and the legend
    assert "cover 2 of 2" in words(page)
    assert "adjacent part" in words(page)


def test_the_layout_is_the_same_every_time_and_long_titles_are_refused() -> None:
    once, again = (laid([liner(), WASHER, STRIP], title="Papers") for _ in range(2))
    assert once == again
    with pytest.raises(GeometryError, match="too long"):
        laid([liner()], title="A very long title indeed " * 12)
    assert text_width(PRINT_AT, 3.5) > 94.0  # it has to wrap in its box


def test_stroke_order_puts_cuts_on_top() -> None:
    kinds = [s.style for s in liner().strokes]
    assert kinds.index("cut") > kinds.index("fold")
    assert isinstance(liner().strokes[-1], Stroke)
    assert isinstance(laid([liner()], title="x")[0].texts[0], Text)
