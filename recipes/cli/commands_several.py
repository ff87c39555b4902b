"""Commands about several designs, and about the bench: words in, recipes called, words out."""

from __future__ import annotations

import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from recipes.study.compare_page import comparison_page
from recipes.study.comparison import compare
from recipes.study.comparison_show import (
    comparison_csv,
    comparison_dict,
    show_comparison,
    write_text,
)
from recipes.study.design_point import front, goal_of, ranked
from recipes.study.range import STOPPED_BY_HAND, run_range
from recipes.study.range_chart import trade_off_svg
from recipes.study.range_show import range_dict, show_range
from recipes.study.record import record, show_readings
from recipes.terminal import Voice

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable

FINE, STOPPED, BAD_INPUT, BY_HAND = 0, 1, 2, 130


def add_commands(commands: Any, talk: argparse.ArgumentParser) -> None:
    """Add `record` to the parsers of `recipes.cli.commands`; `talk` brings --quiet and --verbose."""
    record = commands.add_parser(
        "record", help="note what was measured, and hear at once what it says", parents=[talk]
    )
    record.add_argument("file", metavar="FILE", type=Path)
    record.add_argument(
        "words",
        metavar="NAME=VALUE",
        nargs="*",
        help="such as lead_u_v='468 mohm'; NAME= strikes it out; none: show what is noted",
    )
    record.add_argument("--json", action="store_true", help="print JSON")

    compare = commands.add_parser(
        "compare", help="designs side by side: which stator is better for what", parents=[talk]
    )
    compare.add_argument("files", metavar="FILE", type=Path, nargs="+")
    compare.add_argument("--json", action="store_true", help="print JSON")
    compare.add_argument("--csv", metavar="CSV", type=Path, help="write every figure")
    compare.add_argument("--page", metavar="HTML", type=Path, help="write one page, with outlines")
    _add_range(commands, talk)


def _add_range(commands: Any, talk: argparse.ArgumentParser) -> None:
    several = commands.add_parser(
        "range", help="many designs over all cores, kept in a table, ranked", parents=[talk]
    )
    several.add_argument("file", metavar="FILE", type=Path)
    several.add_argument(
        "--vary",
        metavar="FIELD=VALUES",
        action="append",
        default=[],
        help="FROM:TO:STEP or A,B,C; several multiply",
    )
    several.add_argument(
        "--csv",
        metavar="CSV",
        type=Path,
        help="table that a later run goes on with; left out: out/<design name>-range.csv",
    )
    several.add_argument(
        "--rank",
        metavar="FIGURE",
        default="torque_per_root_watt",
        help="of results.json or compare; FIGURE:more or FIGURE:less",
    )
    several.add_argument(
        "--against", metavar="FIGURE", default="active_mass_kg", help="second goal of the trade-off"
    )
    several.add_argument("--top", metavar="N", type=_count, default=10, help="designs shown")
    several.add_argument("--plot", metavar="SVG", type=Path, help="draw the trade-off")
    several.add_argument("--jobs", metavar="N", type=_count, help="processes; left out: one a core")
    several.add_argument("--engine", metavar="ADDRESS", help="dask://HOST:PORT of a scheduler")
    several.add_argument("--json", action="store_true", help="print JSON")


def _count(text: str) -> int:
    """Return a whole number above 0; argparse turns the error into one of its own."""
    number = int(text)
    if number < 1:
        raise ValueError(text)
    return number


def handlers(print_json: Callable[[object], None]) -> dict[str, Callable[[Any], int]]:
    """Return command -> function, for `recipes.cli.commands`."""
    return {
        "record": lambda args: _record(args, print_json),
        "compare": lambda args: _compare(args, print_json),
        "range": lambda args: _range(args, print_json),
    }


def _record(args: argparse.Namespace, print_json: Callable[[object], None]) -> int:

    done = record(args.file, args.words)
    if args.json:
        print_json(
            {
                "written": done.written,
                "new_parts": done.new_parts,
                "measured": [asdict(r) for r in done.rows],
            }
        )
        return FINE
    voice = Voice(sys.stdout, args.talk)
    if done.written and args.talk != "quiet":
        voice.say(f"wrote {', '.join(done.written)} into {args.file}")
    show_readings(done.rows, voice)
    if done.new_parts:
        voice.say(
            f"this counts in the design (now revision {done.motor.revision}): lamwright build {args.file}",
            "yellow",
        )
    return FINE


def _compare(args: argparse.Namespace, print_json: Callable[[object], None]) -> int:

    sides = compare(args.files)
    if args.csv:
        write_text(args.csv, comparison_csv(sides))
    if args.page:
        write_text(args.page, comparison_page(sides))
    if args.json:
        print_json(comparison_dict(sides))
    else:
        show_comparison(sides, Voice(sys.stdout, args.talk))
    return STOPPED if any(side.stops for side in sides) else FINE


def _range(args: argparse.Namespace, print_json: Callable[[object], None]) -> int:

    goals = goal_of(args.rank, "--rank"), goal_of(args.against, "--against")
    aside = Voice(sys.stderr, args.talk)
    out = run_range(
        args.file,
        args.vary,
        goals,
        table=args.csv,
        address=args.engine,
        jobs=args.jobs,
        say=lambda text: aside.say(text, "dim"),
    )
    best, trade = ranked(out.done, goals[0]), front(out.done, *goals)
    if args.plot:
        write_text(args.plot, trade_off_svg(out, trade, goals))
    if args.json:
        print_json(range_dict(out, best[: args.top], trade, goals))
    else:
        voice = Voice(sys.stdout, args.talk)
        show_range(out, best, trade, goals, voice, args.top)
    aside.say(f"table: {out.path}")
    if out.stopped:
        aside.say(f"{out.stopped}; the same command goes on with the table", "bold")
        return BY_HAND if out.stopped == STOPPED_BY_HAND else BAD_INPUT
    return FINE if best else STOPPED
