"""The tag parser on hand-written files, on files of another library, and on damage."""

from __future__ import annotations

import io
import math
import random
from collections import Counter

import ezdxf
import pytest
from ezdxf.math import bulge_center

from geometry import Arc, Line, Outline, Point
from geometry.formats.dxf_read import DxfContent, DxfError, edges_of, outlines_of, read_dxf
from geometry.inspection.compare import same_outline
from tests.support.dxf_texts import (
    R12_HEADER,
    SLOT,
    SLOT_AREA,
    circle,
    dxf,
    entities,
    line,
    lwpolyline,
    polyline,
)


def _read(*groups: list[tuple[int, object]]) -> DxfContent:
    return read_dxf(dxf(entities(*groups)))


@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("pad", [False, True])
def test_r12_text_with_any_line_ends_and_padding(newline: str, pad: bool) -> None:
    tags = [
        (999, "written by hand"),
        *R12_HEADER,
        (0, "ENDSEC"),
        *entities(polyline(SLOT), [(999, "a comment between")], circle(10.0, 5.0, 0.75)),
    ]
    content = read_dxf(dxf(tags, newline, pad), "slot.dxf")
    assert content.version == "AC1009"
    assert content.unit is content.mm_per_unit is content.insunits is content.measurement is None
    assert content.comments == ("written by hand", "a comment between")
    slot, hole = outlines_of(content)
    assert slot.area == pytest.approx(SLOT_AREA, rel=1e-14)
    assert slot.perimeter == pytest.approx(8.0 + 3 * math.pi, rel=1e-14)
    assert slot.box == pytest.approx((6.5, 3.5, 13.5, 6.5), abs=1e-13)
    assert hole.as_circle() == (Point(10.0, 5.0), 0.75)


def test_every_entity_knows_its_line_layer_handle() -> None:
    content = _read(circle(1.0, 2.0, 3.0, "HOLES"), lwpolyline(SLOT, layer="RIM"))
    ring, slot = content.entities
    text = dxf(entities(circle(1.0, 2.0, 3.0, "HOLES"), lwpolyline(SLOT, layer="RIM"))).decode()
    lines = text.splitlines()
    assert (lines[ring.line - 1], lines[ring.line]) == ("0", "CIRCLE")
    assert (lines[slot.line - 1], lines[slot.line]) == ("0", "LWPOLYLINE")
    assert (ring.layer, ring.handle, slot.layer, slot.handle) == ("HOLES", "2F", "RIM", "A1")
    assert slot.closed
    assert ring.closed
    assert slot.bulges == (0.0, 1.0, 0.0, 1.0)
    assert slot.points == tuple((x, y) for x, y, _ in SLOT)
    assert content.tags_of(ring)[:2] == [(0, "CIRCLE"), (5, "2F")]


def test_header_units_and_layer_table() -> None:
    header = [
        (9, "$ACADVER"),
        (1, "AC1015"),
        (9, "$INSUNITS"),
        (70, 1),
        (9, "$MEASUREMENT"),
        (70, 0),
        (9, "$EXTMAX"),
        (10, 3.5),
        (20, 4.25),
        (30, 0.0),
    ]
    table = [
        (0, "SECTION"),
        (2, "TABLES"),
        (0, "TABLE"),
        (2, "LAYER"),
        (70, 2),
        *[(0, "LAYER"), (2, "CUT"), (70, 0), (62, 3), (6, "CONTINUOUS"), (370, 25)],
        *[(0, "LAYER"), (2, "NOTES"), (70, 5), (62, -2), (6, "DASHED"), (290, 0)],
        (0, "ENDTAB"),
        (0, "ENDSEC"),
    ]
    body = entities(circle(1.0, 1.0, 0.5), header=header)
    content = read_dxf(dxf([*body[: len(header) + 3], *table, *body[len(header) + 3 :]]))
    assert (content.version, content.unit, content.mm_per_unit) == ("AC1015", "in", 25.4)
    assert content.measurement == 0
    assert content.header_point("$EXTMAX") == (3.5, 4.25, 0.0)
    assert content.header_point("$EXTMIN") is None
    cut, notes = content.layers["CUT"], content.layers["NOTES"]
    assert (cut.color, cut.off, cut.frozen, cut.locked, cut.plots) == (3, False, False, False, True)
    assert (cut.linetype, cut.lineweight) == ("CONTINUOUS", 25)
    assert (notes.color, notes.off, notes.frozen, notes.locked) == (2, True, True, True)
    assert notes.plots is False
    (outline,) = outlines_of(content)
    assert outline.box == pytest.approx((12.7, 12.7, 38.1, 38.1), rel=1e-14)
    (raw,) = outlines_of(content, mm_per_unit=1.0)
    assert raw.as_circle() == (Point(1.0, 1.0), 0.5)


