"""Pages of paper parts as a builder, a ruler and two renderers find them."""

from __future__ import annotations

import io
import math
import shutil
import subprocess
from functools import cache
from pathlib import Path

import numpy as np
import pdfplumber
import pypdf
import pypdfium2
import pytest
import shapely
from PIL import Image, ImageDraw
from scipy import ndimage

from geometry.drafting.drawing import Drawing
from geometry.drafting.font import SMALLEST_TEXT, font
from geometry.drafting.legible import legibility
from geometry.finding import Finding
from geometry.formats.drawing_pdf import write_pdf
from geometry.outline import Outline
from geometry.part import Part
from geometry.printing.page import MORE
from recipes.assess import assess
from recipes.catalogue import RECIPES, Parts
from recipes.motor import Motor
from recipes.templates import TITLES, template_layout
from tests.support.card import outside_live_area
from tests.support.design import STARTERS, job
from tests.support.extreme import EXTREMES, extreme

MM = 25.4 / 72

#: ISO 216 and ANSI/ASME Y14.1 (8.5 x 11 in); "both" is as narrow as A4 and as short as Letter.
PAPER = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4), "both": (210.0, 279.4)}

#: Half the width of a cut line: "cut on the middle of the line".
HALF_LINE = 0.175

DPI = 600


def printed(j: Motor) -> dict[str, tuple[Drawing, ...]]:
    """Pages of every recipe that prints or winds, by the recipe's name."""
    found: dict[str, tuple[Drawing, ...]] = {}
    for recipe in RECIPES:
        parts = Parts(j)[recipe.name] if {"print", "sheet", "wind"} & set(recipe.files) else ()
        if parts and "print" in recipe.files:
            found[recipe.name] = template_layout(parts, j.imprint).pages
        elif parts:
            found[recipe.name] = tuple(d for p in parts for d in p.drawings)
    return found


@cache
def starter(name: str, page: str = "both", x: float = 100.0, y: float = 100.0) -> Motor:
    return job(name, print__page=page, print__measured_x=f"{x} mm", print__measured_y=f"{y} mm")


@cache
def liner_pdf(name: str, page: str = "both", x: float = 100.0, y: float = 100.0) -> bytes:
    j = starter(name, page, x, y)
    return write_pdf(template_layout(Parts(j)["liner"], j.imprint).pages, title="x")


def loops(page: Drawing) -> list[Outline]:
    return [Outline(s.segments) for s in page.strokes if s.style == "cut" and s.closed]


# --- pixels ------------------------------------------------------------------------------------


def overlap(dark: np.ndarray, loop: Outline, left: float, top: float) -> float:
    """Shared share of filled pixels and outline: |A and B| / |A or B|, half a line taken off.

    Args:
        dark: true where the renderer put ink, its upper left corner at (left, top) mm.
        loop: the outline on the page, mm.
    """
    filled = ndimage.binary_fill_holes(dark)
    marks, count = ndimage.label(filled)
    sizes = ndimage.sum_labels(filled, marks, range(1, count + 1))
    filled = marks == 1 + int(np.argmax(sizes))  # lettering beside the piece is another island
    edge = shapely.Polygon(loop.chords(0.001)).buffer(HALF_LINE, join_style="round")
    scale = DPI / 25.4
    fine = 4
    picture = Image.new("1", (dark.shape[1] * fine, dark.shape[0] * fine))
    spots = [((x - left) * scale * fine, (top - y) * scale * fine) for x, y in edge.exterior.coords]
    ImageDraw.Draw(picture).polygon(spots, fill=1)
    wanted = (
        np.asarray(picture).reshape(dark.shape[0], fine, dark.shape[1], fine).mean((1, 3)) > 0.5
    )
    return float((filled & wanted).sum() / (filled | wanted).sum())


def crop_of(loop: Outline) -> tuple[float, float, float, float]:
    """A box round the piece, short of the lettering beside it."""
    x0, y0, x1, y1 = loop.box
    return x0 - 0.7, y0 - 0.7, x1 + 0.7, y1 + 0.7


def by_pdfium(data: bytes, number: int, box: tuple[float, float, float, float]) -> np.ndarray:
    page = pypdfium2.PdfDocument(data)[number]
    wide, high = page.get_size()
    x0, y0, x1, y1 = (v / MM for v in box)
    picture = page.render(
        scale=DPI / 72, crop=(x0, y0, wide - x1, high - y1), grayscale=True
    ).to_numpy()
    return np.asarray(picture.reshape(picture.shape[0], picture.shape[1]) < 128)


