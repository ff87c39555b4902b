"""The air between the two sides: an annulus solved exactly in harmonics of the angle.

Between the circles r1 and r2 Laplace's equation gives, with l = ln(r2/r1),
  A = sum [u1 sinh(n ln(r2/r)) + u2 sinh(n ln(r/r1))] / sinh(n l) e^(i n theta),
so that the energy of a sector of the angle `span` is, by Green's theorem,
  W = span nu0 sum_(n>0) n [(|u1|^2 + |u2|^2) coth(n l) - 2 Re(conj(u1) u2 e^(-i n a)) / sinh(n l)]
where a is the angle by which the outer side is turned. Its derivative by a is, with the sign
changed, the torque on the outer side: nothing else depends on a. (Separation of variables and
Green's theorem, any textbook; as a coupling of finite elements: Abdel-Razek et al., IEEE
Transactions on Magnetics 18, 1982, 655-659.)
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from geometry.errors import GeometryError
from geometry.field.materials import MU0
from geometry.field.side import Side

Array = NDArray[np.float64]
Complex = NDArray[np.complex128]
Index = NDArray[np.intp]

#: Above this n l sinh and coth are infinite and 1 for double precision.
MOST = 700.0


@dataclass(frozen=True, eq=False)
class Annulus:
    """The gap's energy as a function of the unknowns on both circles.

    Args:
        radii: r1 and r2 in mm.
        span: angle of the sector in rad.
        orders: (h,) orders n of the harmonics, rising, per whole circle.
        inner: (h, c1) harmonics u1 of the unknowns on the inner circle.
        outer: (h, c2) harmonics u2 of those on the outer circle, in its own turned frame.
        inner_numbers: (c1,) which unknowns of the inner side these are.
        outer_numbers: (c2,) which unknowns of the outer side these are.
        inner_matrix: (c1, c1) second derivative of W by the inner unknowns, A/Wb m.
        outer_matrix: (c2, c2) the same of the outer ones.
    """

    radii: tuple[float, float]
    span: float
    orders: Array
    inner: Complex
    outer: Complex
    inner_numbers: Index
    outer_numbers: Index
    inner_matrix: Array
    outer_matrix: Array

    def cross_matrix(self, angle: float) -> Array:
        """Return (c1, c2) mixed second derivative of W with the outer side turned by `angle` rad."""
        _, link = _strengths(self.orders, math.log(self.radii[1] / self.radii[0]))
        keep = link > 1e-17 * link.max()
        factor = -2 * self.span / MU0 * link[keep] * np.exp(-1j * self.orders[keep] * angle)
        right = factor[:, None] * self.outer[keep]
        left = self.inner[keep]
        return np.asarray(left.real.T @ right.real + left.imag.T @ right.imag)

    def widened(self, more: float) -> Annulus:
        """Return the same with an outer circle larger by `more` mm; its unknowns stay as they are.

        A plane field does not change with scale: with an outer side left as it is, that is one grown
        with its circle whose magnets lose as much remanence, and so keep flux and drive.
        """
        r1, r2 = self.radii
        own, _ = _strengths(self.orders, math.log((r2 + more) / r1))
        one, two = (_own_matrix(u, own, self.span) for u in (self.inner, self.outer))
        return replace(self, radii=(r1, r2 + more), inner_matrix=one, outer_matrix=two)

    def harmonics(self, inner: Array, outer: Array, angle: float) -> tuple[Complex, Complex]:
        """Return u1 and u2 (Wb/m) of both sides' unknowns, the outer turned by `angle` rad."""
        turned = np.exp(-1j * self.orders * angle)
        return (
            self.inner @ inner[self.inner_numbers],
            turned * (self.outer @ outer[self.outer_numbers]),
        )

    def torque(self, inner: Array, outer: Array, angle: float) -> float:
        """Return the torque on the outer side of the whole machine, N m per metre, turned `angle` rad."""
        u1, u2 = self.harmonics(inner, outer, angle)
        _, link = _strengths(self.orders, math.log(self.radii[1] / self.radii[0]))
        return float(4 * math.pi / MU0 * np.sum(self.orders * link * (np.conj(u1) * u2).imag))

    def potential(
        self, inner: Array, outer: Array, angle: float, radius: float, theta: Array
    ) -> Array:
        """Return A (Wb/m) at `theta` (rad) on the circle of `radius` mm, turned `angle` rad."""
        n, u = self.orders, self.at_radius(inner, outer, angle, radius)
        doubled = np.where(n > 0, 2.0, 1.0) * u
        return np.asarray((np.exp(1j * np.outer(theta, n)) @ doubled).real)

    def at_radius(self, inner: Array, outer: Array, angle: float, radius: float) -> Complex:
        """Return the harmonics of A (Wb/m) on the circle of `radius` mm, turned `angle` rad."""
        u1, u2 = self.harmonics(inner, outer, angle)
        r1, r2 = self.radii
        whole, part = math.log(r2 / r1), math.log(radius / r1)
        return u1 * _share(self.orders, whole - part, whole) + u2 * _share(self.orders, part, whole)


