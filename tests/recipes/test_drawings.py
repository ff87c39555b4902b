"""Every dimensioned drawing, for the starters and at the ends of what is allowed.

Sources: ISO 216 and ANSI Y14.1 sheets, ISO 5455 scales, ISO 5457 frame, ISO 7200 fields and
ISO 3098-1 lettering in `tests.support.sheets`; poppler as a second renderer of the PDF.
"""

import io
import shutil
import subprocess
from functools import cache
from itertools import product

import ezdxf
import numpy as np
import pdfplumber
import pypdfium2
import pytest
from PIL import Image

from geometry.drafting.drawing import Drawing, Text
from geometry.formats.drawing_dxf import write_drawing_dxf
from geometry.formats.drawing_pdf import write_pdf
from recipes.catalogue import RECIPES, Parts
from recipes.motor import Motor
from tests.support.axle import BEARINGS
from tests.support.design import STARTERS, job
from tests.support.extremes import EXTREMES, axle_of, extreme, in_inches
from tests.support.sheets import faults

DRAWN = [r.name for r in RECIPES if "draw" in r.files]
CASES = [*EXTREMES, *(f"{name} in inches" for name in EXTREMES)]
#: One bearing of each size of bore that is told apart here, mm.
BORES = (8, 10, 15, 25, 30, 50)


@cache
def starter(name: str) -> Motor:
    return job(name)


@cache
def case(name: str) -> Motor:
    return extreme(name)


def sheet(j: Motor, name: str) -> Drawing:
    (drawing,) = Parts(j)[name][0].drawings
    return drawing


def test_every_part_that_is_made_by_hand_or_glued_has_its_drawing():
    assert {"axle", "stack", "lamination"} <= set(DRAWN)


@pytest.mark.parametrize(("name", "what"), list(product(STARTERS, DRAWN)))
def test_drawings_of_the_starters(name, what):
    assert faults(sheet(starter(name), what), starter(name)) == []


@pytest.mark.parametrize(("name", "what"), list(product(CASES, ("lamination", "stack"))))
def test_drawings_at_the_extremes(name, what):
    assert faults(sheet(case(name), what), case(name)) == []


@pytest.mark.parametrize(("bore", "length"), list(product(BORES, (0, 140, 333, 800, 1990))))
def test_drawing_of_the_axle_over_its_range(bore, length):
    ring = next(b for b in BEARINGS if b.bore_mm == bore)
    for j in (axle_of(ring.designation, length), in_inches(axle_of(ring.designation, length))):
        assert faults(sheet(j, "axle"), j) == []


def test_a_fault_is_seen():
    j = starter("potters-wheel")
    plain = sheet(j, "stack")
    for wrong in (
        Text(30.0, 195.0, 2.4, "low"),
        Text(12.0, 100.0, 2.5, "off"),
        Text(200.0, 61.0, 2.5, "B (3:1)"),
        Text(plain.texts[-1].x, plain.texts[-1].y, 2.5, "upon another"),
        Text(200.0, 61.0, 2.5, "[0.5]"),
    ):
        spoilt = Drawing(plain.width_mm, plain.height_mm, (*plain.items, wrong))
        assert faults(spoilt, j), wrong.text
    assert faults(Drawing(300.0, 210.0, plain.items), j)
    other = job("potters-wheel", notes="another revision")
    assert any("revision" in f for f in faults(plain, other))


def poppler(pdf: bytes, folder, dpi: int) -> Image.Image:
    (folder / "page.pdf").write_bytes(pdf)
    subprocess.run(
        ["pdftoppm", "-r", str(dpi), "-gray", "-singlefile", "page.pdf", "page"],
        cwd=folder,
        check=True,
    )
    return Image.open(folder / "page.pgm").convert("L")


def far_apart(one: Image.Image, two: Image.Image) -> float:
    """Share of the inked places of `one` that have no ink of `two` within one pixel."""
    a, b = (np.asarray(p) < 160 for p in (one, two))
    grown = np.zeros_like(b)
    padded = np.pad(b, 1)
    for dy, dx in product((0, 1, 2), (0, 1, 2)):
        grown |= padded[dy : dy + b.shape[0], dx : dx + b.shape[1]]
    return float((a & ~grown).sum() / a.sum())


@pytest.mark.skipif(
    shutil.which("pdftoppm") is None, reason="poppler's pdftoppm is not installed (poppler-utils)"
)
@pytest.mark.parametrize(("name", "what"), list(product(STARTERS, DRAWN)))
def test_a_second_renderer_shows_the_same_page(name, what, tmp_path):
    """poppler and pdfium share no code; each holds all ink of the other within one pixel."""
    dpi, drawing = 100, sheet(starter(name), what)
    pdf = write_pdf((drawing,), title="t")
    mine = pypdfium2.PdfDocument(pdf)[0].render(scale=dpi / 72).to_pil().convert("L")
    other = poppler(pdf, tmp_path, dpi)
    assert abs(mine.width - other.width) <= 1
    assert abs(mine.height - other.height) <= 1
    size = min(mine.width, other.width), min(mine.height, other.height)
    mine, other = (p.crop((0, 0, *size)) for p in (mine, other))
    assert far_apart(mine, other) < 0.002
    assert far_apart(other, mine) < 0.002
    lacking = Drawing(drawing.width_mm, drawing.height_mm, drawing.items[:-2])
    less = poppler(write_pdf((lacking,), title="t"), tmp_path, dpi).crop((0, 0, *size))
    assert far_apart(mine, less) > far_apart(mine, other)
    fonts = subprocess.run(
        ["pdffonts", "page.pdf"],
        cwd=tmp_path,
        check=True,
        capture_output=True,
        text=True,
    ).stdout.splitlines()[2:]
    assert fonts
    assert all(row.split()[-5] == "yes" for row in fonts)  # column "emb"


@pytest.mark.parametrize(("name", "what"), list(product(STARTERS, DRAWN)))
def test_dxf_and_pdf_say_the_same(name, what):
    drawing = sheet(starter(name), what)
    doc = ezdxf.read(io.StringIO(write_drawing_dxf(drawing).decode("utf-8")))
    signs = {"%%c": "⌀", "%%d": "°", "%%p": "±", "%%%": "%"}
    said = []
    pictures = [b for b in doc.blocks if b.name.startswith("*D")]
    spaces = (doc.modelspace(), doc.layout("Sheet"), *pictures)
    assert not any(v.frozen_layers for v in doc.layout("Sheet").query("VIEWPORT"))
    for text in (t for space in spaces for t in space.query("TEXT")):
        words = text.dxf.text
        for code, sign in signs.items():
            words = words.replace(code, sign)
        said.append(words)
    assert sorted(said) == sorted(t.text for t in drawing.texts if t.text.strip())
    with pdfplumber.open(io.BytesIO(write_pdf((drawing,), title="t"))) as pdf:
        inked = sorted("".join(c["text"] for c in pdf.pages[0].chars).replace(" ", ""))
    assert inked == sorted("".join(said).replace(" ", ""))
