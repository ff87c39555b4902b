"""A drawing -> SVG text, for previews and for pages in a browser.

Lines and letters take `currentColor`, so a page in dark colours shows them; width and height are
in mm and the viewBox counts mm, so printed without scaling it has its true size.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from html import escape

from geometry.drafting.drawing import STYLES, TONES, Drawing, Fill, Item, Stroke, Text
from geometry.drafting.font import FONT_NAME, em
from geometry.formats.svg_path import number_text, path_data
from geometry.outline import Outline
from geometry.segment import Arc

#: Digits after the point of a millimetre.
DECIMALS = 4

_TONES = {
    "black": 'fill="currentColor"',
    "grey": 'fill="currentColor" fill-opacity="0.15"',
    "white": 'fill="#fff"',
    **{
        tone: 'fill="#{:02x}{:02x}{:02x}"'.format(*(round(255 * part) for part in TONES[tone]))
        for tone in ("sky", "sand", "mint")
    },
}


def write_svg(drawing: Drawing) -> str:
    """Return the sheet as one SVG element, ready for a file or for HTML."""
    width, height = _number(drawing.width_mm), _number(drawing.height_mm)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" fill="none" stroke="none" role="img" '
        f"font-family=\"'{FONT_NAME}', 'Arial Narrow', Arial, sans-serif\">",
        f"<title>{escape(drawing.title, quote=False)}</title>",
    ]
    return "\n".join((*lines, *svg_elements(drawing.items, drawing.height_mm), "</svg>", ""))


def svg_elements(
    items: Iterable[Item], height_mm: float, decimals: int = DECIMALS, circles: bool = False
) -> Iterator[str]:
    """Yield the lines of SVG that draw `items`, grouped by style, for a page that frames them.

    Args:
        items: of a sheet, x to the right, y up, mm.
        height_mm: of that sheet: SVG counts y from its top.
        decimals: digits after the point of a millimetre in paths.
        circles: write full circles as such and not as paths of four arcs, which is shorter.
    """
    current = ""
    for item in items:
        opening = _opening(item, height_mm)
        if opening != current:
            if current:
                yield "</g>"
            yield opening
            current = opening
        yield (circles and _circle(item, decimals)) or _element(item, height_mm, decimals)
    if current:
        yield "</g>"


def _opening(item: Item, height: float) -> str:
    """Return the start tag of the group that `item` belongs in."""
    if isinstance(item, Text):
        return '<g class="text" fill="currentColor">'
    up = f'transform="matrix(1 0 0 -1 0 {_number(height)})"'
    if isinstance(item, Fill):
        return f'<g class="fill" fill-rule="evenodd" {up}>'
    style = STYLES[item.style]
    dashes = " ".join(_number(d) for d in style.dashes)
    ends = f'stroke-dasharray="{dashes}"' if dashes else 'stroke-linecap="round"'
    return (
        f'<g class="{style.name}" stroke="currentColor" stroke-width="{_number(style.width)}" '
        f'stroke-linejoin="round" {ends} {up}>'
    )


def _element(item: Item, height: float, decimals: int) -> str:
    if isinstance(item, Text):
        return _text(item, height)
    if isinstance(item, Fill):
        data = " ".join(path_data(loop, decimals) for loop in item.loops)
        return f'<path d="{data}" {_TONES[item.tone]}/>'
    run = Outline(item.segments) if item.closed else item.segments
    return f'<path d="{path_data(run, decimals)}"/>'


def _circle(item: Item, decimals: int) -> str:
    """Return a circle element if the item is one full circle, else ""."""
    if isinstance(item, Text):
        return ""
    if isinstance(item, Stroke):
        run, tone = item.segments, ""
    else:
        run, tone = (item.loops[0].segments, " " + _TONES[item.tone]) if len(item.loops) == 1 else ((), "")  # fmt: skip
    if len(run) != 2 or not all(isinstance(s, Arc) for s in run):
        return ""
    one, two = run
    assert isinstance(one, Arc)
    assert isinstance(two, Arc)
    if one.center != two.center or one.start != two.end:
        return ""
    x, y, r = (number_text(v, decimals) for v in (one.center.x, one.center.y, one.radius))
    return f'<circle cx="{x}" cy="{y}" r="{r}"{tone}/>'


def _text(item: Text, height: float) -> str:
    start, turn = item.start, math.degrees(-item.angle)
    x, y = _number(start.x), _number(height - start.y)
    rotate = f' transform="rotate({_number(turn)} {x} {y})"' if abs(turn) > 1e-9 else ""
    # textLength keeps the measured width when the reader's machine lacks the font.
    return (
        f'<text x="{x}" y="{y}" font-size="{_number(em(item.height_mm))}" '
        f'textLength="{_number(item.width)}" lengthAdjust="spacingAndGlyphs" '
        f'xml:space="preserve"{rotate}>{escape(item.text, quote=False)}</text>'
    )


def _number(value: float) -> str:
    return number_text(value, DECIMALS)
