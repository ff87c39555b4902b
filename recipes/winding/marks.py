"""Marks that winding card and paper rings share: sense arrows, hatching, names of phases.

A phase is told by its letter and by its hatching, so that neither a black printer nor a
colour-blind reader loses it: U lines, V crossed lines, W dots. Links between coils are told by
the kind of line.

What "+" means and which way its wire crosses an end: `recipes.winding.sense`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from geometry.drafting.dimension import upright
from geometry.drafting.drawing import Fill, Item, Items, Stroke, Text, Tone
from geometry.drafting.font import text_width
from geometry.drafting.symbol import hatch
from geometry.outline import Outline, Region
from geometry.point import Point
from recipes.winding.layout import Phase, Tooth

#: Kind of line (`geometry.drafting.drawing`) for the links of each phase.
LINK_STYLES: dict[Phase, str] = {"U": "visible", "V": "hidden", "W": "centre"}

#: Distance of hatch lines, and of dots, in mm.
LINES_APART, CROSSED_APART, DOTS_APART = 1.7, 2.1, 1.6
DOT_RADIUS = 0.3

PLUS, MINUS = "+", "\u2212"


@dataclass(frozen=True)
class Frame:
    """A frame on the sheet: x points along a tooth away from the axle, y counter-clockwise."""

    origin: Point
    angle: float

    def at(self, x: float, y: float = 0.0) -> Point:
        """Return the place on the sheet of (x, y), all in mm."""
        return self.origin.plus(Point(x, y).rotated(self.angle))


@dataclass(frozen=True)
class Block:
    """A coil as a block symmetric about its tooth: half widths at its inner and outer end, mm."""

    inner: float
    outer: float
    half_inner: float
    half_outer: float

    def half_at(self, x: float) -> float:
        """Return the half width at the distance x from the axle."""
        share = (x - self.inner) / (self.outer - self.inner)
        return self.half_inner + share * (self.half_outer - self.half_inner)

    def outline(self, frame: Frame) -> Outline:
        """Return its edge on the sheet."""
        corners = (
            (self.inner, -self.half_inner),
            (self.outer, -self.half_outer),
            (self.outer, self.half_outer),
            (self.inner, self.half_inner),
        )
        return Outline.polygon([frame.at(*c) for c in corners])


def sense_sign(tooth: Tooth) -> str:
    """Return "+" or the minus sign; "" for a bare tooth."""
    return {1: PLUS, -1: MINUS, 0: ""}[tooth.sense]


def coil_label(tooth: Tooth) -> str:
    """Return "U+" as printed on card and ring; "" for a bare tooth."""
    return f"{tooth.phase}{sense_sign(tooth)}"


def block_arrow(middle: Point, direction: float, length: float, width: float) -> Fill:
    """Return a bold arrow centred on `middle`; width is that of its head, mm."""
    head = min(0.55 * length, 1.1 * width)
    shaft = 0.18 * width
    along = [
        (-length / 2, -shaft),
        (length / 2 - head, -shaft),
        (length / 2 - head, -width / 2),
        (length / 2, 0.0),
        (length / 2 - head, width / 2),
        (length / 2 - head, shaft),
        (-length / 2, shaft),
    ]
    frame = Frame(middle, direction)
    return Fill((Outline.polygon([frame.at(*p) for p in along]),))


#: Colour of each phase, on top of its hatching and letter, which alone tell it already.
PHASE_TONES: dict[str, Tone] = {"U": "sky", "V": "sand", "W": "mint"}


def hatched_block(block: Block, frame: Frame, phase: Phase) -> Items:
    """Return a coil's block in the hatching of its phase."""
    edge = block.outline(frame)
    fine = min(1.0, max(0.6, (block.half_inner + block.half_outer) / 8.0))
    items: list[Item] = [Fill((edge,), PHASE_TONES.get(phase, "white"))]
    if phase == "U":
        items += hatch(Region(edge), spacing=fine * LINES_APART)
    elif phase == "V":
        for angle in (math.pi / 4, -math.pi / 4):
            items += hatch(Region(edge), spacing=fine * CROSSED_APART, angle=angle)
    elif phase == "W":
        items.append(_dots(block, frame, fine))
    items.append(Stroke(edge.segments, "visible"))
    return tuple(items)


def _dots(block: Block, frame: Frame, fine: float) -> Fill:
    """Return rows of dots, every second row shifted by half a step; one fill for all."""
    apart, radius = fine * DOTS_APART, fine * DOT_RADIUS
    clear = 2 * radius
    rows = max(1, math.floor((block.outer - block.inner - 2 * clear) / apart) + 1)
    first = (block.inner + block.outer - (rows - 1) * apart) / 2
    loops = []
    for row in range(rows):
        x = first + row * apart
        room = block.half_at(x) - clear
        shift = 0.5 if row % 2 and room > apart / 2 else 0.0
        most = math.floor(max(0.0, room) / apart - shift)
        for k in range(-most - round(2 * shift), most + 1):
            loops.append(Outline.circle(frame.at(x, (k + shift) * apart), radius))
    return Fill(tuple(loops))


@dataclass(frozen=True)
class RingText:
    """How the words of one ring of labels are set.

    Args:
        height: lettering in mm.
        level: upright on the sheet; else along the radius.
        depth: room that the ring takes along the radius, mm.
    """

    height: float
    level: bool
    depth: float

    def text(self, centre: Point, radius: float, angle: float, words: str) -> Text:
        """Return words with their middle at `radius` mm and `angle` rad from `centre`."""
        spot = centre.plus(Point.polar(radius, angle))
        turn = 0.0 if self.level else upright(angle)
        return Text(spot.x, spot.y, self.height, words, "centre", turn, "middle")


def ring_text(
    words: list[str], chord: float, sizes: tuple[float, ...] = (5.0, 3.5, 2.5)
) -> RingText:
    """Return the largest setting for labels whose middles lie `chord` mm apart round a ring.

    Level boxes a by b whose middles are `hypot(a, b)` apart cannot overlap, whatever the direction.
    """
    for height in sizes:
        size = math.hypot(max(text_width(w, height) for w in words), height)
        if size + 0.8 <= chord:
            return RingText(height, True, size)
    return RingText(sizes[-1], False, max(text_width(w, sizes[-1]) for w in words))
