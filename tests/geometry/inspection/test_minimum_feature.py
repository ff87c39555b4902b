"""Narrowest web and slot, smallest hole, tightest corner: against shapely, closed forms, by hand."""

from __future__ import annotations

import math
import random
from itertools import combinations

import pytest
import shapely

from geometry import Arc, Line, Outline, Point, Region
from geometry.fillet import fillet
from geometry.inspection.minimum_feature import Width, corners, hole_size, widths
from geometry.radial import joined
from geometry.segment import Segment
from recipes.catalogue import Parts
from tests.support.design import STARTERS, job
from tests.support.shape import blob, stadium


def _loops(outer: Outline, *holes: Outline) -> list[Outline]:
    region = Region(outer, holes)
    return [region.outer, *region.holes]


def _least(loops: list[Outline], kind: str) -> Width | None:
    return next((w for w in widths(loops) if w.kind == kind), None)


def _size(loops: list[Outline], kind: str) -> float:
    found = _least(loops, kind)
    assert found is not None
    return found.size


PLATE = Outline.rectangle(121.3, 87.7)


@pytest.mark.parametrize("seed", range(10))
def test_web_between_random_holes_and_rim_is_shapelys_distance(seed: int) -> None:
    dice = random.Random(seed)
    holes: list[Outline] = []
    while len(holes) < 25:
        spot = Point(dice.uniform(-52, 52), dice.uniform(-36, 36))
        hole = dice.choice([
            Outline.circle(spot, dice.uniform(1.7, 6.1)),
            Outline.rectangle(9.3, 4.1, spot).rotated(dice.uniform(0, 3), spot),
            stadium(5.7, 2.1).rotated(dice.uniform(0, 3)).moved(*spot),
        ])  # fmt: skip
        area = shapely.Polygon(_ring(hole))
        clear = all(area.distance(shapely.Polygon(_ring(o))) > 0.4 for o in holes)
        if clear and area.distance(_ring(PLATE)) > 0.4:
            holes.append(hole)
    rings = [_ring(o) for o in (PLATE, *holes)]
    expected = min(shapely.distance(a, b) for a, b in combinations(rings, 2))
    found = _least(_loops(PLATE, *holes), "web")
    assert found is not None
    assert found.size == pytest.approx(expected, abs=3e-4)  # their chords stray 1e-4
    nearest = min(combinations(range(26), 2), key=lambda p: shapely.distance(rings[p[0]], rings[p[1]]))  # fmt: skip
    assert tuple(sorted(found.loops)) == nearest
    assert shapely.Point(found.a).distance(rings[found.loops[0]]) < 3e-4


def _ring(loop: Outline) -> shapely.LinearRing:
    return shapely.LinearRing(loop.chords(1e-4))


@pytest.mark.parametrize("seed", range(8))
def test_gap_between_two_blobs_is_shapelys_distance(seed: int) -> None:
    one, two = blob(seed), blob(seed + 100)
    two = two.moved(one.centroid.x - two.centroid.x + 43.7, one.centroid.y - two.centroid.y)
    pair = [one.oriented(True), two.oriented(True)]
    gap = next(w for w in widths(pair, below=60.0) if w.kind == "slot" and w.loops[0] != w.loops[1])
    assert gap.size == pytest.approx(_ring(one).distance(_ring(two)), abs=3e-4)


def _lamination(teeth: int, *, tooth: float, lip: float, opening: float) -> Outline:
    """Return a toothed wheel with parallel teeth and square lips, outer radius 51.3."""
    outer, floor = 51.3, 30.7
    pitch = 2 * math.pi / teeth

    def at(radius: float, half: float, side: int) -> Point:
        return Point(math.sqrt(radius**2 - half**2), side * half)

    half_tip = outer * math.sin(pitch / 2) - opening / 2
    spots = [
        at(floor, tooth / 2, -1),
        at(outer - lip, tooth / 2, -1),
        at(outer - lip, half_tip, -1),
        at(outer, half_tip, -1),
        at(outer, half_tip, 1),
        at(outer - lip, half_tip, 1),
        at(outer - lip, tooth / 2, 1),
        at(floor, tooth / 2, 1),
    ]
    o = Point(0.0, 0.0)
    run: list[Segment] = [
        Line(spots[0], spots[1]),
        Arc(spots[1], spots[2], o, False),
        Line(spots[2], spots[3]),
        Arc(spots[3], spots[4], o, True),
        Line(spots[4], spots[5]),
        Arc(spots[5], spots[6], o, False),
        Line(spots[6], spots[7]),
        Arc(spots[7], spots[0].rotated(pitch), o, True),
    ]
    turns = [[s.rotated(k * pitch) for s in run] for k in range(teeth)]
    return Outline(tuple(joined(turns, closed=True)))


