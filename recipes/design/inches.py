"""Lengths in sentences for who works in inches: inches first, millimetres in brackets.

The whole house writes its sentences in mm. Where a text leaves the tool and the design counts in
inches, it passes here, once: `said` for a sentence, `reworded` for data that holds sentences,
`typed` for what a fix asks to type into the file. Text that says inches already stays as it is, so
that a sentence may pass twice.

    "a wire slot of 5.08 mm"          -> "a wire slot of 0.2 in (5.08 mm)"
    "20.00 x 15.50 mm (0.787 x ...)"  -> "0.787 x 0.610 in (20.00 x 15.50 mm)"
    "cut 2.94 m"                      -> "cut 9.65 ft (2.94 m)"
    "use shoulder.width = 6.35"       -> "use shoulder.width = 0.25"
    'type narrower_by = "0.13 mm"'    -> the same: a value in quotes is typed letter by letter

An inch figure has about as many places as the one in mm is sure of: 0.1 mm and 0.01 mm give 0.001 in
(common practice). A figure after "at least" is rounded up and one after "at most" down, so that what
is typed literally still passes.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from typing import Any, Final, TypeVar, cast

from geometry.finding import Finding
from recipes.design.units import MM_PER_INCH

#: Inches (or feet, square inches ...) in one metric unit, and what that is called.
_UNITS: Final[dict[str, tuple[Decimal, str]]] = {
    "um": (Decimal(1) / Decimal("25400"), "in"),
    "µm": (Decimal(1) / Decimal("25400"), "in"),
    "μm": (Decimal(1) / Decimal("25400"), "in"),
    "mm": (Decimal(1) / Decimal("25.4"), "in"),
    "cm": (Decimal(10) / Decimal("25.4"), "in"),
    "m": (Decimal(1000) / Decimal("304.8"), "ft"),
    "mm2": (Decimal(1) / Decimal("645.16"), "in2"),
    "mm²": (Decimal(1) / Decimal("645.16"), "in²"),
    "cm2": (Decimal(100) / Decimal("645.16"), "in2"),
}

#: Places of the inch figure by places of the metric one.
_PLACES: Final[dict[str, dict[str, tuple[int, ...]]]] = {
    "in": {"um": (4, 5, 5, 6), "mm": (2, 3, 3, 4, 5), "cm": (1, 2, 3)},
    "ft": {"m": (1, 2, 2, 3, 3)},
    "in2": {"mm2": (4, 4, 5, 5), "cm2": (2, 2, 3)},
}

_NUMBER = r"[-−+]?\d+(?:\.\d+)?"
_FIGURE = rf"(?:⌀ ?|R ?|± ?|\+-|\+/- )?{_NUMBER}"
#: What may stand between the figures of one unit; a list or a pair of words only after a decimal.
_JOIN = r"(?: to | [x×] | / | ?± ?| ?\+- ?| \+/- |(?<=\.\d)(?:, | and | or )|(?<=\.\d\d)(?:, | and | or )|(?<=\.\d\d\d)(?:, | and | or ))"  # fmt: skip
_UNIT = r"(?:mm2|mm²|cm2|[uµμ]m|mm|cm|m)"
_END = r"(?![\w²³/·*]| per | of (?:wire )?per )"
_LENGTH = rf"(?<![\w.=°^/])(?<!\d-)(?P<figures>{_FIGURE}(?:{_JOIN}{_FIGURE})*)(?P<space>[ \u00a0]|-(?=mm))(?P<unit>{_UNIT}){_END}"
#: Inches first already, or as an aside behind the mm.
_DONE = r"[\d./ ]*[\d.](?:[^\d()]{1,4}[\d./]+)*[ \u00a0-](?:in|ft|in2)[ \u00a0]\([^()]*m[m2²]?\)"
_ASIDE = rf"(?P<both>{_LENGTH})[ \u00a0]\((?P<aside>[^()]*[\d.][ \u00a0]in)\)"
#: A value as the file writes it, which is to be typed letter by letter.
_QUOTED = rf'"{_NUMBER} {_UNIT}"'
_TEXT: Final = re.compile(rf"(?P<done>{_DONE}|{_QUOTED})|{_ASIDE}|{_LENGTH.replace('?P<', '?P<_')}")
_COUNT: Final = re.compile(r"^(\d{1,2}(?: [x×] ))(?=\D?\d+\.\d)")
#: "1 x" within a list of several: "2 x 0.13, 1 x 0.8 mm".
_INNER_COUNT: Final = re.compile(r"(?<=, )\d{1,2}(?= [x×] )")
_FIGURE_OR_COUNT: Final = re.compile(rf"(?P<count>{_INNER_COUNT.pattern})|{_NUMBER}")
_LIMITS: Final = re.compile(r"(\d+\.\d{3}) to (\d+\.\d{3})")
_UP: Final = re.compile(r"(?:at least|least|needs?|not under|must be over)(?: about)? $")
_DOWN: Final = re.compile(r"(?:at most|most|up to|under|not over)(?: about)? $")
_TYPED: Final = re.compile(
    rf"(?P<field>[a-z_]+(?:(?:\.|\[\d+\]\.)[a-z_]+)* = )(?P<number>{_NUMBER})(?P<unit> mm)?(?![\w.]| (?:in|ft|deg|°)\b)"
)

Value = TypeVar("Value")


class Wording:
    """Writer of sentences: of a design in mm as they are, of one in inches with inches first.

    Args:
        inches: whether the design counts in inches.
        fractions: lengths that the file says as a fraction: mm to what was written, "1 1/4 in".
        lengths: names of the fields that are lengths, the last part alone.
    """

    def __init__(
        self, inches: bool, fractions: Mapping[float, str], lengths: frozenset[str]
    ) -> None:
        """Keep them."""
        self.inches = inches
        self._fractions = {f"{mm:.4f}": text for mm, text in fractions.items()}
        self._lengths = lengths

    def said(self, text: str) -> str:
        """Return a sentence with inches before all lengths."""
        if not self.inches or not any(c.isdigit() for c in text):
            return text
        return _TEXT.sub(self._one, text)

    def _one(self, found: re.Match[str]) -> str:
        if found["done"]:
            return found["done"]
        if found["aside"] and found["unit"] != "m":
            return f"{found['aside']} ({found['both']})"
        sort = "" if found["aside"] else "_"
        figures, space, unit = (found[sort + name] for name in ("figures", "space", "unit"))
        count = _COUNT.match(figures)
        front = count[1] if count else ""
        figures = figures[len(front) :]
        before = found.string[: found.start()] + front
        after = found.string[found.end() :]
        way = ROUND_HALF_EVEN
        if _UP.search(before) or after.startswith((" or more", " at least")):
            way = ROUND_CEILING
        elif _DOWN.search(before) or after.startswith((" or less", " at most")):
            way = ROUND_FLOOR
        name = _UNITS[unit][1]
        if pair := _LIMITS.fullmatch(figures):  # limits of a fit: inward, as the drawing has them
            ends = [ROUND_CEILING, ROUND_FLOOR]
            ends = ends if float(pair[1]) <= float(pair[2]) else ends[::-1]
            inches = " to ".join(self._figure(pair[k], unit, ends[k - 1]) for k in (1, 2))
        else:
            inches = _FIGURE_OR_COUNT.sub(
                lambda n: n[0] if n["count"] else self._figure(n[0], unit, way), figures
            )
        if front and _INNER_COUNT.search(figures):  # several counts: the list stays whole
            return f"{front}{inches}{space}{name} ({front}{figures}{space}{unit})"
        if space == "-":
            return f"{front}{inches}-{name} ({figures} {unit})"
        return f"{front}{inches}{space}{name} ({figures}{space}{unit})"

    def figures(self, text: str, unit: str) -> str:
        """Return bare figures in mm, um or m as bare figures in inches or feet."""
        return re.sub(_NUMBER, lambda n: self._figure(n[0], unit), text)

    def _figure(self, number: str, unit: str, way: str = ROUND_HALF_EVEN) -> str:
        """Return one number in the unit that the trade would use."""
        value = Decimal(number.replace("−", "-"))
        if unit == "mm" and (text := self._fractions.get(f"{float(value):.4f}")):
            return re.sub(r'\s*(?:in|inch|inches|")$', "", text)
        factor, name = _UNITS[unit]
        exact = value * factor
        metric = {"µm": "um", "μm": "um", "mm²": "mm2"}.get(unit, unit)
        places = _PLACES[name.replace("²", "2")][metric]
        decimals = len(number.partition(".")[2])
        keep = places[min(decimals, len(places) - 1)]
        if exact:  # at least two digits that count
            keep = max(keep, 1 - math.floor(math.log10(abs(exact))))
        near = exact.quantize(Decimal(1).scaleb(-keep), ROUND_HALF_EVEN)
        # what came from inches goes back to them, whatever side is asked for
        whole = abs(near - exact) * Decimal("1e6") < max(abs(exact), Decimal(1))
        shown = near if whole else exact.quantize(Decimal(1).scaleb(-keep), way)
        text = f"{shown:f}"
        text = text.rstrip("0").rstrip(".") if "." in text else text
        text = "0" if text in ("-0", "") else text
        return f"+{text}" if number.startswith("+") else text.replace("-", number[0], 1) if number[0] == "−" else text  # fmt: skip

    def typed(self, text: str) -> str:
        """Return a fix: values to type in inches, then its other lengths as in a sentence."""
        if not self.inches:
            return text

        def one(found: re.Match[str]) -> str:
            name = re.split(r"[.\]]", found["field"][:-3])[-1]
            if name not in self._lengths:
                return found[0]
            mm = Decimal(found["number"].replace("−", "-"))
            inch = f"{mm / Decimal(str(MM_PER_INCH)):.4f}".rstrip("0").rstrip(".")
            fraction = self._fractions.get(f"{float(mm):.4f}")
            shown = f'"{fraction}"' if fraction else inch
            return f"{found['field']}{shown}" + (f" ({mm} mm)" if found["unit"] else "")

        kept: list[str] = []

        def keep(found: re.Match[str]) -> str:
            kept.append(one(found))
            return f"\0{len(kept) - 1}\0" if kept[-1] != found[0] else found[0]

        said = self.said(_TYPED.sub(keep, text))
        return re.sub(r"\0(\d+)\0", lambda n: kept[int(n[1])], said)

    def finding(self, found: Finding) -> Finding:
        """Return a finding in inches; its value and limit stay what they are."""
        if not self.inches:
            return found
        return replace(
            found,
            message=self.said(found.message),
            fix=self.typed(found.fix),
            source=self.said(found.source),
        )

    def reworded(self, value: Value) -> Value:
        """Return data with all sentences in it in inches: names, keys, paths and drawings stay."""
        return cast("Value", self._walk(value)) if self.inches else value

    def _walk(self, value: Any) -> Any:
        if isinstance(value, str):
            return self.said(value)
        if isinstance(value, Finding):
            return self.finding(value)
        if isinstance(value, tuple | list):
            return type(value)(self._walk(v) for v in value)
        if is_dataclass(value) and not isinstance(value, type):
            changed = {
                f.name: self._walk(getattr(value, f.name))
                for f in fields(value)
                if f.name in _SENTENCES
            }
            if getattr(value, "unit", "") == "m" and hasattr(value, "quantity"):  # bought by length
                feet = math.ceil(value.quantity * 1000 / 304.8 - 1e-9)
                changed |= {"quantity": feet, "unit": "ft"}
            if getattr(value, "unit", "") == "mm" and hasattr(value, "record"):  # to be written in
                changed["unit"] = "in"
            return replace(value, **changed)
        return value


#: Fields of order lines and of the build sheet that hold sentences, or what holds some.
_SENTENCES: Final = frozenset(
    [
        "material",
        "size",
        "purpose",
        "notes",
        "item",
        "source",
        "text",
        "words",
        "title",
        "aim",
        "entries",
        "needs",
        "figures",
        "grids",
        "blanks",
        "rows",
        "caption",
        "alt",
        "marks",
        "pictures",
        "steps",
        "summary",
        "verdict",
        "measured",
        "parts",
        "meaning",
        "findings",
        "fields",
        "value",
        "limits",
    ]
)
