"""Everything to order, to make and to have at hand for one motor: the bill of materials."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from geometry.part import Part
from recipes.order.fittings import fitting_lines
from recipes.order.line import ADDRESSEES, KINDS, Addressee, OrderLine
from recipes.order.parts import Origin, part_lines
from recipes.order.supplies import supply_lines
from recipes.order.tools import tool_lines

if TYPE_CHECKING:
    from recipes.job import Job

__all__ = ["OrderLine", "order_lines", "total_cost"]


def order_lines(job: Job, parts: Iterable[Part]) -> tuple[OrderLine, ...]:
    """Return the lines of an order: by addressee, parts before supplies before tools.

    Args:
        job: a design without findings of level `stop`.
        parts: any parts of the catalogue; each gets one line, with its quantity.

    Raises:
        Refused: something that the design is made of does not exist or does not fit.
    """
    made = tuple(parts)
    lines = [
        *part_lines(job, made, _origins(job)),
        *_setup(job),
        *supply_lines(job, made),
        *fitting_lines(job, made),
        *tool_lines(job),
    ]
    return tuple(sorted(lines, key=_place))


def _place(line: OrderLine) -> tuple[int, int, bool]:
    """Order by addressee and kind; what is cut first comes first."""
    later = not (line.kind == "part" and line.purpose)
    return ADDRESSEES.index(line.addressee), KINDS.index(line.kind), later


def total_cost(lines: Iterable[OrderLine], addressee: Addressee | None = None) -> float | None:
    """Return the sum of the costs that are known, of one addressee or of all; None without any."""
    costs = [
        line.cost for line in lines if line.cost is not None and addressee in (None, line.addressee)
    ]
    return sum(costs) if costs else None


def _origins(job: Job) -> dict[str, Origin]:
    """Return for every part of the catalogue where it comes from."""
    from recipes.catalogue import RECIPES

    found: dict[str, Origin] = {}
    for recipe in RECIPES:
        made = job.parts[recipe.name]
        flat = [part.name for part in made if part.cut]
        for part in made:
            found[part.name] = Origin(recipe.files, flat[0] if flat else part.name)
    return found


def _setup(job: Job) -> list[OrderLine]:
    rate = job.design.rates.setup
    if rate is None or job.design.shop.process == "own":
        return []
    return [
        OrderLine(
            "cutting shop", "charge", "set-up", 1, "order",
            cost=rate, confidence="yours", source="rates.setup",
        )
    ]  # fmt: skip
