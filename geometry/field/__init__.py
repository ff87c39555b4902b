"""Plane magnetostatic field in regions of exact lines and arcs: two sides with a round gap between.

The field is that of an infinitely long machine, per metre of length: the vector potential A
(Wb/m) points along the axis. The inner side stands still, the outer one is turned; between them
lies an annulus of air, solved exactly in harmonics. Geometry is given in mm and rad; everything
that belongs to the field is in SI units. Knows no motor.

From outlines to figures: `mesh.mesh_cell` divides one cell into triangles (edges shared in
`planar`, refined in `triangulate`), `Mesh.mirrored` and `Mesh.repeated` make the sector;
`side.make_side` joins it with `materials`; `solve.couple` puts the `annulus` between two sides;
`solve.solve` finds the field at an angle; `results` reads it.
"""
