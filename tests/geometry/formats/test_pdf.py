"""PDF pages measured by two engines that did not write them, and the reader that a build uses."""

from __future__ import annotations

import io
import math

import pdfplumber
import pypdf
import pypdfium2
import pytest
from PIL import Image, ImageChops, ImageDraw

from geometry.drafting.drawing import STYLES, Drawing, Fill, Stroke, Text, box, edges, line
from geometry.drafting.font import FONT_NAME, em
from geometry.drafting.sheet import paper_size
from geometry.errors import GeometryError
from geometry.formats.drawing_pdf import STRAY, ascii_words, cubics, write_pdf
from geometry.formats.embedded_design import extract
from geometry.formats.pdf_read import Contour, Page, PathEdge, page_paths
from geometry.outline import Outline, Region
from geometry.point import Point
from geometry.segment import Arc, Line
from geometry.tolerance import READ_BACK_PAGE
from tests.support.drawing import shaft_sheet, split_ring, stadium

MM = 25.4 / 72


def one_page(*items: Stroke | Fill | Text, **more: tuple[float, float]) -> bytes:
    return write_pdf([Drawing(210.0, 297.0, items, "check", **more)], title="check")


def only(pages: list[Page]) -> Page:
    assert len(pages) == 1
    return pages[0]


# --- sizes ------------------------------------------------------------------------------------


def test_page_sizes_are_those_of_the_standards_in_points() -> None:
    # ISO 216 sizes, 1/72 in user units (ISO 32000-1): A4 595.2756 x 841.8898, A3 841.8898 x
    # 1190.5512; Letter 8.5 x 11 in (ANSI/ASME Y14.1) 612 x 792.
    wanted = {
        ("A4", False): (595.2756, 841.8898),
        ("A3", True): (1190.5512, 841.8898),
        ("Letter", True): (792.0, 612.0),
        ("Letter", False): (612.0, 792.0),
    }
    sheets = [Drawing(*paper_size(p, landscape=turned), ()) for p, turned in wanted]
    with pdfplumber.open(io.BytesIO(write_pdf(sheets, title="sizes"))) as pdf:
        for page, size in zip(pdf.pages, wanted.values(), strict=True):
            assert (float(page.width), float(page.height)) == pytest.approx(size, abs=1e-3)


def test_lengths_on_the_page_are_true_to_a_twentieth_of_a_millimetre() -> None:
    data = one_page(
        line(Point(31.7, 40.2), Point(148.9, 40.2)),
        line(Point(20.1, 50.3), Point(20.1, 233.4), "visible"),
        box(61.3, 70.9, 163.1, 121.2, "cut"),
    )
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        page = pdf.pages[0]
        across, up = sorted(page.lines, key=lambda s: s["width"], reverse=True)
        frame = page.rects[0]
    assert across["width"] * MM == pytest.approx(117.2, abs=0.05)
    assert across["x0"] * MM == pytest.approx(31.7, abs=0.05)
    assert up["height"] * MM == pytest.approx(183.1, abs=0.05)
    assert up["y0"] * MM == pytest.approx(50.3, abs=0.05)
    assert (frame["width"] * MM, frame["height"] * MM) == pytest.approx((101.8, 50.3), abs=0.05)


def test_a_correction_stretches_the_page_about_its_middle() -> None:
    data = one_page(line(Point(5.0, 40.0), Point(205.0, 40.0)), print_scale=(1.004, 0.997))
    edge = only(page_paths(data)).paths[0].contours[0].edges[0]
    (x0, y0), (x1, y1) = edge.points
    assert x1 - x0 == pytest.approx(200.0 * 1.004, abs=1e-3)
    assert (x0 + x1) / 2 == pytest.approx(105.0, abs=1e-3)
    assert y0 == pytest.approx(148.5 - 108.5 * 0.997, abs=1e-3)
    assert y1 == y0