def test_unknown_entities_are_kept_and_only_outlines_refuse_them_by_type_and_count() -> None:
    strange = [(0, "ACME_THING"), (8, "X"), (10, "not a number"), (40, "neither")]
    content = _read(strange, line(0, 0, 1, 1), line(1, 1, 2, 0), circle(0, 0, 1), strange, strange)
    assert Counter(e.kind for e in content.entities) == {"ACME_THING": 3, "LINE": 2, "CIRCLE": 1}
    assert content.entities[0].points == ()
    assert (10, "not a number") in content.tags_of(content.entities[0])
    with pytest.raises(DxfError, match="not closed outlines: 3 ACME_THING, 2 LINE"):
        outlines_of(content)
    assert len(outlines_of(_read(line(0, 0, 1, 1, "NOTES"), circle(0, 0, 1)), layers=["CUT"])) == 1


def test_an_exploded_contour_is_read_edge_by_edge() -> None:
    arc = [(0, "ARC"), (8, "CUT"), (10, 12.0), (20, 5.0), (40, 1.5), (50, 270.0), (51, 90.0)]
    content = _read(line(8, 3.5, 12, 3.5), arc, line(12, 6.5, 8, 6.5))
    a, b, c = (edges_of(e) for e in content.model)
    assert a == (Line(Point(8.0, 3.5), Point(12.0, 3.5)),)
    (turn,) = b
    assert isinstance(turn, Arc)
    assert turn.ccw
    assert turn.sweep == pytest.approx(math.pi, abs=1e-14)
    assert turn.start.distance(a[-1].end) < 1e-14
    assert turn.end.distance(c[0].start) < 1e-14
    with pytest.raises(DxfError, match="1 ARC, 2 LINE"):
        outlines_of(content)


@pytest.mark.parametrize(("start", "end"), [(0.0, 360.0), (37.0, 37.0), (-90.0, 270.0)])
def test_an_arc_of_a_full_turn_is_a_circle(start: float, end: float) -> None:
    arc = [(0, "ARC"), (10, 1.0), (20, 2.0), (40, 3.25), (50, start), (51, end)]
    center, radius = Outline(edges_of(_read(arc).model[0])).as_circle() or (None, 0.0)
    assert center == Point(1.0, 2.0)
    assert radius == pytest.approx(3.25, abs=1e-14)


def test_space_block_visibility_and_colour_are_facts_of_an_entity() -> None:
    tags = [
        (0, "SECTION"),
        (2, "BLOCKS"),
        (0, "BLOCK"),
        (8, "0"),
        (2, "PLATE"),
        (70, 0),
        (10, 0.0),
        (20, 0.0),
        *circle(0.0, 0.0, 2.5),
        (0, "ENDBLK"),
        (0, "BLOCK"),
        (2, "*Paper_Space0"),
        *circle(0.0, 0.0, 9.5),
        (0, "ENDBLK"),
        (0, "ENDSEC"),
    ]
    insert = [(0, "INSERT"), (8, "CUT"), (66, 1), (2, "PLATE"), (10, 4.0), (20, 5.0), (30, 0.0)]
    attrib = [(0, "ATTRIB"), (10, 77.0), (20, 78.0), (1, "x"), (0, "SEQEND"), (8, "CUT")]
    paper = [*circle(9.0, 9.0, 1.0), (67, 1)]
    hidden = [*circle(9.0, 9.0, 1.0), (60, 1), (62, 5), (6, "HIDDEN")]
    content = read_dxf(dxf([*tags, *entities(insert, attrib, paper, hidden)]))
    in_block, in_layout, plate, on_paper, unseen = content.entities
    assert (in_block.block, in_block.paper) == ("PLATE", False)
    assert (in_layout.block, in_layout.paper) == ("*Paper_Space0", True)
    assert (plate.kind, plate.target, plate.points) == ("INSERT", "PLATE", ((4.0, 5.0),))
    assert on_paper.paper
    assert (unseen.invisible, unseen.color, unseen.linetype) == (True, 5, "HIDDEN")
    assert (plate.color, plate.linetype) == (256, "BYLAYER")
    assert content.blocks == ("PLATE", "*Paper_Space0")
    assert content.model == (plate, unseen)


