"""`build`: check a design, then write its pack, with progress on the way."""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from geometry.finding import Finding
from recipes.assess import assess
from recipes.build.write import Progress, Written, write_pack
from recipes.catalogue import RECIPES, Parts
from recipes.design.load import BadInput, parse, read_text, validate
from recipes.motor import solve
from recipes.refusal import Refused, bad_input
from recipes.terminal import Talk, Voice, show_findings, verdict

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
    text = read_text(path)
    if process is not None:
        text = _other_process(text, process)
    motor = solve(parse(text))
    _known(only)
    parts = Parts(motor)
    seen = assess(motor, parts)
    voice = Voice(sys.stderr, talk)
    done: Written | None = None
    refused: tuple[Finding, ...] = ()
    if not any(f.level == "stop" for f in seen.findings):
        try:
            with _progress(voice) as tell:
                done = write_pack(
                    motor,
                    parts,
                    seen,
                    out,
                    text=text,
                    only=only,
                    solids=solids,
                    search=True,
                    field=not only,
                    tell=tell,
                )
            seen = done.assessment
        except Refused as error:  # a sheet that no paper holds
            refused = tuple(map(motor.design.wording.finding, error.findings))
    show_findings((*seen.findings, *refused), voice)
    if done is None or not done.files:
        voice.say("nothing written: mend what says STOP first")
        return STOPPED
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
                bad_input(
                    "--parts",
                    n,
                    f"--parts {n!r}: there is no such recipe",
                    f"use {', '.join(names)}",
                    ", ".join(names),
                )
                for n in wrong
            ]
        )


def _other_process(text: str, name: str) -> str:
    """Return the design text with another shop, as data: comments do not survive that."""
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
def _progress(voice: Voice) -> Iterator[Progress]:
    """Show a bar on a terminal; say nothing elsewhere."""
    if not voice.stream.isatty():
        yield lambda *_: None
        return
    from rich.progress import Progress as Bar

    with Bar(console=voice.console, transient=True) as bar:
        task = bar.add_task("writing", total=None)
        yield lambda name, done, total: bar.update(
            task, completed=done, total=total, description=name
        )
