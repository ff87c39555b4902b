"""Rules on threaded ends: place, wall, flats, nut, and how hard a nut may be pulled up.

      bolt of a hollow end, section A = As - pi/4 bore^2 (As stress area)
      pull     F: von Mises of F / A and the torque in the thread at 60 % of the yield strength
      thread   Mg = F d2/2 (P / (pi d2) + mu / cos 30)      twists the end
      nut      Mk = F mu (s + d) / 4                         rubs on its washer, s across the nut
      spanner  M  = Mg + Mk                                  VDI 2230; mu = 0.15, clean and dry

An estimate: friction scatters by a third and more, and so does the pull.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from geometry.finding import Finding
from recipes.design.axle import Axle
from recipes.refusal import note, stop, warn
from recipes.shaft.end_thread import ThreadedEnd, threaded_ends
from recipes.shaft.sections import (
    SAME,
    flat_features,
    groove_features,
    least_wall,
    slot_feature,
    thread_features,
    turned_features,
)
from recipes.shaft.stations import bore_at
from recipes.tables.axle_steel import axle_steel_of
from recipes.tables.threads import ScrewThread

#: Friction in thread and under the nut, clean and dry steel (common practice).
FRICTION: Final = 0.15

#: Share of the yield strength that pulling up may use; the load of the axle needs the rest
#: (common practice: 0.6 to 0.7 where the load bends as well).
PULLED_UP: Final = 0.6

#: A bore above this share of the root leaves a ring too thin to be pulled up by figures
#: (common practice).
HOLLOW_MOST: Final = 0.7

#: Across a slotted locknut, in thread diameters, where no hexagon nut is common (ISO 2982, rough).
LOCKNUT: Final = 1.5


@dataclass(frozen=True)
class PullUp:
    """What a nut may be pulled up to.

    Args:
        area: of the hollow end, mm2.
        pull: in N.
        torque: at the spanner, Nm.
        yields: pull at which the end yields without torque, N.
    """

    area: float
    pull: float
    torque: float
    yields: float


def pull_up(end: ThreadedEnd, bore: float, yield_strength: float) -> PullUp:
    """Return how hard the nut on a hollow end may be pulled up.

    Args:
        end: the thread.
        bore: through it, mm.
        yield_strength: of the axle, MPa.
    """
    t = end.thread
    area = t.stress_area_mm2 - math.pi / 4 * bore**2
    size = 2 * math.sqrt(t.stress_area_mm2 / math.pi)
    lead = t.pitch_mm / (math.pi * t.pitch_diameter_mm) + FRICTION / math.cos(math.radians(30))
    arm = t.pitch_diameter_mm / 2 * lead  # Mg / F
    shear = arm * 16 * size / (math.pi * (size**4 - bore**4))  # per N
    pull = PULLED_UP * yield_strength / math.hypot(1 / area, math.sqrt(3) * shear)
    torque = pull * (arm + FRICTION * (across_nut(t) + t.diameter_mm) / 4)
    return PullUp(area, pull, torque / 1000, area * yield_strength)


def across_nut(thread: ScrewThread) -> float:
    """Return the width across flats of the nut, or across the locknut, mm."""
    return thread.nut_across_mm or LOCKNUT * thread.diameter_mm


def may_be_pulled_up(end: ThreadedEnd, bore: float) -> bool:
    """Tell whether a torque may be told for an end with this bore, mm."""
    return bore <= HOLLOW_MOST * end.thread.root_mm + SAME


def thread_place_findings(axle: Axle, stack_length: float) -> list[Finding]:
    """Return the findings on where threads lie, which need no diameters of the whole axle; stack in mm."""
    return [*_one_a_face(axle), *_apart(axle, stack_length)]


def thread_findings(axle: Axle) -> list[Finding]:
    """Return the findings on walls, flats and nuts of threads that lie where they may."""
    return [
        f
        for e in threaded_ends(axle)
        for f in (*_wall(axle, e), *_flats(axle, e), *_nut(e), *_pulled(axle, e))
    ]


def _one_a_face(axle: Axle) -> Iterator[Finding]:
    faces = [e.face for e in threaded_ends(axle)]
    for face in sorted({f for f in faces if faces.count(f) > 1}):
        yield stop(
            "two-threads",
            "axle.threads",
            f"axle.threads: {faces.count(face)} threads begin at face {face}",
            value=faces.count(face),
            limit=1,
            fix="give one thread for each face",
        )


def _apart(axle: Axle, stack_length: float) -> Iterator[Finding]:
    """A thread ends before anything else begins, mm."""
    others = (*turned_features(axle, stack_length), slot_feature(axle), *groove_features(axle))
    for end, thread in zip(threaded_ends(axle), thread_features(axle), strict=True):
        over = [o for o in others if o.overlap(thread) > SAME]
        if not over:
            continue
        first = min(over, key=lambda o: o.start if end.face == "A" else -o.end)
        most = first.start if end.face == "A" else axle.length - first.end
        yield stop(
            "thread-over-feature",
            f"{end.field}.length",
            f"{end.field}.length = {thread.end - thread.start:g} mm reaches into the {first.name} "
            f"({first.start:g} to {first.end:g} mm from face A)",
            value=thread.end - thread.start,
            limit=most,
            fix=f"use at most {most:g} mm, or move the {first.name}",
        )


def _wall(axle: Axle, end: ThreadedEnd) -> Iterator[Finding]:
    """Wall enough is left round the wires' bore under root and undercut."""
    t = end.thread
    root = min(t.root_mm, t.undercut_mm) if end.undercut else t.root_mm
    bore = bore_at(axle, sum(end.reach) / 2)
    wall, least = (root - bore) / 2, least_wall(t.diameter_mm)
    if not bore or wall >= least - SAME:
        return
    yield stop(
        "thread-wall-thin",
        f"{end.field}.thread",
        f"{end.field}: the bore of {bore:g} mm leaves {wall:.2f} mm under the "
        f"{'undercut' if end.undercut else 'root'} of {t.name} ({root:.2f} mm); {least:.2f} mm is the least",
        value=wall,
        limit=least,
        fix=f"use a bore of at most {max(0.0, root - 2 * least):.2f} mm, a finer or thicker thread, or "
        "lead the wires out at the other end",
        source="common practice",
        confidence="practice",
    )


