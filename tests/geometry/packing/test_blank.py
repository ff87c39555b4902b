"""Pieces on blanks: gaps and margins by shapely, numbers by closed forms and published packings."""

from __future__ import annotations

import csv
import dataclasses
import math
import subprocess
import sys

import pytest

from geometry.errors import GeometryError
from geometry.outline import Outline
from geometry.packing.blank import NestPiece, check_pieces, nest, round_circle, staggered_rows
from geometry.point import Point
from geometry.segment import Arc, Line
from recipes.catalogue import Parts
from tests.places import ROOT
from tests.support.design import STARTERS, job
from tests.support.nest import ELBOW, TRIANGLE, box, disc, faults, star


def square_rows(width: float, height: float, d: float) -> int:
    return int(width / d) * int(height / d)


def hexagonal_rows(width: float, height: float, d: float) -> int:
    """Rows along the width, each set against the last by half a circle (closed form)."""
    full = int(width / d)
    short = int((width - d / 2) / d)
    rows = 1 + int((height - d) / (d * math.sqrt(0.75)))
    return full * ((rows + 1) // 2) + short * (rows // 2)


def closed_form(width: float, height: float, d: float) -> int:
    """The better of square and hexagonal rows, both ways round."""
    ways = ((width, height), (height, width))
    return max(max(square_rows(w, h, d), hexagonal_rows(w, h, d)) for w, h in ways)


@pytest.mark.parametrize(
    ("width", "height", "radius"),
    [(400, 300, 25.3), (503, 297, 31.07), (251, 503, 17.9), (1250, 611, 76.3), (333, 332, 40.2),
     (219.5, 131.2, 10.6), (97, 301, 44.1), (640, 480, 61.9)],
)  # fmt: skip
def test_discs_are_never_fewer_than_in_the_better_rows(
    width: float, height: float, radius: float
) -> None:
    gap, margin = 2.7, 4.3
    inner = (width - 2 * margin + gap, height - 2 * margin + gap)
    expected = closed_form(*inner, 2 * radius + gap)
    pieces = [NestPiece("disc", disc(radius), expected)]
    found = nest(pieces, (width, height), gap, margin)
    assert found.sheet_count == 1
    assert faults(found, pieces, gap, margin) == []
    # No packing covers more of the plane than pi / sqrt 12 (Thue 1910; Fejes Toth 1942); circles
    # of a finite room lie inside it grown by less than half a diameter each way.
    many = [NestPiece("disc", disc(radius), 3 * expected)]
    most = max(len(s) for s in nest(many, (width, height), gap, margin).sheets)
    d = 2 * radius + gap
    bound = math.pi / math.sqrt(12) * (inner[0] + d) * (inner[1] + d) / (math.pi / 4 * d * d)
    assert expected <= most <= bound


def test_rows_that_just_fit_are_not_lost_to_rounding() -> None:
    """7 x 5 discs of 30 mm with gaps of 3 mm and margins of 5 mm fill 238 x 172 exactly."""
    pieces = [NestPiece("disc", disc(15.0), 35)]
    found = nest(pieces, (7 * 30 + 6 * 3 + 10, 5 * 30 + 4 * 3 + 10), 3.0, 5.0)
    assert found.sheet_count == 1
    tight = nest([NestPiece("box", box(30, 30), 35)], (238, 172), 3.0, 5.0)
    assert tight.sheet_count == 1
    assert nest([NestPiece("box", box(30, 30), 35)], (237.9, 172), 3.0, 5.0).sheet_count == 2


def published() -> list[tuple[int, float]]:
    """Best known packings of circles in a square: tests/reference/packing_circles_in_square.csv."""
    lines = (ROOT / "tests/reference/packing_circles_in_square.csv").read_text().splitlines()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    return [
        (int(r["n"]), float(r["side_over_r"])) for r in rows if r["status"].startswith("proven")
    ]


@pytest.mark.parametrize(("n", "side"), published())
def test_discs_reach_published_packings_that_are_rows_and_never_beat_a_proven_one(
    n: int, side: float
) -> None:
    r = 23.7

    def most(size: float) -> int:
        pieces = [NestPiece("disc", disc(r), n + 4)]
        return max(len(s) for s in nest(pieces, (size, size), 0.0, 0.0).sheets)

    if n in (4, 5, 6, 9, 12, 16, 18, 25, 27, 36):  # what these look like is in the source
        assert most(side * r + 1e-5) == n
    else:
        assert most(side * r + 1e-5) <= n
    if n > 1:
        assert most(0.999 * side * r) < n


@pytest.mark.parametrize("name", STARTERS)
def test_laminations_lie_like_the_circle_round_them(name: str) -> None:
    part = Parts(job(name))["lamination"][0]
    outer = job(name).design.lamination.outer_diameter
    circle = round_circle(part.cut[0].outer)
    assert circle is not None
    centre, radius = circle
    assert radius == pytest.approx(outer / 2, abs=1e-9)
    assert math.hypot(*centre) < 1e-9
    expected = closed_form(800 - 10 + 3, 500 - 10 + 3, outer + 3)
    pieces = [NestPiece("lamination", part.cut[0], expected + 2), NestPiece("odd", disc(11.0), 3)]
    found = nest(pieces, (800, 500), 3.0, 5.0)
    assert len(found.sheets[0]) >= expected
    assert faults(found, pieces, 3.0, 5.0) == []
    net = (expected + 2) * part.cut[0].area + 3 * math.pi * 11.0**2
    assert found.use_fraction == pytest.approx(net / (found.sheet_count * 800 * 500))


@pytest.mark.parametrize("width", [3.7, 3.97, 4.4])
def test_five_in_a_zigzag(width: float) -> None:
    """Neighbours lie (w - d) / 4 along and sqrt(d^2 - (w - d)^2 / 16) across (Pythagoras)."""
    d = 1_000_000
    height = d * (1 + math.sqrt(1 - ((width - 1) / 4) ** 2))
    for high, count in ((height + 9, 5), (height - 9, min(int(width), 4))):
        spots = staggered_rows(round(width * d), round(high), d)
        assert len(spots) == count
        assert min(math.dist(p, q) for i, p in enumerate(spots) for q in spots[:i]) >= d
        assert max(x for x, _ in spots) <= width * d - d
        assert max(y for _, y in spots) <= high - d


@pytest.mark.parametrize("ccw", [True, False])
@pytest.mark.parametrize("degrees", [203.0, 289.0, 340.0])
def test_circle_round_a_piece_of_a_disc(degrees: float, ccw: bool) -> None:
    """It is the disc's own; the piece covers (a - sin a) / 2 pi of it, 95 % at 288.2 degrees."""
    middle = Point(4.1, -7.7)
    a, b = (middle.plus(Point.polar(19.3, 0.7 + t)) for t in (0.0, math.radians(degrees)))
    loop = Outline((Arc(a, b, middle, True), Line(b, a)))
    found = round_circle(loop if ccw else loop.reversed())
    assert (found is None) == (degrees < 288)
    if found:
        assert found[0].distance(middle) < 0.05
        assert 19.3 - 1e-9 <= found[1] <= 19.3 + 2e-3


def test_circle_round_two_half_discs_set_apart() -> None:
    """The farthest points lie amid both arcs, where no corner is."""
    r, off = 19.3, 0.2
    a, b = Point(off, r), Point(off, -r)
    c, d = Point(-off, -r), Point(-off, r)
    arcs = Arc(a, b, Point(off, 0.0), False), Arc(c, d, Point(-off, 0.0), False)
    found = round_circle(Outline((arcs[0], Line(b, c), arcs[1], Line(d, a))))
    assert found is not None
    assert found[1] == pytest.approx(r + off, abs=1e-6)


def test_boxes_by_exact_count() -> None:
    # Upright 11 x 3; two bands of lying and upright boxes; by hand.
    for room, size, turn, count in (((100, 70), (9, 20), False, 33), ((29, 40), (9, 20), True, 6)):
        many = [NestPiece("box", box(*size), count + 1, turn)]
        assert len(nest(many, room, 0.0, 0.0).sheets[0]) == count
    pieces = [NestPiece("strip", box(5.6, 27.2), 100, may_turn=False)]
    found = nest(pieces, (210, 297), 4.0, 10.0)
    # (190 + 4) / 9.6 = 20 columns, (277 + 4) / 31.2 = 9 rows
    assert found.sheet_count == 1
    assert max(x.x for x in found.sheets[0]) - min(x.x for x in found.sheets[0]) == pytest.approx(
        19 * 9.6, abs=1e-3
    )
    assert faults(found, pieces, 4.0, 10.0) == []


def test_grain_is_kept() -> None:
    locked = NestPiece("locked", box(60, 20), 4, may_turn=False)
    with pytest.raises(GeometryError, match=r"locked, 60\.00 x 20\.00 mm"):
        nest([locked], (50, 120), 2.0, 3.0)
    free = [NestPiece("free", box(60, 20), 4)]
    assert nest(free, (50, 120), 2.0, 3.0).sheet_count == 2
    both = [NestPiece("a", box(60, 20), 7, may_turn=False), NestPiece("b", box(61, 19), 5)]
    assert faults(nest(both, (200, 150), 2.0, 3.0), both, 2.0, 3.0) == []


@pytest.mark.parametrize("seed", range(6))
def test_mixed_pieces_keep_gap_and_margin(seed: int) -> None:
    gap, margin = (1.3, 0.0, 3.1)[seed % 3], (4.7, 2.2)[seed % 2]
    pieces = [
        NestPiece("star", star(seed), 5 + seed),
        NestPiece("other star", star(90 + seed), 4),
        NestPiece("elbow", ELBOW, 3),
        NestPiece("disc", disc(19.3), 8),
        NestPiece("triangle", TRIANGLE, 6, may_turn=False),
        NestPiece("strip", box(7.3, 61.9), 9),
    ]
    found = nest(pieces, (300, 200), gap, margin)
    assert faults(found, pieces, gap, margin) == []
    least = sum(p.region.area * p.quantity for p in pieces) / (300 * 200)
    assert found.sheet_count <= math.ceil(2.6 * least)


def test_small_pieces_go_above_the_rows_of_large_ones() -> None:
    pieces = [NestPiece("large", disc(48.0), 6), NestPiece("strip", box(280.0, 8.0), 2)]
    assert nest(pieces, (310, 222), 2.0, 3.0).sheet_count == 1
    assert nest(pieces, (310, 211), 2.0, 3.0).sheet_count == 2


@pytest.mark.parametrize(
    ("boxes", "count"),
    [([(99, 30, 6), (66, 63, 2), (53, 52, 3), (64, 69, 3)], 1), ([(30, 89, 4), (62, 84, 5), (20, 40, 3), (66, 47, 2)], 1)],
)  # fmt: skip
def test_the_way_to_lay_boxes_that_takes_fewest_blanks_counts(
    boxes: list[tuple[int, int, int]], count: int
) -> None:
    """One by the lowest place, one by the best fitting; either way alone takes two blanks there."""
    pieces = [NestPiece(str(n), box(w, h), q) for n, (w, h, q) in enumerate(boxes)]
    assert nest(pieces, (300, 200), 0.0, 0.0).sheet_count == count


@pytest.mark.parametrize(
    ("width", "height", "d", "number", "top"),
    [(424, 453, 55, 17, 146.85), (391, 244, 48, 35, 216.0), (421, 201, 64, 31, 160.0)],
)
def test_what_is_left_of_the_last_blank_lies_in_one_piece_above(
    width: float, height: float, d: float, number: int, top: float
) -> None:
    """No lower than the area allows, and no higher than these rows, drawn once and measured."""
    pieces = [NestPiece("disc", disc(d / 2), number)]
    last = nest(pieces, (width, height), 0.0, 0.0).sheets[-1]
    highest = max(x.place(pieces[0].region).box[3] for x in last)
    assert len(last) * math.pi / 4 * d**2 / width < highest < top + 0.1


def test_what_no_blank_holds_is_named_all_at_once() -> None:
    pieces = [
        NestPiece("plate", box(301, 40)),
        NestPiece("ring", disc(70.1)),
        NestPiece("ok", disc(9)),
    ]
    with pytest.raises(GeometryError) as caught:
        nest(pieces, (250, 150), 3.0, 5.5)
    text = str(caught.value)
    assert "plate, 301.00 x 40.00 mm" in text
    assert "ring, 140.20 x 140.20 mm" in text
    assert "ok," not in text
    assert "250 x 150 mm" in text
    assert "239 x 139 mm" in text
    assert caught.value.hint
    assert (caught.value.value, caught.value.limit) == (301.0, 239.0)


@pytest.mark.parametrize(
    ("change", "word"),
    [({"part_gap": -1.0}, "part_gap"), ({"sheet_margin": math.nan}, "sheet_margin"),
     ({"sheet": (0.0, 10.0)}, "width"), ({"sheet": (10.0, math.inf)}, "height"), ({"pieces": []}, "no piece"),
     ({"pieces": [NestPiece("a", disc(4.0), 0)]}, "a: "),
     ({"pieces": [NestPiece("a", disc(4.0)), NestPiece("a", disc(5.0))]}, "one name: a"),
     ({"pieces": [NestPiece("a", disc(4.0), 100_001)]}, "100001")],
)  # fmt: skip
def test_bad_measures_are_refused(change: dict[str, object], word: str) -> None:
    asked = {"pieces": [NestPiece("a", disc(4.0))], "sheet": (90.0, 90.0), "part_gap": 2.0, "sheet_margin": 3.0}  # fmt: skip
    with pytest.raises(GeometryError, match=word):
        check_pieces(**(asked | change))  # type: ignore[arg-type] # wrong on purpose


def test_the_smallest_blank_is_a_millimetre_wide() -> None:
    piece = [NestPiece("dot", disc(0.3))]
    for sheet in ((1.0, 90.0), (90.0, 1.0)):
        check_pieces(piece, sheet, 0.0, 0.1)
    for sheet in ((0.99, 90.0), (90.0, 0.99)):
        with pytest.raises(GeometryError, match=r"is 0\.99 mm, must be finite and at least 1 mm"):
            check_pieces(piece, sheet, 0.0, 0.1)


def test_a_nest_that_breaks_gap_margin_or_number_is_caught() -> None:
    pieces = [NestPiece("disc", disc(10.0), 6)]
    found = nest(pieces, (100, 60), 2.0, 3.0)
    assert faults(found, pieces, 2.0, 3.0) == []
    assert any("apart" in said for said in faults(found, pieces, 2.01, 3.0))
    assert any("from the edge" in said for said in faults(found, pieces, 2.0, 3.01))
    fewer = dataclasses.replace(found, sheets=(found.sheets[0][1:],))
    assert faults(fewer, pieces, 2.0, 3.0) == ["disc: 5 of 6"]


def test_equal_blanks_are_counted_together() -> None:
    found = nest([NestPiece("disc", disc(20.0), 100)], (200, 150), 3.0, 5.0)
    assert sum(count for _, count in found.repeats) == found.sheet_count
    assert len(found.repeats) <= 2
    assert sum(len(sheet) * count for sheet, count in found.repeats) == 100


def test_equal_blanks_part_when_only_some_get_a_small_piece() -> None:
    pieces = [
        NestPiece("large", disc(29.0), 70),
        NestPiece("small", disc(6.1), 23),
        NestPiece("tiny", box(3.3, 8.1), 150),
    ]
    found = nest(pieces, (200, 150), 3.0, 5.0)
    assert faults(found, pieces, 3.0, 5.0) == []
    assert found.sheet_count == nest(pieces[:1], (200, 150), 3.0, 5.0).sheet_count


def test_two_processes_lay_the_same_nest() -> None:
    code = (
        "from geometry.packing.blank import NestPiece, nest\n"
        "from tests.support.nest import *\n"
        "ps = [NestPiece('s', star(4), 7), NestPiece('d', disc(19.3), 31), NestPiece('e', ELBOW, 5)]\n"
        "print(nest(ps, (300.0, 200.0), 1.9, 3.3))"
    )
    said = {
        subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT,
            env={"PYTHONHASHSEED": seed, "PATH": "", "PYTHONPATH": str(ROOT)},
        ).stdout
        for seed in ("1", "77")
    }  # fmt: skip
    assert len(said) == 1
