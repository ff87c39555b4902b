"""Run-out of seats and shoulders, symmetry of key seats: frames of the axle's drawing (ISO 1101).

All refer to A-B, the common axis of both bearing seats (ISO 5459). Shoulders get an axial run-out
where something that turns or carries is pushed against them: bearings on turned steps, the stack on
the collar. A filed axle has no such steps.
"""

from __future__ import annotations

from collections.abc import Sequence

from geometry.drafting.feature_frame import FaceLine, FeatureFrame
from geometry.drafting.view import View
from recipes.drawing_conventions import Words
from recipes.shaft.axle_shape import AxleShape
from recipes.shaft.corner import is_filed
from recipes.shaft.profile import STEP_CHAMFER
from recipes.shaft.sections import Section

#: Run-out of each seat and shoulder to the axis of both bearing seats, mm (common practice, from
#: memory: bearing makers ask for IT5 of a shoulder, 9 um at 25 mm, for their fullest accuracy).
RUN_OUT = 0.02

#: Zone that holds the median plane of a key seat, mm (common practice, from memory).
SYMMETRY = 0.05

#: Both bearing seats together.
DATUM = "A-B"

#: From the corner of a shoulder up to the arrow on its extension line, and where the leader of that
#: arrow may come down, counted from the face, mm.
OVER_CORNER, BESIDE = 3.5, (3.0, 7.0)


def seat_run_out(
    words: Words, spots: tuple[tuple[float, float], ...], top: float, side: int
) -> FeatureFrame:
    """Return the radial run-out of a seat.

    Args:
        words: of the design.
        spots: stretches of x on the sheet where its outline is free, mm.
        top: y of its outline, mm.
        side: of the label that the leader leaves, -1 or +1.
    """
    return FeatureFrame("run-out", (words.zone(RUN_OUT), DATUM), side, spots, top)


def key_symmetry(words: Words) -> FeatureFrame:
    """Return the symmetry of the key seats' width."""
    return FeatureFrame("symmetry", (words.zone(SYMMETRY), DATUM))


def told(words: Words, *, keyed: bool) -> str:
    """Return in words what the frames say, for a sheet that has no room for them."""
    keys = f" Key seats symmetrical to {DATUM} in {words.zone(SYMMETRY)}." if keyed else ""
    return f"Seats and shoulders: run-out of their surfaces to {DATUM} {words.zone(RUN_OUT)} at most.{keys}"


def abutment(shape: AxleShape, seat: Section) -> int:
    """Return at which end of a bearing seat its ring meets a turned step: -1 start, +1 end, 0 none.

    Between two steps it is the higher one.
    """
    if is_filed(shape.axle):
        return 0
    k, sections = shape.sections.index(seat), shape.sections
    sizes = [s[0].diameter if s else 0.0 for s in (sections[:k][-1:], sections[k + 1 :][:1])]
    if max(sizes) - seat.diameter <= 2 * STEP_CHAMFER:
        return 0
    return -1 if sizes[0] >= sizes[1] else 1


def shoulder_run_out(
    shape: AxleShape, view: View, words: Words, at: float, side: int
) -> FeatureFrame:
    """Return the axial run-out of the higher side of a step.

    Args:
        shape, view, words: of the drawing.
        at: z of the step from face A, mm.
        side: of the label that the leader leaves: -1 if the label stands right of the face.
    """
    radius = max(p.diameter for p in shape.pieces if p.start <= at <= p.end) / 2
    corner = view.at(at, radius)
    near, far = BESIDE
    left, right = (corner.x - far, corner.x - near), (corner.x + near, corner.x + far)
    lower = next(p for p in shape.pieces if p.diameter < 2 * radius and p.start <= at <= p.end)
    stands = (right, left) if lower.start >= at else (left, right)
    face = FaceLine(corner.x, corner.y)
    cells = (words.zone(RUN_OUT), DATUM)
    return FeatureFrame("run-out", cells, side, stands, corner.y + OVER_CORNER, face)


def collar_frames(shape: AxleShape, view: View, words: Words) -> tuple[FeatureFrame, ...]:
    """Return the axial run-out of the collar's face under the stack; none on a filed axle."""
    if is_filed(shape.axle):
        return ()
    collar = next(s for s in shape.sections if s.kind == "shoulder")
    stack = next(s for s in shape.sections if s.kind == "stator")
    before = stack.start < collar.start
    at, side = (collar.start, -1) if before else (collar.end, 1)
    return (shoulder_run_out(shape, view, words, at, side),)


def seat_frames(
    shape: AxleShape,
    view: View,
    words: Words,
    seat: Section,
    outline: tuple[Sequence[tuple[float, float]], float],
) -> tuple[FeatureFrame, ...]:
    """Return the frames of a bearing seat or of the stator seat, the lowest first.

    Args:
        shape, view, words: of the drawing.
        seat: its section.
        outline: free stretches of x of its upper edge, and the y of that, on the sheet, mm.
    """
    end = abutment(shape, seat) if seat.kind == "seat" else 0
    spots, top = outline
    radial = seat_run_out(words, tuple(spots), top, -end or -1)
    if not end:
        return (radial,)
    at = seat.start if end < 0 else seat.end
    return radial, shoulder_run_out(shape, view, words, at, end)
