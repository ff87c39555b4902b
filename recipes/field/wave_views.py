"""What the field says as curves: voltages of three phases, torque over the angle and over current."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import degrees, lcm, pi

import numpy as np
from numpy.typing import NDArray

from geometry.drafting.drawing import Drawing, Fill, Item, Text, polyline
from geometry.drafting.view import Axis, Chart
from geometry.outline import Outline
from geometry.point import Point
from recipes.design.model import Design
from recipes.field.answer import FieldAnswer
from recipes.field.figures import wave_through
from recipes.rotor.voltage import short
from recipes.winding.circuit import Connection

Array = NDArray[np.float64]

#: Width of every picture, height of one chart's room, lettering, mm.
WIDTH, HEIGHT, LETTERING = 120.0, 78.0, 3.2

#: Field of a chart in its room: left, right, above its foot, below its top, mm.
LEFT, RIGHT, BELOW, ABOVE = 19.0, 6.0, 16.0, 12.0

#: Steps of a drawn curve.
STEPS = 180

#: Steps at either end of a curve at which no letter stands.
EDGE = 8

#: Lines that tell the phases apart without colour.
PHASE_STYLES = {"U": "visible", "V": "hidden", "W": "centre"}


def field_curves(design: Design, answer: FieldAnswer) -> dict[str, Drawing]:
    """Return the pictures of a design's field by the stem of their file's name."""
    task, name = design.motor, design.name
    pairs, connection = task.poles // 2, design.winding.connection
    return {
        "voltage": voltage_view(answer, pairs, task.top_speed, connection, name),
        "torque-angle": torque_view(answer, task.slots, task.poles, name),
        "torque-current": torque_current_view(answer, pairs, name),
    }


def voltage_view(
    answer: FieldAnswer, pairs: int, speed: float, connection: Connection, name: str
) -> Drawing:
    """Return the voltages of the three phases without current.

    Args:
        answer: of the field.
        pairs: pole pairs.
        speed: of the rotor in turns per minute.
        connection: of the phases.
        name: of the design.
    """
    waves = answer.waves
    orders = np.array(waves["flux_orders"])
    flux = np.array(waves["flux_U_real_Wb"]) + 1j * np.array(waves["flux_U_imaginary_Wb"])
    volts = 1j * orders * pairs * flux * speed * pi / 30
    angle = np.linspace(0.0, 360.0, STEPS + 1)
    curves = {}
    for phase, lag in (("U", 0.0), ("V", 120.0), ("W", 240.0)):
        turned = np.exp(1j * np.outer(np.radians(angle - lag), orders))
        curves[phase] = np.real(turned @ volts)
    top = max(float(np.abs(v).max()) for v in curves.values())
    chart = _chart(0.0, (0.0, 360.0), (-1.15 * top, 1.15 * top))
    items = [*_frame(chart, "electrical degrees of the rotor", "V")]
    for phase, curve in curves.items():
        items.append(_curve(chart, angle, curve, PHASE_STYLES[phase]))
        k = EDGE + int(np.argmax(curve[EDGE:-EDGE]))
        spot = chart.point(float(angle[k]), float(curve[k]))
        items.append(Text(spot.x, spot.y - 5.0, LETTERING, phase, "centre"))
    where = "lead to lead" if connection == "delta" else "lead to star point"
    title = f"{where} at {speed:g} 1/min, no current"
    return _sheet([*items, _title(0.0, title)], HEIGHT, f"{name}: voltage")


def torque_view(answer: FieldAnswer, slots: int, poles: int, name: str) -> Drawing:
    """Return torque over the angle, at the phase current and without current.

    Args:
        answer: of the field.
        slots, poles: of the motor.
        name: of the design.
    """
    figures, waves = answer.figures, answer.waves
    items: list[Item] = []
    sixth, cogging = degrees(2 * pi / (3 * poles)), 360.0 / lcm(slots, poles)
    mean = float(figures["torque_at_phase_current_Nm"])
    amperes = short(waves["current_A"][1])
    said = (
        f"torque at {amperes} A r.m.s.: {short(mean)} N m, ripple {figures['torque_ripple_percent']:.2g} %",
        f"cogging without current: {short(float(figures['cogging_torque_peak_Nm']))} N m peak",
    )
    for k, (key, begin, period) in enumerate(
        (("torque_Nm", 0.0, sixth), ("cogging_Nm", waves["cogging_angle_deg"][0], cogging))
    ):
        low = (1 - k) * HEIGHT
        dense = wave_through(np.array(waves[key]), STEPS)
        angle = np.linspace(0.0, sixth, 4 * STEPS + 1)
        curve = dense[np.rint((angle - begin) / period * STEPS).astype(int) % STEPS]
        top = 1.2 * max(float(np.abs(curve).max()), 1e-6)
        bottom = 0.0 if key == "torque_Nm" else -top
        chart = _chart(low, (0.0, sixth), (bottom, top))
        items += _frame(chart, "degrees of the rotor, a sixth of the electrical period", "N m")
        items += [_curve(chart, angle, curve, "visible"), _title(low, said[k])]
        level = mean if key == "torque_Nm" else 0.0
        items.append(_curve(chart, [0.0, sixth], [level, level], "narrow"))
    return _sheet(items, 2 * HEIGHT, f"{name}: torque over the angle")


def torque_current_view(answer: FieldAnswer, pairs: int, name: str) -> Drawing:
    """Return torque over current beside the straight line of steel that never saturates.

    Args:
        answer: of the field.
        pairs: pole pairs.
        name: of the design.
    """
    from scipy.interpolate import PchipInterpolator

    figures = answer.figures
    current = np.array(answer.waves["current_A"])
    torque = np.array(answer.waves["torque_at_current_Nm"])
    straight = 1.5 * pairs * float(figures["phase_flux_linkage_Wb"]) * 2**0.5 * current[-1]
    chart = _chart(0.0, (0.0, float(current[-1])), (0.0, 1.1 * max(straight, float(torque.max()))))
    along = np.linspace(0.0, current[-1], STEPS + 1)
    items: list[Item] = [
        *_frame(chart, "phase current, A r.m.s.", "N m"),
        _curve(chart, [0.0, float(current[-1])], [0.0, straight], "hidden"),
        _curve(chart, along, PchipInterpolator(current, torque)(along), "visible"),
    ]
    for x, y in zip(current[1:].tolist(), torque[1:].tolist(), strict=True):
        items.append(Fill((Outline.circle(chart.point(x, y), 0.9),), "black"))
    lost = 100 * (1 - torque[-1] / straight)
    rated = 100 * float(figures["saturation_at_rated"])
    ends = short(float(current[1])), short(float(current[-1]))
    x, y = LEFT + 2.0, chart.up.end - 6.0
    items += [
        Text(x, y, LETTERING, "dashed: steel that never saturates"),
        Text(x, y - 5.0, LETTERING, f"lost at {ends[0]} A: {rated:.2g} %,"),
        Text(x, y - 10.0, LETTERING, f"at {ends[1]} A: {lost:.2g} %"),
        _title(0.0, "mean torque over current"),
    ]
    return _sheet(items, HEIGHT, f"{name}: torque over current")


def _chart(low: float, across: tuple[float, float], up: tuple[float, float]) -> Chart:
    """Return the chart whose room begins at height `low` mm."""
    return Chart(Axis(*across, LEFT, WIDTH - RIGHT), Axis(*up, low + BELOW, low + HEIGHT - ABOVE))


def _frame(chart: Chart, across: str, up: str) -> Iterator[Item]:
    """Yield the frame with its marks and what they are."""

    def plain(value: float) -> str:
        return f"{0.0 if abs(value) < 1e-9 else value:.4g}"

    yield from chart.frame(plain, plain, LETTERING)
    middle = (chart.across.start + chart.across.end) / 2
    yield Text(middle, chart.up.start - 11.5, LETTERING, across, "centre")
    yield Text(chart.across.start - 2.5, chart.up.end + 2.5, LETTERING, up, "right")


def _title(low: float, words: str) -> Text:
    return Text(LEFT, low + HEIGHT - ABOVE + 2.5, LETTERING, words)


def _curve(
    chart: Chart, across: Sequence[float] | Array, up: Sequence[float] | Array, style: str
) -> Item:
    places = [chart.point(float(x), float(y)) for x, y in zip(across, up, strict=True)]
    return polyline([Point(round(p.x, 3), round(p.y, 3)) for p in places], style)


def _sheet(items: Sequence[Item], height: float, title: str) -> Drawing:
    """Return the picture on paper."""
    paper = Fill((Outline.polygon([(0, 0), (WIDTH, 0), (WIDTH, height), (0, height)]),), "white")
    return Drawing(WIDTH, height, (paper, *items), title)
