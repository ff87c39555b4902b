"""Where many designs are judged: on all cores here, or on a cluster that runs already.

An engine is anything with `submit(function, *arguments)` that returns a
`concurrent.futures.Future`: `recipes.build.pool.Pool`, or a cluster's executor.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, wait
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, Protocol

from recipes.build.pool import Pool, cores
from recipes.design.load import BadInput
from recipes.refusal import bad_input
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


#: Schemes of `--engine` that mean dask.distributed, with what its client calls them.
_SCHEMES = {"dask": "tcp", "tcp": "tcp", "tls": "tls"}


@dataclass(frozen=True)
class Running:
    """An engine at work, how many it does at once, and what to call it."""

    engine: Engine
    workers: int
    name: str


@contextmanager
def engine(address: str | None, jobs: int | None) -> Iterator[Running]:
    """Start or join an engine; end what was started here.

    Args:
        address: "dask://host:port" of a scheduler; None: this machine.
        jobs: processes here; None: one a core. 1 works in this process.

    Raises:
        BadInput: no such kind of engine, its library is missing, or nobody answers.
    """
    if address is not None:
        with _dask(address) as running:
            yield running
        return

    workers = jobs or cores()
    with Pool(workers if workers > 1 else 0) as pool:
        name = f"{pool.workers} processes" if pool.workers else "this process"
        yield Running(pool, pool.workers or 1, name)


@contextmanager
def _dask(address: str) -> Iterator[Running]:
    scheme, separator, place = address.partition("://")
    if not separator or scheme not in _SCHEMES or not place:
        raise _bad(address, "no such engine", "write dask://HOST:PORT of its scheduler")
    try:
        from distributed import Client
    except ImportError:
        fix = "pip install 'lamwright[dask]'"
        raise _bad(address, "distributed is not installed", fix) from None
    try:
        client = Client(f"{_SCHEMES[scheme]}://{place}", timeout="10s", set_as_default=False)
    except (OSError, ValueError) as error:
        fix = "start a scheduler, or check the address"
        raise _bad(address, f"nobody answers ({error})", fix) from None
    with client:
        workers = sum(client.nthreads().values())
        if not workers:
            raise _bad(address, "it has no workers", "start workers that have lamwright")
        executor = client.get_executor(pure=False)
        try:
            yield Running(executor, workers, f"{workers} workers at {address}")
        finally:
            executor.shutdown(wait=False)


def _bad(address: str, what: str, fix: str) -> BadInput:
    return BadInput([bad_input("--engine", address, f"--engine {address}: {what}", fix)])
