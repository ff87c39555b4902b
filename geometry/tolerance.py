"""The only place where tolerances live, each with its reason. All lengths in mm."""

#: Both ends of an arc must lie at the same distance from its centre to within this much.
#: Double precision leaves about 1e-13 at 500 mm; 1e-7 is a thousandth of what any cutter
#: can move and still catches every wrong centre.
ARC_RADIUS = 1e-7

#: Two numbers that describe the same place after one chain of exact constructions.
SAME_PLACE = 1e-9

#: A file that was read back must agree with the outline to this much. DXF text carries 16
#: digits, STEP 15, so the limit is set by the printed digits of PDF (see `READ_BACK_PAGE`).
READ_BACK = 1e-6

#: PDF coordinates are printed with a few decimals of a point (1/72 in).
READ_BACK_PAGE = 2e-3

#: Shops refuse slivers: no drawn edge is shorter (common practice of cutting shops).
SHORTEST_EDGE = 0.05

#: Chord sagitta when an arc must become chords for a check or a picture, never for a cut file.
SAGITTA = 0.002

#: Two edges meet smoothly when their directions differ by less than this angle in radians.
TANGENT_ANGLE = 1e-6
