"""One side of the gap as finite elements: energy, its gradient and its tangent matrix.

Triangles of second order (or of first, on the corners alone), bent on arcs, by scikit-fem. All in
SI units per metre of length: A in Wb/m, energy in J/m; the unknowns are A at the nodes. On the
far circle A is 0; on the last ray it is `sign` times that on the first. The unknowns are numbered in
an order of elimination that fills little, those on the gap's circle last.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from geometry.errors import GeometryError
from geometry.field.materials import MU0, Curve, Magnet, Material
from geometry.field.mesh import Mesh

Array = NDArray[np.float64]
Index = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Saturable:
    """The triangles of one magnetising curve.

    Args:
        curve: H of B.
        unknown: (t, k) numbers of the unknowns, the last one + 1 where A is 0.
        curl: (t, 2 q, k) flux density at the points (x and y in turn) by unknown, 1/m.
        weight: (t, q) area of each point, m2.
        place: (t, k, k) where the entries go in the tangent.
    """

    curve: Curve
    unknown: Index
    curl: Array
    weight: Array
    place: Index


@dataclass(frozen=True, eq=False)
class State:
    """A side's energy at some A, with what the tangent there needs.

    Args:
        value: energy less what the magnets drive, J/m.
        gradient: (size,) its derivative by the unknowns, A.
        fields: per curve B (t, q, 2), reluctivity (t, q) and its growth by B^2 times 2.
    """

    value: float
    gradient: Array
    fields: tuple[tuple[Array, Array, Array], ...]


@dataclass(frozen=True, eq=False)
class Side:
    """What the solver and its readers need of one side; see `make_side`.

    Args:
        mesh: nodes in mm.
        materials: of each label.
        radius: of the circle towards the gap, mm.
        order: 2 or 1.
        sign: +1 or -1: A on the last ray over A on the first.
        size: number of unknowns.
        unknown: (n,) number of each node's unknown; `size` where A is 0 or the node is not used.
        factor: (n,) A at the node over its unknown: +1 or -1.
        circle: (m,) nodes on the gap's circle, by angle.
        element: (t, k) node numbers of each triangle.
        curl: (t, q, k, 2) flux density of each shape function at each point, 1/m.
        weight: (t, q) area of each point, m2.
        spots: (t, q, 2) the points, m.
        saturable: the triangles of each curve.
        linear: (size, size) sparse second derivative of everything else's energy.
        magnets: (size,) what the magnets drive, A.
        means: label -> (cells, size) sparse matrix that gives A's mean in each copy.
    """

    mesh: Mesh
    materials: Mapping[str, Material]
    radius: float
    order: int
    sign: int
    size: int
    unknown: Index
    factor: Array
    circle: Index
    element: Index
    curl: Array
    weight: Array
    spots: Array
    saturable: tuple[Saturable, ...]
    linear: Any
    magnets: Array
    means: Mapping[str, Any]

    def at_nodes(self, unknowns: Array) -> Array:
        """Return (n,) A (Wb/m) at every node; 0 on the far circle and where none is used."""
        return np.asarray(self.factor * np.append(unknowns, 0.0)[self.unknown])

    def flux_density(self, unknowns: Array) -> Array:
        """Return B (t, q, 2) in T at the points of all triangles."""
        a = self.at_nodes(unknowns)[self.element]
        return np.asarray(np.einsum("tqkx,tk->tqx", self.curl, a, optimize=True))

    def state(self, unknowns: Array) -> State:
        """Return energy and gradient at these unknowns (Wb/m)."""
        pull = self.linear @ unknowns
        value = float(0.5 * (unknowns @ pull) - self.magnets @ unknowns)
        gradient = np.append(pull - self.magnets, 0.0)
        ended, fields = np.append(unknowns, 0.0), []
        for s in self.saturable:
            b = (s.curl @ ended[s.unknown][:, :, None]).reshape(*s.weight.shape, 2)
            amount = np.maximum(np.sqrt((b * b).sum(axis=2)), 1e-12)
            h, slope, energy = s.curve.evaluate(amount)
            nu = h / amount
            value += float((energy * s.weight).sum())
            flow = (b * (nu * s.weight)[..., None]).reshape(len(b), 1, -1)
            gradient += np.bincount(s.unknown.ravel(), (flow @ s.curl).ravel(), len(gradient))
            fields.append((b, nu, (slope - nu) / amount**2))
        return State(value, gradient[:-1], tuple(fields))

    def tangent(self, state: State) -> Any:
        """Return the second derivative of the energy, sparse by columns and symmetric."""
        matrix = self.linear.copy()
        for s, (b, nu, growth) in zip(self.saturable, state.fields, strict=True):
            t, q, _ = b.shape
            curl = s.curl.reshape(t, q, 2, -1)
            along = b[:, :, None, :] @ curl
            right = curl * (nu * s.weight)[..., None, None]
            right += b[..., None] * (along * (growth * s.weight)[..., None, None])
            local = s.curl.transpose(0, 2, 1) @ right.reshape(t, 2 * q, -1)
            matrix.data += np.bincount(s.place.ravel(), local.ravel(), len(matrix.data) + 1)[:-1]
        return matrix


def make_side(
    mesh: Mesh, materials: Mapping[str, Material], radius: float, *, sign: int = 1, order: int = 2
) -> Side:
    """Return one side of the gap ready to be solved.

    Args:
        mesh: all copies of the cell, mm.
        materials: one for every label of the mesh.
        radius: of the circle towards the gap in mm, the mesh's inner or outer edge; on the
            opposite edge A is 0.
        sign: +1 if the field repeats from sector to sector, -1 if it changes sign.
        order: 2, or 1 for straight triangles on the corners alone.

    Raises:
        GeometryError: a label without material, a radius that is not the mesh's edge, a sign that
            a whole circle cannot have, or a half cell.
    """
    low, high = _checked(mesh, materials, radius, sign)
    element = mesh.triangles if order == 2 else mesh.triangles[:, :3]
    far = low if abs(radius - high) < abs(radius - low) else high
    circle = mesh.circle(radius)[:: 3 - order]
    unknown, factor, size = _unknowns(mesh, element, far, sign)
    unknown = _ordered(unknown, size, element, circle)
    curl, weight, spots, shapes = _elements(mesh, order)
    numbers = unknown[element]
    signed = (curl * factor[element][:, None, :, None]).transpose(0, 1, 3, 2)
    signed = np.ascontiguousarray(signed).reshape(len(element), -1, element.shape[1])
    rows, starts, place = _pattern(numbers, size)
    saturable = []
    for k, name in enumerate(mesh.names):
        if isinstance(material := materials[name], Curve):
            t = np.flatnonzero(mesh.label == k)
            saturable.append(Saturable(material, numbers[t], signed[t], weight[t], place[t]))
    nu, driven = _linear_fields(mesh, materials, spots)
    by_point = np.repeat(nu * weight, 2, axis=1)
    local = signed.transpose(0, 2, 1) @ (signed * by_point[..., None])
    data = np.bincount(place.ravel(), local.ravel(), len(rows) + 1)[:-1].astype(float)
    flow = (driven * weight[..., None]).reshape(len(element), 1, -1) @ signed
    return Side(
        mesh, dict(materials), radius, order, sign, size, unknown, factor, circle, element, curl,
        weight, spots, tuple(saturable),
        _sparse(data, rows, starts, size),
        np.bincount(numbers.ravel(), flow.ravel(), size + 1)[:-1].astype(float),
        _means(mesh, numbers, shapes * factor[element][:, None, :], weight, size),
    )  # fmt: skip


def _checked(
    mesh: Mesh, materials: Mapping[str, Material], radius: float, sign: int
) -> tuple[float, float]:
    """Return the mesh's smallest and largest radius in mm; raises GeometryError, see `make_side`."""
    if missing := [n for n in mesh.names if n not in materials]:
        raise GeometryError(f"no material is given for {', '.join(missing)}")
    if sign not in (1, -1) or (len(mesh.first) == 0 and sign != 1):
        raise GeometryError(f"the field of this mesh cannot have the sign {sign}")
    if len(mesh.first) != len(mesh.last):
        raise GeometryError(
            "the rays of the cell do not fit together: a half cell must be mirrored"
        )
    low, high = mesh.radii()
    if min(abs(radius - low), abs(radius - high)) > 1e-6 * high:
        raise GeometryError("the gap's circle is not an edge of the mesh", value=radius, limit=high)
    return low, high


