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
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from geometry.finding import Finding
from recipes.design.lamination import Lamination
from recipes.design.rotor import Rotor
from recipes.design.winding import Motor
from recipes.refusal import Refused, finding, stop, warn
from recipes.tables.magnet import Magnet, magnet_grade
from recipes.tables.reader import TableError

#: Highest flux density that plain steel carries without starving the gap, T (common practice).
RING_FLUX = 1.5

#: Magnetic constant, T m / A.
MU_0 = 4e-7 * math.pi

#: Density of steel, kg/m3.
STEEL = 7850.0

#: Share of the pole pitch that magnets usefully cover (common practice).
LEAST_COVER, MOST_COVER = 0.65, 0.97

#: Clear gap that must be left at worst case, mm; the gap may differ from that asked for by so much.
LEAST_GAP, SAME_GAP = 0.3, 0.05

#: Stress that a ring of plain steel, perhaps welded, may carry by turning, MPa (common practice).
HOOP_LIMIT = 60.0

#: A magnet is kept this far below the temperature of its grade, K (common practice).
HEAT_MARGIN = 20.0

#: Said at the step where magnets are handled (common practice).
CAUTIONS = (
    "Magnets jump together and pinch or shatter: one at a time, eye protection, 30 cm from cards, "
    "watches and pacemakers. Never grind or drill them: the dust burns.",
    "Ring and stator slam together: guide the ring over the stator with jacking screws, fingers out.",
    "First run behind a guard, nobody in line with the ring; at rest, tap each magnet and listen "
    "for a loose one.",
)

_practice = partial(finding, source="common practice", confidence="practice")
_model = partial(
    warn,
    source="simple model: smooth stator, no leakage, steel without resistance; common practice",
    confidence="practice",
)


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


def rotor_ring(
    rotor: Rotor, motor: Motor, lamination: Lamination, cut_tolerance: float
) -> RotorRing | None:
    """Return what follows from the magnets; None if the design gives none.

    Args:
        rotor, motor, lamination: tables of the design.
        cut_tolerance: how far a cut edge may lie out, mm; as in the rules of the sheet.

    Raises:
        Refused: an unknown grade, or a ring too small for its magnets.
    """
    width, thick, h = rotor.magnet_width, rotor.magnet_thickness, rotor.ring_thickness
    if width is None or thick is None:
        return None
    try:
        magnet = magnet_grade(rotor.magnet_grade)
    except TableError as error:
        raise Refused(
            stop(
                "no-such-magnet",
                "rotor.magnet_grade",
                f"rotor.magnet_grade = {rotor.magnet_grade!r}: {error}",
                value=rotor.magnet_grade,
                fix="use a grade of the table",
                source="maker data",
                confidence="maker",
            )
        ) from None
    stator = lamination.outer_diameter / 2
    face, bore = _radii(rotor, stator, thick)
    count = motor.poles * rotor.magnets_per_pole
    block = rotor.magnet_shape == "block"
    half = math.atan2(width / 2, face) if block else math.asin(min(1.0, width / 2 / face))
    gap = face - stator
    errors = (  # all that may close the gap on one side
        rotor.magnet_tolerance,
        rotor.glue_line,
        rotor.ring_bore_tolerance / 2,
        cut_tolerance,
        rotor.off_centre,
    )
    length = rotor.magnet_length or lamination.stack_length
    field = magnet.remanence_greatest_t * thick / (thick + magnet.recoil_permeability * gap)
    pole_width, area = width * rotor.magnets_per_pole, width * length
    mass = magnet.density_kg_per_m3 * area * thick * 1e-9
    omega = motor.top_speed * math.pi / 30
    pull_in = field**2 / (2 * MU_0) * area * 1e-6
    pull_out = mass * omega**2 * (face + thick / 2) * 1e-3
    return RotorRing(
        magnet=magnet,
        count=count,
        face=face,
        bore=bore,
        half_angle=half,
        coverage=half * count / math.pi,
        gap=gap,
        gap_least=gap - sum(errors),
        gap_likely=gap - math.hypot(*errors),
        field=field,
        thickness=field * pole_width / (2 * RING_FLUX),
        ring_field=None if h is None else field * pole_width / (2 * h),
        mass=mass,
        pull_in=pull_in,
        pull_out=pull_out,
        glue_stress=max(pull_in, pull_out) / area,
        hoop=None if h is None else _hoop(bore, h, omega, count * pull_out, length),
    )


