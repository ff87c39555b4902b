"""How sizes are written on every drawing: mm, and inches in brackets where the design asks."""

from __future__ import annotations

from dataclasses import dataclass

from geometry.sheet.font import text_width
from recipes.tables.fits import Limits
from recipes.units import MM_PER_INCH, format_number


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
