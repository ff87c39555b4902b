"""The files of a pack in the making: planned, made and read back by a crew and the main work.

    main work ---- plan, load writers, start ----> a hand for every other core
        |  takes its share of the queue               |  takes the next from the queue
        |<------------------- bytes ------------------+

Nearly no file needs the count of circles, so this begins while those are counted. One that does
need it fails in a hand and is made by the main work, which waits for the count.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from recipes.build.crew import Crew, hands
from recipes.build.files import PackFile, Planned, make_checked, make_svg, planned, planned_nests
from recipes.catalogue import RECIPES
from recipes.manufacturing.nest_plan import nest_parts
from recipes.shaft.lead_view import lead_view
from recipes.shaft.strength_view import axle_strength_view

if TYPE_CHECKING:
    from geometry.part import Part
    from recipes.build.solid_worker import SolidWorker
    from recipes.job import Job

Progress = Callable[[str, int, int], None]

#: Kinds of file in the order in which they are begun: what takes longest first.
_FIRST = ("wind", "draw", "print", "cut")


@dataclass(frozen=True)
class View:
    """A file about the whole motor: its path, and the function that makes it from a job."""

    path: str
    make: Callable[[Job], bytes]
    counts: bool = False  # whether it waits for the count of circles


class Making:
    """Makes and reads back every file that is planned for a design; use as a context manager."""

    def __init__(
        self,
        job: Job,
        text: str,
        only: tuple[str, ...] = (),
        worker: SolidWorker | None = None,
    ) -> None:
        """Take a job, its design's text, recipes (all if empty) and who makes solids, if any."""
        self.job, self.text, self.only, self.worker = job, text, only, worker
        self.tell: Progress | None = None
        self._crew = Crew()
        self._begun = False
        self._told: set[str] = set()
        self._plans: list[Planned] = []
        self._groups: dict[str, list[Planned]] = {}
        self._views: list[View] = []
        self.parts: list[Part] = []
        self.nests: tuple[Part, ...] = ()

    def __enter__(self) -> Making:
        """Return itself."""
        return self

    def __exit__(self, *_: object) -> None:
        """End all hands."""
        self._crew.stop()

    def begin(self) -> None:
        """Plan every file and start the hands, unless that is done.

        Raises:
            Refused: a part cannot be made.
        """
        if self._begun:
            return
        recipes = [r for r in RECIPES if not self.only or r.name in self.only]
        self.parts = [p for r in recipes for p in self.job.parts[r.name]]
        design = self.job.design
        self.nests = nest_parts(self.parts, design.lamination, design.shop, self.job.kerf)
        self._plans = [
            plan
            for recipe in recipes
            for plan in planned(self.job, self.job.parts[recipe.name], recipe.files, self.text)
            if self.worker or plan.purpose != "solid"
        ]
        self._plans += planned_nests(self.nests, self.text)
        self._views = views(self.job)
        self._queue()
        self._begun = True
        self._crew.start(most=max(1, hands() - 1))  # the main work takes its share

    def _queue(self) -> None:
        """Put into the queue what belongs together: files of one drawing are made by one hand."""
        for view in self._views:
            if not view.counts:
                self._crew.add(view.path, view.make, self.job)
        flat = [p for p in self._plans if self.worker is None or p.purpose != "solid"]
        for plan in sorted(flat, key=lambda p: _FIRST.index(p.purpose)):
            self._groups.setdefault(_group(plan), []).append(plan)
        for name, plans in self._groups.items():
            self._crew.add(name, _make_all, plans)
        _load_writers({p.path.rpartition(".")[2] for p in flat})

    def help(self, enough: Callable[[], bool] = lambda: False) -> None:
        """Make files here too, until none is left to begin or there is `enough`.

        Raises:
            ReadBackFailed: a file does not say what the outline says.
        """
        for name in self._crew.work():
            self._done(name)
            if enough():
                return

    @property
    def paths(self) -> list[tuple[str, Part | None]]:
        """Path of every file begun, in order of the manifest, and the part that it shows."""
        return [*((p.path, p.part) for p in self._plans), *((v.path, None) for v in self._views)]

    def files(self) -> Iterator[PackFile]:
        """Yield every file in order of the manifest, waiting for it.

        Raises:
            ReadBackFailed: a file does not say what the outline says.
            Refused: a part or a sheet cannot be made.
        """
        self.begin()
        self.help()
        made: dict[str, bytes] = {}
        for plan in self._plans:
            if self.worker is not None and plan.purpose == "solid":
                made[plan.path] = self.worker.result(plan)
                self._done(plan.path)
            elif plan.path not in made:
                made |= self._crew.result(_group(plan))
                self._done(_group(plan))
            yield PackFile(plan.path, made[plan.path], plan.purpose, plan.part)
        for view in self._views:
            data = view.make(self.job) if view.counts else self._crew.result(view.path)
            self._done(view.path)
            yield PackFile(view.path, data, view.path.split("/")[0])

    def _done(self, name: str) -> None:
        """Tell of a file or a group of files, once."""
        for path in [p.path for p in self._groups.get(name, ())] or [name]:
            if path not in self._told:
                self._told.add(path)
                if self.tell:
                    self.tell(path, len(self._told), len(self._plans) + len(self._views))


def _group(plan: Planned) -> str:
    """Return the name of the call that makes a file: one for all that show the same sheets."""
    return plan.path if plan.purpose == "cut" else f"{plan.purpose} {plan.part.name}"


def _make_all(plans: list[Planned]) -> dict[str, bytes]:
    return {plan.path: make_checked(plan) for plan in plans}


def _load_writers(endings: set[str]) -> None:
    """Load once, for the hands to share, what writes and reads back these kinds of file."""
    if "dxf" in endings:
        from geometry.formats import dxf_write as document

        document.load()
    if "pdf" in endings:
        import pypdfium2.raw  # noqa: F401 - loaded for the hands

        from geometry.formats import drawing_pdf, pdf_read  # noqa: F401

        drawing_pdf.load()


def views(job: Job) -> list[View]:
    """Return what is drawn of the whole motor, and the table of wires that could be chosen."""
    from recipes.stator.end_edge_view import edge_view
    from recipes.winding.choices import winding_choices
    from recipes.winding.slot_view import slot_view
    from recipes.winding.stator_view import stator_view

    return [
        View("read/stator.svg", lambda job: make_svg(stator_view(job))),
        View("read/edge.svg", lambda job: make_svg(edge_view(job))),
        View("read/axle-strength.svg", _strength_svg),
        *([View("read/leads.svg", _leads_svg, True)] if job.lead_bundle else []),
        View("wind/choices.md", lambda job: winding_choices(job).encode(), True),
        View("read/slot.svg", lambda job: make_svg(slot_view(job))),
    ]


def _strength_svg(job: Job) -> bytes:
    return make_svg(axle_strength_view(job.axle_shape, job.axle_strength, job.design.name))


def _leads_svg(job: Job) -> bytes:
    assert job.lead_bundle is not None, "asked only where there are leads"
    return make_svg(lead_view(job.axle_shape, job.lead_bundle, job.design.name))