def _flats(axle: Axle, end: ThreadedEnd) -> Iterator[Finding]:
    """Flats over a thread go below its root: crests alone crush under a torque arm."""
    reach = thread_features(axle)[[e.field for e in threaded_ends(axle)].index(end.field)]
    for feature, cut in zip(flat_features(axle), axle.flats, strict=True):
        if feature.overlap(reach) > SAME and cut.across >= end.thread.root_mm - SAME:
            yield stop(
                "flats-in-crests",
                f"{feature.field}.across",
                f"{feature.field}.across = {cut.across:g} mm only touches the crests of {end.thread.name}, "
                f"whose root is {end.thread.root_mm:.2f} mm: they crush and the axle spins",
                value=cut.across,
                limit=end.thread.root_mm,
                fix=f"use less than {end.thread.root_mm:.2f} mm; flats 3/4 of the thread across are usual",
                source="common practice",
                confidence="practice",
            )


def _nut(end: ThreadedEnd) -> Iterator[Finding]:
    """The nut finds thread on all of its height."""
    high, length = end.thread.nut_height_mm, end.end - end.start
    if high is None or length >= high - SAME:
        return
    yield warn(
        "thread-below-nut",
        f"{end.field}.length",
        f"{end.field}: {length:.1f} mm of thread for a nut {high:g} mm high, washer and frame not counted",
        value=length,
        limit=high,
        fix=f"make it {high - length + 2 * end.thread.pitch_mm:.1f} mm longer, and longer by washer and frame",
        source="ISO 4032, ASME B18.2.2",
    )


def _pulled(axle: Axle, end: ThreadedEnd) -> Iterator[Finding]:
    bore = bore_at(axle, (end.start + end.end) / 2)
    if may_be_pulled_up(end, bore):
        return
    yield note(
        "thread-not-to-figures",
        f"{end.field}.thread",
        f"{end.field}: a bore of {bore:g} mm in {end.thread.name} leaves a thin ring: no torque is told",
        value=bore,
        limit=HOLLOW_MOST * end.thread.root_mm,
        fix="snug the nut by hand and lock it (lock nut, thread locker), or take a thicker thread",
        source="common practice",
        confidence="practice",
    )


def thread_words(axle: Axle) -> tuple[str, ...]:
    """Return how each nut is put on, a sentence or two each."""
    found = []
    for e in threaded_ends(axle):
        bore = bore_at(axle, (e.start + e.end) / 2)
        if may_be_pulled_up(e, bore):
            most = pull_up(e, bore, axle_steel_of(axle).yield_MPa).torque
            how = (
                f"at most about {most:.2g} Nm (estimate: friction {FRICTION:g}, {100 * PULLED_UP:.0f} % of the "
                "yield strength of the hollow end); oil halves that"
            )
        else:
            how = "snug by hand only, the bore leaves a thin ring; lock it with a second nut or locker"
        found.append(
            f"Nut {e.thread.name} at face {e.face}, with washer: {how}. Hold the axle by its flats, not by "
            "the leads."
        )
    return tuple(found)


def thread_results(axle: Axle) -> dict[str, float | int | str]:
    """Return root, wall and pull of every threaded end."""
    results: dict[str, float | int | str] = {}
    for k, e in enumerate(threaded_ends(axle), 1):
        bore = bore_at(axle, (e.start + e.end) / 2)
        up = pull_up(e, bore, axle_steel_of(axle).yield_MPa)
        results |= {
            f"thread_{k}": e.thread.designation,
            f"thread_{k}_root_mm": e.thread.root_mm,
            f"thread_{k}_wall_mm": (e.thread.root_mm - bore) / 2,
            f"thread_{k}_yields_N": up.yields,
        }
        if may_be_pulled_up(e, bore):
            results |= {f"thread_{k}_pull_N": up.pull, f"thread_{k}_tighten_most_Nm": up.torque}
    return results
