"""Tools to have or to make before the parts arrive, with their sizes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from recipes.design import Design
from recipes.design.lamination import Lamination
from recipes.design.units import format_number
from recipes.manufacturing.order_line import PRACTICE, OrderLine, both_units, plain
from recipes.stator.slot import SlotShape
from recipes.tables.fits import fit_limits
from recipes.tables.reader import TableError
from recipes.winding.resistance import WindingResistance
from recipes.winding.wire_order import Tension
from recipes.winding.wire_run import Bobbin

#: Mandrel beyond both ends of the stack together, for plates and nuts, mm.
MANDREL_BEYOND: Final = 60.0

#: Play of a drift in the lined opening, mm.
DRIFT_PLAY: Final = 0.3

#: Least thickness of a clamp plate, mm, and as a share of the sheet's diameter.
PLATE_LEAST, PLATE_SHARE = 8.0, 0.08


#: Range of one outside micrometer (ISO 3611, from memory); ranges of bore gauges and lengths of callipers
#: as they are sold (common practice), mm.
MICROMETER_STEP: Final = 25.0
BORE_GAUGES: Final = (
    (6.0, 10.0),
    (10.0, 18.0),
    (18.0, 35.0),
    (35.0, 60.0),
    (50.0, 160.0),
    (160.0, 250.0),
)
CALLIPERS: Final = (150.0, 200.0, 300.0, 500.0)


def tool_lines(
    design: Design,
    slot: SlotShape,
    stack_length: float,
    liner_body: float,
    pull: Tension,
    resistance: WindingResistance,
    bobbin: Bobbin | None,
    shafts: Sequence[float],
    bores: Sequence[float],
) -> list[OrderLine]:
    """Return the tools, in the order in which they are needed.

    Args:
        design: its lamination, keyway and liner are read.
        slot: the exact tooth and slot.
        stack_length, liner_body: of the stack, and of the liner inside it, mm.
        pull: on the wire.
        resistance: of the winding.
        bobbin: for a wire that winds several coils; None where none does.
        shafts, bores: diameters to be measured to 0.01 mm, mm; the greatest are the calliper's too.
    """
    lam, t = design.lamination, design.liner.thickness
    return [
        _tool(
            "fine stone and magnifier", 1, "takes the burr off edges; never rounds the tooth tips"
        ),
        *_stacking(lam, design.hub.keyway is not None, stack_length),
        *_lining(slot, t, liner_body),
        *_winding(slot.opening - 2 * t, liner_body, lam.bore_diameter, pull),
        *_bobbin(bobbin),
        *_sizes(shafts, bores, lam.outer_diameter),
        *_measuring(resistance),
    ]


def _tool(
    item: str, quantity: int, purpose: str, size: str = "", *notes: str, source: str = PRACTICE
) -> OrderLine:
    return OrderLine(
        item,
        quantity,
        "pieces",
        kind="tool",
        size=size,
        purpose=purpose,
        notes=notes,
        source=source,
    )


def _stacking(lam: Lamination, keyed: bool, stack_length: float) -> list[OrderLine]:
    try:
        limits = fit_limits(lam.bore_diameter, "g6")
        size = (
            f"{format_number(limits.min_size_mm, 3)} to {format_number(limits.max_size_mm, 3)} mm"
        )
        source = f"g6 of {limits.source}"
    except TableError:
        size, source = f"0.01 to 0.03 mm below {plain(lam.bore_diameter)} mm", PRACTICE
    plate = max(PLATE_LEAST, PLATE_SHARE * lam.outer_diameter)
    return [
        _tool(
            f"stacking mandrel{' with the key' if keyed else ''}",
            1,
            "lines the sheets up while they are glued",
            f"diameter {size}, at least {both_units(stack_length + MANDREL_BEYOND)} long",
            "grease or wax it, or it stays in",
            source=source,
        ),
        _tool(
            "clamp plates",
            2,
            "press the stack flat over yoke and teeth while the glue sets",
            f"flat, at least {plain(plate, 0)} mm thick, outside {both_units(lam.outer_diameter - 1.0)}, "
            f"hole {both_units(lam.bore_diameter + 0.5)}",
            "film or paper between plate and sheet; sheets are razor-sharp: gloves",
        ),
    ]


def _lining(slot: SlotShape, paper: float, liner_body: float) -> list[OrderLine]:
    wall = [s.start for s in slot.wall]
    wide = 2 * max(p.y for p in wall) - 2 * paper
    deep = max(p.x for p in wall) - min(p.x for p in wall) - paper
    return [
        _tool(
            "liner former, hardwood or brass",
            1,
            "bends the long folds of the liner round it",
            f"section of the slot less its paper, {both_units(wide, deep)} at most, "
            f"{both_units(liner_body + 20.0)} long",
            "the print of the slot and a trial strip are its template",
        ),
        _tool(
            "sharp knife, steel rule, cutting mat", 1, "cuts the paper parts along the templates"
        ),
    ]


def _winding(clear: float, liner_body: float, bore: float, pull: Tension) -> list[OrderLine]:
    """Return what winds through an opening `clear` mm wide between its papers."""
    low, high = pull.together_N
    together = f", {plain(low, 0)} to {plain(high, 0)} N on all {pull.strands}"
    return [
        _tool(
            "wooden wedges",
            6,
            "hold liners and finished coil sides down while you wind on",
            f"tapering to less than {both_units(clear)}, about {plain(liner_body, 0)} mm long",
        ),
        _tool(
            "drift of hardwood or fibre, smooth edges",
            1,
            "pushes turns down through the opening",
            f"{both_units(max(0.5, clear - DRIFT_PLAY))} thick, nowhere metal",
        ),
        _tool(
            "winding holder",
            1,
            "lets the stator turn tooth by tooth, with both hands free",
            f"pin for a bore of {both_units(bore)}",
        ),
        _tool(
            "wire brake with felt, and a spring balance",
            1,
            "keeps an even pull on the wire",
            f"{plain(pull.least_N, 1)} to {plain(pull.most_N, 1)} N on each wire"
            + (together if pull.strands > 1 else ""),
            source="half to four fifths of a wire maker's limit, common practice",
        ),
    ]


def _bobbin(bobbin: Bobbin | None) -> list[OrderLine]:
    """Return what carries the wire of a route from tooth to tooth."""
    if bobbin is None:
        return []
    return [
        _tool(
            "bobbin or shuttle",
            1,
            "carries the longest wire of a route round the teeth",
            f"holds {plain(bobbin.length_m, 1)} m in all, {plain(1000 * bobbin.mass_kg, 0)} g; "
            f"{plain(bobbin.room_cm3, 0)} cm3 between its flanges",
            source="turn beside turn, a third more for hands, common practice",
        )
    ]


def _sizes(shafts: Sequence[float], bores: Sequence[float], across: float) -> list[OrderLine]:
    """Return micrometers, bore gauges and the calliper that reach the sizes of this motor, mm."""
    outside = {math.ceil(d / MICROMETER_STEP - 1e-9) for d in shafts} | {1}
    spans = [(MICROMETER_STEP * (k - 1), MICROMETER_STEP * k) for k in sorted(outside)]
    inside = sorted({span for d in bores for span in BORE_GAUGES if span[0] < d <= span[1]})
    reach = next((r for r in CALLIPERS if r >= max(across, *bores)), CALLIPERS[-1])
    return [
        *(
            _tool(
                f"outside micrometer {plain(low, 0)} to {plain(high, 0)} mm",
                1,
                _reached("sheet thickness, pile of 20" if not low else "", shafts, (low, high)),
                "reads 0.01 mm",
                source="ISO 3611: ranges of 25 mm, from memory",
            )
            for low, high in spans
        ),
        *(
            _tool(
                f"bore gauge {plain(low, 0)} to {plain(high, 0)} mm",
                1,
                _reached("", bores, (low, high)),
                "reads 0.01 mm; set it with the outside micrometer",
                source="ranges of bore gauges, common practice; an inside micrometer serves as well",
            )
            for low, high in inside
        ),
        _tool(
            f"calliper to {plain(reach, 0)} mm",
            1,
            "coupon, stack, tooth tips, everything to 0.05 mm",
            "reads 0.02 mm or less",
            source="lengths that callipers are sold in, common practice",
        ),
    ]


def _reached(first: str, sizes: Sequence[float], span: tuple[float, float]) -> str:
    """Return what a gauge measures: `first`, and the sizes inside its range."""
    found = sorted({d for d in sizes if span[0] < d <= span[1]})
    return ", ".join([*([first] if first else []), *(both_units(d) for d in found)])


def _measuring(resistance: WindingResistance) -> list[OrderLine]:
    low, high = resistance.lead_band_ohm
    return [
        _tool(
            "four-wire milliohm meter" if resistance.needs_four_wires else "ohmmeter",
            1,
            "compares the three lead pairs before power is put on",
            f"{plain(1000 * low, 1)} to {plain(1000 * high, 1)} mOhm between two leads at 20 C",
            source="wire standard's band and 4 % slack",
        ),
        _tool(
            "insulation tester, 500 V direct",
            1,
            "winding against steel, before sensors are connected",
            "",
            "it charges the winding: touch nothing, discharge afterwards; who has no practice with "
            "it lets a motor shop test",
        ),
    ]
