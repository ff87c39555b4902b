"""How a recipe says no: findings that name field, value, limit and fix."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from typing import Any, Final, NoReturn, TypeVar, cast

from geometry.errors import GeometryError
from geometry.finding import Confidence, Finding, Level


class Refused(Exception):
    """The design cannot be made as it stands; `findings` say why, one for each reason."""

    def __init__(self, *findings: Finding) -> None:
        """Keep the findings."""
        self.findings = list(findings)
        super().__init__("; ".join(f.message for f in findings))


def refuse_stops(findings: Iterable[Finding]) -> None:
    """Raise Refused if one of the findings is a stop, with every stop among them."""
    stops = [f for f in findings if f.level == "stop"]
    if stops:
        raise Refused(*stops)


def finding(
    level: Level,
    code: str,
    field: str,
    message: str,
    *,
    fix: str,
    value: float | int | str | None = None,
    limit: float | int | str | None = None,
    source: str = "geometry of this design",
    confidence: Confidence = "standard",
    where: tuple[float, float] | None = None,
) -> Finding:
    """Return a finding; lengths and places are rounded to a ten-thousandth of a millimetre.

    Args: as those of `geometry.finding.Finding`; `stop`, `warn` and `note` say the level by name.
    """
    place = (round(where[0], 4) + 0.0, round(where[1], 4) + 0.0) if where else None
    return Finding(
        level, code, field, _short(value), _short(limit), message, fix, source, confidence, place
    )


#: Do not order or wind this.
stop = partial(finding, "stop")
#: Look first.
warn = partial(finding, "warn")
#: Good to know.
note = partial(finding, "note")


def bad_input(
    field: str,
    value: float | int | str | None,
    message: str,
    fix: str,
    limit: float | int | str | None = None,
) -> Finding:
    """Return the `stop` finding for what was typed wrong, in a file or on the command line."""
    return Finding("stop", "bad-input", field, value, limit, message, fix, "", "yours")


def misfit(error: GeometryError, field: str, fix: str = "") -> Finding:
    """Return the `stop` finding for a shape that `geometry` could not make."""
    return Finding(
        "stop",
        "impossible-shape",
        field,
        _short(error.value),
        _short(error.limit),
        f"{field}: {error.reason}",
        fix or error.hint or "change this field or its neighbours",
        "geometry of this design",
        "standard",
        error.where,
    )


def _short(value: float | int | str | None) -> float | int | str | None:
    return round(value, 4) if isinstance(value, float) else value


Fact = TypeVar("Fact")


class Missing:
    """Stands for a fact that cannot be had; whoever looks at it gets the `Refused` that says why."""

    def __init__(self, refused: Refused) -> None:
        """Keep the reasons."""
        self._findings: Final = tuple(refused.findings)

    def _refuse(self, *_: object) -> NoReturn:
        raise Refused(*self._findings)

    def __getattr__(self, name: str) -> Any:
        """Raise `Refused`; names with two underscores are left to Python (copying, pickling)."""
        if name.startswith("__"):
            raise AttributeError(name)
        self._refuse()

    __bool__ = __len__ = __iter__ = __getitem__ = __contains__ = __call__ = _refuse
    __float__ = __int__ = __index__ = __neg__ = __abs__ = __round__ = _refuse
    __add__ = __radd__ = __sub__ = __rsub__ = __mul__ = __rmul__ = _refuse
    __truediv__ = __rtruediv__ = __floordiv__ = __rfloordiv__ = __mod__ = __rmod__ = _refuse
    __pow__ = __rpow__ = __lt__ = __le__ = __gt__ = __ge__ = _refuse
    __format__ = __str__ = _refuse


def known(work: Callable[[], Fact]) -> Fact:
    """Return what `work` returns, or a `Missing` in its place if it is refused."""
    try:
        return work()
    except Refused as refused:
        return cast("Fact", Missing(refused))


def known_or_none(work: Callable[[], Fact]) -> Fact | None:
    """Return what `work` returns, or None if it is refused."""
    try:
        return work()
    except Refused:
        return None
