"""Shared by the tests of winding card and paper ring: stators of any size, and reading a sheet."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from geometry.drafting.drawing import Drawing, Fill, Stroke, Text
from geometry.point import Point
from geometry.printing.page import live_box
from recipes.motor import Motor
from tests.support.design import job

#: Slots -> poles: every kind that the card has to cope with.
SIZES = {3: 2, 6: 4, 9: 8, 12: 14, 18: 20, 24: 28, 48: 56, 51: 46, 72: 84, 120: 140}

STARTERS = ("potters-wheel", "kayak-thruster", "wool-spinner")


def motor(slots: int, **changes: object) -> Motor:
    """A stator of that many slots, with teeth and axle to suit."""
    outer = max(41.0, 2.37 * slots + 21.0)
    depth = 0.19 * outer if slots < 20 else 13.7
    pitch = math.pi * (outer - 2 * depth) / slots
    fields: dict[str, object] = {
        "motor__slots": slots,
        "motor__poles": SIZES[slots],
        "lamination__outer_diameter": outer,
        "lamination__bore_diameter": 0.21 * outer,
        "lamination__slot_depth": depth,
        "lamination__tooth_width": min(0.51 * pitch, 0.17 * outer),
        "lamination__slot_opening": 0.36 * outer if slots == 3 else min(2.1, 0.4 * pitch),
        "lamination__tip_thickness": 1.1,
        "lamination__tip_angle": 0 if slots < 9 else 11,
        "hub__spokes": None,
        "hub__keyway": None,
        "hub__yoke_thickness": None,
        "hub__rim_thickness": None,
        "wedge__thickness": 0.0,
        "separator__thickness": 0.0,
        "liner__thickness": 0.11,
        "winding__wire": "0.3 mm",
        "winding__strands": 1,
        "winding__turns": 13,
        "axle__shoulder": {"from_face": 94, "length": 8, "diameter": 0.24 * outer},
    }
    return job("potters-wheel", **{**fields, **changes})


def outside_live_area(drawing: Drawing, page: str, measured: tuple[float, float]) -> list[str]:
    """Everything that leaves the area which every printer prints on."""
    landscape = drawing.width_mm > drawing.height_mm
    x0, y0, x1, y1 = live_box(page, measured, landscape)  # type: ignore[arg-type] # a plain str from a test
    found = []
    for item in drawing.items:
        if isinstance(item, Text):
            spots: Iterable[Point] = item.corners()
        elif isinstance(item, Stroke):
            spots = [p for s in item.segments for p in (s.start, *s.chords(0.01))]
        else:
            spots = [p for loop in item.loops for p in loop.chords(0.01)]
        if any(
            not (x0 - 0.01 <= p.x <= x1 + 0.01 and y0 - 0.01 <= p.y <= y1 + 0.01) for p in spots
        ):
            found.append(item.text if isinstance(item, Text) else str(item)[:80])
    return found


def arrow_direction(fill: Fill) -> Point | None:
    """Where a bold arrow points (unit vector), None if the fill is no arrow of seven corners."""
    (loop, *more) = fill.loops
    if more or fill.tone != "black" or len(loop.segments) != 7:
        return None
    corners = [s.start for s in loop.segments]
    tail = corners[0].plus(corners[6]).times(0.5)
    return corners[3].minus(tail).unit()


def arrow_middle(fill: Fill) -> Point:
    corners = [s.start for s in fill.loops[0].segments]
    tail = corners[0].plus(corners[6]).times(0.5)
    return corners[3].plus(tail).times(0.5)


def crosses_on(end: float, sense: int, toward: Point) -> Point:
    """Where wire moves over an end of the stack, from the definition of "+" alone.

    "+" is counter-clockwise to who looks at the tooth's face from the air gap, that is inward: the
    right-hand rule then puts the turning vector against the look, outwards: a north pole. end +1 is the lead end, towards
    the reader of a lead-side picture; `toward` points along the tooth, in that picture.
    """
    wx, wy = sense * toward.x, sense * toward.y  # turning vector, in the plane of the sheet
    # velocity = turning vector x (0, 0, end)
    return Point(wy * end, -wx * end)


JOINT = re.compile(
    r"^(?:tooth (\d+) (start|finish)|([UVW][12])) to (?:tooth (\d+) (start|finish)|([UVW][12]))$"
)


@dataclass(frozen=True)
class PrintedJoint:
    """A line of the joint list as printed: (tooth, "start") or ("U1", "")."""

    phase: str
    one: tuple[str, str]
    two: tuple[str, str]


def printed_joints(sheets: Sequence[Drawing]) -> list[PrintedJoint]:
    """Every line of the joint list, its phase taken from the heading of its column."""
    found = []
    for sheet in sheets:
        heads = [(t.x, t.text[-1]) for t in sheet.texts if re.fullmatch(r"Phase [UVW]", t.text)]
        for text in sheet.texts:
            match = JOINT.match(text.text)
            if match:
                phase = max((x, name) for x, name in heads if x <= text.x)[1]
                a, e, terminal, b, f, other = match.groups()
                found.append(PrintedJoint(phase, (terminal or a, e or ""), (other or b, f or "")))
    return found


def followed(joints: Sequence[PrintedJoint], phase: str) -> list[list[int]]:
    """Follow the list by hand from each first terminal to the second: tooth numbers in order."""
    mine = [j for j in joints if j.phase == phase]
    chains = []
    for begin in (j for j in mine if j.one == (f"{phase}1", "")):
        chain, at = [], begin.two
        while at != (f"{phase}2", ""):
            assert at[1] == "start", at  # every coil is entered at its start
            chain.append(int(at[0]))
            (link,) = (j for j in mine if j.one == (at[0], "finish"))
            at = link.two
            assert len(chain) <= 120
        chains.append(chain)
    return chains


def printed_teeth(sheets: Sequence[Drawing]) -> dict[int, list[str]]:
    """The rows of the table of teeth as printed: number -> texts of the row, left to right."""
    rows: dict[int, list[str]] = {}
    for sheet in sheets:
        heads = [t for t in sheet.texts if t.text == "tooth"]
        for head in heads:
            lines: dict[float, list[Text]] = {}
            for text in sheet.texts:
                if text.y < head.y - 3.0:
                    lines.setdefault(round(text.y, 3), []).append(text)
            for texts in lines.values():
                texts.sort(key=lambda t: t.x)
                if abs(texts[0].x - head.x) < 0.01 and texts[0].text.isdigit():
                    number = int(texts[0].text)
                    assert number not in rows, number
                    rows[number] = [t.text for t in texts]
    return rows
