"""Errors of the shape layer: every one names the place, the value, the limit and the way out."""

from __future__ import annotations


class GeometryError(ValueError):
    """A shape that cannot be made as asked.

    Args:
        message: what went wrong, in words.
        where: the place (x, y) in mm, if there is one.
        value: the number that was asked for, in mm unless the message says otherwise.
        limit: the number that would still do.
        hint: what to change.
    """

    def __init__(
        self,
        message: str,
        *,
        where: tuple[float, float] | None = None,
        value: float | None = None,
        limit: float | None = None,
        hint: str = "",
    ) -> None:
        """Keep the facts beside the text so that a caller can turn them into a finding."""
        self.reason = message
        self.where = where
        self.value = value
        self.limit = limit
        self.hint = hint
        place = f" at ({where[0]:.3f}, {where[1]:.3f}) mm" if where else ""
        super().__init__(f"{message}{place}{'; ' + hint if hint else ''}")
