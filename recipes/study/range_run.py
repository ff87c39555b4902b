"""Hand trials to an engine and take outcomes as they come.

An engine is anything with `submit(function, *arguments)` that returns a
`concurrent.futures.Future`: `recipes.build.pool.Pool`, or a cluster's executor.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, wait
from typing import Any, Protocol

from recipes.study.design_point import Outcome
from recipes.study.vary import Trial


class Engine(Protocol):
    """Where the work is done."""

    def submit(self, fn: Callable[..., Any], /, *args: Any) -> Future[Any]:
        """Begin a call; its answer comes by the future."""


def outcomes(
    trials: Iterable[Trial], work: Callable[[Trial], Future[Outcome]], ahead: int
) -> Iterator[tuple[Trial, Outcome]]:
    """Yield every trial with its outcome, in the order in which they are done.

    Args:
        trials: what to try.
        work: begins one trial on an engine.
        ahead: most trials under way at once.

    Whoever stops early (Ctrl-C too) leaves no trial waiting: those not begun are called off.
    Raises what the engine raises, such as `concurrent.futures.process.BrokenProcessPool`.
    """
    rest = iter(trials)
    under_way: dict[Future[Outcome], Trial] = {}
    try:
        while True:
            while len(under_way) < ahead and (trial := next(rest, None)) is not None:
                under_way[work(trial)] = trial
            if not under_way:
                return
            done, _ = wait(under_way, return_when=FIRST_COMPLETED)
            for future in sorted(done, key=lambda f: under_way[f].number):
                trial = under_way.pop(future)
                yield trial, future.result()
    finally:
        for future in under_way:
            future.cancel()
