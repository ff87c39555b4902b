"""Solid -> STEP (ISO 10303-21, AP214) and STL bytes, one way, through the OpenCASCADE kernel.

cadquery's kernel modules are called directly: loading them costs a third of loading cadquery.
Every edge comes from the same lines and arcs as the drawings: no kernel fillet on an outline,
no boolean operation on an extruded body. The file header is our own, without date, so the same
solid gives the same bytes in every process.
"""

from __future__ import annotations

import io
import re
import struct
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from geometry.errors import GeometryError
from geometry.formats import embedded_design as carrier
from geometry.solid.assembly import Assembly
from geometry.solid.body import Solid
from geometry.solid.stl_read import read_stl
from geometry.step.brep_write import Body, brep
from geometry.step.part21 import encode_text

#: Fixed, because a date would change the bytes of an unchanged design.
TIME_STAMP = "2000-01-01T00:00:00"
_NAME = "LWNAME"
_PRODUCT = re.compile(rf"PRODUCT\(\s*'{_NAME}[^']*',\s*'{_NAME}[^']*'".encode())
_USE = re.compile(rb"NEXT_ASSEMBLY_USAGE_OCCURRENCE\(\s*'[^']*',\s*'[^']*'")
_BODY = re.compile(rb"MANIFOLD_SOLID_BREP\(\s*''")
_SCHEMA = re.compile(rb"FILE_SCHEMA\s*\(.*?\)\s*\)\s*;", re.DOTALL)


def write_step(solid: Body, *, name: str, payload: str = "") -> bytes:
    """Return a STEP file (AP214, mm) with one named product and one solid.

    An assembly becomes a product of products: one for each body, named as the body is.

    Args:
        solid: what to write; its z axis is the z axis of the file.
        name: name of the product, and of the solid in it.
        payload: a text that travels in the header as Part 21 comments (`geometry.formats.embedded_design`).

    Raises:
        GeometryError: no name, or the kernel cannot build the solid (it says at which cut).
    """
    if not name.strip():
        raise GeometryError("a STEP product needs a name")
    body = solid.base if isinstance(solid, Solid) and not solid.cuts else solid
    inside = [n for n, _ in body.items] if isinstance(body, Assembly) else []
    text = encode_text(name).encode("ascii")
    raw = _kernel_step(_shape(solid))
    schema = _SCHEMA.search(raw)
    head, found, data = raw.partition(b"ENDSEC;")
    data, named = _named(data, _PRODUCT, [name, *inside], b"PRODUCT(%b,%b")
    data, solids = _named(data, _BODY, inside or [name], b"MANIFOLD_SOLID_BREP(%b")
    # the kernel numbers uses on through a process: names make the bytes those of the design alone
    data, used = _named(data, _USE, inside, b"NEXT_ASSEMBLY_USAGE_OCCURRENCE(%b,%b")
    if not (schema and found and head and named and solids and used):
        raise GeometryError("the kernel wrote other products or solids than it was given")
    comments = "".join(f"/* {piece} */\n" for piece in carrier.pieces(payload)).encode("ascii")
    return b"".join(
        (
            b"ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((" + text + b"),'2;1');\nFILE_NAME(" + text,
            f",'{TIME_STAMP}',(''),(''),'lamwright','lamwright','');\n".encode("ascii"),
            re.sub(rb"\s*\n\s*", b"", schema[0]) + b"\n" + comments + b"ENDSEC;",
            data.replace(b"\r\n", b"\n"),
        )
    )


@lru_cache(maxsize=1)
def _shape(solid: Body) -> Any:
    """Return the kernel's shape of a body; kept for the mesh that follows its STEP file."""
    return brep(solid)


def _named(
    data: bytes, entity: re.Pattern[bytes], names: list[str], form: bytes
) -> tuple[bytes, bool]:
    """Name entities in the order of the file, which is that of the bodies; tell if all agree."""
    texts = [encode_text(n).encode("ascii") for n in names]
    waiting = iter(texts)

    def name(_: re.Match[bytes]) -> bytes:
        text = next(waiting, b"")
        return form % ((text,) * form.count(b"%b"))

    data, count = entity.subn(name, data)
    return data, count == len(names)


