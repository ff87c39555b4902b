"""What sits on the axle and holds something there: retaining rings, nuts, clamp collars, the frame.

   lug, ring        nut across corners       collar | stack | collar      frame
     _|_              .------.                 .---.                  ////////
____|   |____     ____|______|____         ____|   |=========
    groove         thread | bearing
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from recipes.assembly.body import Body, Handle, block
from recipes.design.axle import Axle
from recipes.shaft.axle_rules import RING_BESIDE
from recipes.shaft.end_thread import threaded_ends
from recipes.shaft.profile import Piece
from recipes.shaft.ring_groove import ring_grooves
from recipes.shaft.ring_rules import shaft_at
from recipes.shaft.sections import Section, seat_features
from recipes.shaft.thread_rules import across_nut

#: Lugs of a ring for a shaft of d stand 2.3 mm + 0.09 d over the groove's bottom: dimension a of DIN 471
#: within 0.3 mm for 10 to 50 mm (fitted, from memory).
LUG, LUG_UNSURE = (2.3, 0.09), 0.3

#: Split clamp collar by the greatest shaft that it is for: wall and width, mm, as makers' lists give them
#: (common practice); they differ by so much.
COLLARS: Final = ((12.0, 8.0, 11.0), (25.0, 10.0, 15.0), (math.inf, 12.0, 15.0))
COLLAR_UNSURE = 3.0

#: Height of a locknut in thread diameters, where no hexagon nut is common (ISO 2982, rough).
LOCKNUT_HEIGHT = 0.3

#: A nut that holds no bearing holds the frame, and the frame makes room for it.
FRAME = "frame"


def ring_bodies(axle: Axle, sections: tuple[Section, ...]) -> Iterator[Body]:
    """Yield the ring of every groove that lies on the axle, as high as its lugs."""
    for k, groove in enumerate(ring_grooves(axle), 1):
        over = shaft_at(groove, sections)
        if over is None or groove.diameter >= over:
            continue  # refused by the rules of grooves
        thick = groove.ring.thickness_mm if groove.ring else groove.width
        middle, floor = (groove.from_face + groove.end) / 2, groove.diameter / 2
        top = floor + LUG[0] + LUG[1] * (groove.ring.shaft_mm if groove.ring else over)
        yield Body(
            f"retaining ring {k}",
            (block(middle - thick / 2, middle + thick / 2, floor, top),),
            material="spring steel",
            unsure=LUG_UNSURE,
            moved_by=Handle(f"{groove.field}.from_face", groove.from_face, 1.0),
        )


def nut_bodies(axle: Axle) -> Iterator[Body]:
    """Yield the nut of every threaded end: against the bearing beside it, else flush with the face."""
    edges = [edge for seat in seat_features(axle) for edge in (seat.start, seat.end)]
    for end in threaded_ends(axle):
        size, (low, high) = end.thread, end.reach
        inner = high if end.face == "A" else low
        rests = any(abs(edge - inner) < RING_BESIDE for edge in edges)
        tall = size.nut_height_mm or LOCKNUT_HEIGHT * size.diameter_mm
        below = rests == (end.face == "A")
        span = (high - tall, high) if below else (low, low + tall)
        corners = across_nut(size) / (math.sqrt(3.0) if size.nut_across_mm else 2.0)
        yield Body(
            f"nut on face {end.face}",
            (block(*span, size.diameter_mm / 2, corners),),
            material="steel",
            unsure=0.0 if size.nut_across_mm else COLLAR_UNSURE,
            unit="" if rests else FRAME,
            moved_by=Handle(f"{end.field}.length", high - low, 1.0 if end.face == "A" else -1.0)
            if rests
            else None,
        )


def collar_bodies(axle: Axle, span: tuple[float, float], moved: Handle) -> Iterator[Body]:
    """Yield both clamp collars beside what lies from `span` to `span`, mm, where they hold the stack."""
    if axle.shoulder is not None or axle.stack_held != "clamp collars":
        return
    r = axle.stock_diameter / 2
    _, wall, wide = next(row for row in COLLARS if axle.stock_diameter <= row[0])
    for face, start in {"A": span[0] - wide, "B": span[1]}.items():
        yield Body(
            f"clamp collar {face}",
            (block(start, start + wide, r, r + wall),),
            material="steel",
            unsure=COLLAR_UNSURE,
            moved_by=moved,
        )


def frame_bodies(axle: Axle, pieces: Sequence[Piece]) -> Iterator[Body]:
    """Yield the frame at every held face, as far along as it grips, out to twice the axle at least."""
    grip = axle.load.grip
    if not grip:
        return
    for face, start in {"A": 0.0, "B": axle.length - grip}.items():
        if axle.load.held not in (f"face {face}", "both ends"):
            continue
        r = max(p.diameter for p in pieces if p.end > start and p.start < start + grip) / 2
        yield Body(
            f"frame at face {face}",
            (block(start, start + grip, r, r + axle.stock_diameter / 2),),
            unsure=math.inf,
            unit=FRAME,
            moved_by=Handle("axle.load.grip", grip, 1.0 if face == "A" else -1.0),
        )
