"""`range`: the same table from every engine, resumed, mended, stopped; ranking and refusals."""

from __future__ import annotations

import csv
import json
import os
import signal
import subprocess
import sys
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from functools import partial
from pathlib import Path
from typing import Any

import pytest
import tomli_w

from recipes.assess import assess
from recipes.build.pool import Pool
from recipes.cli.commands import run
from recipes.design.load import BadInput
from recipes.field.answer import FieldAnswer
from recipes.field.figures import DENSITIES_LOADED
from recipes.field.page import CONSTANT
from recipes.kept_field import ranking_figures
from recipes.motor import Motor, solve
from recipes.study import design_point
from recipes.study import range as range_module
from recipes.study.design_point import Goal, Outcome, try_one
from recipes.study.range import RangeDone
from recipes.study.range_engine import engine, outcomes
from recipes.study.range_show import show_range
from recipes.study.table_lock import Occupied, lock, unlock
from recipes.study.vary import Trial, place_of
from recipes.terminal import Voice
from tests.places import ROOT
from tests.support.design import job, raw
from tests.support.patience import PATIENCE, until
from tests.support.processes import children

#: Most tests are about the table, and any figures do: those of the circuit are there at once.
run_range = partial(range_module.run_range, quick=True)

GOALS = (Goal("torque_per_root_watt", "more"), Goal("active_mass_kg", "less"))
TURNS = ["winding.turns=8,9,10,70"]
WORDS = ["winding.turns=9,10,70", "liner.overhang=3,99"]


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("range") / "thruster.toml"
    path.write_text(tomli_w.dumps(raw("kayak-thruster", name="Trial")))
    return path


@pytest.fixture(scope="module")
def whole(file: Path) -> RangeDone:
    return run_range(file, WORDS, GOALS, table=file.with_name("whole.csv"), jobs=1)


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(newline="") as source:
        return list(csv.DictReader(source))


def test_every_combination_has_a_row_with_its_verdict(whole: RangeDone) -> None:
    table = rows(whole.path)
    assert [(r["winding.turns"], r["liner.overhang"], r["verdict"]) for r in table] == [
        ("9", "3", "fine"), ("9", "99", "refused"), ("10", "3", "fine"), ("10", "99", "refused"),
        ("70", "3", "stop"), ("70", "99", "refused"),
    ]  # fmt: skip
    assert "winding.turns = 70" in table[4]["why"]
    assert "liner.overhang" in table[1]["why"]
    assert table[1]["copper_fill"] == ""


def test_a_row_says_what_check_says(whole: RangeDone) -> None:
    seen = assess(solve(job("kayak-thruster", winding__turns=9).design), whole=False).results
    row = rows(whole.path)[0]
    for key in ("wire_fill_lined", "seconds_to_touch_limit", "stack_mass_kg", "wire_length_m"):
        assert float(row[key]) == pytest.approx(seen[key], rel=1e-6)


def test_relative_figures_are_those_of_the_file_as_it_is(whole: RangeDone) -> None:
    """The kayak's own 10 turns are one of the grid."""
    by_turns = {r["winding.turns"]: r for r in rows(whole.path) if r["verdict"] == "fine"}
    assert float(by_turns["10"]["torque_per_root_watt"]) == pytest.approx(1.0)
    assert float(by_turns["9"]["torque_per_root_watt"]) < 1.0


def told(motor: Motor, order: int) -> FieldAnswer:
    """Return a made-up field: the fewer turns, the more flux; of second order 1 % less."""
    flux = (1 - 0.01 * (order == 2)) / motor.design.winding.turns**2
    constant = dict.fromkeys((CONSTANT, f"{CONSTANT}_min", f"{CONSTANT}_max"), 100.0)
    cogging = {"cogging_torque_peak_Nm": 0.01} if order == 2 else {}
    full = dict.fromkeys(DENSITIES_LOADED, 1.0)
    return FieldAnswer({**constant, **full, "phase_flux_linkage_Wb": flux, **cogging}, {})


