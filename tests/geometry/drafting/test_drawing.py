"""The drawing model: scales, lines, letters and sheets by their standards; views and hatching."""

from __future__ import annotations

import dataclasses
import math

import pytest

from geometry.drafting.drawing import STYLES, Drawing, Stroke, Text, line, polyline
from geometry.drafting.font import font_file, missing, text_width, wrap
from geometry.drafting.legible import legibility
from geometry.drafting.sheet import BLOCK_WIDTH, PAPER, TitleBlock, framed_sheet, paper_size, table
from geometry.drafting.symbol import first_angle, hatch
from geometry.drafting.view import SCALES, View, pick_scale
from geometry.errors import GeometryError
from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Line
from tests.support.drawing import split_ring, stadium

# --- standards ------------------------------------------------------------------------------


def test_scales_are_those_of_iso_5455() -> None:
    # ISO 5455:1979 table 1: enlargement 50:1 20:1 10:1 5:1 2:1, full size, reduction 1:2 ... 1:10000.
    printed = (
        "50:1 20:1 10:1 5:1 2:1 1:1 1:2 1:5 1:10 1:20 1:50 1:100 1:200 1:500 1:1000 1:2000 "
        "1:5000 1:10000"
    )
    assert " ".join(f"{a}:{b}" for a, b in SCALES) == printed


@pytest.mark.parametrize(
    ("extent", "room", "scale"),
    [
        ((147.6, 23.8), (267.0, 140.0), (1, 1)),
        ((147.6, 23.8), (296.0, 140.0), (2, 1)),
        ((181.3, 181.3), (180.0, 180.0), (1, 2)),
        ((100.0, 40.0), (50.0, 90.0), (1, 2)),  # exactly
        ((3.1, 1.9), (160.0, 160.0), (50, 1)),
        ((4321.0, 10.0), (250.0, 100.0), (1, 20)),
    ],
)
def test_the_largest_scale_that_fits_is_picked(
    extent: tuple[float, float], room: tuple[float, float], scale: tuple[int, int]
) -> None:
    assert pick_scale(extent, room) == scale


def test_a_scale_limit_holds_and_a_hopeless_extent_is_named() -> None:
    assert pick_scale((3.1, 1.9), (160.0, 160.0), largest=(5, 1)) == (5, 1)
    with pytest.raises(GeometryError, match=r"3000000\.0 x 2\.0 mm does not fit"):
        pick_scale((3e6, 2.0), (250.0, 100.0))
    with pytest.raises(GeometryError, match="above 0 mm"):
        pick_scale((12.0, 3.0), (0.0, 100.0))


def test_paper_follows_iso_216_by_halving_a0() -> None:
    # ISO 216: A0 is 841 x 1189 mm; each size halves the long edge of the last, rounded down.
    short, long = 841, 1189
    series = {}
    for n in range(5):
        series[f"A{n}"] = (float(short), float(long))
        short, long = long // 2, short
    assert {name: PAPER[name] for name in ("A4", "A3")} == {n: series[n] for n in ("A4", "A3")}
    # Letter: 8.5 x 11 in (ANSI/ASME Y14.1 size A).
    assert PAPER["Letter"] == (pytest.approx(8.5 * 25.4), pytest.approx(11 * 25.4))
    assert paper_size("A3", landscape=True) == (420.0, 297.0)
    with pytest.raises(GeometryError, match="A3, A4, Letter"):
        paper_size("A9")


def test_line_styles_follow_iso_128_2() -> None:
    # ISO 128-2: wide to narrow 2:1, widths from the series 0.13 0.18 0.25 0.35 0.5 0.7 1.
    assert {s.width for s in STYLES.values()} <= {0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0}
    assert STYLES["visible"].width == 2 * STYLES["narrow"].width
    numbers = {n: STYLES[n].number for n in ("visible", "narrow", "hidden", "centre", "adjacent")}
    assert list(numbers.values()) == ["01.2", "01.1", "02.1", "04.1", "05.1"]
    # ISO 128-20:1996 table 3 (from memory), in line widths: dash 12, long dash 24, dot 0.5, gap 3.
    in_widths = {n: [d / STYLES[n].width for d in STYLES[n].dashes] for n in STYLES}
    assert in_widths["hidden"] == pytest.approx([12, 3])
    assert in_widths["centre"] == pytest.approx([24, 3, 0.5, 3])
    assert in_widths["adjacent"] == pytest.approx([24, 3, 0.5, 3, 0.5, 3])
    assert in_widths["visible"] == in_widths["cut"] == []


