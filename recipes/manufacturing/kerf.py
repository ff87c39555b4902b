"""The kerf: what a cut takes away, what of it is drawn in, and what the test coupon says of both.

A part that nobody compensates comes out smaller by the full kerf width k, its holes larger by k:

    drawn 20.00 square, measured 19.86  ->  k = 0.14     drawn 10.00 hole, measured 10.13  ->  k = 0.13

A coupon that was itself drawn with kerf k0 hides that much: k = k0 + 20.00 - measured. What
counts is never measured finer than 0.01 mm. Not modelled: taper, and lead-ins that leave a mark.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from geometry.fillet import offset_outline
from geometry.finding import Confidence
from geometry.outline import Outline, Region
from geometry.part import Part
from recipes.design.lamination import Lamination
from recipes.design.shop import Measured, Shop
from recipes.refusal import Refused, stop
from recipes.stator.coupon import HOLE, SQUARE
from recipes.tables.process import process

#: Parts whose settings hold this key have the bore that sits on the axle.
BORE_KEY = "bore_diameter_mm"

#: Parts cut from plate say in their settings how wide a kerf is drawn into their own cut file.
PLATE_KERF_KEY = "kerf_to_draw_mm"


@dataclass(frozen=True)
class Reading:
    """One full kerf width in mm as one measure of the coupon gives it.

    Args:
        field: of the design file.
        kind: "outer" edges or a "hole".
        axis: "x" or "y" of the machine.
        width: full kerf, mm.
    """

    field: str
    kind: str
    axis: str
    width: float


@dataclass(frozen=True)
class Kerf:
    """Full kerf widths, mm.

    Args:
        width: what has to be drawn in for parts of true size, as far as known.
        drawn: what is drawn into the cut files of steel parts; 0 is nominal.
        bore: what the bore is drawn larger besides, on the diameter, so that it fits its seat.
        readings: full kerf by each measure of the coupon.
        source: where `width` comes from.
        confidence: how sure `width` is.
    """

    width: float
    drawn: float
    bore: float
    readings: tuple[Reading, ...]
    source: str
    confidence: Confidence

    @property
    def spread(self) -> float:
        """Largest less smallest reading, mm."""
        widths = [r.width for r in self.readings]
        return max(widths) - min(widths) if widths else 0.0

    def mean(self, kind: str = "", axis: str = "") -> float | None:
        """Return the mean of the readings of one kind or axis in mm; None without any."""
        chosen = [r.width for r in self.readings if kind in ("", r.kind) and axis in ("", r.axis)]
        return math.fsum(chosen) / len(chosen) if chosen else None


def kerf_of(shop: Shop) -> Kerf:
    """Return the kerf of a shop.

    Raises:
        Refused: `kerf_full_width = "measured"` without a measured square or hole.
    """
    readings, asked = readings_of(shop.measured), shop.kerf_full_width
    confidence: Confidence
    if readings:
        width = round(math.fsum(r.width for r in readings) / len(readings), 2)
        source, confidence = "measured on the test coupon", "yours"
    elif asked == "measured":
        raise Refused(
            stop(
                "kerf-not-measured",
                "shop.kerf_full_width",
                "shop.kerf_full_width = 'measured', but no measure of the test coupon is typed in",
                value="measured",
                fix="cut the coupon, then type outer_x, outer_y, hole_x and hole_y into [shop.measured]; "
                "or give the full kerf width in mm",
                source="measured on the test coupon",
                confidence="yours",
            )
        )
    elif asked is not None:
        width, source, confidence = asked, "shop.kerf_full_width", "yours"
    else:
        row = process(shop.process)
        width, source, confidence = row.kerf_full_width_mm, row.kerf_source, row.confidence
    drawn = max(0.0, width) if asked == "measured" else asked or 0.0
    step = shop.measured.bore_step
    bore = 0.0 if step is None else round(step + drawn - shop.measured.drawn_kerf, 6)
    return Kerf(width, drawn, bore, readings, source, confidence)


def readings_of(measured: Measured) -> tuple[Reading, ...]:
    """Return the full kerf by each measure of the coupon that was typed in."""
    sizes = {
        "outer_x": measured.outer_x,
        "outer_y": measured.outer_y,
        "hole_x": measured.hole_x,
        "hole_y": measured.hole_y,
    }
    found = []
    for name, size in sizes.items():
        if size is not None:
            kind, axis = name.split("_")
            taken = SQUARE - size if kind == "outer" else size - HOLE
            found.append(Reading(f"shop.measured.{name}", kind, axis, measured.drawn_kerf + taken))
    return tuple(found)


def is_steel(part: Part, steel: str) -> bool:
    """Tell whether a part is cut from the stack's `steel` by the shop that `[shop]` describes."""
    return bool(part.cut) and part.material == steel


