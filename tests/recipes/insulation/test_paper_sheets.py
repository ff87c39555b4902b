"""Sheets of slot paper: every piece once, apart, on the sheet, with its grain and its perforation."""

from __future__ import annotations

import io
import math
from collections import Counter
from dataclasses import replace
from itertools import combinations

import ezdxf.recover
import pytest
import shapely

from geometry.formats.cut_svg import write_cut_svg
from geometry.formats.dxf_write import write_flat_dxf
from geometry.part import Part, Path
from geometry.point import Point
from geometry.polygon import to_polygon
from geometry.printing.page import SHEETS
from geometry.segment import Line
from recipes.assess import assess
from recipes.build.read_back import check_cut_svg, check_dxf
from recipes.catalogue import Parts, slot_papers
from recipes.insulation.paper_sheets import perforation
from recipes.report.order import order_lines
from tests.support.design import STARTERS, job
from tests.support.page import book, sheet_of

PAGE = (210.0, 279.4)


def pieces_of(sheets: tuple[Part, ...]) -> Counter[str]:
    found: Counter[str] = Counter()
    for sheet in sheets:
        for key, n in sheet.settings.items():
            if key.startswith("pieces_"):
                found[key.removeprefix("pieces_")] += int(n) * sheet.quantity
    return found


@pytest.mark.parametrize("name", STARTERS)
def test_every_piece_lies_on_the_sheets_once_with_its_spares(name: str) -> None:
    parts = Parts(job(name))
    sheets = parts["paper_sheets"]
    papers = {p.name: p for p in slot_papers(parts)}
    assert pieces_of(sheets) == {n: p.quantity for n, p in papers.items()}
    assert "liner_trial" not in papers
    area = math.fsum(s.area * s.quantity for s in sheets)
    assert area == pytest.approx(math.fsum(p.area * p.quantity for p in papers.values()))
    for sheet in sheets:
        held = [papers[k.removeprefix("pieces_")] for k in sheet.settings if k.startswith("pieces")]
        assert {(p.material, p.thickness) for p in held} == {(sheet.material, sheet.thickness)}


@pytest.mark.parametrize("name", STARTERS)
def test_pieces_keep_apart_and_off_the_edge_and_none_is_turned(name: str) -> None:
    """4 mm between pieces and 8 mm to the edge for one's own machine, common practice."""
    parts = Parts(job(name))
    size = SHEETS[job(name).design.print.page]
    shapes = {r.outer.box[2] - r.outer.box[0] for p in slot_papers(parts) for r in p.cut}
    for sheet in parts["paper_sheets"]:
        polygons = [to_polygon(r) for r in sheet.cut]
        room = shapely.box(8 - 1e-6, 8 - 1e-6, size[0] - 8 + 1e-6, size[1] - 8 + 1e-6)
        assert all(room.covers(p) for p in polygons)
        assert all(a.distance(b) > 4 - 1e-6 for a, b in combinations(polygons, 2))
        for p in polygons:
            x0, _, x1, _ = p.bounds
            assert min(abs(x1 - x0 - w) for w in shapes) < 1e-6


def test_cuts_of_a_perforation_by_hand() -> None:
    """10 mm with cuts of 1 and gaps of 2: two cuts, 2 mm whole between them and 3 mm at either end."""
    fold = Line(Point(5.0, 7.0), Point(15.0, 7.0))
    ends = [
        x for p in perforation(fold, 1.0, 2.0) for s in p.segments for x in (s.start.x, s.end.x)
    ]
    assert ends == pytest.approx([8.0, 9.0, 11.0, 12.0])
    assert perforation(fold, 6.0, 2.5) == ()
    assert len(perforation(fold, 5.0, 2.5)) == 1