def test_a_turned_text_stands_where_it_was_measured() -> None:
    text = Text(70.0, 80.0, 5.0, "HHHHHHHH", angle=math.pi / 2)
    with pdfplumber.open(io.BytesIO(one_page(text))) as pdf:
        letters = pdf.pages[0].chars
        height = float(pdf.pages[0].height)
    low = min(height - c["bottom"] for c in letters) * MM
    high = max(height - c["top"] for c in letters) * MM
    assert low == pytest.approx(80.0, abs=0.3)
    assert high - low == pytest.approx(text.width, abs=0.3)


# --- arcs -------------------------------------------------------------------------------------


@pytest.mark.parametrize("radius", [0.31, 0.73, 4.9, 90.3, 612.0])
def test_cubics_stay_within_a_tenth_of_a_micrometre(radius: float) -> None:
    # Goldapp 1991 and any text on Bezier arcs: the error grows with the sixth power of the
    # angle; 90 degrees gives 2.73e-4 of the radius, so 36 degrees about 2.73e-4 x 0.4^6 = 1.1e-6.
    for ccw in (True, False):
        center, end = Point(3.7, -1.9), 5.1 if ccw else -5.1
        spots = [center.plus(Point.polar(radius, a)) for a in (0.0, end)]
        arc = Arc(spots[0], spots[1], center, ccw)
        curves = cubics(arc)
        start, worst = arc.start, 0.0
        for one, two, stop in curves:
            edge = PathEdge("curve", (start, one, two, stop))
            worst = max(worst, *(abs(edge.at(k / 60).distance(center) - radius) for k in range(61)))
            start = stop
        assert start == arc.end
        assert worst < 1.01 * STRAY
        fewer = len(curves) - 1
        too_far = 2.73e-4 * radius * (5.1 / fewer / (math.pi / 2)) ** 6 > 0.99e-4
        assert too_far or 5.1 / fewer > math.pi / 2  # no curve in vain


SHAPES = {
    "disc": Region(Outline.circle(Point(101.3, 140.7), 61.9)),
    "washer": Region(
        Outline.circle(Point(101.3, 140.7), 70.3), (Outline.circle(Point(96.0, 138.0), 31.7),)
    ),
    "stadium": Region(stadium(40.0, 23.4, 117.9).moved(12.3, 150.9)),
    "split ring": split_ring(61.3, 21.7, 9.9).moved(105.0, 150.0),
    "plate": Region(Outline.polygon([(20.1, 30.2), (180.3, 44.4), (150.9, 201.7)])),
}


@pytest.mark.parametrize("name", SHAPES)
def test_contours_read_back_as_they_were_drawn(name: str) -> None:
    region = SHAPES[name]
    page = only(page_paths(one_page(*edges(region, "cut"))))
    assert len(page.paths) == len(region.loops)
    for path, loop in zip(page.paths, region.loops, strict=True):
        (contour,) = path.contours
        assert contour.closed
        assert path.stroked
        assert not path.filled
        assert path.width == pytest.approx(0.35, abs=1e-3)
        assert contour.box == pytest.approx(loop.box, abs=READ_BACK_PAGE)
        assert contour.area == pytest.approx(loop.area, rel=4e-6)
        assert math.copysign(1, contour.signed_area) == math.copysign(1, loop.signed_area)
        lines = sum(isinstance(s, Line) for s in loop.segments)
        assert sum(e.kind == "line" for e in contour.edges) == lines


@pytest.mark.parametrize("name", SHAPES)
def test_a_filled_piece_covers_its_outline_pixel_by_pixel(name: str) -> None:
    region, scale = SHAPES[name], 5.0
    pdf = pypdfium2.PdfDocument(one_page(Fill(tuple(loop.oriented(True) for loop in region.loops))))
    shown = pdf[0].render(scale=scale).to_pil().convert("L").point(lambda v: 255 * (v < 128))
    pdf.close()
    across, up = shown.width / 210.0, shown.height / 297.0  # whole pixels stretch it a little
    wanted = Image.new("L", shown.size, 0)
    pen = ImageDraw.Draw(wanted)
    for loop in (region.outer, *region.holes):
        corners = [  # pillow counts from the middle of the first pixel
            (p.x * across - 0.5, (297.0 - p.y) * up - 0.5) for p in loop.chords(0.01)
        ]
        pen.polygon(corners, fill=255 if loop is region.outer else 0)
    both = ImageChops.multiply(shown, wanted).histogram()[255]
    either = ImageChops.lighter(shown, wanted).histogram()[255]
    assert either > 50_000
    assert both / either >= 0.995
    inked = shown.histogram()[255] / (across * up)
    assert inked == pytest.approx(region.area, rel=0.003)


