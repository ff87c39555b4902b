"""Kinds of shape on as many blanks as they take: large ones in blocks, small ones in gaps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from geometry.nest.block import SLOPES, Blocks
from geometry.nest.gaps import Board, Spot
from geometry.nest.nofit import NoFit

if TYPE_CHECKING:
    from geometry.nest.shape import Shape

#: Up to so many shapes in all, laying every one of them one by one is tried too.
_FEW = 60


@dataclass(frozen=True, eq=False)
class Kind:
    """Shapes that take up equal room: `members` name the pieces, with the number of each."""

    shape: Shape
    members: tuple[tuple[int, int], ...]

    @property
    def total(self) -> int:
        """How many there are."""
        return sum(number for _, number in self.members)


@dataclass
class _Group:
    """Blanks that carry the same."""

    board: Board
    count: int


def fill_sheets(kinds: Sequence[Kind], room: tuple[float, float]) -> list[tuple[list[Spot], int]]:
    """Return what lies on each blank, and on how many blanks.

    Args:
        kinds: shapes with their numbers; each fits the room alone.
        room: width and height, in which grown shapes may touch the edge.
    """
    nofit = NoFit()
    blocks = Blocks(nofit)
    order = sorted(kinds, key=lambda k: -k.shape.poses[0].area)
    plans = [_in_turn(order, room, nofit, blocks)]
    if 1 < sum(k.total for k in kinds) <= _FEW:
        plans += [_in_turn(order, room, nofit, slope) for slope in SLOPES]
    best = min(plans, key=_rank)
    return [(group.board.spots, group.count) for group in best]


def _rank(plan: list[_Group]) -> tuple[int, float]:
    """Order by the number of blanks, then by how much of the last one is left whole."""
    return sum(group.count for group in plan), round(plan[-1].board.top, 6)


def _in_turn(
    order: Sequence[Kind], room: tuple[float, float], nofit: NoFit, way: Blocks | float | None
) -> list[_Group]:
    """Lay one kind after the other; blanks that are equal are worked out once."""
    groups: list[_Group] = []
    for kind in order:
        left, after = kind.total, []
        for group in groups:
            rest = group.count
            while left and rest:
                fuller = group.board.copy()
                placed = _add(fuller, kind.shape, left, way)
                if not placed:
                    break
                times = min(rest, left // placed)
                after.append(_Group(fuller, times))
                rest, left = rest - times, left - times * placed
            if rest:
                after.append(_Group(group.board, rest))
        groups = after
        while left:
            board = Board(*room, nofit)
            placed = _add(board, kind.shape, left, way)
            groups.append(_Group(board, left // placed))
            left %= placed
    return groups


def _add(board: Board, shape: Shape, number: int, way: Blocks | float | None) -> int:
    """Lay up to `number` of a shape on a board, in blocks or by a slope; return how many fit."""
    if not isinstance(way, Blocks):
        return board.fill(shape, number, board.height, way)
    placed = board.fill(shape, number, board.top) if board.spots else 0
    if placed == number:
        return placed
    floor = board.top
    block = way.lowest(shape, board.width, board.height - floor, number - placed)
    board.put([(pose, x, y + floor) for pose, x, y in block])
    placed += len(block)
    if placed < number and block:
        placed += board.fill(shape, number - placed, board.height)
    return placed
