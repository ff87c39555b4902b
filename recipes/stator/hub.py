"""The inside of the sheet: bore with key, flats and marks; windows, arms and bolt holes.

Everything sits by tooth 1: arms, bolts, keys and flats start on its axis; round windows start
half their pitch beside it.
"""

from __future__ import annotations

import math
from itertools import product

from geometry.errors import GeometryError
from geometry.finding import Finding
from geometry.outline import Outline
from geometry.point import Point
from geometry.radial import (
    Notch,
    arm_windows,
    at,
    flat_notch,
    groove_notch,
    notched_circle,
    round_notch,
)
from recipes.design.lamination import Hub, Lamination, Spokes, TabNotch
from recipes.refusal import Refused, misfit, stop

#: At most this many places round the bore carry a mark; more would only weaken the fit.
MOST_MARKS = 12

#: Length of bore that one mark and the plain bore beside it take, in mark radii.
MARK_ROOM = 20.0

#: Spacing of the three notches of a mark on a fine-pitched sheet, in notch radii: 0, 4, 12.
#: Unequal steps read differently from the other face, whatever the slot pitch.
_TRIPLE = (0.0, 4.0, 12.0)


def feature_counts(hub: Hub, tab: TabNotch | None) -> dict[str, int]:
    """Return how often each feature of the sheet repeats in a turn, by field name."""
    features = {
        "hub.spokes.count": hub.spokes,
        "hub.windows.count": hub.windows,
        "hub.bolts.count": hub.bolts,
        "hub.keyway.count": hub.keyway,
        "hub.flats.count": hub.flats,
        "lamination.tab_notch.count": tab,
    }
    return {name: feature.count for name, feature in features.items() if feature}


def rotation_step(hub: Hub, lam: Lamination, slots: int) -> int:
    """Return by how many slots each sheet may be turned against the last; 0 for not at all.

    Left out, it is the smallest step under which every hole, key, mark and tab maps onto itself,
    but not so small that the marks crowd the bore (at most 12, and as many as have room).

    Raises:
        Refused: the step asked for moves a feature onto plain sheet.
    """
    counts, asked = feature_counts(hub, lam.tab_notch), hub.rotation_step
    if asked is None:
        order = math.gcd(slots, *counts.values())
        room = math.pi * lam.bore_diameter / (MARK_ROOM * hub.mark_radius)
        most = max(1, min(order, MOST_MARKS, int(room)))
        few = max(m for m in range(1, most + 1) if order % m == 0)
        return slots // few if few > 1 else 0
    order = slots // math.gcd(slots, asked) if asked % slots else 1
    wrong = {name: n for name, n in counts.items() if n % order}
    if wrong:
        fits = math.gcd(slots, *counts.values())
        fix = f"use {slots // fits} or a multiple of it" if fits > 1 else "use 0: no rotation"
        raise Refused(
            *(
                stop(
                    "rotation-step",
                    "hub.rotation_step",
                    f"hub.rotation_step = {asked}: a turn by {asked} of {slots} slots does not map "
                    f"{name} = {n} onto itself",
                    value=asked,
                    limit=slots // fits if fits > 1 else 0,
                    fix=fix + f", or change {name}",
                )
                for name, n in wrong.items()
            )
        )
    return asked % slots


def bore(hub: Hub, lam: Lamination, slots: int) -> Outline:
    """Return the outline of the bore with key, flats, tab reliefs and orientation marks.

    Raises:
        Refused: a feature does not fit the bore, or two of them meet.
    """
    radius = lam.bore_diameter / 2
    notches = _fixed_notches(hub, lam.tab_notch, radius)
    try:
        plain = notched_circle(radius, notches)
    except GeometryError as error:
        raise Refused(misfit(error, "hub.keyway" if hub.keyway else "hub.flats")) from None
    if not hub.orientation_mark:
        return plain
    step = rotation_step(hub, lam, slots)
    copies = slots // math.gcd(slots, step) if step else 1
    return _marked(radius, notches, hub.mark_radius, slots, copies)


