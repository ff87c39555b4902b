"""Commands about several designs, and about the bench: words in, recipes called, words out."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from recipes.report import Voice

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable

FINE, STOPPED = 0, 1


def add_commands(commands: Any, talk: argparse.ArgumentParser) -> None:
    """Add `record` to the parsers of `recipes.cli`; `talk` brings --quiet and --verbose."""
    record = commands.add_parser(
        "record", help="note what was measured, and hear at once what it says", parents=[talk]
    )
    record.add_argument("file", metavar="FILE", type=Path)
    record.add_argument(
        "words", metavar="NAME=VALUE", nargs="*",
        help="such as lead_u_v='468 mohm'; NAME= strikes it out; none: show what is noted",
    )  # fmt: skip
    record.add_argument("--json", action="store_true", help="print JSON")

    compare = commands.add_parser(
        "compare", help="designs side by side: which stator is better for what", parents=[talk]
    )
    compare.add_argument("files", metavar="FILE", type=Path, nargs="+")
    compare.add_argument("--json", action="store_true", help="print JSON")
    compare.add_argument("--csv", metavar="CSV", type=Path, help="write every figure")
    compare.add_argument("--page", metavar="HTML", type=Path, help="write one page, with outlines")


def handlers(print_json: Callable[[object], None]) -> dict[str, Callable[[Any], int]]:
    """Return command -> function, for `recipes.cli`."""
    return {
        "record": lambda args: _record(args, print_json),
        "compare": lambda args: _compare(args, print_json),
    }


def _record(args: argparse.Namespace, print_json: Callable[[object], None]) -> int:
    from dataclasses import asdict

    from recipes.measured.show import show_beside
    from recipes.pack.record import record

    done = record(args.file, args.words)
    if args.json:
        print_json(
            {"written": done.written, "new_parts": done.new_parts, "measured": [asdict(r) for r in done.rows]}
        )  # fmt: skip
        return FINE
    voice = Voice(sys.stdout, args.talk)
    if done.written and args.talk != "quiet":
        voice.say(f"wrote {', '.join(done.written)} into {args.file}")
    show_beside(done.rows, voice)
    if done.new_parts:
        voice.say(
            f"this counts in the design (now revision {done.job.revision}): lamwright build {args.file}",
            "yellow",
        )
    return FINE


def _compare(args: argparse.Namespace, print_json: Callable[[object], None]) -> int:
    from recipes.pack.compare import compare, write_text

    sides = compare(args.files)
    if args.csv:
        from recipes.compare.table import comparison_csv

        write_text(args.csv, comparison_csv(sides))
    if args.page:
        from recipes.pack.compare_page import comparison_page

        write_text(args.page, comparison_page(sides))
    if args.json:
        from recipes.compare.table import comparison_dict

        print_json(comparison_dict(sides))
    else:
        from recipes.compare.show import show_comparison

        show_comparison(sides, Voice(sys.stdout, args.talk))
    return STOPPED if any(side.stops for side in sides) else FINE
