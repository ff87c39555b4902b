"""Line styles by purpose, after ISO 128-2: widths and dashes in mm on the sheet.

Numbers such as 04.1 are the line types of ISO 128-2 (type, then 1 narrow or 2 wide); wide to
narrow is 2:1. Lengths of dashes in line widths d are those of ISO 128-20:1996 table 3 (from
memory): gap 3 d, dash 12 d, long dash 24 d, dot 0.5 d. Style tells purpose, never colour:
a copier and a black printer keep it.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class LineStyle:
    """How a line of one purpose is drawn.

    Args:
        name: the purpose, also the name of the layer in DXF.
        number: line type of ISO 128-2.
        width: line width in mm.
        dashes: lengths of dash, gap, dash, gap ... in mm; empty for a continuous line.
        legend: the words beside a sample of the line.
        custom: drawn by the custom of the craft, where ISO 128-2 would draw it otherwise.
    """

    name: str
    number: str
    width: float
    dashes: tuple[float, ...]
    legend: str
    custom: bool = False


def _pattern(width: float, *marks: float) -> tuple[float, ...]:
    return tuple(round(width * part, 4) for mark in marks for part in (mark, 3.0))


NARROW, WIDE = 0.25, 0.5

STYLES: dict[str, LineStyle] = {
    style.name: style
    for style in (
        LineStyle("visible", "01.2", WIDE, (), "visible edge"),
        LineStyle("narrow", "01.1", NARROW, (), "dimension, leader, hatching"),
        LineStyle("hidden", "02.1", NARROW, _pattern(NARROW, 12), "hidden edge"),
        LineStyle("centre", "04.1", NARROW, _pattern(NARROW, 24, 0.5), "centre line"),
        LineStyle("adjacent", "05.1", NARROW, _pattern(NARROW, 24, 0.5, 0.5), "adjacent part"),
        # ISO 128-2 names the outline of a sheet part like any visible edge; 0.35 is the wide
        # line of the next finer group, because the knife follows its middle.
        LineStyle("cut", "01.2", 0.35, (), "cut on the middle of the line"),
        # ISO 128-2 draws bend lines continuous and narrow (01.1, from memory). A dashed fold
        # is the custom of the craft and is told from a cut at a glance (common practice).
        LineStyle("fold", "02.1", NARROW, _pattern(NARROW, 12), "fold, do not cut", True),
        # beside a cut of 0.35 a mark is told by half its width (line group 0.35)
        LineStyle("mark", "01.1", 0.18, (), "mark only, do not cut"),
        # where one sheet of paper is laid over the next: the next sheet is the adjacent part
        LineStyle("joint", "05.1", 0.18, _pattern(0.18, 24, 0.5, 0.5), "joint with the next sheet"),
        LineStyle("frame", "01.2", 0.7, (), "frame of the sheet"),  # ISO 5457
    )
}
