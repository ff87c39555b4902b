"""Designs at the ends of what is allowed, for whatever is drawn or printed."""

from __future__ import annotations

from typing import Any

from recipes.motor import Motor, solve
from tests.support.axle import BEARINGS, PLAIN_HUB, seat
from tests.support.design import job

#: Lamination of 400 mm with arms, for 42 slots.
LARGE: dict[str, Any] = {
    "motor__slots": 42,
    "motor__poles": 46,
    "lamination__outer_diameter": 400,
    "lamination__bore_diameter": 80,
    "lamination__slot_depth": 40,
    "lamination__tooth_width": 14,
    "hub__spokes__width": 31,
    "hub__yoke_thickness": 25,
    "hub__rim_thickness": 23,
    "hub__keyway__width": 14,
}

#: Lamination of 20 mm with 9 slots.
SMALL: dict[str, Any] = {
    "hub__bolts": None,
    "ends__steps": None,
    "motor__slots": 9,
    "motor__poles": 8,
    "lamination__outer_diameter": 20,
    "lamination__bore_diameter": 5,
    "lamination__slot_depth": 5,
    "lamination__tooth_width": 1.8,
    "lamination__slot_opening": 1.4,
    "lamination__tip_thickness": 0.7,
    "lamination__root_radius": 0.3,
    "lamination__tip_inner_radius": 0.2,
    "winding__wire": "0.3 mm",
}

#: Starter and changes by name of the case.
EXTREMES: dict[str, tuple[str, dict[str, Any]]] = {
    "3 slots": ("potters-wheel", {
        **PLAIN_HUB, "motor__slots": 3, "motor__poles": 2, "lamination__outer_diameter": 41,
        "lamination__bore_diameter": 10, "lamination__slot_depth": 11, "lamination__tooth_width": 7,
        "lamination__slot_opening": 4, "lamination__tip_angle": 0,
    }),
    "120 slots": ("potters-wheel", {
        **LARGE, "motor__slots": 120, "motor__poles": 124, "lamination__slot_depth": 19,
        "lamination__tooth_width": 4, "lamination__slot_opening": 2.2,
        "lamination__tip_thickness": 1.2, "winding__wire": "0.5 mm",
    }),
    "120 slots, close": ("potters-wheel", {
        **PLAIN_HUB, "motor__slots": 120, "motor__poles": 124, "lamination__outer_diameter": 151,
        "lamination__bore_diameter": 63, "lamination__slot_depth": 9, "lamination__tooth_width": 1.5,
        "lamination__slot_opening": 1.2, "lamination__tip_thickness": 0.8, "winding__wire": "0.3 mm",
        "ends__end_cap": None,
    }),
    "20 mm, 10 mm high": ("kayak-thruster", {**SMALL, "lamination__stack_length": 10}),
    "20 mm, 200 mm high": ("kayak-thruster", {**SMALL, "lamination__stack_length": 200}),
    "400 mm, 10 mm high": ("potters-wheel", {**LARGE, "lamination__stack_length": 10}),
    "400 mm, 200 mm high": ("potters-wheel", {**LARGE, "lamination__stack_length": 200}),
    "200 mm high": ("wool-spinner", {"lamination__stack_length": "200 mm"}),
    "600 mm, 400 mm high": ("potters-wheel", {
        **LARGE, "motor__slots": 60, "motor__poles": 64, "lamination__outer_diameter": 600,
        "lamination__stack_length": 400,
    }),
    "crowded": ("wool-spinner", {
        "hub__bolts": {"count": 4, "circle_diameter": 1.1, "hole_diameter": "3 mm"},
        "hub__windows": {"count": 6, "radius": 0.1, "circle_diameter": 1.8},
        "hub__keyway": {"width": 0.12, "depth": 0.06, "count": 2},
        "lamination__tab_notch": {"place": "tip", "count": 3}, "end_washer__thickness": 0.01,
    }),
    "small bore": ("potters-wheel", {  # words of bore and height come close
        **PLAIN_HUB, "motor__slots": 3, "motor__poles": 2, "lamination__outer_diameter": 43.1,
        "lamination__bore_diameter": 3.75, "lamination__slot_depth": 11.84,
        "lamination__tooth_width": 8.36, "lamination__slot_opening": 12.67,
        "lamination__tip_thickness": 2.96, "lamination__tip_angle": 0,
        "lamination__stack_length": 47.6, "hub__orientation_mark": False,
        "end_washer__thickness": 0.25, "print__page": "Letter",
    }),
    "deep slots": ("potters-wheel", {  # the size of the tip stands out over the opening
        **PLAIN_HUB, "motor__slots": 42, "motor__poles": 46, "lamination__outer_diameter": 95.8,
        "lamination__bore_diameter": 22.47, "lamination__slot_depth": 28.31,
        "lamination__tooth_width": 1.13, "lamination__slot_opening": 1.99,
        "lamination__tip_thickness": 0.99, "lamination__tip_angle": 20,
        "lamination__slot_bottom": "flat", "ends__end_cap": None, "winding__wire": "0.3 mm",
        "hub__keyway": {"width": 4.49, "depth": 2.02, "count": 1, "corner_radius": 0.1},
    }),
    "flats": ("kayak-thruster", {
        "hub__flats": {"count": 2, "distance": 8.2},
        "lamination__tab_notch": {"place": "bore", "count": 2},
    }),
    "parallel slots": ("potters-wheel", {
        "lamination__slot_shape": "parallel slots", "lamination__tooth_width": None,
        "lamination__slot_width": 8.5,
    }),
    "sharp": ("potters-wheel", {
        "lamination__tip_radius": 0, "lamination__tip_inner_radius": 0, "lamination__neck_radius": 0,
        "lamination__root_radius": 0, "lamination__tip_angle": 0, "ends__end_cap": None,
    }),
}  # fmt: skip


