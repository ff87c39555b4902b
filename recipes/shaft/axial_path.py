"""What hands a force along the axle on, from rotor to frame, and does each link hold it.

    rotor -> bearing -> what stops its inner ring -> axle -> nut or clamp -> frame

    bearing     0.25 or 0.5 C0                                     `recipes.shaft.ball_rating`
    shoulder    yield x area of the step that the ring rests on    its face from the ring's chamfer on
    ring        DIN 471: groove yields, ring against a chamfer     `recipes.shaft.ring_rules`
    nut         hollow end yields                                  `recipes.shaft.thread_rules`
    none        retaining compound round the inner ring, 2 MPa     `recipes.shaft.torque.GLUE_HOLDS`

Which bearing the hub locates is not known here: of those that are stopped the weaker stop counts,
and each link is judged for all of the force (the safe side). The stack carries nothing of it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

from geometry.finding import Finding
from recipes.design.axle import Axle
from recipes.refusal import finding, note, warn
from recipes.shaft.axle_rules import ABUTMENT_CHAMFERS, RING_BESIDE
from recipes.shaft.ball_rating import BallRating, ball_rating
from recipes.shaft.end_thread import threaded_ends
from recipes.shaft.load import AxleLoad
from recipes.shaft.ring_groove import ring_grooves
from recipes.shaft.ring_rules import groove_holds, shaft_at
from recipes.shaft.sections import Section
from recipes.shaft.stations import bore_at
from recipes.shaft.thread_rules import pull_up
from recipes.shaft.torque import GLUE_HOLDS
from recipes.tables.axle_steel import axle_steel_of
from recipes.tables.bearings import Bearing

#: Safety of steel links against yielding: a force that comes and goes (common practice).
LEAST_AXIAL: Final = 2.0

#: Hours at top speed below which a bearing is called short-lived (common practice: machines used
#: for hours a day are laid out for some thousands).
LEAST_HOURS: Final = 1000.0

Face = Literal["A", "B"]


@dataclass(frozen=True)
class Link:
    """One link of the way along the axle.

    Args:
        name, field: for the reader, and the design field that shapes it.
        holds: force in N at which it fails, or up to which it may be used.
        least: safety that is asked of it.
    """

    name: str
    field: str
    holds: float
    least: float

    @property
    def allowed(self) -> float:
        """Force in N that it may carry."""
        return self.holds / self.least


@dataclass(frozen=True)
class AxialPath:
    """The way of the force along the axle.

    Args:
        force: in N.
        links: by the face toward which the force pushes.
        rating: of each bearing.
        static_safety: C0 over the equivalent static load of the bearing that carries most.
        life_hours: L10 of the bearing that carries most, at top speed.
    """

    force: float
    links: tuple[tuple[Face, tuple[Link, ...]], ...]
    rating: BallRating
    static_safety: float
    life_hours: float

    def weakest(self, face: Face) -> Link:
        """Return the link with the least of what it may carry."""
        return min(dict(self.links)[face], key=lambda link: link.allowed)


def axial_path(
    axle: Axle, ring: Bearing, sections: tuple[Section, ...], load: AxleLoad, top_speed: float
) -> AxialPath | None:
    """Return the way of the force along an axle; None without one.

    Args:
        axle: table of the design.
        ring: both bearings.
        sections: as of `axle_sections`.
        load: statics of the axle, forces in N.
        top_speed: of the rotor, 1/min.
    """
    force, way = axle.load.axial, axle.load.axial_way
    if not force:
        return None
    rating = ball_rating(ring, axle.bearing_static_rating, axle.bearing_dynamic_rating)
    bearing = Link(f"bearing {axle.bearing}", "axle.bearing", rating.along, 1.0)
    faces: tuple[Face, ...] = ("A", "B") if way == "both ways" else (_face(way),)
    links = tuple(
        (face, (bearing, _stop(axle, ring, sections, face), *_frame(axle, face))) for face in faces
    )
    across = max(abs(f) for _, f in load.bearings)
    safety = rating.static / rating.static_equivalent(across, force)
    return AxialPath(force, links, rating, safety, rating.life_hours(across, force, top_speed))


def _face(way: str) -> Face:
    return "A" if way.endswith("A") else "B"


def _stop(axle: Axle, ring: Bearing, sections: tuple[Section, ...], face: Face) -> Link:
    """Return what stops the inner rings on the side of a face: the weaker of the bearings stopped."""
    seats = [k for k, s in enumerate(sections) if s.kind == "seat"]
    found = [link for k in seats if (link := _beside(axle, ring, sections, k, face))]
    if found:
        return min(found, key=lambda link: link.allowed)
    area = math.pi * ring.bore_mm * ring.width_mm
    return Link("retaining compound round an inner ring", "axle.grooves", GLUE_HOLDS * area, 1.0)


def _beside(
    axle: Axle, ring: Bearing, sections: tuple[Section, ...], k: int, face: Face
) -> Link | None:
    """Return the stop of the bearing on section `k`, on the side of a face; None without one."""
    seat, after = sections[k], face == "B"
    edge = seat.end if after else seat.start
    steel = axle_steel_of(axle)
    for groove in ring_grooves(axle):
        near = groove.from_face - edge if after else edge - groove.end
        over = shaft_at(groove, sections)
        if groove.ring and over is not None and -1e-6 <= near < RING_BESIDE:
            holds = min(groove_holds(axle, groove, over), 1000.0 * groove.ring.chamfer_load_kN)
            return Link(
                f"retaining ring {groove.ring.designation}", f"{groove.field}.ring", holds, 2.0
            )
    for end in threaded_ends(axle):
        near = end.reach[0] - edge if after else edge - end.reach[1]
        if end.face == face and -1e-6 <= near < RING_BESIDE:
            up = pull_up(end, bore_at(axle, sum(end.reach) / 2), steel.yield_MPa)
            return Link(f"nut {end.thread.name}", f"{end.field}.thread", up.yields, LEAST_AXIAL)
    beside = k + 1 if after else k - 1
    if not 0 <= beside < len(sections):
        return None
    step, low = sections[beside], ring.bore_mm + 2 * ring.chamfer_min_mm
    if step.diameter < ring.bore_mm + 2 * ABUTMENT_CHAMFERS * ring.chamfer_min_mm - 1e-6:
        return None
    area = math.pi / 4 * (step.diameter**2 - low**2)
    return Link(
        f"shoulder of {step.diameter:g} mm", step.field, area * steel.yield_MPa, LEAST_AXIAL
    )


def _frame(axle: Axle, face: Face) -> Iterator[Link]:
    """Yield the nut that keeps the axle from leaving its frame: pushed away from the end it holds."""
    held = {"face A": "A", "face B": "B"}.get(axle.load.held)
    for end in threaded_ends(axle):
        if end.face == (held or face) and (held is None or end.face != face):
            up = pull_up(
                end, bore_at(axle, (end.start + end.end) / 2), axle_steel_of(axle).yield_MPa
            )
            yield Link(
                f"nut {end.thread.name} in the frame", f"{end.field}.thread", up.yields, LEAST_AXIAL
            )


def axial_findings(path: AxialPath | None) -> list[Finding]:
    """Return what must be said about the force along the axle."""
    if path is None:
        return []
    return [*_weak(path), *_unstopped(path), *_life(path), *_held(path)]


def _weak(path: AxialPath) -> Iterator[Finding]:
    """No link of the way is asked for more than it may carry; one that serves both ways is told once."""
    told: set[str] = set()
    for face, links in path.links:
        for link in links:
            if link.allowed >= path.force or link.name in told:
                continue
            told.add(link.name)
            yield finding(
                "stop" if link.holds < path.force else "warn",
                "axial-link-weak",
                link.field,
                f"axle.load.axial = {path.force:g} N toward face {face}: the {link.name} may carry "
                f"{link.allowed:.0f} N (it holds {link.holds:.0f} N, safety {link.least:g})",
                value=path.force,
                limit=link.allowed,
                fix="use a stouter bearing, a ring in a groove of full depth, a shoulder or a nut there, or "
                "take the thrust by a bearing of its own",
                source="DIN 471, ISO 76 with SKF's 0.25 and 0.5 C0, yield of the steel",
                confidence="practice",
            )


def _unstopped(path: AxialPath) -> Iterator[Finding]:
    """Something stops an inner ring each way that the force pushes."""
    for face, links in path.links:
        compound = next((x for x in links if x.name.startswith("retaining compound")), None)
        if compound:
            yield warn(
                "axial-not-stopped",
                compound.field,
                f"axle.load.axial = {path.force:g} N toward face {face}: no shoulder, ring or nut stops "
                "an inner ring on that side; only fit and retaining compound hold the rotor on the axle",
                value=path.force,
                limit=compound.holds,
                fix="give a groove with a retaining ring beside a bearing seat, on the side of that face",
                source="common practice",
                confidence="practice",
            )


def _life(path: AxialPath) -> Iterator[Finding]:
    """The bearing that carries most is neither dented standing still nor worn out soon."""
    if path.static_safety < 1.0:
        yield warn(
            "bearing-dented",
            "axle.bearing",
            f"the bearing that carries most has C0 / P0 = {path.static_safety:.2f} under "
            f"{path.force:g} N along the axle and its share across: balls dent their tracks",
            value=path.static_safety,
            limit=1.0,
            fix="use a stouter bearing",
            source="P0 = 0.6 Fr + 0.5 Fa, ISO 76",
        )
    if path.life_hours >= LEAST_HOURS:
        return
    yield warn(
        "bearing-life-short",
        "axle.bearing",
        f"the bearing that carries most lives about {path.life_hours:.0f} h at top speed under "
        f"{path.force:g} N along the axle and its share across",
        value=path.life_hours,
        limit=LEAST_HOURS,
        fix="use a bearing with larger balls (series 62 or 63), or check with its maker's figures",
        source="L10 = (C / P)^3, ISO 281; nine of ten bearings reach it, clean and greased",
        confidence="practice",
    )


def _held(path: AxialPath) -> Iterator[Finding]:
    """The frame must hold the axle along too; without a nut only friction does."""
    if any("in the frame" in link.name for _, links in path.links for link in links):
        return
    yield note(
        "axle-held-along",
        "axle.threads",
        f"axle.load.axial = {path.force:g} N: the frame must hold the axle along as well; no nut does, so a "
        "clamp carries it besides the torque",
        value=path.force,
        fix="give axle.threads for a nut, or clamp that much harder: force over friction 0.15",
        source="common practice",
        confidence="practice",
    )


def axial_results(path: AxialPath | None) -> dict[str, float | int | str]:
    """Return the links of the way and the least of them for each way that the force pushes."""
    if path is None:
        return {}
    results: dict[str, float | int | str] = {
        "axial_load_N": path.force,
        "bearing_static_rating_N": path.rating.static,
        "bearing_dynamic_rating_N": path.rating.dynamic,
        "bearing_ratings_from": "sizes, estimate" if path.rating.estimated else "its maker",
        "bearing_axial_most_N": path.rating.along,
        "bearing_static_safety": path.static_safety,
        "bearing_life_at_top_speed_h": path.life_hours,
    }
    for face, links in path.links:
        weakest, stop_ = path.weakest(face), links[1]
        results |= {
            f"axial_toward_{face}_weakest_link": weakest.name,
            f"axial_toward_{face}_safety": weakest.holds / path.force,
            f"axial_toward_{face}_safety_asked": weakest.least,
            f"axial_toward_{face}_stopped_by": stop_.name,
            f"axial_toward_{face}_stop_holds_N": stop_.holds,
        }
    return results