def _fixed_notches(hub: Hub, tab: TabNotch | None, radius: float) -> list[Notch]:
    notches: list[Notch] = []
    try:
        if hub.keyway:
            key = groove_notch(radius, hub.keyway.width, hub.keyway.depth, hub.keyway.corner_radius)
            notches += _around(key, hub.keyway.count, 0.0, "hub.keyway")
    except GeometryError as error:
        raise Refused(misfit(error, "hub.keyway")) from None
    try:
        if hub.flats:
            flat = flat_notch(radius, hub.flats.distance)
            notches += _around(flat, hub.flats.count, 0.0, "hub.flats")
    except GeometryError as error:
        raise Refused(misfit(error, "hub.flats.distance")) from None
    if tab and tab.place == "bore":
        start = math.pi / tab.count if notches else 0.0
        relief = groove_notch(radius, tab.width, tab.depth)
        notches += _around(relief, tab.count, start, "lamination.tab_notch")
    return notches


def _around(notch: Notch, count: int, start: float, name: str) -> list[Notch]:
    return [at(notch, start + 2 * math.pi * k / count, name) for k in range(count)]


def _marked(radius: float, notches: list[Notch], size: float, slots: int, copies: int) -> Outline:
    """Add the orientation mark of `size` mm radius, `copies` times round the bore."""
    pitch = 2 * math.pi / slots
    if size >= radius:
        raise Refused(_no_room(size, radius))
    # One notch a quarter pitch beside a tooth tells the faces apart as long as its mirror image,
    # half a pitch away, is clearly another place.
    single = pitch / 2 * radius > 3 * size
    angles = [0.0] if single else [k * size / radius for k in _TRIPLE]
    mark = round_notch(radius, size)
    starts = (
        [pitch / 4 + k * pitch for k in range(slots)]
        if single
        else [k * pitch / 8 for k in range(8 * slots)]
    )
    for gap, start in product((4 * size, size), starts):
        marks = [
            at(mark, start + a + 2 * math.pi * c / copies, "hub.orientation_mark")
            for a in angles
            for c in range(copies)
        ]
        try:
            return notched_circle(radius, [*notches, *marks], gap=gap)
        except GeometryError:
            continue
    raise Refused(_no_room(size, radius))


def _no_room(size: float, radius: float) -> Finding:
    return stop(
        "no-room-for-mark",
        "hub.orientation_mark",
        f"hub.orientation_mark: no room for marks of radius {size:g} mm on a bore of {2 * radius:g} mm",
        value=size,
        limit=radius,
        fix="use a smaller mark_radius, or orientation_mark = false and mark one face by hand",
    )


def holes(hub: Hub, lam: Lamination) -> tuple[Outline, ...]:
    """Return every hole of the hub but the bore: windows between arms, round windows, bolts.

    Raises:
        Refused: arms meet, a ring is missing, or a round does not fit.
    """
    found: list[Outline] = []
    if hub.spokes:
        found += _between_arms(hub, hub.spokes, lam)
    if w := hub.windows:
        found += _circle_of_holes(w.count, w.circle_diameter, 2 * w.radius, math.pi / w.count)
    if b := hub.bolts:
        found += _circle_of_holes(b.count, b.circle_diameter, b.hole_diameter, 0.0)
    return tuple(found)


def _circle_of_holes(count: int, circle: float, diameter: float, start: float) -> list[Outline]:
    angles = [start + 2 * math.pi * k / count for k in range(count)]
    return [Outline.circle(Point.polar(circle / 2, a), diameter / 2) for a in angles]


def _between_arms(hub: Hub, arms: Spokes, lam: Lamination) -> tuple[Outline, ...]:
    rings = {"hub.yoke_thickness": hub.yoke_thickness, "hub.rim_thickness": hub.rim_thickness}
    yoke, rim = rings.values()
    if yoke is None or rim is None:
        raise Refused(
            *(
                stop(
                    "missing-ring",
                    field,
                    f"{field} is missing: arms need a ring at both ends",
                    fix=f"add {field}",
                )
                for field, width in rings.items()
                if width is None
            )
        )
    outer = lam.outer_diameter / 2 - lam.slot_depth - yoke
    try:
        return arm_windows(
            lam.bore_diameter / 2 + rim, outer, arms.count, arms.width, arms.fillet_radius
        )
    except GeometryError as error:
        where = {
            "no room between the two rings": "hub.yoke_thickness",
            "the arms meet": "hub.spokes.width",
        }.get(error.reason, "hub.spokes.fillet_radius")
        raise Refused(misfit(error, where)) from None
