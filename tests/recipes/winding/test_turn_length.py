"""Turn lengths against a closed racetrack, against path integrals along sampled curves, by hand.

Outside check: the parallel curve of a closed convex curve at the distance q is longer by exactly
2 pi q, whatever the curve (Jakob Steiner 1840; L. A. Santalo, Integral Geometry and Geometric
Probability, I.1.5). Here shapely draws the curves and adds up their pieces.
"""

import math

import numpy as np
import pytest
import shapely

from recipes.winding.turn_length import BULGE, PHASE_TAIL, SLACK, turn_results
from tests.support.stators import CAP, CASES, STEPS, a_case, a_job

FINE = 2048


def q_of(job):
    """Distance of each laid wire's centre from the steel flank, from the drawn wall."""
    spots = [p for e in job.slot.wall for p in e.chords(1e-7)]
    wall = shapely.LineString([(p.x, p.y) for p in spots])
    return shapely.distance(shapely.points(job.conductors.laid), wall)


def paper_on_end(job):
    """Liner and folded cuff."""
    return 2 * job.design.liner.thickness


@pytest.mark.parametrize(("starter", "width"), [("potters-wheel", 7.6), ("kayak-thruster", 6.0)])
def test_a_rectangular_tooth_is_a_closed_racetrack(starter, width):
    job = a_job(starter, winding={"strands": 1, "turns": 41})
    paper = job.design.liner.thickness
    height = job.stack.length + 2 * (paper_on_end(job) - paper)
    lengths, second = job.turn_lengths.turn_length_mm, job.conductors.rows[:41] == 2
    assert second.sum() > 15
    q = job.conductors.heights[:41] + paper
    assert np.allclose(q_of(job)[5:12], q[5:12], atol=1e-6)
    # two straight runs of each kind and four quarter circles
    racetrack = 2 * width + 2 * height + 4 * (math.pi / 2) * q
    assert np.allclose(lengths[second], racetrack[second], atol=1e-9)
    # a first turn by hand: 0.6 mm wire on 0.13 mm paper bends no tighter than 0.6
    first = lengths[0] - racetrack[0]
    lacking = job.conductors.diameter - q[0]
    assert lacking > 0.1
    assert first == pytest.approx(0.6263 * lacking, abs=1e-4)


def test_a_round_edge_is_a_closed_racetrack_with_wider_ends():
    job = a_job("kayak-thruster", winding={"strands": 1, "turns": 37}, ends=CAP)
    paper, r = 0.13, 1.3
    w = 6.0 + 2 * 0.23
    h = job.stack.length + 2 * (1.7 + paper)
    q = job.conductors.heights[:37] + paper
    racetrack = 2 * (w - 2 * r) + 2 * (h - 2 * r) + 2 * math.pi * (r + q)
    assert np.allclose(job.turn_lengths.turn_length_mm, racetrack, atol=1e-9)


def stepped_tooth(width, height, steps):
    """Tooth across and along the axle as a union of sheets; steps: (thickness, narrower_by)."""
    boxes, end = [], height / 2
    for thick, off in reversed(steps):
        boxes += [shapely.box(-width / 2 + off, -end, width / 2 - off, end)]
        end -= thick
    boxes.append(shapely.box(-width / 2, -end, width / 2, end))
    return shapely.union_all(boxes)


@pytest.mark.parametrize("kind", ["square", "cap", "steps"])
def test_path_integral_round_the_drawn_tooth(kind):
    ends = {"square": {}, "cap": CAP, "steps": STEPS}[kind]
    job = a_job("potters-wheel", winding={"strands": 1, "turns": 47}, ends=ends)
    paper = 0.18
    sheet = job.stack.length / job.stack.sheets
    height = job.stack.length + 2 * paper
    if kind == "cap":
        box = shapely.box(0, 0, 7.6 + 0.46 - 2.6, height + 3.4 - 2.6)
        core = box.buffer(1.3, quad_segs=FINE)
    elif kind == "steps":
        core = stepped_tooth(7.6, height, [(2 * sheet, 0.47), (sheet, 1.12)]).convex_hull
    else:
        core = shapely.box(0, 0, 7.6, height)
    wires = np.flatnonzero(job.conductors.rows[:47] >= 2)
    assert len(wires) > 20
    for k in wires[::4]:
        path = core.buffer(job.conductors.heights[k] + paper, quad_segs=FINE).exterior
        assert job.turn_lengths.turn_length_mm[k] == pytest.approx(path.length, abs=2e-5)


