"""A process pool that makes its calls in this process where there can be no other.

    with Pool(1) as pool:
        call = partial(function, argument)
        future = pool.submit(call)          # a worker begins
        ...                                 # other work, meanwhile
        answer(future, call)

`concurrent.futures.ProcessPoolExecutor` does the work; this adds how it starts and how it ends:

* Without a second process (none wanted, a daemonic worker, a system that lacks what it takes)
  `submit` makes the call at once and returns a future that is done.
* Workers are copies of this process where that is safe, which have its modules loaded; else fresh
  ones. They begin at once, before a thread of ours could be copied at work.
* Ctrl-C reaches this process alone. Workers end with it, however it ends.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from typing import Any, TypeVar

Answer = TypeVar("Answer")


def cores() -> int:
    """Return how many processor cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


class Pool:
    """Processes that make calls; use as a context manager, at whose end they end at once."""

    def __init__(self, workers: int) -> None:
        """Start `workers` processes; 0 for none. `workers` says how many there are."""
        self._others = multiprocessing.active_children()
        self._executor = _started(workers)
        self.workers = workers if self._executor else 0

    def __enter__(self) -> Pool:
        """Return itself."""
        return self

    def __exit__(self, *_: object) -> None:
        """End the workers, whatever they are at."""
        if self._executor is not None:
            self._executor.shutdown(wait=False, cancel_futures=True)
        # All of them at once: one that ends while it takes a call would leave the queue locked.
        ours = [p for p in multiprocessing.active_children() if p not in self._others]
        for process in ours:
            process.terminate()
        for process in ours:
            process.join()

    def submit(self, fn: Callable[..., Answer], /, *args: Any) -> Future[Answer]:
        """Begin a call; to be pickled, as is what it returns or raises."""
        if self._executor is not None:
            try:
                return self._executor.submit(fn, *args)
            except BrokenProcessPool:  # a worker died: from here on in this process
                self._executor = None
        future: Future[Answer] = Future()
        try:
            future.set_result(fn(*args))
        except Exception as error:
            future.set_exception(error)
        return future


def answer(future: Future[Answer], call: Callable[[], Answer], *, idle: bool = False) -> Answer:
    """Return what a call submitted to a pool returns, or raise what it raises.

    Args:
        future: of the call.
        call: the same, made here if the worker that had it died.
        idle: make it here, too, if no worker has begun it. It is not called off: the executor's
            thread (Python 3.11) dies of a future that was when a worker ends.
    """
    if not idle or future.running() or future.done():
        try:
            return future.result()
        except BrokenProcessPool:
            pass
    return call()


def _started(workers: int) -> ProcessPoolExecutor | None:
    """Return an executor whose processes have begun; None where there can be none."""
    if workers < 1 or multiprocessing.current_process().daemon:
        return None
    # A copy made beside another thread could hang, even one of a library that Python knows nothing of.
    safe = "fork" in multiprocessing.get_all_start_methods() and _threads() == 1
    context = multiprocessing.get_context("fork" if safe else "spawn")
    try:
        executor = ProcessPoolExecutor(workers, mp_context=context, initializer=_end_with_parent)
        with _no_interrupt():
            executor.submit(os.getpid)
    except (OSError, ImportError, NotImplementedError, ValueError):
        return None
    return executor


def _threads() -> int:
    """Return how many threads this process has; those of libraries too where the system tells."""
    try:
        return len(os.listdir("/proc/self/task"))
    except OSError:
        return threading.active_count()


@contextmanager
def _no_interrupt() -> Iterator[None]:
    """Hold Ctrl-C back; processes begun meanwhile hold it back for good."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _end_with_parent() -> None:
    """End this worker as soon as the process that began it is gone; leave Ctrl-C to that one."""
    if threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_outlive, args=(parent,), daemon=True).start()


def _outlive(parent: Any) -> None:
    parent.join()
    os._exit(1)
