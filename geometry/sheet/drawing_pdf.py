"""Drawings -> one PDF, a page each: vectors at true size, the font embedded, no date, no chance.

The same drawings give the same bytes. The file asks the viewer not to scale when it prints
(ViewerPreferences PrintScaling None, ISO 32000-1 12.2); no viewer is bound to obey, so pages
that must measure right carry rulers (`geometry.sheet.page`).
"""

from __future__ import annotations

import io
import math
import unicodedata
from collections.abc import Sequence
from typing import TYPE_CHECKING

from geometry.errors import GeometryError
from geometry.payload import pieces
from geometry.point import Point
from geometry.segment import Arc, Segment
from geometry.sheet.bezier import cubics
from geometry.sheet.drawing import TONES, Drawing, Fill, Stroke, Text
from geometry.sheet.font import FONT_NAME, em, font_file
from geometry.sheet.line_style import STYLES

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas
    from reportlab.pdfgen.pathobject import PDFPathObject

#: Points (1/72 in) per millimetre.
POINTS = 72.0 / 25.4


def write_pdf(drawings: Sequence[Drawing], *, title: str, payload: str = "") -> bytes:
    """Return a PDF with one page for each drawing.

    Args:
        drawings: the pages, in order.
        title: name of the document; reduced to ASCII for the file's metadata.
        payload: a text to travel inside, found again by `geometry.payload.extract`.

    Raises:
        GeometryError: no drawing.
    """
    if not drawings:
        raise GeometryError("a PDF needs at least one drawing")
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    if FONT_NAME not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(TTFont(FONT_NAME, str(font_file())))
    stream = io.BytesIO()
    canvas = Canvas(stream, pageCompression=1, invariant=1, initialFontName=FONT_NAME)
    canvas.setTitle(ascii_words(title))
    canvas.setAuthor("")
    canvas.setSubject("")
    canvas.setCreator("lamwright")
    canvas.setKeywords("".join(pieces(payload)))
    canvas.setViewerPreference("PrintScaling", "None")
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


class _Page:
    """One drawing on the open page of a canvas."""

    def __init__(self, canvas: Canvas, drawing: Drawing) -> None:
        self.canvas, self.drawing = canvas, drawing
        self.stretch = drawing.print_scale
        self.middle = Point(drawing.width_mm / 2, drawing.height_mm / 2)

    def draw(self) -> None:
        """Draw every item in order."""
        self.canvas.setLineJoin(1)
        for item in self.drawing.items:
            if isinstance(item, Stroke):
                self._stroke(item)
            elif isinstance(item, Fill):
                self._fill(item)
            else:
                self._text(item)

    def _at(self, p: Point) -> tuple[float, float]:
        """Return a place of the sheet in points, stretched about the middle for the printer."""
        return (
            (self.middle.x + (p.x - self.middle.x) * self.stretch[0]) * POINTS,
            (self.middle.y + (p.y - self.middle.y) * self.stretch[1]) * POINTS,
        )

    def _stroke(self, item: Stroke) -> None:
        style = STYLES[item.style]
        self.canvas.setLineWidth(style.width * POINTS)
        self.canvas.setDash([d * POINTS for d in style.dashes], 0)
        self.canvas.setLineCap(0 if style.dashes else 1)
        path = self.canvas.beginPath()
        self._trace(path, item.segments, closed=item.closed)
        self.canvas.drawPath(path, stroke=1, fill=0)

    def _fill(self, item: Fill) -> None:
        self.canvas.setFillColorRGB(*TONES[item.tone])
        path = self.canvas.beginPath()
        for loop in item.loops:
            self._trace(path, loop.segments, closed=True)
        self.canvas.drawPath(path, stroke=0, fill=1, fillMode=0)
        self.canvas.setFillGray(0.0)

    def _trace(self, path: PDFPathObject, run: Sequence[Segment], *, closed: bool) -> None:
        path.moveTo(*self._at(run[0].start))
        for segment in run:
            if isinstance(segment, Arc):
                for one, two, end in cubics(segment):
                    path.curveTo(*self._at(one), *self._at(two), *self._at(end))
            else:
                path.lineTo(*self._at(segment.end))
        if closed:
            path.close()

    def _text(self, item: Text) -> None:
        (x, y), (c, s) = self._at(item.start), (math.cos(item.angle), math.sin(item.angle))
        sx, sy = self.stretch
        words = self.canvas.beginText()
        words.setTextTransform(sx * c, sy * s, -sx * s, sy * c, x, y)
        words.setFont(FONT_NAME, em(item.height_mm) * POINTS)
        words.textOut(item.text)
        self.canvas.drawText(words)