def test_capitals_on_paper_have_the_nominal_height_of_iso_3098() -> None:
    # Measured in the picture of another engine (PDFium), not in the font file.
    import pypdfium2
    from PIL import ImageOps

    from geometry.formats.drawing_pdf import write_pdf

    for height in (2.5, 3.5, 7.0):
        sheet = Drawing(40.0, 20.0, (Text(5.0, 5.0, height, "HEH"),))
        pdf = pypdfium2.PdfDocument(write_pdf([sheet], title="t"))
        picture = pdf[0].render(scale=20).to_pil().convert("L")
        left, top, right, bottom = ImageOps.invert(picture).getbbox()
        mm = 25.4 / 72 / 20
        assert (bottom - top) * mm == pytest.approx(height, abs=0.05)
        assert left * mm == pytest.approx(5.0, abs=0.15 * height)
        assert right * mm == pytest.approx(5.0 + text_width("HEH", height), abs=0.15 * height)
        pdf.close()


def test_text_widths_agree_with_another_typesetter() -> None:
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    pdfmetrics.registerFont(TTFont("check", str(font_file())))
    for words in ("⌀25 h6 (24.987 / 25.000)", "Töpferei Łąka", "±0.05 × 3 → Ω"):
        cap = 0.72900390625  # height of H in ems, DejaVu Sans
        wide = pdfmetrics.stringWidth(words, "check", 3.5 / cap)
        assert text_width(words, 3.5) == pytest.approx(wide, rel=1e-3)


def test_the_font_has_every_sign_that_drawings_use() -> None:
    assert missing("⌀Ø±°×→←↑↓↔Ω·µ≤≥²³–−½√☐☑⚠ äöüßéñŁąžščøåΔαρ Ж") == ""
    assert missing("slot 轴 4 轴") == "轴"


# --- sheet ------------------------------------------------------------------------------------


def test_the_title_block_holds_the_fields_of_iso_7200() -> None:
    # ISO 7200:2004 mandatory fields (from memory), and width 180 mm.
    block = TitleBlock("Spool shaft", "WS-12", owner="Lindenhof", sheet=(2, 3), revision="9c41")
    words = [
        t.text for t in framed_sheet("A4", block, landscape=False).items if isinstance(t, Text)
    ]
    labels = "Legal owner;Number;Date of issue;Sheet;Title;Approved by;Created by;Document type"
    assert set(labels.split(";")) <= set(words)
    assert {"Spool shaft", "WS-12", "Lindenhof", "2 / 3", "9c41", "ISO 2768-mK", "mm"} <= set(words)
    assert "break sharp edges 0.3-0.5" in words
    assert BLOCK_WIDTH == 180.0
    sheet = framed_sheet("A4", block, landscape=False)
    assert sheet.side is None
    assert sheet.room[3] - sheet.room[1] > 200.0


def test_a_title_too_long_for_its_cell_is_named() -> None:
    two = "Shaft of the spool, second of four, with both seats and the long wire slot"
    words = [t.text for t in framed_sheet("A4", TitleBlock(two, "1")).items if isinstance(t, Text)]
    assert " ".join(w for w in words if w in two).count("Shaft of the spool") == 1
    with pytest.raises(GeometryError, match="field 'title' holds"):
        framed_sheet("A4", TitleBlock(f"{two}, and its twin of the other hand", "1"))
    with pytest.raises(GeometryError, match="field 'number' holds"):
        framed_sheet("A4", TitleBlock("Shaft", "x" * 60))


def test_the_first_angle_sign_has_its_small_end_away_from_the_circles() -> None:
    # ISO 5456-2: in first-angle projection the view from the left stands on the right.
    loops = [Outline(s.segments) for s in first_angle(Point(0.0, 0.0)) if s.closed]  # type: ignore[union-attr] # all strokes
    cone = next(o for o in loops if o.as_circle() is None)
    circles = [c for o in loops if (c := o.as_circle())]
    left = [p.y for p in cone.points if p.x == cone.box[0]]
    right = [p.y for p in cone.points if p.x == cone.box[2]]
    assert max(left) - min(left) < max(right) - min(right)
    assert min(c[0].x for c in circles) > cone.box[2]