def make_annulus(inner: Side, outer: Side) -> Annulus:
    """Return the coupling of two sides whose sectors have the same angle and sign.

    Raises:
        GeometryError: sectors of different angle or sign, or circles in the wrong order.
    """
    span = inner.mesh.span
    if abs(span - outer.mesh.span) > 1e-9 or inner.sign != outer.sign:
        raise GeometryError("both sides need sectors of the same angle and sign")
    r1, r2 = (float(np.hypot(*s.mesh.nodes[s.circle[0]])) for s in (inner, outer))
    if not r1 < r2:
        raise GeometryError("the gap's inner circle must be the smaller", value=r1, limit=r2)
    sectors = round(2 * math.pi / span)
    # The polynomials along the edges throw every low harmonic back near each multiple of the
    # number of edges: the series ends half-way between two.
    most = sectors * max((s.order + 0.5) * _edges(s) for s in (inner, outer))
    first = 0.0 if inner.sign == 1 else sectors / 2
    orders = np.arange(first, most, sectors)
    own, _ = _strengths(orders, math.log(r2 / r1))
    (one, numbers1), (two, numbers2) = (_trace(s, orders) for s in (inner, outer))
    matrices = [_own_matrix(u, own, span) for u in (one, two)]
    return Annulus((r1, r2), span, orders, one, two, numbers1, numbers2, matrices[0], matrices[1])


def _own_matrix(harmonics: Complex, own: Array, span: float) -> Array:
    """Return the second derivative of W by the unknowns of one circle."""
    scaled = np.sqrt(2 * span / MU0 * own)[:, None] * harmonics
    return np.asarray(scaled.real.T @ scaled.real + scaled.imag.T @ scaled.imag)


def _edges(side: Side) -> int:
    """Return the number of edges of the mesh on the side's circle."""
    open_ended = len(side.mesh.first) > 0
    return (len(side.circle) - open_ended) // side.order


def _strengths(orders: Array, width: float) -> tuple[Array, Array]:
    """Return n coth(n l) and n / sinh(n l); for n = 0 half of 1/l each, as it counts once."""
    x = orders * width
    safe = np.clip(x, 1e-9, MOST)
    own, link = orders / np.tanh(safe), orders / np.sinh(safe)
    zero = orders == 0
    return np.where(zero, 0.5 / width, own), np.where(zero, 0.5 / width, link)


def _share(orders: Array, part: float, whole: float) -> Array:
    """Return sinh(n part) / sinh(n whole), written so that nothing overflows."""
    n = np.maximum(orders, 1e-12 / whole)
    return np.exp(n * (part - whole)) * np.expm1(-2 * n * part) / np.expm1(-2 * n * whole)


def _trace(side: Side, orders: Array) -> tuple[Complex, Index]:
    """Return the harmonics of the unknowns on a side's circle (h, c), and their numbers.

    u_n is the mean of A e^(-i n theta) over the sector; along every edge A is the polynomial
    through its nodes in the angle, integrated exactly.
    """
    nodes = side.circle
    theta = np.unwrap(np.arctan2(side.mesh.nodes[nodes, 1], side.mesh.nodes[nodes, 0]))
    if len(side.mesh.first) == 0:
        nodes, theta = np.append(nodes, nodes[0]), np.append(theta, theta[0] + 2 * math.pi)
    step = side.order
    begin, end = theta[:-1:step], theta[step::step]
    half, middle = (end - begin) / 2, (end + begin) / 2
    phase = np.exp(-1j * np.outer(orders, middle)) * (half / side.mesh.span)
    m0, m1, m2 = _moments(np.outer(orders, half))
    parts: tuple[Complex, ...] = ((m0 - m1) / 2, (m0 + m1) / 2)
    if step == 2:
        parts = ((m2 - m1) / 2, (m0 - m2).astype(complex), (m2 + m1) / 2)
    every = np.zeros((len(nodes), len(orders)), complex)
    for k, part in enumerate(parts):
        place = np.arange(k, k + step * len(half), step)
        every[place] += (phase * part).T
    numbers, place = np.unique(side.unknown[nodes], return_inverse=True)
    found = np.zeros((len(numbers), len(orders)), complex)
    np.add.at(found, place, every * side.factor[nodes][:, None])
    return np.ascontiguousarray(found.T), numbers


def _moments(k: Array) -> tuple[Array, Complex, Array]:
    """Return the integrals of 1, x and x^2 times e^(-i k x) over -1..1."""
    small = k < 0.05
    s = np.where(small, 1.0, k)
    sin, cos = np.sin(s), np.cos(s)
    m0 = np.where(small, 2 - k**2 / 3 + k**4 / 60, 2 * sin / s)
    m1 = np.where(small, k / 3 - k**3 / 30 + k**5 / 840, (sin - s * cos) / s**2)
    m2 = np.where(small, 2 / 3 - k**2 / 5 + k**4 / 84, 2 * ((s**2 - 2) * sin + 2 * s * cos) / s**3)
    return m0, -2j * m1, m2
