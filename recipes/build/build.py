"""`build`: check a design, then write its pack, with progress on the way."""

from __future__ import annotations

import gc
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import partial
from pathlib import Path
from typing import Any

from geometry.finding import Finding
from recipes.assess import assess
from recipes.build.counting import Bundle, Ladder, Packing, load_packing
from recipes.build.crew import Crew
from recipes.build.making import Making
from recipes.build.solid_worker import MOST, SolidWorker, load_kernel
from recipes.build.write import load_page, write_pack
from recipes.catalogue import RECIPES
from recipes.cli.terminal import Talk, Voice, show_findings, verdict
from recipes.design.load import BadInput, parse, read_text, validate
from recipes.job import Job
from recipes.refusal import Refused

FINE, STOPPED = 0, 1


def build(
    path: Path,
    out: Path,
    *,
    only: tuple[str, ...] = (),
    solids: bool = True,
    process: str | None = None,
    talk: Talk = "normal",
) -> int:
    """Write the pack of the design file at `path` below `out`; return the exit status.

    Raises:
        BadInput: the file, a recipe's name or the process is wrong; nothing is written.
        OSError: the folder cannot be written; an earlier pack is as it was.
    """

    with _no_collector(), Crew() as kernel, Crew() as counters:
        if solids:
            kernel.start(load_kernel, most=MOST)
        job, text, worker = _begun(path, only, process, counters, kernel if solids else None)

        voice = Voice(sys.stderr, talk)
        with Making(job, text, only, worker) as making:
            seen = assess(job, meanwhile=partial(_ahead, making, counters))
            show_findings(seen.findings, voice)
            if any(f.level == "stop" for f in seen.findings):
                return _stopped(voice)

            try:
                with _progress(making):
                    done = write_pack(job, seen, out, text=text, making=making)
            except Refused as refused:  # a sheet that no paper holds
                show_findings(refused.findings, voice)
                return _stopped(voice)
    print(verdict(seen.results, seen.findings))
    if talk == "quiet":
        print(done.folder)
    else:
        for f in done.files:
            size = f"{len(f.data):>9} bytes  {f.purpose:<5}  " if talk == "verbose" else ""
            print(f"{size}{done.folder / f.path}")
    return FINE


def _stopped(voice: Voice) -> int:
    voice.say("nothing written: mend what says STOP first")
    return STOPPED


def _begun(
    path: Path, only: tuple[str, ...], process: str | None, counters: Crew, kernel: Crew | None
) -> tuple[Job, str, SolidWorker | None]:
    """Read the design and set counters and kernel to work on it; return job, text and worker."""
    import shapely  # noqa: F401 - the counters need it too: load it once

    counters.start(load_packing)

    text = read_text(path)
    if process is not None:
        text = _other_process(text, process)
    design = parse(text)
    _known(only)
    job = Job(design, Packing(counters), Ladder(counters), mixed=Bundle(counters))
    worker = SolidWorker(kernel) if kernel else None
    if worker:
        worker.begin(job, only, text)
    return job, text, worker


@contextmanager
def _no_collector() -> Iterator[None]:
    """Leave the search for circular garbage off: a build keeps nearly all that it makes.

    It would walk every edge of every part again and again: a tenth of the whole time.
    """
    on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if on:
            gc.freeze()  # and back: all that is kept counts as old, or it would be walked now
            gc.unfreeze()
            gc.enable()


def _known(only: tuple[str, ...]) -> None:

    names = [r.name for r in RECIPES]
    wrong = [n for n in only if n not in names]
    if wrong:
        raise BadInput(
            [
                Finding(
                    "stop",
                    "bad-input",
                    "--parts",
                    n,
                    ", ".join(names),
                    f"--parts {n!r}: there is no such recipe",
                    f"use {', '.join(names)}",
                    "",
                    "yours",
                )
                for n in wrong
            ]
        )


def _other_process(text: str, name: str) -> str:
    """Return the design text with another shop, as data: comments do not survive that."""
    import tomllib

    import tomli_w

    try:
        raw: dict[str, Any] = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        parse(text)  # says what is wrong
        raise
    shop = raw.setdefault("shop", {})
    if isinstance(shop, dict):
        shop["process"] = name
    validate(raw)
    return tomli_w.dumps(raw)


def _ahead(making: Making, counters: Crew) -> None:
    """Make files until circles are counted; who collects the files meets again what goes wrong."""

    with suppress(Exception):
        making.begin()
        load_page()
        with _progress(making):
            making.help(counters.settled)


@contextmanager
def _progress(making: Making) -> Iterator[None]:
    """Show a bar on a terminal; say nothing elsewhere."""
    if not sys.stderr.isatty():
        yield
        return
    from rich.progress import Progress as Bar

    with Bar(console=Voice(sys.stderr).console, transient=True) as bar:
        task = bar.add_task("writing", total=None)

        def step(name: str, done: int, total: int) -> None:
            bar.update(task, completed=done, total=total, description=name)

        making.tell = step
        yield
        making.tell = None
