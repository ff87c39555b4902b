"""Commands of `lamwright`: words in, recipes called, words out. No geometry, no format."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Any, NoReturn

from recipes.cli.answer import BAD_INPUT, FINE, refuse
from recipes.design.load import BadInput

#: Function of each command, looked up when it is chosen: no command loads what only others need.
HANDLERS = {
    "new": "recipes.cli.design_file:new",
    "starters": "recipes.cli.design_file:list_starters",
    "check": "recipes.cli.check:check",
    "build": "recipes.cli.build:build_pack",
    "field": "recipes.cli.field:field",
    "preflight": "recipes.cli.preflight:judge_file",
    "record": "recipes.cli.study:note_measured",
    "compare": "recipes.cli.study:compare_designs",
    "range": "recipes.cli.study:run_through",
    "lookup": "recipes.cli.lookup:lookup",
    "watch": "recipes.cli.watch:watch_file",
    "schema": "recipes.cli.design_file:schema",
    "completion": "recipes.cli.commands:completion",
}

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
    _add_several(commands, talk)

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
    words = "write lines of flux and flux density, as SVG or PDF"
    field.add_argument("--picture", metavar="SVG", type=Path, help=words)

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
        "table", metavar="TABLE", help="wire, fit, bearing, tube, winding, steel or paper"
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


def _add_several(commands: Any, talk: argparse.ArgumentParser) -> None:
    """Add the commands about several designs and about the bench."""
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
    compare.add_argument("--quick", action="store_true", help="magnetic circuit: solve no field")
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
    several.add_argument("--quick", action="store_true", help="magnetic circuit: solve no field")
    several.add_argument("--json", action="store_true", help="print JSON")


def _count(text: str) -> int:
    """Return a whole number above 0; argparse turns the error into one of its own."""
    number = int(text)
    if number < 1:
        raise ValueError(text)
    return number


def run(argv: list[str]) -> int:
    """Run the command in `argv`; return the exit status."""
    args = parser().parse_args(argv)
    module, _, name = HANDLERS[args.command].partition(":")
    command: Callable[[argparse.Namespace], int] = getattr(import_module(module), name)
    try:
        return command(args)
    except BadInput as bad:
        return refuse(bad.findings, getattr(args, "json", False))
    except BrokenPipeError:
        raise  # the reader of our output has gone; `main` ends quietly
    except OSError as error:
        name = f" {error.filename!r}" if error.filename else ""
        print(f"lamwright: cannot write or read{name}: {error.strerror or error}", file=sys.stderr)
        return BAD_INPUT


def completion(args: argparse.Namespace) -> int:
    """Print the script that lets a shell finish words."""
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
