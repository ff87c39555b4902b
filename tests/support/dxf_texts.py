"""Hand-written DXF texts for the reader: none of them comes from our writer."""

from __future__ import annotations

from collections.abc import Iterable

Tag = tuple[int, object]

R12_HEADER: list[Tag] = [(0, "SECTION"), (2, "HEADER"), (9, "$ACADVER"), (1, "AC1009")]


def dxf(tags: Iterable[Tag], newline: str = "\n", pad: bool = False) -> bytes:
    """Return the tags as a text; `pad` right-justifies the codes as old programs do."""
    lines = [
        f"{code:>3}{newline}{value}" if pad else f"{code}{newline}{value}" for code, value in tags
    ]
    return (newline.join(lines) + newline).encode("utf-8")


def entities(*groups: Iterable[Tag], header: Iterable[Tag] = ()) -> list[Tag]:
    """Return the tags of a whole file with `header` variables and the given entities."""
    tags: list[Tag] = []
    header = list(header)
    if header:
        tags += [(0, "SECTION"), (2, "HEADER"), *header, (0, "ENDSEC")]
    tags += [(0, "SECTION"), (2, "ENTITIES")]
    for group in groups:
        tags += group
    return [*tags, (0, "ENDSEC"), (0, "EOF")]


def line(x0: float, y0: float, x1: float, y1: float, layer: str = "CUT") -> list[Tag]:
    return [(0, "LINE"), (8, layer), (10, x0), (20, y0), (30, 0.0), (11, x1), (21, y1), (31, 0.0)]


def circle(x: float, y: float, radius: float, layer: str = "CUT") -> list[Tag]:
    return [(0, "CIRCLE"), (5, "2F"), (8, layer), (10, x), (20, y), (30, 0.0), (40, radius)]


def lwpolyline(
    corners: Iterable[tuple[float, float, float]], closed: bool = True, layer: str = "CUT"
) -> list[Tag]:
    corners = list(corners)
    tags: list[Tag] = [
        (0, "LWPOLYLINE"),
        (5, "A1"),
        (100, "AcDbEntity"),
        (8, layer),
        (100, "AcDbPolyline"),
        (90, len(corners)),
        (70, 1 if closed else 0),
    ]
    for x, y, bulge in corners:
        tags += [(10, x), (20, y)]
        if bulge:
            tags.append((42, bulge))
    return tags


def polyline(
    corners: Iterable[tuple[float, float, float]], closed: bool = True, layer: str = "CUT"
) -> list[Tag]:
    tags: list[Tag] = [
        (0, "POLYLINE"),
        (8, layer),
        (66, 1),
        (10, 0.0),
        (20, 0.0),
        (30, 0.0),
        (70, 1 if closed else 0),
    ]
    for x, y, bulge in corners:
        tags += [(0, "VERTEX"), (8, layer), (10, x), (20, y), (30, 0.0)]
        if bulge:
            tags.append((42, bulge))
    return [*tags, (0, "SEQEND"), (8, layer)]


#: A slot 7 x 3 about (10, 5): two lines and two half turns, bulge 1, counter-clockwise.
SLOT = [(8.0, 3.5, 0.0), (12.0, 3.5, 1.0), (12.0, 6.5, 0.0), (8.0, 6.5, 1.0)]
SLOT_AREA = 4.0 * 3.0 + 3.141592653589793 * 1.5**2