@pytest.mark.parametrize(
    ("tooth", "yoke", "lip", "hole_web", "least"),
    [
        (3.317, 9.1, 5.2, 4.9, 3.317),  # the tooth
        (6.1, 2.473, 5.2, 4.9, 2.473),  # the yoke
        (6.1, 9.1, 1.937, 4.9, 1.937),  # the lip
        (6.1, 9.1, 5.2, 1.618, 1.618),  # between a bolt hole and the bore
    ],
)
def test_the_narrowest_web_of_a_lamination(
    tooth: float, yoke: float, lip: float, hole_web: float, least: float
) -> None:
    outline = _lamination(12, tooth=tooth, lip=lip, opening=2.8)
    bore = 30.7 - yoke
    holes = [Outline.circle(Point(0.0, 0.0), bore)]
    if hole_web < 4.0:
        r = 2.15
        holes += [Outline.circle(Point.polar(bore + hole_web + r, 0.4 + k), r) for k in range(4)]
    # A lip is measured from its corner to its other side, across the chord of its end.
    assert _size(_loops(outline, *holes), "web") == pytest.approx(least, abs=1e-3)


def test_the_opening_is_the_narrowest_slot_of_a_lamination() -> None:
    outline = _lamination(12, tooth=6.1, lip=2.9, opening=2.813)
    found = _least(_loops(outline), "slot")
    assert found is not None
    mouth = outline.points
    gap = min(p.distance(q) for p in mouth for q in mouth if abs(p.length() - 51.3) < 1e-6
              and abs(q.length() - 51.3) < 1e-6 and p.distance(q) > 1e-6)  # fmt: skip
    inner = min(p.distance(q) for p in mouth for q in mouth if abs(p.length() - 48.4) < 1e-6
                and abs(q.length() - 48.4) < 1e-6 and p.distance(q) > 1e-6)  # fmt: skip
    assert found.size == pytest.approx(min(gap, inner), abs=1e-6)


@pytest.mark.parametrize("name", STARTERS)
def test_our_own_openings_and_teeth(name: str) -> None:
    made = job(name)
    region = Parts(made)["lamination"][0].cut[0]
    lam = made.design.lamination
    assert lam.tooth_width
    found = widths([region.outer, *region.holes], below=lam.tooth_width + 0.01)
    assert next(w.size for w in found if w.kind == "slot") == pytest.approx(lam.slot_opening, abs=1e-6)  # fmt: skip
    assert any(w.size == pytest.approx(lam.tooth_width, abs=1e-6) for w in found if w.kind == "web")
    thinnest = found[0].size if found[0].kind == "web" else found[1].size
    # The end of the lip is rounded, so its sides begin a little further in.
    assert lam.tip_thickness - 1e-6 < thinnest < lam.tip_thickness + 0.3


def test_rounds_and_chamfers_are_no_webs_and_no_slots() -> None:
    body = Outline.rectangle(40.0, 25.0).segments
    a, round_, b = fillet(body[0], body[1], 0.07)
    tipped = Outline((a, round_, b, *body[2:3], Line(body[2].end, a.start)))
    assert _size([tipped], "web") == pytest.approx(25.0, abs=1e-9)
    chamfered = Outline.polygon([(0, 0), (39.95, 0), (40, 0.05), (40, 25), (0, 25)])
    assert _size([chamfered], "web") == pytest.approx(25.0, abs=1e-9)
    window = tipped.reversed()
    frame = [Outline.rectangle(80.0, 70.0), window]
    assert _size(frame, "slot") == pytest.approx(25.0, abs=1e-9)


@pytest.mark.parametrize(("depth", "count"), [(0.3, 0), (4.0, 1)])
def test_a_notch_is_no_slot_until_it_is_deeper_than_wide(depth: float, count: int) -> None:
    d = 20.0 - depth
    notched = Outline.polygon([(0, 0), (50, 0), (50, 20), (26, 20), (26, d), (25, d), (25, 20), (0, 20)])  # fmt: skip
    assert len([w for w in widths([notched], below=1.5) if w.kind == "slot"]) == count
    bump = Outline.polygon([(0, 0), (50, 0), (50, 9), (26, 9), (26, 9 + depth), (25, 9 + depth), (25, 9), (0, 9)])  # fmt: skip
    webs = [w.size for w in widths([bump], below=1.5) if w.kind == "web"]
    assert webs == pytest.approx([1.0] if count else [9.0])


def test_a_tapered_end_counts_its_thinnest_place() -> None:
    blade = Outline.polygon([(0, -3), (60, -0.31), (60, 0.31), (0, 3)])
    assert _size([blade], "web") == pytest.approx(0.62, abs=1e-9)


def test_nearly_parallel_sides_count_too() -> None:
    bar = Outline.polygon([(0, 0), (60, 0), (60, 2.7 + 1e-7), (0, 2.7)])
    found = _least([bar], "web")
    assert found is not None
    assert found.size == pytest.approx(2.7, abs=1e-6)


