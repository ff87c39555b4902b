"""What every command answers with: exit statuses, JSON, and the findings of a refusal."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from geometry.finding import Finding
from geometry.formats.drawing_svg import ENDINGS
from recipes.design.load import BadInput
from recipes.refusal import bad_input
from recipes.terminal import Voice, show_findings

FINE, STOPPED, BAD_INPUT, BY_HAND = 0, 1, 2, 130


def print_json(value: object) -> None:
    """Print a value as JSON, the same bytes on every terminal."""
    print(json.dumps(value, indent=2, ensure_ascii=True, allow_nan=False))


def refuse(findings: list[Finding], as_json: bool) -> int:
    """Say why a command cannot go on; return its exit status."""
    if as_json:
        print_json({"findings": [f.as_dict() for f in findings], "results": {}})
    else:
        show_findings(findings, Voice(sys.stderr))
    return BAD_INPUT


def picture_ending(target: Path) -> str:
    """Return the ending of a picture that is asked for; raises BadInput for one that nobody writes."""
    if target.suffix.lower() not in ENDINGS:
        fix = f"let its name end in {' or '.join(ENDINGS)}"
        message = f"--picture {str(target)!r}: cannot be written as {target.suffix!r}"
        raise BadInput([bad_input("--picture", str(target), message, fix)])
    return target.suffix
