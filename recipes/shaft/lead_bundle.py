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
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial
from typing import Final

from geometry.finding import Finding
from geometry.packing.unequal import MOST_CIRCLES, UnequalPacking, pack_unequal
from recipes.design.axle import Axle, Lead
from recipes.refusal import Refused, note, stop, warn
from recipes.shaft.sections import SAME, bore_end
from recipes.shaft.strength import AxleStrength
from recipes.shaft.wire_slot_rules import BUNDLE, MOUTH

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
    """

    kinds: tuple[LeadKind, ...]
    bore: float
    pull: float
    slot_width: float
    slot_length: float

    @cached_property
    def diameters(self) -> tuple[float, ...]:
        """Diameter of every single lead, mm."""
        return tuple(k.diameter for k in self.kinds for _ in range(k.count))

    @cached_property
    def thickest(self) -> LeadKind:
        """The thickest kind."""
        return max(self.kinds, key=lambda k: k.diameter)

    @property
    def names(self) -> str:
        """All kinds in words."""
        return ", ".join(f"{k.count} x {k.name} {k.diameter:g} mm" for k in self.kinds)

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
    def packing(self) -> UnequalPacking:
        """The leads in the smallest round hole found; takes about a tenth of a second.

        Raises:
            GeometryError: more leads than can be packed.
        """
        return pack_unequal(self.diameters)

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
        kinds = (replace(k, diameter=diameter) if k is self.thickest else k for k in self.kinds)
        return replace(self, kinds=tuple(kinds))

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


def lead_bundle(axle: Axle) -> LeadBundle | None:
    """Return the leads of an axle with bore and slot; None without leads, or with too many to pack."""
    if lead_count_findings(axle.leads):
        return None
    kinds = tuple(LeadKind(k.name, k.count, k.outside_diameter) for k in axle.leads)
    slot = axle.wire_slot
    pull = min(bore_end(axle), slot.from_face + slot.length)
    return LeadBundle(kinds, axle.bore_diameter, pull, slot.width, slot.length)


# What people are told about the leads: findings and figures.

_practice_note = partial(note, source="common practice", confidence="practice")
_practice_warn = partial(warn, source="common practice", confidence="practice")


def lead_count_findings(leads: Sequence[Lead]) -> list[Finding]:
    """Say that no leads are named, or more than can be packed."""
    count = sum(lead.count for lead in leads)
    if not leads:
        return [
            _practice_note(
                "leads-unknown",
                "axle.leads",
                "axle.leads names no leads: nobody can say whether they pass bore and slot",
                value=0,
                fix="give phases, Hall and temperature leads, each { name, count, outside_diameter } over "
                "their real insulation",
            )
        ]
    if count <= MOST_CIRCLES:
        return []
    return [
        stop(
            "too-many-leads",
            "axle.leads",
            f"axle.leads: {count} leads are more than can be packed ({MOST_CIRCLES})",
            value=count,
            limit=MOST_CIRCLES,
            fix=f"use at most {MOST_CIRCLES}, or one cable for many",
        )
    ]


def lead_bundle_findings(
    bundle: LeadBundle, axle: Axle, mouth_radius: float, strength: Callable[[Axle], AxleStrength]
) -> list[Finding]:
    """Return what must be said about the leads.

    Args:
        bundle: the leads.
        axle: as designed.
        mouth_radius: round on the bore's mouth at face A, mm.
        strength: judges an axle.
    """
    words = partial(_strength_words, axle, strength)
    fits = bundle.fits_bore
    return [
        *([] if fits else [_bore(bundle, words)]),
        *_slot(bundle),
        *(_full(bundle, words) if fits else ()),
        *(_jam(bundle, words) if fits else ()),
        *_thread(bundle),
        *_mouth(bundle, mouth_radius),
        *(_sleeve(bundle) if fits else ()),
    ]


def _bore(bundle: LeadBundle, words: Callable[[float], str]) -> Finding:
    """The circles have no room in the bore."""
    return stop(
        "leads-too-thick-for-bore",
        "axle.bore_diameter",
        f"axle.leads: {bundle.names} need a hole of {bundle.packing.hole:.2f} mm packed as tight as was "
        f"found; axle.bore_diameter is {bundle.bore:g} mm",
        value=bundle.bore,
        limit=bundle.packing.hole,
        fix=_ways(bundle, words),
        source="packing of the very circles",
    )


def _full(bundle: LeadBundle, words: Callable[[float], str]) -> Iterator[Finding]:
    """The leads leave the share of the bore free that a pull needs."""
    which = (
        f"a pull of {bundle.pull:.0f} mm counts as a nipple, up to {NIPPLE_LENGTH:g} mm"
        if bundle.limit == NIPPLE_FILL
        else f"{len(bundle.diameters)} in a conduit, for a pull of {bundle.pull:.0f} mm"
    )
    if bundle.fill > bundle.limit:
        yield warn(
            "bore-too-full",
            "axle.bore_diameter",
            f"axle.leads: {bundle.names} fill {100 * bundle.fill:.0f} % of the bore of {bundle.bore:g} mm; "
            f"at most {100 * bundle.limit:.0f} % can be pulled ({which})",
            value=bundle.fill,
            limit=bundle.limit,
            fix=_ways(bundle, words),
            source="NEC chapter 9 Table 1 and note 4",
        )


def _slot(bundle: LeadBundle) -> Iterator[Finding]:
    """Every lead passes the slot, and all of them beside each other."""
    width, length, thick = bundle.slot_width, bundle.slot_length, bundle.thickest
    if thick.diameter > width + SAME:
        yield stop(
            "lead-wider-than-slot",
            "axle.wire_slot.width",
            f"axle.wire_slot.width = {width:g} mm does not let a {thick.name} lead of "
            f"{thick.diameter:g} mm through",
            value=width,
            limit=thick.diameter,
            fix=f"use a slot wider than {thick.diameter:g} mm, or thinner insulation",
        )
    elif bundle.row_length > length + SAME:
        yield stop(
            "slot-too-small-for-leads",
            "axle.wire_slot.length",
            f"axle.wire_slot: {bundle.names} side by side in rows of {width:g} mm take "
            f"{bundle.row_length:.1f} mm of its {length:g} mm",
            value=length,
            limit=bundle.row_length,
            fix=f"use a slot of at least {bundle.row_length:.1f} mm, or fewer and thinner leads",
        )
    elif bundle.slot_fill > NIPPLE_FILL:
        yield _practice_warn(
            "slot-too-full",
            "axle.wire_slot.length",
            f"axle.wire_slot: {bundle.names} fill {100 * bundle.slot_fill:.0f} % of its opening; at most "
            f"{100 * NIPPLE_FILL:.0f} % can be pulled through",
            value=bundle.slot_fill,
            limit=NIPPLE_FILL,
            fix="use a longer slot or thinner leads",
        )


def _jam(bundle: LeadBundle, words: Callable[[float], str]) -> Iterator[Finding]:
    """Three leads alone do not wedge beside each other."""
    ratio, d = bundle.jam_ratio, bundle.diameters[0]
    if ratio is not None and JAM[0] <= ratio <= JAM[1]:
        wide, narrow = JAM[1] * d, JAM[0] * d
        yield warn(
            "leads-jam",
            "axle.bore_diameter",
            f"axle.bore_diameter = {bundle.bore:g} mm is {ratio:.2f} times a lead of {d:g} mm: between "
            f"{JAM[0]:g} and {JAM[1]:g} three leads cross and wedge in the bend at the slot",
            value=ratio,
            limit=JAM[1],
            fix=f"use a bore above {wide:.2f} mm{words(math.ceil(10 * wide + 0.1) / 10)} or, for a tight "
            f"bundle, below {narrow:.2f} mm; or tape the three together before pulling",
            source="NEC chapter 9 Table 1, note on jamming",
        )


def _thread(bundle: LeadBundle) -> Iterator[Finding]:
    """A bundle wider than the slot is threaded lead by lead."""
    if not bundle.passes_slot_at_once and bundle.row_length <= bundle.slot_length:
        yield _practice_note(
            "thread-leads-singly",
            "axle.wire_slot.width",
            f"axle.wire_slot.width = {bundle.slot_width:g} mm: the bundle of about "
            f"{bundle.hand_diameter:.1f} mm does not pass at once",
            value=bundle.slot_width,
            limit=bundle.hand_diameter,
            fix="thread the leads one by one, the thickest first, with a pull cord left in for the last; "
            "crimp connectors afterwards",
        )


def _mouth(bundle: LeadBundle, radius: float) -> Iterator[Finding]:
    """The bore's edge at face A does not cut the leads."""
    least = min(MOUTH, bundle.thickest.diameter / 2)
    if radius < least - SAME:
        yield _practice_warn(
            "bore-mouth-sharp",
            "axle.bore_mouth_radius",
            f"the bore's edge at face A is rounded by {radius:g} mm; below {least:g} mm it cuts into leads",
            value=radius,
            limit=least,
            fix=f"set axle.bore_mouth_radius to {least:g} mm, or press in a bush and sleeve the leads",
        )


