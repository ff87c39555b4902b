"""Bottom left: each next shape goes to the lowest place where its no-fit polygons let it.

Where a shape may lie is kept as polygons for each pose: the room for its corner, less the no-fit
polygon of every shape that is placed. It goes to one of the corners of those polygons, the lowest
by its top or by its middle; with a slope s, the one where y + s x of its middle is least.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from geometry.tolerance import SAME_PLACE

if TYPE_CHECKING:
    from geometry.nest.nofit import NoFit
    from geometry.nest.shape import Pose, Shape

#: pose, x, y: lower left corner of its box.
Spot = tuple["Pose", float, float]

#: So many of one shape are at most laid one by one on a blank.
_ONE_BY_ONE = 150

#: Rooms smaller than this, mm2, and bare lines are dust of the arithmetic: an exact fit leaves
#: 1e-6 mm each way.
_DUST = 1e-13

#: When more shapes than this are put at once, free places are worked out anew.
_MANY = 12


@dataclass
class Board:
    """The room on one blank, shrunk so that grown shapes may touch its edges.

    Args:
        width, height: of the room, mm.
        nofit: keeper of no-fit polygons.
        spots: what lies on it.
        top: everything lies below this height.
    """

    width: float
    height: float
    nofit: NoFit
    spots: list[Spot] = field(default_factory=list)
    top: float = 0.0
    _free: dict[int, tuple[Pose, Any]] = field(default_factory=dict)

    def copy(self) -> Board:
        """Return a board with the same things on it."""
        return Board(
            self.width, self.height, self.nofit, list(self.spots), self.top, dict(self._free)
        )

    def put(self, spots: list[Spot]) -> None:
        """Place shapes whose room is known to be free."""
        self.top = max((self.top, *(y + pose.height for pose, _, y in spots)))
        self.spots += spots
        if len(spots) > _MANY:
            self._free.clear()
        for key, (new, free) in self._free.items():
            rest = free
            for pose, x, y in spots:
                rest = _without(rest, self._moved(pose, new, x, y))
            self._free[key] = (new, rest)

    def fill(self, shape: Shape, number: int, below: float, slope: float | None = None) -> int:
        """Lay up to `number` of a shape one by one, tops at or under `below`; return how many.

        Args:
            slope: see above; None goes by the top.
        """
        placed = 0
        while placed < min(number, _ONE_BY_ONE) and (spot := self.lowest(shape, below, slope)):
            self.put([spot])
            placed += 1
        return placed

    def lowest(self, shape: Shape, below: float, slope: float | None = None) -> Spot | None:
        """Return the lowest place for a shape whose top stays at or under `below`, if any."""
        import numpy as np
        import shapely

        found: list[tuple[float, float, Spot]] = []
        for pose in shape.poses:
            corners = shapely.get_coordinates(self._room(pose))
            corners = corners[corners[:, 1] + pose.height <= below + SAME_PLACE]
            if len(corners):
                if slope is None:
                    high = corners[:, 1] + pose.height
                else:
                    high = corners @ [slope, 1.0] + slope * pose.middle.x + pose.middle.y
                high, across = np.round(high, 6), np.round(corners[:, 0], 6)  # what counts as equal
                k = np.lexsort((across, high))[0]
                spot = (pose, float(corners[k, 0]), float(corners[k, 1]))
                found.append((float(high[k]), float(across[k]), spot))
        return min(found, key=lambda f: f[:2])[2] if found else None

    def _room(self, pose: Pose) -> Any:
        """Return the polygons in which the corner of a pose may be."""
        import numpy as np
        import shapely

        if pose.width > self.width or pose.height > self.height:
            return np.array([])
        if id(pose) not in self._free:
            room = shapely.box(0.0, 0.0, self.width - pose.width, self.height - pose.height)
            taken = [self._moved(p, pose, x, y) for p, x, y in self.spots]
            free = shapely.difference(room, shapely.union_all(taken))
            self._free[id(pose)] = (pose, _rooms(free))
        return self._free[id(pose)][1]

    def _moved(self, placed: Pose, new: Pose, x: float, y: float) -> Any:
        import shapely

        return shapely.affinity.translate(self.nofit.of(placed, new), x, y)


def _without(free: Any, taken: Any) -> Any:
    """Return polygons less one; only those that it can meet are worked on."""
    import numpy as np
    import shapely

    low_x, low_y, high_x, high_y = shapely.bounds(free).reshape(-1, 4).T
    x0, y0, x1, y1 = taken.bounds
    met = (low_x <= x1) & (high_x >= x0) & (low_y <= y1) & (high_y >= y0)
    if not met.any():
        return free
    return np.concatenate([free[~met], _rooms(shapely.difference(free[met], taken))])


def _rooms(free: Any) -> Any:
    """Return the polygons in a result of the overlay."""
    import shapely

    parts = shapely.get_parts(free)
    return parts[shapely.area(parts) > _DUST]