def write_stl(solid: Body, tolerance: float = 0.01) -> bytes:
    """Return a binary STL (mm) whose triangles stray at most `tolerance` mm from the solid.

    Raises:
        GeometryError: a tolerance that is not positive, or a solid that the kernel cannot build.
    """
    if not tolerance > 0:
        raise GeometryError("the STL tolerance must be above 0", value=tolerance, limit=0.0)
    import numpy as np

    corners = _triangles(_shape(solid), tolerance)
    a, b, c = (corners[:, k].astype(float) for k in range(3))
    whole = (a != b).any(axis=1) & (b != c).any(axis=1) & (c != a).any(axis=1)
    corners = corners[whole]  # at the pole of a ball the kernel leaves triangles without area
    normal = np.cross(b - a, c - a)[whole]
    size = np.linalg.norm(normal, axis=1, keepdims=True)
    normal = np.divide(normal, size, out=np.zeros_like(normal), where=size > 0)
    record = np.zeros(len(corners), dtype=[("faces", "<f4", (4, 3)), ("spare", "<u2")])
    record["faces"][:, 0] = normal
    record["faces"][:, 1:] = corners
    record["faces"] += 0.0  # no negative zeros
    return b"lamwright mm".ljust(80) + struct.pack("<I", len(corners)) + record.tobytes()


def _kernel_step(shape: Any) -> bytes:
    """Return the file as the kernel writes it, without curves on surfaces (half the size)."""
    from OCP.IFSelect import IFSelect_ReturnStatus
    from OCP.Interface import Interface_Static
    from OCP.Message import Message, Message_Gravity
    from OCP.STEPControl import STEPControl_StepModelType, STEPControl_Writer

    for printer in Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(Message_Gravity.Message_Fail)  # it would print to standard output
    writer = STEPControl_Writer()  # loads the defaults, so the settings come after it
    for key, number in (("write.surfacecurve.mode", 0), ("write.precision.mode", 0)):
        Interface_Static.SetIVal_s(key, number)
    for key, word in (
        ("write.step.schema", "AP214IS"),
        ("write.step.unit", "MM"),
        ("xstep.cascade.unit", "MM"),
        ("write.step.product.name", _NAME),
    ):
        Interface_Static.SetCVal_s(key, word)
    stream = io.BytesIO()
    done = writer.Transfer(shape, STEPControl_StepModelType.STEPControl_AsIs)
    if done == IFSelect_ReturnStatus.IFSelect_RetDone:
        done = writer.WriteStream(stream)
    if done != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise GeometryError(f"the kernel could not write STEP: {done}")
    return stream.getvalue()


def _triangles(shape: Any, tolerance: float) -> Any:
    """Return the corners (n, 3, 3) of triangles, counter-clockwise from outside, as short floats."""
    from OCP.BRepMesh import BRepMesh_IncrementalMesh
    from OCP.IMeshTools import IMeshTools_MeshAlgoType, IMeshTools_Parameters
    from OCP.StlAPI import StlAPI_Writer

    wish = IMeshTools_Parameters()
    wish.Deflection, wish.Angle = tolerance, 0.5
    # twice as fast on faces with many edges as the kernel's usual way, and as exact
    wish.MeshAlgo = IMeshTools_MeshAlgoType.IMeshTools_MeshAlgoType_Delabella
    made = BRepMesh_IncrementalMesh(shape, wish)
    writer = StlAPI_Writer()
    writer.ASCIIMode = False
    with TemporaryDirectory() as folder:  # the kernel writes its mesh into files only
        path = Path(folder) / "mesh.stl"
        if made.GetStatusFlags() or not writer.Write(shape, str(path)):
            raise GeometryError("the kernel could not mesh a face", hint="raise the tolerance")
        return read_stl(path.read_bytes()).triangles.astype("<f4")