# --- what the file holds ----------------------------------------------------------------------


def test_line_widths_and_dashes_come_back() -> None:
    items = [
        line(Point(20.0, 30.0 + 9 * k), Point(150.0, 30.0 + 9 * k), n) for k, n in enumerate(STYLES)
    ]
    paths = only(page_paths(one_page(*items))).paths
    for path, style in zip(paths, STYLES.values(), strict=True):
        assert path.width == pytest.approx(style.width, abs=1e-3)
        assert path.dashes == pytest.approx(style.dashes, abs=1e-3)


def test_every_font_is_embedded() -> None:
    data = write_pdf([shaft_sheet(), shaft_sheet("Letter", False)], title="fonts")
    names = set()
    for page in pypdf.PdfReader(io.BytesIO(data)).pages:
        for reference in page["/Resources"]["/Font"].values():  # type: ignore[index] # a dict
            font = reference.get_object()
            names.add(font["/BaseFont"])
            assert "/FontFile2" in font["/FontDescriptor"], font["/BaseFont"]
    assert names
    assert all(n.endswith("+DejaVuSansCondensed") for n in names)


def test_words_can_be_searched_and_copied() -> None:
    sheet = shaft_sheet()
    words = only(page_paths(write_pdf([sheet], title="words"))).text
    for text in sheet.texts:
        assert text.text in words
    assert "⌀23.8 h7" in words
    assert "Töpferei Łąka" in words


def test_the_file_asks_not_to_be_scaled_and_carries_no_date_of_its_own() -> None:
    data = write_pdf([shaft_sheet()], title="Töpferscheibe: Welle ⌀12", payload="")
    reader = pypdf.PdfReader(io.BytesIO(data))
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"  # type: ignore[index] # a dict
    assert reader.metadata is not None
    assert reader.metadata.title == "Topferscheibe: Welle ?12"
    assert reader.metadata["/CreationDate"].startswith("D:20000101")
    assert ascii_words("Łąka é") == "?aka e"


@pytest.mark.parametrize("length", [1, 17, 4096, 60_000])
def test_a_payload_survives_in_the_bytes(length: int) -> None:
    text = "".join(chr(33 + (7 * k) % 90) for k in range(length - 1)) + "ä"
    sheet = Drawing(210.0, 297.0, (Text(20.0, 20.0, 2.5, "x"),))
    data = write_pdf([sheet], title="payload (with) brackets\\", payload=text)
    assert extract(data) == text
    assert extract(write_pdf([sheet], title="none")) is None
    rewritten = io.BytesIO()  # another program saves it again
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(data))
    writer.write(rewritten)
    again = pypdf.PdfReader(rewritten).metadata
    assert again is not None
    assert extract(again["/Keywords"].encode()) == text


def test_one_process_writes_the_same_bytes_whatever_it_wrote_before() -> None:
    first = write_pdf([shaft_sheet()], title="a")
    write_pdf([shaft_sheet("A3")], title="b", payload="other")
    assert write_pdf([shaft_sheet()], title="a") == first


def test_no_drawing_no_pdf() -> None:
    with pytest.raises(GeometryError, match="at least one drawing"):
        write_pdf([], title="empty")


def test_words_are_written_as_reportlab_itself_writes_them() -> None:
    from reportlab.pdfgen.canvas import Canvas

    text = Text(31.7, 40.2, 3.5, "Ø 12,5 (±0,1) \\ \u00a0Öse", angle=0.3)
    ours = pypdf.PdfReader(io.BytesIO(one_page(text))).pages[0].get_contents()
    stream = io.BytesIO()
    canvas = Canvas(stream, invariant=1, initialFontName=FONT_NAME)
    words = canvas.beginText()
    c, s = math.cos(0.3), math.sin(0.3)
    words.setTextTransform(c, s, -s, c, 31.7 / MM, 40.2 / MM)
    words.setFont(FONT_NAME, em(3.5) / MM)
    words.textOut(text.text)
    canvas.drawText(words)
    canvas.save()
    theirs = pypdf.PdfReader(io.BytesIO(stream.getvalue())).pages[0].get_contents()
    assert ours is not None
    assert theirs is not None
    (line,) = (t for t in theirs.get_data().split(b"\n") if t.startswith(b"BT 1 0 0 1 0 0 Tm .95"))
    assert line in ours.get_data().split(b"\n")
    assert line.count(b"Tf") == 1


