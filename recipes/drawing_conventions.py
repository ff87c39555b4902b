"""What every drawing shares: how sizes are written, the imprint, the title block, the choice of sheet.

Sizes are in mm, with inches in brackets where the design asks for them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from geometry.drafting.drawing import Drawing
from geometry.drafting.font import SMALLEST_TEXT, text_width
from geometry.drafting.legible import legibility
from geometry.drafting.sheet import Sheet, TitleBlock, framed_sheet
from geometry.errors import GeometryError
from recipes.design.shop import Print
from recipes.design.units import MM_PER_INCH, format_number
from recipes.refusal import Refused, stop
from recipes.tables.fits import Limits


@dataclass(frozen=True)
class Words:
    """Writer of sizes.

    Args:
        inches: add inches in brackets.
    """

    inches: bool

    @property
    def unit(self) -> str:
        """What sizes are in, for the head of a table."""
        return "mm [in]" if self.inches else "mm"

    def size(self, mm: float, before: str = "") -> str:
        """Return "⌀22" or "⌀22 [0.866]" with what stands `before` the number."""
        return f"{before}{plain(mm)}{self._bracket(inch(mm))}"

    def lines(self, mm: float, before: str = "", after: str = "") -> tuple[str, ...]:
        """Return the size on one line and its inches, if any, on the next."""
        first = f"{before}{plain(mm)}{after}"
        return (first, f"[{inch(mm)}]") if self.inches else (first,)

    def limits(self, limits: Limits) -> tuple[str, ...]:
        """Return "⌀25 h6", its largest and smallest size in mm, and in inches if asked for."""
        name = f"⌀{plain(limits.nominal_mm)} {limits.fit}"
        return (name, *self._pair(limits.max_size_mm, limits.min_size_mm, 3))

    def within(self, mm: float, tolerance: float, before: str = "") -> tuple[str, ...]:
        """Return "⌀62 ±0.1", and the same in inches on the next line if asked for."""
        first = f"{before}{plain(mm)} ±{plain(tolerance)}"
        return (first, f"[{inch(mm)} ±{inch(tolerance)}]") if self.inches else (first,)

    def under_size(self, mm: float, before: str, under: float) -> tuple[str, ...]:
        """Return a size that may be smaller by `under`, never larger."""
        first = f"{before}{plain(mm)} 0/−{plain(under)}"
        return (first, f"[{inch(mm)} / {inch(mm - under)}]") if self.inches else (first,)

    def reference(self, mm: float, before: str = "") -> tuple[str, ...]:
        """Return a size that follows from others, in round brackets (ISO 129-1)."""
        first = f"{before}({plain(round(mm, 2))})"
        return (first, f"[({inch(mm)})]") if self.inches else (first,)

    def pair(self, before: str, one: float, two: float) -> tuple[str, ...]:
        """Return two sizes that belong together: "slot 8 × 22"."""
        first = f"{before}{plain(one)} × {plain(two)}"
        return (first, f"[{inch(one)} × {inch(two)}]") if self.inches else (first,)

    def _pair(self, high: float, low: float, decimals: int) -> tuple[str, ...]:
        mm = f"{format_number(high, decimals)} / {format_number(low, decimals)}"
        if not self.inches:
            return (mm,)
        return mm, f"[{inch(high, 4)} / {inch(low, 4)}]"

    def _bracket(self, text: str) -> str:
        return f" [{text}]" if self.inches else ""


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


def fitted(text: str, width: float, height: float) -> str:
    """Return `text`, cut short with an ellipsis where it would be wider than `width` mm."""
    text = " ".join(text.split())
    if text_width(text, height) <= width:
        return text
    while text and text_width(f"{text}…", height) > width:
        text = text[:-1]
    return f"{text.rstrip()}…"


def papers(printer: Print) -> tuple[str, str]:
    """Return the papers that are tried: A4 (Letter where the design prints on it), then A3."""
    return "Letter" if printer.page == "Letter" else "A4", "A3"


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
            material=fitted(material, 108.0, SMALLEST_TEXT),
            scale=scale,
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
                f"{field} = {value:g} mm: no drawing of this {what} can be read on A4 or A3 at a "
                "standard scale",
                value=value,
                fix="leave out holes, keys or marks",
                source="ISO 5455",
            )
        )
    return best
