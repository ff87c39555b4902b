"""Where the tails of the terminals come up, and their way over the lead jig to the wire slot.

                   tooth 1: sight notch
                 ____v____
              .-'         '-.      notch: as wide as a lead in its sleeve, where a tail comes up
             |  :         :  |     ring: every tail runs in to it, along it, and in to the mouth
             |  :  .---.  :  |
             |  '-( axle )-=====   mouth: over the wire slot of the axle
              '.   '---'   .'      slit: in the widest gap; open it to take the jig off again
                '-._____.-'

Angles count from the right, counter-clockwise as seen from the lead side, tooth 1 up. A coil's end
comes up beside its tooth, between the flank and the middle of the slot.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from recipes.parts.hall_jig import SIGHT_WIDTH, hole_radius
from recipes.parts.lamination import TOOTH_1
from recipes.winding.paths import joint_list

if TYPE_CHECKING:
    from recipes.job import Job

#: Place of a coil's end between its tooth's axis (0) and the middle of the slot (1).
BESIDE = 0.75

#: A notch is wider than its lead by this much, and at least so wide; material between two; mm.
SLEEVE, LEAST_NOTCH, BETWEEN = 1.0, 2.0, 1.5

#: Depth of a notch; material between mouth and notch that makes a plate of it; mm.
NOTCH_DEPTH, LEAST_PLATE = 4.0, 5.0


#: Place of the ring between hole (0) and notches (1): names stand outside it.
RING_SHARE = 0.35


@dataclass(frozen=True)
class Tail:
    """A coil's end that goes to a terminal.

    Args:
        terminal: such as "U1" (IEC 60034-8).
        tooth: index.
        end: "start" or "finish".
        angle: where it comes up, rad.
        way: from its notch over the plate to the wall of the axle, mm.
    """

    terminal: str
    tooth: int
    end: str
    angle: float
    way: float


@dataclass(frozen=True)
class LeadJig:
    """Measures of the plate, mm and rad.

    Args:
        rim, hole: radii.
        ring: radius of the circle along which tails run.
        notch: width of a notch.
        mouth: width of the mouth, as the wire slot's; it reaches out to the ring.
        direction: of the wire slot.
        tails: in order of terminals.
        slots: of the stator.
    """

    rim: float
    hole: float
    ring: float
    notch: float
    mouth: float
    direction: float
    tails: tuple[Tail, ...]
    slots: int

    @property
    def fits(self) -> bool:
        """Whether there is a plate between mouth and notches."""
        return self.rim - NOTCH_DEPTH - self.hole >= LEAST_PLATE and self.mouth < 1.8 * self.hole

    @cached_property
    def notched(self) -> bool:
        """Whether all notches, and the sight notch, keep material between each other."""
        marks = sorted(
            [(t.angle % (2 * math.pi), self.notch) for t in self.tails] + [(TOOTH_1, SIGHT_WIDTH)]
        )
        after = [*marks[1:], (marks[0][0] + 2 * math.pi, marks[0][1])]
        return all(
            2 * self.rim * math.sin(min(b - a, math.pi) / 2) >= (wide + next_wide) / 2 + BETWEEN
            for (a, wide), (b, next_wide) in zip(marks, after, strict=True)
        )

    @cached_property
    def slit(self) -> float:
        """Direction of the slit, rad: the middle of the widest gap in the rim, off the mouth."""
        marks = sorted({(a - TOOTH_1) % (2 * math.pi) for a in (
            TOOTH_1, self.direction, *(t.angle for t in self.tails)
        )})  # fmt: skip
        gaps = [b - a for a, b in zip(marks, [*marks[1:], marks[0] + 2 * math.pi], strict=True)]
        widest = max(range(len(gaps)), key=lambda k: (round(gaps[k], 9), -k))
        return TOOTH_1 + marks[widest] + gaps[widest] / 2


def lead_jig_of(job: Job) -> LeadJig:
    """Return the measures of the jig.

    Raises:
        Refused: no winding, or features of the axle that overlap.
    """
    design = job.design
    lam, slot = design.lamination, design.axle.wire_slot
    rim, hole = (lam.outer_diameter - lam.slot_depth) / 2, hole_radius(job)
    ring = hole + RING_SHARE * (rim - NOTCH_DEPTH - hole)
    phase = [lead.outside_diameter for lead in design.axle.leads if "phase" in lead.name.lower()]
    notch = max(LEAST_NOTCH, max(phase, default=0.0) + SLEEVE)
    direction = math.radians(slot.angle)
    return LeadJig(
        rim, hole, ring, notch, slot.width, direction,
        tuple(_tails(job, rim, ring, direction)), design.motor.slots,
    )  # fmt: skip


def _tails(job: Job, rim: float, ring: float, direction: float) -> list[Tail]:
    winding, paths = job.winding, job.design.winding.parallel_paths
    half = math.pi / winding.slots
    found = []
    for join in joint_list(winding, paths):
        if join.from_tooth is None and join.to_tooth is not None:
            terminal, tooth, end = join.from_end, join.to_tooth, join.to_end
        elif join.to_tooth is None and join.from_tooth is not None:
            terminal, tooth, end = join.to_end, join.from_tooth, join.from_end
        else:
            continue
        side = winding.teeth[tooth].sense * (1 if end == "start" else -1)
        angle = TOOTH_1 + 2 * half * tooth + side * BESIDE * half
        turn = abs(math.remainder(angle - direction, 2 * math.pi))
        way = (rim - ring) + turn * ring + (ring - job.design.lamination.bore_diameter / 2)
        found.append(Tail(terminal, tooth, end, angle, way))
    return sorted(found, key=lambda t: (t.terminal, t.tooth))
