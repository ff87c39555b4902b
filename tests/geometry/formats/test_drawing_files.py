"""Drawings as DXF and SVG: opened by other programs, the same bytes in every process."""

from __future__ import annotations

import dataclasses
import hashlib
import io
import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ET

import ezdxf
import pytest
from ezdxf import recover

from geometry.drafting.drawing import Drawing, Fill, Text, edges, line
from geometry.drafting.font import FONT_NAME
from geometry.drafting.view import View
from geometry.formats.drawing_dxf import write_drawing_dxf
from geometry.formats.drawing_svg import write_svg
from geometry.formats.embedded_design import extract
from geometry.outline import Outline, Region
from geometry.point import Point
from tests.places import ROOT
from tests.support.drawing import BORE, shaft_sheet, stadium

# --- DXF and SVG ------------------------------------------------------------------------------


def test_the_dxf_of_a_sheet_opens_without_a_complaint() -> None:
    sheet = shaft_sheet()
    data = write_drawing_dxf(sheet, "name = 'shaft'\n" * 40)
    document, auditor = recover.read(io.BytesIO(data))
    assert (auditor.errors, auditor.fixes) == ([], [])
    assert document.header["$INSUNITS"] == 4  # millimetres (DXF reference, HEADER)
    assert document.header["$MEASUREMENT"] == 1
    space = document.layout("Sheet")
    assert {e.dxftype() for e in space} <= {
        "LINE",
        "LWPOLYLINE",
        "CIRCLE",
        "TEXT",
        "SOLID",
        "HATCH",
        "VIEWPORT",
    }
    texts = space.query("TEXT")
    assert len(texts) == len(sheet.texts)
    assert min(t.dxf.height for t in texts) >= 2.5
    shown = {t.dxf.text for t in texts}
    assert {"%%c12.4 h6", "90%%d"} <= shown  # control codes of the DXF reference
    # ezdxf adds these two in the order of a set, which follows PYTHONHASHSEED: ours is fixed.
    classes = re.findall(rb"CLASS\n +1\n(\w+)\n", data)
    assert classes[:2] == [b"LAYOUT", b"ACDBPLACEHOLDER"]
    assert extract(data) == "name = 'shaft'\n" * 40


def test_the_dxf_has_a_layer_with_a_real_line_type_for_every_style() -> None:
    document = ezdxf.read(io.StringIO(write_drawing_dxf(shaft_sheet()).decode()))
    for name, first in (("hidden", [3.0, -0.75]), ("centre", [6.0, -0.75, 0.125, -0.75])):
        layer = document.layers.get(name)
        pattern = document.linetypes.get(layer.dxf.linetype).pattern_tags
        assert [t.value for t in pattern.tags if t.code == 49] == pytest.approx(first)
        assert layer.dxf.lineweight == 25
    assert document.layers.get("visible").dxf.lineweight == 50
    assert document.layers.get("visible").dxf.linetype.lower() == "continuous"


def test_the_dxf_keeps_circles_arcs_and_places() -> None:
    view = View(Point(60.0, 50.0), (2, 1))
    slot = stadium(11.3, 4.6, 17.9)
    items = (*view.edges(Outline.circle(Point(3.1, 1.7), BORE / 2), "visible"),)
    items += view.edges(slot, "hidden")
    document = ezdxf.read(io.StringIO(write_drawing_dxf(Drawing(210.0, 297.0, items)).decode()))
    circle = document.layout("Sheet").query("CIRCLE").first
    assert circle.dxf.radius == pytest.approx(BORE)
    assert tuple(circle.dxf.center)[:2] == pytest.approx((66.2, 53.4))
    run = document.layout("Sheet").query("LWPOLYLINE").first
    assert run.closed
    bulges = [p[4] for p in run]
    assert sorted(bulges) == pytest.approx([0.0, 0.0, 1.0, 1.0])  # half turns: bulge 1


def test_the_dxf_reads_the_same_in_another_library() -> None:
    # GDAL's DXF driver (pyogrio) shares no code with ezdxf.
    pyogrio = pytest.importorskip("pyogrio")
    import shapely

    items = (*edges(Outline.circle(Point(81.0, 62.0), 23.8), "visible"), Text(9, 9, 3.5, "note 7"))
    data = write_drawing_dxf(Drawing(210.0, 297.0, items))
    _, _, shapes, fields = pyogrio.raw.read(io.BytesIO(data), columns=["Layer", "Text"])
    layers, texts = (list(f) for f in fields)
    ring = shapely.from_wkb(shapes[layers.index("visible")])
    assert ring.bounds == pytest.approx((57.2, 38.2, 104.8, 85.8), abs=0.02)
    assert texts[layers.index("text")] == "note 7"