def test_height_and_normal_are_facts_and_never_flattened_away() -> None:
    mirrored = [*circle(1.0, 2.0, 3.0), (210, 0.0), (220, 0.0), (230, -1.0)]
    lifted = [*lwpolyline(SLOT), (38, 1.7)]
    tilted = [*line(0, 0, 3, 4)[:-1], (31, 2.2)]
    thick = polyline(SLOT)
    thick[11] = (30, -0.3)  # z of the first vertex
    content = _read(mirrored, lifted, tilted, thick)
    a, b, c, d = content.entities
    assert a.extrusion == (0.0, 0.0, -1.0)
    assert (a.upright, a.flat) == (False, False)
    assert b.z == (1.7, 1.7)
    assert c.z == (0.0, 2.2)
    assert d.z == (-0.3, 0.0)
    with pytest.raises(DxfError, match="1 CIRCLE off the plane z = 0, 1 LINE off"):
        outlines_of(content)
    with pytest.raises(DxfError, match="arcs may be mirrored"):
        edges_of(a)
    assert len(edges_of(b)) == 4


def test_curve_fitted_and_mesh_polylines() -> None:
    fitted = polyline(SLOT)
    fitted[-2:-2] = [(0, "VERTEX"), (10, 55.0), (20, 55.0), (70, 16)]  # frame point, not drawn
    (entity,) = _read(fitted).entities
    assert len(entity.points) == 4
    mesh = [(c, 64 if c == 70 else v) for c, v in polyline(SLOT)]
    face = [(0, "VERTEX"), (10, 0.0), (20, 0.0), (70, 128), (71, 1), (72, 2), (73, 3)]
    mesh[-2:-2] = face
    (entity,) = _read(mesh).entities
    assert len(entity.points) == 4
    with pytest.raises(DxfError, match="POLYLINE is not made of lines and arcs"):
        edges_of(entity)


def test_open_outline_is_refused_with_line_and_both_ends() -> None:
    content = read_dxf(dxf(entities(circle(0, 0, 1), lwpolyline(SLOT, closed=False))), "open.dxf")
    with pytest.raises(DxfError, match=r"open\.dxf, line 19: LWPOLYLINE is open from \(8, 3\.5\)"):
        outlines_of(content)
    joined = _read(lwpolyline([*SLOT, SLOT[0]], closed=False))  # ends where it started
    assert outlines_of(joined)[0].area == pytest.approx(SLOT_AREA, rel=1e-14)


def test_an_edge_without_length_is_refused_unless_asked_for() -> None:
    (entity,) = _read(lwpolyline([*SLOT[:3], *SLOT[2:]])).entities
    with pytest.raises(
        DxfError, match=r"line 5: LWPOLYLINE cannot be drawn: .* \(12\.000, 6\.500\)"
    ):
        edges_of(entity)
    assert Outline(edges_of(entity, skip_empty=True)).area == pytest.approx(SLOT_AREA, rel=1e-14)


