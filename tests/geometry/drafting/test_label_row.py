"""Labels and running lengths beside a part: order kept, nothing touches, nothing crosses.

Outside check of the spreading: least squares under order constraints, solved by scipy's SLSQP.
"""

import random

import pytest
from scipy.optimize import minimize

from geometry.drafting.dimension import Station, distribute_labels, running_depth, running_lengths
from geometry.drafting.drawing import Drawing, Fill, Stroke, Text
from geometry.drafting.feature_frame import FeatureFrame
from geometry.drafting.label import Label, label_row, tallest
from geometry.drafting.legible import crossings, overlaps
from geometry.errors import GeometryError
from geometry.point import Point


def test_spread_leaves_loose_boxes_alone_and_parts_tight_ones_evenly():
    assert distribute_labels([10.0, 40.0], [8.0, 12.0], gap=2.0, room=(0.0, 99.0)) == (10.0, 40.0)
    assert distribute_labels([30.0, 31.0], [8.0, 12.0], gap=2.0, room=(0.0, 99.0)) == (24.5, 36.5)
    assert distribute_labels([1.0, 2.0], [8.0, 12.0], gap=2.0, room=(0.0, 99.0)) == (4.0, 16.0)
    assert distribute_labels([97.0, 98.0], [8.0, 12.0], gap=2.0, room=(0.0, 99.0)) == (81.0, 93.0)
    assert distribute_labels([], [], gap=1.0, room=(0.0, 1.0)) == ()


def test_spread_refuses_what_does_not_fit():
    with pytest.raises(GeometryError, match="do not fit"):
        distribute_labels([1.0, 2.0], [8.0, 12.0], gap=2.0, room=(0.0, 21.9))


@pytest.mark.parametrize("seed", range(6))
def test_spread_moves_as_little_as_possible(seed):
    rng = random.Random(seed)
    n = rng.randint(2, 7)
    wanted = sorted(rng.uniform(5, 95) for _ in range(n))
    widths = [rng.uniform(3.0, 13.0) for _ in range(n)]
    found = distribute_labels(wanted, widths, gap=0.7, room=(0.0, 100.0))
    rules = [
        {
            "type": "ineq",
            "fun": lambda x, k=k: x[k + 1] - x[k] - 0.7 - (widths[k] + widths[k + 1]) / 2,
        }
        for k in range(n - 1)
    ]
    rules.append({"type": "ineq", "fun": lambda x: x[0] - widths[0] / 2})
    rules.append({"type": "ineq", "fun": lambda x: 100.0 - x[-1] - widths[-1] / 2})
    start = [(k + 0.5) * 100 / n for k in range(n)]
    best = minimize(
        lambda x: sum((a - b) ** 2 for a, b in zip(x, wanted, strict=True)),
        start, constraints=rules, method="SLSQP", options={"maxiter": 500, "ftol": 1e-12},
    )  # fmt: skip
    assert best.success
    assert found == pytest.approx(best.x, abs=1e-3)


def framed(low: float, high: float, top: float) -> tuple[FeatureFrame, ...]:
    return (FeatureFrame("run-out", ("0.02", "A-B"), -1, ((low, high),), top),)


def sheet(items) -> Drawing:
    return Drawing(420.0, 297.0, tuple(items))


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("stacked", [False, True])
def test_no_leader_crosses_another_or_a_text(seed, stacked):
    rng = random.Random(seed)
    labels, x = [], 60.0
    for k in range(rng.randint(2, 8)):
        low = x + rng.uniform(0.5, 9.0)
        x = low + rng.uniform(2.5, 30.0)
        full = rng.random() < 0.5
        labels.append(
            Label(
                ((low, x),), 140.0 + k, 120.0 - k, ("⌀12.3 h6", "12.300 / 12.289")[: 1 + full],
                texture="Ra 0.8" if full else "", frames=framed(low, x, 140.0 + k) if full and x - low > 6.0 else (),
                datum="B" if full and rng.random() < 0.5 else "", stacked=stacked,
            )
        )  # fmt: skip
    row = label_row(labels, room=(20.0, 400.0))
    drawing = sheet(row.items(bend=160.0))
    assert overlaps(drawing, clearance=0.2) == []
    assert crossings(drawing) == []
    assert list(row.leaders) == sorted(row.leaders)
    tops = [t.corners()[2].y for t in drawing.texts]
    assert max(tops) <= 160.0 + row.rise + tallest(labels) + 1e-9
    for label, at in zip(row.labels, row.leaders, strict=True):
        assert label.spots[0][0] <= at <= label.spots[0][1]


def test_leaders_keep_out_of_forbidden_stretches():
    free = Label(((50.0, 70.0),), 140.0, 120.0, ("⌀9",))
    row = label_row([free], room=(20.0, 400.0), avoid=[(55.0, 66.0)])
    assert not 55.0 < row.leaders[0] < 66.0
    with pytest.raises(GeometryError, match="no place to stand"):
        label_row([free], room=(20.0, 400.0), avoid=[(49.0, 71.0)])


def test_of_several_places_the_one_nearest_to_its_block_is_taken():
    one = Label(
        ((50.0, 60.0),), 140.0, 120.0, ("a long text that needs room, more of it, and more",)
    )
    other = Label(
        ((62.0, 64.0), (120.0, 124.0)),
        140.0,
        120.0,
        ("another one that needs just as much room beside it",),
    )
    assert label_row([one, other], room=(20.0, 400.0)).leaders == (55.0, 122.0)


def test_small_diameters_take_their_arrows_from_outside():
    small = label_row([Label(((50.0, 60.0),), 122.0, 120.0, ("⌀2",))], room=(20.0, 400.0))
    stroke = next(
        i for i in small.items(bend=160.0) if isinstance(i, Stroke) and len(i.segments) > 0
    )
    lowest = min(
        s.box()[1] for i in small.items(bend=160.0) if isinstance(i, Stroke) for s in i.segments
    )
    assert stroke
    assert lowest == pytest.approx(115.0)


def test_running_lengths_keep_apart_and_in_order():
    places = [30.0, 34.0, 34.4, 35.0, 71.0, 72.2, 110.0]
    stations = [Station(Point(x, 100.0), f"{x - 30:.1f}") for x in places]
    items = running_lengths(stations, at=90.0, room=(20.0, 130.0))
    drawing = sheet(items)
    assert overlaps(drawing, clearance=0.1) == []
    assert crossings(drawing) == []
    texts = [i for i in items if isinstance(i, Text)]
    assert [t.text for t in sorted(texts, key=lambda t: t.x)] == [s.text for s in stations]
    lowest = min(t.corners()[k].y for t in texts for k in range(4))
    assert lowest >= 90.0 - running_depth(stations) - 1e-9
    arrows = [i for i in items if isinstance(i, Fill) and len(i.loops[0].segments) == 3]
    assert len(arrows) == 3  # 34.0, 71.0 and 110.0; the others have a dot
    with pytest.raises(GeometryError):
        running_lengths(stations, at=90.0, room=(30.0, 50.0))
