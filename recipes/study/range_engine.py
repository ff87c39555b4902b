"""Where many designs are judged: on all cores here, or on a cluster that runs already."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from geometry.finding import Finding
from recipes.build.pool import Pool, cores
from recipes.design.load import BadInput
from recipes.refusal import bad_input
from recipes.study.range_run import Engine

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
        raise BadInput(
            [_fault(address, "no such engine", "write dask://HOST:PORT of its scheduler")]
        )
    try:
        from distributed import Client
    except ImportError:
        raise BadInput(
            [_fault(address, "distributed is not installed", "pip install 'lamwright[dask]'")]
        ) from None
    try:
        client = Client(f"{_SCHEMES[scheme]}://{place}", timeout="10s", set_as_default=False)
    except (OSError, ValueError) as error:
        raise BadInput(
            [
                _fault(
                    address, f"nobody answers ({error})", "start a scheduler, or check the address"
                )
            ]
        ) from None
    with client:
        workers = sum(client.nthreads().values())
        if not workers:
            raise BadInput(
                [_fault(address, "it has no workers", "start workers that have lamwright")]
            )
        executor = client.get_executor(pure=False)
        try:
            yield Running(executor, workers, f"{workers} workers at {address}")
        finally:
            executor.shutdown(wait=False)


def _fault(address: str, what: str, fix: str) -> Finding:
    return bad_input("--engine", address, f"--engine {address}: {what}", fix)
