"""Tiles, as scissors and tape find them: laid cross on cross they are the figure again."""

from __future__ import annotations

import math

import pytest
import shapely
from shapely.affinity import translate

from geometry.drafting.drawing import Drawing, Fill, Item, Stroke, Text
from geometry.drafting.legible import legibility
from geometry.formats.drawing_pdf import write_pdf
from geometry.formats.pdf_read import Contour, Page, page_paths
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.printing.page import Paper, bound, live_box
from geometry.printing.page_layout import lay_out
from geometry.printing.piece import Piece
from geometry.printing.tiles import CROSS, LAP, Figure, on_pages

PAGES = ("A4", "Letter", "both")

WASHER = Region(Outline.circle(Point(12.3, -7.9), 198.7), (Outline.circle(Point(31.7, 3.3), 61.9),))


def tiles(page: str, measured: tuple[float, float] = (100.0, 100.0)) -> list[Drawing]:
    washer = Piece((WASHER,), "end washer", 2, "pressboard", 0.8)
    made = lay_out([washer], title="Washer", page=page, measured=measured, notes=("Gloves on.",))  # type: ignore[arg-type] # a page name
    assert made.tiled == ("end washer",)
    return list(made.pages)


def line_of(contour: Contour) -> shapely.LineString:
    points = [contour.edges[0].points[0]]
    for edge in contour.edges:
        n = 1 if edge.kind == "line" else 64
        points += [edge.at(k / n) for k in range(1, n + 1)]
    return shapely.LineString(points)


def crosses(page: Page) -> list[shapely.Point]:
    """Middles of the crosses: two equal thin lines that halve each other."""
    thin = [line_of(c) for p in page.paths if p.stroked for c in p.contours if len(c.edges) == 1]
    arms = [a for a in thin if abs(a.length - 2 * CROSS) < 0.2]
    level = [a for a in arms if abs(a.coords[0][1] - a.coords[1][1]) < 0.01]
    upright = [a for a in arms if abs(a.coords[0][0] - a.coords[1][0]) < 0.01]
    return [
        a.intersection(b) for a in level for b in upright if a.centroid.distance(b.centroid) < 0.01
    ]


def joined(pages: list[Drawing]) -> tuple[shapely.MultiLineString, int]:
    """The cut lines of all tiles, read from the PDF and laid cross on cross, net of the laps."""
    read = page_paths(write_pdf(pages, title="x"))
    names = [p.title.split(",")[1].strip() for p in pages]
    rows, columns = (max(k) for k in zip(*((ord(n[0]) - 65, int(n[1:]) - 1) for n in names if n != "map"), strict=True))  # fmt: skip
    lines = []
    count = 0
    for drawing, page in zip(pages, read, strict=True):
        name = drawing.title.split(",")[1].strip()
        if name == "map":
            continue
        count += 1
        row, column = ord(name[0]) - ord("A"), int(name[1:]) - 1
        middles = crosses(page)
        assert len(middles) == 4
        x0, y1 = min(p.x for p in middles), max(p.y for p in middles)
        x1, y0 = max(p.x for p in middles), min(p.y for p in middles)
        wide, high = x1 - x0, y1 - y0
        out = 8.0  # beyond the outer crosses there is no neighbour: all of the sheet counts
        cell = shapely.box(
            x0 - out * (column == 0), y0 - out * (row == rows),
            x1 + out * (column == columns), y1 + out * (row == 0),
        )  # fmt: skip
        legend_top = live_box("both")[1] + 66.0
        for path in page.paths:
            if path.stroked and abs(path.width - 0.35) < 0.02:
                for contour in path.contours:
                    part = line_of(contour).intersection(cell)
                    if not part.is_empty and part.bounds[3] > legend_top:
                        lines.append(translate(part, column * wide - x0, -row * high - y1))
    return shapely.union_all(lines), count


@pytest.mark.parametrize("page", PAGES)
def test_tiles_laid_cross_on_cross_are_the_outline(page: str) -> None:
    """Area and length of the joined lines against the exact region: nothing lost, nothing double."""
    merged, count = joined(tiles(page))
    assert count >= 6
    loops = sorted(merged.buffer(0.03).geoms, key=lambda g: -g.convex_hull.area)
    assert [len(loop.interiors) for loop in loops] == [1, 1]  # both close, gaps below 0.06 mm
    outer, hole = (
        (shapely.Polygon(g.exterior).area + shapely.Polygon(g.interiors[0]).area) / 2 for g in loops
    )
    assert outer == pytest.approx(math.pi * 198.7**2, rel=1e-4)
    assert hole == pytest.approx(math.pi * 61.9**2, rel=1e-4)
    assert merged.length == pytest.approx(2 * math.pi * (198.7 + 61.9), abs=0.3)
    x0, y0, x1, y1 = merged.bounds
    assert (x1 - x0, y1 - y0) == pytest.approx((2 * 198.7, 2 * 198.7), abs=0.05)


