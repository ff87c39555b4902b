"""The field of both sides at one position: the least energy, by Newton's method.

From position to position the tangents of both sides change little, so they are held: factored
once, each condensed onto its circle, where the annulus joins them for any angle by one dense
matrix. The outer tangent stays as held; the inner is renewed in every step and its equations are
solved by conjugate gradients with the held one as preconditioner. Energy and gradient are always
those of both non-linear sides, and so is the result.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from geometry.errors import GeometryError
from geometry.field.annulus import Annulus, make_annulus
from geometry.field.side import Side, State, make_side

Array = NDArray[np.float64]

#: The last step wins less than this share of the field's energy; what is left is far less.
ENOUGH = 1e-7
STEPS = 60
#: Tangents are renewed when a step wins more than this share of what the one before won.
STALE = 0.3
#: ... or when the inner equations need more iterations than this.
TIRED = 8
#: Iterations in one step: more are no better than a step that is not quite Newton's.
MOST = 12


@dataclass(frozen=True, eq=False)
class Pair:
    """Two sides and the annulus between them; see `couple`."""

    inner: Side
    outer: Side
    annulus: Annulus

    def varied(self, more: float, strength: float) -> Pair:
        """Return the pair with a gap wider by `more` mm and magnets of `strength` times the remanence.

        Nothing is meshed anew; see `Annulus.widened`. Solutions of the one start those of the other.
        """
        outer = replace(self.outer, magnets=self.outer.magnets * strength)
        with one_thread():
            return Pair(self.inner, outer, self.annulus.widened(more))


@dataclass(frozen=True, eq=False)
class Factors:
    """Factors of a side's tangent.

    Args:
        solve: right side (n,) -> solution (n,).
        last: (c, c) what is left for the circle when all other unknowns are eliminated.
    """

    solve: Callable[[Array], Array]
    last: Array


@dataclass(frozen=True, eq=False)
class Held:
    """Tangents that a solution leaves to its neighbours.

    Args:
        inner: factors of the inner side's tangent.
        outer: factors of the outer side's tangent with its part of the annulus.
        condensed: (c2, c2) the inverse of the latter on the outer circle.
    """

    inner: Factors
    outer: Factors
    condensed: Array


@dataclass(frozen=True, eq=False)
class Solution:
    """The field at one position.

    Args:
        pair: what was solved.
        angle: by which the outer side is turned, rad counter-clockwise.
        currents: label -> (cells,) A through each copy of the region, out of the plane.
        inner: (size,) the inner side's unknowns, Wb/m.
        outer: (size,) the outer side's unknowns, Wb/m.
        torque: on the outer side of the whole machine, N m per metre of length.
        value: energy less what currents and magnets drive (minus the coenergy), of the sector, J/m.
        steps: Newton steps that were needed.
        held: for the next position.
    """

    pair: Pair
    angle: float
    currents: Mapping[str, Array]
    inner: Array
    outer: Array
    torque: float
    value: float
    steps: int
    held: Held


def couple(inner: Side, outer: Side) -> Pair:
    """Return the two sides of a gap, coupled; raises GeometryError if they do not fit."""
    with one_thread():
        return Pair(inner, outer, make_annulus(inner, outer))


def solve(
    pair: Pair,
    angle: float,
    currents: Mapping[str, Sequence[float] | Array] | None = None,
    start: Solution | None = None,
    *,
    tolerance: float = ENOUGH,
) -> Solution:
    """Return the field with the outer side turned by `angle` rad.

    Args:
        pair: both sides.
        angle: rad, counter-clockwise.
        currents: label of the inner side -> total current in A through each copy of that
            region, out of the plane; its density is even. Left out: none.
        start: a solution of the same pair, or of one varied, to begin from: near ones save time. Without one, a
            pair of second order begins from its solution of first order.
        tolerance: share of the field's energy that the last step may win; what is left after
            it is far less. 1e-12 is the least that double precision gives.

    Raises:
        GeometryError: a label that is not there, a number of currents that is not that of the
            cells, or a field that did not settle.
    """
    amperes = {n: np.asarray(c, float) for n, c in (currents or {}).items()}
    load = np.zeros(pair.inner.size)
    for name, values in amperes.items():
        if name not in pair.inner.means or values.shape != (pair.inner.mesh.cells,):
            raise GeometryError(f"{name} needs one current for each of its cells")
        load += pair.inner.means[name].T @ values
    with one_thread():
        held = None
        if start is not None:
            x1, x2, held = start.inner, start.outer, start.held
            if start.pair.annulus is not pair.annulus:
                held = replace(held, condensed=_condensed(pair, held.outer))
        elif pair.inner.order == pair.outer.order == 2:
            x1, x2 = _rough(pair, angle, amperes)
        else:
            x1, x2 = np.zeros(pair.inner.size), np.zeros(pair.outer.size)
        search = _Search(pair, angle, load, x1, x2, held)
        steps = search.run(tolerance)
        x1, x2 = search.x1, search.x2
        torque = pair.annulus.torque(x1, x2, angle)
    value = search.now.value
    return Solution(pair, angle, amperes, x1, x2, torque, value, steps, search.held)


def _rough(pair: Pair, angle: float, currents: Mapping[str, Array]) -> tuple[Array, Array]:
    """Return the first-order solution as unknowns of second order."""
    fine = (pair.inner, pair.outer)
    rough = [make_side(s.mesh, s.materials, s.radius, sign=s.sign, order=1) for s in fine]
    found = solve(couple(*rough), angle, currents)
    return _lifted(found.inner, rough[0], fine[0]), _lifted(found.outer, rough[1], fine[1])


@cache
def _blas() -> Any:
    """Return the handle on the threads of the linear algebra beneath numpy and scipy."""
    import scipy.linalg  # noqa: F401 - has its own, which must be loaded to be found
    from threadpoolctl import ThreadpoolController

    return ThreadpoolController()


@contextmanager
def one_thread() -> Iterator[None]:
    """Keep linear algebra to one thread: the matrices are small, and threads wait for each other."""
    with _blas().limit(limits=1):
        yield


def _lifted(unknowns: Array, rough: Side, fine: Side) -> Array:
    """Return a first-order solution as unknowns of second order: middles are means of corners."""
    a = rough.at_nodes(unknowns)
    t = fine.element
    a[t[:, 3:]] = (a[t[:, :3]] + a[t[:, [1, 2, 0]]]) / 2
    found = np.zeros(fine.size + 1)
    found[fine.unknown] = a * fine.factor
    return found[:-1]


@dataclass(frozen=True, eq=False)
class _Both:
    """The functional of both sides and the annulus (J/m), its derivatives (A), and each state."""

    value: float
    inner_gradient: Array
    outer_gradient: Array
    inner: State
    outer: State


class _Search:
    """The state of one search for the least energy."""

    def __init__(
        self, pair: Pair, angle: float, load: Array, x1: Array, x2: Array, held: Held | None
    ) -> None:
        self.pair, self.load, self.x1, self.x2 = pair, load, x1, x2
        self.cross = pair.annulus.cross_matrix(angle)
        self.c1, self.c2 = pair.annulus.inner_numbers, pair.annulus.outer_numbers
        self.now = self._states(x1, x2)
        if held is None:
            held = Held(self._held_inner(), *self._held_outer())
        self._join(held)
        self._hold(held)

    def run(self, tolerance: float) -> int:
        """Step until too little is won; return the steps. Raises GeometryError if too many."""
        before, won = np.inf, np.inf
        for step in range(STEPS):
            d1, d2, won1, won2, tries = self._direction()
            won = won1 + won2
            t = self._line(d1, d2, won)
            if t == 1 and won <= tolerance * abs(self.now.value):
                return step + 1
            held = self.held
            if tries > TIRED:
                held = replace(held, inner=self._held_inner())
            if won2 > STALE * before or t < 1:
                held = Held(held.inner, *self._held_outer())
                self._join(held)
            if held is not self.held:
                self._hold(held)
            before = won
        raise GeometryError("the field did not settle", value=won, limit=abs(self.now.value))

    def _states(self, x1: Array, x2: Array) -> _Both:
        """Return the functional of everything and its derivatives."""
        u1, u2, a = x1[self.c1], x2[self.c2], self.pair.annulus
        one, two = self.pair.inner.state(x1), self.pair.outer.state(x2)
        f1, f2 = a.inner_matrix @ u1, a.outer_matrix @ u2
        f12, f21 = self.cross @ u2, self.cross.T @ u1
        g1, g2 = one.gradient - self.load, two.gradient.copy()
        g1[self.c1] += f1 + f12
        g2[self.c2] += f2 + f21
        value = one.value + two.value - self.load @ x1 + 0.5 * (u1 @ f1 + u2 @ f2) + u1 @ f12
        return _Both(float(value), g1, g2, one, two)

    def _held_inner(self) -> Factors:
        """Factor the inner side's tangent as it is now."""
        return _factored(self.pair.inner.tangent(self.now.inner), len(self.c1))

    def _held_outer(self) -> tuple[Factors, Array]:
        """Factor the outer side's tangent as it is now, and condense it onto its circle."""
        outer = _factored(self.pair.outer.tangent(self.now.outer), len(self.c2))
        return outer, _condensed(self.pair, outer)

    def _join(self, held: Held) -> None:
        """Condense the annulus and the held outer side onto the inner circle, at this angle."""
        pull = self.cross @ held.condensed @ self.cross.T
        self.ring = self.pair.annulus.inner_matrix - pull

    def _hold(self, held: Held) -> None:
        """Make the held tangents the preconditioner: all of the inner side on its circle."""
        from scipy.linalg import cho_factor

        self.held = held
        self.joined = cho_factor(self.ring + held.inner.last, overwrite_a=True, check_finite=False)

    def _outer(self, right: Array) -> Array:
        """Solve the held outer equations with the annulus: its tangent alone is factored."""
        held = self.held
        y = held.outer.solve(right)
        on = held.outer.last @ y[self.c2]
        push = np.zeros_like(y)
        push[self.c2] = held.outer.last @ (held.condensed @ on) - on
        return y + held.outer.solve(push)

    def _inner(self, right: Array) -> Array:
        """Solve the held inner equations with the annulus and the outer side condensed."""
        from scipy.linalg import cho_solve

        held = self.held
        y = held.inner.solve(right)
        on = held.inner.last @ y[self.c1]
        push = np.zeros_like(y)
        push[self.c1] = held.inner.last @ cho_solve(self.joined, on, check_finite=False) - on
        return y + held.inner.solve(push)

    def _direction(self) -> tuple[Array, Array, float, float, int]:
        """Return Newton's step of both sides, what each would win (J/m), and the iterations."""
        from scipy.sparse.linalg import LinearOperator, cg

        tangent, tries = self.pair.inner.tangent(self.now.inner), 0

        def times(v: Array) -> Array:
            out = tangent @ v
            out[self.c1] += self.ring @ v[self.c1]
            return np.asarray(out)

        def count(_: Array) -> None:
            nonlocal tries
            tries += 1

        y2 = -self._outer(self.now.outer_gradient)
        right = -self.now.inner_gradient
        right[self.c1] -= self.cross @ y2[self.c2]
        shape = (len(right), len(right))
        d1, _ = cg(
            LinearOperator(shape, times, dtype=float), right, rtol=0.05, maxiter=MOST,
            M=LinearOperator(shape, self._inner, dtype=float), callback=count,
        )  # fmt: skip
        back = np.zeros_like(y2)
        back[self.c2] = self.cross.T @ d1[self.c1]
        won2 = -float(self.now.outer_gradient @ y2)
        return d1, y2 - self._outer(back), float(right @ d1), won2, tries

    def _line(self, d1: Array, d2: Array, won: float) -> float:
        """Take as much of the step as makes the energy fall, halving it; return the share."""
        t, slack = 1.0, 1e-12 * abs(self.now.value)
        while True:
            x1, x2 = self.x1 + t * d1, self.x2 + t * d2
            after = self._states(x1, x2)
            if after.value <= self.now.value - 1e-4 * t * won + slack or t < 1e-6:
                self.x1, self.x2, self.now = x1, x2, after
                return t
            t /= 2


def _condensed(pair: Pair, outer: Factors) -> Array:
    """Return the inverse of the outer side's tangent with its part of the annulus, on its circle."""
    inverse = np.linalg.inv(outer.last + pair.annulus.outer_matrix)
    return np.asarray((inverse + inverse.T) / 2)


def _factored(tangent: Any, circle: int) -> Factors:
    """Return the factors of a symmetric positive matrix, condensed onto its last unknowns."""
    from scipy.sparse.linalg import splu

    options = {"SymmetricMode": True}
    factors = splu(tangent, permc_spec="NATURAL", diag_pivot_thresh=0.0, options=options)
    n = tangent.shape[0] - circle
    return Factors(factors.solve, factors.L[n:, n:].toarray() @ factors.U[n:, n:].toarray())
