"""Hands of a crew: they answer, they leave nothing behind, and without them all is done in place."""

from __future__ import annotations

import operator
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from recipes.build.crew import Crew, hands
from tests.places import ROOT
from tests.support.alone import alone

FORKS = pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork")
HEAD = "import os, time, operator\nfrom recipes.build import crew\nfrom recipes.build.crew import Crew\n"


@FORKS
def test_hands_make_calls_that_were_known_before_and_calls_that_came_later() -> None:
    code = (
        "crew.os.cpu_count = lambda: 3\n"
        "with Crew() as c:\n"
        "    c.add('early', lambda: (os.getpid(), 7 * 6))\n"
        "    c.start(lambda: os.environ.update(LOADED='yes'))\n"
        "    for k in range(20):\n"
        "        c.add(f'late {k}', operator.mul, k, 3)\n"
        "    c.add('there', os.getpid)\n    c.add('loaded', os.getenv, 'LOADED')\n"
        "    c.add('big', operator.mul, b'0123456789', 300_000)\n"
        "    late = [c.result(f'late {k}') for k in reversed(range(20))]\n"
        "    print(late == [3 * k for k in reversed(range(20))], c.result('loaded'))\n"
        "    pid, product = c.result('early')\n"
        "    print(pid != os.getpid() != c.result('there'), product)\n"
        "    print(c.result('big') == b'0123456789' * 300_000, 'big' in c, 'small' in c)\n"
        "try:\n    os.waitpid(-1, 0)\nexcept ChildProcessError:\n    print('none left')"
    )
    assert alone(HEAD + code).split("\n") == ["True yes", "True 42", "True True False", "none left"]


@FORKS
def test_the_main_work_takes_its_share() -> None:
    code = (
        "crew.os.cpu_count = lambda: 2\n"
        "with Crew() as c:\n"
        "    for k in range(12):\n"
        "        c.add(str(k), lambda k=k: (time.sleep(0.02), os.getpid(), k)[1:])\n"
        "    c.start(most=1)\n    here = list(c.work())\n"
        "    found = [c.result(str(k)) for k in range(12)]\n"
        "print([k for _, k in found] == list(range(12)), 0 < len(here) < 12)\n"
        "print({str(k) for pid, k in found if pid == os.getpid()} == set(here))"
    )
    assert alone(HEAD + code).split() == ["True"] * 3


@FORKS
@pytest.mark.parametrize(
    "call", ["os.kill, os.getpid(), 9", "operator.floordiv, 1, 0", "time.sleep, 'x'"]
)
def test_a_call_that_fails_is_made_in_place_and_meets_its_error_there(call: str) -> None:
    code = (
        "crew.os.cpu_count = lambda: 2\n"
        "main = os.getpid()\n"
        "def fragile():\n"
        "    if os.getpid() != main:\n"
        f"        f, *args = {call}\n        f(*args)\n"
        "    return 'in place'\n"
        "with Crew() as c:\n"
        "    c.add('x', fragile)\n    c.add('y', operator.add, 2, 3)\n    c.start()\n"
        "    print(c.result('x'), c.result('y'))\n"
        "with Crew() as c:\n"
        "    c.add('z', operator.floordiv, 1, 0)\n    c.start()\n"
        "    try:\n        c.result('z')\n    except ZeroDivisionError:\n        print('the error itself')"
    )
    assert alone(HEAD + code) == "in place 5\nthe error itself"


@FORKS
def test_a_hand_takes_no_answer_of_another_crew() -> None:
    """A copy of the main work that read its pipes would take answers away from it."""
    code = (
        "crew.os.cpu_count = lambda: 2\n"
        "with Crew() as counters, Crew() as writers:\n"
        "    counters.start()\n    counters.add('count', operator.mul, 13, 7)\n"
        "    counters.close()\n"
        "    writers.add('file', lambda: (os.getpid(), counters.result('count')))\n"
        "    writers.start()\n    time.sleep(0.2)\n"
        "    print(writers.result('file') == (os.getpid(), 91))"
    )
    assert alone(HEAD + code) == "True"


@FORKS
def test_a_crew_is_settled_once_every_answer_is_here() -> None:
    code = (
        "crew.os.cpu_count = lambda: 2\n"
        "with Crew() as c:\n"
        "    print(c.settled())\n    c.start()\n"
        "    c.add('quick', operator.add, 5, 8)\n    c.add('slow', time.sleep, 0.4)\n"
        "    print(c.settled())\n    time.sleep(0.8)\n    print(c.settled(), c.result('quick'))\n"
    )
    assert alone(HEAD + code).split("\n") == ["True", "False", "True 13"]


@FORKS
def test_hands_that_cannot_load_leave_all_to_the_main_work() -> None:
    code = (
        "crew.os.cpu_count = lambda: 2\n"
        "with Crew() as c:\n"
        "    c.start(lambda: __import__('no_such_library'))\n    time.sleep(0.2)\n"
        "    c.add('x', operator.add, 2, 3)\n    print(c.result('x'))"
    )
    assert alone(HEAD + code) == "5"


@FORKS
def test_what_nobody_asks_for_is_ended() -> None:
    code = (
        "begin = time.perf_counter()\n"
        "with Crew() as c:\n    c.start()\n    c.add('x', time.sleep, 60)\n"
        "print(time.perf_counter() - begin < 30)"
    )
    assert alone(HEAD + code) == "True"


def test_one_core_or_other_threads_or_no_fork_work_in_place(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr("recipes.build.crew.os.cpu_count", lambda: 1)
        assert hands() == 0
    with monkeypatch.context() as patch:
        patch.delattr("recipes.build.crew.os.fork", raising=False)
        assert hands() == 0
    monkeypatch.setattr("recipes.build.aside.threading.active_count", lambda: 2)
    with Crew() as crew:
        crew.start()
        crew.add("x", os.getpid)
        crew.add("y", operator.floordiv, 1, 0)
        assert list(crew.work()) == []
        assert crew.result("x") == os.getpid()
        with pytest.raises(ZeroDivisionError):
            crew.result("y")


def children(group: str) -> list[str]:
    """Return the processes whose command line holds `group`."""
    found = []
    for entry in Path("/proc").glob("[0-9]*/cmdline"):
        try:
            if group.encode() in entry.read_bytes():
                found.append(entry.parent.name)
        except OSError:  # it has just ended
            continue
    return found


@pytest.mark.skipif(not Path("/proc/self/cmdline").exists(), reason="needs /proc")
@pytest.mark.parametrize("kind", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_a_stopped_build_leaves_no_process_and_no_file(
    kind: signal.Signals, tmp_path: Path
) -> None:
    out = tmp_path / "packs"
    file = ROOT / "recipes" / "starters" / "kayak-thruster.toml"
    build = subprocess.Popen(
        [sys.executable, "-m", "recipes", "build", str(file), "--out", str(out)],
        cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    until = time.monotonic() + 60
    while len(children(str(out))) < 3 and time.monotonic() < until:
        time.sleep(0.01)
    build.send_signal(kind)
    _, words = build.communicate(timeout=60)
    if kind == signal.SIGINT:
        # the interpreter says -2 itself where the signal meets it in an `exec` of a dataclass
        assert build.returncode in (130, -2)
        assert "stopped; nothing was replaced" in words
    else:
        assert build.returncode == -kind
    assert "Traceback" not in words
    while children(str(out)) and time.monotonic() < until:  # hands notice that nobody is left
        time.sleep(0.05)
    assert children(str(out)) == []
    assert not out.exists()