def test_tiles_of_a_corrected_printer_are_stretched_like_any_page() -> None:
    """98.7 across and 101.4 up: undone on paper, so the printed washer is round again."""
    merged, _ = joined(tiles("A4", (98.7, 101.4)))
    x0, y0, x1, y1 = merged.bounds
    assert (x1 - x0) * 0.987 == pytest.approx(2 * 198.7, abs=0.05)
    assert (y1 - y0) * 1.014 == pytest.approx(2 * 198.7, abs=0.05)


def test_the_lap_is_shown_by_both_neighbours_and_names_are_on_the_map() -> None:
    pages = tiles("both")
    assert 10.0 <= LAP <= 15.0  # survey of tiled prints: a fixed lap of 10 to 15 mm
    names = {p.title.split(",")[1].strip() for p in pages} - {"map"}
    shown = {t.text for t in pages[0].texts}
    assert names <= shown
    assert "cross on cross" in " ".join(t.text for t in pages[0].texts)
    assert any("use as a template for 2 pieces" in " ".join(t.text for t in p.texts) for p in pages)
    for page in pages[1:]:
        name = page.title.split(",")[1].strip()
        edges = {t.text for t in page.texts if "lay over" in t.text or "lies on this" in t.text}
        row, column = name[0], int(name[1:])
        for words in edges:
            other = words.split()[-1] if "lay over" in words else words.split()[0]
            assert abs(ord(other[0]) - ord(row)) + abs(int(other[1:]) - column) == 1
            before = (other[0] < row) or (other[0] == row and int(other[1:]) < column)
            assert before == ("lay over" in words)
    assert sum("Gloves on." in t.text for p in pages for t in p.texts) == 1


@pytest.mark.parametrize("page", PAGES)
def test_every_tile_can_be_read_and_printed(page: str) -> None:
    for drawing in tiles(page, (97.3, 102.2)):
        assert [f.message for f in legibility(drawing)] == []
        lying = drawing.width_mm > drawing.height_mm
        x0, y0, x1, y1 = live_box(page, (97.3, 102.2), lying)  # type: ignore[arg-type] # a page name
        for item in drawing.items:
            if isinstance(item, Stroke):
                for s in item.segments:
                    a, b, c, d = s.box()
                    assert a >= x0 - 1e-6
                    assert b >= y0 - 1e-6
                    assert c <= x1 + 1e-6
                    assert d <= y1 + 1e-6
        rulers = [t.text for t in drawing.texts]
        assert {"X: 100 mm", "Y: 100 mm"} <= set(rulers)


def test_words_are_whole_on_some_tile_and_fills_are_cut_at_its_border() -> None:
    bar = Outline.rectangle(391.0, 9.0)
    words = [Text(-180.0 + 11.0 * k, 20.0, 2.5, f"no {k}", "centre", 0.3) for k in range(33)]
    frame = Outline.rectangle(400.0, 61.0)
    items: tuple[Item, ...] = (
        *(Stroke(o.segments, "cut") for o in (frame, bar)),
        Fill((bar,), "sand"),
        *words,
    )
    paper = Paper("both")
    pages = bound(on_pages([Figure(items, (Region(frame),), "bar")], paper), paper, "Bar", "")
    said = [t.text for p in pages for t in p.texts]
    assert all(f"no {k}" in said for k in range(33))
    for page in pages:
        x0, _, x1, _ = live_box("both", landscape=page.width_mm > page.height_mm)
        for item in page.items:
            if isinstance(item, Fill) and item.tone == "sand":
                for loop in item.loops:
                    assert x0 - 1e-6 <= loop.box[0] < loop.box[2] <= x1 + 1e-6


def test_a_tile_wholly_outside_the_material_is_left_away() -> None:
    ring = Region(Outline.circle(Point(0, 0), 330.0), (Outline.circle(Point(0, 0), 321.0),))
    made = lay_out([Piece((ring,), "hoop", 1, "card", 0.5)], title="Hoop", page="both")
    names = {p.title.split(",")[1].strip() for p in made.pages}
    rows = {n[0] for n in names if n != "map"}
    columns = {n[1:] for n in names if n != "map"}
    assert len(names) - 1 < len(rows) * len(columns)
    middle = sorted(rows)[len(rows) // 2] + sorted(columns)[len(columns) // 2]
    assert middle not in names
