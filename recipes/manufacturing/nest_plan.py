"""The steel parts laid out on whole blanks, for one's own machine and only on request.

A shop nests by itself: it takes one part a file and holds up nests that it did not make (common
practice). The test coupon is left out; it is cut before everything else.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable

from geometry.errors import GeometryError
from geometry.finding import Finding
from geometry.outline import Outline
from geometry.packing.blank import NestPiece, check_pieces, nest
from geometry.part import Part, Path
from geometry.point import Point
from recipes.design.lamination import Lamination
from recipes.design.shop import Shop
from recipes.manufacturing.kerf import Kerf, drawn_part, is_steel
from recipes.manufacturing.order_line import cut_first, plain
from recipes.refusal import Refused, misfit, stop
from recipes.tables.process import gap_of, process

_SOURCE = "size of the blank; gap and margin by process, common practice"


def nest_parts(
    parts: Iterable[Part], lamination: Lamination, shop: Shop, kerf: Kerf
) -> tuple[Part, ...]:
    """Return one part for each different blank; none if the design asks for no nest.

    Args:
        parts: of the catalogue; those of sheet steel are laid out, as their cut files draw them.
        lamination: its steel is cut.
        shop: `nest` asks, `sheet`, `part_gap` and `sheet_margin` say how.
        kerf: what is drawn in.

    Returns:
        Parts with all pieces of a blank as regions and the edge of the blank as reference, lower
        left corner at the origin; `quantity` is how many blanks are cut alike.

    Raises:
        Refused: no blank is given, or a piece is larger than it.
    """
    if not shop.nest:
        return ()
    found: list[Part] = []
    for members in _groups(parts, lamination, kerf).values():
        found += _blanks(members, shop, len(found))
    return tuple(found)


def nest_path(part: Part) -> str:
    """Return the path in the pack of a part that `nest_parts` made; it cannot be taken for a part."""
    material = re.sub(r"[^\w.]+", "-", part.material).strip("-.") or "sheet"
    number = part.name.rsplit("_", 1)[-1]
    return (
        f"cut/NEST_{material}_{plain(part.thickness)}mm_blank{number}_qty{part.quantity}"
        "_own_machine.dxf"
    )


def nest_findings(
    parts: Iterable[Part], lamination: Lamination, shop: Shop, kerf: Kerf
) -> list[Finding]:
    """Judge whether the nest that is asked for can be made; nothing is laid out here.

    Args: as those of `nest_parts`; `parts` are looked at only if a nest is asked for.
    """
    if not shop.nest:
        return []
    try:
        for members in _groups(parts, lamination, kerf).values():
            check_pieces(_pieces(members), *_measures(shop))
    except GeometryError as error:
        return [misfit(error, "shop.sheet")]
    return []


def _groups(
    parts: Iterable[Part], lamination: Lamination, kerf: Kerf
) -> dict[tuple[str, float], list[Part]]:
    """Return the steel parts as they are drawn, by material and thickness, without the coupon."""
    groups: dict[tuple[str, float], list[Part]] = {}
    for part in parts:
        if is_steel(part, lamination.steel) and not cut_first(part):
            drawn = drawn_part(part, lamination, kerf)
            groups.setdefault((part.material, part.thickness), []).append(drawn)
    return groups


def _pieces(members: Iterable[Part]) -> list[NestPiece]:
    pieces = []
    for part in members:
        for n, region in enumerate(part.cut, start=1):
            name = part.name if len(part.cut) == 1 else f"{part.name} {n}"
            pieces.append(NestPiece(name, region, part.quantity, "grain" not in part.settings))
    return pieces


def _measures(shop: Shop) -> tuple[tuple[float, float], float, float]:
    """Return size of the blank, gap and margin."""
    if shop.sheet is None:
        raise Refused(
            stop(
                "no-blank",
                "shop.sheet",
                "shop.nest = true, but no blank is given to lay the parts out on",
                fix="add sheet = { width = ..., height = ... } to [shop], or use nest = false",
                source=_SOURCE,
                confidence="yours",
            )
        )
    margin = shop.sheet_margin
    if margin is None:
        margin = process(shop.process).sheet_margin_mm
    return (shop.sheet.width, shop.sheet.height), gap_of(shop), margin


def _blanks(members: list[Part], shop: Shop, before: int) -> list[Part]:
    """Return the different blanks of one material, numbered on after those before."""
    pieces = _pieces(members)
    size, gap, margin = _measures(shop)
    try:
        plan = nest(pieces, size, gap, margin)
    except GeometryError as error:
        raise Refused(misfit(error, "shop.sheet")) from None
    regions = {piece.name: piece.region for piece in pieces}
    blank = Outline.rectangle(*size, Point(size[0] / 2, size[1] / 2))
    return [
        Part(
            name=f"nest_{number}",
            cut=tuple(p.place(regions[p.name]) for p in placed),
            material=members[0].material,
            thickness=members[0].thickness,
            quantity=count,
            reference=(Path(blank.segments),),
            settings={
                "sheet_width_mm": size[0],
                "sheet_height_mm": size[1],
                "part_gap_mm": gap,
                "sheet_margin_mm": margin,
                "kerf_full_width_mm": members[0].settings.get("kerf_full_width_mm", 0.0),
                "use_of_all_blanks": round(plan.use_fraction, 4),
                **{f"pieces_{n}": count for n, count in Counter(p.name for p in placed).items()},
            },
            notes=(
                "for your own machine only: a shop wants one part a file and nests by itself",
                "the edge of the blank is drawn as reference and is not cut",
                "the test coupon is not on it: cut and measure it first",
            ),
        )
        for number, (placed, count) in enumerate(plan.repeats, start=before + 1)
    ]
