"""Parallel keys to DIN 6885-1: height, depths of both seats, lengths, limits of the width."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from geometry.finding import Confidence
from recipes.tables.reader import Cells, TableError, TableRow, band, finite, load_table

#: Key lengths in mm (DIN 6885-1; from memory).
KEY_LENGTHS: Final = (
    6.0,
    8.0,
    10.0,
    12.0,
    14.0,
    16.0,
    18.0,
    20.0,
    22.0,
    25.0,
    28.0,
    32.0,
    36.0,
    40.0,
    45.0,
    50.0,
    56.0,
    63.0,
    70.0,
    80.0,
    90.0,
    100.0,
    110.0,
    125.0,
    140.0,
    160.0,
    180.0,
    200.0,
)

#: N9 of a key seat's width in mm, by the greatest width that it holds for (ISO 286-2: standard
#: tolerance grade IT9 below zero; up to 3 mm 4 um lower still).
N9: Final = (
    (3.0, -0.004, -0.029),
    (6.0, 0.0, -0.030),
    (10.0, 0.0, -0.036),
    (18.0, 0.0, -0.043),
    (30.0, 0.0, -0.052),
    (50.0, 0.0, -0.062),
)


@dataclass(frozen=True)
class Key(TableRow):
    """A parallel key in mm: for shafts over `over_mm` up to `up_to_mm`; depths on the middle line."""

    width_mm: float
    height_mm: float
    shaft_depth_mm: float
    shaft_depth_over_mm: float
    hub_depth_mm: float
    over_mm: float
    up_to_mm: float
    confidence: Confidence
    source: str


def key_of_width(width_mm: float) -> Key:
    """Return the key of a width in mm.

    Raises:
        TableError: no such key; names the nearest.
    """
    width = finite("width_mm", width_mm, "mm")
    rows = load_table("din6885_keys.csv").rows
    found = next((r for r in rows if abs(r.number("width_mm") - width) < 1e-6), None)
    if found is None:
        near = min(rows, key=lambda r: abs(r.number("width_mm") - width))
        raise TableError(f"no key is {width:g} mm wide; the nearest is {near.text('width_mm')} mm")
    return _key(found)


def key_for_shaft(diameter_mm: float) -> Key:
    """Return the usual key of a shaft.

    Raises:
        TableError: a diameter that the table does not hold.
    """
    size = finite("diameter_mm", diameter_mm, "mm")
    table = load_table("din6885_keys.csv")
    found = band(table, size)
    if found is None:
        raise TableError(
            f"diameter_mm = {size:g} is outside the table of keys: over 6 up to 130 mm"
        )
    return _key(found)


def n9_limits(width_mm: float) -> tuple[float, float]:
    """Return upper and lower deviation in mm of a key seat's width of class N9.

    Raises:
        TableError: wider than 50 mm.
    """
    for up_to, upper, lower in N9:
        if width_mm <= up_to:
            return upper, lower
    raise TableError(f"width_mm = {width_mm:g} is above 50 mm, the end of the table of N9")


def _key(cells: Cells) -> Key:
    width = cells.number("width_mm")
    return Key(
        width_mm=width,
        height_mm=cells.number("height_mm"),
        shaft_depth_mm=cells.number("shaft_depth_mm"),
        shaft_depth_over_mm=0.1 if width <= 6 else 0.2,
        hub_depth_mm=cells.number("hub_depth_mm"),
        over_mm=cells.number("over_mm"),
        up_to_mm=cells.number("up_to_mm"),
        confidence="standard",
        source=load_table("din6885_keys.csv").source(cells),
    )