def test_a_table_wraps_and_refuses_what_does_not_fit() -> None:
    made = table(20.0, 100.0, [["Drill", "from face A"], ["1", "81.20"]], widths=(20.0, 14.0))
    words = [t.text for t in made.items if isinstance(t, Text)]
    assert words == ["Drill", "from", "face A", "1", "81.20"]
    assert legibility(Drawing(210.0, 297.0, made.items)) == []
    with pytest.raises(GeometryError, match=r"'81.20' is too wide"):
        table(20.0, 100.0, [["81.20"]], widths=(6.0,))
    with pytest.raises(GeometryError, match="equal length"):
        table(20.0, 100.0, [["a"], ["b", "c"]])


def test_words_wrap_at_spaces_and_numbers_keep_their_unit() -> None:
    assert wrap("aramid paper 0.25\u00a0mm thick", text_width("aramid paper 0.25", 2.5), 2.5) == [
        "aramid paper",
        "0.25 mm thick",
    ]


# --- model ------------------------------------------------------------------------------------


def test_a_view_maps_exactly() -> None:
    loop = stadium(11.3, 4.6, 17.9)
    for scale, mirrored in (((2, 1), False), ((1, 5), True)):
        view = View(Point(101.0, 77.0), scale, Point(11.3, 0.0), 0.7, mirrored)
        shown = view.outline(loop)
        assert shown.area == pytest.approx(loop.area * view.factor**2, rel=1e-12)
        assert shown.perimeter == pytest.approx(loop.perimeter * view.factor, rel=1e-12)
        assert shown.ccw != mirrored
        assert view.point(Point(11.3, 0.0)) == Point(101.0, 77.0)
        along = view.at(12.3, 0.0).minus(view.at(11.3, 0.0)).angle()
        assert math.cos(along - view.angle(0.0)) == pytest.approx(1.0)
    assert View(Point(0.0, 0.0), (1, 2)).label == "1:2"


def test_hatching_covers_the_area_and_nothing_else() -> None:
    face = split_ring(23.8, 7.3, 4.6)
    for spacing, angle in ((0.9, math.pi / 4), (2.0, 0.0), (1.3, 2.0)):
        strokes = hatch(face, spacing=spacing, angle=angle)
        drawn = math.fsum(s.segments[0].length for s in strokes)
        assert drawn * spacing == pytest.approx(face.area, rel=0.03)
        for stroke in strokes:
            middle = stroke.segments[0].point_at(0.5)  # type: ignore[union-attr] # lines only
            assert 7.3 / 2 - 0.01 < middle.length() < 23.8
            assert not (abs(middle.x) < 2.3 and middle.y > 7.3)  # not in the slot
            turn = stroke.segments[0].direction().angle()
            assert abs(math.sin(turn - angle)) < 1e-9


def test_a_drawing_is_frozen_and_refuses_nonsense() -> None:
    sheet = Drawing(210.0, 297.0, ())
    with pytest.raises(dataclasses.FrozenInstanceError):
        sheet.title = "x"  # type: ignore[misc] # that is the point
    with pytest.raises(GeometryError, match="finite size"):
        Drawing(210.0, math.nan, ())
    with pytest.raises(GeometryError, match="unknown line style 'dotted'"):
        line(Point(0.0, 0.0), Point(1.0, 0.0), "dotted")
    a, b, c = Point(0.0, 0.0), Point(3.0, 0.0), Point(3.0, 1.0)
    with pytest.raises(GeometryError, match="gap"):
        Stroke((Line(a, b), Line(c, a)), "visible")
    with pytest.raises(GeometryError, match="one line"):
        Text(0.0, 0.0, 2.5, "two\nlines")


def test_a_run_of_edges_rests_where_a_point_repeats() -> None:
    a, b, c = Point(1.2, 3.4), Point(5.6, 3.4), Point(5.6, 7.1)
    assert polyline([a, a, b, b, b, c, c]).segments == (Line(a, b), Line(b, c))