def _flat_half(rotor: Rotor) -> float:
    """Return half the width of a magnet whose back is flat, mm; 0 for one that follows the ring."""
    return (rotor.magnet_width or 0.0) / 2 if rotor.magnet_shape == "block" else 0.0


def _radii(rotor: Rotor, stator: float, thick: float) -> tuple[float, float]:
    """Return the radii of the magnets' faces and of the ring's bore about a stator's radius, mm."""
    behind, half = thick + rotor.glue_line, _flat_half(rotor)
    if rotor.ring_bore is None:
        face = stator + rotor.air_gap
        return face, math.hypot(face + behind, half)
    bore = rotor.ring_bore / 2
    face = math.sqrt(bore**2 - half**2) - behind if bore > math.hypot(behind, half) else 0.0
    if face <= stator:
        need = 2 * math.hypot(stator + rotor.air_gap + behind, half)
        raise Refused(
            stop(
                "ring-too-small",
                "rotor.ring_bore",
                f"rotor.ring_bore = {rotor.ring_bore:g} mm: magnets glued into it would touch the stator",
                value=rotor.ring_bore,
                limit=need,
                fix=f"use {need:.2f} mm for an air gap of {rotor.air_gap:g} mm, or thinner magnets",
            )
        )
    return face, bore


def _hoop(bore: float, h: float, omega: float, pull: float, length: float) -> float:
    """Return the stress in MPa of a thin ring that turns and carries magnets that pull `pull` N."""
    middle = (bore + h / 2) * 1e-3
    own = STEEL * (omega * middle) ** 2 * 1e-6
    # all round, the pull per radian is carried by the two cut faces: T = pull / (2 pi)
    return own + pull / (2 * math.pi) / (h * length)


def rotor_ring_results(ring: RotorRing | None) -> dict[str, float | int | str]:
    """Return figures of the magnet ring; none without magnets."""
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
        "magnet_flux_density_T": ring.field,
        "ring_thickness_needed_mm": ring.thickness,
        "magnet_pull_by_teeth_N": ring.pull_in,
        "magnet_pull_by_turning_N": ring.pull_out,
        "glue_stress_MPa": ring.glue_stress,
        "magnet_hottest_C": ring.magnet.hottest_C,
    }
    if ring.ring_field is not None and ring.hoop is not None:
        results |= {"ring_flux_density_T": ring.ring_field, "ring_hoop_stress_MPa": ring.hoop}
    return results


def rotor_ring_findings(rotor: Rotor, motor: Motor, ring: RotorRing | None) -> list[Finding]:
    """Return every finding on the magnets; one note if the design gives none."""
    if ring is None:
        return [
            _practice(
                "note",
                "no-magnets",
                "rotor.magnet_width",
                "no magnet sizes are given: coverage, air gap at worst case, ring thickness and glue "
                "are not judged",
                fix="give rotor.magnet_width and rotor.magnet_thickness",
            )
        ]
    return [
        *coverage_findings(rotor, ring),
        *_gap(rotor, ring),
        *_flux(rotor, ring),
        *_glue(rotor, motor, ring),
        *_burst(motor, ring),
        *_heat(motor, ring),
    ]


def coverage_findings(rotor: Rotor, ring: RotorRing) -> Iterator[Finding]:
    """Yield the `stop` for magnets that do not go round, else a note on unusual coverage."""
    if ring.coverage > 1.0:
        straight = math.tan if rotor.magnet_shape == "block" else math.sin
        most = 2 * ring.face * straight(math.pi / ring.count)
        yield stop(
            "magnets-meet",
            "rotor.magnet_width",
            f"rotor.magnet_width = {rotor.magnet_width:g} mm: {ring.count} magnets do not go round; "
            "their inner corners meet",
            value=rotor.magnet_width,
            limit=most,
            fix=f"use less than {most:.2f} mm, or fewer magnets_per_pole",
        )
    elif not LEAST_COVER <= ring.coverage <= MOST_COVER:
        few = ring.coverage < LEAST_COVER
        yield _practice(
            "note",
            "magnet-coverage",
            "rotor.magnet_width",
            f"magnets cover {100 * ring.coverage:.0f} % of a pole pitch: "
            + (
                "less field than the ring has room for"
                if few
                else "flux leaks from pole to pole, and glue has no room between them"
            ),
            value=ring.coverage,
            limit=LEAST_COVER if few else MOST_COVER,
            fix=f"{100 * LEAST_COVER:.0f} to {100 * MOST_COVER:.0f} % is usual",
        )


