"""The ring of magnets: coverage, air gap at worst case, flux in the ring, pull on the glue.

Places (`block`: flat face towards the stator; its corners touch the ring first):

    face = stator radius + air gap          ring bore / 2 = hypot(face + thickness + glue, width / 2)

Flux, a stated simple model: each magnet faces an unslotted stator across the gap, no leakage,
steel without resistance; so the field in it is B = Br t / (t + mu_r g), and half of a pole's flux
turns each way into the ring: B_ring = B w / (2 h) for a pole w wide and a ring h thick. Br is the
greatest of the grade, so the ring comes out thick enough.

Glue: the teeth pull each magnet inward with B^2 / (2 mu_0) times its area, spinning or not. Turning
presses a magnet outward, onto the ring; that pull, m omega^2 r, is held against the glue as well, as
if no steel stood behind it (a magnet on a printed carrier, or proud of its seat). Not judged: a
magnet hit by the stator, shear by torque, cracks, shaking.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from recipes.refusal import Refused, finding
from recipes.tables.magnet import Magnet, magnet_grade
from recipes.tables.process import process
from recipes.tables.reader import TableError

if TYPE_CHECKING:
    from recipes.job import Job

#: Highest flux density that plain steel carries without starving the gap, T (common practice).
RING_FLUX = 1.5

#: Magnetic constant, T m / A.
MU_0 = 4e-7 * math.pi

#: Density of steel, kg/m3.
STEEL = 7850.0


@dataclass(frozen=True)
class RotorRing:
    """What follows from the magnets; mm, T, N, MPa.

    Args:
        magnet: the grade.
        count: magnets in all.
        face, bore: radii of the middle of a magnet's face and of the ring's bore.
        half_angle: half the angle that one magnet takes where neighbours come nearest, rad.
        coverage: share of a pole pitch that its magnets cover at their faces.
        gap, gap_least, gap_likely: air gap; all tolerances against it; their root of squares.
        field: flux density in the magnet.
        thickness: of the ring for `RING_FLUX`.
        ring_field: flux density in the ring as given; None without ring_thickness.
        mass: of one magnet, kg.
        pull_in, pull_out: of the teeth, and of turning at top speed, on one magnet, N.
        glue_stress: the greater of both over the magnet's area, MPa.
        hoop: stress in the ring at top speed by turning, magnets included, MPa; None as above.
    """

    magnet: Magnet
    count: int
    face: float
    bore: float
    half_angle: float
    coverage: float
    gap: float
    gap_least: float
    gap_likely: float
    field: float
    thickness: float
    ring_field: float | None
    mass: float
    pull_in: float
    pull_out: float
    glue_stress: float
    hoop: float | None


def rotor_ring_of(job: Job) -> RotorRing | None:
    """Return what follows from the magnets; None if the design gives none.

    Raises:
        Refused: an unknown grade, or a ring too small for its magnets.
    """
    rotor, lam, motor = job.design.rotor, job.design.lamination, job.design.motor
    width, thick = rotor.magnet_width, rotor.magnet_thickness
    if width is None or thick is None:
        return None
    magnet = _grade(rotor.magnet_grade)
    face, bore = _places(job, width, thick)
    count = motor.poles * rotor.magnets_per_pole
    block = rotor.magnet_shape == "block"
    half = math.atan2(width / 2, face) if block else math.asin(min(1.0, width / 2 / face))
    gap = face - lam.outer_diameter / 2
    errors = _tolerances(job)
    length = rotor.magnet_length or lam.stack_length
    field = magnet.remanence_greatest_t * thick / (thick + magnet.recoil_permeability * gap)
    flux_width = width * rotor.magnets_per_pole
    mass = magnet.density_kg_per_m3 * width * thick * length * 1e-9
    omega, area = motor.top_speed * math.pi / 30, width * length
    pull_in = field**2 / (2 * MU_0) * area * 1e-6
    pull_out = mass * omega**2 * (face + thick / 2) * 1e-3
    h = rotor.ring_thickness
    return RotorRing(
        magnet=magnet,
        count=count,
        face=face,
        bore=bore,
        half_angle=half,
        coverage=2 * half * count / (2 * math.pi),
        gap=gap,
        gap_least=gap - sum(errors),
        gap_likely=gap - math.hypot(*errors),
        field=field,
        thickness=field * flux_width / (2 * RING_FLUX),
        ring_field=None if h is None else field * flux_width / (2 * h),
        mass=mass,
        pull_in=pull_in,
        pull_out=pull_out,
        glue_stress=max(pull_in, pull_out) / area,
        hoop=None if h is None else _hoop(bore, h, omega, count * pull_out, length),
    )


def _grade(name: str) -> Magnet:
    try:
        return magnet_grade(name)
    except TableError as error:
        raise Refused(
            finding(
                "stop", "no-such-magnet", "rotor.magnet_grade", name, None,
                f"rotor.magnet_grade = {name!r}: {error}", "use a grade of the table", "maker data",
                "maker",
            )
        ) from None  # fmt: skip


def _places(job: Job, width: float, thick: float) -> tuple[float, float]:
    """Return the radii of the magnets' faces and of the ring's bore."""
    rotor = job.design.rotor
    behind, half = thick + rotor.glue_line, width / 2 if rotor.magnet_shape == "block" else 0.0
    if rotor.ring_bore is None:
        face = job.design.lamination.outer_diameter / 2 + rotor.air_gap
        return face, math.hypot(face + behind, half)
    bore, least = rotor.ring_bore / 2, math.hypot(behind, half)
    stator = job.design.lamination.outer_diameter / 2
    if bore <= least or math.sqrt(bore**2 - half**2) - behind <= stator:
        need = 2 * math.hypot(stator + rotor.air_gap + behind, half)
        raise Refused(
            finding(
                "stop", "ring-too-small", "rotor.ring_bore", rotor.ring_bore, need,
                f"rotor.ring_bore = {rotor.ring_bore:g} mm: magnets glued into it would touch the stator",
                f"use {need:.2f} mm for an air gap of {rotor.air_gap:g} mm, or thinner magnets",
            )
        )  # fmt: skip
    return math.sqrt(bore**2 - half**2) - behind, bore


def _tolerances(job: Job) -> tuple[float, ...]:
    """Return all that may close the gap on one side, mm: magnet, glue, ring, sheet, off centre."""
    rotor = job.design.rotor
    return (
        rotor.magnet_tolerance,
        rotor.glue_line,
        rotor.ring_bore_tolerance / 2,
        # as in the rules of the sheet: the cut edge may lie out by the whole tolerance
        process(job.design.shop.process).tolerance_mm,
        rotor.off_centre,
    )


def _hoop(bore: float, h: float, omega: float, pull: float, length: float) -> float:
    """Return the stress in MPa of a thin ring that turns and carries magnets that pull `pull` N."""
    middle = (bore + h / 2) * 1e-3
    own = STEEL * (omega * middle) ** 2 * 1e-6
    # all round, the pull per radian is carried by the two cut faces: T = pull / (2 pi)
    return own + pull / (2 * math.pi) / (h * length)


def rotor_ring_results(job: Job) -> dict[str, float | int | str]:
    """Return figures of the magnet ring; none without magnets.

    Raises:
        Refused: see `rotor_ring_of`.
    """
    ring = rotor_ring_of(job)
    if ring is None:
        return {}
    results: dict[str, float | int | str] = {
        "magnets": ring.count,
        "magnet_coverage": ring.coverage,
        "magnet_mass_all_kg": ring.mass * ring.count,
        "ring_bore_diameter_mm": 2 * ring.bore,
        "air_gap_mm": ring.gap,
        "air_gap_worst_mm": ring.gap_least,
        "air_gap_likely_least_mm": ring.gap_likely,
        "magnet_flux_density_t": ring.field,
        "ring_thickness_needed_mm": ring.thickness,
        "magnet_pull_by_teeth_n": ring.pull_in,
        "magnet_pull_by_turning_n": ring.pull_out,
        "glue_stress_mpa": ring.glue_stress,
        "magnet_hottest_c": ring.magnet.hottest_c,
    }
    if ring.ring_field is not None and ring.hoop is not None:
        results |= {"ring_flux_density_t": ring.ring_field, "ring_hoop_stress_mpa": ring.hoop}
    return results
