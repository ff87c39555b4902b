"""The order as two files: `order.md` to read and paste from, `order.csv` for a spreadsheet.

Every request in `order.md` stands in a fence of its own, so that it can be copied as it is. The CSV
follows RFC 4180: commas, CRLF, quotes doubled, a point in every number. A cell that a spreadsheet
would take for a formula gets an apostrophe in front (OWASP, "CSV Injection").
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from geometry.part import Part
from recipes.design import Design
from recipes.design.units import counted, format_number
from recipes.manufacturing.kerf import Kerf
from recipes.manufacturing.nest_plan import nest_path
from recipes.manufacturing.order_line import (
    ADDRESSEES,
    Addressee,
    OrderLine,
    one_line,
    plain,
    total_cost,
)
from recipes.manufacturing.request_for_quotation import request_for_quotation

#: Columns of the CSV, and the field of an order line that each shows; of "currency" see `order_csv`.
_FIELDS: Final = {
    "for_whom": "addressee",
    "kind": "kind",
    "item": "item",
    "part": "part",
    "quantity": "quantity",
    "unit": "unit",
    "material": "material",
    "size": "size",
    "thickness_mm": "thickness_mm",
    "length_m": "length_m",
    "cut_length_mm_each": "cut_length_mm",
    "pierces_each": "pierces",
    "net_area_mm2_each": "area_mm2",
    "mass_kg_all": "mass_kg",
    "cost_all": "cost",
    "currency": "",
    "purpose": "purpose",
    "files": "files",
    "notes": "notes",
    "confidence": "confidence",
    "source": "source",
}
COLUMNS: Final = tuple(_FIELDS)

#: What a spreadsheet may take for the start of a formula, wide forms included.
_FORMULA: Final = re.compile("['\"]*[=+\\-@\uff0b\uff0d\uff1d\uff20]")

_TITLES: Final[dict[Addressee, str]] = {
    "cutting shop": "To the cutting shop",
    "plate cutter": "To who cuts the plates of the covers",
    "wire merchant": "To the wire and insulation merchant",
    "bearing merchant": "To the bearing merchant",
    "turner": "To the turner",
}

_BEFORE: Final[dict[Addressee, tuple[str, ...]]] = {
    "cutting shop": (
        "Send only the files named, never a nest: a shop nests by itself.",
        "Type what the coupon measures into `[shop.measured]` and build again before the rest is cut.",
        "Cut sheets have razor edges: gloves to unpack them.",
    ),
    "plate cutter": (
        "It may be the same shop; plate is often cut by waterjet where sheet is cut by laser.",
        "Ask what the smallest hole is that they cut in this thickness.",
    ),
    "wire merchant": (
        "Wind a trial coil from what you have first; wire is the dear part of this order.",
        "Read class and overall diameter off the label before you wind.",
    ),
    "bearing merchant": ("The bearings must be on the bench before the axle is turned.",),
    "turner": ("Take the bearings and the glued stack along: they are the gauges.",),
}


_SURE: Final = {
    "standard": "standard",
    "maker": "maker's data",
    "practice": "common practice",
    "yours": "yours",
}


def order_markdown(
    design: Design, kerf: Kerf, lines: Sequence[OrderLine], nests: Sequence[Part] = ()
) -> str:
    """Return `order.md`: a request for quotation for each addressee, then what the builder needs.

    Args:
        design: its name, shop, tab notches and rates are read.
        kerf: of the shop.
        lines: from `recipes.report.order.order_lines`.
        nests: from `recipes.manufacturing.nest_plan.nest_parts`, if the design asks for them.
    """
    out = [
        f"# What to order for {_cell(design.name)}",
        "",
        "Each grey box is one mail: copy it as it is. Read the sentences above it first.",
    ]
    for addressee in ADDRESSEES:
        own = [line for line in lines if line.addressee == addressee]
        sent = [line for line in own if line.kind != "charge"]
        if addressee in _TITLES and sent:
            out += ["", f"## {_TITLES[addressee]}", ""]
            out += [f"- {words}" for words in _BEFORE[addressee]]
            text = request_for_quotation(
                addressee, sent, design.name, design.shop, kerf, design.lamination.tab_notch
            )
            out += ["", "```text", text.replace("`", "'").rstrip(), "```"]
    out += _arriving(lines)
    own = [line for line in lines if line.addressee == "yourself"]
    for title, kind in (
        ("To make yourself", "part"),
        ("To have on the shelf", "supply"),
        ("Tools to have or to make", "tool"),
    ):
        chosen = [line for line in own if line.kind == kind]
        if chosen:
            out += ["", f"## {title}", "", *(row for line in chosen for row in _entry(line))]
    out += _nests(nests)
    out += _costs(lines, design.rates.currency)
    out += _sureness(lines)
    return "\n".join(map(design.wording.said, out)) + "\n"


def _arriving(lines: Iterable[OrderLine]) -> Iterator[str]:
    """Yield what the builder does with the parts from the shop."""
    heading: tuple[str, ...] = ("", "## When the sheets arrive", "")
    for line in lines:
        said = [n for n in line.notes if not n.startswith(("drawn ", "burr ", "cut first"))]
        if line.addressee == "cutting shop" and said:
            yield from heading
            heading = ()
            yield f"- {_cell(line.item)}"
            yield from (f"  - {_cell(note)}" for note in said)


def _entry(line: OrderLine) -> Iterator[str]:
    facts = [line.material, line.size, line.purpose]
    yield f"- **{line.amount}** {_cell(line.item)}: " + "; ".join(_cell(f) for f in facts if f)
    if line.files:
        yield "  - files: " + ", ".join(f"`{f}`" for f in line.files)
    for note in line.notes:
        yield f"  - {_cell(note)}"


def _nests(nests: Sequence[Part]) -> Iterator[str]:
    if not nests:
        return
    figures = nests[0].settings
    width, height = (plain(float(figures[k])) for k in ("sheet_width_mm", "sheet_height_mm"))
    count = sum(part.quantity for part in nests)
    yield from ("", "## Nest for your own machine", "")
    yield (
        f"{counted(count, 'blank')} of {width} x {height} mm, {plain(100 * float(figures['use_of_all_blanks']), 1)} % "
        f"of them used; {plain(float(figures['part_gap_mm']))} mm between pieces, "
        f"{plain(float(figures['sheet_margin_mm']))} mm to the edge. Compare a quote with it, but send "
        "a shop the single parts."
    )
    yield ""
    for part in nests:
        on_it = ", ".join(
            f"{n} {key.removeprefix('pieces_')}"
            for key, n in part.settings.items()
            if key.startswith("pieces_")
        )
        yield f"- **{counted(part.quantity, 'blank')}** `{nest_path(part)}`: {_cell(on_it)} on each"


def _costs(lines: Sequence[OrderLine], currency: str) -> Iterator[str]:
    total = total_cost(lines)
    if total is None:
        return
    money = _cell(currency) or "in your currency"
    yield from ("", "## What it costs by your own rates", "")
    yield f"| for whom | item | cost, {money} |"
    yield "|---|---|---:|"
    for line in lines:
        if line.cost is not None:
            yield f"| {line.addressee} | {_cell(line.item)} | {format_number(line.cost, 2)} |"
    yield f"| | together | {format_number(total, 2)} |"
    yield ""
    yield (
        "Only what `[rates]` prices; no tax, no carriage. Sheet is counted as the box round each piece "
        "with its gap."
    )


def _sureness(lines: Iterable[OrderLine]) -> Iterator[str]:
    """Yield a table of sources, with the things that rest on each."""
    groups: dict[tuple[str, str], dict[str, None]] = {}
    for line in lines:
        if line.kind != "charge":
            groups.setdefault((line.confidence, line.source), {})[line.item] = None
    yield from ("", "## How sure each figure is", "")
    yield "| how sure | where from | what |"
    yield "|---|---|---|"
    for (confidence, source), items in sorted(groups.items()):
        yield f"| {_SURE[confidence]} | {_cell(source)} | {_cell('; '.join(items))} |"


def _cell(text: str) -> str:
    """Return a text that stays in its table cell or list entry."""
    return re.sub(r"([\\`*_\[\]<>|])", r"\\\1", one_line(text))


def order_csv(lines: Iterable[OrderLine], currency: str) -> str:
    """Return `order.csv`: one row a line, numbers without units, units in the heads.

    Args:
        lines: of the order.
        currency: of the user's own rates; shown where there is a cost.
    """
    page = io.StringIO(newline="")
    writer = csv.writer(page, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for line in lines:
        shown = {
            **vars(line),
            "files": " ".join(line.files),
            "notes": "; ".join(line.notes),
            "": currency if line.cost is not None else "",
        }
        writer.writerow([_defused(shown[field]) for field in _FIELDS.values()])
    return page.getvalue()


def _defused(value: str | float | int | None) -> str:
    """Return a cell: a number with a point, or a text on one line that no spreadsheet computes."""
    if value is None:
        return ""
    if isinstance(value, int | float):
        return plain(value, 6)
    text = one_line(value)
    return f"'{text}" if _FORMULA.match(text) else text