def test_first_order_ranks_all_and_second_the_best(
    file: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Of four designs one cannot be made, and the better two of the others are solved again, once."""
    monkeypatch.setattr(design_point, "ranking_figures", told)
    monkeypatch.setattr(range_module, "FINER", 2)
    table, by_field = file.with_name("field.csv"), range_module.run_range
    out = by_field(file, TURNS, GOALS, table=table, jobs=1)
    assert [r["field"] for r in rows(table)] == [
        "second order", "second order", "first order", "circuit",
    ]  # fmt: skip
    assert [bool(r["cogging_torque_peak_Nm"]) for r in rows(table)] == [True, True, False, False]
    first, _, last, _ = (o.figures.get("torque_per_root_watt", 0.0) for _, o in out.done)
    ohm = [job("kayak-thruster", winding__turns=n).resistance.phase_ohm for n in (8, 10)]
    assert last == pytest.approx(1.0)  # each is held against the design as it is, by its own order
    assert first == pytest.approx((10 / 8) ** 2 * (ohm[1] / ohm[0]) ** 0.5, rel=1e-3)
    before = table.read_bytes()
    again = by_field(file, TURNS, GOALS, table=table, jobs=1)
    assert (again.engine, again.before, table.read_bytes()) == ("nothing", 4, before)
    show_range(again, [], [], GOALS, Voice(sys.stdout), 3)
    assert "1 by a field of first order, 2 by a field of second order" in capsys.readouterr().out

    monkeypatch.setattr(range_module, "FINER", 0)  # as if it had ended before the second order
    half = file.with_name("half-way.csv")
    by_field(file, TURNS, GOALS, table=half, jobs=1)
    assert {r["field"] for r in rows(half)} == {"first order", "circuit"}
    monkeypatch.setattr(range_module, "FINER", 2)
    assert by_field(file, TURNS, GOALS, table=half, jobs=1).before == 4
    assert half.read_bytes() == before


def test_a_table_of_the_circuit_is_done_again_by_the_field(
    file: Path, whole: RangeDone, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(design_point, "ranking_figures", told)
    table = file.with_name("refined.csv")
    table.write_bytes(whole.path.read_bytes())
    assert {r["field"] for r in rows(table)} == {"circuit"}
    out = range_module.run_range(file, WORDS, GOALS, table=table, jobs=1)
    assert out.before == 4  # those that cannot be made
    assert [o.field for _, o in out.done if o.verdict == "fine"] == ["second order"] * 2


def test_the_first_order_is_near_the_second() -> None:
    """0.1 % in the trial of this method."""
    one, two = (ranking_figures(job("kayak-thruster"), order).figures for order in (1, 2))
    for name in ("phase_flux_linkage_Wb", "torque_at_phase_current_Nm", CONSTANT):
        assert one[name] == pytest.approx(two[name], rel=0.004)
    assert "cogging_torque_peak_Nm" not in one


def test_processes_write_the_same_bytes(file: Path, whole: RangeDone) -> None:
    again = run_range(file, WORDS, GOALS, table=file.with_name("two.csv"), jobs=2)
    assert again.engine == "2 processes"
    assert again.path.read_bytes() == whole.path.read_bytes()


def test_fresh_processes_do_as_well_as_copies(file: Path, whole: RangeDone, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    import multiprocessing

    monkeypatch.setattr(multiprocessing, "get_all_start_methods", lambda: ["spawn"])
    table = file.with_name("spawned.csv")
    run_range(file, ["winding.turns=9", "liner.overhang=3,99"], GOALS, table=table, jobs=2)
    assert rows(table) == rows(whole.path)[:2]


def test_a_running_cluster_gives_the_same(file: Path, whole: RangeDone) -> None:
    distributed = pytest.importorskip("distributed", reason="extra [dask] is not installed")
    with distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, processes=False, protocol="tcp", dashboard_address=None,
    ) as cluster:  # fmt: skip
        address = cluster.scheduler_address.replace("tcp://", "dask://")
        table = file.with_name("cluster.csv")
        out = run_range(file, WORDS, GOALS, table=table, address=address)
    assert out.engine == f"1 workers at {address}"
    assert table.read_bytes() == whole.path.read_bytes()


@pytest.mark.parametrize(
    ("address", "says"), [("spark://x", "no such engine"), ("dask://", "no such engine")]
)
def test_other_engines_are_refused(file: Path, address: str, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        run_range(file, WORDS, GOALS, table=file.with_name("no.csv"), address=address)


def test_what_is_there_is_not_done_again(
    file: Path, whole: RangeDone, monkeypatch: pytest.MonkeyPatch
) -> None:
    table = file.with_name("again.csv")
    table.write_bytes(whole.path.read_bytes())
    said: list[str] = []
    base = try_one(raw("kayak-thruster"), (), (), design_point.COLUMNS)

    def only_base(_: object, places: object, *__: object) -> Outcome:
        assert not places, "nothing was left to do"
        return base

    monkeypatch.setattr(range_module, "try_one", only_base)
    out = run_range(file, WORDS, GOALS, table=table, jobs=1, say=said.append)
    assert (out.before, len(out.done)) == (6, 6)
    assert said == [f"{table}: 6 designs are there already"]
    assert table.read_bytes() == whole.path.read_bytes()


@pytest.mark.parametrize("cut", [1, 9, 200])
def test_a_torn_line_is_mended_aloud(file: Path, whole: RangeDone, cut: int) -> None:
    table = file.with_name(f"torn{cut}.csv")
    table.write_bytes(whole.path.read_bytes()[:-cut])
    said: list[str] = []
    run_range(file, WORDS, GOALS, table=table, jobs=1, say=said.append)
    assert "torn" in said[0]
    assert table.read_bytes() == whole.path.read_bytes()


def test_a_number_cut_in_two_is_not_taken_for_a_number(file: Path, whole: RangeDone) -> None:
    """The last row of the run that was cut off is a fine one; its last figure lost three digits."""
    table, lines = file.with_name("half.csv"), whole.path.read_bytes().splitlines(True)
    assert b",fine," in lines[3]
    table.write_bytes(b"".join(lines[:4])[:-4])
    run_range(file, WORDS, GOALS, table=table, jobs=1)
    assert table.read_bytes() == whole.path.read_bytes()


def test_rows_are_on_the_disk_one_by_one(
    file: Path, whole: RangeDone, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A power cut after the third: three rows are there, and the next run does the rest."""
    table, synced = file.with_name("cut.csv"), 0
    real = os.fsync

    def fsync(number: int) -> None:
        nonlocal synced
        real(number)
        synced += 1
        if synced == 3:
            raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", fsync)
    out = run_range(file, WORDS, GOALS, table=table, jobs=1)
    assert out.stopped == "stopped by hand"
    assert table.read_bytes() == b"".join(whole.path.read_bytes().splitlines(True)[:4])
    monkeypatch.setattr(os, "fsync", real)
    assert run_range(file, WORDS, GOALS, table=table, jobs=1).before == 3
    assert table.read_bytes() == whole.path.read_bytes()


def test_another_state_of_the_design_does_not_mix(file: Path, whole: RangeDone) -> None:
    table, other = file.with_name("mixed.csv"), file.with_name("other.toml")
    table.write_bytes(whole.path.read_bytes())
    other.write_text(tomli_w.dumps(raw("kayak-thruster", name="Trial", motor__ambient=21)))
    said: list[str] = []
    run_range(other, ["winding.turns=70", "liner.overhang=99"], GOALS, table=table, jobs=1, say=said.append)  # fmt: skip
    assert "6 rows are of another state" in said[0]
    assert len(rows(table)) == 7
    assert table.read_bytes().startswith(whole.path.read_bytes())


def test_a_measurement_or_a_note_is_no_other_state(file: Path, whole: RangeDone) -> None:
    other, table = file.with_name("noted.toml"), file.with_name("noted.csv")
    other.write_text(tomli_w.dumps(raw("kayak-thruster", notes="wet", measured={"lead_u_v": 0.05})))
    table.write_bytes(whole.path.read_bytes())
    assert run_range(other, WORDS, GOALS, table=table, jobs=1).before == 6


def test_another_table_is_left_alone(file: Path, whole: RangeDone) -> None:
    before = whole.path.read_bytes()
    with pytest.raises(BadInput, match="another table"):
        run_range(file, ["winding.strands=2,3"], GOALS, table=whole.path, jobs=1)
    assert whole.path.read_bytes() == before


def test_figures_that_nobody_listed_get_a_column(file: Path) -> None:
    goals = (Goal("coil_end_height_mm", "less"), GOALS[1])
    out = run_range(file, ["winding.turns=9"], goals, table=file.with_name("extra.csv"), jobs=1)
    assert float(rows(out.path)[0]["coil_end_height_mm"]) > 1


def test_a_fault_of_the_program_is_a_row_and_is_tried_again(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: Any, **__: Any) -> None:
        raise ZeroDivisionError("by hand")

    with monkeypatch.context() as patch:
        patch.setattr(design_point, "assess", broken)
        outcome = try_one(raw(), (place_of("winding.turns"),), (20,), ("copper_fill",))
    assert (outcome.verdict, outcome.why) == ("failed", "ZeroDivisionError: by hand")
    table = file.with_name("failed.csv")
    with monkeypatch.context() as patch:
        patch.setattr(design_point, "assess", broken)
        run_range(file, ["winding.turns=9"], GOALS, table=table, jobs=1)
    assert rows(table)[0]["verdict"] == "failed"
    run_range(file, ["winding.turns=9"], GOALS, table=table, jobs=1)
    assert [r["verdict"] for r in rows(table)] == ["fine"]


def test_an_engine_that_dies_leaves_a_good_table(
    file: Path, whole: RangeDone, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A worker killed for want of memory: the pool breaks, what came before is kept."""
    count = 0
    real = Pool.submit

    def submit(self: Pool, fn: Any, /, *args: Any) -> Future[Any]:
        nonlocal count
        count += 1
        if count == 3:
            future: Future[Any] = Future()
            future.set_exception(BrokenProcessPool("a process died"))
            return future
        return real(self, fn, *args)

    monkeypatch.setattr(Pool, "submit", submit)
    table = file.with_name("died.csv")
    out = run_range(file, WORDS, GOALS, table=table, jobs=1)
    assert out.stopped == "the engine failed: a process died"
    assert table.read_bytes() == b"".join(whole.path.read_bytes().splitlines(True)[:3])


def test_a_full_disk_is_told_as_such(
    file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    argv = ["range", str(file), "--csv", str(tmp_path / "f.csv"), "--jobs", "1", "--quick"]
    assert run([*argv, "--vary", "winding.turns=70"]) == 2
    assert "No space left" in capsys.readouterr().err


def test_who_stops_early_calls_off_the_rest() -> None:
    class Lazy:
        """An engine that never begins anything but the first."""

        def __init__(self) -> None:
            self.futures: list[Future[Any]] = []

        def submit(self, fn: Any, *args: Any) -> Future[Any]:
            future: Future[Any] = Future()
            if not self.futures:
                future.set_result(fn(*args))
            self.futures.append(future)
            return future

    lazy = Lazy()
    trials = [Trial(k, (k,)) for k in range(9)]
    stream: Iterator[Any] = outcomes(trials, lambda t: lazy.submit(str, t), 4)
    assert next(stream) == (trials[0], str(trials[0]))
    stream.close()  # type: ignore[attr-defined] # a generator
    assert len(lazy.futures) == 4
    assert all(f.cancelled() for f in lazy.futures[1:])


def test_in_place_keeps_order_and_passes_faults_on() -> None:
    trials = [Trial(k, (k,)) for k in range(5)]
    got = [t.number for t, _ in outcomes(trials, lambda t: Pool(0).submit(str, t), 2)]
    assert got == [0, 1, 2, 3, 4]
    with pytest.raises(ZeroDivisionError):
        list(outcomes(trials, lambda _: Pool(0).submit(divmod, 1, 0), 2))


def test_command_ranks_draws_and_gives_json(
    file: Path, tmp_path: Path, whole: RangeDone, capsys: pytest.CaptureFixture[str]
) -> None:
    table, plot = tmp_path / "r.csv", tmp_path / "p.svg"
    table.write_bytes(whole.path.read_bytes())
    argv = ["range", str(file), "--csv", str(table), "--jobs", "1", "--quick"]
    argv += [x for word in WORDS for x in ("--vary", word)]
    assert run([*argv, "--plot", str(plot)]) == 0
    out = capsys.readouterr().out
    assert "2 fine, 3 refused, 1 stop" in out
    assert "Best by torque per root watt" in out
    assert "1 cannot be made" in out
    assert "winding.turns = 70" in out
    assert ET.fromstring(plot.read_text()).tag.endswith("svg")
    assert run([*argv, "--rank", "stack_mass_kg", "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert said["verdicts"] == {"fine": 2, "refused": 3, "stop": 1}
    assert said["goals"][0] == {"name": "stack_mass_kg", "sense": "less"}
    assert said["best"][0]["values"] == {"winding.turns": 9, "liner.overhang": 3}


def test_statuses(file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    argv = ["range", str(file), "--csv", str(tmp_path / "s.csv"), "--jobs", "1", "--quick"]
    assert run([*argv, "--vary", "liner.overhang=99"]) == 1  # none can be made
    assert run([*argv, "--vary", "winding.turn=99"]) == 2
    assert run([*argv, "--vary", "winding.turns=9", "--rank", "turns_in_series"]) == 2
    assert "turns_in_series:more" in capsys.readouterr().err


def test_workers_leave_ctrl_c_to_who_waits() -> None:
    with engine(None, 2) as running:
        assert running.engine.submit(signal.getsignal, signal.SIGINT).result() == signal.SIG_IGN
    assert signal.getsignal(signal.SIGINT) != signal.SIG_IGN


def test_ctrl_c_leaves_a_good_table(file: Path, tmp_path: Path) -> None:
    table = tmp_path / "c.csv"
    argv = [sys.executable, "-m", "recipes", "range", str(file), "--csv", str(table), "--jobs", "2"]
    argv += ["--vary", "winding.turns=3:10:1", "--vary", "lamination.tooth_width=5.5:6.1:0.1"]
    going = subprocess.Popen(
        argv, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
    )  # fmt: skip
    assert until(lambda: table.exists() and table.read_text().count("\n") > 2)
    os.killpg(going.pid, signal.SIGINT)  # as a terminal does: to the workers too
    _, err = going.communicate(timeout=PATIENCE)
    assert going.returncode == 130
    assert "Traceback" not in err
    assert "goes on with the table" in err
    found = rows(table)
    assert 2 <= len(found) < 56
    assert all(None not in r and None not in r.values() for r in found)
    order = [(int(r["winding.turns"]), float(r["lamination.tooth_width"])) for r in found]
    assert order == sorted(order)


def _range_command(file: Path, table: Path, count: int) -> list[str]:
    """Return a range of `count` trials, two at a time."""
    vary = ["--vary", f"winding.turns=3:{count + 2}:1"]
    return [sys.executable, "-m", "recipes", "range", str(file), *vary, "--csv", str(table),
            "--jobs", "2"]  # fmt: skip


@pytest.mark.skipif(not Path("/proc/self/cmdline").exists(), reason="no /proc here")
def test_one_table_has_one_writer_and_a_killed_one_lets_go(file: Path, tmp_path: Path) -> None:
    table = tmp_path / "shared.csv"
    quiet = {"cwd": ROOT, "stdout": subprocess.DEVNULL, "stderr": subprocess.PIPE}
    first = subprocess.Popen(_range_command(file, table, 300), **quiet, start_new_session=True)  # type: ignore[call-overload]
    assert until(lambda: table.exists() and len(table.read_text().splitlines()) > 2, pause=0.01)

    second = subprocess.run(_range_command(file, table, 3), **quiet, text=True, check=False)  # type: ignore[call-overload]
    assert second.returncode == 2
    assert "another range is writing this table" in second.stderr
    assert first.poll() is None, "the first run should still be at work"

    first.kill()
    first.communicate()
    assert until(lambda: not children(str(table)))  # its workers notice that they are alone
    third = subprocess.run(_range_command(file, table, 3), **quiet, text=True, check=False)  # type: ignore[call-overload]
    assert third.returncode == 0, third.stderr
    assert [r["verdict"] for r in rows(table)][-3:] == ["fine"] * 3
    assert [p.name for p in tmp_path.iterdir()] == [table.name], "no lock and no piece stays behind"


def test_a_lock_that_was_removed_meanwhile_is_no_lock(tmp_path: Path) -> None:
    table = tmp_path / "table.csv"
    held = lock(table)
    with pytest.raises(Occupied):
        lock(table)
    unlock(table, held)
    again = lock(table)
    unlock(table, again)
    assert not list(tmp_path.iterdir())
