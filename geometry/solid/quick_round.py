"""Whether rounds surely fit, asked of all edges at once; for `geometry.solid.rounded`.

Yes is proof, with room to spare at every limit; no only means that the edges must be looked at one
by one, which then finds the words for what is wrong, or that all is well after all. Nothing that is
drawn or cut comes from here.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.loop_table import LoopTable, following, loop_tables, polygons, table_of
from geometry.tolerance import ARC_RADIUS, READ_BACK, SAME_PLACE, TANGENT_ANGLE

if TYPE_CHECKING:
    import numpy as np
    import shapely
    from numpy.typing import NDArray

    from geometry.solid.body import Extruded
    from geometry.solid.rounded import Course, Round

    Row = NDArray[np.complex128]
    Floats = NDArray[np.float64]
    Flags = NDArray[np.bool_]

#: Share of a limit that a quick yes uses up at most.
_WITHIN = 0.5


def surely_fits(base: Extruded, course: Course, sagitta: float) -> bool:
    """Tell whether every run of a course is one that can be rounded, and every round fits.

    Args:
        base: the body with sharp edges, and its holes.
        course: its outer outline with the rounds.
        sagitta: of the chords by which the upper face is judged, mm.
    """
    import numpy as np

    if not course.rounds or not _are_runs(course.rounds, len(course.segments)):
        return False
    if max(r.radius for r in course.rounds) > base.height:
        return False
    loops = (course.segments, *(hole.segments for hole in base.region.holes))
    edges, *holes = loop_tables(loops)
    radii, joined = np.array(course.radii), np.array(course.joined)
    size, way = np.abs(edges.start - edges.center), np.sign(edges.sweep)
    if not _smooth(edges, way, radii > 0.0, joined):
        return False
    tight = (way > 0.0) & (radii > 0.0)
    room, horn = size - radii, np.abs(size - 2.0 * radii)
    if (tight & ((room < READ_BACK) | (horn < 2.0 * READ_BACK))).any():
        return False
    top = _top(edges, way, radii, joined)
    return top is not None and _holds(polygons([top, *holes], sagitta))


def _are_runs(rounds: tuple[Round, ...], edges: int) -> bool:
    """Tell whether every round has a radius and edges of its own."""
    used = {k % edges for r in rounds for k in range(r.first, r.first + r.count)}
    return all(r.radius > 0.0 and r.count >= 1 for r in rounds) and len(used) == sum(
        r.count for r in rounds
    )


def _smooth(edges: LoopTable, way: Floats, rounded: Flags, joined: Flags) -> bool:
    """Tell whether runs go smoothly, and stop in smooth places or in corners that turn inwards."""
    import numpy as np

    end = following(edges.start)
    straight = end - edges.start
    out = np.where(way == 0.0, straight, 1j * way * (end - edges.center))
    onward = np.where(way == 0.0, straight, 1j * way * (edges.start - edges.center))
    turn = np.angle(following(onward) * out.conj())
    stops = ~joined & (rounded | following(rounded))
    least = _WITHIN * TANGENT_ANGLE
    return bool((np.abs(turn[joined]) < least).all() and (turn[stops] < least).all())


def _top(edges: LoopTable, way: Floats, radii: Floats, joined: Flags) -> LoopTable | None:
    """Return the outline of the upper face; None unless every edge of it is surely one."""
    import numpy as np

    after = following(edges.start)
    straight = after - edges.start
    left = 1j * straight / np.abs(straight)
    bent = 1.0 - way * radii / np.where(way == 0.0, 1.0, np.abs(edges.start - edges.center))
    start, end = (
        np.where(
            way == 0.0, spot + radii * left, edges.center + (spot - edges.center) * bent
        )
        for spot in (edges.start, after)
    )  # fmt: skip
    end = np.where(joined, following(start), end)
    uneven = np.abs(np.abs(start - edges.center) - np.abs(end - edges.center))
    if (np.abs(end - start) < 2.0 * SAME_PLACE).any() or (
        (way != 0.0) & (uneven > _WITHIN * ARC_RADIUS)
    ).any():
        return None
    # for each edge: a stop across it, the edge moved inwards, a stop across it
    none = np.zeros(len(way), dtype=bool)
    stop = radii > 0.0
    kept = np.column_stack([stop & ~np.roll(joined, 1), ~none, stop & ~joined])
    zero = np.zeros(len(way))
    return table_of(
        np.column_stack([edges.start, start, end])[kept],
        np.column_stack([zero, edges.center, zero])[kept],
        np.column_stack([zero, way, zero])[kept],
    )


def _holds(top_and_holes: list[shapely.Polygon]) -> bool:
    """Tell whether an upper face crosses neither itself nor a hole."""
    import shapely

    top, *holes = top_and_holes
    if not shapely.is_valid(top_and_holes).all() or not top.exterior.is_ccw:
        return False
    shapely.prepare(top)
    return bool(shapely.contains_properly(top, holes).all())