def is_plate(part: Part) -> bool:
    """Tell whether a part is cut from plate, and turned after that."""
    return PLATE_KERF_KEY in part.settings


def _drawn_plate(part: Part) -> Part:
    """Return a part of plate with its own kerf drawn in; thick plate loses more than thin sheet."""
    kerf = float(part.settings[PLATE_KERF_KEY])
    if kerf == 0.0:
        return part
    cut = tuple(
        Region(
            offset_outline(region.outer, kerf / 2),
            tuple(offset_outline(hole, -kerf / 2) for hole in region.holes),
        )
        for region in part.cut
    )
    settings = {**part.settings, "kerf_full_width_mm": kerf}
    notes = (*part.notes, f"drawn with {kerf:g} mm full kerf width: do not compensate again")
    return replace(part, cut=cut, settings=settings, notes=notes)


def drawn_part(part: Part, lamination: Lamination, kerf: Kerf) -> Part:
    """Return a part as its cut file draws it: with the kerf drawn in and the bore corrected.

    Paper and whatever else is not steel stays nominal. Rounds stay arcs about their centres.

    Args:
        part: as its recipe made it, nominal.
        lamination: its steel, and the bore as designed.
        kerf: of the shop.

    Raises:
        GeometryError: a round or an edge would vanish; see `geometry.fillet.offset_outline`.
    """
    if not is_steel(part, lamination.steel):
        return _drawn_plate(part) if is_plate(part) else part
    bore = kerf.bore if BORE_KEY in part.settings else 0.0
    if kerf.drawn == 0.0 and bore == 0.0:
        return part
    said = tuple(n for n in part.notes if not n.startswith("drawn nominal"))
    settings = dict(part.settings)
    if kerf.drawn:
        settings["kerf_full_width_mm"] = kerf.drawn
        said += (
            f"drawn with {kerf.drawn:g} mm full kerf width: outer edges {kerf.drawn / 2:g} mm outside, "
            f"edges of holes {kerf.drawn / 2:g} mm inside the finished ones; do not compensate again",
        )
    else:
        said += ("no kerf drawn in",)
    if bore:
        drawn_bore = lamination.bore_diameter + bore - kerf.drawn
        settings["bore_drawn_mm"] = round(drawn_bore, 4)
        said += (f"bore drawn {drawn_bore:.4g} mm, as the half-ring of the coupon that fits",)
    cut = tuple(
        Region(
            offset_outline(region.outer, side_of(part, region.outer, kerf)),
            tuple(offset_outline(hole, -side_of(part, hole, kerf)) for hole in region.holes),
        )
        for region in part.cut
    )
    return replace(part, cut=cut, settings=settings, notes=said)


def side_of(part: Part, loop: Outline, kerf: Kerf) -> float:
    """Return how much material (mm) the edges of a steel part's loop gain in the drawing."""
    is_bore = BORE_KEY in part.settings and loop is not part.cut[0].outer and _round_axis(loop)
    return kerf.drawn / 2 - (kerf.bore / 2 if is_bore else 0.0)


def _round_axis(loop: Outline) -> bool:
    """Tell whether a loop goes round the origin, the axis of the motor."""
    spots = loop.chords(0.05)
    turns = (
        math.atan2(a.cross(b), a.dot(b)) for a, b in zip(spots, (*spots[1:], spots[0]), strict=True)
    )
    return abs(math.fsum(turns)) > math.pi


def kerf_results(
    kerf: Kerf, bore_diameter: float, stacking_factor: float | None
) -> dict[str, float | int | str]:
    """Return kerf and corrections for `results.json`.

    `kerf_full_width_mm` is what the cut takes, `kerf_drawn_mm` what the cut files allow for.

    Args:
        kerf: of the shop.
        bore_diameter: as designed, mm.
        stacking_factor: as measured on a pile, if it is.
    """
    means = {
        "kerf_x_mm": kerf.mean(axis="x"),
        "kerf_y_mm": kerf.mean(axis="y"),
        "kerf_outer_mm": kerf.mean(kind="outer"),
        "kerf_hole_mm": kerf.mean(kind="hole"),
        "stacking_factor_measured": stacking_factor,
    }
    return {
        "kerf_full_width_mm": kerf.width,
        "kerf_drawn_mm": kerf.drawn,
        "kerf_source": kerf.source,
        "kerf_confidence": kerf.confidence,
        "bore_drawn_mm": bore_diameter + kerf.bore - kerf.drawn,
        **{key: value for key, value in means.items() if value is not None},
    }
