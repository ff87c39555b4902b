"""Floor of a build with solids: load cadquery once and write one STEP of the finished face.

    python tests/bench/floor_solid.py EDGES.json OUT.step

Draws nothing but what is there already: the edges come as points (start, a point between for an
arc, end), one list a loop, the outer one first, mm. It uses nothing of this project.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import cadquery as cq


def main(edges: str, out: str) -> None:
    """Write the sheet of the given thickness that the loops bound."""
    found = json.loads(Path(edges).read_text())
    wires = []
    for loop in found["loops"]:
        made = []
        for places in loop:
            spots = [cq.Vector(x, y, 0.0) for x, y in places]
            line = len(spots) == 2
            made.append(cq.Edge.makeLine(*spots) if line else cq.Edge.makeThreePointArc(*spots))
        wires.append(cq.Wire.assembleEdges(made))
    face = cq.Face.makeFromWires(wires[0], wires[1:])
    solid = cq.Solid.extrudeLinear(face, cq.Vector(0.0, 0.0, found["thickness"]))
    cq.exporters.export(cq.Workplane(solid), out)


if __name__ == "__main__":
    main(*sys.argv[1:])
