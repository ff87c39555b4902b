"""A picture of the build sheet as two SVG elements: the drawing, and on it the dimensions as links.

The drawing is an image with title and description; a link inside an image could not be reached by
those who listen to a page, so the dimensions lie in an element of their own above it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from html import escape
from typing import TYPE_CHECKING

from geometry.sheet.drawing import Text
from geometry.sheet.drawing_svg import svg_elements
from geometry.sheet.svg_path import number_text

if TYPE_CHECKING:
    from recipes.page.model import Layer, Mark, Picture

#: Digits after the point of a millimetre: finer than any screen shows.
DECIMALS = 2

#: How far a dimension answers a finger beyond its words, mm on the picture's sheet.
REACH = 2.2


def field_id(name: str) -> str:
    """Return the anchor of a field's line on the page."""
    return "f-" + re.sub(r"[^a-z0-9_]+", "-", name.lower()).strip("-")


def drawing_svg(picture: Picture) -> str:
    """Return the drawing of a picture as one SVG element, an image to those who listen."""
    key, drawing = picture.key, picture.drawing
    lines = [
        f'<svg class="ink" role="img" aria-labelledby="{key}-title {key}-desc" {_view_box(picture)}>',
        f'<title id="{key}-title">{escape(picture.title)}</title>',
        f'<desc id="{key}-desc">{escape(picture.alt)}</desc>',
    ]
    for layer in picture.layers:
        lines += _layer(layer, f"{key}-{layer.kind}", drawing.height_mm)
    return "\n".join(
        (*lines, *svg_elements(drawing.items, drawing.height_mm, DECIMALS, True), "</svg>")
    )


def marks_svg(picture: Picture) -> str:
    """Return the dimensions of a picture as links to their fields; "" if it has none."""
    if not picture.marks:
        return ""
    label = escape(f"{picture.title}: dimensions")
    lines = [f'<svg class="marks" role="group" aria-label="{label}" {_view_box(picture)}>']
    for mark in picture.marks:
        lines += _mark(mark, picture.drawing.height_mm)
    return "\n".join((*lines, "</svg>"))


def _view_box(picture: Picture) -> str:
    drawing = picture.drawing
    x0, y0, x1, y1 = picture.box or (0.0, 0.0, drawing.width_mm, drawing.height_mm)
    sizes = (x0, drawing.height_mm - y1, x1 - x0, y1 - y0)
    return f'viewBox="{" ".join(number_text(s, DECIMALS) for s in sizes)}" fill="none"'


def _layer(layer: Layer, name: str, height: float) -> Iterator[str]:
    """Yield what is drawn once, and its turned copies."""
    x, y = (number_text(v, DECIMALS) for v in (layer.about.x, height - layer.about.y))
    once = 0.0 in layer.turns
    # style by class reaches a copy only from inside what is copied
    yield f'{"" if once else "<defs>"}<g id="{name}" class="{layer.kind}">'
    yield from svg_elements(layer.items, height, DECIMALS, True)
    yield "</g>" if once else "</g></defs>"
    for turn in layer.turns:
        if turn:
            degrees = number_text(-math.degrees(turn), 4)  # SVG turns clockwise
            yield f'<use href="#{name}" transform="rotate({degrees} {x} {y})"/>'


def _mark(mark: Mark, height: float) -> Iterator[str]:
    names = " ".join(field_id(f) for f in mark.fields)
    label = escape(f"{mark.words}; field {mark.fields[0]}")
    yield (
        f'<a class="dim" href="#{field_id(mark.fields[0])}" data-fields="{names}" aria-label="{label}">'
    )
    yield from _touch(mark, height)
    yield from svg_elements(mark.items, height, DECIMALS, True)
    yield "</a>"


def _touch(mark: Mark, height: float) -> Iterator[str]:
    """Yield the area round the words that answers a finger."""
    for item in mark.items:
        if isinstance(item, Text):
            corners = item.corners(REACH)
            x, y = min(p.x for p in corners), max(p.y for p in corners)
            wide, high = (
                max(p.x for p in corners) - x,
                y - min(p.y for p in corners),
            )
            sizes = (number_text(v, DECIMALS) for v in (x, height - y, wide, high))
            left, top, width, tall = sizes
            yield f'<rect class="touch" x="{left}" y="{top}" width="{width}" height="{tall}" rx="1"/>'
