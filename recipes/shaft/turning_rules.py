"""Rules on what the lathe and the file take off: bore, wall, bar and flats.

Each takes sections and pieces as given: they are asked once the features lie in order.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from geometry.finding import Finding
from recipes.design.axle import Axle
from recipes.refusal import finding, stop
from recipes.shaft.profile import LEAST_FACE, MOUTH_SHARE, Piece, mouth_radius, size_at
from recipes.shaft.sections import (
    AS_BOUGHT,
    LEAST_WALL,
    SAME,
    bore_end,
    flat_features,
    least_wall,
    slot_feature,
)

#: Material that the first cut needs to clean the bar up, on the diameter in mm (common practice).
CLEAN_UP = 0.5

#: Share of the length of an end that its edge break may take; the rest is for the step behind.
EDGE_SHARE = 0.75

_stop = partial(stop, source="common practice", confidence="practice")


def turning_findings(axle: Axle, pieces: tuple[Piece, ...]) -> list[Finding]:
    """Return the findings on diameters and walls."""
    return [
        *bore_reaches(axle),
        *wall_left(axle, pieces),
        *end_faces(axle, pieces),
        *bar_stock(axle, pieces),
        *flats_cut(axle, pieces),
    ]


def bore_reaches(axle: Axle) -> Iterator[Finding]:
    """The bore from face A reaches past the wire slot, and ends inside the axle or runs through."""
    depth, slot = axle.bore_depth, slot_feature(axle)
    if depth is None:
        return
    if depth < slot.end - SAME:
        yield stop(
            "bore-too-short",
            "axle.bore_depth",
            f"axle.bore_depth = {depth:g} mm ends before the wire slot does, at {slot.end:g} mm: "
            "the slot would not open into the bore",
            value=depth,
            limit=slot.end,
            fix=f"drill at least {slot.end:g} mm deep, or leave bore_depth out to drill right through",
        )
        return
    most = axle.length - (bore_end(axle) - depth) - LEAST_WALL
    if depth <= most + SAME:
        return
    yield _stop(
        "bore-breaks-out",
        "axle.bore_depth",
        f"axle.bore_depth = {depth:g} mm: its drill point would leave less than {LEAST_WALL:g} mm "
        "at face B",
        value=depth,
        limit=most,
        fix=f"use at most {most:.3f} mm, or leave bore_depth out to drill right through",
    )


def wall_left(axle: Axle, pieces: tuple[Piece, ...]) -> Iterator[Finding]:
    """Wall enough is left round the bore under every section, groove and flat."""
    bore, end = axle.bore_diameter, bore_end(axle)
    places = [(p.field, p.diameter, p.start) for p in pieces]
    places += [
        (f"axle.flats[{k}].across", f.across, f.from_face) for k, f in enumerate(axle.flats, 1)
    ]
    told = set()
    for field, size, z in places:
        wall, least = (size - bore) / 2, least_wall(size)
        if z >= end - SAME or wall >= least - SAME or (field, size) in told:
            continue
        told.add((field, size))
        most = size - 2 * least
        fix = f"use a bore of at most {most:.2f} mm, or " if most > 0 else "use "
        yield _stop(
            "thin-wall",
            "axle.bore_diameter",
            f"axle.bore_diameter = {bore:g} mm leaves a wall of {wall:.3f} mm under {size:g} mm "
            f"({field}, {z:g} mm from face A); {least:.2f} mm is the least",
            value=wall,
            limit=least,
            fix=f"{fix}a larger diameter there",
        )


def end_faces(axle: Axle, pieces: tuple[Piece, ...]) -> Iterator[Finding]:
    """Round of the bore's mouth and edge breaks leave some of faces and outside standing."""
    radius, wall = mouth_radius(axle, pieces), (pieces[0].diameter - axle.bore_diameter) / 2
    most = wall - axle.edge_break - LEAST_FACE
    if wall > 0 and radius > most + SAME:
        yield stop(
            "bore-mouth",
            "axle.bore_mouth_radius",
            f"axle.bore_mouth_radius = {radius:g} mm and axle.edge_break = {axle.edge_break:g} mm use "
            f"up the wall of {wall:.3f} mm at face A",
            value=radius,
            limit=max(0.0, most),
            fix=f"use a bore_mouth_radius of at most {min(max(0.0, most), MOUTH_SHARE * wall):.2f} mm, or "
            "a smaller edge_break",
        )
    for piece, face in ((pieces[0], "A"), (pieces[-1], "B")):
        hollow = face == "A" or axle.bore_depth is None
        wall = (piece.diameter - (axle.bore_diameter if hollow else 0.0)) / 2
        most = min(EDGE_SHARE * piece.length, wall / 2)
        if 0 < most < axle.edge_break - SAME:
            yield stop(
                "edge-break",
                "axle.edge_break",
                f"axle.edge_break = {axle.edge_break:g} mm is too large for the end at face {face}, "
                f"{piece.length:g} mm long with a wall of {wall:.3f} mm",
                value=axle.edge_break,
                limit=most,
                fix=f"use at most {most:.2f} mm",
            )


def bar_stock(axle: Axle, pieces: tuple[Piece, ...]) -> Iterator[Finding]:
    """A bar is thick enough to be turned clean wherever it is turned; tubes: `tube_rules`."""
    worked = [p for p in pieces if p.field != AS_BOUGHT]
    if axle.stock != "bar" or not worked:
        return
    stock, piece = axle.stock_diameter, max(worked, key=lambda p: p.diameter)
    limit = piece.diameter + CLEAN_UP
    if stock >= limit - SAME:
        return
    thin = stock < piece.diameter - SAME
    what = "is thinner than" if thin else f"leaves less than {CLEAN_UP:g} mm to turn off"
    yield finding(
        "stop" if thin else "warn",
        "stock-too-thin" if thin else "stock-skin",
        "axle.stock_diameter",
        f"axle.stock_diameter = {stock:g} mm {what} the largest diameter, {piece.diameter:g} mm "
        f"({piece.field})",
        value=stock,
        limit=limit,
        fix=f"use stock of at least {limit:g} mm",
        source="common practice",
        confidence="practice",
    )


def flats_cut(axle: Axle, pieces: tuple[Piece, ...]) -> Iterator[Finding]:
    """Flats take something off the axle."""
    for flat, cut in zip(flat_features(axle), axle.flats, strict=True):
        size = size_at(pieces, flat)
        if size is None:
            continue  # off the axle: told by the rules of places
        if cut.across >= size - SAME:
            field = f"{flat.field}.across"
            yield stop(
                "flats-miss",
                field,
                f"{field} = {cut.across:g} mm is not below the {size:g} mm of the axle there",
                value=cut.across,
                limit=size,
                fix=f"use less than {size:g} mm",
            )