def by_poppler(
    data: bytes, number: int, box: tuple[float, float, float, float], height: float, folder: Path
) -> tuple[np.ndarray, float, float]:
    """Ink of a crop on whole pixels, and its upper left corner in mm."""
    source, target = folder / "pages.pdf", folder / "crop"
    source.write_bytes(data)
    scale = DPI / 25.4
    x, y = math.floor(box[0] * scale), math.floor((height - box[3]) * scale)
    wide, high = math.ceil((box[2] - box[0]) * scale), math.ceil((box[3] - box[1]) * scale)
    subprocess.run(
        ["pdftoppm", "-r", str(DPI), "-gray", "-png", "-singlefile", "-f", str(number + 1), "-l",
         str(number + 1), "-x", str(x), "-y", str(y), "-W", str(wide), "-H", str(high),
         str(source), str(target)],
        check=True,
    )  # fmt: skip
    picture = np.asarray(Image.open(target.with_suffix(".png")).convert("L"))
    return picture < 128, x / scale, height - y / scale


@pytest.mark.parametrize("name", STARTERS)
def test_a_filled_liner_covers_its_outline_in_pdfium(name: str) -> None:
    """At least 99.5 % of the pixels, first and last copy of a page."""
    j = starter(name)
    pages, data = template_layout(Parts(j)["liner"], j.imprint).pages, liner_pdf(name)
    for loop in (loops(pages[0])[0], loops(pages[0])[-1]):
        box = crop_of(loop)
        share = overlap(by_pdfium(data, 0, box), loop, box[0], box[3])
        assert share >= 0.995


@pytest.mark.parametrize("name", STARTERS)
def test_a_second_renderer_agrees(name: str, tmp_path: Path) -> None:
    if shutil.which("pdftoppm") is None:
        pytest.skip("pdftoppm of poppler-utils is not installed")
    j = starter(name)
    pages, data = template_layout(Parts(j)["liner"], j.imprint).pages, liner_pdf(name)
    loop = loops(pages[0])[0]
    ink, left, top = by_poppler(data, 0, crop_of(loop), pages[0].height_mm, tmp_path)
    assert overlap(ink, loop, left, top) >= 0.995


def test_the_overlap_sees_a_liner_that_is_half_a_millimetre_too_wide() -> None:
    j = starter("kayak-thruster")
    loop = loops(template_layout(Parts(j)["liner"], j.imprint).pages[0])[0]
    box = crop_of(loop)
    ink = by_pdfium(liner_pdf("kayak-thruster"), 0, box)
    x0, y0, x1, y1 = loop.box
    wider = Outline.polygon([(x0, y0), (x1 + 0.5, y0), (x1 + 0.5, y1), (x0, y1)])
    assert overlap(ink, wider, box[0], box[3]) < 0.99


# --- lengths, boxes, fonts -----------------------------------------------------------------------


@pytest.mark.parametrize(("page", "x", "y"), [("A4", 100.0, 100.0), ("Letter", 98.3, 101.9), ("both", 101.2, 99.4)])  # fmt: skip
def test_a_liner_measures_its_size_on_paper_after_correction(page: str, x: float, y: float) -> None:
    """pdfplumber's boxes, then the printer's own stretch: width and length to 0.05 mm."""
    j = starter("kayak-thruster", page, x, y)
    settings = Parts(j)["liner"][0].settings
    with pdfplumber.open(io.BytesIO(liner_pdf("kayak-thruster", page, x, y))) as pdf:
        assert (pdf.pages[0].width * MM, pdf.pages[0].height * MM) == pytest.approx(
            PAPER[page], abs=0.01
        )
        shapes = [*pdf.pages[0].curves, *pdf.pages[0].rects]
        sizes = [
            ((s["x1"] - s["x0"]) * MM * x / 100, (s["y1"] - s["y0"]) * MM * y / 100)
            for s in shapes
            if s["linewidth"] * MM == pytest.approx(0.35, abs=0.01)
        ]
        rulers = [
            (s["x1"] - s["x0"]) * MM * x / 100 for s in pdf.pages[0].lines
            if abs(s["y1"] - s["y0"]) < 1e-6
        ]  # fmt: skip
        words = pdf.pages[0].extract_text()
    wanted = (float(settings["liner_width_mm"]), float(settings["liner_length_mm"]))
    assert sum(s == pytest.approx(wanted, abs=0.05) for s in sizes) >= 9
    assert max(rulers) == pytest.approx(100.0, abs=0.05)
    assert ("Corrected for this printer" in words) == (x != 100.0)


