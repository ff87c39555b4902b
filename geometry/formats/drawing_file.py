"""A drawing as the bytes of a file whose ending tells the format."""

from __future__ import annotations

from geometry.drafting.drawing import Drawing
from geometry.errors import GeometryError
from geometry.formats.drawing_pdf import write_pdf
from geometry.formats.drawing_svg import write_svg

#: Endings that can be written.
ENDINGS = (".svg", ".pdf")


def drawing_bytes(drawing: Drawing, ending: str) -> bytes:
    """Return the file.

    Args:
        drawing: the sheet.
        ending: one of `ENDINGS`, in any case.

    Raises:
        GeometryError: another ending; names the choices.
    """
    if ending.lower() == ".svg":
        return write_svg(drawing).encode("utf-8")
    if ending.lower() == ".pdf":
        return write_pdf((drawing,), title=drawing.title)
    raise GeometryError(
        f"a picture cannot be written as {ending or 'a file without ending'!r}",
        hint=f"let its name end in {' or '.join(ENDINGS)}",
    )
