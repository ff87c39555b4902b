"""The axle's sheet: everything a machinist needs is on it, to scale, and nothing overlaps.

Sources: ISO 5455 scales; ISO 216 A4 and A3; ISO 3098-1 smallest lettering; ISO 5456-2 first-angle
projection (the view from the left stands at the right); limits as in `test_axle`.
"""

import math
import os
import random
import subprocess
import sys
from functools import cache

import pytest

from geometry.drafting.drawing import Drawing, Fill, Stroke
from geometry.drafting.font import SMALLEST_TEXT
from geometry.drafting.legible import legibility
from geometry.drafting.view import SCALES, View
from geometry.point import Point
from geometry.polygon import to_polygon
from geometry.segment import Arc, Line
from recipes.catalogue import Parts
from recipes.drawing_conventions import Words, fitted, inch, plain
from recipes.motor import Motor
from recipes.refusal import Refused
from recipes.shaft.axle_shape import FlatFace
from recipes.shaft.cross_section import end_view, slot_section
from recipes.shaft.side_view import side_view, stations
from recipes.tables.fits import fit_limits
from tests.support.axle import BUSY, LONG, SHORT, random_axle, seat
from tests.support.design import STARTERS, job
from tests.support.extremes import in_inches

A4, A3, LETTER = (297.0, 210.0), (420.0, 297.0), (279.4, 215.9)
TURNED = {
    "axle__wire_slot": {
        "from_face": 44.5, "length": 22, "width": 8, "mouth_radius": 1.5, "angle": 35,
    },
    "axle__flats": [{"from_face": 0, "length": 13.3, "across": 19.7, "angle": 60}],
}  # fmt: skip
ENDLESS = {
    "axle__length": 2000, "axle__seats": [seat(20, 14), seat(1900, 14)],
    "axle__stator_seat": seat(1000, 24),
    "axle__shoulder": {"from_face": 1024, "length": 6, "diameter": 36},
    "axle__wire_slot": {"from_face": 900, "length": 22, "width": 8, "mouth_radius": 1.5},
}  # fmt: skip


MADE = {
    **{name: (lambda n=name: job(n)) for name in STARTERS},
    "short": lambda: job(**SHORT),
    "long": lambda: job(**LONG),
    "busy": lambda: job(**BUSY),
    "turned": lambda: job(**TURNED),
    "endless": lambda: job(**ENDLESS),
    "long in inches": lambda: in_inches(job(**LONG)),
    "busy in inches": lambda: in_inches(job(**BUSY)),
    **{f"seed {k}": (lambda k=k: random_axle(k)) for k in range(14)},
    **{f"seed {k} in inches": (lambda k=k: in_inches(random_axle(k))) for k in range(14, 22)},
}


@cache
def made(name: str) -> tuple[Motor, Drawing]:
    j = MADE[name]()
    return j, Parts(j)["axle"][0].drawings[0]


def words(name: str) -> list[str]:
    return [t.text for t in made(name)[1].texts]


@pytest.mark.parametrize("name", MADE)
def test_nothing_overlaps_and_everything_is_on_the_sheet(name):
    sheet = made(name)[1]
    assert [f.message for f in legibility(sheet)] == []
    assert (sheet.width_mm, sheet.height_mm) in (A4, A3, LETTER)
    assert min(t.height_mm for t in sheet.texts) >= SMALLEST_TEXT
    inside = (20.0, 10.0, sheet.width_mm - 10.0, sheet.height_mm - 10.0)  # frame of ISO 5457
    for item in sheet.items:
        if isinstance(item, Stroke):
            boxes = [s.box() for s in item.segments]
        elif isinstance(item, Fill):
            boxes = [loop.box for loop in item.loops]
        else:
            xs, ys = zip(*item.corners(), strict=True)
            boxes = [(min(xs), min(ys), max(xs), max(ys))]
        for x0, y0, x1, y1 in boxes:
            assert inside[0] - 1e-6 <= x0 <= x1 <= inside[2] + 1e-6, item
            assert inside[1] - 1e-6 <= y0 <= y1 <= inside[3] + 1e-6, item


