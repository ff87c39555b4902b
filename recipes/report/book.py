"""What every page of the build sheet is written from: motor, parts, results, order, files; and how to say them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from geometry.finding import Confidence, Finding
from recipes.assess import readings
from recipes.bench.reading import WORDS, said
from recipes.catalogue import Parts
from recipes.design.units import MM_PER_INCH, format_number
from recipes.manufacturing.order_line import OrderLine
from recipes.motor import Motor
from recipes.report.fields import field_note, length_text
from recipes.report.model import Amount, Blank, Figure, PackPath

if TYPE_CHECKING:
    from collections.abc import Sequence


# What the bench showed, beside what was expected: the one place where recorded values come in.


def measured_beside(motor: Motor, name: str) -> str:
    """Return what is recorded in the design for a field, and what it says; "" if nothing is.

    Args:
        motor: the design, with what `lamwright record` wrote into it.
        name: dotted field such as "measured.lead_u_v" or "shop.measured.outer_x"; "" for none.

    Returns:
        such as "471 mOhm, as expected", or the value alone where nothing is known to hold it against.

    Raises:
        KeyError: the schema has no such field.
    """
    if not name:
        return ""
    note = field_note(motor.design, name)
    if note.value == "left out":
        return ""

    row = next((r for r in readings(motor) if r.field == name and r.measured is not None), None)
    if row is None or row.measured is None:
        return note.value
    return f"{said(row.measured, row.unit)}, {WORDS[row.verdict]}"


#: What follows exactly from the builder's own dimensions is as sure as these are.
EXACT = "follows exactly from your own dimensions"


#: Inches or feet in a metric unit, and what they are called.
METRIC = {"mm": 1 / MM_PER_INCH, "µm": 1e-3 / MM_PER_INCH, "m": 1000.0 / (12 * MM_PER_INCH)}
NAMES = {"mm": "in", "m": "ft"}


@dataclass(frozen=True)
class Book:
    """Sources of the sheet.

    Args:
        motor: of a design without findings of level `stop`.
        parts: of that motor.
        results: as in `results.json`.
        findings: as in `findings.json`.
        lines: of the whole order.
        files: of the pack.
    """

    motor: Motor
    parts: Parts
    results: dict[str, float | int | str]
    findings: Sequence[Finding]
    lines: Sequence[OrderLine]
    files: Sequence[PackPath]

    def amount(self, key: str, digits: int | None = None, scale: float = 1.0) -> Amount:
        """Return a result as shown: with so many decimals, or as it is.

        Raises:
            KeyError: there is no such result.
        """
        raw = self.results[key]
        if digits is None or isinstance(raw, str):
            return Amount(f"{raw:g}" if isinstance(raw, float) else str(raw), raw, key)
        return Amount(format_number(raw * scale, digits), raw, key, scale)

    def length(self, key: str, digits: int = 2) -> tuple[Amount | str, ...]:
        """Return a length in mm, behind inches where the design counts in inches; unit included."""
        mm = self.amount(key, digits)
        if self.motor.design.units == "mm":
            return mm, " mm"
        inches = self.amount(key, 3, 1 / MM_PER_INCH)
        return inches, " in (", mm, " mm)"

    def said(self, mm: float, digits: int = 4) -> str:
        """Return a length with its unit, both units where the design counts in inches."""
        return length_text(mm, self.motor.design.units, digits)

    def figure(
        self,
        words: str,
        parts: tuple[Amount | str, ...] | Amount | str,
        unit: str = "",
        *,
        sure: Confidence = "practice",
        source: str = "common practice",
        fields: tuple[str, ...] = (),
        blanks: tuple[Blank, ...] = (),
    ) -> Figure:
        """Return one line of what to expect, with what was recorded for its blanks."""
        shown = parts if isinstance(parts, tuple) else (parts,)
        if self.motor.design.units == "in":
            shown, unit = self._inches_first(shown, unit)
        found = [m for b in blanks if (m := measured_beside(self.motor, b.record))]
        return Figure(words, shown, unit, sure, source, fields, blanks, "; ".join(found))

    def _inches_first(
        self, parts: tuple[Amount | str, ...], unit: str
    ) -> tuple[tuple[Amount | str, ...], str]:
        """Return figures and unit of a design in inches: inches or feet, metric in brackets."""
        if unit in NAMES:
            named = f" {NAMES[unit]} ("
            return (*(self._inches(p, unit) for p in parts), named, *parts, f" {unit})"), ""
        found: list[Amount | str] = []
        for part in parts:
            if isinstance(part, str) and part.startswith(" µm") and found:
                size = found.pop()
                found += [self._inches(size, "µm"), " in (", size, f" µm){part[3:]}"]
            else:
                found.append(part)
        return tuple(found), unit

    def _inches(self, part: Amount | str, unit: str) -> Amount | str:
        """Return a figure, or the words between two, in inches or feet."""
        say = self.motor.design.wording
        if isinstance(part, str):
            return say.figures(part, unit)
        if isinstance(part.raw, str):
            return part
        decimals = len(say.figures(part.text, unit).partition(".")[2])
        scale = part.scale * METRIC[unit]
        return replace(part, text=format_number(part.raw * scale, decimals), scale=scale)

    def exact(
        self,
        words: str,
        parts: tuple[Amount | str, ...] | Amount | str,
        unit: str = "",
        *,
        fields: tuple[str, ...],
        blanks: tuple[Blank, ...] = (),
    ) -> Figure:
        """Return a line that follows exactly from the builder's own dimensions."""
        return self.figure(
            words, parts, unit, sure="yours", source=EXACT, fields=fields, blanks=blanks
        )

    def paths(self, *parts: str, folder: str = "") -> tuple[str, ...]:
        """Return the files of parts by name, those in `folder` only if it is given."""
        return tuple(f.path for f in self.files if f.part in parts and f.path.startswith(folder))

    def path(self, path: str) -> tuple[str, ...]:
        """Return a file if the pack has it."""
        return tuple(f.path for f in self.files if f.path == path)
