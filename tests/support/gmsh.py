"""What gmsh, which shares no reader with us, finds in a STEP file; skips where it cannot load."""

from __future__ import annotations

import signal
from pathlib import Path

import pytest


def gmsh_solids(data: bytes, folder: Path) -> list[tuple[str, float, tuple[float, float]]]:
    """Return name, volume (mm3) and z range (mm) of every solid, in the order of the file."""
    try:
        import gmsh
    except (ImportError, OSError) as error:
        pytest.skip(
            f"gmsh cannot be loaded ({error}): pip install gmsh, and on Debian "
            "apt-get install libglu1-mesa libxft2 libxcursor1 libxinerama1"
        )
    path = folder / "solid.step"
    path.write_bytes(data)
    gmsh.initialize(interruptible=False)
    try:
        gmsh.option.setNumber("General.Terminal", 0)
        bodies = gmsh.model.occ.importShapes(str(path))
        gmsh.model.occ.synchronize()
        assert {dimension for dimension, _ in bodies} == {3}
        found = []
        for body in bodies:
            box = gmsh.model.occ.getBoundingBox(*body)
            name = gmsh.model.getEntityName(*body).split("/")[-1]
            found.append((name, float(gmsh.model.occ.getMass(*body)), (box[2], box[5])))
        return found
    finally:
        gmsh.finalize()
        if hasattr(signal, "SIGPIPE"):  # gmsh lets a broken pipe end the process; Python does not
            signal.signal(signal.SIGPIPE, signal.SIG_IGN)
