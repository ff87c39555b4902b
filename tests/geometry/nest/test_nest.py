"""Nests: gaps and margins by shapely, numbers by closed forms and by published packings."""

import csv
import math
import subprocess
import sys

import pytest

from geometry.errors import GeometryError
from geometry.nest.blank import NestPiece, check_pieces, nest
from geometry.nest.box import box_layout
from geometry.nest.check import NestFault, verify
from geometry.nest.nofit import no_fit
from geometry.nest.round import row_layouts
from geometry.nest.shape import enclosing_circle
from geometry.polygon import to_polygon
from recipes.stator.lamination import lamination
from tests.places import ROOT
from tests.support.design import STARTERS, job
from tests.support.nest import ELBOW, TRIANGLE, box, disc, faults, shape, star


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


@pytest.mark.parametrize(
    ("n", "side"), [p for p in published() if p[0] in (5, 8, 10, 13, 19, 23, 30)]
)
def test_discs_reach_the_published_packings_and_never_beat_a_proven_one(
    n: int, side: float
) -> None:
    r = 23.7
    pieces = [NestPiece("disc", disc(r), n + 4)]
    roomy = nest(pieces, (1.006 * side * r, 1.006 * side * r), 0.0, 0.0)
    assert max(len(s) for s in roomy.sheets) == n
    small = nest(pieces, (0.999 * side * r, 0.999 * side * r), 0.0, 0.0)
    assert max(len(s) for s in small.sheets) < n


@pytest.mark.parametrize("name", STARTERS)
def test_laminations_lie_like_the_circle_round_them(name: str) -> None:
    part = lamination(job(name))[0]
    outer = job(name).design.lamination.outer_diameter
    centre, radius = enclosing_circle(part.cut[0].outer)
    assert radius == pytest.approx(outer / 2, abs=1e-9)
    assert math.hypot(*centre) < 1e-9
    expected = closed_form(800 - 10 + 3, 500 - 10 + 3, outer + 3)
    pieces = [NestPiece("lamination", part.cut[0], expected + 2), NestPiece("odd", disc(11.0), 3)]
    found = nest(pieces, (800, 500), 3.0, 5.0)
    assert len(found.sheets[0]) >= expected
    assert faults(found, pieces, 3.0, 5.0) == []
    net = (expected + 2) * part.cut[0].area + 3 * math.pi * 11.0**2
    assert found.use_fraction == pytest.approx(net / (found.sheet_count * 800 * 500))


def test_mixed_rows_beat_square_and_hexagonal_ones() -> None:
    """Three full rows of 5 do not fit as hexagonal 5, 4, 5, 4; one square step saves a disc."""
    best = max(len(layout) for layout in row_layouts(5.2, 3.8, 1.0))
    assert (square_rows(5.2, 3.8, 1.0), hexagonal_rows(5.2, 3.8, 1.0)) == (15, 18)
    assert best == 19


def test_boxes_by_exact_count() -> None:
    assert len(box_layout(100.0, 70.0, (9.0, 20.0), False)) == 11 * 3
    # Two bands: 5 upright ones of 20 x 9 beside lying ones; by hand.
    assert len(box_layout(29.0, 40.0, (9.0, 20.0), True)) == 6
    # Four 3 x 2 boxes turn round the middle of a 5 x 5 square; straight cuts give three.
    assert len(box_layout(5.0, 5.0, (3.0, 2.0), True)) == 4
    pieces = [NestPiece("strip", box(5.6, 27.2), 100, (0.0,))]
    found = nest(pieces, (210, 297), 4.0, 10.0)
    # (190 + 4) / 9.6 = 20 columns, (277 + 4) / 31.2 = 9 rows
    assert found.sheet_count == 1
    assert max(x.x for x in found.sheets[0]) - min(x.x for x in found.sheets[0]) == pytest.approx(
        19 * 9.6, abs=1e-3
    )
    assert faults(found, pieces, 4.0, 10.0) == []