@pytest.mark.parametrize("name", MADE)
def test_sheet_says_all_that_is_needed(name):
    j, said = made(name)[0], words(name)
    everything, write = "\n".join(said), j.imprint.words
    for s in j.sections:
        if s.limits:
            pair = f"{s.limits.max_size_mm:.3f} / {s.limits.min_size_mm:.3f}"
            wanted = f"⌀{plain(s.diameter)} {s.fit}"
            assert any(wanted in t for t in said)
            assert any(t in (pair, f"[{pair}]") for t in said)
        else:
            assert all(t in everything for t in write.lines(s.diameter)[:1])
        for z in (s.start, s.end):
            assert write.size(z) in said, z
    slot = j.design.axle.wire_slot
    assert set(write.pair("slot ", slot.width, slot.length)) <= set(said)
    edges = [slot.from_face, slot.from_face + slot.length]
    for cut in (*j.design.axle.grooves, *j.design.axle.flats):
        edges += [cut.from_face, cut.from_face + getattr(cut, "width", getattr(cut, "length", 0))]
    for z in edges:
        assert write.size(z) in said, z
    for z in (slot.from_face + slot.width / 2, slot.from_face + slot.length - slot.width / 2):
        assert write.size(z) in said, z
    for once in ("A-B", write.zone(0.02)):  # in a frame, or in a note where no frame has room
        assert once in everything
    for once in ("A", "B", "Ra 0.8", "Ra 1.6", "ISO 2768-mK"):
        assert once in said
    assert any(t in {f"{a}:{b}" for a, b in SCALES} for t in said)
    assert ("[" in everything) == (j.design.units == "in")


@pytest.mark.parametrize("name", MADE)
def test_no_leader_runs_through_the_mark_of_the_cutting_plane(name):
    sheet = made(name)[1]
    for mark in [t for t in sheet.texts if t.text == "A" and t.height_mm == 3.0][:1]:
        # the letter, and the arrow below it whose tip touches the plane 2.6 mm to the right
        x0, x1, y0, y1 = mark.x - 2.0, mark.x + 2.8, mark.y - 3.5, mark.y + 1.5
        for item in strokes(sheet.items, "narrow"):
            for s in item.segments:
                upright = abs(s.start.x - s.end.x) < 0.3 and abs(s.start.y - s.end.y) > 1
                low, high = sorted((s.start.y, s.end.y))
                assert not (upright and x0 < s.start.x < x1 and low < y1 and high > y0), item


def test_papers_and_scales_of_the_starters():
    expected = {
        "potters-wheel": (A3, "1:1"),
        "kayak-thruster": (A4, "1:1"),
        "wool-spinner": (A3, "2:1"),
    }
    for name, (paper, scale) in expected.items():
        sheet = made(name)[1]
        assert (sheet.width_mm, sheet.height_mm) == paper
        assert scale in words(name)
        assert "A-A (1:1)" in words(name) or "A-A (2:1)" in words(name)
    assert (made("long")[1].width_mm, made("long")[1].height_mm) == A3
    assert "1:1" in words("long")


def test_kayak_limits_are_those_of_the_standard():
    """ISO 286-2: 15 h6 0 / -11 um, 15 g6 -6 / -17 um, 18 h6 0 / -11 um."""
    said = words("kayak-thruster")
    for pair in ("15.000 / 14.992", "18.000 / 17.989"):
        assert pair in said


def test_inches_stand_in_brackets():
    said = words("wool-spinner")
    for text in ("slot 0.200 × 0.600", "5.000 [127]", "0.5905 / 0.5902", "1.500 [38.1]"):
        assert text in said


def strokes(items, style="visible"):
    return [i for i in items if isinstance(i, Stroke) and i.style == style]


@pytest.mark.parametrize("name", ["potters-wheel", "busy", "turned", "seed 3", "seed 8"])
def test_side_view_is_to_scale(name):
    j = made(name)[0]
    items = strokes(side_view(j.axle_shape, View(Point(0.0, 0.0))))
    boxes = [s.box() for item in items for s in item.segments]
    half = max(s.diameter for s in j.sections) / 2
    assert min(b[0] for b in boxes) == pytest.approx(0, abs=1e-9)
    assert max(b[2] for b in boxes) == pytest.approx(j.design.axle.length, abs=1e-9)
    assert max(b[3] for b in boxes) == pytest.approx(half, abs=1e-9)
    assert min(b[1] for b in boxes) == pytest.approx(-half, abs=1e-9)
    slot = j.design.axle.wire_slot
    reach = slot.from_face + slot.length  # key seats lie beyond it
    (face_on,) = [i for i in items if i.closed and i.segments[0].box()[0] < reach]
    assert {type(s) for s in face_on.segments} == {Line, Arc}
    z = [s.box() for s in face_on.segments]
    assert min(b[0] for b in z) == pytest.approx(slot.from_face, abs=1e-9)
    assert max(b[2] for b in z) == pytest.approx(slot.from_face + slot.length, abs=1e-9)
    assert max(b[3] for b in z) == pytest.approx(slot.width / 2, abs=1e-9)


def highest(j: Motor, z: float) -> float:
    """Top of the side view at `z`: visible edges that run along the axis."""
    found = [
        s.box()[3]
        for item in strokes(side_view(j.axle_shape, View(Point(0.0, 0.0))))
        for s in item.segments
        if s.box()[0] < z < s.box()[2]
    ]
    return max(found)


