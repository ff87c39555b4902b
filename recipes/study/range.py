"""`range`: judge many designs, keep every result, rank them."""

from __future__ import annotations

import json
import sys
import tomllib
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import TYPE_CHECKING, Any

from recipes.design import Design
from recipes.design.load import parse, read_text
from recipes.study.comparison_figures import BY_NAME
from recipes.study.design_point import (
    COLUMNS,
    ORDERS,
    Done,
    Goal,
    Outcome,
    ranked,
    relative_to,
    try_one,
)
from recipes.study.range_csv import RangeTable
from recipes.study.range_engine import engine, outcomes
from recipes.study.vary import Axis, Trial, axes_of, trials_of
from recipes.terminal import Voice

if TYPE_CHECKING:
    from concurrent.futures import Future


STOPPED_BY_HAND = "stopped by hand"

#: So many of the best, by the first goal, are solved by elements of second order.
FINER = 5

#: Trials under way for each worker: enough that none waits, few enough that Ctrl-C is quick.
_AHEAD = 3


@dataclass(frozen=True)
class RangeDone:
    """Every design of a range.

    Args:
        path: of the table.
        axes: what was varied.
        base: the unvaried design.
        done: every trial of the grid with its outcome, in order; fewer if it was stopped.
        before: how many of them an earlier run had done.
        stopped: why it ended early; "" if it did not.
        engine: where the work was done.
    """

    path: Path
    axes: tuple[Axis, ...]
    base: Outcome
    done: tuple[Done, ...]
    before: int
    stopped: str
    engine: str


def run_range(
    file: Path,
    words: Sequence[str],
    goals: Sequence[Goal],
    *,
    table: Path | None = None,
    address: str | None = None,
    jobs: int | None = None,
    quick: bool = False,
    say: Callable[[str], None] = lambda _: None,
) -> RangeDone:
    """Judge every combination of `words` ("FIELD=VALUES") that the table has not yet.

    Args:
        file, words: design file and what is varied, see `recipes.study.vary`.
        goals: figures beyond the usual columns are kept too.
        table: CSV; None: `out/<design name>-range.csv`.
        address, jobs: see `recipes.study.range_engine`.
        quick: by the magnetic circuit alone; else by fields of first order, the best of second.
        say: told in a sentence what the table held.

    Raises:
        BadInput: the design, a word, the table or the engine is wrong.
        OSError: the table cannot be written.
    """
    design, raw = parse(text := read_text(file)), tomllib.loads(text)
    axes = axes_of(words)
    names = (*COLUMNS, *dict.fromkeys(g.name for g in goals if g.name not in COLUMNS))
    base = try_one(raw, (), (), names, 0 if quick else 1)
    order = 1 if base.field == ORDERS[1] else 0  # rows without field are no match for rows with one
    bases = {order: base}
    path = table or Path("out") / f"{design.slug}-range.csv"
    fields, places = tuple(a.field for a in axes), tuple(a.place for a in axes)
    with RangeTable(path, base_hash(design), fields, names) as rows:
        trials = list(trials_of(axes))
        left = [t for t in trials if _open(rows.known(t), order)]
        before = len(trials) - len(left)
        _tell(rows, before, say)
        finer = order and not left and _best_coarse(rows, trials, goals[0])
        stopped, used = "", "nothing"
        if left or finer:
            with engine(address, jobs) as running, _progress(len(trials), len(left)) as step:

                def work(trial: Trial) -> Future[Outcome]:
                    return running.engine.submit(try_one, raw, places, trial.values, names, order)

                def keep(trial: Trial, outcome: Outcome) -> None:
                    rows.add(trial, relative_to(outcome, bases[order].figures))
                    step()

                used, ahead = running.name, _AHEAD * running.workers
                stopped = _judge(outcomes(left, work, ahead), keep)
                first = order
                while first and not stopped and (best := _best_coarse(rows, trials, goals[0])):
                    order = 2
                    if order not in bases:
                        bases[order] = try_one(raw, (), (), names, order)
                    stopped = _judge(outcomes(best, work, ahead), keep)
        rows.sort(trials)
        found = [(t, o) for t in trials if (o := rows.result(t)) is not None]
    done = relative_to(base, base.figures)
    return RangeDone(path, axes, done, tuple(found), before, stopped, used)


def _open(known: Outcome | None, order: int) -> bool:
    """Tell whether a trial has to be judged, or judged again by a field of first order."""
    return known is None or bool(order and known.verdict == "fine" and known.field == ORDERS[0])


def _best_coarse(rows: RangeTable, trials: Sequence[Trial], goal: Goal) -> list[Trial]:
    """Return which of the best designs by `goal` have a field of first order only."""
    known = [(t, o) for t in trials if (o := rows.known(t)) is not None]
    return [t for t, o in ranked(known, goal)[:FINER] if o.field == ORDERS[1]]


def _judge(stream: Iterator[Done], keep: Callable[[Trial, Outcome], None]) -> str:
    """Keep every outcome of `stream`; return why it ended early, "" if it did not.

    Raises:
        OSError: the table cannot be written.
    """
    try:
        while True:
            try:
                done = next(stream, None)
            except Exception as error:  # whatever an engine raises: the table is good
                return f"the engine failed: {str(error) or type(error).__name__}"
            if done is None:
                return ""
            keep(*done)
    except KeyboardInterrupt:
        return STOPPED_BY_HAND


def base_hash(design: Design) -> str:
    """Return a short hash of the design and of the program: other rows are not comparable."""
    try:
        program = version("lamwright")
    except PackageNotFoundError:
        program = "0"
    data = design.model_dump(mode="json", exclude={"measured", "name", "notes"})
    told = json.dumps([program, sorted(BY_NAME), data], sort_keys=True)
    return sha256(told.encode()).hexdigest()[:8]


def _tell(rows: RangeTable, known: int, say: Callable[[str], None]) -> None:
    if rows.torn:
        say(
            f"{rows.path}: a line was torn by a run that was cut off; it is taken out and done again"
        )
    if rows.strangers:
        say(
            f"{rows.path}: {rows.strangers} rows are of another state of the design; they stay, unused"
        )
    if known:
        say(f"{rows.path}: {known} designs are there already")


@contextmanager
def _progress(total: int, left: int) -> Iterator[Callable[[], Any]]:
    """Show a bar with the time that is left, on a terminal; say nothing elsewhere."""
    if not sys.stderr.isatty():
        yield lambda: None
        return
    from rich.progress import (
        BarColumn,
        MofNCompleteColumn,
        Progress,
        TextColumn,
        TimeRemainingColumn,
    )

    columns = (TextColumn("designs"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Voice(sys.stderr).console, transient=True) as bar:
        task = bar.add_task("designs", total=total, completed=total - left)
        yield lambda: bar.advance(task)