def test_grain_is_kept() -> None:
    locked = NestPiece("locked", box(60, 20), 4, (0.0, math.pi))
    with pytest.raises(GeometryError, match=r"locked, 60\.00 x 20\.00 mm"):
        nest([locked], (50, 120), 2.0, 3.0)
    free = [NestPiece("free", box(60, 20), 4)]
    assert nest(free, (50, 120), 2.0, 3.0).sheet_count == 2
    both = [NestPiece("a", box(60, 20), 7, (0.0,)), NestPiece("b", box(61, 19), 5, (math.pi / 2,))]
    assert faults(nest(both, (200, 150), 2.0, 3.0), both, 2.0, 3.0) == []


@pytest.mark.parametrize("seed", range(6))
def test_mixed_pieces_keep_gap_and_margin(seed: int) -> None:
    gap, margin = (1.3, 0.0, 3.1)[seed % 3], (4.7, 2.2)[seed % 2]
    pieces = [
        NestPiece("star", star(seed), 5 + seed),
        NestPiece("other star", star(90 + seed), 4, (0.3, 2.0)),
        NestPiece("elbow", ELBOW, 3),
        NestPiece("disc", disc(19.3), 8),
        NestPiece("triangle", TRIANGLE, 6, (0.0, math.pi)),
        NestPiece("strip", box(7.3, 61.9), 9),
    ]
    found = nest(pieces, (300, 200), gap, margin)
    assert faults(found, pieces, gap, margin) == []
    least = sum(p.region.area * p.quantity for p in pieces) / (300 * 200)
    assert found.sheet_count <= math.ceil(2.6 * least)


def test_shapes_that_interlock_need_less_than_their_boxes() -> None:
    pieces = [NestPiece("elbow", ELBOW, 24)]
    by_boxes = int(493 / 83) * int(293 / 73) * 1
    found = nest(pieces, (500, 300), 3.0, 5.0)
    assert by_boxes == 20
    assert found.sheet_count == 1
    assert nest([NestPiece("triangle", TRIANGLE, 45)], (500, 300), 3.0, 5.0).sheet_count == 1


def test_small_pieces_go_into_the_gaps_of_large_ones() -> None:
    pieces = [NestPiece("large", disc(48.0), 6), NestPiece("small", disc(7.0), 2)]
    assert nest(pieces, (310, 206), 2.0, 3.0).sheet_count == 1


def test_no_fit_of_two_triangles_by_hand() -> None:
    a, b = (to_polygon(shape((0, 0), (4, 0), (0, 4))), to_polygon(shape((0, 0), (2, 0), (0, 2))))
    # a (+) -b: a square of 4 + 2 less one corner of 4 x 4 / 2 and one of 2 x 2 / 2.
    assert no_fit(a, b).area == pytest.approx(36 - 8 - 2)
    hollow = to_polygon(ELBOW)
    slot = to_polygon(box(10, 10))
    # Arms 20 thick, 80 and 70 long, become 30 thick, 90 and 80 long.
    assert no_fit(hollow, slot).area == pytest.approx(30 * 80 + 90 * 30 - 30 * 30)


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
     ({"pieces": [NestPiece("a", disc(4.0), 0)]}, "a: "), ({"pieces": [NestPiece("a", disc(4.0), 1, ())]}, "angle"),
     ({"pieces": [NestPiece("a", disc(4.0)), NestPiece("a", disc(5.0))]}, "one name: a"),
     ({"pieces": [NestPiece("a", disc(4.0), 100_001)]}, "100001")],
)  # fmt: skip
def test_bad_measures_are_refused(change: dict[str, object], word: str) -> None:
    asked = {"pieces": [NestPiece("a", disc(4.0))], "sheet": (90.0, 90.0), "part_gap": 2.0, "sheet_margin": 3.0}  # fmt: skip
    with pytest.raises(GeometryError, match=word):
        check_pieces(**(asked | change))  # type: ignore[arg-type] # wrong on purpose


def test_a_nest_that_breaks_its_gap_is_caught() -> None:
    pieces = [NestPiece("disc", disc(10.0), 6)]
    found = nest(pieces, (100, 60), 2.0, 3.0)
    regions = {"disc": pieces[0].region}
    verify(found.sheets, regions, found.size, 2.0, 3.0)
    with pytest.raises(NestFault, match="apart"):
        verify(found.sheets, regions, found.size, 2.01, 3.0)
    with pytest.raises(NestFault, match="from the edge"):
        verify(found.sheets, regions, found.size, 2.0, 3.01)


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
        "from geometry.nest.blank import NestPiece, nest\n"
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