def extreme(name: str) -> Motor:
    """Return a job of `EXTREMES`; a name that ends in " in inches" is drawn in inches too."""
    plain = name.removesuffix(" in inches")
    starter, changes = EXTREMES[plain]
    return in_inches(job(starter, **changes)) if plain != name else job(starter, **changes)


def in_inches(j: Motor) -> Motor:
    """Return the same design with inches in brackets."""
    return solve(j.design.model_copy(update={"units": "in"}))


def axle_of(bearing: str, length: float, **changes: Any) -> Motor:
    """Return an axle for a bearing, its features spread over `length` mm.

    Args:
        bearing: designation in the table.
        length: from face to face; below what the features need, that.
        changes: fields on top.
    """
    ring = next(b for b in BEARINGS if b.designation == bearing)
    d, w = ring.bore_mm, ring.width_mm
    bore = round(min(0.42 * d, d - 4.3), 2)
    width, high = round(0.6 * bore, 2), round(max(4.0, 0.9 * d), 1)
    sizes = (w + 0.3, 2.6 * width, high, max(1.5, 0.2 * d), w + 0.3)
    shares = (1.0, 1.2, 1.6, 0.0, 1.4, 1.1)
    free = max(length - sum(sizes), 6 * max(2.5, 0.5 * d))
    gaps = [free * share / sum(shares) for share in shares]
    starts, z = [], 0.0
    for gap, size in zip(gaps, sizes, strict=False):
        starts.append(round(z + gap, 3))
        z = starts[-1] + round(size, 3)
    first, slot, stator, collar, second = starts
    return job(
        **PLAIN_HUB,
        units="mm",
        lamination__bore_diameter=round(1.16 * d, 2),
        lamination__stack_length=round(0.8 * high, 1),
        lamination__outer_diameter=round(max(150, 6 * d)),
        axle__length=round(z + gaps[-1], 3),
        axle__stock_diameter=round(1.4 * d + 3),
        axle__bore_diameter=bore,
        axle__bearing=bearing,
        axle__seats=[seat(first, round(sizes[0], 3)), seat(second, round(sizes[4], 3), "g6")],
        axle__stator_seat=seat(stator, round(sizes[2], 3)),
        axle__shoulder={
            "from_face": collar, "length": round(sizes[3], 3), "diameter": round(1.36 * d, 2),
        },
        axle__wire_slot={
            "from_face": slot, "length": round(sizes[1], 3), "width": width,
            "mouth_radius": round(min(1.5, 0.08 * d), 2), "angle": 15,
        },
        axle__leads=[],
        **changes,
    )  # fmt: skip