def test_flats_lower_the_edge_only_where_they_are():
    j = made("busy")[0]
    assert highest(j, 6.1) == pytest.approx(12.4)  # faces the reader: the edge stays
    assert highest(j, 143.3) == pytest.approx(9.45)  # faces up: half of 18.9 across
    assert highest(j, 149.9) == pytest.approx(9.45)
    assert highest(j, 136.1) == pytest.approx(12.4)
    assert highest(j, 21.3) == pytest.approx(23.9 / 2)  # the groove


def test_flat_at_an_angle_by_its_corners():
    face = FlatFace(0.0, 10.0, 12.5, 9.5, math.radians(70))
    half = math.degrees(math.acos(9.5 / 12.5))
    assert [math.degrees(c) for c in face.corners] == pytest.approx([70 - half, 70 + half])
    top = 12.5 * math.sin(math.radians(70 - half))
    far = 12.5 * math.sin(math.radians(70 + half))
    assert face.lowers(1.0) == pytest.approx(max(top, far))
    assert face.lowers(-1.0) is None
    assert face.faces_viewer
    turned = made("turned")[0]
    # the drawing looks at the slot: 60 - 35 degrees, and its opposite
    assert {round(math.degrees(f.direction)) for f in turned.axle_shape.flat_faces} == {25, 205}


def test_end_view_stands_at_the_right_and_shows_up():
    """First angle: the view from the left stands at the right of the side view."""
    sheet = made("potters-wheel")[1]
    word = next(t for t in sheet.texts if t.text == "up")
    last = next(t for t in sheet.texts if t.text == "150")
    assert word.x > last.x + 18
    for angle in (0, 25, -80, 180):
        slot = {"from_face": 44.5, "length": 22, "width": 8, "mouth_radius": 1.5, "angle": angle}
        shape = job(axle__wire_slot=slot).axle_shape
        items = end_view(shape, View(Point(0.0, 0.0)), Words(False))
        up = next(i for i in items if getattr(i, "text", "") == "up")
        turn = math.radians(90 - angle)
        assert math.cos(math.atan2(up.y, up.x) - turn) > 0.99


def test_section_opens_to_the_right():
    region = to_polygon(slot_section(job().design.axle, 15.0))
    from shapely.geometry import Point as Spot

    assert not region.contains(Spot(14.0, 0.0))
    assert region.contains(Spot(-14.0, 0.0))
    assert region.contains(Spot(0.0, 14.0))
    assert not region.contains(Spot(0.0, 6.4))


def test_stations_rise_and_start_at_face_a():
    for name in ("busy", "long", "seed 5"):
        found = stations(made(name)[0].axle_shape, View(Point(7.0, 0.0)), Words(False))
        xs = [s.at.x for s in found]
        assert xs == sorted(set(xs))
        assert found[0].text == "0"
        assert found[-1].text == plain(made(name)[0].design.axle.length)


def test_too_many_different_grooves_are_refused_in_words():
    grooves = [
        {"from_face": 150 + 30 * k, "width": 1.1 + 0.05 * k, "diameter": 27.3} for k in range(24)
    ]
    (part,) = Parts(job(**{**ENDLESS, "axle__grooves": grooves}))["axle"]
    with pytest.raises(Refused) as caught:
        part.drawings[0]
    assert [(f.code, f.field) for f in caught.value.findings] == [("no-sheet", "axle.length")]


def test_words():
    rng = random.Random(3)
    assert (plain(22.0), plain(9.525), plain(0.1 + 0.2), plain(100.0)) == (
        "22",
        "9.525",
        "0.3",
        "100",
    )
    assert inch(25.4) == "1.000"
    assert Words(True).lines(12.7, "⌀", " deep") == ("⌀0.500 deep", "[12.7]")
    assert Words(False).limits(fit_limits(25, "k5")) == ("⌀25 k5", "25.011 / 25.002")
    long = "".join(rng.choice("abc dé") for _ in range(90))
    assert fitted("short", 40, 2.5) == "short"
    assert fitted(long, 40, 2.5).endswith("…")


HASHED = """
import hashlib
from geometry.formats.drawing_svg import write_svg
from recipes.catalogue import Parts
from tests.support.design import job
print(hashlib.sha256(write_svg(Parts(job("wool-spinner"))["axle"][0].drawings[0]).encode()).hexdigest())
"""


def test_same_bytes_in_every_process():
    found = set()
    for seed in ("1", "77"):
        env = {**os.environ, "PYTHONHASHSEED": seed}
        done = subprocess.run(
            [sys.executable, "-c", HASHED], env=env, check=True, capture_output=True, text=True
        )
        found.add(done.stdout.strip())
    assert len(found) == 1
