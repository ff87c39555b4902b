"""Part -> SVG for a paper cutter: the page in mm, one group a layer, nothing but lines to follow.

The viewBox counts mm with the page's own size, so a cutter's program places every piece without
scaling. Groups carry the names of the DXF layers; perforation comes first, as paper that is already
cut out no longer lies still. Places are written as they are: no transform for a program to lose.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from geometry.formats.drawing_svg import number_text, path_data
from geometry.formats.dxf_write import CUT_INNER, CUT_OUTER, PERFORATION
from geometry.outline import Outline
from geometry.part import Part
from geometry.segment import Segment

#: Colour of every group, for programs that sort by it.
COLOURS = {PERFORATION: "#ff00ff", CUT_INNER: "#ff0000", CUT_OUTER: "#000000"}

_DECIMALS = 4


def write_cut_svg(part: Part, size: tuple[float, float]) -> str:
    """Return the cut and the perforation of a part on a page.

    Args:
        part: what to cut; folds, marks and references are left out.
        size: width and height of the page in mm, its lower left corner at the part's origin.
    """
    width, height = (number_text(v, _DECIMALS) for v in size)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}">'
    ]
    for name, shapes in page_layers(part, size[1]).items():
        if shapes:
            lines.append(f'<g id="{name}" fill="none" stroke="{COLOURS[name]}" stroke-width="0.1">')
            lines += [f'<path d="{path_data(shape, _DECIMALS)}"/>' for shape in shapes]
            lines.append("</g>")
    return "\n".join([*lines, "</svg>", ""])


def page_layers(part: Part, height: float) -> dict[str, list[Outline | Sequence[Segment]]]:
    """Return what each group of the page holds, y downward from the upper edge, mm."""

    def flipped(edges: Sequence[Segment]) -> Iterator[Segment]:
        return (edge.mirrored().moved(0.0, height) for edge in edges)

    return {
        PERFORATION: [tuple(flipped(path.segments)) for path in part.perforation],
        CUT_INNER: [h.mirrored().moved(0.0, height) for r in part.cut for h in r.holes],
        CUT_OUTER: [r.outer.mirrored().moved(0.0, height) for r in part.cut],
    }
