"""The DXF of every drawing, read by ezdxf alone: model at 1:1, sizes that measure, the sheet beside.

A shop measures in model space, so a length there is the length of the part (common practice; DXF
reference: DIMENSION, VIEWPORT and LAYOUT).
"""

import io
import re
from itertools import product

import ezdxf
import pytest
from ezdxf.bbox import extents
from ezdxf.document import Drawing as Document
from ezdxf.math import Vec3

from geometry.formats.drawing_dxf import write_drawing_dxf
from recipes.catalogue import RECIPES, Parts
from recipes.motor import Motor
from tests.support.design import STARTERS, job
from tests.support.extremes import axle_of

DRAWN = [r.name for r in RECIPES if "draw" in r.files]


def document(made: Motor, what: str) -> Document:
    drawing = Parts(made)[what][0].drawings[0]
    return ezdxf.read(io.StringIO(write_drawing_dxf(drawing).decode("utf-8")))


def sizes(doc: Document) -> list[float]:
    """Measure of every DIMENSION, of an ordinate along x, mm."""
    found = [d.get_measurement() for d in doc.modelspace().query("DIMENSION")]
    return [abs(m.x) if isinstance(m, Vec3) else m for m in found]


def holds(measures: list[float], wanted: float) -> bool:
    return any(m == pytest.approx(wanted, abs=1e-6) for m in measures)


@pytest.mark.parametrize("name", STARTERS)
def test_a_lamination_measures_its_size_in_model_space(name):
    made = job(name)
    doc = document(made, "lamination")
    edges = doc.modelspace().query('LWPOLYLINE CIRCLE[layer=="visible"]')
    size = max(extents([e], fast=False).size.y for e in edges)
    lam = made.design.lamination
    assert size == pytest.approx(lam.outer_diameter, abs=0.02)  # half of it on a sheet at 1:2
    for wanted in (lam.outer_diameter, lam.bore_diameter, lam.slot_depth, lam.slot_opening):
        assert holds(sizes(doc), wanted)


@pytest.mark.parametrize("name", STARTERS)
def test_sizes_of_axle_and_stack_are_dimensions(name):
    made = job(name)
    axle, measured = made.design.axle, sizes(document(made, "axle"))
    wanted = [axle.length, axle.bore_diameter, axle.wire_slot.width]
    wanted += [s.diameter for s in made.axle_shape.sections]
    wanted += [s.start for s in made.axle_shape.sections if s.start > 0]
    assert [w for w in wanted if not holds(measured, w)] == []
    lam = made.design.lamination
    assert holds(sizes(document(made, "stack")), lam.outer_diameter)
    assert holds(sizes(document(made, "stack")), lam.bore_diameter)


@pytest.mark.parametrize(("name", "what"), list(product(STARTERS, DRAWN)))
def test_every_dimension_says_what_it_measures(name, what):
    made = job(name)
    space = document(made, what).modelspace()
    assert len(space.query("DIMENSION")) >= 2
    for size in space.query("DIMENSION"):
        found = size.get_measurement()
        assert size.dxf.actual_measurement == pytest.approx(
            abs(found.x) if isinstance(found, Vec3) else found, abs=1e-6
        )
        said = [float(n) for n in re.findall(r"\d+(?:\.\d+)?", size.dxf.text)]
        measure = size.dxf.actual_measurement  # "<>" stands for it; else it is said, rounded
        assert "<>" in size.dxf.text or any(abs(n - measure) <= 0.006 for n in said), size.dxf.text
        assert len(size.get_geometry_block())  # its picture, for programs that draw none


@pytest.mark.parametrize(("name", "what"), list(product(STARTERS, DRAWN)))
def test_the_layout_is_the_sheet_of_paper(name, what):
    made = job(name)
    drawing = Parts(made)[what][0].drawings[0]
    doc = document(made, what)
    sheet = doc.layout("Sheet")
    paper = (drawing.width_mm, drawing.height_mm)
    assert (sheet.dxf.paper_width, sheet.dxf.paper_height) == pytest.approx(paper)
    assert Vec3(sheet.dxf.extmin).isclose((0, 0))
    assert Vec3(sheet.dxf.extmax).isclose(paper)
    words = {t.dxf.text for t in sheet.query("TEXT")}
    assert {"Scale", "Title", "Units"} <= words
    assert not {"Scale", "Title", "Units"} & {t.dxf.text for t in doc.modelspace().query("TEXT")}
    scales = [v.dxf.height / v.dxf.view_height for v in sheet.query("VIEWPORT") if v.dxf.id > 1]
    named = {f"{s:g}:1" if s >= 1 else f"1:{1 / s:g}" for s in (round(s, 9) for s in scales)}
    assert named & words  # the scale of the title block is one of theirs
    for port in sheet.query("VIEWPORT"):
        assert not doc.layers.get(port.dxf.layer).dxf.plot


def test_an_axle_drawn_shortened_is_whole_in_model_space():
    made = axle_of("6004", 800)
    doc = document(made, "axle")
    windows = [v for v in doc.layout("Sheet").query("VIEWPORT") if v.frozen_layers]
    assert len(windows) >= 2  # the view has gaps
    lines = [
        e for e in doc.modelspace().query('LINE[layer=="visible"]') if e.dxf.start.y == e.dxf.end.y
    ]
    spans = sorted(sorted((e.dxf.start.x, e.dxf.end.x)) for e in lines)
    reached = 0.0
    for a, b in spans:
        if a <= reached + 1.5:  # fillets and chamfers stand between the straights
            reached = max(reached, b)
    assert reached == pytest.approx(800, abs=1.5)
    assert holds(sizes(doc), 800)
