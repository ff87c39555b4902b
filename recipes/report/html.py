"""The build sheet as one HTML file: no network, its own style and script inside, nothing else.

A policy in the page forbids the browser to fetch anything; style and script are let in by their
hashes alone. The page is sound XML too, so that it can be read back strictly. Text is escaped by jinja2; only SVG that was escaped where it was written goes in as
it is.
"""

from __future__ import annotations

import base64
import hashlib
import json
import math
import os
import re
import sys
from collections.abc import Iterator
from functools import cache
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geometry.drafting.drawing import Text
from geometry.formats.drawing_svg import number_text, svg_elements
from recipes.design.units import ended
from recipes.report.model import Amount, Layer, Mark, Picture, Sheet

if TYPE_CHECKING:
    import jinja2


#     A picture of the build sheet as two SVG elements: the drawing, and on it the dimensions as links.
#
# The drawing is an image with title and description; a link inside an image could not be reached by
# those who listen to a page, so the dimensions lie in an element of their own above it.

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


_HERE = Path(__file__).parent / "page"

#: How sure a figure is, in words for the legend.
SURE = (
    ("standard", "a published standard or physics says so"),
    ("maker", "the maker of the material says so"),
    ("practice", "common practice: usual, not proven"),
    ("yours", "you typed it in, or it follows exactly from what you did"),
)


def page_html(sheet: Sheet) -> bytes:
    """Return the whole page."""
    style, script = (_guarded(asset(name)) for name in ("page.css", "page.js"))
    policy = (
        f"default-src 'none'; style-src '{content_hash(style)}'; script-src '{content_hash(script)}'; "
        "img-src data:; base-uri 'none'; form-action 'none'"
    )
    shown = frozenset(f.path for f in sheet.files)
    text = template().render(
        sheet=sheet,
        style=ready(style),
        script=ready(script),
        policy=policy,
        sure=SURE,
        shown=shown,
    )
    return text.encode()


def amount_data(amount: Amount) -> dict[str, str]:
    """Return the attributes that tie a shown number to `results.json`."""
    raw = amount.raw if isinstance(amount.raw, str) else json.dumps(amount.raw)
    found = {"value": raw}
    if amount.key:
        found["data-key"] = amount.key
    if amount.scale != 1.0:
        found["data-scale"] = repr(amount.scale)
    return found


@cache
def asset(name: str) -> str:
    """Return the text of a file beside this one: style or script."""
    return (_HERE / name).read_text(encoding="utf-8")


def _guarded(text: str) -> str:
    """Return style or script that an XML reader passes over as plain text, as a browser does."""
    return f"/*<![CDATA[*/\n{text}/*]]>*/"


def content_hash(text: str) -> str:
    """Return the source expression by which a content policy lets `text` in."""
    digest = hashlib.sha256(text.encode()).digest()
    return f"sha256-{base64.b64encode(digest).decode()}"


@cache
def template() -> jinja2.Template:
    """Return the page without its content, compiled once."""
    return _environment().get_template("sheet.html.j2")


def _environment() -> jinja2.Environment:
    import jinja2

    found = jinja2.Environment(
        loader=jinja2.FileSystemLoader(_HERE / "templates"),
        bytecode_cache=_compiled(),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    found.globals.update(
        field_id=field_id,
        amount_data=amount_data,
        drawing_svg=lambda picture: ready(drawing_svg(picture)),
        marks_svg=lambda picture: ready(marks_svg(picture)),
    )
    found.filters["ended"] = ended
    found.tests["text"] = lambda value: isinstance(value, str)
    found.tests["caution"] = lambda entry: type(entry).__name__ == "Caution"
    return found


def _compiled() -> jinja2.BytecodeCache | None:
    """Keep compiled templates where Python keeps compiled modules; None where it may not."""
    import jinja2

    place = _HERE / "__pycache__"
    usable = not sys.dont_write_bytecode and place.is_dir() and os.access(place, os.W_OK)
    return jinja2.FileSystemBytecodeCache(str(place)) if usable else None


def ready(text: str) -> Any:
    """Return a text that is already HTML or SVG, not to be escaped again."""
    from markupsafe import Markup

    return Markup(text)
