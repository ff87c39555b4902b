"""`check`: findings and results of one design file."""

from __future__ import annotations

import argparse
import sys

from recipes.assess import assess
from recipes.cli.answer import FINE, STOPPED, print_json
from recipes.design.load import load
from recipes.design.units import MM_PER_INCH
from recipes.field.page import prediction_lines
from recipes.kept_field import kept
from recipes.motor import solve
from recipes.terminal import Voice, show_findings, show_results, verdict


def check(args: argparse.Namespace) -> int:
    """Judge a design file on screen; nothing is written."""
    motor = solve(design := load(args.file))
    if answer := kept(motor):
        motor = solve(design, answer)
    seen = assess(motor, whole=args.json or args.talk == "verbose")
    stopped = any(f.level == "stop" for f in seen.findings)
    if args.json:
        print_json({"findings": [f.as_dict() for f in seen.findings], "results": seen.results})
    else:
        voice = Voice(sys.stdout, args.talk)
        show_findings(seen.findings, voice)
        for line in prediction_lines(motor.speed_constant) if args.talk != "quiet" else ():
            voice.say(line)
        show_results(seen.results, voice, MM_PER_INCH if motor.design.units == "in" else None)
        voice.say(verdict(seen.results, seen.findings), "bold")
    return STOPPED if stopped else FINE