def test_a_disc_is_as_wide_as_its_diameter_and_a_ring_as_its_wall() -> None:
    disc = Outline.circle(Point(1.0, 2.0), 13.7)
    assert _size([disc], "web") == pytest.approx(27.4)
    wall = _loops(disc, Outline.circle(Point(1.0, 2.0), 11.2))
    assert _size(wall, "web") == pytest.approx(2.5, abs=1e-9)
    off = _loops(disc, Outline.circle(Point(1.3, 2.4), 11.2))
    assert _size(off, "web") == pytest.approx(2.0, abs=1e-9)


def test_everything_below_the_limit_is_listed_once() -> None:
    holes = [Outline.circle(Point(-45.0 + 7.2 * k, 3.1), 3.0) for k in range(13)]
    found = widths(_loops(PLATE, *holes), below=1.3)
    assert [w.size for w in found if w.kind == "web"] == pytest.approx([1.2] * 12)
    assert {round(w.where.x, 6) for w in found} == {round(-41.4 + 7.2 * k, 6) for k in range(12)}


def test_inside_corners() -> None:
    step = Outline.polygon([(0, 0), (40, 0), (40, 10), (25, 10), (25, 30), (0, 30)])
    (sharp,) = corners([step])
    assert (sharp.radius, sharp.where) == (0.0, Point(25.0, 10.0))
    a, b = step.segments[2:4]
    a, round_, b = fillet(a, b, 0.37)
    rounded = Outline((*step.segments[:2], a, round_, b, *step.segments[4:]))
    (soft,) = corners([rounded])
    assert soft.radius == pytest.approx(0.37, abs=1e-12)
    window = Outline.rectangle(10.0, 6.0).oriented(False)
    assert [c.radius for c in corners([Outline.rectangle(90.0, 90.0), window])] == [0.0] * 4
    assert corners([Outline.circle(Point(0.0, 0.0), 5.0).oriented(False)]) == []
    many = Outline.polygon([Point.polar(9.0, 2 * math.pi * k / 40) for k in range(40)])
    assert corners([many.oriented(False)]) == []  # chords of a curve


def test_the_size_of_a_hole_that_is_not_round() -> None:
    assert hole_size(Outline.circle(Point(1.5, 2.5), 0.75)) == (1.5, Point(1.5, 2.5))
    size, middle = hole_size(stadium(5.7, 2.1))
    assert size == pytest.approx(4.2, abs=0.006)
    assert abs(middle.y) < 0.01
    triangle = Outline.polygon([(0, 0), (9.0, 0), (0, 12.0)])
    assert hole_size(triangle)[0] == pytest.approx(6.0, abs=0.002)  # 2 r = a + b - c


def test_no_loops_no_widths() -> None:
    assert widths([]) == []
    assert corners([]) == []


@pytest.mark.parametrize("name", STARTERS)
def test_the_result_hardly_depends_on_the_samples(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Samples only tell which edges face each other; each edge has three at least."""
    region = Parts(job(name))["lamination"][0].cut[0]
    loops = [region.outer, *region.holes]
    many = [_size(loops, kind) for kind in ("web", "slot")]
    lips = sum(w.size < many[0] + 1e-6 for w in widths(loops, below=3.0) if w.kind == "web")
    assert lips == 2 * job(name).design.motor.slots
    monkeypatch.setattr("geometry.inspection.minimum_feature.SAMPLES", 3)
    assert [_size(loops, kind) for kind in ("web", "slot")] == pytest.approx(many, abs=1e-9)
    assert lips == sum(w.size < many[0] + 1e-6 for w in widths(loops, below=3.0) if w.kind == "web")


@pytest.mark.parametrize("seed", [5, 59, 7])
def test_sparse_samples_are_made_denser_where_edges_come_near(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    dice = random.Random(seed)
    spots, x = [(0.0, 0.0), (300.0, 0.0), (300.0, 40.0)], 295.0
    while x > 10.0:  # fingers of any length, slightly tapered
        wide, gap, high = dice.uniform(1.2, 4), dice.uniform(1.2, 6), dice.uniform(2, 60)
        a, b = 0.1 * dice.random(), 0.1 * dice.random()
        spots += [(x, 40.0), (x - a, 40 + high), (x - wide, 40 + high), (x - wide - b, 40.0)]
        x -= wide + gap
    comb = [Outline.polygon([*spots, (0.0, 40.0)])]
    fine = [_size(comb, kind) for kind in ("web", "slot")]
    monkeypatch.setattr("geometry.inspection.minimum_feature.SAMPLES", 3)
    assert [_size(comb, kind) for kind in ("web", "slot")] == fine
    if seed != 7:
        monkeypatch.setattr("geometry.inspection.minimum_feature._ROUNDS", 1)
        assert [_size(comb, kind) for kind in ("web", "slot")] != fine
