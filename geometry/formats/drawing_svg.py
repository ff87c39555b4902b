"""A drawing -> SVG text, for previews and for pages in a browser.

Lines and letters take `currentColor`, so a page in dark colours shows them; width and height are
in mm and the viewBox counts mm, so printed without scaling it has its true size.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from html import escape

from geometry.drafting.drawing import STYLES, TONES, Drawing, Fill, Item, Stroke, Text
from geometry.drafting.font import FONT_NAME, em
from geometry.errors import GeometryError
from geometry.formats.drawing_pdf import write_pdf
from geometry.outline import Outline, Region
from geometry.segment import Arc, Segment

# Exact edges -> the text of an SVG path (SVG 1.1 section 8.3): M, L, A and Z, absolute.
#
# Coordinates are mm with y as in the model; who draws with y up flips by a transform. The sense
# of an A command follows the coordinates, so it stays right under that flip.

#: Longer arcs are drawn in pieces. An A command is given by its rounded ends and radius; near
#: a half turn its middle would be off by the root of twice the rounding times the radius
#: (0.1 mm at 90 mm and 4 decimals), and ends that round to one place would lose it altogether.
LONGEST_SWEEP = math.pi / 2

#: How a number is written with so many digits after its point; made once, as pages hold thousands.
_FORMS = tuple(f"%.{digits}f" for digits in range(13))


def path_data(shape: Outline | Region | Sequence[Segment], decimals: int = 4) -> str:
    """Return the `d` attribute of a path.

    Args:
        shape: an outline; a region (outer and holes in one path, for `fill-rule="evenodd"`
            and, as they run against each other, for "nonzero" too); or an open run of edges,
            in which an edge that does not touch the one before starts a new subpath.
        decimals: digits after the point; coordinates stray by half the last digit.
    """
    if isinstance(shape, Region):
        return " ".join(_closed(loop, decimals) for loop in (shape.outer, *shape.holes))
    if isinstance(shape, Outline):
        return _closed(shape, decimals)
    return _run(shape, decimals)


def number_text(value: float, decimals: int) -> str:
    """Return a number with a point, at most `decimals` digits after it, and never "-0"."""
    text = _FORMS[decimals] % value
    if decimals:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _closed(loop: Outline, decimals: int) -> str:
    """Return the loop with its last edge written out: Z alone would draw a straight one."""
    return f"{_run(loop.segments, decimals)} Z"


def _run(segments: Iterable[Segment], decimals: int) -> str:
    parts: list[str] = []
    at = None
    for edge in segments:
        if edge.start != at:
            parts.append(f"M {_place(edge.start, decimals)}")
        at = edge.end
        if isinstance(edge, Arc):
            parts += _arc(edge, decimals)
        else:
            parts.append(f"L {_place(at, decimals)}")
    return " ".join(parts)


def _arc(edge: Arc, decimals: int) -> list[str]:
    n = max(1, math.ceil(abs(edge.sweep) / LONGEST_SWEEP - 1e-9))
    radius = number_text(edge.radius, decimals)
    turn = 1 if edge.ccw else 0
    return [
        f"A {radius} {radius} 0 0 {turn} {_place(edge.point_at(k / n), decimals)}"
        for k in range(1, n + 1)
    ]


def _place(point: tuple[float, float], decimals: int) -> str:
    return f"{number_text(point[0], decimals)} {number_text(point[1], decimals)}"


#: Digits after the point of a millimetre.
DECIMALS = 4

_TONES = {
    "black": 'fill="currentColor"',
    "grey": 'fill="currentColor" fill-opacity="0.15"',
    "white": 'fill="#fff"',
    **{
        tone: 'fill="#{:02x}{:02x}{:02x}"'.format(*(round(255 * part) for part in parts))
        for tone, parts in TONES.items()
        if tone not in ("black", "grey", "white")
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


# A drawing as the bytes of a file whose ending tells the format.

#: Endings that can be written.
ENDINGS = (".svg", ".pdf")


def drawing_bytes(drawing: Drawing, ending: str) -> bytes:
    """Return the file.

    Args:
        drawing: the sheet.
        ending: one of `ENDINGS`, in any case.

    Raises:
        GeometryError: another ending; names the choices.
    """
    if ending.lower() == ".svg":
        return write_svg(drawing).encode("utf-8")
    if ending.lower() == ".pdf":
        return write_pdf((drawing,), title=drawing.title)
    raise GeometryError(
        f"a picture cannot be written as {ending or 'a file without ending'!r}",
        hint=f"let its name end in {' or '.join(ENDINGS)}",
    )
