"""The hollow axle: turned seats, bore, and the slot through which the leads leave.

Face A is the lead side: z = 0, every length of the design counts from it; up is +y of the solid.
"""

from __future__ import annotations

from geometry.drafting.lazy import Lazy
from geometry.part import Part
from recipes.drawing_conventions import Imprint
from recipes.shaft.axle_drawing import axle_drawing
from recipes.shaft.axle_shape import AxleShape
from recipes.shaft.key_seat import key_seat_words, key_words
from recipes.shaft.profile import LAND_ROUND, STATOR_ROUND, axle_solid


def axle(shape: AxleShape, seat_round: float, imprint: Imprint) -> tuple[Part, ...]:
    """Return the axle of a design.

    Args:
        shape: what is drawn; the rules of the axle have found nothing to refuse in it.
        seat_round: largest round beside a bearing seat, mm.
        imprint: of the design.

    Returns:
        One `Part` named "axle": a turned solid with its cuts, and one drawing; nothing to cut
        from sheet.
    """
    return (
        Part(
            name="axle",
            cut=(),
            material=shape.axle.material,
            thickness=0.0,
            quantity=1,
            settings=_settings(shape),
            notes=_notes(shape, seat_round),
            solid=axle_solid(shape.axle, shape.profile, shape.key_seats),
            drawings=Lazy(lambda: (axle_drawing(shape, seat_round, imprint),), count=1),
        ),
    )


def _settings(shape: AxleShape) -> dict[str, float | int | str]:
    axle, seats = shape.axle, shape.key_seats
    slot = axle.wire_slot
    figures: dict[str, float | int | str] = {
        "length_mm": axle.length,
        "stock_diameter_mm": axle.stock_diameter,
        "bore_diameter_mm": axle.bore_diameter,
        "bore_depth_mm": axle.length if axle.bore_depth is None else axle.bore_depth,
        "bore_mouth_radius_mm": shape.mouth_radius,
        "bearing": axle.bearing,
        "wire_slot_from_face_A_mm": slot.from_face,
        "wire_slot_length_mm": slot.length,
        "wire_slot_width_mm": slot.width,
        "wire_slot_mouth_radius_mm": slot.mouth_radius,
        "wire_slot_angle_deg": slot.angle,
        "collar_diameter_mm": axle.shoulder.diameter,
    }
    if seats:
        figures |= {
            "key_seats": len(seats.angles),
            "key_seat_from_face_A_mm": seats.start,
            "key_seat_length_mm": seats.length,
            "key_seat_width_mm": seats.width,
            "key_seat_depth_mm": seats.depth,
            "key_seat_angles_deg": " ".join(f"{a:g}" for a in seats.angles),
        }
    seat = 0
    for section in shape.sections:
        limits = section.limits
        if limits:
            seat += section.kind == "seat"
            name = f"bearing_seat_{'AB'[seat - 1]}" if section.kind == "seat" else "stator_seat"
            figures[f"{name}_from_face_A_mm"] = section.start
            figures[f"{name}_length_mm"] = section.length
            figures[f"{name}_fit"] = f"{section.diameter:g} {section.fit}"
            figures[f"{name}_max_mm"] = limits.max_size_mm
            figures[f"{name}_min_mm"] = limits.min_size_mm
    return {k: round(v, 4) if isinstance(v, float) else v for k, v in figures.items()}


def _notes(shape: AxleShape, seat_round: float) -> tuple[str, ...]:
    return (
        "bearing seats and stator seat: turn between centres or grind in one setting, Ra 0.8 to 1.6; "
        "never file a seat, file only slot and flats",
        "turn the stator seat last, to the measured bore of the glued stack: cut sheets vary by more "
        "than the fit",
        "the bearing is the gauge: it goes on by a push of the hand; stop and measure before it jams",
        f"inner corners: R {seat_round:.2f} at most beside bearing seats, R {STATOR_ROUND:g} at "
        f"most where the stack meets the collar, R {LAND_ROUND:g} elsewhere",
        "wire slot: drill both ends, file between, round its mouth; deburr slot and bore inside and "
        "out until a cotton bud leaves no threads",
        *((key_seat_words(shape.key_seats), key_words(shape.key_seats)) if shape.key_seats else ()),
    )
