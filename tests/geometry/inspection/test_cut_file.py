"""What a foreign file says about itself, from DXF written by hand (DXF reference, ASCII groups)."""

from __future__ import annotations

import math

import pytest

from geometry import Arc, Line, Point
from geometry.inspection.cut_file import (
    CutFile,
    drawn,
    is_curve,
    is_exact,
    is_seen_from_behind,
    is_tilted,
    read_cut_file,
    unit_size,
)

Tags = list[tuple[int, object]]
UP: Tags = [(210, 0.0), (220, 0.0), (230, 1.0)]
DOWN: Tags = [(210, 0.0), (220, 0.0), (230, -1.0)]
TILTED: Tags = [(210, 0.6), (220, 0.0), (230, 0.8)]
LINE: Tags = [(0, "LINE"), (8, "0"), (10, 1.5), (20, 2.5), (11, 4.5), (21, 6.5)]
ARC: Tags = [(0, "ARC"), (8, "0"), (10, 3.0), (20, 1.0), (40, 2.0), (50, 20.0), (51, 290.0)]
CIRCLE: Tags = [(0, "CIRCLE"), (8, "0"), (10, 7.0), (20, -1.5), (40, 1.25)]


def file(*entities: Tags, header: Tags | None = None) -> CutFile:
    tags: Tags = [(0, "SECTION"), (2, "HEADER"), *(header or []), (0, "ENDSEC"),
                  (0, "SECTION"), (2, "ENTITIES"), *(t for e in entities for t in e),
                  (0, "ENDSEC"), (0, "EOF")]  # fmt: skip
    return read_cut_file("".join(f"{c}\n{v}\n" for c, v in tags).encode())


def pline(*spots: tuple[float, float], closed: bool = False, said: object = None) -> Tags:
    count = len(spots) if said is None else said
    return [(0, "LWPOLYLINE"), (8, "0"), (90, count), (70, int(closed)),
            *((c, v) for x, y in spots for c, v in ((10, x), (20, y)))]  # fmt: skip


def test_the_header_says_release_unit_and_extents() -> None:
    header: Tags = [(9, "$ACADVER"), (1, "AC1015"), (9, "$INSUNITS"), (70, 1),
                    (9, "$MEASUREMENT"), (70, 0),
                    (9, "$EXTMIN"), (10, -1.5), (20, 2.5), (9, "$EXTMAX"), (10, 7.5), (20, 9.25)]  # fmt: skip
    found = file(LINE, header=header)
    assert (found.release, found.unit, found.mm_per_unit) == ("R2000", "in", 25.4)
    assert (found.measurement, found.can_declare) == ("in", True)
    assert found.extents == (-1.5, 2.5, 7.5, 9.25)
    old = file(LINE, header=[(9, "$ACADVER"), (1, "AC1009"), (9, "$MEASUREMENT"), (70, 1)])
    assert (old.release, old.can_declare, old.measurement) == ("R12", False, "mm")
    assert (old.unit, old.mm_per_unit, old.extents) == (None, None, None)
    bare = file(LINE)
    assert (bare.release, bare.can_declare, bare.measurement) == ("", False, None)
    # Programs write 1e20 and -1e20 before they know better: lower above upper is no extent.
    turned: Tags = [
        (9, "$EXTMIN"),
        (10, 1e20),
        (20, 1e20),
        (9, "$EXTMAX"),
        (10, -1e20),
        (20, -1e20),
    ]
    assert file(LINE, header=turned).extents is None
    point: Tags = [(9, "$EXTMIN"), (10, 3.0), (20, 4.0), (9, "$EXTMAX"), (10, 3.0), (20, 4.0)]
    assert file(LINE, header=point).extents == (3.0, 4.0, 3.0, 4.0)


def test_places_are_in_mm_and_turned_round_where_seen_from_behind() -> None:
    found = file(
        LINE, [*CIRCLE, *DOWN], ARC, [*LINE, *DOWN], [(0, "TEXT"), (10, 2.0), (20, 3.0), (1, "a")]
    )
    line, circle, arc, odd, text = found.model
    assert found.place(line, 2.0) == (3.0, 5.0)
    assert found.place(circle, 10.0) == pytest.approx((-70.0, -15.0))
    # Half-way from 20 to 290 degrees lies 155.
    middle = Point(3.0, 1.0).plus(Point.polar(2.0, math.radians(155.0)))
    assert found.place(arc, 1.0) == pytest.approx(middle)
    assert found.place(odd, 1.0) == (1.5, 2.5)  # a line's ends are places in the drawing
    assert found.place(text, 2.0) == (4.0, 6.0)
    hatch = file(
        [(0, "HATCH"), (10, 0.0), (20, 0.0), (30, 0.0), (10, 5.5), (20, 6.5), (10, 8.0), (20, 1.0)]
    )
    assert hatch.place(hatch.model[0], 1.0) == (5.5, 6.5)
    bare = file([(0, "MTEXT"), (1, "a")])
    assert bare.place(bare.model[0], 1.0) is None