def _unknowns(mesh: Mesh, element: Index, far: float, sign: int) -> tuple[Index, Array, int]:
    """Return per node its unknown and factor, and the number of unknowns."""
    free = np.zeros(len(mesh.nodes), bool)
    free[element] = True
    free[mesh.circle(far)] = False
    free[mesh.last] = False
    size = int(free.sum())
    unknown = np.where(free, np.cumsum(free) - 1, size)
    unknown[mesh.last] = unknown[mesh.first]
    factor = np.ones(len(mesh.nodes))
    factor[mesh.last] = sign
    return unknown, factor, size


def _ordered(unknown: Index, size: int, element: Index, circle: Index) -> Index:
    """Return the unknowns of the nodes numbered anew for elimination, the circle's last."""
    from scipy.sparse import csc_array
    from scipy.sparse.linalg import splu

    numbers = unknown[element]
    rows = np.broadcast_to(numbers[:, :, None], (*numbers.shape, numbers.shape[1]))
    columns = rows.transpose(0, 2, 1)
    keep = (rows < size) & (columns < size)
    # Only the pattern counts; with this diagonal any such matrix is positive.
    values = np.where(rows == columns, float(size), 1e-3)[keep]
    matrix = csc_array((values, (rows[keep], columns[keep])), shape=(size, size))
    factors = splu(matrix, permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True})
    rank = np.asarray(factors.perm_c, np.intp)
    last = np.zeros(size, np.intp)
    last[unknown[circle][unknown[circle] < size]] = size
    place = np.empty(size + 1, np.intp)
    place[np.argsort(rank + last)] = np.arange(size)
    place[size] = size
    return place[unknown]


