"""Commands of `lamwright`: words in, recipes called, words out. No geometry, no format."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, NoReturn

from geometry.finding import Finding
from recipes.assess import assess
from recipes.build.build import build
from recipes.cli import commands_several as several
from recipes.cli.preflight import inspect, save_picture, show
from recipes.cli.watch import watch
from recipes.design import Design
from recipes.design.load import BadInput, load
from recipes.design.starter import new_text, starters
from recipes.field.page import CONSTANT, comparison_lines, field_lines, given_figures
from recipes.motor import field_figures, solve
from recipes.refusal import Refused
from recipes.rotor.voltage import SpeedConstant, voltage_findings
from recipes.study.lookup import look_up
from recipes.tables.reader import TableError
from recipes.terminal import Voice, show_findings, show_results, verdict

FINE, STOPPED, BAD_INPUT = 0, 1, 2

SHELLS = ("bash", "zsh", "tcsh")

DESCRIPTION = (
    "From one design file to the laminations, slot liners, axle and winding of a hand-built "
    "external-rotor motor."
)


class _Parser(argparse.ArgumentParser):
    """Argument parser whose errors end with exit status 2 and name the help."""

    def error(self, message: str) -> NoReturn:
        self.exit(BAD_INPUT, f"{self.prog}: {message}\ntry: {self.prog} --help\n")


def parser() -> argparse.ArgumentParser:
    """Return the parser of all commands."""
    top = _Parser(prog="lamwright", description=DESCRIPTION)
    talk = _Parser(add_help=False)
    how_much = talk.add_mutually_exclusive_group()
    how_much.add_argument(
        "-q",
        "--quiet",
        action="store_const",
        dest="talk",
        const="quiet",
        default="normal",
        help="only what must be mended or looked at",
    )
    how_much.add_argument(
        "-v",
        "--verbose",
        action="store_const",
        dest="talk",
        const="verbose",
        help="every figure, every file",
    )
    commands = top.add_subparsers(dest="command", metavar="COMMAND", required=True)

    new = commands.add_parser("new", help="write a commented design file that builds at once")
    new.add_argument("file", metavar="FILE", type=Path)
    new.add_argument(
        "--like",
        metavar="STARTER",
        default="potters-wheel",
        help="a starter, or any file of a pack: its design comes back",
    )

    commands.add_parser("starters", help="list the starters")

    check = commands.add_parser(
        "check", help="findings and results on screen, nothing written", parents=[talk]
    )
    check.add_argument("file", metavar="FILE", type=Path)
    check.add_argument("--json", action="store_true", help="print JSON")

    build = commands.add_parser(
        "build", help="write the whole pack to out/<design name>/", parents=[talk]
    )
    build.add_argument("file", metavar="FILE", type=Path)
    build.add_argument("--out", metavar="DIR", type=Path, default=Path("out"))
    build.add_argument("--parts", metavar="A,B", default="", help="only these recipes")
    build.add_argument("--no-solids", action="store_true", help="no STEP files")
    build.add_argument("--process", metavar="NAME", help="another shop for this build")

    _add_looks(commands, talk)
    several.add_commands(commands, talk)

    commands.add_parser("schema", help="JSON Schema of the design file, for editors")

    complete = commands.add_parser("completion", help="script that lets a shell finish your words")
    complete.add_argument("shell", metavar="SHELL", choices=SHELLS, help="bash, zsh or tcsh")
    return top


def _add_looks(commands: Any, talk: argparse.ArgumentParser) -> None:
    """Add the commands that look at a field, a drawing, a table or a file that is being edited."""
    field = commands.add_parser(
        "field", help="speed constant and torque from the magnetic field", parents=[talk]
    )
    field.add_argument("file", metavar="FILE", type=Path)
    field.add_argument("--json", action="store_true", help="print JSON")
    field.add_argument("--fine", action="store_true", help="a finer mesh, for the cogging torque")

    flight = commands.add_parser(
        "preflight", help="judge any DXF for cutting, as a shop would", parents=[talk]
    )
    flight.add_argument("file", metavar="DXF", type=Path)
    flight.add_argument("--process", metavar="NAME", default="laser", help="how it would be cut")
    flight.add_argument("--thickness", metavar="T", help="of the sheet: 0.5, '0.5 mm', '0.02 in'")
    flight.add_argument("--sheet", metavar="WxH", help="size of the stock: 1000x2000, in mm")
    flight.add_argument("--json", action="store_true", help="print JSON")
    flight.add_argument("--picture", metavar="SVG", type=Path, help="write the spots, marked")

    lookup = commands.add_parser("lookup", help="one row of a standard table, with its source")
    lookup.add_argument(
        "table", metavar="TABLE", help="wire, fit, bearing, winding, steel or paper"
    )
    lookup.add_argument("words", metavar="ARG", nargs="*")
    lookup.add_argument("--json", action="store_true", help="print JSON")

    watch = commands.add_parser(
        "watch", help="rebuild drawings and page on every save, until Ctrl-C", parents=[talk]
    )
    watch.add_argument("file", metavar="FILE", type=Path)
    watch.add_argument("--out", metavar="DIR", type=Path, default=Path("out"))
    watch.add_argument(
        "--port",
        metavar="N",
        type=int,
        default=0,
        help="of the page on this machine; any free one if left out",
    )
    watch.add_argument("--open", action="store_true", help="open the page in the browser")


def run(argv: list[str]) -> int:
    """Run the command in `argv`; return the exit status."""
    args = parser().parse_args(argv)
    command: Callable[[argparse.Namespace], int] = {
        "new": _new,
        "starters": _starters,
        "check": _check,
        "build": _build,
        "field": _field,
        "preflight": _preflight,
        "lookup": _lookup,
        "watch": _watch,
        "schema": _schema,
        "completion": _completion,
        **several.handlers(_print_json),
    }[args.command]

    try:
        return command(args)
    except BadInput as bad:
        return _refuse(bad.findings, getattr(args, "json", False))
    except BrokenPipeError:
        raise  # the reader of our output has gone; `main` ends quietly
    except OSError as error:
        name = f" {error.filename!r}" if error.filename else ""
        print(f"lamwright: cannot write or read{name}: {error.strerror or error}", file=sys.stderr)
        return BAD_INPUT


def _refuse(findings: list[Finding], as_json: bool) -> int:

    if as_json:
        _print_json({"findings": [f.as_dict() for f in findings], "results": {}})
    else:
        show_findings(findings, Voice(sys.stderr))
    return BAD_INPUT


def _print_json(value: object) -> None:
    print(json.dumps(value, indent=2, ensure_ascii=True, allow_nan=False))


def _new(args: argparse.Namespace) -> int:

    text = new_text(args.like, args.file)
    try:
        with args.file.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        print(f"lamwright: {args.file} exists already; choose another name", file=sys.stderr)
        return BAD_INPUT
    print(f"wrote {args.file}; next: lamwright check {args.file}")
    return FINE


def _starters(args: argparse.Namespace) -> int:

    del args
    for name, line in starters():
        print(f"{name:16} {line}")
    return FINE


def _check(args: argparse.Namespace) -> int:

    seen = assess(solve(load(args.file)), whole=args.json or args.talk == "verbose")
    stopped = any(f.level == "stop" for f in seen.findings)
    if args.json:
        _print_json({"findings": [f.as_dict() for f in seen.findings], "results": seen.results})
    else:
        voice = Voice(sys.stdout, args.talk)
        show_findings(seen.findings, voice)
        show_results(seen.results, voice)
        voice.say(verdict(seen.results, seen.findings), "bold")
    return STOPPED if stopped else FINE


def _build(args: argparse.Namespace) -> int:

    return build(
        args.file,
        args.out,
        only=tuple(p.strip() for p in args.parts.split(",") if p.strip()),
        solids=not args.no_solids,
        process=args.process,
        talk=args.talk,
    )


def _field(args: argparse.Namespace) -> int:

    motor = solve(load(args.file))

    def tell(words: str) -> None:
        if args.talk != "quiet":
            print(f"{words} ...", file=sys.stderr, flush=True)

    try:
        figures = field_figures(motor, fine=args.fine, tell=tell)
    except Refused as refused:
        return _refuse(refused.findings, args.json)
    given = motor.speed_constant
    if args.json:
        _print_json(figures | given_figures(given))
        return FINE
    voice = Voice(sys.stdout, args.talk)
    for line in () if args.talk == "quiet" else field_lines(figures):
        voice.say(line)
    for line in comparison_lines(figures, given):
        voice.say(line, "bold")
    predicted = SpeedConstant(float(figures[CONSTANT]), "designed")
    show_findings(voltage_findings(motor.design.motor, predicted), voice)
    return FINE


def _preflight(args: argparse.Namespace) -> int:

    try:
        report = inspect(args.file, args.process, args.thickness, args.sheet)
        if args.picture:
            save_picture(report, args.file, args.picture)
    except BadInput as bad:
        if args.json:
            _print_json({"findings": [f.as_dict() for f in bad.findings], "measures": {}})
            return BAD_INPUT
        raise
    if args.json:
        _print_json(
            {"findings": [f.as_dict() for f in report.findings], "measures": report.measures}
        )
    else:
        show(report, args.talk)
    return STOPPED if any(f.level == "stop" for f in report.findings) else FINE


def _lookup(args: argparse.Namespace) -> int:

    try:
        row = look_up(args.table, args.words)
    except TableError as error:
        print(f"lamwright: {error}", file=sys.stderr)
        return BAD_INPUT
    if args.json:
        _print_json(row)
    else:
        width = max(len(k) for k in row)
        for key, value in row.items():
            print(f"{key:{width}}  {f'{value:.6g}' if isinstance(value, float) else value}")
    return FINE


def _watch(args: argparse.Namespace) -> int:

    return watch(args.file, args.out, port=args.port, talk=args.talk, show=args.open)


def _schema(args: argparse.Namespace) -> int:

    del args
    schema = Design.model_json_schema(mode="validation")
    _print_json({"$schema": "https://json-schema.org/draft/2020-12/schema", **schema})
    return FINE


def _completion(args: argparse.Namespace) -> int:
    import shtab

    top = parser()
    _complete_paths(top)
    print(shtab.complete(top, args.shell))
    return FINE


def _complete_paths(top: argparse.ArgumentParser) -> None:
    """Let the shell offer files where a word is a path."""
    import shtab

    for action in top._actions:
        if isinstance(action, argparse._SubParsersAction):
            for below in action.choices.values():
                _complete_paths(below)
        elif action.type is Path:
            action.complete = shtab.DIRECTORY if action.metavar == "DIR" else shtab.FILE  # type: ignore[attr-defined] # shtab reads it
