"""Requests for quotation, one for each addressee, ready to paste: plain text, no markup."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from typing import Final

from recipes.design.lamination import TabNotch
from recipes.design.shop import Shop
from recipes.design.units import counted, format_number
from recipes.manufacturing.kerf import Kerf
from recipes.manufacturing.order_line import Addressee, OrderLine, one_line, plain
from recipes.tables.process import Process, process
from recipes.tables.reader import TableError
from recipes.tables.steel import steel_grade

WIDTH: Final = 92

#: Highest burr on a sheet, mm (common practice).
BURR: Final = 0.05

_NAMES: Final = {"wire-edm": "wire EDM"}

_PROCESS: Final[dict[str, tuple[str, ...]]] = {
    "laser": (
        "No heat tint at the tooth tips: cut with nitrogen or the like, low heat.",
        "Cut single sheets, never a stack.",
    ),
    "waterjet": (
        "Taper all one way on every piece. Cut single sheets, never a stack.",
        "Rinse, dry and oil the pieces at once; rust keeps glue from holding.",
    ),
    "wire-edm": (
        "A clamped stack of sheets may be cut at once; no weld anywhere on it.",
        "Start holes only inside holes or outside the outline. Rinse and dry at once.",
    ),
}


def request_for_quotation(
    addressee: Addressee,
    lines: Sequence[OrderLine],
    name: str,
    shop: Shop,
    kerf: Kerf,
    tab: TabNotch | None,
) -> str:
    """Return the text of one request.

    Args:
        addressee: who reads it.
        lines: those of this addressee.
        name: of the design.
        shop: how the sheet is cut, and whom to ask back.
        kerf: what of it is drawn in.
        tab: notches for tabs in the sheet, if any.
    """
    subject = {
        "cutting shop": "sheet parts to cut",
        "plate cutter": "plates to cut",
        "turner": "parts to turn",
        "wire merchant": "wire order",
        "bearing merchant": "bearing order",
    }[addressee]
    contact = one_line(shop.contact) or "a reply to this mail reaches me"
    ask = f"When in doubt please ask first: {contact}."
    if addressee == "cutting shop":
        text = _to_shop(lines, process(shop.process), kerf, tab)
    elif addressee == "plate cutter":
        text = _to_plate_cutter(lines)
    elif addressee == "turner":
        text = [*_to_turner(lines), "", "Limits and tolerances are on the drawings."]
    else:
        text = _to_merchant(lines)
    head = f"Subject: {subject}, {one_line(name)}"
    return "\n".join([head, "", "Hello,", "", *text, ask]) + "\n"


def _bullet(text: str, mark: str = "- ", indent: str = "") -> str:
    rest = indent + " " * len(mark)
    return textwrap.fill(
        one_line(text),
        WIDTH,
        initial_indent=indent + mark,
        subsequent_indent=rest,
        break_long_words=False,
        break_on_hyphens=False,
    )


def _to_shop(
    lines: Sequence[OrderLine], shop: Process, kerf: Kerf, tab: TabNotch | None
) -> list[str]:
    parts = [line for line in lines if line.kind == "part"]
    first = [line for line in parts if line.purpose]
    rest = [line for line in parts if not line.purpose]
    text = [
        f"please quote and cut these parts ({_NAMES.get(shop.name, shop.name)}). One file is one part; the name of the file",
        "says part, thickness, number of pieces and kerf. Files are DXF, 1:1, in millimetres.",
        "",
        *_sheets(parts),
    ]
    if first and rest:
        text += [
            "",
            "FIRST, alone: the test coupon. Please hold all the rest until I have measured it.",
        ]
    elif first:
        text += ["", "The test coupon:"]
    text += [row for line in first for row in _piece(line)]
    if rest:
        text += ["", "THEN, when I have said so:" if first else "The parts:"]
        text += [row for line in rest for row in _piece(line)]
    text += ["", "What matters:", *[_bullet(w) for w in _wishes(len(parts), shop, kerf, tab)]]
    return [*text, "", _totals(parts), ""]


def _to_plate_cutter(lines: Sequence[OrderLine]) -> list[str]:
    plates = dict.fromkeys((line.material, line.thickness_mm) for line in lines)
    wishes = (
        "Check the overall size after import. If it is 25.4 times too large or too small, the unit "
        "was lost on the way: it is millimetres.",
        "Lead-ins: in the waste inside the hole, and outside the outline; the outside stays as cut.",
        "The hole in the middle is bored after that: leave it as drawn, do not widen it.",
        "Holes that you can drill: their places are on the drawing.",
        *dict.fromkeys(note for line in lines for note in line.notes if "kerf" in note),
    )
    return [
        "please quote and cut these plates. Files are DXF, 1:1, in millimetres.",
        "",
        "Plate:",
        *(
            _bullet(f"{material}, {plain(thickness or 0.0)} mm thick, flat, with its certificate")
            for material, thickness in plates
        ),
        "",
        "The parts:",
        *(row for line in lines for row in _piece(line)),
        "",
        "What matters:",
        *(_bullet(f"{wish[0].upper()}{wish[1:].rstrip('.')}.") for wish in wishes),
        "",
        _totals(lines),
        "",
    ]


def _sheets(parts: Sequence[OrderLine]) -> list[str]:
    kinds = dict.fromkeys((line.material, line.thickness_mm) for line in parts)
    rows = ["Sheet:"]
    for material, thickness in kinds:
        try:
            grade = f"{steel_grade(material).name} to EN 10106, non-oriented electrical steel"
        except TableError:
            grade = f"{material}, electrical steel"
        rows.append(
            _bullet(
                f"{grade}, {plain(thickness or 0.0)} mm thick, insulating coating on both faces as the "
                "mill supplies it. Please tell me which coating, and ask before you take another grade."
            )
        )
    return rows


def _piece(line: OrderLine) -> list[str]:
    file = next((f for f in line.files if f.startswith("cut/")), "(no file)")
    each = (
        f"each: cut {format_number((line.cut_length_mm or 0.0) / 1000.0, 3)} m, pierce {line.pierces} x, "
        f"net area {format_number((line.area_mm2 or 0.0) / 100.0, 2)} cm2"
    )
    if line.mass_kg is not None:
        each += f", {format_number(1000.0 * line.mass_kg / line.quantity, 1)} g"
    return [
        _bullet(f"{line.amount}: {file.removeprefix('cut/')}"),
        _bullet(f"{line.item}, {line.size}", "", "  "),
        _bullet(each, "", "  "),
    ]


def _wishes(count: int, shop: Process, kerf: Kerf, tab: TabNotch | None) -> Iterator[str]:
    """Yield what matters to `count` different parts."""
    yield (
        "Check the overall size after import. If it is 25.4 times too large or too small, the unit "
        "was lost on the way: it is millimetres."
    )
    yield _kerf(kerf)
    yield f"Tolerance: +/- {plain(shop.tolerance_mm)} mm on every edge and hole; tell me if you cannot hold it."
    yield (
        f"Burr: at most {plain(BURR)} mm, and on the same side of every piece. Deburr flat; do not round "
        "the tooth tips, do not tumble."
    )
    yield _tabs(tab)
    yield "Lead-ins: in waste, never in the bottom of a slot nor on the flank of a tooth."
    yield from _PROCESS.get(shop.name, ())
    if count > 1:
        yield "Some files look alike: keep their pieces apart and mark each pack with the name of its file."
    yield "Nest the parts as suits you. Change nothing in an outline without asking."


def _kerf(kerf: Kerf) -> str:
    if kerf.drawn:
        said = (
            f"Kerf: {plain(kerf.drawn)} mm full width is drawn in already (outer edges "
            f"{plain(kerf.drawn / 2)} mm outside, holes {plain(kerf.drawn / 2)} mm inside the finished "
            "ones). Follow the line, do not compensate again."
        )
    else:
        said = "Kerf: drawn nominal, no kerf applied. Please compensate for the width of your cut."
    return said + (" The bore is drawn as my test piece asked for." if kerf.bore else "")


def _tabs(tab: TabNotch | None) -> str:
    if tab is None:
        return (
            "Tabs: none if the piece can be held without; else only in the middle of a tooth tip or in "
            "the bore, undercut or dressed flush: nothing may stand out into the air gap."
        )
    place = "in the middle of the tooth tips" if tab.place == "tip" else "in the bore"
    return (
        f"Tabs and lead-ins of the stator sheet: only in the {tab.count} notches {place} "
        f"({plain(tab.width)} x {plain(tab.depth)} mm); a stub must stay below the surface."
    )


def _totals(parts: Sequence[OrderLine]) -> str:
    cut = sum(line.quantity * (line.cut_length_mm or 0.0) for line in parts) / 1000.0
    pierces = sum(int(line.quantity) * (line.pierces or 0) for line in parts)
    area = sum(line.quantity * (line.area_mm2 or 0.0) for line in parts) * 1e-6
    masses = [line.mass_kg for line in parts]
    mass = sum(m for m in masses if m is not None)
    weighed = f", {format_number(mass, 2)} kg" if None not in masses else ""
    count = sum(int(line.quantity) for line in parts)
    return (
        f"In all: {counted(count, 'piece')}, {format_number(cut, 1)} m of cut, {counted(pierces, 'pierce')}, net area "
        f"{format_number(area, 3)} m2{weighed}."
    )


def _to_turner(lines: Sequence[OrderLine]) -> list[str]:
    text = ["please quote and make:"]
    for line in lines:
        head = f"{line.amount} {line.item}, {line.material}"
        text.append(_bullet(f"{head}, {line.size}" if line.size else head))
        if line.kind != "part":
            text.append(_bullet(line.purpose, "", "  "))
            continue
        text.append(_bullet("files: " + ", ".join(line.files), "", "  "))
        text += [_bullet(note, "- ", "  ") for note in line.notes]
    return text


def _to_merchant(lines: Sequence[OrderLine]) -> list[str]:
    text = ["please quote:"]
    for line in lines:
        head = f"{line.amount} {line.item}" + (f", {line.material}" if line.material else "")
        text.append(_bullet(f"at least {head}" if line.unit in ("kg", "cm2", "m") else head))
        if line.size:
            text.append(_bullet(line.size, "", "  "))
    return [*text, ""]
