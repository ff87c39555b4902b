"""The magnetic field on the build sheet: lines and density of flux, and the curves that follow."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from geometry.drafting.drawing import Drawing
from recipes.field.wave_views import field_curves
from recipes.motor import Motor
from recipes.report.model import Layer, Picture

#: Title, what is seen, and caption of each curve by the stem of its file's name.
CURVES: Final = {
    "voltage": (
        "Voltage of the phases",
        "Three waves of voltage over the electrical angle, each a third of the period after the other.",
        "Turned at its top speed without current, by the field. U full, V dashed, W dash and dot. An "
        "oscilloscope from lead to lead shows the difference of two of them.",
    ),
    "torque-angle": (
        "Torque over the angle",
        "Two curves over a sixth of the electrical period: torque at the phase current, and cogging.",
        "Above: at the phase current, its mean as a thin line. Below: cogging, felt when the rotor is "
        "turned by hand with all leads open; its size hangs on the gap's last tenth of a millimetre.",
    ),
    "torque-current": (
        "Torque over current",
        "Torque over phase current, bending below a dashed straight line.",
        "Full: by the field, up to three times the phase current. Dashed: steel that never saturates. "
        "How long the copper bears such a current stands among the heat figures.",
    ),
}


def field_pictures(motor: Motor, flux: Drawing | None) -> Iterator[Picture]:
    """Yield the pictures of a field that was solved; none before.

    Args:
        motor: with the answer of its field.
        flux: from `recipes.field.flux_view.flux_view`.
    """
    if flux is None or motor.field is None:
        return
    yield replace(
        _picture(
            "field",
            flux,
            "Magnetic field",
            "Two sections of the motor with lines of flux and tones of flux density, without current and "
            "with the phase current; the tooth that carries most is circled.",
            "Solved in the outline that is cut, in one sector that repeats. Darker steel carries more; "
            "where it is darkest it has no more to give.",
        ),
        wide=True,
    )
    for stem, drawing in field_curves(motor.design, motor.field).items():
        yield _picture(stem, drawing, *CURVES[stem])


def _picture(stem: str, drawing: Drawing, title: str, alt: str, caption: str) -> Picture:
    """Return a picture printed on paper: as dark ink on a light ground on every screen."""
    return Picture(
        stem,
        title,
        alt,
        replace(drawing, items=()),
        (caption,),
        layers=(Layer("print", drawing.items),),
        file=f"read/{stem}.svg",
    )
