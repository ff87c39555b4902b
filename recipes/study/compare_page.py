"""A comparison as one page that works without a network: HTML with its pictures inside.

Outlines are told apart by kind of line first and by colour second (blue and orange of Okabe and
Ito), so the page can be copied in black, printed, and read by colour-blind eyes, dark or light.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from geometry.formats.drawing_svg import number_text, path_data
from geometry.outline import Region
from recipes.assess import readings
from recipes.bench.reading import WORDS
from recipes.catalogue import Parts
from recipes.refusal import Refused
from recipes.report.html import asset, content_hash, ready
from recipes.study.comparison import Mark, Row, Side, answers_of, fields_of, rows_of, unknowns
from recipes.study.comparison_show import MARKS, percent_text, unit_text, value_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    import jinja2


#: Digits after the point of a millimetre.
_DECIMALS = 3

_SIGNS: dict[Mark, str] = {"better": "▲ ", "worse": "▼ ", "other": "◇ ", "same": "", "": ""}

#: A bar as long as its column stands for this difference, percent.
_FULL_BAR = 50.0


@dataclass(frozen=True)
class Overlay:
    """The first design's sheet with another on top: whole, and the room about tooth 1.

    Args:
        first, other: designs.
        paths: data of an SVG path for each, y upward.
        whole, near: viewBox of both pictures, for paths that are turned over by a transform.
    """

    first: Side
    other: Side
    paths: tuple[str, str]
    whole: str
    near: str


def comparison_page(sides: Sequence[Side]) -> str:
    """Return the page; its style is that of the build sheet and a few lines more."""
    style = asset("page.css") + asset("compare.css")
    policy = f"default-src 'none'; style-src '{content_hash(style)}'; img-src data:; base-uri 'none'; form-action 'none'"
    groups: dict[str, list[Row]] = {}
    for row in rows_of(sides):
        groups.setdefault(row.key.group, []).append(row)
    bench = [(s, [b for b in readings(s.motor) if b.measured is not None]) for s in sides]
    return (
        _environment()
        .get_template("compare.html.j2")
        .render(
            style=ready(style),
            policy=policy,
            title=" or ".join(s.letter for s in sides),
            sides=sides,
            answers=answers_of(sides),
            overlays=overlays(sides),
            fields=fields_of(sides),
            groups=groups,
            bench=[(s, rows) for s, rows in bench if rows],
            unknowns=unknowns(sides),
        )
    )


def _environment() -> jinja2.Environment:
    import jinja2

    found = jinja2.Environment(
        loader=jinja2.PackageLoader("recipes.report", "page/templates"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.globals |= {
        "marks": MARKS,
        "signs": _SIGNS,
        "percent": percent_text,
        "unit": unit_text,
        "value": value_text,
        "bar": _bar,
        "words": WORDS,
    }
    return found


def overlays(sides: Sequence[Side]) -> tuple[Overlay, ...]:
    """Return the first design under each of the others; those without an outline are left out."""
    first = _sheet(sides[0])
    pairs = [(side, _sheet(side)) for side in sides[1:]]
    return tuple(
        _overlay(sides[0], side, first, other)
        for side, other in pairs
        if first is not None and other is not None
    )


def _sheet(side: Side) -> Region | None:
    try:
        return Parts(side.motor)["lamination"][0].cut[0]
    except Refused:
        return None


def _overlay(a: Side, b: Side, first: Region, other: Region) -> Overlay:
    lams = [side.motor.design.lamination for side in (a, b)]
    radius = max(lam.outer_diameter for lam in lams) / 2.0
    edge = 1.04 * radius
    teeth = min(side.motor.design.motor.slots for side in (a, b))
    half = 1.55 * 2.0 * math.pi * radius / teeth / 2.0 + 0.01 * radius
    low = min(lam.outer_diameter / 2.0 - lam.slot_depth for lam in lams)
    depth = radius - low
    top, height = radius + 0.12 * depth, 1.3 * depth
    return Overlay(
        a,
        b,
        (path_data(first, _DECIMALS), path_data(other, _DECIMALS)),
        _box(-edge, -edge, 2.0 * edge, 2.0 * edge),
        _box(-half, -top, 2.0 * half, height),
    )


def _box(*numbers: float) -> str:
    return " ".join(number_text(n, _DECIMALS) for n in numbers)


def _bar(percent: float | None) -> tuple[str, str] | None:
    """Return start and length of a difference's bar in percent of its column, middle = none."""
    if percent is None:
        return None
    length = 50.0 * min(1.0, abs(percent) / _FULL_BAR)
    return number_text(50.0 - (length if percent < 0.0 else 0.0), 1), number_text(length, 1)
