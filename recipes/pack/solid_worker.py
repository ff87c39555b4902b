"""A process of its own for the files that need the CAD kernel.

Loading the kernel takes longest by far, so it begins at once; the bodies follow as soon as the
design is known, while the rest of it is still being judged.
"""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import Executor, Future
from contextlib import contextmanager
from typing import TYPE_CHECKING

from recipes.catalogue import RECIPES
from recipes.pack.files import Planned, load_kernel, make_checked, planned
from recipes.refusal import Refused

if TYPE_CHECKING:
    from recipes.job import Job


class SolidWorker:
    """Makes and reads back STEP and STL files beside the main work."""

    def __init__(self, pool: Executor) -> None:
        """Start loading the kernel."""
        self._pool = pool
        self._waiting: dict[str, Future[bytes]] = {}
        pool.submit(load_kernel)

    def begin(self, job: Job, only: tuple[str, ...], payload: str) -> None:
        """Hand over every body of the design; one that is refused is left to be judged later."""
        for recipe in RECIPES:
            bodies = tuple(kind for kind in recipe.files if kind in ("solid", "mesh"))
            if (not only or recipe.name in only) and bodies:
                try:
                    plans = list(planned(job, job.parts[recipe.name], bodies, payload))
                except Refused:
                    continue
                for plan in plans:
                    if plan.purpose == "solid":
                        self._waiting[plan.path] = self._pool.submit(make_checked, plan)

    def result(self, plan: Planned) -> bytes:
        """Return the bytes of a planned file, waiting for them.

        Raises:
            ReadBackFailed: the file does not say what the body says.
        """
        if plan.path not in self._waiting:
            self._waiting[plan.path] = self._pool.submit(make_checked, plan)
        return self._waiting[plan.path].result()

    def give_up(self) -> None:
        """Drop what has not begun: nothing of it is wanted any more."""
        for future in self._waiting.values():
            future.cancel()


@contextmanager
def solid_worker() -> Iterator[SolidWorker]:
    """Yield a worker whose process ends with the block."""
    from concurrent.futures import ProcessPoolExecutor

    with ProcessPoolExecutor(max_workers=1) as pool:
        worker = SolidWorker(pool)
        try:
            yield worker
        finally:
            worker.give_up()