def test_a_light_polyline_announces_its_corners() -> None:
    corners = ((0.0, 0.0), (3.0, 0.0), (3.0, 2.0))
    found = file(pline(*corners), pline(*corners, said=5), LINE)
    assert [found.vertex_count(e) for e in found.model] == [3, 5, None]


def test_kinds_and_planes() -> None:
    ellipse: Tags = [(0, "ELLIPSE"), (10, 0.0), (20, 0.0), (11, 3.0), (21, 0.0), (40, 0.5)]
    found = file(LINE, [*ARC, *UP], [*ARC, *DOWN], [*ARC, *TILTED], [*LINE, *TILTED], ellipse,
                 [(0, "SPLINE")], [(0, "HELIX")], [(0, "TEXT"), (10, 1.0), (20, 1.0)])  # fmt: skip
    model = found.model
    assert [is_tilted(e) for e in model] == [False, False, False, True, *[False] * 5]
    assert [is_seen_from_behind(e) for e in model] == [False, False, True, *[False] * 6]
    assert [is_exact(e) for e in model] == [True, True, True, False, True, *[False] * 4]
    assert [is_curve(e) for e in model] == [False] * 5 + [True, True, True, False]


def test_drawn_edges_know_their_entity_and_arcs_are_at_most_half_a_turn() -> None:
    square = pline((0.0, 0.0), (3.0, 0.0), (3.0, 2.0), (0.0, 2.0), closed=True)
    found = file(LINE, ARC, square, CIRCLE)
    made = drawn(found, [3, 1, 2, 0], 2.0)
    assert made.owner == (3, 3, 1, 1, 2, 2, 2, 2, 0)
    assert made.closed == ((0, 2), (4, 8))
    assert made.empty == ()
    assert made.edges[-1] == Line(Point(3.0, 5.0), Point(9.0, 13.0))
    half, rest = made.edges[2:4]
    assert isinstance(half, Arc)
    assert half.radius == pytest.approx(4.0)
    assert half.sweep == pytest.approx(math.radians(135.0))
    assert rest.length == pytest.approx(half.length)
    assert half.end == rest.start
    assert half.start == pytest.approx(Point(6.0, 2.0).plus(Point.polar(4.0, math.radians(20.0))))


def test_seen_from_behind_x_runs_to_the_left() -> None:
    """Arbitrary axis algorithm of the DXF reference: for (0, 0, -1) the x axis points to -x."""
    found = file([*ARC, *DOWN])
    made = drawn(found, [0], 1.0)
    spots = [made.edges[0].start, made.edges[-1].end]
    want = [Point(3.0, 1.0).plus(Point.polar(2.0, math.radians(d))) for d in (20.0, 290.0)]
    for p in want:
        assert any(p.mirrored(math.pi / 2) == pytest.approx(s) for s in spots)
    assert made.edges[0].length == pytest.approx(2.0 * math.radians(135.0))


def test_edges_without_length_are_named_by_their_place() -> None:
    still: Tags = [(0, "LINE"), (8, "0"), (10, 1.5), (20, 2.5), (11, 1.5), (21, 2.5)]
    twice = pline((0.0, 1.0), (3.0, 1.0), (3.0, 1.0), (5.0, 4.0))
    closing = pline((2.0, 1.0), (3.0, 1.0), (3.0, 6.0), (2.0, 1.0), closed=True)
    found = file(still, twice, closing, [*pline((4.0, 4.0), (4.0, 4.0), (5.0, 5.0)), *DOWN])
    made = drawn(found, range(4), 2.0)
    assert made.empty == (
        (0, (3.0, 5.0)), (1, (6.0, 2.0)), (2, (4.0, 2.0)), (3, (-8.0, 8.0)),
    )  # fmt: skip
    assert made.owner == (1, 1, 2, 2, 2, 3)


def test_units_by_name() -> None:
    assert unit_size("in") == 25.4
    assert unit_size("mm") == 1.0
    assert unit_size("m") == 1000.0
