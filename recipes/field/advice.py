"""What the flux asks of the steel: widths of teeth, yoke and ring against what they carry, and the price.

    width asked for = width x flux density at the phase current / density that is usual there

A part is spoken of where it is off by more than `SLACK`: wider than the flux asks costs mass, or heat
where copper could lie; narrower costs torque.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Final

from geometry.finding import Finding
from recipes.field.cross_section import CrossSection
from recipes.refusal import note
from recipes.rotor.ring import STEEL

#: Usual flux densities of electrical sheet and of a solid ring, peak, in T.
TOOTH_T, YOKE_T, RING_T = 1.7, 1.5, 1.6

#: By what share a width may differ from what is asked for, and nothing is said.
SLACK: Final = 0.15

SOURCE = "field of this outline at the phase current; usual densities: common practice"


def advice_findings(
    section: CrossSection,
    figures: Mapping[str, float | int | str],
    stack_length: float,
    stacking: float,
) -> list[Finding]:
    """Return what the flux asks of teeth, yoke and ring.

    Args:
        section: the cross-section.
        figures: of its field.
        stack_length: finished height of the stack, mm.
        stacking: steel's share of it.
    """
    return [
        *_tooth(section, float(figures["tooth_flux_density_loaded_T"])),
        *_yoke(section, float(figures["yoke_flux_density_loaded_T"]), stack_length * stacking),
        *_ring(section, float(figures["ring_flux_density_loaded_T"]), stack_length),
    ]


def _tooth(section: CrossSection, carried: float) -> Iterator[Finding]:
    slot, width = section.slot, section.slot.tooth_width
    asked = width * carried / TOOTH_T
    area = abs(slot.outline.area)
    high = section.window_end - slot.half[-1].end.length()
    # as many turns in a wire as thick as the slot takes: ohms fall as its area grows
    heat = 100 * (area / (area + (width - asked) * high) - 1)
    price = f"the same turns in wire to fill the slot make {abs(heat):.0f} % {'less' if heat < 0 else 'more'} heat"
    yield from _said("field-tooth-width", "lamination.tooth_width", "teeth", width, asked, carried, TOOTH_T, price)  # fmt: skip


def _yoke(section: CrossSection, carried: float, steel_height: float) -> Iterator[Finding]:
    floor = section.slot.half[-1].end.length()
    width = floor - section.inner
    asked = width * carried / YOKE_T
    price = _mass(section.inner, floor - asked, steel_height)
    yield from _said("field-yoke-width", "hub.yoke_thickness", "the yoke", width, asked, carried, YOKE_T, price)  # fmt: skip


def _ring(section: CrossSection, carried: float, stack_length: float) -> Iterator[Finding]:
    width = section.ring_thickness
    asked = width * carried / RING_T
    length = section.rotor.magnet_length or stack_length
    price = _mass(section.bore + asked, section.rim, length)
    yield from _said("field-ring-thickness", "rotor.ring_thickness", "the ring", width, asked, carried, RING_T, price)  # fmt: skip


def _mass(low: float, high: float, height: float) -> str:
    """Return the mass of steel between two radii in words; all in mm."""
    grams = math.pi * (high**2 - low**2) * height * STEEL * 1e-6
    return f"{abs(grams):.0f} g {'less' if grams > 0 else 'more'}"


def _said(
    code: str,
    field: str,
    part: str,
    width: float,
    asked: float,
    carried: float,
    usual: float,
    price: str,
) -> Iterator[Finding]:
    """Yield the finding where a width (mm) is off what is asked for."""
    if abs(asked / width - 1) <= SLACK:
        return
    verb = "carry" if part == "teeth" else "carries"
    than = "more" if asked < width else "less"
    yield note(
        code,
        field,
        f"{part} {verb} at most {carried:.2f} T in {width:.2f} mm, {than} steel than the flux asks for: "
        f"{asked:.2f} mm at the usual {usual:g} T",
        fix=f"{field} {'down' if asked < width else 'up'} to {asked:.1f} mm where strength, seats and "
        f"stiffness allow: {price}",
        value=width,
        limit=asked,
        source=SOURCE,
        confidence="practice",
    )
