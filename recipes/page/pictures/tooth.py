"""One tooth between two half slots: every size and every round of it, with the field behind it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from geometry.outline import Outline
from geometry.point import Point
from geometry.segment import Arc, Line, Segment
from geometry.sheet.drawing import Drawing, Fill
from geometry.sheet.view import View
from recipes.page.model import Layer, Mark, Picture
from recipes.page.pictures.style import WIDTH, note, short, span

if TYPE_CHECKING:
    from recipes.page.book import Book

#: Room for the tooth and its right slot with the next tip, sheet mm; side for words.
ROOM_WIDE, ROOM_HIGH, FOOT, HEAD = 84.0, 92.0, 3.0, 16.0

#: How far the picture reaches from the tooth's axis to the right, in slot pitches.
REACH = 0.8

#: Sheet left below the slot bottom, share of the slot's depth.
BELOW = 0.16


def tooth_picture(book: Book) -> Picture:
    """Return the picture of one tooth, tip up.

    Raises:
        Refused: the design has no tooth.
    """
    job = book.job
    lam, slot = job.design.lamination, job.slot
    pitch, top = 2 * slot.half_pitch, lam.outer_diameter / 2
    low = top - (1.0 + BELOW) * lam.slot_depth
    wide = (0.5 + REACH) * pitch * top
    scale = min(ROOM_WIDE / wide, ROOM_HIGH / (top - low))
    view = View(
        Point(WIDTH - 13.0 - REACH * pitch * top * scale, FOOT),
        (round(1e6 * scale), 1_000_000), Point(low, 0.0), math.pi / 2,
    )  # fmt: skip
    height = FOOT + (top - low) * scale + HEAD
    right = [s.mirrored() for s in slot.half]
    runs = (slot.half, right, _neighbour(book))
    ink = [view.stroke(run, "visible") for run in runs]
    names = (("tip", "tip_radius"), ("lip", "tip_inner_radius"), ("neck", "neck_radius"), ("root", "root_radius"))  # fmt: skip
    figures = tuple(
        book.figure(
            f"{words} radius", book.length(f"{name}_mm"),
            sure="yours" if getattr(lam, name) is not None else "practice",
            source="your own dimension" if getattr(lam, name) is not None else
            "left out: what wire and tip ask for, common practice",
            fields=(f"lamination.{name}",),
        )
        for words, name in names
    )  # fmt: skip
    return Picture(
        "tooth",
        "Tooth and slot",
        "One tooth with its rounded tip, tip up, and the slot to its right up to the next tooth; "
        "sizes stand beside it and every round has its radius.",
        Drawing(WIDTH, height, tuple(ink), "tooth"),
        ("Every corner that wire or paper touches is round; the tips stay sharp-edged in thickness only.",),
        _marks(book, view),
        figures,
        (Layer("steel", _steel(book, view, low)),),
    )  # fmt: skip


def _steel(book: Book, view: View, low: float) -> tuple[Fill, ...]:
    """Return the tone of the tooth and of what is seen of its neighbour."""
    half = list(book.job.slot.half)
    run: list[Segment] = [s.mirrored().reversed() for s in reversed(half)] + half
    tones = []
    for part in (run, _neighbour(book)):
        start, end = part[0].start, part[-1].end
        feet = [Point(low, p.y + (low - p.x) * p.y / p.x) for p in (end, start)]
        loop = [*part, Line(end, feet[0]), Line(feet[0], feet[1]), Line(feet[1], start)]
        tones.append(Fill((view.outline(Outline(tuple(loop))),), "grey"))
    return tuple(tones)


def _neighbour(book: Book) -> list[Segment]:
    """Return the near flank of the tooth to the right, its tip cut off where the picture ends."""
    slot = book.job.slot
    tip, *rest = (s.rotated(-2 * slot.half_pitch) for s in slot.half)
    cut = tip.point_at((1.0 - REACH) * 2 * slot.half_pitch * tip.start.length() / tip.length)
    assert isinstance(tip, Arc)
    return [Arc(cut, tip.end, tip.center, tip.ccw), *rest]


def _marks(book: Book, view: View) -> tuple[Mark, ...]:
    lam, slot = book.job.design.lamination, book.job.slot
    marks = [*_widths(book, view), *_heights(book, view)]
    for corner, tip, elbow, side in _rounds(book, view):
        if slot.radii[corner] > 0:
            name = f"lamination.{corner}"
            shown = f"R{short(book, slot.radii[corner])}"
            marks.append(note(corner.replace("_", " "), shown, tip, elbow, side, name))
    if lam.tip_angle > 0:
        marks.append(_angle(book, view))
    return tuple(marks)


def _widths(book: Book, view: View) -> list[Mark]:
    """Return tooth (or slot) width and opening."""
    lam, slot = book.job.design.lamination, book.job.slot
    top = lam.outer_diameter / 2
    turn = -slot.half_pitch
    lip, root = slot.half[slot.lip - 1], slot.half[-2]
    mouth = lip.start if isinstance(lip, Line) else lip.end
    near = Point(mouth.x, -mouth.y)
    far = mouth.rotated(2 * turn)
    a, b = view.point(near), view.point(far)
    y = view.at(top, 0.0).y + 4.0
    found = [span(book, "slot opening", lam.slot_opening, a, b, y, "x", "lamination.slot_opening")]
    level = (top + 2.0 * root.end.x) / 3.0
    if lam.slot_shape == "parallel teeth" and lam.tooth_width is not None:
        left, right = view.at(level, lam.tooth_width / 2), view.at(level, -lam.tooth_width / 2)
        found.append(span(book, "tooth width", lam.tooth_width, left, right, left.y, "x", "lamination.tooth_width"))  # fmt: skip
    elif lam.slot_width is not None:
        axis = Point.polar(level, turn)
        across = Point.polar(lam.slot_width / 2, turn + math.pi / 2)
        left, right = view.point(axis.plus(across)), view.point(axis.plus(across, -1.0))
        found.append(span(book, "slot width", lam.slot_width, left, right, left.y, "x", "lamination.slot_width"))  # fmt: skip
    return found


def _heights(book: Book, view: View) -> list[Mark]:
    """Return slot depth and tip thickness, measured beside the tooth."""
    lam, slot = book.job.design.lamination, book.job.slot
    top = lam.outer_diameter / 2
    axis = -slot.half_pitch
    floor = view.point(Point.polar(top - lam.slot_depth, axis))
    crown = Point(floor.x, floor.y + lam.slot_depth * view.factor)
    found = [span(book, "slot depth", lam.slot_depth, floor, crown, WIDTH - 5.0, "y", "lamination.slot_depth")]  # fmt: skip
    lip = slot.half[slot.lip - 1]
    a, b = lip.start, lip.end
    if isinstance(lip, Line):
        # the straight mouth wall, drawn on to the sharp corners that the field counts between
        out = a.minus(b).unit()
        b = a.plus(out, -lam.tip_thickness + slot.radii["tip_radius"])
        a = a.plus(out, slot.radii["tip_radius"])
    x = view.point(a).x - 6.0
    foot, head = view.point(b), view.point(a)
    head = Point(head.x, foot.y + lam.tip_thickness * view.factor)
    found.append(span(book, "tip thickness", lam.tip_thickness, foot, head, x, "y", "lamination.tip_thickness"))  # fmt: skip
    return found


def _rounds(book: Book, view: View) -> list[tuple[str, Point, Point, int]]:
    """Return for every round: its name, a place on it, and where its words go."""
    slot = book.job.slot
    arcs = [s for s in slot.half[1:] if isinstance(s, Arc) and s.center.length() > 1e-6]
    named = [n for n in ("tip_radius", "tip_inner_radius", "neck_radius", "root_radius") if slot.radii[n] > 0]  # fmt: skip
    found = []
    for name, arc in zip(named, arcs, strict=False):
        tip = view.point(arc.point_at(0.5))
        if name == "tip_radius":
            found.append((name, tip, tip.plus(Point(7.0, 9.0)), 1))
        else:
            found.append((name, tip, Point(16.0, tip.y + _RISE[name]), -1))
    return found


#: How much higher than its place the words of a round stand, mm on the sheet.
_RISE = {"tip_inner_radius": -7.0, "neck_radius": -12.0, "root_radius": 6.0}


def _angle(book: Book, view: View) -> Mark:
    """Return the slope of the tip's underside, led out into the slot."""
    lam, slot = book.job.design.lamination, book.job.slot
    under = next(s for s in slot.half[slot.lip :] if isinstance(s, Line))
    tip = view.point(under.point_at(0.5).mirrored())
    shown = f"{lam.tip_angle:g}°"
    return note("tip angle", shown, tip, tip.plus(Point(3.0, -9.0)), 1, "lamination.tip_angle")
