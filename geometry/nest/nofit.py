"""No-fit polygons: where the corner of one shape must not be, seen from another that is placed.

Shape B at t meets shape A if t lies inside A (+) (-B), the Minkowski sum of A with B turned half
round. On its edge they touch. For convex shapes the sum is the hull of all sums of two corners;
else every edge of the one is swept along every edge of the other.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from geometry.tolerance import SAME_PLACE

if TYPE_CHECKING:
    import shapely

    from geometry.nest.shape import Pose


class NoFit:
    """No-fit polygons of pairs of poses, each made once."""

    def __init__(self) -> None:
        """Start with none."""
        self._made: dict[tuple[int, int], Any] = {}
        self._poses: list[Pose] = []  # keeps them alive, so that no number is used twice

    def of(self, placed: Pose, new: Pose) -> shapely.Polygon:
        """Return where the corner of `new` must not be if that of `placed` is at the origin."""
        import shapely

        key, other = (id(placed), id(new)), (id(new), id(placed))
        if key not in self._made:
            made = no_fit(placed.polygon, new.polygon)
            self._made[key] = made  # seen from the other it is the same, turned half round
            self._made.setdefault(
                other, shapely.affinity.scale(made, -1.0, -1.0, origin=(0.0, 0.0))
            )
            self._poses += [placed, new]
        return self._made[key]


def no_fit(placed: Any, new: Any) -> shapely.Polygon:
    """Return the Minkowski sum of `placed` with `new` turned half round, about the origin, mm."""
    import numpy as np
    import shapely

    a = np.asarray(placed.exterior.coords)
    b = -np.asarray(new.exterior.coords)
    if _convex(placed) and _convex(new):
        return shapely.MultiPoint((a[:, None] + b[None]).reshape(-1, 2)).convex_hull
    # The edge of the sum consists of sums of two edges; the rest lies in one shape moved along.
    p, q = a[:-1, None], a[1:, None]
    r, s = b[None, :-1], b[None, 1:]
    corners = np.stack([p + r, q + r, q + s, p + s, p + r], axis=2).reshape(-1, 5, 2)
    u, v = corners[:, 1] - corners[:, 0], corners[:, 3] - corners[:, 0]
    flat = np.abs(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]) > 1e-12  # parallel edges sweep no area
    swept = shapely.polygons(corners[flat])
    whole = [shapely.polygons(a + b[0]), shapely.polygons(b + a[0])]
    return shapely.union_all([*swept, *whole])


def _convex(polygon: Any) -> bool:
    return bool(polygon.convex_hull.area <= (1 + SAME_PLACE) * polygon.area)
