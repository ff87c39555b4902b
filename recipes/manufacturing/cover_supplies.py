"""What the covers of the rotor need besides plate: the lathe, bolts, nuts, washers, jack screws."""

from __future__ import annotations

from collections.abc import Iterator

from recipes.covers.closed_rotor import ClosedRotor
from recipes.design.covers import Covers
from recipes.manufacturing.order_line import PRACTICE, OrderLine, both_units, plain

_SOURCE = "stack-up of the design; heads and nuts ISO 4762, ISO 4014, ISO 4032"


def cover_lines(
    covers: Covers, closed: ClosedRotor, drawings: tuple[str, ...]
) -> Iterator[OrderLine]:
    """Yield the lines of an order that covers need besides their plates.

    Args:
        covers: table of the design.
        closed: what follows from it.
        drawings: paths in the pack of the drawings of both covers.
    """
    yield OrderLine(
        "turning the covers",
        2,
        "pieces",
        "turner",
        "part",
        material=covers.material,
        size="pocket, lip, register and seat face, as drawn, from the cut plates",
        files=drawings,
        notes=("bring both bearings and the ring: they are the gauges",),
    )
    yield from _bolts(covers, closed)
    jack = covers.jack_screws
    if jack:
        length = closed.arranged.magnets[1] - closed.arranged.magnets[0] + 2 * covers.thickness
        yield OrderLine(
            "jack screws for the covers",
            jack.count,
            "pieces",
            size=f"{jack.thread} threaded rod or screw, at least {both_units(length)} long, end rounded",
            purpose="lets the rotor down over the stator, turn by turn, and presses the cover off",
            source=PRACTICE,
        )


def _bolts(covers: Covers, closed: ClosedRotor) -> Iterator[OrderLine]:
    bolts, thread = closed.bolts, covers.bolts.thread
    past, sold = covers.bolts.path == "past the ring", bolts.length is not None
    standard = "ISO 4762" if covers.bolts.head == "socket" else "ISO 4014"
    length = bolts.least if bolts.length is None else bolts.length
    what = f"{standard} - {thread} x {plain(length, 0)} - 8.8" if sold else f"{thread} threaded rod"
    yield OrderLine(
        "bolts of the covers",
        bolts.number,
        "pieces",
        material="steel 8.8; stainless A2-70 where it gets wet",
        size=(what if sold else f"{what}, {both_units(length)} long, a nut on both ends")
        + f"; clamps {both_units(bolts.grip)}",
        purpose="covers on the ring",
        confidence="standard",
        source=_SOURCE,
    )
    nuts = 0 if not past else bolts.number if sold else 2 * bolts.number
    if nuts:
        yield OrderLine(
            "nuts for the bolts of the covers",
            nuts,
            "pieces",
            material="steel, class 8",
            size=f"ISO 4032 - {thread}, or self-locking",
            purpose="covers on the ring",
            confidence="standard",
            source=_SOURCE,
        )
    yield OrderLine(
        "washers for the bolts of the covers",
        bolts.number + nuts if sold else nuts,
        "pieces",
        material="steel",
        size=f"ISO 7089 - {thread[1:]}",
        purpose="under heads and nuts: plate is softer than they are",
        confidence="standard",
        source=_SOURCE,
    )
