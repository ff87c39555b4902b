"""Body -> STEP (ISO 10303-21, AP214) and STL bytes, one way, by cadquery's exporters.

Header and names are our own: the exporter's header holds a date, its names a count that goes on
through a process, and other alphabets come out wrong. So the same body gives the same bytes in
every process.
"""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from geometry.errors import GeometryError
from geometry.formats import embedded_design
from geometry.solids import Body
from geometry.solids.bodies import Assembly
from geometry.solids.kernel import build

if TYPE_CHECKING:
    import cadquery as cq

_SCHEMA = re.compile(rb"FILE_SCHEMA\s*\(.*?\)\s*\)\s*;", re.DOTALL)


def write_step(body: Body, *, name: str, payload: str = "") -> bytes:
    """Return a STEP file (AP214, mm) with one named product and one solid.

    An assembly becomes a product of products: one for each body, named as the body is.

    Args:
        body: what to write; its z axis is the z axis of the file.
        name: name of the product, and of the solid in it.
        payload: a text that travels in the header as Part 21 comments (see `embedded_design`).

    Raises:
        GeometryError: no name, or the kernel cannot build the solid (it says at which cut).
    """
    if not name.strip():
        raise GeometryError("a STEP product needs a name")
    inside = [n for n, _ in body.items] if isinstance(body, Assembly) else []
    raw = _exported(_shape(body))
    schema = _SCHEMA.search(raw)
    _, found, data = raw.partition(b"ENDSEC;")
    if not (schema and found):
        raise GeometryError("the kernel wrote no whole STEP file")
    data = _named(data, b"PRODUCT", 2, [name, *inside])
    data = _named(data, b"MANIFOLD_SOLID_BREP", 1, inside or [name])
    data = _named(data, b"NEXT_ASSEMBLY_USAGE_OCCURRENCE", 2, inside)
    title = encode_text(name)
    head = (
        f"ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION(({title}),'2;1');\nFILE_NAME({title},"
        "'2000-01-01T00:00:00',(''),(''),'lamwright','lamwright','');\n"
    )  # a date of today would change the bytes of an unchanged design
    comments = "".join(f"/* {piece} */\n" for piece in embedded_design.pieces(payload))
    one_line = re.sub(rb"\s*\n\s*", b"", schema[0])
    return b"".join(
        (head.encode("ascii"), one_line, b"\n", comments.encode("ascii"), b"ENDSEC;",
         data.replace(b"\r\n", b"\n"))
    )  # fmt: skip


def write_stl(body: Body, tolerance: float = 0.01) -> bytes:
    """Return a binary STL (mm) whose triangles stray at most `tolerance` mm from the solid.

    It is closed unless the body has a point on its axis: there the kernel leaves triangles without
    area.

    Raises:
        GeometryError: a tolerance that is not positive, or a solid that the kernel cannot build.
    """
    if not tolerance > 0:
        raise GeometryError("the STL tolerance must be above 0", value=tolerance, limit=0.0)
    import cadquery as cq
    from OCP.BRepMesh import BRepMesh_IncrementalMesh
    from OCP.IMeshTools import IMeshTools_MeshAlgoType, IMeshTools_Parameters
    from OCP.StlAPI import StlAPI_Writer

    shape = _shape(body)
    solid = shape.toCompound() if isinstance(shape, cq.Assembly) else shape
    wish = IMeshTools_Parameters()
    wish.Deflection, wish.Angle = tolerance, 0.5
    # cadquery has no word for this way, five times as fast on faces with many edges and as exact
    wish.MeshAlgo = IMeshTools_MeshAlgoType.IMeshTools_MeshAlgoType_Delabella
    writer = StlAPI_Writer()
    writer.ASCIIMode = False
    with TemporaryDirectory() as folder:
        path = Path(folder) / "mesh.stl"
        made = BRepMesh_IncrementalMesh(solid.wrapped, wish)
        if made.GetStatusFlags() or not writer.Write(solid.wrapped, str(path)):
            raise GeometryError("the kernel could not mesh a face", hint="raise the tolerance")
        return b"lamwright mm".ljust(80) + path.read_bytes()[80:]


def encode_text(text: str) -> str:
    r"""Return `text` as a Part 21 string with its quotes; other alphabets as \X2\ codes."""
    out: list[str] = []
    for char in text:
        code = ord(char)
        if char in "'\\":
            out.append(char * 2)
        elif 0x20 <= code <= 0x7E:
            out.append(char)
        else:
            out.append(f"\\X2\\{code:04X}\\X0\\" if code <= 0xFFFF else f"\\X4\\{code:08X}\\X0\\")
    return "'" + "".join(out) + "'"


@lru_cache(maxsize=1)
def _shape(body: Body) -> cq.Solid | cq.Assembly:
    """Return cadquery's shape of a body; kept for the mesh that follows its STEP file."""
    return build(body)


def _exported(shape: cq.Solid | cq.Assembly) -> bytes:
    """Return the file as cadquery writes it, without curves on surfaces (half the size)."""
    import cadquery as cq

    with TemporaryDirectory() as folder:
        path = Path(folder) / "solid.step"
        if isinstance(shape, cq.Assembly):
            shape.export(str(path), write_pcurves=False)
        else:
            cq.exporters.export(shape, str(path), opt={"write_pcurves": False})
        return path.read_bytes()


def _named(data: bytes, entity: bytes, fields: int, names: list[str]) -> bytes:
    """Put names into the first fields of entities, which come in the order of the bodies."""
    pattern = rb"\b" + entity + rb"\(" + rb",".join([rb"\s*'(?:[^']|'')*'"] * fields)
    texts = iter(encode_text(n).encode("ascii") for n in names)
    data, count = re.subn(
        pattern, lambda _: entity + b"(" + b",".join([next(texts, b"")] * fields), data
    )
    if count != len(names):
        raise GeometryError("the kernel wrote other products or solids than it was given")
    return data
