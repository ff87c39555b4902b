"""The picture of the field: lines of flux and flux density in the cut outline, idle and loaded.

One sector that repeats, its middle up, twice; teeth are numbered as everywhere. Tones tell the
density in steel by the scale at the foot; between lines flows as much flux in both pictures.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from geometry.drafting.drawing import (  # fmt: skip
    SCALE,
    Drawing,
    Fill,
    Item,
    Stroke,
    Text,
    box,
    line,
    polyline,
    text_lines,
)
from geometry.drafting.font import wrap
from geometry.drafting.view import View
from geometry.field.bands import bands
from geometry.field.results import Which, flux_lines
from geometry.field.solve import Solution
from geometry.outline import Outline
from geometry.point import ORIGIN, Point
from geometry.segment import Arc, mirrored_run
from recipes.design.inches import Wording
from recipes.field.figures import Machine, SolvedField, steel_flux_densities
from recipes.rotor.magnet_ring import footprint, places
from recipes.stator.slot import TOOTH_1

Array = NDArray[np.float64]

#: Width of the picture, its margin, room above a view for its heading, the foot, lettering; mm.
WIDTH, MARGIN, HEAD, FOOT, LETTERING = 170.0, 5.0, 10.0, 31.0, 3.2

#: Lower ends of the tones but the first, T.
LEVELS: Final = (0.4, 0.8, 1.1, 1.4, 1.6, 1.8, 2.0)

#: Lines of flux from the least to the greatest potential.
LINES: Final = 16

#: By how much tones and lines may stray on the sheet, mm, and the grid of their places: a tenth of a line.
TOLERANCE, GRID = 0.02, 0.01


def flux_view(found: SolvedField, amperes: float, name: str, wording: Wording) -> Drawing:
    """Return the picture of a solved field.

    Args:
        found: the field at its first position without and with current.
        amperes: phase current, r.m.s.
        name: of the design.
        wording: of the design, for the length to measure by.
    """
    made, still, driven = found.machine, found.wave.found[0], found.driven[0]
    view, height = _placed(made)
    levels = _levels(still)
    carried = [np.abs(steel_flux_densities(made, s)[0]) for s in (still, driven)]
    titles = "without current", f"with the phase current, {amperes:.3g} A r.m.s."
    items: list[Item] = []
    tall = FOOT + 2 * (height + HEAD)
    items.append(Fill((Outline.polygon([(0, 0), (WIDTH, 0), (WIDTH, tall), (0, tall)]),), "white"))
    for k, solution in enumerate((still, driven)):
        low = FOOT + (1 - k) * (height + HEAD)
        here = View(view.origin.plus(Point(0.0, low)), view.scale, rotation=view.rotation)
        most = int(carried[k].argmax())
        items += _one(made, solution, here, levels, most)
        said = f"{titles[k]}: most in {_named(made, most)}, {carried[k][most]:.2f} T"
        items.append(Text(MARGIN, low + height + 3.5, LETTERING, said))
    items += _scale(view.factor, wording)
    words = (
        f"{name}. Circled: the tooth that carries most, mean in its steel where it is narrowest. "
        "From line to line flows as much flux, in both pictures."
    )
    items += text_lines(MARGIN, FOOT - 15.0, LETTERING, wrap(words, WIDTH - 2 * MARGIN, LETTERING))
    return Drawing(WIDTH, tall, tuple(items), f"{name}: magnetic field")


def _levels(still: Solution) -> tuple[float, ...]:
    """Return potentials in Wb/m at which lines are drawn, evenly spaced about 0."""
    side = still.pair.inner
    top = float(np.abs(side.at_nodes(still.inner)).max())
    step = 2 * top / LINES  # none at 0: that line wanders where there is no flux
    return tuple(step * (k + 0.5) for k in range(-2 * LINES, 2 * LINES))


def _placed(made: Machine) -> tuple[View, float]:
    """Return the view of the sector, middle up, its axis at height 0, and its height on the sheet."""
    section, mesh = made.section, made.pair.inner.mesh
    whole = abs(mesh.span - 2 * math.pi) < 1e-9
    first = -math.pi / section.slot.slots
    turn = TOOTH_1 if whole else TOOTH_1 - (first + mesh.span / 2)
    half = math.pi if whole else mesh.span / 2
    far = section.rim
    wide = far * (math.sin(half) if half < math.pi / 2 else 1.0)
    low = section.inner * math.cos(half) if half < math.pi / 2 else far * math.cos(half)
    room = WIDTH / 2 - MARGIN - 4.0
    factor = min(room / wide, 150.0 / (far - low))
    margin = 8.0  # numbers of the end teeth
    scale = (round(1e6 * factor), 1_000_000)
    view = View(Point(WIDTH / 2, margin - low * factor), scale, rotation=turn)
    return view, (far - low) * factor + margin + 2.0


def _one(
    made: Machine, solution: Solution, view: View, levels: Sequence[float], most: int
) -> Iterator[Item]:
    """Yield one picture: tones, lines of flux, exact outlines, numbers of teeth."""
    section = made.section
    steel: tuple[tuple[Which, str, float], ...]
    steel = ("inner", "sheet", made.stacking), ("outer", "ring", 1.0)
    for which, label, share in steel:
        stray = TOLERANCE / view.factor
        shapes = bands(solution, which, label, (0.0, *LEVELS), share=share, tolerance=stray)
        for tone, loops in zip(SCALE, shapes, strict=True):
            drawn = [ring for loop in loops if (ring := _ring(view, loop))]
            if drawn:
                yield Fill(tuple(drawn), tone)
    magnets = [
        footprint(section.rotor, section.ring, turn + solution.angle)
        for pole in range(made.pair.outer.mesh.cells)
        for turn in places(section.poles, section.rotor.magnets_per_pole, pole)
    ]
    for shape in magnets:
        yield Fill((view.outline(shape),), "sand")
    yield from _lines(solution, view, levels, section.rim)
    for shape in magnets:
        yield from view.edges(shape, "narrow")
    yield from _outlines(made, solution.angle, view)
    yield from _numbers(made, view, most)


def _ring(view: View, loop: Array) -> Outline | None:
    """Return a closed loop of places (k, 2) on the sheet's grid; None if nothing is left of it."""
    spots = _on_grid(view, loop[:-1])
    while len(spots) > 1 and spots[0] == spots[-1]:
        spots.pop()
    return Outline.polygon(spots) if len(spots) > 2 else None


