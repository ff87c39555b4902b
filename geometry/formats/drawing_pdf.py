"""Drawings -> one PDF, a page each: vectors at true size, the font embedded, no date, no chance.

The same drawings give the same bytes. The file asks the viewer not to scale when it prints
(ViewerPreferences PrintScaling None, ISO 32000-1 12.2); no viewer is bound to obey, so pages
that must measure right carry rulers (`geometry.printing.page`).
"""

from __future__ import annotations

import io
import math
import unicodedata
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache
from typing import TYPE_CHECKING

from geometry.drafting.drawing import STYLES, TONES, Drawing, Fill, Stroke, Text
from geometry.drafting.font import FONT_NAME, em, font_file
from geometry.errors import GeometryError
from geometry.formats.embedded_design import pieces
from geometry.point import Point
from geometry.segment import Arc, Segment

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

# Arcs as cubic Bezier curves, for page formats that know no arc.
#
# A cubic over 90 degrees strays 2.73e-4 of the radius from the arc, and that falls with the sixth
# power of the angle: 36 degrees on a radius of 90 mm stray 0.1 micrometre, 90 degrees on a wire of
# 0.7 mm (radius 0.35 mm) too. So small circles, of which a sheet holds the most, need few curves.

#: How far a curve may stray from its arc, mm.
STRAY = 1e-4
#: How far a cubic over a quarter turn strays, in radii.
QUARTER_STRAY = 2.73e-4

Cubic = tuple[Point, Point, Point]


def span(radius: float) -> float:
    """Return the greatest angle in rad that one cubic may span on an arc of `radius` mm."""
    return math.pi / 2 * min(1.0, math.pow(STRAY / (QUARTER_STRAY * radius), 1 / 6))


def cubics(arc: Arc) -> list[Cubic]:
    """Return (control, control, end) of the cubics that replace `arc`, in order of travel.

    Control points lie on the tangents at 4/3 tan(span/4) of the radius, the usual choice that
    makes the middle of the curve lie on the arc. The last end is the arc's own end.
    """
    sweep, (cx, cy), (x, y), stop = arc.sweep, arc.center, arc.start, arc.end
    ax, ay = x - cx, y - cy  # the spoke to the start
    count = max(1, math.ceil(abs(sweep) / span(math.hypot(ax, ay)) - 1e-9))
    step = sweep / count
    reach = 4.0 / 3.0 * math.tan(step / 4.0)
    curves = []
    for k in range(1, count + 1):
        if k < count:
            c, s = math.cos(k * step), math.sin(k * step)
            end = Point(cx + c * ax - s * ay, cy + s * ax + c * ay)
        else:
            end = stop
        ex, ey = end
        one = Point(x - reach * (y - cy), y + reach * (x - cx))
        two = Point(ex + reach * (ey - cy), ey - reach * (ex - cx))
        curves.append((one, two, end))
        x, y = ex, ey
    return curves


#: Points (1/72 in) per millimetre.
POINTS = 72.0 / 25.4


def load() -> None:
    """Load reportlab and give it the font."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen import canvas  # noqa: F401 - the first to ask loads it

    if FONT_NAME not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(TTFont(FONT_NAME, str(font_file())))


def write_pdf(drawings: Sequence[Drawing], *, title: str, payload: str = "") -> bytes:
    """Return a PDF with one page for each drawing.

    Args:
        drawings: the pages, in order.
        title: name of the document; reduced to ASCII for the file's metadata.
        payload: a text to travel inside, found again by `geometry.formats.embedded_design.extract`.

    Raises:
        GeometryError: no drawing.
    """
    if not drawings:
        raise GeometryError("a PDF needs at least one drawing")
    load()
    from reportlab.pdfgen.canvas import Canvas

    stream = io.BytesIO()
    canvas = Canvas(stream, pageCompression=1, invariant=1, initialFontName=FONT_NAME)
    canvas.setTitle(ascii_words(title))
    canvas.setAuthor("")
    canvas.setSubject("")
    canvas.setCreator("lamwright")
    canvas.setKeywords("".join(pieces(payload)))
    canvas.setViewerPreference("PrintScaling", "None")
    with _plain_streams():
        for drawing in drawings:
            canvas.setPageSize((drawing.width_mm * POINTS, drawing.height_mm * POINTS))
            _Page(canvas, drawing).draw()
            canvas.showPage()
        canvas.save()
    return stream.getvalue()


def ascii_words(text: str) -> str:
    """Return `text` in ASCII: accents dropped, anything else replaced by "?"."""
    plain = unicodedata.normalize("NFKD", text)
    kept = "".join(c for c in plain if not unicodedata.combining(c))
    return kept.encode("ascii", "replace").decode("ascii")


@contextmanager
def _plain_streams() -> Iterator[None]:
    """Switch off reportlab's base 85 coding, which every reader can do without, for a while."""
    from reportlab import rl_config

    before = rl_config.useA85
    rl_config.useA85 = 0
    try:
        yield
    finally:
        rl_config.useA85 = before


