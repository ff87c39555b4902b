"""Finding: one thing that somebody should know about a design or a drawing."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any, Literal

Level = Literal["stop", "warn", "note"]
Confidence = Literal["standard", "maker", "practice", "yours"]
LEVELS: tuple[Level, ...] = ("stop", "warn", "note")


@dataclass(frozen=True)
class Finding:
    """What was found, where, against which limit, and what to do about it.

    Args:
        level: `stop` (do not order or wind this), `warn` (look first) or `note`.
        code: short name of the rule.
        field: dotted name of the design field to change, or of the thing measured.
        value: what it is, with its unit in `message`.
        limit: what it should be.
        message: the sentence for the person who builds.
        fix: what to change, and to what.
        source: where the limit comes from.
        confidence: how sure the limit is.
        where: the place (x, y) in mm, if there is one.
    """

    level: Level
    code: str
    field: str
    value: float | int | str | None
    limit: float | int | str | None
    message: str
    fix: str
    source: str
    confidence: Confidence
    where: tuple[float, float] | None = None

    def as_dict(self) -> dict[str, Any]:
        """Return a plain dict for JSON."""
        return asdict(self)
