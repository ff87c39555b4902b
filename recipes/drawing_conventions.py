"""What every drawing shares: how sizes are written, the imprint, the title block, the choice of sheet.

Sizes are in mm; where the design counts in inches these come first, mm in brackets.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from geometry.drafting.drawing import Drawing
from geometry.drafting.font import SMALLEST_TEXT, text_width
from geometry.drafting.legible import legibility
from geometry.drafting.sheet import Sheet, TitleBlock, framed_sheet
from geometry.errors import GeometryError
from recipes.design.inches import Wording
from recipes.design.shop import Print
from recipes.design.units import MM_PER_INCH, format_number
from recipes.refusal import Refused, stop
from recipes.tables.fits import Limits


@dataclass(frozen=True)
class Words:
    """Writer of sizes.

    Args:
        inches: inches first, mm in brackets.
    """

    inches: bool

    @property
    def unit(self) -> str:
        """What sizes are in, for the head of a table."""
        return "in [mm]" if self.inches else "mm"

    def said(self, text: str) -> str:
        """Return a sentence in the unit of the design."""
        return Wording(self.inches, {}, frozenset()).said(text)

    def size(self, mm: float, before: str = "") -> str:
        """Return "⌀22" or "⌀22 [0.866]" with what stands `before` the number."""
        return f"{before}{inch(mm)} [{plain(mm)}]" if self.inches else f"{before}{plain(mm)}"

    def zone(self, mm: float) -> str:
        """Return the width of a tolerance zone, in inches never wider: "0.02", "0.0007 [0.02]"."""
        if not self.inches:
            return plain(mm)
        return f"{format_number(math.floor(mm / MM_PER_INCH * 1e4 + 1e-6) / 1e4, 4)} [{plain(mm)}]"

    def lines(self, mm: float, before: str = "", after: str = "") -> tuple[str, ...]:
        """Return the size on one line and its inches, if any, on the next."""
        return self._two(inch(mm), plain(mm), before, after)

    def limits(self, limits: Limits) -> tuple[str, ...]:
        """Return "⌀25 h6", its largest and smallest size in mm, and in inches if asked for."""
        nominal = f"{inch(limits.nominal_mm)} " if self.inches else ""
        in_mm = f"⌀{plain(limits.nominal_mm)} {limits.fit}"
        name = f"⌀{nominal}[{in_mm}]" if nominal else in_mm
        return (name, *self._pair(limits.max_size_mm, limits.min_size_mm, 3))

    def within(self, mm: float, tolerance: float, before: str = "") -> tuple[str, ...]:
        """Return "⌀62 ±0.1", and the same in inches on the next line if asked for."""
        in_mm = f"{plain(mm)} ±{plain(tolerance)}"
        return self._two(f"{inch(mm)} ±{inch(tolerance)}", in_mm, before)

    def under_size(self, mm: float, before: str, under: float) -> tuple[str, ...]:
        """Return a size that may be smaller by `under`, never larger."""
        return self._two(f"{inch(mm)} 0/−{inch(under)}", f"{plain(mm)} 0/−{plain(under)}", before)

    def reference(self, mm: float, before: str = "") -> tuple[str, ...]:
        """Return a size that follows from others, in round brackets (ISO 129-1)."""
        return self._two(f"({inch(mm)})", f"({plain(round(mm, 2))})", before)

    def pair(self, before: str, one: float, two: float) -> tuple[str, ...]:
        """Return two sizes that belong together: "slot 8 × 22"."""
        return self._two(f"{inch(one)} × {inch(two)}", f"{plain(one)} × {plain(two)}", before)

    def _pair(self, high: float, low: float, decimals: int) -> tuple[str, ...]:
        mm = f"{format_number(high, decimals)} / {format_number(low, decimals)}"
        if not self.inches:
            return (mm,)
        return " / ".join(inch_limits(high, low)), f"[{mm}]"

    def _two(self, inches: str, mm: str, before: str = "", after: str = "") -> tuple[str, ...]:
        """Return the size on one line, in inches with mm on the next if asked for."""
        if not self.inches:
            return (f"{before}{mm}{after}",)
        return f"{before}{inches}{after}", f"[{mm}]"


@dataclass(frozen=True)
class Imprint:
    """What every sheet says of the design it belongs to, and what it is printed on.

    Args:
        name, slug: of the design, for people and for file names.
        revision: short hash of the design.
        inches: whether sizes are given in inches too.
        printer: the paper and how true the printer is.
    """

    name: str
    slug: str
    revision: str
    inches: bool
    printer: Print

    def said(self, text: str) -> str:
        """Return a sentence in the unit of the design."""
        return self.words.said(text)

    @property
    def words(self) -> Words:
        """Writer of sizes."""
        return Words(self.inches)


def plain(mm: float) -> str:
    """Return a length in mm with at most three decimals and no zeros at its end: 22, 9.525."""
    text = format_number(mm, 3)
    return text.rstrip("0").rstrip(".")


def inch(mm: float, decimals: int = 3) -> str:
    """Return a length in inches."""
    return format_number(mm / MM_PER_INCH, decimals)


def inch_limits(high: float, low: float) -> tuple[str, str]:
    """Return limits in mm as limits in inches that lie within them."""
    high, low = high / MM_PER_INCH * 1e4, low / MM_PER_INCH * 1e4
    inward = (math.floor(high + 1e-6), math.ceil(low - 1e-6))
    first, second = (format_number(n / 1e4, 4) for n in inward)
    return first, second


def fitted(text: str, width: float, height: float) -> str:
    """Return `text`, cut short with an ellipsis where it would be wider than `width` mm."""
    text = " ".join(text.split())
    if text_width(text, height) <= width:
        return text
    while text and text_width(f"{text}…", height) > width:
        text = text[:-1]
    return f"{text.rstrip()}…"


def sharp_edges(imprint: Imprint) -> str:
    """Return what the title block says of edges without a size."""
    return f"break sharp edges {'0.012-0.020' if imprint.inches else '0.3-0.5'}"


def papers(printer: Print) -> tuple[str, ...]:
    """Return the papers that are tried: A4 (Letter where the design prints on it), A3, then A2."""
    return "Letter" if printer.page == "Letter" else "A4", "A3", "A2"


def titled_sheet(
    imprint: Imprint, paper: str, scale: str, *, what: str, kind: str, material: str, edges: str
) -> Sheet:
    """Return a framed sheet whose title block names a part of the stator.

    Args:
        imprint: of the design.
        paper, scale: as chosen.
        what: the part in one word, first letter small.
        kind: of document, as in ISO 7200.
        material: shortened if it is longer than its field.
        edges: their state, as in ISO 13715.
    """
    return framed_sheet(
        paper,
        TitleBlock(
            title=fitted(f"{what.capitalize()}, {imprint.name}", 76.0, 3.5),
            number=fitted(f"{imprint.slug}-{what}", 46.0, SMALLEST_TEXT),
            document_type=kind,
            revision=imprint.revision,
            material=fitted(imprint.said(material), 108.0, SMALLEST_TEXT),
            scale=scale,
            units="in" if imprint.inches else "mm",
            edges=edges,
        ),
    )


def first_legible(
    tries: Iterable[Callable[[], Drawing]], field: str, value: float, what: str
) -> Drawing:
    """Return the first drawing without a fault in its lettering, else the first there is.

    Args:
        tries: each makes one drawing; one that raises `GeometryError` has no room.
        field, value: dotted design field that is to blame if there is none, and its value in mm.
        what: name of the part.

    Raises:
        Refused: no try gave a drawing.
    """
    best: Drawing | None = None
    for make in tries:
        try:
            drawing = make()
        except GeometryError:
            continue
        if not legibility(drawing):
            return drawing
        best = best or drawing
    if best is None:
        raise Refused(
            stop(
                "no-sheet",
                field,
                f"{field} = {value:g} mm: no drawing of this {what} can be read on A4 to A2 at a "
                "standard scale",
                value=value,
                fix="leave out holes, keys or marks",
                source="ISO 5455",
            )
        )
    return best
