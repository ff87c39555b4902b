"""A drawing as the bytes of a file whose ending tells the format."""

from __future__ import annotations

from geometry.errors import GeometryError
from geometry.sheet.drawing import Drawing

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
        from geometry.sheet.drawing_svg import write_svg

        return write_svg(drawing).encode("utf-8")
    if ending.lower() == ".pdf":
        from geometry.sheet.drawing_pdf import write_pdf

        return write_pdf((drawing,), title=drawing.title)
    raise GeometryError(
        f"a picture cannot be written as {ending or 'a file without ending'!r}",
        hint=f"let its name end in {' or '.join(ENDINGS)}",
    )
