"""Tolerance frames, datums and centre chamfers on the axle's drawing.

Sources: ISO 1101:2017 clause 6.2 (a leader in line with a dimension line means axis or median
plane; a surface's leader ends on its outline or an extension line, clear of the dimension line);
ISO 5459:2011 clause 7.2.2 (a datum axis: the triangle in line with the dimension line).
"""

from functools import cache

import pytest

from geometry.drafting.drawing import Drawing, Fill, Stroke, Text
from geometry.point import Point
from recipes.catalogue import Parts
from recipes.motor import Motor
from recipes.shaft.sections import Section
from tests.support.axle import BUSY, seat
from tests.support.design import STARTERS, job
from tests.support.extremes import in_inches

#: ISO 1101 wants the leader of a surface clear of the dimension line, mm: two widths of an arrow's
#: head less what is no more than touching (common practice).
CLEAR = 1.6 - 1e-9

CASES = {
    **{name: (lambda n=name: job(n)) for name in STARTERS},
    "busy": lambda: job(**BUSY),
    "inches": lambda: in_inches(job()),
    "long": lambda: job(axle__length=900, axle__seats=[seat(22, 14), seat(868, 14)]),
}


@cache
def made(name: str) -> tuple[Motor, Drawing]:
    motor = CASES[name]()
    return motor, Parts(motor)["axle"][0].drawings[0]


def frames(sheet: Drawing) -> list[tuple[Stroke, list[str]]]:
    """Boxes two letters high that are parted into cells, each with its texts."""
    found = []
    for s in sheet.strokes:
        x0, y0, x1, y1 = box_of(s)
        if s.closed and len(s.segments) == 4 and abs(y1 - y0 - 5.0) < 1e-9 and x1 - x0 > 12.0:
            inside = [t for t in sheet.texts if x0 < t.x < x1 and y0 < t.y < y1]
            found.append((s, [t.text for t in inside]))
    return found


def box_of(s: Stroke):
    boxes = [g.box() for g in s.segments]
    return (
        min(b[0] for b in boxes), min(b[1] for b in boxes),
        max(b[2] for b in boxes), max(b[3] for b in boxes),
    )  # fmt: skip


def leader_end(sheet: Drawing, frame: Stroke) -> Point | None:
    """Where the leader that starts at the middle of a side of the frame ends."""
    x0, y0, x1, y1 = box_of(frame)
    for s in sheet.strokes:
        a = s.segments[0].start
        level = abs(a.y - (y0 + y1) / 2) < 1e-9 and len(s.segments) > 1
        if s is not frame and level and min(abs(a.x - x0), abs(a.x - x1)) < 1e-9:
            return s.segments[-1].end
    return None


def on_line(p: Point, s: Stroke) -> bool:
    """Whether a place lies on a straight edge of a stroke."""
    for g in s.segments:
        a, b = g.start, g.end
        if a.distance(p) + p.distance(b) - a.distance(b) < 1e-6:
            return True
    return False


def size_lines(sheet: Drawing) -> list[float]:
    """x of every upright dimension line of the side view."""
    sizes = {i.dimension for i in sheet.items if i.dimension}
    upright = [d for d in sizes if d.kind == "linear" and abs(d.a.x - d.b.x) < 1e-9]
    levels = [round(d.a.y + d.b.y, 6) for d in upright]
    axis = max(levels, key=levels.count)  # other views have few
    return [d.a.x for d, level in zip(upright, levels, strict=True) if level == axis]


@pytest.mark.parametrize("name", CASES)
def test_leader_of_a_run_out_frame_ends_on_its_surface_clear_of_dimension_lines(name):
    _, sheet = made(name)
    told = [(f, words) for f, words in frames(sheet) if "A-B" in words]
    ends = [leader_end(sheet, f) for f, _ in told]
    ends = [e for e in ends if e]
    assert len(ends) >= 3
    edges = [s for s in sheet.strokes if s.style in ("visible", "narrow") and s.dimension is None]
    for end in ends:
        fills = [i for i in sheet.items if isinstance(i, Fill) and i.dimension is None]
        assert any(p.distance(end) < 1e-9 for f in fills for loop in f.loops for p in loop.points)
        leaders = [s for s in edges if s.segments[-1].end == end]
        assert any(on_line(end, s) for s in edges if s not in leaders)
        assert all(abs(x - end.x) >= CLEAR for x in size_lines(sheet))
        assert min(abs(x - end.x) for x in size_lines(sheet)) < 60.0


@pytest.mark.parametrize("name", CASES)
def test_every_shoulder_has_an_axial_run_out_on_its_extension_line(name):
    motor, sheet = made(name)
    ends = [leader_end(sheet, f) for f, words in frames(sheet) if "A-B" in words]
    tall = [s for s in sheet.strokes if s.style == "narrow" and s.dimension is None]
    axial = [
        e
        for e in ends
        if e and any(abs(b[0] - b[2]) < 1e-9 and on_line(e, s) for s in tall for b in [box_of(s)])
    ]
    at = {round(e.x, 6) for e in axial}
    assert len(at) == len(axial)
    # the collar under the stack and one step behind each bearing
    steps = [s for s in motor.sections if s.kind == "seat"]
    assert len(axial) == 1 + sum(behind(motor, s) for s in steps)


def behind(motor: Motor, seat: Section) -> bool:
    """Whether a neighbour of a seat stands out over it by more than its lead-in."""
    k = motor.sections.index(seat)
    beside = motor.sections[max(0, k - 1) : k + 2]
    return max(s.diameter for s in beside) - seat.diameter > 0.6


def test_key_seats_have_a_symmetry_to_the_common_axis():
    keyed = [words for _, words in frames(made("potters-wheel")[1]) if "0.05" in words]
    assert keyed == [["0.05", "A-B"]]
    assert not [w for _, w in frames(made("kayak-thruster")[1]) if "0.05" in w]


@pytest.mark.parametrize("name", CASES)
def test_datum_triangles_stand_on_the_seats_in_line_with_their_diameters(name):
    _, sheet = made(name)
    for letter in "AB":
        boxed = [
            s for s in sheet.strokes
            if s.closed and any(inside(t, s) and t.text == letter for t in sheet.texts)
            and abs(box_of(s)[2] - box_of(s)[0] - 4.5) < 1e-9
        ]  # fmt: skip
        (box,) = boxed
        x = (box_of(box)[0] + box_of(box)[2]) / 2
        assert any(abs(x - at) < 1e-9 for at in size_lines(sheet))


def inside(t: Text, s: Stroke) -> bool:
    x0, y0, x1, y1 = box_of(s)
    return x0 < t.x < x1 and y0 < t.y < y1


def test_a_filed_pipe_has_run_outs_of_its_seats_alone():
    seats = [{**seat(22, 14), "made": "filed"}, {**seat(118, 14), "made": "filed"}]
    sheet = Parts(job(axle__seats=seats))["axle"][0].drawings[0]
    assert len([w for _, w in frames(sheet) if "A-B" in w and "0.02" in w]) == 3
