"""Every finding that any test brings about is well formed."""

from __future__ import annotations

import re
from typing import Any, get_args

from geometry.finding import LEVELS, Confidence, Finding

#: A dotted name of the design file or of a figure worked out.
FIELD = re.compile(r"[a-z0-9_]+(\[[0-9]+\]|\.[a-z0-9_]+)*")


def check(found: Finding) -> None:
    """Assert what holds for every finding whatever it says."""
    assert found.level in LEVELS, found
    assert found.confidence in get_args(Confidence), found
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", found.code), found
    assert isinstance(found.field, str), found
    # What is "yours" may repeat a name that somebody mistyped; "--csv" and "POINT" have no dot.
    if "." in found.field and " " not in found.field and found.confidence != "yours":
        assert FIELD.fullmatch(found.field), found
    for number in (found.value, found.limit):
        assert number is None or isinstance(number, float | int | str), found
        # A sentence here is an argument that slipped by one place; a path or a list may be long.
        free = found.field == "file" or found.field.startswith("--")
        assert free or not (isinstance(number, str) and len(number) > 80), found
    for text in (found.message, found.fix, found.source):
        assert isinstance(text, str), found
    assert found.message, found


def guard() -> None:
    """Check every finding from now on as it is made."""
    made: Any = Finding.__init__

    def checked(self: Finding, *values: Any, **named: Any) -> None:
        made(self, *values, **named)
        check(self)

    Finding.__init__ = checked  # type: ignore[method-assign]
