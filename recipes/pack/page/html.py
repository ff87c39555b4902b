"""The build sheet as one HTML file: no network, its own style and script inside, nothing else.

A policy in the page forbids the browser to fetch anything; style and script are let in by their
hashes alone. The page is sound XML too, so that it can be read back strictly. Text is escaped by jinja2; only SVG that was escaped where it was written goes in as
it is.
"""

from __future__ import annotations

import base64
import hashlib
import json
import os
import sys
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from recipes.order.mail import pieces
from recipes.pack.page.svg import drawing_svg, field_id, marks_svg

if TYPE_CHECKING:
    import jinja2

    from recipes.page.model import Amount, Sheet

_HERE = Path(__file__).parent

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
        pieces=pieces,
        field_id=field_id,
        amount_data=amount_data,
        drawing_svg=lambda picture: ready(drawing_svg(picture)),
        marks_svg=lambda picture: ready(marks_svg(picture)),
    )
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
