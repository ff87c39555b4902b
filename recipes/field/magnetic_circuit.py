"""The field by hand: magnets between smooth rings in closed form, then openings and steel as drops.

For every harmonic n of the magnets (one pole pair: n = p, 3p, 5p ...) A passes three layers of air,
magnet and air between rings of perfect iron; radii r, ch and sh of n ln(r2/r1), S = (r / mu_r) dA/dr:

    A2 = A1 ch + S1 (mu_r / n) sh        S2 = S1 ch + A1 (n / mu_r) sh          (+ the magnets' part)

with S = 0 at both rings. Derived after Zhu & Howe, IEEE Transactions on Magnetics 29 (1993) 124-158:
leakage from magnet to magnet and the round of the gap are in it. Slot openings take Carter's
factor from the flux, and from the angle over which a tooth catches it. Steel takes a share of what the magnet drives (Br t / mu0 mu_r along the flux):

    s = 1 - (H l of tooth, yoke, ring at s times their flux) / (Br t / mu0 mu_r)

Not counted: leakage through tips and slots, the wave of a full tooth; `SPREAD` says what that is worth.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from geometry.errors import GeometryError
from geometry.field.materials import MU0
from recipes.field.cross_section import CrossSection
from recipes.field.materials import ring_points, sheet_points
from recipes.refusal import Refused, misfit
from recipes.rotor.magnet_ring import places
from recipes.rotor.voltage import Prediction
from recipes.tables.reader import TableError
from recipes.tables.steel import Steel, steel_grade
from recipes.winding.circuit import Circuit, Connection
from recipes.winding.layout import WindingLayout, winding_factors

Array = NDArray[np.float64]

#: Taken for a steel that is not in the table: the least of all grades at 10000 A/m (EN 10106).
PLAIN: Final = "M270-35A"

#: Harmonics of the magnets that are added up.
ORDERS: Final = range(1, 30, 2)

#: Beyond this n ln(r2/r1) a harmonic has faded on its way through the gap (e^-30 of it is left).
FADED: Final = 30.0

#: Share of the drop along the fullest tooth, yoke and ring that the fundamental feels: their
#: neighbours are less full. Fitted to the field of random designs, `tests.bench.circuit`.
FELT: Final = 0.55

#: Deviation of the speed constant from the field's that 19 of 20 random designs keep: where steel takes
#: nothing, and how much more for the share that it takes.
SPREAD, SPREAD_FULL = 0.12, 0.4


@dataclass(frozen=True)
class MagneticCircuit:
    """What the closed solution says; all per metre of length, T, m.

    Args:
        linkages: peak flux of the harmonics in `ORDERS` through a pole pitch at the teeth, Wb/m.
        share: s of the module: what steel leaves of the field without it.
        tooth: mean flux density of the fullest tooth where it is narrowest, in its steel.
        full: polarisation of the sheet at 10000 A/m.
        metres: length of the field.
    """

    linkages: tuple[float, ...]
    share: float
    tooth: float
    full: float
    metres: float

    def speed_constant(self, turns: int, layout: WindingLayout, connection: Connection) -> float:
        """Return speed over voltage, 1/min per V; see the conventions of `recipes.field`.

        Args:
            turns: in series in one phase.
            layout: of the winding.
            connection: of the phases.
        """
        # a third harmonic cancels between leads, and in delta takes itself up
        orders = [k for k in ORDERS if k % 3]
        factors = winding_factors(layout, orders)
        flux = dict(zip(ORDERS, self.linkages, strict=True))
        volts = math.hypot(*(k * factors[k].winding * flux[k] for k in orders))
        phase = layout.pole_pairs * turns * self.metres * volts
        return 30 / math.pi / (phase * (math.sqrt(3) if connection == "wye" else 1.0))

    def phase_flux(self, turns: float) -> float:
        """Return the peak flux linked by a phase of so many effective turns in series, Wb."""
        return turns * self.linkages[0] * self.metres


def magnetic_circuit(
    section: CrossSection, grade: str, stacking: float, remanence: float | None = None
) -> MagneticCircuit:
    """Return the field by hand.

    Args:
        section: everything that shapes the field.
        grade: of the sheet.
        stacking: steel's share of the stack's height.
        remanence: of the magnets, T; left out: the middle of their grade.

    Raises:
        Refused: no steel is left below the slots.
    """
    floor = section.slot.half[-1].end.length()
    if section.inner >= floor:
        wrong = GeometryError("no yoke is left", value=section.inner, limit=floor)
        raise Refused(misfit(wrong, "lamination, hub"))
    steel = _steel(grade)
    remanence = remanence or section.ring.magnet.remanence_T
    slot = section.slot
    carter = _carter(section, _air(section))
    waves = [(n, a / carter, b / carter) for n, a, b in _waves(section, remanence)]
    across = math.pi / slot.slots
    caught = across / carter
    # flux of one tooth pitch, half a pole at the teeth, half a pole in the ring, Wb/m
    tooth = sum(2 * a * math.sin(n * caught) for n, a, _ in waves)
    sign = [(-1) ** k for k in range(len(waves))]
    yoke = sum(a * s for s, (_, a, _) in zip(sign, waves, strict=True))
    ring = sum(b * s for s, (_, _, b) in zip(sign, waves, strict=True))
    widths = (slot.tooth_width, floor - section.inner, section.ring_thickness)
    sheet, solid = sheet_points(steel), ring_points()
    pitch = 2 * floor * math.sin(across)
    lengths = (
        section.stator_radius - floor,
        math.pi * (floor + section.inner) / 2 / section.poles,
        math.pi * (section.bore + section.rim) / 2 / section.poles,
    )
    drops = [
        _drop(points, flux, width, room, share, length)
        for points, flux, width, room, share, length in zip(
            (sheet, sheet, solid),
            (tooth, yoke, ring),
            widths,
            (pitch, widths[1], widths[2]),
            (stacking, stacking, 1.0),
            lengths,
            strict=True,
        )
    ]
    magnet = section.ring.magnet
    thickness = (section.rotor.magnet_thickness or 0.0) / 1e3
    drive = remanence * thickness / (MU0 * magnet.recoil_permeability)
    share = _share(lambda s: sum(drop(s) for drop in drops) * FELT / drive)
    return MagneticCircuit(
        tuple(2 * share * a * _caught(n, across, caught) for n, a, _ in waves),
        share,
        tooth=1e3 * share * tooth / widths[0] / stacking,
        full=float(steel.polarization_10000_T),
        metres=section.length / 1e3,
    )


def predicted_constant(
    section: CrossSection, grade: str, stacking: float, circuit: Circuit, layout: WindingLayout
) -> Prediction:
    """Return the speed constant by hand; its band: remanence, air gap, and `SPREAD`.

    Args:
        section: everything that shapes the field.
        grade: of the sheet.
        stacking: steel's share of the stack's height.
        circuit, layout: of the winding.
    """
    turns = circuit.turns_in_series
    made = [
        magnetic_circuit(section.with_gap(more), grade, stacking, remanence)
        for remanence, more in section.band
    ]
    spread = SPREAD + SPREAD_FULL * (1 - made[1].share)
    least, middle, greatest = (m.speed_constant(turns, layout, circuit.connection) for m in made)
    return Prediction(middle, least * (1 - spread), greatest * (1 + spread), "magnetic circuit")


def _steel(grade: str) -> Steel:
    try:
        return steel_grade(grade)
    except TableError:
        return steel_grade(PLAIN)


def _waves(section: CrossSection, remanence: float) -> list[tuple[float, float, float]]:
    """Return harmonic n and amplitudes of A at the teeth and at the ring, Wb/m, for perfect iron."""
    ring, rotor, pairs = section.ring, section.rotor, section.poles // 2
    thick, mu_r = rotor.magnet_thickness or 0.0, ring.magnet.recoil_permeability
    half, middle = (rotor.magnet_width or 0.0) / 2, ring.face + thick / 2
    flat = rotor.magnet_shape == "block"
    # a flat face lies farther out at its edges: the mean over its angle
    face = ring.face * (math.asinh(half / ring.face) / ring.half_angle if flat else 1.0)
    angle = math.atan2(half, middle) if flat else math.asin(min(1.0, half / middle))
    layers = (
        (section.stator_radius, face, 1.0),
        (face, face + thick, mu_r),
        (face + thick, max(section.bore, face + thick + 1e-6), 1.0),
    )
    turns = places(section.poles, rotor.magnets_per_pole, 0)
    found = []
    across = math.log(layers[-1][1] / layers[0][0])
    for k in ORDERS:
        n = k * pairs + (1e-6 if k * pairs == 1 else 0.0)
        if n * across > FADED:
            found.append((n, 0.0, 0.0))
            continue
        low, high = math.sin((n - 1) * angle) / (n - 1), math.sin((n + 1) * angle) / (n + 1)
        strength = 2 * pairs / math.pi * remanence * sum(math.cos(n * turn) for turn in turns)
        radial, tangential = strength * (low + high), strength * (high - low)
        one, bare = _through(n, layers, 1.0, 0.0, 0.0), _through(n, layers, 0.0, radial, tangential)
        a = -bare[1] / one[1]  # so much at the teeth that no field strength is left at the ring
        found.append((n, a, a * one[0] + bare[0]))
    return found


def _caught(n: float, pitch: float, caught: float) -> float:
    """Return flux through the angle caught (half, rad) over that through the tooth pitch, order n."""
    whole = math.sin(n * pitch)
    return abs(math.sin(n * caught) / whole) if abs(whole) > 1e-9 else 1.0


def _air(section: CrossSection) -> float:
    """Return gap and magnet as so much air, mm."""
    thick, mu_r = section.rotor.magnet_thickness or 0.0, section.ring.magnet.recoil_permeability
    return section.ring.gap + thick / mu_r


def _through(
    n: float,
    layers: tuple[tuple[float, float, float], ...],
    a: float,
    radial: float,
    tangential: float,
) -> tuple[float, float]:
    """Return A and S at the ring from A = `a`, S = 0 at the teeth, for a harmonic of the remanence (T)."""
    s = 0.0
    for k, (low, high, mu_r) in enumerate(layers):
        slope = (tangential + n * radial) / (n * n - 1) if k == 1 else 0.0
        push = (slope + tangential) / mu_r if k == 1 else 0.0
        a, s = a - slope * low / 1e3, s - push * low / 1e3
        x = n * math.log(high / low)
        ch, sh = math.cosh(x), math.sinh(x)
        a, s = a * ch + s * mu_r / n * sh, s * ch + a * n / mu_r * sh
        a, s = a + slope * high / 1e3, s + push * high / 1e3
    return a, s


def _carter(section: CrossSection, air: float) -> float:
    """Return Carter's factor of the slot openings over so much air (any book of machines)."""
    pitch = 2 * math.pi * section.stator_radius / section.slot.slots
    open_ = section.slot.opening / (2 * air)
    lost = 4 / math.pi * (open_ * math.atan(open_) - math.log(math.hypot(1.0, open_))) * air
    return pitch / (pitch - lost)


def _drop(
    points: tuple[list[float], list[float]],
    flux: float,
    width: float,
    room: float,
    share: float,
    length: float,
) -> Callable[[float], float]:
    """Return what a piece of steel takes, A, as a function of its share of the flux.

    Args:
        points: H (A/m) and J (T) of the steel.
        flux: in it, Wb/m.
        width, length: of the piece, mm.
        room: width of steel and of the air beside it, mm.
        share: of the height that is steel.
    """
    h = np.array([0.0, *points[0], 100 * points[0][-1]])
    j = np.array([0.0, *points[1], points[1][-1]])
    carried = (share * width * j + max(room, width) * MU0 * h) / 1e3
    return lambda s: float(np.interp(s * flux, carried, h)) * length / 1e3


def _share(lost: Callable[[float], float]) -> float:
    """Return s = 1 - lost(s), by halving: `lost` rises."""
    low, high = 1e-6, 1.0
    for _ in range(30):
        s = (low + high) / 2
        low, high = (s, high) if s + lost(s) < 1 else (low, s)
    return low
