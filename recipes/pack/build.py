"""`build`: check a design, then write its pack, with progress on the way."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geometry.finding import Finding
from recipes.catalogue import RECIPES
from recipes.job import Job
from recipes.load import BadInput, parse, read_text, validate
from recipes.pack.aside import ladder_aside, packing_aside
from recipes.pack.solid_worker import solid_worker
from recipes.report import Voice, show_findings, verdict

if TYPE_CHECKING:
    from recipes.pack.write import Progress
    from recipes.report import Talk

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
    with ExitStack() as stack:
        packing = stack.enter_context(packing_aside())
        ladder = stack.enter_context(ladder_aside())
        text = read_text(path)
        if process is not None:
            text = _other_process(text, process)
        design = parse(text)
        _known(only)
        worker = stack.enter_context(solid_worker()) if solids else None
        job = Job(design, packing, ladder)
        if worker:
            worker.begin(job, only, text)
        from recipes.assess import assess  # loads every rule, while the others work already

        seen = assess(job)
        voice = Voice(sys.stderr, talk)
        show_findings(seen.findings, voice)
        if any(f.level == "stop" for f in seen.findings):
            voice.say("nothing written: mend what says STOP first")
            return STOPPED
        from recipes.pack.write import write_pack

        with _progress() as progress:
            done = write_pack(
                job, seen, out, text=text, only=only, worker=worker, progress=progress
            )
    print(verdict(seen.results, seen.findings))
    if talk == "quiet":
        print(done.folder)
    else:
        for f in done.files:
            size = f"{len(f.data):>9} bytes  {f.purpose:<5}  " if talk == "verbose" else ""
            print(f"{size}{done.folder / f.path}")
    return FINE


def _known(only: tuple[str, ...]) -> None:
    names = [r.name for r in RECIPES]
    wrong = [n for n in only if n not in names]
    if wrong:
        raise BadInput(
            [
                Finding(
                    "stop", "bad-input", "--parts", n, ", ".join(names),
                    f"--parts {n!r}: there is no such recipe", f"use {', '.join(names)}", "", "yours",
                )
                for n in wrong
            ]
        )  # fmt: skip


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


@contextmanager
def _progress() -> Iterator[Progress | None]:
    """Show a bar on a terminal; say nothing elsewhere."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.progress import Progress as Bar

    with Bar(console=Voice(sys.stderr).console, transient=True) as bar:
        task = bar.add_task("writing", total=None)

        def step(name: str, done: int, total: int) -> None:
            bar.update(task, completed=done, total=total, description=name)

        yield step
