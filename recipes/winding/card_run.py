"""What the winding card says where one wire winds several coils: routes, bobbin, steps."""

from __future__ import annotations

from collections.abc import Sequence

from geometry.drafting.font import SMALLEST_TEXT, wrap
from geometry.drafting.sheet import PAD, table
from recipes.design.winding import Winding
from recipes.winding.layout import WindingLayout
from recipes.winding.resistance import CROSSOVER_RISE_MM, WindingResistance
from recipes.winding.wire_run import Bobbin, WireRun
from recipes.written_sheets import Flow

Row = tuple[str, ...]

ROUTES_HEAD: Row = (
    "wire",
    "route, by tooth numbers",
    "cut, crossovers in it",
    "expected",
    "measured",
)

#: Columns of the table of routes, mm; the route takes what is left.
WIRE, CUT, EXPECTED, MEASURED = 14.0, 38.0, 24.0, 22.0


def several_coils(winding: Winding) -> bool:
    """Tell whether one wire winds more than one coil."""
    return winding.run != "one wire a tooth"


def wire_name(run: WireRun, paths: int) -> str:
    """Return "U", or "U (2)" for the second parallel path."""
    return f"{run.phase} ({run.path})" if paths > 1 else run.phase


def length_text(metres: float, inches: bool) -> str:
    """Return a length of wire in m, and in feet where the design counts in inches."""
    return f"{metres:.2f} m" + (f" ({metres / 0.3048:.1f} ft)" if inches else "")


def route_rows(
    runs: Sequence[WireRun],
    layout: WindingLayout,
    paths: int,
    r: WindingResistance,
    inches: bool,
) -> tuple[Row, ...]:
    """Return name, route, cut and expected resistance of every wire.

    Args:
        runs: every wire from cut to cut.
        layout: phase and sense of every tooth.
        paths: in parallel in a phase.
        r: of the winding: band and temperature of the room.
        inches: whether the design counts in them.
    """
    unit, factor = ("mΩ", 1000.0) if r.coil_ohm < 1.0 else ("Ω", 1.0)
    warm = r.coil_at(r.room_C) / r.coil_ohm
    return tuple(
        (
            wire_name(run, paths),
            run.route(layout),
            f"{length_text(run.cut_m, inches)}, {run.crossovers_m:.2f} m",
            f"{factor * run.ohm * warm:#.3g}".rstrip(".") + f" {unit}",
        )
        for run in runs
    )


def paths_words(runs: Sequence[WireRun], paths: int, legal: Sequence[int]) -> str:
    """Return how many wires there are, and what parallel paths do to them."""
    longest = max(len(run.teeth) for run in runs)
    names = ", ".join(str(a) for a in legal)
    words = f"{len(runs)} wires, the longest over {longest} teeth. "
    if len(legal) == 1:
        return (
            words + "This pair of slots and poles has one path a phase, no other number is legal."
        )
    return (
        words
        + (
            f"Parallel paths: {paths}; legal are {names}. A wire ends with its path: more paths are more, "
            "shorter wires, all their starts on one terminal, and fewer turns in series"
        )
        + ("; every path must show the same resistance." if paths > 1 else ".")
    )


def route_table(flow: Flow, rows: Sequence[Row]) -> None:
    """Write the table of routes, as `route_rows` gives them, on as many sheets as it needs."""
    wide = flow.width - WIRE - CUT - EXPECTED - MEASURED
    widths = (WIRE, wide, CUT, EXPECTED, MEASURED)
    left = [
        (row[0], "\n".join(wrap(row[1], wide - 2 * PAD, SMALLEST_TEXT)), *row[2:], "")
        for row in rows
    ]
    while left:
        flow.title("Routes", "one wire each, uncut; crossovers on the lead side only", 24.0)
        n = len(left)
        while n > 1 and _height(left[:n], widths) > flow.left_over:
            n -= 1
        laid = table(flow.left, flow.y, [ROUTES_HEAD, *left[:n]], widths=widths)
        flow.add(laid.items, laid.height + 2.0)
        left = left[n:]
        if left:
            flow.new_sheet()


def _height(rows: Sequence[Row], widths: tuple[float, ...]) -> float:
    return table(0.0, 0.0, [ROUTES_HEAD, *rows], widths=widths).height


def bobbin_text(bobbin: Bobbin, inches: bool) -> str:
    """Return what a bobbin must hold."""
    return (
        f"{length_text(bobbin.length_m, inches)} in all, {1000 * bobbin.mass_kg:.0f} g, "
        f"{bobbin.copper_cm3:.1f} cm³ of copper"
    )


def run_steps(
    winding: Winding, lay: str, bobbin: Bobbin, end: str, tail: str, inches: bool
) -> tuple[str, ...]:
    """Return what is done for every wire.

    Args:
        winding: strands, and how far a wire goes.
        lay: how to lay and counting turns.
        bobbin: for the longest wire.
        end, tail: lengths to leave at a terminal, and at a joint to another wire, with units.
        inches: whether the design counts in them.
    """
    several = winding.strands > 1
    shorter = "" if winding.run == "one wire a phase" else f", {tail} where it is joined"
    together = f" all {winding.strands} strands side by side," if several else ""
    return (
        f"Cut by the table of routes and wind the wire onto a bobbin,{together} for the longest "
        f"{bobbin_text(bobbin, inches)}: {bobbin.room_cm3:.0f} cm³ between its flanges, wound by hand. "
        "A bobbin that passes beside the teeth saves pulling the wire through by its end.",
        f"Leave {end} at a terminal{shorter}, tag it with its name such as U1. On the lead side the wire "
        "goes down beside the first tooth of the route where the arrow points, close to the root.",
        lay,
        "The last turn comes up on the other side. Do not cut: hold the coil with a wedge, lead the wire "
        f"along the slot bottoms on the lead side to the next tooth of the route, {CROSSOVER_RISE_MM:g} mm "
        "clear of the cuffs, and go on by the arrow there. Where it crosses another phase, sleeve it.",
        "Before the next tooth: meter between the wire's beginning and steel. Anything but an open "
        'circuit: unwind that tooth, find the bare spot, patch or begin anew. Tick "clear".',
        "At the end of the route: tag, tie the crossovers down on the coil ends, write down the "
        "resistance of the wire.",
    )
