"""Rules of an axle that keeps the skin of a bought pipe or tube: size, bore, and what is worked on it.

Its outside spreads as its standard allows, so the seats come out under size where too little stands
over them, and the stack is bored to the tube that lies on the bench.
"""

from __future__ import annotations

from collections.abc import Iterator

from geometry.finding import Finding
from recipes.design.axle import Axle
from recipes.refusal import finding, stop, warn
from recipes.shaft.sections import AS_BOUGHT, SAME, Section
from recipes.tables.reader import TableError
from recipes.tables.steel_tubes import nearest_tubes, outside_limits, tube_of_axle


def tube_findings(axle: Axle, sections: tuple[Section, ...]) -> list[Finding]:
    """Return the findings on bought tube; nothing for a bar.

    Args:
        axle: table of the design.
        sections: from face A to face B.
    """
    if axle.stock == "bar":
        return []
    return [*_size(axle), *_bore(axle), *_worked(axle, sections)]


def _size(axle: Axle) -> Iterator[Finding]:
    """Somebody sells it."""
    if tube_of_axle(axle) is not None:
        return
    outside, inside = axle.stock_diameter, axle.bore_diameter
    near = nearest_tubes(axle.stock, outside, inside)
    names = "; ".join(f"{t.name} ({t.outside_mm:.2f} x {t.inside_mm:.2f} mm)" for t in near)
    yield warn(
        "tube-not-in-table",
        "axle.stock_diameter",
        f"axle.stock_diameter = {outside:.3f} mm with axle.bore_diameter = {inside:.3f} mm is no {axle.stock} "
        "of the table: its limits are not known",
        value=outside,
        limit=near[0].outside_mm,
        fix=f"use outside and inside of one that is sold, such as {names}; or measure yours and give "
        "axle.stock_least and axle.stock_most",
        source=near[0].source,
    )


def _bore(axle: Axle) -> Iterator[Finding]:
    """A tube is hollow right through."""
    if axle.bore_depth is not None:
        yield stop(
            "tube-with-blind-bore",
            "axle.bore_depth",
            f"axle.bore_depth = {axle.bore_depth:g} mm: {axle.stock} is hollow right through",
            value=axle.bore_depth,
            limit=axle.length,
            fix='leave axle.bore_depth out, or use axle.stock = "bar"',
        )


def _worked(axle: Axle, sections: tuple[Section, ...]) -> Iterator[Finding]:
    """The tube stands over every worked place, at its least: else a seat comes out under size."""
    least, _ = outside_limits(axle)
    worked = [s for s in sections if s.field != AS_BOUGHT]
    try:
        tops = [(s, s.diameter if s.limits is None else s.limits.max_size_mm) for s in worked]
        lows = {s: s.diameter if s.limits is None else s.limits.min_size_mm for s in worked}
    except TableError:  # said by the rules of the axle
        return
    section, top = max(tops, key=lambda pair: pair[1], default=(None, 0.0))
    if section is None or top <= least + SAME:
        return
    sure = axle.stock_least is not None or axle.stock_diameter < lows[section] - SAME
    measured = "measures" if axle.stock_least is not None else "may measure only"
    yield finding(
        "stop" if sure and least < lows[section] - SAME else "warn",
        "tube-under-seat",
        "axle.stock_diameter",
        f"axle.stock_diameter: the {axle.stock} {measured} {least:.3f} mm, below the {top:.3f} mm of the "
        f"{section.kind} at {section.start:g} mm ({section.field})",
        value=least,
        limit=top,
        fix="use the next size up, or a bearing with a smaller bore; "
        + (
            "retaining compound bridges up to 0.15 mm"
            if axle.stock_least is not None
            else "or measure the tube before you buy bearings and type axle.stock_least"
        ),
        source="outside of the tube by its standard" if axle.stock_least is None else "as measured",
        confidence="standard" if axle.stock_least is None else "yours",
    )
