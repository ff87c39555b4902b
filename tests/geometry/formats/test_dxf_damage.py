"""A damaged, cut off or foreign file is named with its line, and never read as a smaller part."""

from __future__ import annotations

import random

import pytest

from geometry import Line
from geometry.formats.dxf_read import DxfError, outlines_of, read_dxf
from tests.support.dxf_texts import SLOT, circle, dxf, entities, lwpolyline, polyline

GOOD = dxf(entities(lwpolyline(SLOT), circle(10.0, 5.0, 0.75), polyline(SLOT)))


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "the file is empty"),
        (b" \r\n \r\n", "the file is empty"),
        (b"AutoCAD Binary DXF\r\n\x1a\x00" + b"\0\0SECTION", "binary DXF; save it as a text"),
        (b"AC1027\0\0\0\0", "this is a DWG, not a DXF"),
        (b"\x89PNG\r\n\x1a\n\0\0", "not a text"),
        (b"<svg/>\n<g/>\n", "line 1: this is not a DXF: it starts with '<svg/>'"),
        (b"1\n2\n3\n4\n", "not a DXF: it does not start with a section"),
        (GOOD[:-7], "line 116: the file is cut off: it does not end with EOF"),
        (GOOD.replace(b"CIRCLE\n5\n", b"CIRCLE\n"), "line 41: '2F' stands where a group code"),
        (GOOD.replace(b"\n0.75\n", b"\nzwei\n"), "line 52: 'zwei' is not a number"),
        (GOOD.replace(b"\n0.75\n", b"\n7_5\n"), "line 52: '7_5' is not a number"),
        (GOOD.replace(b"\n12.0\n", b"\n1_2\n", 1), "line 24: '1_2' is not a number"),
        (GOOD.replace(b"\n0.75\n", b"\nnan\n"), "line 52: 'nan' is not a number"),
        (GOOD.replace(b"\n0.75\n", b"\n-2\n"), "line 52: CIRCLE without a positive radius"),
        (GOOD.replace(b"\n12.0\n", b"\n1e300\n", 1), "line 24: 1e300 is no size for a part"),
        (GOOD.replace(b"10\n12.0\n", b"11\n12.0\n", 1), "LWPOLYLINE with 3 x and 4 y values"),
        (GOOD.replace(b"0\nSEQEND\n8\nCUT\n", b""), "line 54: POLYLINE without its SEQEND"),
        (GOOD.replace(b"0\nENDSEC\n", b""), "cut off inside section ENTITIES"),
        (GOOD.replace(b"0\nEOF", b"0\nENDSEC\n0\nEOF"), "the end of a section that never began"),
    ],
)
def test_damage_is_named_with_its_line(data: bytes, message: str) -> None:
    with pytest.raises(DxfError) as caught:
        read_dxf(data, "part.dxf")
    assert message in str(caught.value)
    assert str(caught.value).startswith("part.dxf")
    assert isinstance(caught.value, ValueError)


def test_too_large_a_file_is_refused_by_its_limit() -> None:
    assert read_dxf(GOOD, limit=len(GOOD)).entities
    with pytest.raises(DxfError, match=f"{len(GOOD)} bytes are more than the limit of 400"):
        read_dxf(GOOD, limit=400)


def test_a_file_cut_off_anywhere_is_an_error_and_never_a_smaller_part() -> None:
    whole = read_dxf(GOOD).entities
    for size in range(len(GOOD)):
        try:
            content = read_dxf(GOOD[:size])
        except DxfError:
            continue
        assert content.entities == whole
        assert size >= len(GOOD) - 1  # only the last line end is missing


def test_random_damage_is_never_a_crash() -> None:
    dice = random.Random(7)
    read = 0
    for _ in range(3000):
        data = bytearray(GOOD)
        for _ in range(dice.randint(1, 4)):
            data[dice.randrange(len(data))] = dice.choice(b"0123456789.\n-eE \rAZ\xff\x00")
        try:
            outlines_of(read_dxf(bytes(data)))
            read += 1
        except DxfError:
            pass
    assert 100 < read < 2900


def test_code_page_and_utf8_names() -> None:
    for page, encoding in (("ANSI_1252", "cp1252"), ("ANSI_1251", "cp1251"), ("UTF-8", "utf-8")):
        name = "Дно" if encoding == "cp1251" else "Außen"
        header = [(9, "$DWGCODEPAGE"), (3, page)]
        text = dxf(entities(circle(1, 1, 1, name), header=header)).decode()
        assert read_dxf(text.encode(encoding)).entities[0].layer == name
    assert read_dxf(b"\xef\xbb\xbf" + GOOD).entities


@pytest.mark.parametrize("chord", [0.31, 97.0])
def test_bulge_dust_is_a_straight_edge(chord: float) -> None:
    corners = [(0.0, 0.0, 1e-9), (chord, 0.0, -1e-12), (chord, chord, 0.0)]
    (outline,) = outlines_of(read_dxf(dxf(entities(lwpolyline(corners)))))
    assert all(isinstance(s, Line) for s in outline.segments)
    assert outline.area == pytest.approx(chord**2 / 2, rel=1e-14)
