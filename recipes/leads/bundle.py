"""Do the leads pass: through the bore, and out through the wire slot.

         wire slot: one lead after the other, side by side
        ___________|  |___________        bore: real circles packed, and the share of its area
    ___(__oo_O_____)                      that they fill; the axle's length is the pull
    O o O  -> face A, strain relief, drip loop

    fill       sum d^2 / bore^2. NEC chapter 9 Table 1 (conduit): one lead 53 %, two 31 %, three
               and more 40 %; note 4: up to 600 mm (24 in) of conduit, a nipple, 60 %. An axle is a
               nipple with a bend at its slot, hence `limit` (common practice).
    jamming    three leads alone wedge side by side in a bend where bore / lead is 2.8 to 3.2 (NEC
               chapter 9 Table 1, note); with four and more it is rare, says the note.
    bundle     the smallest hole that a packing of the very circles was found in; by hand a bundle
               comes out at 1.2 times the root of the sum of squares (common practice).

Left out: connectors (they do not pass: crimp after threading), lubricant, leads that are not round.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Final

from geometry.packing.mixed import MixedPacking, pack_mixed
from recipes.axle.profile import bore_end
from recipes.axle.sections import SAME
from recipes.axle.slot_rules import BUNDLE
from recipes.job import Job

#: Share of the bore that one, two, and more leads may fill (NEC chapter 9 Table 1).
CONDUIT_FILL: Final = (0.53, 0.31, 0.40)

#: Longest pull in mm that counts as a nipple, and its share (NEC chapter 9 note 4).
NIPPLE_LENGTH, NIPPLE_FILL = 610.0, 0.60

#: Bore over lead between which three leads jam.
JAM: Final = (2.8, 3.2)

#: Any circles that fill at most this share of a disc have room in it: S. P. Fekete, P. Keldenich
#: and C. Scheffer, "Packing disks into disks with optimal worst-case density", SoCG 2019.
ALWAYS_FITS: Final = 0.5

#: Wall of a thin sleeve or of heat-shrink tube round the bundle, mm (common practice).
SLEEVE: Final = 0.4


@dataclass(frozen=True)
class LeadKind:
    """Leads of one kind: name, how many, diameter over the insulation in mm."""

    name: str
    count: int
    diameter: float


@dataclass(frozen=True)
class LeadBundle:
    """All leads, and what they pass through.

    Args:
        kinds: in the order of the design.
        bore: of the axle, mm.
        pull: length of the bore that the leads pass, mm.
        slot_width, slot_length: of the wire slot, mm.
        pack: packs the leads into a round hole.
    """

    kinds: tuple[LeadKind, ...]
    bore: float
    pull: float
    slot_width: float
    slot_length: float
    pack: Callable[[tuple[float, ...]], MixedPacking] = field(
        default=pack_mixed, compare=False, repr=False
    )

    @cached_property
    def diameters(self) -> tuple[float, ...]:
        """Diameter of every single lead, mm."""
        return tuple(k.diameter for k in self.kinds for _ in range(k.count))

    @cached_property
    def thickest(self) -> LeadKind:
        """The thickest kind."""
        return max(self.kinds, key=lambda k: k.diameter)

    @cached_property
    def squares(self) -> float:
        """Sum of the squared diameters, mm2."""
        return math.fsum(d * d for d in self.diameters)

    @property
    def fill(self) -> float:
        """Share of the bore's area that the leads take."""
        return self.squares / self.bore**2

    @property
    def conduit_limit(self) -> float:
        """Share that NEC chapter 9 Table 1 allows for this many leads in a conduit."""
        return CONDUIT_FILL[min(len(self.diameters), len(CONDUIT_FILL)) - 1]

    @property
    def limit(self) -> float:
        """Share allowed here: that of a nipple for a short pull, else of a conduit."""
        return NIPPLE_FILL if self.pull <= NIPPLE_LENGTH else self.conduit_limit

    @cached_property
    def packing(self) -> MixedPacking:
        """The leads in the smallest round hole found; takes about a tenth of a second.

        Raises:
            GeometryError: more leads than can be packed.
        """
        return self.pack(self.diameters)

    @property
    def hand_diameter(self) -> float:
        """Diameter of the bundle as it comes out by hand, mm."""
        return max(BUNDLE * math.sqrt(self.squares), self.thickest.diameter)

    @property
    def fits_bore(self) -> bool:
        """Whether all circles have room in the bore; only asks the packing where in doubt."""
        if self.thickest.diameter > self.bore + SAME:
            return False
        return self.fill <= ALWAYS_FITS or self.packing.hole <= self.bore + SAME

    @property
    def smallest_bore(self) -> float:
        """Least bore that holds the circles and keeps to `limit`, a tenth of a mm rounded up."""
        least = max(self.packing.hole, math.sqrt(self.squares / self.limit))
        return math.ceil(10 * least - 1e-6) / 10

    @property
    def jam_ratio(self) -> float | None:
        """Bore over lead, if three equal leads are all there is; else None."""
        if len(self.diameters) != 3 or max(self.diameters) - min(self.diameters) > SAME:
            return None
        return self.bore / self.diameters[0]

    @property
    def slot_fill(self) -> float:
        """Share of the slot's opening that all leads take side by side."""
        w = self.slot_width
        opening = w * (self.slot_length - w) + math.pi / 4 * w * w
        return math.pi / 4 * self.squares / opening

    @cached_property
    def row_length(self) -> float:
        """Length of slot that the leads take in rows across it, mm; infinite if one is too wide."""
        rows: list[tuple[float, float]] = []  # (width left, length)
        for d in sorted(self.diameters, reverse=True):
            if d > self.slot_width + SAME:
                return math.inf
            k = next((k for k, (left, _) in enumerate(rows) if left >= d - SAME), None)
            if k is None:
                rows.append((self.slot_width - d, d))
            else:
                rows[k] = (rows[k][0] - d, rows[k][1])
        return sum(length for _, length in rows)

    @property
    def passes_slot_at_once(self) -> bool:
        """Whether the whole bundle passes the slot in one pull."""
        return self.hand_diameter <= self.slot_width + SAME

    def with_thickest(self, diameter: float) -> LeadBundle:
        """Return the same bundle with another diameter for its thickest kind, mm."""
        kinds = tuple(
            LeadKind(k.name, k.count, diameter) if k is self.thickest else k for k in self.kinds
        )
        return LeadBundle(kinds, self.bore, self.pull, self.slot_width, self.slot_length)

    @property
    def passes(self) -> bool:
        """Whether the leads pass bore and slot and keep to the fill."""
        return self.fill <= self.limit and self.row_length <= self.slot_length and self.fits_bore

    def largest_insulation(self) -> float | None:
        """Return the largest diameter of the thickest kind that passes, mm; None if none does.

        Rounded down to 0.05 mm.
        """
        steps = math.floor(20 * self.thickest.diameter + 1e-9)
        low, high = 0, steps + 1  # `low` steps pass, `high` do not
        while high - low > 1:
            middle = (low + high) // 2
            if self.with_thickest(middle / 20).passes:
                low = middle
            else:
                high = middle
        return low / 20 if low else None


def lead_bundle_of(job: Job) -> LeadBundle | None:
    """Return the leads of a design with bore and slot; None if it names no leads."""
    axle = job.design.axle
    if not axle.leads:
        return None
    kinds = tuple(LeadKind(k.name, k.count, k.outside_diameter) for k in axle.leads)
    pull = min(bore_end(job), axle.wire_slot.from_face + axle.wire_slot.length)
    slot = axle.wire_slot
    return LeadBundle(kinds, axle.bore_diameter, pull, slot.width, slot.length, job.pack_mixed)