def test_an_svg_is_sound_xml_in_millimetres_with_the_same_parts() -> None:
    sheet = dataclasses.replace(shaft_sheet(), title="Shaft <2> & slot")
    root = ET.fromstring(write_svg(sheet))
    space = "{http://www.w3.org/2000/svg}"
    assert (root.get("width"), root.get("height")) == ("297mm", "210mm")
    assert root.get("viewBox") == "0 0 297 210"
    assert root.findtext(f"{space}title") == "Shaft <2> & slot"
    texts = root.findall(f".//{space}text")
    assert [t.text for t in texts] == [t.text for t in sheet.texts]
    for element, text in zip(texts, sheet.texts, strict=True):
        assert float(element.get("textLength", "0")) == pytest.approx(text.width, abs=1e-3)
    hidden = root.find(f".//{space}g[@class='hidden']")
    assert hidden is not None
    assert hidden.get("stroke-dasharray") == "3 0.75"
    assert {g.get("stroke") for g in root.iter(f"{space}g")} == {None, "currentColor"}
    count = sum(not isinstance(i, Text) for i in sheet.items)
    assert len(root.findall(f".//{space}path")) == count
    assert FONT_NAME in root.get("font-family", "")


def test_an_svg_turns_y_down_once() -> None:
    items = (line(Point(10.0, 20.0), Point(30.0, 20.0)), Text(10.0, 21.0, 2.5, "up"))
    root = ET.fromstring(write_svg(Drawing(100.0, 60.0, items)))
    space = "{http://www.w3.org/2000/svg}"
    group = root.find(f"{space}g")
    assert group is not None
    assert group.get("transform") == "matrix(1 0 0 -1 0 60)"
    words = root.find(f".//{space}text")
    assert words is not None
    assert (words.get("x"), words.get("y")) == ("10", "39")


_WRITE = """
import hashlib, sys
sys.path.insert(0, {root!r})
from tests.support.drawing import shaft_sheet
from geometry.formats.drawing_dxf import write_drawing_dxf
from geometry.formats.drawing_svg import write_svg
from geometry.formats.drawing_pdf import write_pdf
sheet = shaft_sheet()
for data in (write_drawing_dxf(sheet, "p"), write_svg(sheet).encode(),
             write_pdf([sheet, shaft_sheet("Letter")], title="t", payload="p")):
    print(hashlib.sha256(data).hexdigest())
"""


def test_two_processes_write_the_same_bytes() -> None:
    code = _WRITE.format(root=str(ROOT))
    prints = []
    for seed, zone in (("1", "UTC"), ("77", "Asia/Kathmandu")):
        env = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone}
        run = subprocess.run(
            [sys.executable, "-c", code], env=env, capture_output=True, text=True, check=True
        )
        prints.append(run.stdout.split())
    assert prints[0] == prints[1]
    other = hashlib.sha256(write_drawing_dxf(shaft_sheet(), "q")).hexdigest()
    assert other != prints[0][0]  # and what differs does show


def test_the_model_loads_no_heavy_library() -> None:
    code = (
        "import sys; import geometry.drafting.drawing, geometry.printing.page_layout, geometry.drafting.sheet, geometry.drafting.dimension,"
        "geometry.formats.drawing_pdf, geometry.formats.dxf_write, geometry.formats.drawing_svg, geometry.formats.pdf_read,"
        "geometry.drafting.legible, geometry.drafting.sheet;"
        "print(sorted({'ezdxf','reportlab','scipy','pypdfium2','fontTools'} & set(sys.modules)))"
    )
    run = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert run.stdout.strip() == "[]"


def test_a_region_with_a_hole_fills_with_a_hole_in_dxf() -> None:
    ring = Region(Outline.circle(Point(50.0, 50.0), 20.3), (Outline.circle(Point(50, 50), 9.7),))
    data = write_drawing_dxf(Drawing(100.0, 100.0, (Fill(ring.loops, "grey"),)))
    document, auditor = recover.read(io.BytesIO(data))
    assert auditor.errors == []
    assert len(document.layout("Sheet").query("HATCH").first.paths) == 2
