"""Commands about several designs, and about the bench: `record`, `compare`, `range`."""

from __future__ import annotations

import argparse
import sys
from dataclasses import asdict

from recipes.cli.answer import BAD_INPUT, BY_HAND, FINE, STOPPED, print_json
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


def note_measured(args: argparse.Namespace) -> int:
    """Note what was measured, and say what it means."""
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


def compare_designs(args: argparse.Namespace) -> int:
    """Show designs side by side."""
    sides = compare(args.files, quick=args.quick, tell=lambda text: _aside(args, f"{text} ..."))
    if args.csv:
        write_text(args.csv, comparison_csv(sides))
    if args.page:
        write_text(args.page, comparison_page(sides))
    if args.json:
        print_json(comparison_dict(sides))
    else:
        show_comparison(sides, Voice(sys.stdout, args.talk))
    return STOPPED if any(side.stops for side in sides) else FINE


def _aside(args: argparse.Namespace, text: str) -> None:
    """Say what is being done, where nobody takes it for the answer; nothing if that is not wanted."""
    if args.talk != "quiet":
        Voice(sys.stderr, args.talk).say(text, "dim")


def run_through(args: argparse.Namespace) -> int:
    """Solve many designs, and rank them."""
    goals = goal_of(args.rank, "--rank"), goal_of(args.against, "--against")
    aside = Voice(sys.stderr, args.talk)
    out = run_range(
        args.file,
        args.vary,
        goals,
        table=args.csv,
        address=args.engine,
        jobs=args.jobs,
        quick=args.quick,
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