def _elements(mesh: Mesh, order: int) -> tuple[Array, Array, Array, Array]:
    """Return curls (1/m), weights (m2), places (m) and shape functions at the points."""
    from skfem import Basis, ElementTriP1, ElementTriP2, MeshTri, MeshTri2

    nodes = mesh.nodes * 1e-3
    corners, where = np.unique(mesh.triangles[:, :3], return_inverse=True)
    parts = (np.ascontiguousarray(a.T) for a in (nodes[corners], where.reshape(-1, 3)))
    straight = MeshTri(*parts, sort_t=False)
    if order == 1:
        basis = Basis(straight, ElementTriP1(), intorder=1)
    else:
        bent = MeshTri2.from_mesh(straight)
        bent.doflocs[:, bent.dofs.element_dofs.T] = nodes[mesh.triangles].transpose(2, 0, 1)
        basis = Basis(bent, ElementTriP2(), intorder=4)
    shapes = [f[0] for f in basis.basis]
    grad = np.stack([np.asarray(f.grad) for f in shapes]).transpose(2, 3, 0, 1)
    curl = np.stack([grad[..., 1], -grad[..., 0]], axis=-1)
    spots = np.asarray(basis.global_coordinates()).transpose(1, 2, 0)
    values = np.stack([np.broadcast_to(np.asarray(f), basis.dx.shape) for f in shapes], axis=-1)
    return curl, np.array(basis.dx), spots, values


def _linear_fields(
    mesh: Mesh, materials: Mapping[str, Material], spots: Array
) -> tuple[Array, Array]:
    """Return reluctivity (t, q), 0 where it is a curve's, and Br over mu (t, q, 2) of magnets."""
    reluctivity, driven = np.zeros(spots.shape[:2]), np.zeros(spots.shape)
    for k, name in enumerate(mesh.names):
        t, material = np.flatnonzero(mesh.label == k), materials[name]
        if isinstance(material, Curve):
            continue
        reluctivity[t] = 1 / (MU0 * material.mu_r)
        if isinstance(material, Magnet):
            axis = mesh.cell[t] * (mesh.span / mesh.cells) + material.axis
            towards = np.stack([np.cos(axis), np.sin(axis)], axis=1)[:, None, :]
            if material.pattern == "radial":
                towards = spots[t] / np.hypot(spots[t][..., 0], spots[t][..., 1])[..., None]
            strength = material.remanence / (MU0 * material.mu_r) * (1 - 2 * (mesh.cell[t] % 2))
            driven[t] = strength[:, None, None] * towards
    return reluctivity, driven


def _pattern(numbers: Index, size: int) -> tuple[Index, Index, Index]:
    """Return rows and column starts of the sparse tangent, and where each local entry goes."""
    rows = np.broadcast_to(numbers[:, :, None], (*numbers.shape, numbers.shape[1]))
    columns = rows.transpose(0, 2, 1)
    outside = (rows == size) | (columns == size)
    found, place = np.unique(
        np.where(outside, size * size, columns * size + rows), return_inverse=True
    )
    found = found[found < size * size]
    starts = np.searchsorted(found, np.arange(size + 1) * size)
    return found % size, starts, place.reshape(rows.shape)


def _sparse(data: Array, rows: Index, starts: Index, size: int) -> Any:
    """Return a square sparse matrix by columns."""
    from scipy.sparse import csc_array

    return csc_array((data, rows, starts), shape=(size, size))


def _means(mesh: Mesh, numbers: Index, shapes: Array, weight: Array, size: int) -> dict[str, Any]:
    """Return per label the matrix of A's mean in each copy of it."""
    from scipy.sparse import csr_array

    found = {}
    share = np.einsum("tq,tqk->tk", weight, shapes)
    for k, name in enumerate(mesh.names):
        t = np.flatnonzero(mesh.label == k)
        cells = np.broadcast_to(mesh.cell[t][:, None], numbers[t].shape)
        area = np.bincount(mesh.cell[t], weight[t].sum(axis=1), mesh.cells)
        keep = numbers[t] < size
        values = (share[t] / area[cells])[keep]
        found[name] = csr_array((values, (cells[keep], numbers[t][keep])), shape=(mesh.cells, size))
    return found
