"""What is said about a tooth and slot that cannot be drawn, or only with smaller rounds."""

from __future__ import annotations

import math

from geometry.errors import GeometryError
from geometry.finding import Finding
from recipes.refusal import finding

_ROUNDS = "roots >= 0.5 mm, lips >= 0.3 mm and half the wire; common practice"


def too_round(name: str, radius: float, error: GeometryError) -> Finding:
    """Return the `stop` for a round (mm) that the design fixed and that does not fit its corner."""
    limit = error.limit or 0.0
    return finding(
        "stop",
        "round-too-large",
        f"lamination.{name}",
        radius,
        limit,
        f"lamination.{name} = {radius:g} mm: at most {limit:.3f} mm fits between its two edges",
        f"use {math.floor(limit * 100) / 100:g} mm or less, or lengthen the edges beside it",
    )


def less_round(name: str, need: float, got: float) -> Finding:
    """Return the warning that a round (mm) left out became smaller than the wire asks for."""
    return finding(
        "warn",
        "round-smaller-than-wire-needs",
        f"lamination.{name}",
        got,
        need,
        f"lamination.{name}: the wire asks for {need:g} mm, but only {got:g} mm fits; a tighter edge "
        "presses into liner and enamel",
        "give the tip or the slot more room (tip_thickness, slot_depth), or take thinner wire",
        _ROUNDS,
        "practice",
    )


def outside_limits(field: str, value: float, limit: float, what: str, low: float = 0.0) -> Finding:
    """Return the `stop` for a field (mm) that leaves no shape outside `low` and `limit`."""
    between = f"above {low:.3f} and below {limit:.3f} mm" if low else f"below {limit:.3f} mm"
    return finding(
        "stop",
        "impossible-shape",
        f"lamination.{field}",
        value,
        limit,
        f"lamination.{field} = {value:g} mm: {what}; must be {between}",
        f"use {field} {between}",
    )


def deep_tip(angle: float) -> Finding:
    """Return the `stop` for a tip whose underside (deg) slopes down to the slot bottom."""
    return finding(
        "stop",
        "impossible-shape",
        "lamination.tip_angle",
        angle,
        None,
        f"lamination.tip_angle = {angle:g} deg: the tip's underside reaches the slot bottom",
        "use a smaller tip_angle, a thinner tip or a deeper slot",
    )


def no_lip(thickness: float, least: float) -> Finding:
    """Return the `stop` for a tip so thin (mm) that its underside leaves the sheet."""
    return finding(
        "stop",
        "impossible-shape",
        "lamination.tip_thickness",
        thickness,
        least,
        f"lamination.tip_thickness = {thickness:g} mm: the tip's straight underside leaves the round "
        f"sheet before it reaches the tooth; must be above {least:.3f} mm",
        f"use more than {math.ceil(1000 * least) / 1000:g} mm, a larger tip_angle or a narrower slot",
    )


def missing_width(field: str, shape: str) -> Finding:
    """Return the `stop` for a width that the shape of the slot needs."""
    return finding(
        "stop",
        "missing-width",
        f"lamination.{field}",
        None,
        None,
        f"lamination.{field} is missing: slot_shape = '{shape}' needs it",
        f"add {field}",
    )
