"""`preflight`: words in, the report of a file on disk out."""

from __future__ import annotations

import argparse
import re
import sys
from pathlib import Path

from geometry.formats.drawing_svg import drawing_bytes
from geometry.inspection.cut_file import LARGEST_FILE
from recipes.cli.answer import BAD_INPUT, FINE, STOPPED, picture_ending, print_json
from recipes.design.load import BadInput
from recipes.design.units import to_mm
from recipes.manufacturing.preflight import Report, preflight, unreadable
from recipes.manufacturing.preflight_picture import preflight_picture
from recipes.refusal import bad_input
from recipes.tables.reader import TableError
from recipes.terminal import Talk, Voice, show_findings

#: Thicknesses of sheet that anyone cuts (mm).
THICKNESS = (0.01, 200.0)


def judge_file(args: argparse.Namespace) -> int:
    """Judge a drawing as a shop would."""
    try:
        report = inspect(args.file, args.process, args.thickness, args.sheet)
        if args.picture:
            save_picture(report, args.file, args.picture)
    except BadInput as bad:
        if args.json:
            print_json({"findings": [f.as_dict() for f in bad.findings], "measures": {}})
            return BAD_INPUT
        raise
    if args.json:
        print_json(
            {"findings": [f.as_dict() for f in report.findings], "measures": report.measures}
        )
    else:
        show(report, args.talk)
    return STOPPED if any(f.level == "stop" for f in report.findings) else FINE


def inspect(
    path: Path, process: str = "laser", thickness: str | None = None, sheet: str | None = None
) -> Report:
    """Return the report of the file at `path`.

    Args:
        path: the file.
        process: name of the process table.
        thickness: of the sheet, as people write it: "0.5", "0.02 in".
        sheet: size of the stock: "1000x2000".

    Raises:
        BadInput: file or argument cannot be used; names value, limit and fix.
    """
    t = None if thickness is None else _thickness(thickness)
    stock = None if sheet is None else _sheet(sheet)
    try:
        return preflight(_read(path), process, t, stock, str(path))
    except TableError as error:
        raise _fault("--process", process, str(error), "use one of them") from None


def save_picture(report: Report, path: Path, target: Path) -> None:
    """Write the marked picture of a report of the file `path` to `target`.

    Raises:
        BadInput: the ending is none that can be written.
        OSError: the file cannot be written.
    """
    ending = picture_ending(target)
    target.write_bytes(
        drawing_bytes(preflight_picture(report.findings, report.facts, path.name), ending)
    )


def show(report: Report, talk: Talk = "normal") -> None:
    """Print findings, measures and one sentence."""
    voice = Voice(sys.stdout, talk)
    show_findings(report.findings, voice)
    width = max(len(k) for k in report.measures)
    for key, value in report.measures.items():
        if value is not None and talk != "quiet":
            voice.say(f"{key:{width}}  {value}")
    voice.say(verdict(report), "bold")


def verdict(report: Report) -> str:
    """Answer in one sentence whether a shop would take the file."""
    count = {level: sum(f.level == level for f in report.findings) for level in ("stop", "warn")}
    if count["stop"]:
        return f"Would a shop take it? No: {count['stop']} to mend first."
    if count["warn"]:
        return f"Would a shop take it? Most likely, but look at {count['warn']} first."
    return "Would a shop take it? Yes."


def _read(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        raise unreadable(str(path), "there is no such file", "check the path") from None
    except IsADirectoryError:
        raise unreadable(str(path), "that is a folder", "name the DXF in it") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise unreadable(str(path), reason.lower(), "check path and permissions") from None
    return data


def _thickness(text: str) -> float:
    try:
        value = to_mm(text)
    except ValueError as error:
        raise _fault("--thickness", text, str(error), "write it like 0.5 or '0.02 in'") from None
    low, high = THICKNESS
    if not low <= value <= high:
        raise _fault(
            "--thickness", text, f"must be {low:g} to {high:g} mm", "check the number and its unit"
        )
    return value


def _sheet(text: str) -> tuple[float, float]:
    parts = re.split(r"\s*[x×]\s*", text.strip().lower())
    try:
        width, height = (to_mm(p) for p in parts)
    except ValueError:
        raise _fault("--sheet", text, "is not two sides", "write it like 1000x2000") from None
    if min(width, height) <= 0:
        raise _fault("--sheet", text, "both sides must be above 0 mm", "write it like 1000x2000")
    return width, height


def _fault(field: str, value: str, what: str, fix: str) -> BadInput:
    text = f"{field} {value!r}: {what}"
    return BadInput([bad_input(field, value, text, fix)])