@pytest.mark.parametrize(("chosen", "level"), [("cuff folds", 0), ("all folds", 1), ("none", 0)])
def test_what_is_perforated_is_chosen(chosen: str, level: int) -> None:
    j = job(print={"perforate": chosen, "perforation_dash": 0.8, "perforation_gap": 1.7})
    parts = Parts(j)
    sheet = parts["paper_sheets"][0]
    cuts = [s for path in sheet.perforation for s in path.segments]
    assert {round(s.length, 9) for s in cuts} == (set() if chosen == "none" else {0.8})
    across = [s for s in cuts if s.start.y == s.end.y]
    assert (len(across) < len(cuts)) == (chosen == "all folds")
    inside = shapely.union_all([to_polygon(r) for r in sheet.cut])
    for s in cuts:
        assert shapely.LineString([tuple(s.start), tuple(s.end)]).within(inside)
    told = [f for f in assess(j, parts).findings if f.code == "perforated-in-slot"]
    assert len(told) == level
    if chosen == "cuff folds":  # they lie outside the stack: only there may paper have slits
        size = j.liner_size
        middle = sum(sheet.cut[0].box[1::2]) / 2
        steel = j.stack.length / 2
        first = [s for s in cuts if sheet.cut[0].box[1] < s.start.y < sheet.cut[0].box[3]]
        assert min(abs(s.start.y - middle) for s in first) > steel + size.passed


def test_the_sheet_is_chosen_and_what_it_does_not_hold_is_told() -> None:
    small = job(print={"cutter_sheet": {"width": 60.0, "height": 120.0}})
    sheets = Parts(small)["paper_sheets"]
    assert set(pieces_of(sheets)) == {"wedge", "separator"}
    (told,) = (
        f for f in assess(small, Parts(small)).findings if f.code == "larger-than-cutter-sheet"
    )
    assert told.field == "print.cutter_sheet"
    assert "liner" in told.message
    wide = job(print={"cutter_sheet": {"width": 305.0, "height": 305.0}})
    assert len(Parts(wide)["paper_sheets"]) == 3
    assert pieces_of(Parts(wide)["paper_sheets"])["liner"] == 27


def test_dxf_and_svg_hold_the_same_sheet() -> None:
    sheet = Parts(job())["paper_sheets"][0]
    data = write_flat_dxf(sheet)
    assert check_dxf(sheet, True, data) == []
    document, auditor = ezdxf.recover.read(io.BytesIO(data))
    assert not auditor.errors
    layers = Counter(e.dxf.layer for e in document.modelspace())
    assert layers == {"CUT_OUTER": len(sheet.cut), "PERFORATION": len(sheet.perforation)}
    assert not [e for e in document.modelspace() if e.dxftype() in ("TEXT", "MTEXT")]
    text = write_cut_svg(sheet, PAGE)
    assert 'width="210mm" height="279.4mm" viewBox="0 0 210 279.4"' in text
    assert text.count("<path") == len(sheet.cut) + len(sheet.perforation)
    assert "<text" not in text
    assert check_cut_svg(sheet, PAGE, text.encode()) == []


def test_a_sheet_that_differs_from_its_files_is_found_out() -> None:
    sheet = Parts(job())["paper_sheets"][0]
    svg, dxf = write_cut_svg(sheet, PAGE).encode(), write_flat_dxf(sheet)
    lost = replace(sheet, perforation=sheet.perforation[1:])
    moved = replace(sheet, cut=(sheet.cut[0].moved(0.01, 0.0), *sheet.cut[1:]))
    longer = (Path((Line(Point(9.0, 9.0), Point(9.0, 10.5)),)), *sheet.perforation[1:])
    for other in (lost, moved, replace(sheet, perforation=longer)):
        assert check_cut_svg(other, PAGE, svg)
        assert check_dxf(other, True, dxf)
    assert check_cut_svg(sheet, (210.0, 297.0), svg)


def test_paper_is_ordered_once_and_the_step_names_the_sheets() -> None:
    j = job()
    parts = Parts(j)
    every = [p for name in ("liner", "slot_strips", "paper_sheets") for p in parts[name]]
    bought = [x for x in order_lines(j, every, {}) if x.item.startswith("insulation")]
    without = [p for p in every if not p.name.startswith("paper_sheet")]
    assert bought == [x for x in order_lines(j, without, {}) if x.item.startswith("insulation")]
    (first, *_) = (x for x in order_lines(j, every, {}) if x.part == "paper_sheet_1")
    assert first.size.startswith("24 pieces on 210.00 x 279.40 mm")


def test_fumes_are_said_only_where_a_laser_cuts_the_paper() -> None:
    def cautions(cutter: str) -> str:
        step = next(s for s in sheet_of(book(print={"cutter": cutter})).steps if s.key == "line")
        return " ".join(e.text for e in step.entries)

    assert "hydrogen cyanide" in cautions("laser")
    assert "hydrogen cyanide" not in cautions("drag knife")
    assert "paper-sheet" in cautions("drag knife")