@pytest.mark.parametrize("name", STARTERS)
def test_every_file_embeds_its_font_and_asks_for_no_scaling(name: str) -> None:
    for pages in printed(starter(name)).values():
        reader = pypdf.PdfReader(io.BytesIO(write_pdf(pages, title="x")))
        assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"  # type: ignore[index] # a dictionary of the file
        for page in reader.pages:
            for entry in page["/Resources"]["/Font"].values():  # type: ignore[index] # a dictionary of the file
                assert "/FontFile2" in entry.get_object()["/FontDescriptor"]


@pytest.mark.parametrize("name", STARTERS)
def test_no_character_is_lower_than_two_and_a_half_millimetres(name: str) -> None:
    """Capitals, from font size and text matrix in the file (ISO 3098-1; smaller does not survive)."""
    heights: list[float] = []

    def note(text: str, _cm: object, tm: list[float], _font: object, size: float) -> None:
        if text.strip():
            scale = abs(tm[0] * tm[3] - tm[1] * tm[2]) ** 0.5
            heights.append(scale * size * MM * font().cap_height)

    for pages in printed(starter(name)).values():
        for page in pypdf.PdfReader(io.BytesIO(write_pdf(pages, title="x"))).pages:
            page.extract_text(visitor_text=note)
    assert len(heights) > 300
    assert min(heights) >= SMALLEST_TEXT - 0.01


# --- what is on them -----------------------------------------------------------------------------


def check(name: str, pages: tuple[Drawing, ...], page: str, measured: tuple[float, float]) -> None:
    for drawing in pages:
        assert [f.message for f in legibility(drawing)] == [], name
        assert outside_live_area(drawing, page, measured) == [], name
        assert MORE not in {t.text for t in drawing.texts}, name


@pytest.mark.parametrize("name", STARTERS)
@pytest.mark.parametrize("page", sorted(PAPER))
def test_every_page_of_a_starter_can_be_read_and_printed(name: str, page: str) -> None:
    for recipe, pages in printed(starter(name, page)).items():
        check(recipe, pages, page, (100.0, 100.0))


@pytest.mark.parametrize("name", EXTREMES)
def test_every_page_at_the_extremes_can_be_read_and_printed(name: str) -> None:
    """3 and 120 slots, 20 and 400 mm stators, 10, 200 and 400 mm stacks."""
    for recipe, pages in printed(extreme(name)).items():
        check(recipe, pages, "both", (100.0, 100.0))


@pytest.mark.parametrize("name", STARTERS)
def test_all_copies_are_there(name: str) -> None:
    j = starter(name)
    for recipe in ("liner", "slot_strips"):
        parts = Parts(j)[recipe]
        areas = sorted(
            loop.area for p in template_layout(parts, j.imprint).pages for loop in loops(p)
        )
        wanted = sorted(r.area for p in parts for r in p.cut for _ in range(p.quantity))
        assert areas == pytest.approx(wanted, rel=1e-9)


def test_trial_strips_stand_together_and_tell_their_widths() -> None:
    j = starter("potters-wheel")
    strips: Part = Parts(j)["liner"][1]
    wide = [f"{float(strips.settings[f'strip_{n}_width_mm']):.2f}" for n in (1, 2, 3)]
    said = {t.text for p in template_layout(Parts(j)["liner"], j.imprint).pages for t in p.texts}
    assert f"trial strips {', '.join(wide)} mm wide" in said


# --- findings ------------------------------------------------------------------------------------


def said_of_pages(j: Motor) -> list[Finding]:
    """What `check --json` and `build` say of pages that are printed, and of nothing else."""
    codes = {"strip-in-lengths", "printed-on-tiles", "template-once"}
    titles = (*TITLES.values(), "wedge", "separator")
    return [
        f
        for f in assess(j, whole=True).findings
        if f.code in codes and any(t in f.message for t in titles)
    ]


def codes(j: Motor) -> list[str]:
    return [f.code for f in said_of_pages(j)]


def test_nothing_is_said_of_what_fits() -> None:
    for name in STARTERS:
        assert codes(starter(name)) == []


def test_a_long_liner_is_said_to_come_in_lengths_that_lap() -> None:
    j = extreme("18 slots, 62 mm, long")
    (found,) = said_of_pages(j)
    assert (found.code, found.level) == ("strip-in-lengths", "note")
    assert "slot liner" in found.message
    assert "lap 12 mm" in found.message


def test_a_large_washer_and_many_large_liners_are_said() -> None:
    assert codes(extreme("24 slots, 400 mm")) == ["printed-on-tiles"]
    assert codes(extreme("120 slots, 400 mm")) == ["printed-on-tiles", "template-once"]