class _Page:
    """One drawing on the open page of a canvas.

    Lines, fills and words are written as operators of the page (ISO 32000-1 8.5, 9.4): there are
    thousands, and reportlab takes most of its time to print their numbers. Which code stands for
    which letter is reportlab's choice: it embeds the font.
    """

    def __init__(self, canvas: Canvas, drawing: Drawing) -> None:
        from reportlab.pdfbase.pdfmetrics import getFont

        self.canvas, self.drawing, self.font = canvas, drawing, getFont(FONT_NAME)
        (self.sx, self.sy), (w, h) = drawing.print_scale, (drawing.width_mm, drawing.height_mm)
        # places of the sheet in points, stretched about the middle for the printer
        self.ax, self.ay = self.sx * POINTS, self.sy * POINTS
        self.bx, self.by = (1 - self.sx) * w / 2 * POINTS, (1 - self.sy) * h / 2 * POINTS
        self.code, self.style = ["1 j"], ""

    def draw(self) -> None:
        """Draw every item in order."""
        for item in self.drawing.items:
            if isinstance(item, Stroke):
                self._stroke(item)
            elif isinstance(item, Fill):
                self._fill(item)
            else:
                self._text(item)
        self.canvas.addLiteral("\n".join(self.code))

    def _at(self, p: Point) -> tuple[float, float]:
        """Return a place of the sheet in points."""
        return self.ax * p[0] + self.bx, self.ay * p[1] + self.by

    def _stroke(self, item: Stroke) -> None:
        if item.style != self.style:
            style = STYLES[item.style]
            dashes = " ".join(f"{d * POINTS:.4f}" for d in style.dashes)
            cap = 0 if dashes else 1
            self.code.append(f"{style.width * POINTS:.4f} w [{dashes}] 0 d {cap} J")
            self.style = item.style
        self._trace(item.segments, closed=item.closed)
        self.code.append("S")

    def _fill(self, item: Fill) -> None:
        red, green, blue = TONES[item.tone]
        self.code.append(f"{red:g} {green:g} {blue:g} rg")
        for loop in item.loops:
            self._trace(loop.segments, closed=True)
        self.code.append("f* 0 g")

    def _trace(self, run: Sequence[Segment], *, closed: bool) -> None:
        """Add the operators of one run of edges: m, l, c, h."""
        add, ax, bx, ay, by = self.code.append, self.ax, self.bx, self.ay, self.by
        x, y = run[0].start
        add(f"{ax * x + bx:.4f} {ay * y + by:.4f} m")
        for segment in run:
            if isinstance(segment, Arc):
                for (p, q), (u, v), (x, y) in cubics(segment):
                    add(
                        f"{ax * p + bx:.4f} {ay * q + by:.4f} {ax * u + bx:.4f} {ay * v + by:.4f} "
                        f"{ax * x + bx:.4f} {ay * y + by:.4f} c"
                    )
            else:
                x, y = segment.end
                add(f"{ax * x + bx:.4f} {ay * y + by:.4f} l")
        if closed:
            add("h")

    def _text(self, item: Text) -> None:
        """Add the operators of one text (ISO 32000-1 9.4), as reportlab writes them."""
        x, y = self._at(item.start)
        c, s = math.cos(item.angle), math.sin(item.angle)
        turn = _often(self.sx * c, self.sy * s, -self.sx * s, self.sy * c)
        place, size = _numbers(x, y), em(item.height_mm) * POINTS
        sized = f"{_often(size)} Tf {_often(size * 1.2)} TL"
        document, subset = self.canvas._doc, -1
        words = [f"BT 1 0 0 1 0 0 Tm {turn} {place} Tm"]
        for part, codes in self.font.splitString(item.text, document):
            if part != subset:
                words.append(f"{self.font.getSubsetInternalName(part, document)} {sized}")
                subset = part
            words.append(f"({codes.decode('latin-1').translate(_escapes())}) Tj")
        self.code.append(" ".join((*words, "ET")))


def _numbers(*values: float) -> str:
    """Return numbers as reportlab writes them."""
    from reportlab.lib.rl_accel import fp_str

    return str(fp_str(*values))


#: For slopes and sizes, of which a sheet has few.
_often = lru_cache(maxsize=256)(_numbers)


@lru_cache(maxsize=1)
def _escapes() -> dict[int, str]:
    """Return how reportlab writes each byte of a text."""
    from reportlab.lib.rl_accel import escapePDF

    return {code: escapePDF(bytes([code])) for code in range(256)}
