"""Does the assembled motor go together, and does it turn? Judged on the half-section."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from geometry.errors import GeometryError
from geometry.finding import Finding
from recipes.assembly.body import Body, Handle
from recipes.assembly.questions import Clearance, Overlap, clearances, overlaps
from recipes.refusal import finding, misfit, warn

#: From here on, mm, two bodies in one place do not go together: steel by force, and coil ends, whose
#: shape is an estimate, by pressing them flat (common practice).
FORCE, PRESSED = 0.05, 1.0

#: Turning and standing units whose distance has a rule of its own: the air gap with its tolerances
#: (`rotor.ring`), shoulders beside a bearing (`shaft.axle_rules`).
JUDGED = ({"stack", "rotor"}, {"axle", "bearing 1"}, {"axle", "bearing 2"})

#: Parts whose overlap has a rule of its own: cuffs on what the liner passes (`insulation.liner`).
LINED = ({"liner", "end_cap"}, {"liner", "end_washer"})


def assembly_findings(bodies: Sequence[Body]) -> list[Finding]:
    """Return what is in one another's place, and what turns too near to what stands."""
    for body in bodies:
        try:
            assert body.polygons
        except GeometryError as error:  # nothing can be asked of the others with one left out
            sized = body.sized_by or body.moved_by or Handle("axle", 0.0, 0.0)
            return [misfit(error, sized.field)]
    touching = [o for o in overlaps(bodies) if {o.first.part, o.second.part} not in LINED]
    met_by = Counter(name for o in touching for name in (o.first.name, o.second.name))
    found = [_overlap(o) for o in touching if not _paper_only_too(o, met_by)]
    met = {frozenset((o.first.name, o.second.name)) for o in touching}
    widest = max((b.keep_off for b in bodies), default=0.0)
    nearest: dict[frozenset[str], Clearance] = {}
    for c in clearances(bodies, widest):
        pair = frozenset((c.turning.name, c.standing.name))
        judged = {c.turning.unit, c.standing.unit} in JUDGED or pair in met
        if not judged and (pair not in nearest or c.gap < nearest[pair].gap):
            nearest[pair] = c
    return [*found, *(f for c in nearest.values() for f in _clearance(c))]


def _paper_only_too(o: Overlap, met_by: Counter[str]) -> bool:
    """Return whether it is paper that is met by what meets the coil in it too."""
    pairs = ((o.first, o.second), (o.second, o.first))
    return any(paper.part == "liner" and met_by[other.name] > 1 for paper, other in pairs)


def _overlap(o: Overlap) -> Finding:
    a, b = o.first, o.second
    least = max(PRESSED if a.gives or b.gives else FORCE, a.unsure, b.unsure)
    return finding(
        "warn" if o.depth < least else "stop",
        "bodies-overlap",
        _field(a, b),
        f"{a.name} and {b.name} are in one place, {o.z:.2f} mm from face A at a radius of {o.r:.2f} mm: "
        f"{o.along:.2f} mm along the axle, {o.across:.2f} mm along the radius",
        value=o.depth,
        limit=0.0,
        fix=_fix(a, b, o.along, o.across),
        source="half-section of this motor",
    )


def _clearance(c: Clearance) -> Iterator[Finding]:
    a, b = c.turning, c.standing
    least = max(a.keep_off, b.keep_off)
    if c.gap >= least - 1e-9:
        return
    lacks = least - c.gap
    yield warn(
        "turns-too-near",
        _field(a, b),
        f"{a.name} turns {c.gap:.2f} mm from the {b.name}, {c.z:.2f} mm from face A at a radius of "
        f"{c.r:.2f} mm; {least:g} mm is the least",
        value=c.gap,
        limit=least,
        fix=_fix(a, b, lacks, lacks),
        source="half-section of this motor; clearance common practice",
        confidence="practice",
    )


def _handles(a: Body, b: Body) -> list[tuple[Body, Handle, Body]]:
    """Return what moves one of the two along the axle and not the other with it."""
    if a.moved_by and b.moved_by and a.moved_by.field == b.moved_by.field:
        return []
    return [(x, x.moved_by, y) for x, y in ((a, b), (b, a)) if x.moved_by]


def _field(a: Body, b: Body) -> str:
    handles = [h for _, h, _ in _handles(a, b)]
    sized = [h for h in (a.sized_by, b.sized_by) if h]
    return (handles or sized or [Handle("axle", 0.0, 0.0)])[0].field


def _fix(a: Body, b: Body, along: float, across: float) -> str:
    """Return the ways out: move one of them along the axle, or give one less radius."""
    ways = []
    for x, handle, y in _handles(a, b):
        up = x.box[0] + x.box[2] > y.box[0] + y.box[2]
        ways.append(handle.after(along if up else -along))
    ways += [h.after(across) for h in (a.sized_by, b.sized_by) if h]
    return "use " + ", or ".join(ways) if ways else "change the sizes of one of the two"
