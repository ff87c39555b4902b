"""The test coupon: small pieces to cut first, on the real sheet by the real shop, and to measure.

    coupon          20.00 square with a 10.00 hole: full kerf width of outer and inner edges, in x and y
    coupon_bore_1.. half-rings: which bore goes over the seat
    coupon_tooth    tooth and slots of the design: fold the paper, pass the wire
    coupon_comb     gaps from 0.2 mm narrower to 0.2 mm wider than the slot opening

Pieces and not one plate, because shops take one part a file; none is larger than 60 x 60 mm, but
a tooth that is. Numbers are counted as notches, never text, which would be cut or lost. What is
measured goes into `[shop.measured]`; see `recipes.shop.kerf`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from geometry.outline import Outline, Region
from geometry.part import Part
from geometry.pattern import joined
from geometry.point import ORIGIN, Point
from recipes.shop.kerf import HOLE, SQUARE, kerf_of
from recipes.tables.process import Process, process
from recipes.test_piece.bore import bore_pieces
from recipes.test_piece.edge import (
    LARGEST,
    SMALLEST,
    arc_bite,
    counting,
    edge,
    gap_bite,
    mark_of,
)
from recipes.test_piece.tooth import tooth_piece

if TYPE_CHECKING:
    from recipes.job import Job

#: One to measure, one to keep beside the motor's papers.
QUANTITY = 2

#: Steps of the comb against the slot opening, mm (common practice); all five, or every second one.
STEPS = (-0.2, -0.1, 0.0, 0.1, 0.2)

#: Comb: least depth of a gap, sheet behind it and between two gaps, mm.
DEPTH, BACK, LAND = 8.0, 6.0, 3.0

#: Width of a gap that must be left in the drawing once the kerf is drawn in, mm.
LEAST_LEFT = 0.1

Figures = dict[str, float | int | str]


def coupon(job: Job) -> tuple[Part, ...]:
    """Return the pieces of the test coupon, of the lamination's sheet, two of each.

    Returns:
        "coupon", then "coupon_bore_1" and so on, "coupon_tooth" and "coupon_comb". Bore and comb
        are left out where their steps cannot be cut or do not matter.

    Raises:
        Refused: the design has no tooth; see `recipes.slot.shape`.
    """
    parts = [_square(job), *_bore(job), _tooth(job)]
    comb = _comb(job)
    return tuple(parts if comb is None else [*parts, comb])


def _piece(job: Job, name: str, region: Region, settings: Figures, *notes: str) -> Part:
    lam = job.design.lamination
    return Part(
        name=name,
        cut=(region,),
        material=lam.steel,
        thickness=lam.sheet_thickness,
        quantity=QUANTITY,
        settings=settings,
        notes=(
            "cut first, from the sheet and with the settings that the laminations get; tabs only at "
            "corners, and filed off before anything is measured",
            *notes,
        ),
    )


def _square(job: Job) -> Part:
    """Return the 20.00 square; the notch tells the way in which x is measured."""
    half = SQUARE / 2
    a, b, c, d = Point(-half, -half), Point(half, -half), Point(half, half), Point(-half, half)
    mark = mark_of(*_sheet(job))
    outline = [edge(a, b), edge(b, c, [arc_bite(half, mark.width / 2)]), edge(c, d), edge(d, a)]
    return _piece(
        job,
        "coupon",
        Region(Outline(tuple(joined(outline, closed=True))), (Outline.circle(ORIGIN, HOLE / 2),)),
        {"square_mm": SQUARE, "hole_mm": HOLE},
        "measure beside the notch, onto the side that has it: outer_x and hole_x; the other way: "
        "outer_y and hole_y",
        "type the sizes into [shop.measured], and as drawn_kerf the number after 'kerf' in this "
        "file's name",
    )


def _bore(job: Job) -> list[Part]:
    bore = job.design.lamination.bore_diameter
    shop, thickness = _sheet(job)
    parts = []
    for number, (region, rings) in enumerate(bore_pieces(bore, thickness, shop), start=1):
        full = all(r.chord == r.diameter for r in rings)
        parts.append(
            _piece(
                job,
                f"coupon_bore_{number}",
                region,
                {f"notches_{r.number}_diameter_mm": round(r.diameter, 3) for r in rings},
                "count the notches beside a half-ring: one is the bore as designed, each more is "
                "0.05 mm larger; type the step that goes over the seat without play as bore_step"
                if full
                else "count the notches beside an arc: one is the bore as designed, each more is "
                "0.05 mm larger; the one that shows no light on the seat is bore_step (laser and "
                "waterjet edges are too rough to tell one step from the next: measure the first sheet)",
            )
        )
    return parts


def _tooth(job: Job) -> Part:
    shop, thickness = _sheet(job)
    region, slots = tooth_piece(job.slot, shop.web(thickness), LARGEST)
    return _piece(
        job,
        "coupon_tooth",
        region,
        {"slots": slots, "slot_opening_mm": round(job.slot.opening, 3)},
        "fold a trial strip into the slot, then pass the wire through the opening",
    )


def _comb(job: Job) -> Part | None:
    """Return the comb with as many steps as go into 60 mm; None for an opening that wide."""
    shop, thickness = _sheet(job)
    opening = job.design.lamination.slot_opening
    drawn = _kerf_drawn(job)
    mark, land = mark_of(shop, thickness), max(LAND, 2 * shop.web(thickness))
    for chosen in (range(5), range(0, 5, 2)):
        gaps = [(k + 1, opening + STEPS[k]) for k in chosen]
        gaps = [
            (n, w) for n, w in gaps if w >= shop.slot(thickness) - 1e-9 and w - drawn > LEAST_LEFT
        ]
        columns = [max(w + land, mark.group(n) + mark.width + 2 * mark.web) for n, w in gaps]
        if gaps and sum(columns) + land <= LARGEST:
            break
    else:
        return None
    region = _toothed(gaps, columns, land, max(BACK, 3 * shop.web(thickness)), thickness, shop)
    return _piece(
        job,
        "coupon_comb",
        region,
        {f"notches_{n}_gap_mm": round(w, 3) for n, w in gaps},
        "count the notches behind a gap: three is the slot opening as designed, each step is 0.1 mm",
        "line a gap with two strips of the slot paper; the step of the narrowest gap that lets the "
        "wire pass is opening_step",
    )


def _toothed(
    gaps: list[tuple[int, float]], columns: list[float], land: float, back: float,
    thickness: float, shop: Process,
) -> Region:  # fmt: skip
    """Return the comb, lower left corner at the origin: gaps open upwards, notches below them."""
    mark = mark_of(shop, thickness)
    width = max(SMALLEST, sum(columns) + land)
    depth = max(DEPTH, max(w for _, w in gaps) / 2 + 4.0)
    height = max(SMALLEST, depth + back + mark.width / 2)
    middles = [land / 2 + sum(columns[:k]) + columns[k] / 2 for k in range(len(gaps))]
    numbers = [
        bite for x, (n, _) in zip(middles, gaps, strict=True) for bite in counting(x, n, mark)
    ]
    slots = [gap_bite(width - x, w, depth) for x, (_, w) in zip(middles, gaps, strict=True)]
    a, b, c, d = Point(0.0, 0.0), Point(width, 0.0), Point(width, height), Point(0.0, height)
    runs = [edge(a, b, numbers), edge(b, c), edge(c, d, slots), edge(d, a)]
    return Region(Outline(tuple(joined(runs, closed=True))))


def _sheet(job: Job) -> tuple[Process, float]:
    return process(job.design.shop.process), job.design.lamination.sheet_thickness


def _kerf_drawn(job: Job) -> float:
    """Return the kerf that the cut files draw in, mm; 0 while the coupon is not measured yet."""
    from recipes.refusal import Refused

    try:
        return kerf_of(job).drawn
    except Refused:  # said by `recipes.shop.kerf_rules`
        return 0.0