def sampled_loop(width, height, q, radius):
    """A loop round a square-edged core whose corners bend at `radius` past the diagonal point."""
    out = (radius - q) * (1 - math.sqrt(0.5))
    a, b = width / 2 + q + out - radius, height / 2 + q + out - radius
    angle = np.linspace(0, math.pi / 2, 20001)
    turns = ((a, b), (-a, b), (-a, -b), (a, -b))
    spots = [
        np.column_stack((cx + radius * np.cos(angle + t), cy + radius * np.sin(angle + t)))
        for (cx, cy), t in zip(turns, math.pi / 2 * np.arange(4), strict=True)
    ]
    path = np.vstack(spots)
    return np.vstack([path, path[:1]])


def test_wire_that_cannot_hug_a_square_edge_takes_a_wider_loop():
    job = a_job("potters-wheel", winding={"strands": 1, "turns": 9})
    paper, d = 0.18, job.conductors.diameter
    q = paper + d / 2
    height = job.stack.length + 2 * paper
    loop = sampled_loop(7.6, height, q, d)
    # it touches the corner's own circle on the diagonal and stays outside of it elsewhere
    corner = np.hypot(loop[:, 0] - 3.8, loop[:, 1] - height / 2)
    assert corner.min() == pytest.approx(q, abs=1e-7)
    length = np.hypot(*np.diff(loop, axis=0).T).sum()
    assert job.turn_lengths.turn_length_mm[0] == pytest.approx(length, abs=1e-6)


def test_tapered_tooth_counts_with_its_width_at_the_wire():
    """Parallel slots: each turn is a racetrack whose straight runs lie where the wires lie."""
    job = a_case("parallel slots")
    lay, paper = job.conductors, 0.13
    n, a = len(lay.laid), math.pi / 9
    # in the frame of the upper tooth: distance from the tooth's axis
    turned = lay.laid @ np.array([[math.cos(a), -math.sin(a)], [math.sin(a), math.cos(a)]])
    span = -2 * turned[:, 1]
    q = 8.37 / 2 - lay.laid[:, 1]
    assert np.allclose(q, lay.heights[:n] + paper, atol=1e-9)
    height = job.stack.length + 2 * paper + 2 * q
    by_hand = 2 * (span - 2 * q) + 2 * (height - 2 * q) + 2 * math.pi * q
    by_hand = by_hand + 4 * BULGE * np.maximum(0, lay.diameter - q)
    assert np.allclose(
        job.turn_lengths.turn_length_mm, by_hand.reshape(-1, 4).mean(axis=1), atol=1e-9
    )
    # outer turns of one row are longer, because the tooth widens outwards
    first = by_hand[lay.rows[:n] == 1][:15]
    assert np.diff(first) == pytest.approx(4 * 0.6 * math.sin(a), abs=1e-6)


# a tapered tooth is narrower where a short row begins, so rows alone do not decide there
@pytest.mark.parametrize("name", [name for name in CASES if "parallel slots" not in name])
def test_turns_grow_with_the_rows_and_the_mean_lies_between(name):
    job = a_case(name)
    lengths = job.turn_lengths.turn_length_mm
    assert len(lengths) == job.design.winding.turns
    assert lengths.min() <= job.turn_lengths.mean_turn_mm <= lengths.max()
    begins = job.conductors.rows[: len(job.conductors.laid) : job.conductors.strands][
        : len(lengths)
    ]
    rows = np.unique(begins)
    means = [lengths[: len(begins)][begins == row].mean() for row in rows]
    assert (np.diff(means) > 0).all()


def test_paper_washer_and_rows_make_the_coil_end():
    def lengths(**tables):
        return a_job("wool-spinner", winding={"turns": 30}, **tables).turn_lengths

    lay = a_job("wool-spinner", winding={"turns": 30}).conductors
    paper, plain = 0.007 * 25.4, lengths()
    # two rows: nested in the slot, but crest on crest where turns cross
    assert lay.heights[:30].max() + lay.diameter / 2 < 1.9 * lay.diameter
    assert plain.end_height_mm == pytest.approx(2 * paper + 2 * lay.diameter, abs=1e-9)
    no_cuff = lengths(liner={"cuff": 0.0})
    assert plain.end_height_mm - no_cuff.end_height_mm == pytest.approx(paper)
    assert plain.mean_turn_mm - no_cuff.mean_turn_mm == pytest.approx(4 * paper)
    washer = lengths(end_washer={"thickness": "0.41 mm"})
    assert washer.end_height_mm - plain.end_height_mm == pytest.approx(0.41)
    # over both ends, and round what it reaches beyond each flank, 0.4 mm
    longer = washer.mean_turn_mm - plain.mean_turn_mm
    assert longer == pytest.approx(4 * 0.41 + 4 * 0.4, abs=0.02)
    cap = lengths(ends={"end_cap": {"thickness": "1.1 mm", "edge_radius": "0.9 mm"}})
    assert cap.end_height_mm - plain.end_height_mm == pytest.approx(1.1)
    # of 42 turns one rests so high against the slot bottom that it stands out over its row
    high = a_job("wool-spinner")
    top = high.conductors.heights[:42].max() + lay.diameter / 2
    assert top > 3.2 * lay.diameter > high.conductors.layers * lay.diameter
    assert high.turn_lengths.end_height_mm == pytest.approx(2 * paper + top)


