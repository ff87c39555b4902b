"""Statics of the axle: what the bearings hand to it, and bending and torque along it.

The axle stands still, so it is a beam. The rotor is a stiff lever on two bearings; the force F
meets the rotor anywhere, even beyond the axle, and reaches the axle only through the bearings:

    frame (held = "face A")                         F, at `overhang` from face A
    ###|                                            |
    ###|  R1 = F (z2 - f) / (z2 - z1)               v
    ###|====o=======(slot)====[stack]====o=====     . . . rotor, wheel head
    ###|    ^ z1                         ^ z2
    ###|                                   R2 = F (f - z1) / (z2 - z1)
       `grip`: the frame ends here; what lies inside it is the frame's

    held = "both ends": two such frames that hold the axle against turning but, on the safe side,
    let it tilt: a beam on two supports at the edges of the frames.

Torque goes from the stack (far end of its seat, the safe side) to the frame. With both ends held
the end that has flats takes it; if both have, or none, either may have to take all of it.

The force along the axle runs between the frame and the bearing farther from it, with both ends held
between the frames (the safe side: either end may take it all).

Assumed: a bearing pushes at the middle of its seat; all forces lie in one plane. Left out: weight of axle and stack, magnetic pull of an off-centre rotor.
Source: equilibrium of a beam (any textbook of statics). Units: mm, N, N mm.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass

from geometry.finding import Finding
from recipes.design.axle import Axle
from recipes.refusal import Refused, stop
from recipes.shaft.sections import SAME, flat_features, seat_features, stator_feature


@dataclass(frozen=True)
class Run:
    """A quantity along the axle, straight between its knots; a repeated z is a jump.

    Args:
        z: from face A in mm, not falling.
        value: at each z.
    """

    z: tuple[float, ...]
    value: tuple[float, ...]

    def at(self, z: float, side: int = 0) -> float:
        """Return the value at `z`: just before it (side -1), just after it (+1), or the larger."""
        first, past = bisect_left(self.z, z - SAME), bisect_right(self.z, z + SAME)
        if first == past:  # no knot there: both sides agree
            return self._between(z, first - 1)
        if side:
            return self._one(z, first if side < 0 else past - 1, side)
        low, high = self._one(z, first, -1), self._one(z, past - 1, 1)
        return low if abs(low) > abs(high) else high

    @property
    def most(self) -> float:
        """Largest magnitude."""
        return max(abs(v) for v in self.value)

    def _one(self, z: float, k: int, side: int) -> float:
        if 0 <= k < len(self.z) and abs(self.z[k] - z) <= SAME:
            return self.value[k]
        return self._between(z, k - 1 if side < 0 else k)

    def _between(self, z: float, low: int) -> float:
        """Return the value at `z` on the straight piece that begins at knot `low`; 0 beyond all."""
        if not 0 <= low < len(self.z) - 1:
            return 0.0
        share = (z - self.z[low]) / (self.z[low + 1] - self.z[low])
        return self.value[low] + (self.value[low + 1] - self.value[low]) * share


@dataclass(frozen=True)
class AxleLoad:
    """Forces on the axle and what they do inside it.

    Args:
        force_at: where the force meets the rotor, from face A in mm.
        bearings: (z in mm, force on the axle in N, with the load's sense) of each bearing.
        frames: (z of the edge in mm, force on the axle in N, moment on it in N mm, counted as
            force times z).
        moment, shear, torque, axial: along the axle in N mm and N.
    """

    force_at: float
    bearings: tuple[tuple[float, float], ...]
    frames: tuple[tuple[float, float, float], ...]
    moment: Run
    shear: Run
    torque: Run
    axial: Run


def axle_load(axle: Axle, stack_length: float) -> AxleLoad:
    """Return the statics of an axle whose two bearing seats do not overlap; stack's length in mm.

    Raises:
        Refused: a frame that covers a bearing.
    """
    if stops := frame_findings(axle):
        raise Refused(*stops)
    load, length = axle.load, axle.length
    at = length - load.overhang if load.held == "face B" else load.overhang
    z1, z2 = sorted((f.start + f.end) / 2 for f in seat_features(axle))
    second = load.force * (at - z1) / (z2 - z1)
    bearings = ((z1, load.force - second), (z2, second))
    frames = _frames(axle, bearings)
    moment, shear = _runs(frames, bearings, length)
    torque, axial = _torque(axle, stack_length, frames), _axial(axle, frames)
    return AxleLoad(at, bearings, frames, moment, shear, torque, axial)


def frame_findings(axle: Axle) -> list[Finding]:
    """Return a `stop` for each frame that reaches over a bearing."""
    load, length = axle.load, axle.length
    seats = seat_features(axle)
    if load.grip <= SAME or not seats:
        return []
    room = {
        "face A": min(f.start for f in seats),
        "face B": length - max(f.end for f in seats),
    }
    faces = ("face A", "face B") if load.held == "both ends" else (load.held,)
    return [
        stop(
            "frame-over-bearing",
            "axle.load.grip",
            f"axle.load.grip = {load.grip:g} mm: the frame at {face} would reach over the bearing, whose "
            f"seat starts {room[face]:g} mm from that face",
            value=load.grip,
            limit=room[face],
            fix=f"use at most {room[face]:g} mm, or move the bearing",
        )
        for face in faces
        if load.grip > room[face] + SAME
    ]


Frames = tuple[tuple[float, float, float], ...]


def _frames(axle: Axle, bearings: tuple[tuple[float, float], ...]) -> Frames:
    """Return the reaction of each frame: (z of its edge, force, moment) as of `AxleLoad`."""
    load, a, b = axle.load, axle.load.grip, axle.length - axle.load.grip
    total = sum(r for _, r in bearings)
    if load.held == "both ends":
        left = sum(r * (b - k) for k, r in bearings) / (b - a)
        return (a, -left, 0.0), (b, left - total, 0.0)
    edge = b if load.held == "face B" else a
    return ((edge, -total, sum(r * (edge - k) for k, r in bearings)),)


def _runs(
    frames: Frames, bearings: tuple[tuple[float, float], ...], length: float
) -> tuple[Run, Run]:
    """Return bending and shear by their values on both sides of each knot.

    Both follow from the forces before the knot; bending that opens upward counts +. Beyond the last
    force nothing is left, to the last bit.
    """
    forces = sorted([*frames, *((z, r, 0.0) for z, r in bearings)])
    places, bending, shear = [], [], []
    for z in sorted({0.0, length, *(z for z, _, _ in forces)}):
        for side in (-1, 1):
            before = [f for f in forces if f[0] < z - SAME or (abs(f[0] - z) <= SAME and side > 0)]
            if len(before) == len(forces):
                before = []
            places.append(z)
            bending.append(sum(m - f * (z - k) for k, f, m in before))
            shear.append(-sum(f for _, f, _ in before))
    return Run(tuple(places), tuple(bending)), Run(tuple(places), tuple(shear))


def _torque(axle: Axle, stack_length: float, frames: Frames) -> Run:
    """Return the torque along the axle: full between frame and far end of the stator seat."""
    load, length = axle.load, axle.length
    seat, most = stator_feature(axle, stack_length), load.torque * 1000.0
    spans = {0: (frames[0][0], seat.end), 1: (seat.start, frames[-1][0])}
    ends = [1] if load.held == "face B" else [0]
    if load.held == "both ends":
        flats = [0 if (f.start + f.end) / 2 < length / 2 else 1 for f in flat_features(axle)]
        ends = flats if len(set(flats)) == 1 else [0, 1]
    low, high = min(spans[k][0] for k in ends), max(spans[k][1] for k in ends)
    return Run((0.0, low, low, high, high, length), (0.0, 0.0, most, most, 0.0, 0.0))


def _axial(axle: Axle, frames: Frames) -> Run:
    """Return the force along the axle, all of it between frame and the farther bearing."""
    length, most = axle.length, axle.load.axial
    middles = sorted((f.start + f.end) / 2 for f in seat_features(axle))
    low, high = {
        "face A": (frames[0][0], middles[-1]),
        "face B": (middles[0], frames[-1][0]),
        "both ends": (frames[0][0], frames[-1][0]),
    }[axle.load.held]
    return Run((0.0, low, low, high, high, length), (0.0, 0.0, most, most, 0.0, 0.0))
