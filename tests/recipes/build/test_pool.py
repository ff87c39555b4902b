"""Workers of a pool: they answer, they leave nothing behind, and without them all is done in place."""

from __future__ import annotations

import operator
import os
import signal
import subprocess
import sys
import threading
import time
from functools import partial
from pathlib import Path

import pytest

from recipes.build.pool import Pool, answer
from tests.places import ROOT
from tests.support.patience import PATIENCE, until
from tests.support.processes import children

PROC = pytest.mark.skipif(not Path("/proc/self/cmdline").exists(), reason="needs /proc")
START = {"copies": "fork", "fresh": "spawn"}


@pytest.fixture(params=START)
def pool(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Pool:
    """A pool with one worker, which another thread keeps from being a copy."""
    if START[request.param] == "spawn":
        monkeypatch.setattr("multiprocessing.get_all_start_methods", lambda: ["spawn"])
    return Pool(1)


def touch_later(file: Path) -> None:
    time.sleep(20)
    file.touch()


def alive(process: int) -> bool:
    """Tell whether a process is there and no mere entry in the table."""
    try:
        return "\nState:\tZ" not in Path(f"/proc/{process}/status").read_text()
    except OSError:
        return False


def test_a_worker_answers_and_its_errors_come_out_here(pool: Pool) -> None:
    with pool:
        assert pool.workers == 1
        there = pool.submit(os.getpid)
        late = [pool.submit(operator.mul, k, 3) for k in range(20)]
        assert [future.result() for future in late] == [3 * k for k in range(20)]
        assert there.result() != os.getpid()
        with pytest.raises(ZeroDivisionError):
            pool.submit(operator.floordiv, 1, 0).result()


@PROC
def test_at_its_end_no_worker_goes_on(pool: Pool, tmp_path: Path) -> None:
    with pool:
        process = pool.submit(os.getpid).result()
        assert alive(process)
        pool.submit(touch_later, tmp_path / "done")
    assert not alive(process)
    assert not (tmp_path / "done").exists()


def test_a_call_whose_worker_died_is_made_here(pool: Pool) -> None:
    with pool:
        assert answer(pool.submit(os._exit, 3), os.getpid) == os.getpid()
        assert pool.submit(os.getpid).result() == os.getpid()  # and so are all that follow


def test_who_is_idle_makes_a_call_that_no_worker_has_begun(pool: Pool) -> None:
    with pool:
        for _ in range(3):  # one at work; the executor hands two over before they are begun
            pool.submit(time.sleep, 60)
        assert answer(pool.submit(os.getpid), os.getpid, idle=True) == os.getpid()


@PROC
def test_a_call_made_here_leaves_the_executor_sound(
    pool: Pool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its thread once died of a call that had been called off when it told all that a worker is gone."""
    died: list[object] = []
    monkeypatch.setattr(threading, "excepthook", died.append)
    with pool:
        process = pool.submit(os.getpid).result()
        for _ in range(3):
            pool.submit(time.sleep, 60)
        assert answer(pool.submit(os.getpid), os.getpid, idle=True) == os.getpid()
        os.kill(process, signal.SIGTERM)
        assert until(lambda: not any("Manager" in type(t).__name__ for t in threading.enumerate()))
    assert died == []


def test_a_call_that_a_worker_has_is_waited_for(pool: Pool) -> None:
    with pool:
        future = pool.submit(os.getpid)
        future.result()
        assert answer(future, os.getpid, idle=True) != os.getpid()
        with pytest.raises(ZeroDivisionError):
            answer(pool.submit(operator.floordiv, 1, 0), partial(operator.add, 1, 0))


@pytest.mark.parametrize("why", ["none wanted", "a worker itself", "no more processes"])
def test_without_workers_calls_are_made_here(why: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise OSError("no")

    if why == "a worker itself":
        monkeypatch.setitem(__import__("multiprocessing").current_process()._config, "daemon", True)
    if why == "no more processes":
        monkeypatch.setattr("recipes.build.pool.ProcessPoolExecutor", refuse)
    with Pool(0 if why == "none wanted" else 2) as pool:
        assert pool.workers == 0
        assert pool.submit(os.getpid).result() == os.getpid()
        failed = pool.submit(operator.floordiv, 1, 0)
        with pytest.raises(ZeroDivisionError):
            failed.result()


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork")
def test_no_copy_is_made_beside_a_thread_at_work(monkeypatch: pytest.MonkeyPatch) -> None:
    methods = []
    wanted = __import__("multiprocessing").get_context
    monkeypatch.setattr(
        "multiprocessing.get_context", lambda name: (methods.append(name), wanted(name))[1]
    )
    done = threading.Event()
    thread = threading.Thread(target=done.wait)
    thread.start()
    try:
        with Pool(1) as pool:
            assert pool.submit(operator.add, 2, 3).result() == 5
    finally:
        done.set()
        thread.join()
    assert methods == ["spawn"]


@PROC
@pytest.mark.parametrize("to", ["build", "all"])
@pytest.mark.parametrize("kind", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_a_stopped_build_leaves_no_process_and_no_file(
    kind: signal.Signals, to: str, tmp_path: Path
) -> None:
    """Ctrl-C on a terminal reaches all processes; a kill often one."""
    out = tmp_path / "packs"
    file = ROOT / "recipes" / "starters" / "kayak-thruster.toml"
    build = subprocess.Popen(
        [sys.executable, "-m", "recipes", "build", str(file), "--out", str(out)],
        cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, start_new_session=True,
    )  # fmt: skip
    assert until(lambda: len(children(str(out))) > 1, pause=0.01)
    if to == "all":
        os.killpg(build.pid, kind)
    else:
        build.send_signal(kind)
    _, words = build.communicate(timeout=PATIENCE)
    if kind == signal.SIGINT:
        assert build.returncode == 130
        assert words.endswith("\nstopped; nothing was replaced\n")
    else:
        assert build.returncode == -kind
    assert "Traceback" not in words
    assert until(lambda: not children(str(out)))  # the worker notices that it is alone
    assert not out.exists()
