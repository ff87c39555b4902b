"""Links between coils, and leads to the terminals, as drawn inside the stator's picture.

A link leaves a finish, runs counter-clockwise on a circle and rises to a start. Links of a phase that
do not meet share a circle; the circles of U lie outside those of V and W.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from geometry.outline import Outline
from geometry.segment import Arc, Line
from geometry.sheet.drawing import Fill, Item, Items, Stroke, line
from geometry.sheet.font import text_width
from recipes.card.marks import LINK_STYLES, RingText
from recipes.card.stage import LETTER, Stage
from recipes.parts.lamination import TOOTH_1
from recipes.winding.paths import Join
from recipes.winding.star import PHASES, Phase

#: With more circles, links are left to the joint list; distances of the circles that are tried, mm.
MOST_TRACKS = 12
TRACKS_APART = (3.8, 3.2, 2.6)

#: Smallest radius that names of terminals may reach; radius of a joint's dot; mm.
INNERMOST, DOT = 5.0, 0.75


@dataclass(frozen=True)
class Inside:
    """What was drawn, and the radius in mm that stays free inside it; no items: no room."""

    items: Items
    free: float


@dataclass(frozen=True)
class _Terminal:
    """Where a terminal's lead comes up: angle on the sheet in rad, and its name."""

    angle: float
    words: str
    phase: Phase


class LinkDrawer:
    """Draws the joins of a winding inside its stage."""

    def __init__(self, stage: Stage, joins: Sequence[Join]) -> None:
        """Take all joins of the winding."""
        self.stage, self.joins = stage, tuple(joins)

    def links(self) -> Inside:
        """Return the links on their circles."""
        below, tracks = self.stage.below, self._tracks()
        count = 1 + max(tracks.values(), default=-1)
        if not 0 < count <= MOST_TRACKS:
            return Inside((), below)
        for apart in TRACKS_APART:
            radii = [below - 2.2 - apart * i for i in range(count)]
            if radii[-1] - 14.0 >= INNERMOST:
                break
        else:
            return Inside((), below)
        items: list[Item] = []
        for join, track in tracks.items():
            items += self._link(join, radii[track])
        return Inside(tuple(items), radii[-1] - 2.4)

    def _tracks(self) -> dict[Join, int]:
        """Return the circle of every link, from outside: links that do not meet share one."""
        found: dict[Join, int] = {}
        base = 0
        for phase in PHASES:
            taken: list[list[tuple[float, float]]] = []
            for join, arc in self._arcs(phase):
                free = (n for n, there in enumerate(taken) if not _meets(arc, there))
                n = next(free, len(taken))
                if n == len(taken):
                    taken.append([])
                taken[n].append(arc)
                found[join] = base + n
            base += len(taken)
        return found

    def _arcs(self, phase: Phase) -> Iterator[tuple[Join, tuple[float, float]]]:
        """Yield every link of a phase with its (start, sweep) in rad."""
        for join in self.joins:
            if join.phase == phase and join.from_tooth is not None and join.to_tooth is not None:
                one = self.stage.end_angle(join.from_tooth, join.from_end)
                two = self.stage.end_angle(join.to_tooth, join.to_end)
                yield join, (one, (two - one) % (2 * math.pi))

    def _link(self, join: Join, radius: float) -> Items:
        assert join.from_tooth is not None
        assert join.to_tooth is not None
        one = self.stage.end_angle(join.from_tooth, join.from_end)
        two = self.stage.end_angle(join.to_tooth, join.to_end)
        below, polar = self.stage.below, self.stage.polar
        corners = polar(below, one), polar(radius, one), polar(radius, two), polar(below, two)
        arc = Arc(corners[1], corners[2], self.stage.centre, True)
        run = (Line(*corners[:2]), arc, Line(*corners[2:]))
        # On an axis between two tails, where nothing crosses: a dot on a crossing would lie.
        half = self.stage.half
        turn = math.ceil((one - TOOTH_1) / half + 1e-6) * half + TOOTH_1
        joint = Fill((Outline.circle(self.stage.polar(radius, turn), DOT),))
        return Stroke(run, LINK_STYLES[join.phase]), joint

    def terminals(self, inner: float) -> Inside:
        """Return the leads to the terminals, whose circles lie at the radius `inner` or within."""
        ends = sorted(self._ends(), key=lambda t: t.angle)
        for height in (3.5, LETTER):
            wide = max(text_width(t.words, height) for t in ends)
            step = wide + 2 * DOT + 1.8
            rows = _rows(ends, inner - wide, step, height)
            if len(rows) <= 2 and inner - len(rows) * step >= INNERMOST:
                break
        else:
            return Inside((), inner)
        items: list[Item] = []
        top = self.stage.below if self.stage.lettered else self.stage.block.inner
        for i, row in enumerate(rows):
            for end in row:
                items += self._terminal(end, inner - i * step, top, height)
        return Inside(tuple(items), inner - len(rows) * step)

    def _terminal(self, end: _Terminal, radius: float, top: float, height: float) -> Items:
        """Return one lead from `top` to its terminal's circle at `radius`, the name inside it."""
        start, foot = self.stage.polar(top, end.angle), self.stage.polar(radius + DOT, end.angle)
        ring = Outline.circle(self.stage.polar(radius, end.angle), DOT)
        words = text_width(end.words, height)
        place = RingText(height, False, words)
        return (
            line(start, foot, LINK_STYLES[end.phase]),
            Stroke(ring.segments, "visible"),
            place.text(self.stage.centre, radius - DOT - 0.7 - words / 2, end.angle, end.words),
        )

    def _ends(self) -> list[_Terminal]:
        several = self.stage.job.design.winding.parallel_paths > 1
        found = []
        for join in self.joins:
            path = f" ({join.path})" if several else ""
            if join.from_tooth is None and join.to_tooth is not None:
                angle = self.stage.end_angle(join.to_tooth, join.to_end)
                found.append(_Terminal(angle, join.from_end + path, join.phase))
            if join.to_tooth is None and join.from_tooth is not None:
                angle = self.stage.end_angle(join.from_tooth, join.from_end)
                found.append(_Terminal(angle, join.to_end + path, join.phase))
        return found


def _rows(
    ends: list[_Terminal], radius: float, step: float, height: float
) -> list[list[_Terminal]]:
    """Deal names, written along the radius, out to rows `step` apart so that none overlap."""
    rows: list[list[_Terminal]] = []
    for end in ends:
        for i, row in enumerate(rows):
            turns = (abs(math.remainder(end.angle - o.angle, 2 * math.pi)) for o in row)
            if all(turn * (radius - i * step) >= height + 1.2 for turn in turns):
                row.append(end)
                break
        else:
            rows.append([end])
    return rows


def _meets(arc: tuple[float, float], others: list[tuple[float, float]]) -> bool:
    """Tell whether an arc (start, sweep) runs into one of the others."""
    start, sweep = arc
    turn = 2 * math.pi
    return any((b - start) % turn <= sweep or (start - b) % turn <= other for b, other in others)