@pytest.mark.parametrize("ends", [CAP, STEPS])
@pytest.mark.parametrize("starter", ["potters-wheel", "kayak-thruster"])
def test_saving_is_the_same_coil_over_square_edges_less_this_one(starter, ends):
    job = a_job(starter, ends=ends)
    lengths = job.turn_lengths
    if ends is STEPS:
        square = a_job(starter).turn_lengths
        assert np.allclose(lengths.square_turn_mm, square.turn_length_mm, atol=1e-12)
        assert lengths.bare_saving_mm_per_turn == lengths.edge_saving_mm_per_turn
    else:
        # nearly square cap of the same size
        edge = {"end_cap": {**CAP["end_cap"], "edge_radius": 0.1}}
        square = a_job(starter, ends=edge).turn_lengths
        assert lengths.square_turn_mm.mean() == pytest.approx(square.mean_turn_mm, abs=0.25)
        bare = a_job(starter).turn_lengths
        # the cap holds a few wires of the outer rows in other places
        same = np.isclose(lengths.bare_turn_mm, bare.turn_length_mm, rtol=0, atol=1e-9)
        assert same[: len(same) // 3].all()
        assert same.mean() > 0.7
        assert lengths.bare_saving_mm_per_turn < 0 < lengths.edge_saving_mm_per_turn
    gain = lengths.square_turn_mm.mean() - lengths.turn_length_mm.mean()
    assert lengths.edge_saving_mm_per_turn == pytest.approx(gain)
    assert lengths.edge_saving_fraction == pytest.approx(gain / lengths.square_turn_mm.mean())
    # tails are not shortened, so the resistance gains less
    turns = job.design.winding.turns
    whole = 1.04 * turns * lengths.square_turn_mm.mean() + 2 * 150
    assert lengths.resistance_saving == pytest.approx(1.04 * turns * gain / whole)


def test_wire_by_hand():
    """Turns x (mean turn + 4 % slack) + tails, strands, coils, 300 mm phase ends."""
    job = a_job("kayak-thruster", winding={"tail": 170, "parallel_paths": 2})
    t = job.turn_lengths
    assert (SLACK, PHASE_TAIL) == (0.04, 300.0)
    strand = 10 * t.mean_turn_mm * 1.04
    assert t.coil_wire_m == pytest.approx(strand / 1000)
    assert t.coil_total_m == pytest.approx(4 * (strand + 340) / 1000)
    phase = 4 * t.coil_total_m + 2 * 2 * 4 * 0.130
    assert job.wire_order.phase_m == pytest.approx(phase)
    alternate = a_job("kayak-thruster", winding={"tail": 310, "coil_sides": "alternate teeth"})
    assert alternate.wire_order.phase_m == pytest.approx(
        2 * 4 * (alternate.turn_lengths.coil_wire_m + 0.62)
    )


def test_turns_without_a_place_count_as_long_as_the_longest():
    job = a_job("kayak-thruster", winding={"turns": 30})
    assert len(job.conductors.laid) == 82
    lengths = job.turn_lengths.turn_length_mm
    assert len(lengths) == 30
    assert (lengths[20:] == lengths[:20].max()).all()


def test_results_are_rounded_and_flat():
    results = turn_results(a_job("potters-wheel", ends=STEPS).turn_lengths)
    assert results["edge_saving_mm_per_turn"] == pytest.approx(2.87, abs=0.4)
    assert 0 < results["resistance_saving_percent"] < results["edge_saving_percent"] < 10
    assert results["coil_shortest_turn_mm"] < results["coil_mean_turn_mm"]
    assert all(isinstance(v, int | float) for v in results.values())
