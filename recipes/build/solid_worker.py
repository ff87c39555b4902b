"""The files that need the CAD kernel, made beside the main work.

Loading the kernel takes longest by far, so it begins at once; the bodies follow as soon as the
design is known, while the rest of it is still being judged.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.build.crew import Crew

if TYPE_CHECKING:
    from recipes.build.files import Planned
    from recipes.job import Job

#: Bodies are few, and one of them takes half of the time: a third process would only wait.
MOST = 2


def load_kernel() -> None:
    """Load the kernel and all that files need."""
    from recipes.build import files

    files.load_kernel()


def make_bodies(plans: list[Planned]) -> dict[str, bytes]:
    """Make and read back the files of one part by path; the kernel's shape serves them all."""
    from recipes.build.files import make_checked

    return {plan.path: make_checked(plan) for plan in plans}


class SolidWorker:
    """Makes and reads back STEP and STL files with a crew of its own."""

    def __init__(self, crew: Crew) -> None:
        """Take a crew that loads the kernel."""
        self._crew = crew
        self._made: dict[str, bytes] = {}

    def begin(self, job: Job, only: tuple[str, ...], payload: str) -> None:
        """Hand over every body of the design; one that is refused is left to be judged later."""
        from recipes.build.files import planned
        from recipes.catalogue import RECIPES
        from recipes.refusal import Refused

        groups: dict[str, list[Planned]] = {}
        for recipe in RECIPES:
            bodies = tuple(kind for kind in recipe.files if kind in ("solid", "mesh"))
            if (not only or recipe.name in only) and bodies:
                try:
                    for plan in planned(job, job.parts[recipe.name], bodies, payload):
                        groups.setdefault(plan.part.name, []).append(plan)
                except Refused:
                    continue
        # longest first: a part with a mesh takes as long as all others
        for name, plans in sorted(groups.items(), key=lambda group: -len(group[1])):
            self._crew.add(name, make_bodies, plans)
        self._crew.close()

    def result(self, plan: Planned) -> bytes:
        """Return the bytes of a planned file, waiting for them.

        Raises:
            ReadBackFailed: the file does not say what the body says.
        """
        name = plan.part.name
        if plan.path not in self._made and name in self._crew:
            self._made |= self._crew.result(name)
        if plan.path not in self._made:
            self._made |= make_bodies([plan])
        return self._made[plan.path]