def _library_file(version: str) -> bytes:
    """Return a file with many kinds of entity, made by ezdxf itself (not by our writer)."""
    doc = ezdxf.new(version, setup=True, units=4)
    space = doc.modelspace()
    dice = random.Random(29)
    for k in range(40):
        corners = [(dice.uniform(0, 90), dice.uniform(0, 90), dice.uniform(-1.9, 1.9))] + [
            (dice.uniform(0, 90), dice.uniform(0, 90), dice.choice([0, dice.uniform(-1.9, 1.9)]))
            for _ in range(k % 5 + 1)
        ]
        add = space.add_polyline2d if version == "R12" else space.add_lwpolyline
        add(corners, format="xyb", close=bool(k % 2), dxfattribs={"layer": f"L{k % 3}"})
    space.add_line((1.5, 2.5), (3.5, -4.5))
    space.add_arc((5.5, 6.5), 2.25, 301.0, 44.0)
    space.add_circle((7.5, 8.5), 1.125)
    space.add_point((0.25, 0.75))
    space.add_text("hello", dxfattribs={"insert": (3.0, 9.0)})
    space.add_solid([(0, 0), (1, 0), (0, 1), (1, 1)])
    space.add_3dface([(0, 0, 5), (1, 0, 5), (1, 1, 5), (0, 1, 5)])
    block = doc.blocks.new("PART")
    block.add_circle((0, 0), 2)
    space.add_blockref("PART", (11.0, 12.0), dxfattribs={"rotation": 30})
    if version != "R12":
        space.add_spline([(0, 0), (1, 2), (3, 1), (4, 4)])
        space.add_ellipse((2, 3), (4, 1), 0.4, 0.1, 2.9)
        space.add_mtext("two\nlines", dxfattribs={"insert": (1.0, 1.0)})
        space.add_hatch().paths.add_polyline_path([(0, 0), (3, 0), (3, 3)])
        space.add_linear_dim(base=(0, 2), p1=(0, 0), p2=(3, 0)).render()
        space.add_leader([(0, 0), (5, 5)])
    text = io.StringIO()
    doc.write(text)
    return text.getvalue().encode(doc.output_encoding)


@pytest.mark.parametrize("version", ["R12", "R2000", "R2010", "R2018"])
def test_everything_that_ezdxf_finds_is_found(version: str) -> None:
    data = _library_file(version)
    doc = ezdxf.read(io.StringIO(data.decode("utf-8")))
    theirs = list(doc.modelspace())
    content = read_dxf(data)
    ours = content.model
    assert [e.kind for e in ours] == [e.dxftype() for e in theirs]
    assert [e.layer for e in ours] == [e.dxf.layer for e in theirs]
    assert [e.handle for e in ours] == [e.dxf.handle for e in theirs]
    assert content.unit == (None if version == "R12" else "mm")
    arcs = 0
    for mine, other in zip(ours, theirs, strict=True):
        if mine.kind not in ("LWPOLYLINE", "POLYLINE"):
            continue
        if mine.kind == "LWPOLYLINE":
            corners = [tuple(p) for p in other.get_points("xyb")]
        else:
            corners = [(v.dxf.location.x, v.dxf.location.y, v.dxf.bulge) for v in other.vertices]
        assert list(zip(*zip(*mine.points, strict=True), mine.bulges, strict=True)) == corners
        assert mine.closed == (other.closed if mine.kind == "LWPOLYLINE" else other.is_closed)
        for k, edge in enumerate(edges_of(mine)):
            if isinstance(edge, Arc):  # their formula for the centre against ours
                arcs += 1
                center = bulge_center(edge.start, edge.end, corners[k][2])
                assert edge.center.distance(Point(center.x, center.y)) < 1e-9 * edge.radius + 1e-10
    assert arcs > 60
    arc = next(e for e in ours if e.kind == "ARC")
    assert [math.degrees(a) for a in arc.angles] == pytest.approx([301.0, 44.0])
    face = next(e for e in ours if e.kind == "3DFACE")
    assert face.z == (5.0, 5.0)
    assert len(face.points) == 4
    assert next(e for e in ours if e.kind == "TEXT").text == "hello"


def test_r12_and_later_polylines_give_the_same_outline() -> None:
    (old,), (new,) = outlines_of(_read(polyline(SLOT))), outlines_of(_read(lwpolyline(SLOT)))
    assert same_outline(old, new, 1e-12)