def _on_grid(view: View, places_mm: Array) -> list[tuple[float, float]]:
    """Return places on the sheet, to the grid, each only once in a row."""
    spots: list[tuple[float, float]] = []
    for x, y in places_mm.tolist():
        p = view.at(x, y)
        spot = round(round(p.x / GRID) * GRID, 4), round(round(p.y / GRID) * GRID, 4)
        if not spots or spot != spots[-1]:
            spots.append(spot)
    return spots


def _lines(solution: Solution, view: View, levels: Sequence[float], rim: float) -> Iterator[Item]:
    """Yield the lines of flux inside the ring's `rim` (mm), thinned to the tolerance."""
    import shapely

    for _, places_mm in flux_lines(solution, levels):
        if len(places_mm) > 1 and np.hypot(*places_mm.T).min() < rim - 1e-6:
            thin = shapely.simplify(shapely.linestrings(places_mm), TOLERANCE / view.factor)
            spots = _on_grid(view, shapely.get_coordinates(thin))
            if len(spots) > 1:
                yield polyline([Point(*s) for s in spots], "flux")


def _outlines(made: Machine, angle: float, view: View) -> Iterator[Item]:
    """Yield the exact edges of sheet and ring, and the rays at which the sector ends."""
    section, inner, outer = made.section, made.pair.inner.mesh, made.pair.outer.mesh
    half = section.slot.half
    for k in range(inner.cells):
        turn = 2 * k * section.slot.half_pitch
        for run in (half, mirrored_run(half)):
            yield view.stroke([s.rotated(turn) for s in run], "visible")
    rounds = (
        (section.inner, -math.pi / section.slot.slots, inner.span),
        (section.bore, angle - math.pi / section.poles, outer.span),
        (section.rim, angle - math.pi / section.poles, outer.span),
    )
    for radius, start, span in rounds:
        points = [Point.polar(radius, start + span * k / 4) for k in range(5)]
        arcs = [Arc(a, b, ORIGIN, True) for a, b in pairwise(points)]
        yield view.stroke(arcs, "visible")
    if len(inner.first):
        floor = half[-1].end.length()
        for k, low, high in ((0, section.inner, floor), (1, section.bore, section.rim)):
            _, start, span = rounds[k]
            for way in (start, start + span):
                yield view.line(Point.polar(low, way), Point.polar(high, way), "narrow")


def _numbers(made: Machine, view: View, most: int) -> Iterator[Item]:
    """Yield the number of every tooth inside the yoke, that which carries most in a circle."""
    section = made.section
    radius = section.inner - 4.5 / view.factor
    for k in range(made.pair.inner.mesh.cells):
        spot = view.point(Point.polar(radius, 2 * k * section.slot.half_pitch))
        yield Text(spot.x, spot.y, LETTERING, str(k + 1), "centre", level="middle")
        if k == most:
            yield Stroke(Outline.circle(spot, 3.4).segments, "visible")


def _named(made: Machine, tooth: int) -> str:
    """Return the tooth with its images in the other sectors."""
    slots, cells = made.section.slot.slots, made.pair.inner.mesh.cells
    others = [str(k + 1) for k in range(tooth + cells, slots, cells)]
    return f"tooth {tooth + 1}" + (f" (as in {', '.join(others)})" if others else "")


def _scale(factor: float, wording: Wording) -> Iterator[Item]:
    """Yield the scale of the tones, and a length to measure by."""
    x, top, wide, high = MARGIN, FOOT - 3.0, 11.0, 4.0
    for k, tone in enumerate(SCALE):
        a, b = x + k * wide, x + (k + 1) * wide
        corners = [(a, top - high), (b, top - high), (b, top), (a, top)]
        yield Fill((Outline.polygon(corners),), tone)
        yield box(a, top - high, b, top)
        if k:
            yield Text(a, top - high - 4.2, LETTERING, f"{LEVELS[k - 1]:g}", "centre")
    yield Text(x + len(SCALE) * wide + 2.0, top - high, LETTERING, "T in steel")
    length = max(n for n in (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0) if n * factor < 40.0 or n == 1)
    right, y = WIDTH - MARGIN, top - high / 2
    left = right - length * factor
    yield line(Point(left, y), Point(right, y), "visible")
    for at in (left, right):
        yield line(Point(at, y - 1.5), Point(at, y + 1.5))
    yield Text((left + right) / 2, y - 6.2, LETTERING, wording.said(f"{length:g} mm"), "centre")
