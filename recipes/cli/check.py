"""`check`: findings and results of one design file."""

from __future__ import annotations

import argparse
import sys

from recipes.assess import assess
from recipes.cli.answer import FINE, STOPPED, print_json
from recipes.design.load import load
from recipes.motor import solve
from recipes.terminal import Voice, show_findings, show_results, verdict


def check(args: argparse.Namespace) -> int:
    """Judge a design file on screen; nothing is written."""
    seen = assess(solve(load(args.file)), whole=args.json or args.talk == "verbose")
    stopped = any(f.level == "stop" for f in seen.findings)
    if args.json:
        print_json({"findings": [f.as_dict() for f in seen.findings], "results": seen.results})
    else:
        voice = Voice(sys.stdout, args.talk)
        show_findings(seen.findings, voice)
        show_results(seen.results, voice)
        voice.say(verdict(seen.results, seen.findings), "bold")
    return STOPPED if stopped else FINE