def _gap(rotor: Rotor, ring: RotorRing) -> Iterator[Finding]:
    asked, half = rotor.air_gap, _flat_half(rotor)
    if abs(ring.gap - asked) > SAME_GAP:
        need = 2 * math.hypot(math.sqrt(ring.bore**2 - half**2) + asked - ring.gap, half)
        yield warn(
            "ring-bore-and-gap",
            "rotor.ring_bore",
            f"rotor.ring_bore = {2 * ring.bore:g} mm leaves an air gap of {ring.gap:.2f} mm, "
            f"rotor.air_gap says {asked:g} mm",
            value=ring.gap,
            limit=asked,
            fix=f"use ring_bore = {need:.2f} mm, or air_gap = {ring.gap:.2f} mm",
        )
    if ring.gap_least < LEAST_GAP:
        yield _practice(
            "stop" if ring.gap_likely <= 0.0 else "warn",
            "air-gap-worst",
            "rotor.air_gap",
            f"air gap of {ring.gap:.2f} mm: {ring.gap_least:.2f} mm is left if magnet, glue, ring, "
            f"sheet and bearings all err the wrong way ({ring.gap_likely:.2f} mm is likely); "
            f"nothing may rub, {LEAST_GAP:g} mm is the least",
            value=ring.gap_least,
            limit=LEAST_GAP,
            fix=f"use air_gap {asked + LEAST_GAP - ring.gap_least:.2f} mm, or measure every magnet and "
            "give closer tolerances",
        )


def _flux(rotor: Rotor, ring: RotorRing) -> Iterator[Finding]:
    if ring.ring_field is not None and ring.ring_field > RING_FLUX:
        yield _model(
            "ring-saturated",
            "rotor.ring_thickness",
            f"rotor.ring_thickness = {rotor.ring_thickness:g} mm would have to carry "
            f"{ring.ring_field:.2f} T, more than {RING_FLUX:g} T: part of the field leaks outside "
            "(iron filings, watches), and less reaches the teeth",
            value=rotor.ring_thickness,
            limit=ring.thickness,
            fix=f"use {ring.thickness:.1f} mm or more",
        )


def _glue(rotor: Rotor, motor: Motor, ring: RotorRing) -> Iterator[Finding]:
    if ring.glue_stress > rotor.glue_strength:
        teeth = ring.pull_in >= ring.pull_out
        what = "the teeth pull" if teeth else f"at {motor.top_speed:g} 1/min turning pulls"
        yield _model(
            "glue-line",
            "rotor.glue_strength",
            f"{what} {max(ring.pull_in, ring.pull_out):.0f} N on one magnet: {ring.glue_stress:.2f} MPa "
            f"on its glue, more than {rotor.glue_strength:g} MPa; a magnet that comes off jams the motor "
            "or flies",
            value=ring.glue_stress,
            limit=rotor.glue_strength,
            fix="bind the magnets with a sleeve or pocket them in steel, use a lower top_speed or thinner "
            "magnets; run it behind a guard, nobody in line with the ring",
        )


def _burst(motor: Motor, ring: RotorRing) -> Iterator[Finding]:
    if ring.hoop is not None and ring.hoop > HOOP_LIMIT:
        yield warn(
            "ring-burst",
            "rotor.ring_thickness",
            f"at {motor.top_speed:g} 1/min the ring carries {ring.hoop:.0f} MPa by turning, more "
            f"than {HOOP_LIMIT:g} MPa of a plain, perhaps welded ring: it may burst",
            value=ring.hoop,
            limit=HOOP_LIMIT,
            fix="use a seamless ring and have it judged by a competent person, or a lower top_speed",
            source="thin rotating ring, any handbook of mechanics; limit common practice",
            confidence="practice",
        )


def _heat(motor: Motor, ring: RotorRing) -> Iterator[Finding]:
    limit = ring.magnet.hottest_C
    if motor.ambient > limit - HEAT_MARGIN:
        yield warn(
            "magnet-heat",
            "rotor.magnet_grade",
            f"rotor.magnet_grade = {ring.magnet.name!r} loses strength for good above {limit:g} C, and "
            f"the motor's surroundings are at {motor.ambient:g} C",
            value=motor.ambient,
            limit=limit - HEAT_MARGIN,
            fix="use a grade with letters for heat (M, H, SH)",
            source=ring.magnet.source,
            confidence="maker",
        )