# --- the reader -------------------------------------------------------------------------------


def test_the_reader_measures_a_page_that_another_library_wrote() -> None:
    # Written by hand: a triangle, a cubic, a rectangle under a matrix, no close.
    content = b"""q 2 0 0 3 10 20 cm 0.5 w [4 2] 0 d 0 0 m 72 0 l 72 36 l h S Q
1 0 0 1 0 0 cm 100 100 m 100 200 200 200 200 100 c f
10 10 m 82 10 l S"""
    writer = pypdf.PdfWriter()
    page = writer.add_blank_page(width=612, height=792)
    stream = pypdf.generic.DecodedStreamObject()
    stream.set_data(content)
    page[pypdf.generic.NameObject("/Contents")] = writer._add_object(stream)
    data = io.BytesIO()
    writer.write(data)
    triangle, curve, stroke = only(page_paths(data.getvalue())).paths
    inch = 25.4
    assert triangle.contours[0].area == pytest.approx(2 * 1.5 * inch**2 / 2, rel=1e-6)
    assert triangle.contours[0].box[0] == pytest.approx(10 * MM)
    assert triangle.dashes == pytest.approx(
        [4 * math.sqrt(6) * MM, 2 * math.sqrt(6) * MM], rel=1e-5
    )
    # A symmetric cubic of height 100 rises to 3/4 of it; area 0.6 of the control box.
    assert curve.filled
    assert curve.contours[0].box[3] == pytest.approx(175 * MM, rel=1e-6)
    assert curve.contours[0].area == pytest.approx(0.6 * (100 * MM) ** 2, rel=1e-6)
    assert len(curve.contours[0].chords(5)) == 6
    assert not stroke.contours[0].closed
    assert stroke.contours[0].edges[0].points[1].x == pytest.approx(82 * MM, rel=1e-6)


@pytest.mark.parametrize(
    "controls",
    [
        ((19.0, -7.0), (28.0, 33.0)),  # both out
        ((3.1, 1.5), (4.2, 20.0)),  # both between the ends
        ((3.7, -9.0), (4.1, 17.0)),  # only the first is out, below
        ((4.0, 8.0), (3.3, 41.0)),  # only the second is out, above
        ((3.6, 19.0), (3.5, 2.0)),  # both between, but back and forth
    ],
)
def test_area_and_box_of_a_curve_agree_with_fine_chords(
    controls: tuple[tuple[float, float], ...],
) -> None:
    spots = (Point(3.0, 1.0), *(Point(*c) for c in controls), Point(4.4, 21.0))
    contour = Contour((PathEdge("curve", spots),), closed=False)
    back = Contour((PathEdge("curve", spots[::-1]),), closed=False)
    assert back.box == pytest.approx(contour.box, abs=1e-9)
    fine = Outline.polygon(contour.chords(4000))
    assert contour.signed_area == pytest.approx(fine.signed_area, rel=1e-6)
    assert contour.box == pytest.approx(fine.box, abs=1e-5)


def test_the_reader_refuses_what_it_cannot_compare() -> None:
    with pytest.raises(GeometryError, match="no readable PDF"):
        page_paths(b"%PDF-1.4 nonsense")
    from reportlab.pdfgen.canvas import Canvas

    stream = io.BytesIO()
    canvas = Canvas(stream)
    canvas.drawInlineImage(Image.new("RGB", (4, 4)), 10, 10, 40, 40)
    canvas.save()
    with pytest.raises(GeometryError, match="page 1 holds an object of type"):
        page_paths(stream.getvalue())
