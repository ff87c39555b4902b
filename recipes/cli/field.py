"""`field`: figures of one design file from its magnetic field."""

from __future__ import annotations

import argparse
import sys
from dataclasses import replace

from geometry.formats.drawing_svg import drawing_bytes
from recipes.cli.answer import FINE, picture_ending, print_json, refuse
from recipes.design.load import load
from recipes.field.flux_view import flux_view
from recipes.field.page import comparison_lines, field_lines, given_figures
from recipes.kept_field import field_answer, keep, solved_field
from recipes.motor import solve
from recipes.refusal import Refused
from recipes.rotor.voltage import speed_constant_findings, voltage_findings
from recipes.terminal import Voice, show_findings


def field(args: argparse.Namespace) -> int:
    """Solve the field and hold it against the speed constant that is given."""
    motor = solve(load(args.file))
    ending = picture_ending(args.picture) if args.picture else ""

    def tell(words: str) -> None:
        if args.talk != "quiet":
            print(f"{words} ...", file=sys.stderr, flush=True)

    try:
        solved = solved_field(motor, fine=args.fine, tell=tell)
        found = field_answer(motor, solved, fine=args.fine, tell=tell)
    except Refused as refused:
        return refuse(refused.findings, args.json)
    if not args.fine:
        keep(motor, found)
    if args.picture:
        drawn = flux_view(
            solved, motor.circuit.phase_current_A, motor.design.name, motor.design.wording
        )
        args.picture.write_bytes(drawing_bytes(drawn, ending))
    given, figures = motor.speed_constant, dict(found.figures)
    if args.json:
        print_json(figures | given_figures(given))
        return FINE
    voice = Voice(sys.stdout, args.talk)
    for line in () if args.talk == "quiet" else field_lines(figures):
        voice.say(line)
    for line in comparison_lines(found.prediction, given):
        voice.say(line, "bold")
    both = replace(given, predicted=found.prediction)
    told = [*speed_constant_findings(both), *voltage_findings(motor.design.motor, both)]
    show_findings(told, voice)
    return FINE