def _sleeve(bundle: LeadBundle) -> Iterator[Finding]:
    """A sleeve goes over the bundle where the bore leaves room."""
    room = (bundle.bore - bundle.hand_diameter) / 2
    if room < SLEEVE:
        yield _practice_note(
            "no-room-for-sleeve",
            "axle.bore_diameter",
            f"the bundle of about {bundle.hand_diameter:.1f} mm leaves no room for a sleeve of {SLEEVE:g} mm "
            f"in the bore of {bundle.bore:g} mm",
            value=max(room, 0.0),
            limit=SLEEVE,
            fix="sleeve the leads at the slot and at face A only; keep Hall leads in a sleeve of their own: "
            "a phase that touches one kills sensor and controller",
        )


def _ways(bundle: LeadBundle, words: Callable[[float], str]) -> str:
    """Return what to change: thinner insulation, or a wider bore with what it costs."""
    thin, bore = bundle.largest_insulation(), bundle.smallest_bore
    drill = f"drill {bore:g} mm{words(bore)}"
    if thin is None:
        return drill
    return (
        f"use {bundle.thickest.name} leads of at most {thin:g} mm over the insulation, or {drill}"
    )


def _strength_words(axle: Axle, strength: Callable[[Axle], AxleStrength], bore: float) -> str:
    """Return how strong the axle would be with another bore, in brackets; "" without a load."""
    if axle.load.force == 0.0 and axle.load.torque == 0.0:
        return ""
    try:
        now = f", now {strength(axle).least.safety:.2f}"
    except Refused:
        now = ""
    try:
        least = strength(axle.model_copy(update={"bore_diameter": bore})).least
    except Refused as refused:
        return f" (the axle does not bear it: {refused.findings[0].message})"
    return f" (safety of the axle {least.safety:.2f} at the {least.name}{now})"


def lead_bundle_results(bundle: LeadBundle | None) -> dict[str, float | int | str]:
    """Return the figures of the leads; nothing without leads. Takes about a tenth of a second."""
    if bundle is None:
        return {}
    found: dict[str, float | int | str] = {
        "leads": len(bundle.diameters),
        "bundle_diameter_mm": bundle.packing.hole,
        "bundle_diameter_by_hand_mm": bundle.hand_diameter,
        "bundle_fill": bundle.fill,
        "bundle_fill_limit": bundle.limit,
        "bundle_fill_limit_in_conduit": bundle.conduit_limit,
        "smallest_bore_mm": bundle.smallest_bore,
        "wire_slot_fill": bundle.slot_fill,
    }
    if bundle.jam_ratio is not None:
        found["lead_jam_ratio"] = bundle.jam_ratio
    if math.isfinite(bundle.row_length):
        found["leads_in_wire_slot_length_mm"] = bundle.row_length
    return found
