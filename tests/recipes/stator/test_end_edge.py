"""The tooth's end edge: rounds, steps, the circle that fits them, and what is said about them."""

import math

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from recipes.design.insulation import EndCap, Ends, EndStep
from recipes.design.load import BadInput
from recipes.stator.end_edge import ROUND_SAVES, Edge, edge_of
from tests.support.stators import CAP, STEPS, a_job


def test_edge_of_a_cap_and_of_square_steel():
    assert edge_of(Ends(), 0.53) == Edge(0.0, 0.0)
    cap = Ends(end_cap=EndCap(thickness=1.9, proud=0.3, edge_radius=1.4))
    assert edge_of(cap, 0.53).saves == pytest.approx(1.4 * (2 - math.pi / 2))
    assert edge_of(cap, 0.53).radius == 1.4


def steps(*pairs):
    return Ends(steps=tuple(EndStep(count=c, narrower_by=n) for c, n in pairs))


def test_one_step_is_a_chamfer():
    edge = edge_of(steps((2, 0.7)), 0.53)
    assert edge.saves == pytest.approx(0.7 + 1.06 - math.hypot(0.7, 1.06))
    assert edge.radius == pytest.approx((0.7 + 1.06) / 2)


def test_a_step_inside_the_chord_of_its_neighbours_carries_nothing():
    # the middle corner (1.0 under the flank, 0.5 deep) lies under the line from (0, 1) to (1.2, 0)
    assert edge_of(steps((1, 1.0), (1, 1.2)), 0.5).saves == edge_of(steps((2, 1.2)), 0.5).saves


def test_many_steps_on_a_round_come_to_that_round():
    r, sheet, n = 1.7, 0.01, 170
    depth = sheet * np.arange(n)[::-1]  # of each step's outer face, full sheets first
    off = r - np.sqrt(r**2 - (r - depth) ** 2)
    edge = edge_of(steps(*((1, max(o, 0.05)) for o in off[off > 0.05])), sheet)
    assert edge.radius == pytest.approx(r, rel=0.02)
    assert edge.saves == pytest.approx(ROUND_SAVES * r, rel=0.02)


def test_radius_of_steps_is_the_best_circle():
    edge = edge_of(steps((2, 0.47), (1, 1.12)), 0.53)
    corners = [(0.0, 1.59), (0.47, 0.53), (1.12, 0.0)]

    def misfit(r):
        # each corner's own circle, found by bisection on the circle's equation
        return sum((own_circle(c) - r) ** 2 for c in corners)

    def own_circle(corner):
        low, high = max(corner), 10.0
        for _ in range(80):
            r = (low + high) / 2
            low, high = (r, high) if math.dist(corner, (r, r)) < r else (low, r)
        return low

    best = minimize_scalar(misfit, bounds=(0.1, 5), method="bounded", options={"xatol": 1e-10}).x
    assert edge.radius == pytest.approx(best, abs=1e-6)


def test_square_edges_are_warned_of_and_ends_named():
    (found,) = a_job("potters-wheel").end_edge_findings
    assert (found.level, found.field, found.code) == ("warn", "ends", "sharp-end-edge")
    assert found.value == pytest.approx(0.18)
    assert found.limit == pytest.approx(1.5 * 0.75)
    assert "mandrel" in found.message
    assert "end_cap with edge_radius 0.8 mm" in found.fix
    assert not a_job("potters-wheel", ends=CAP).end_edge_findings
    thick = a_job("potters-wheel", ends=CAP, winding={"wire": "1.6 mm"})
    (found,) = thick.end_edge_findings
    assert found.field == "ends.end_cap.edge_radius"
    assert found.limit == pytest.approx(1.6)
    assert "mandrel" not in found.message
    (found,) = a_job(
        "potters-wheel", ends={"steps": [{"count": 1, "narrower_by": 0.3}]}
    ).end_edge_findings
    assert found.field == "ends.steps"
    # thick paper and thin wire need no rounding
    assert not a_job(
        "potters-wheel", winding={"wire": "0.2 mm"}, liner={"thickness": 0.31}
    ).end_edge_findings


def test_ends_that_tooth_or_stack_cannot_give_are_refused():
    (found,) = a_job(
        "potters-wheel", ends={"steps": [{"count": 20, "narrower_by": 0.4}]}
    ).end_edge_findings
    assert (found.level, found.value, found.limit) == ("stop", 20, 18)
    (found,) = a_job(
        "potters-wheel", ends={"steps": [{"count": 2, "narrower_by": 3.9}]}
    ).end_edge_findings
    assert (found.field, found.limit) == ("ends.steps[1].narrower_by", 3.8)
    cap = {"end_cap": {"thickness": 5.1, "proud": 0.2, "edge_radius": 4.7}}
    (found,) = a_job("potters-wheel", ends=cap).end_edge_findings
    assert found.field == "ends.end_cap.edge_radius"


@pytest.mark.parametrize(
    ("ends", "words"),
    [
        ({**CAP, **STEPS}, "either steps or end_cap"),
        ({"steps": [{"count": 1, "narrower_by": 0.9}, {"count": 1, "narrower_by": 0.4}]}, "rising"),
        ({"end_cap": {"thickness": 0.9, "edge_radius": 1.2}}, "at most 0.9 mm"),
    ],
)
def test_ends_that_contradict_themselves_are_bad_input(ends, words):
    with pytest.raises(BadInput, match=words):
        a_job("potters-wheel", ends=ends)
