"""Threads on the ends of the axle, with the undercut behind each.

  |<----- length ------>|
  |/\\/\\/\\/\\/\\|        |____ end of the axle, or a bearing seat
  |  thread     |undercut|
  |             |________|       undercut: DIN 76-1 form A, left out on wish
face
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from geometry.finding import Finding
from recipes.design.axle import Axle
from recipes.refusal import Refused, stop
from recipes.tables.reader import TableError
from recipes.tables.threads import ScrewThread, screw_thread


@dataclass(frozen=True)
class ThreadedEnd:
    """One threaded end.

    Args:
        field: dotted name of its table in the design file.
        face: "A" or "B".
        thread: its row of the table.
        start, end: of the thread, from face A in mm.
        undercut: from where to where it reaches, mm; None without one.
    """

    field: str
    face: Literal["A", "B"]
    thread: ScrewThread
    start: float
    end: float
    undercut: tuple[float, float] | None

    @property
    def reach(self) -> tuple[float, float]:
        """From where to where thread and undercut reach, mm."""
        ends = (self.start, self.end, *(self.undercut or ()))
        return min(ends), max(ends)

    @property
    def chamfer(self) -> float:
        """45 degree chamfer at the face down to the root, so that the nut starts; mm."""
        return math.ceil(10 * self.thread.depth_mm) / 10


def threaded_ends(axle: Axle) -> tuple[ThreadedEnd, ...]:
    """Return the threaded ends in the order of the design.

    Raises:
        Refused: a thread that the table does not hold.
    """
    if stops := thread_name_findings(axle):
        raise Refused(*stops)
    found = []
    for k, given in enumerate(axle.threads, 1):
        thread = screw_thread(given.thread)
        groove = thread.undercut_length_mm if given.undercut == "DIN 76-1" else 0.0
        cut = given.length - groove
        near = given.face == "face A"
        start, end = (0.0, cut) if near else (axle.length - cut, axle.length)
        behind = (cut, given.length) if near else (axle.length - given.length, start)
        found.append(
            ThreadedEnd(
                f"axle.threads[{k}]",
                "A" if near else "B",
                thread,
                start,
                end,
                behind if groove else None,
            )
        )
    return tuple(found)


def thread_name_findings(axle: Axle) -> list[Finding]:
    """Return a `stop` for each thread that is not in the table, or too short for its undercut."""
    found = []
    for k, given in enumerate(axle.threads, 1):
        field = f"axle.threads[{k}]"
        try:
            thread = screw_thread(given.thread)
        except TableError as error:
            found.append(
                stop(
                    "no-such-thread",
                    f"{field}.thread",
                    f"{field}.thread: {error}",
                    value=given.thread,
                    fix="use a thread of the table, by name, diameter and pitch",
                    source="ISO 261, ASME B1.1",
                )
            )
            continue
        groove = thread.undercut_length_mm if given.undercut == "DIN 76-1" else 0.0
        least = groove + 3 * thread.pitch_mm
        if given.length < least:
            found.append(
                stop(
                    "thread-too-short",
                    f"{field}.length",
                    f"{field}.length = {given.length:g} mm leaves {given.length - groove:.2f} mm of "
                    f"thread beside an undercut of {groove:g} mm; three turns are the least",
                    value=given.length,
                    limit=least,
                    fix=f"use {least:.1f} mm or more, a finer thread, or undercut = 'none'",
                    source="DIN 76-1; common practice",
                )
            )
    return found


def thread_at(axle: Axle, z: float) -> ScrewThread | None:
    """Return the thread that is cut at `z` mm from face A, if there is one."""
    return next((e.thread for e in threaded_ends(axle) if e.start < z < e.end), None)


def chamfer_at(axle: Axle, face: Literal["A", "B"]) -> float:
    """Return the 45 degree chamfer at a face, mm."""
    return max([axle.edge_break, *(e.chamfer for e in threaded_ends(axle) if e.face == face)])
