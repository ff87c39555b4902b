"""`lookup`: one row of a standard table as a flat mapping, with its source."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from recipes.design.units import is_number
from recipes.study.neighbours import as_row, neighbours
from recipes.tables.bearings import bearing
from recipes.tables.fits import fit_limits
from recipes.tables.paper import paper
from recipes.tables.reader import TableError
from recipes.tables.retaining_rings import retaining_ring
from recipes.tables.steel import steel_grade
from recipes.tables.steel_tubes import find_tube
from recipes.tables.threads import screw_thread
from recipes.tables.wire import find_wire
from recipes.winding.layout import CoilSides

Row = dict[str, float | int | str]


def look_up(table: str, words: Sequence[str]) -> Row:
    """Return one row.

    Args:
        table: "wire", "fit", "bearing", "tube", "ring", "thread", "winding", "steel" or "paper".
        words: what to look for, as typed: `0.71 mm 2`, `25 h6`, `6005`, `NPS 3/4 schedule 80`,
            `25`, `M10x1`, `24 28`, `M400-50A`, `aramid 0.18`.

    Raises:
        TableError: unknown table, wrong number of words, or no such row; says what would do.
    """
    if table not in TABLES:
        raise TableError(f"table {table!r} is unknown; known: {', '.join(TABLES)}")
    call, usage = TABLES[table]
    if not words:
        raise TableError(f"say what to look for, such as: lookup {table} {usage}")
    try:
        return call(list(words))
    except (ValueError, IndexError) as error:
        if isinstance(error, TableError):
            raise
        text = str(error) if isinstance(error, ValueError) else "too few words"
        raise TableError(f"{text}; such as: lookup {table} {usage}") from None


def _wire(words: list[str]) -> Row:
    grade = 2
    if (len(words) > 1 and words[-1] in ("1", "2", "3") and words[0].lower() != "awg") or (
        len(words) > 2 and words[-1] in ("1", "2", "3")
    ):
        grade = int(words.pop())
    text = " ".join(words)
    return find_wire(float(text) if is_number(text) else text, grade).as_row()


def _fit(words: list[str]) -> Row:
    return fit_limits(float(words[0]), words[1]).as_row()


def _bearing(words: list[str]) -> Row:
    return bearing(" ".join(words)).as_row()


def _tube(words: list[str]) -> Row:

    return find_tube(" ".join(words)).as_row()


def _ring(words: list[str]) -> Row:
    return retaining_ring(float(words[0])).as_row()


def _thread(words: list[str]) -> Row:
    return screw_thread(" ".join(words)).as_row()


def _winding(words: list[str]) -> Row:
    slots, poles = int(words[0]), int(words[1])
    sides: CoilSides = "alternate teeth" if words[2:3] == ["alternate"] else "every tooth"
    row: Row = dict(as_row(slots, poles, sides))
    for other in neighbours(slots, poles, sides):
        pull = "balanced" if other.pull_balanced else "unbalanced pull"
        row[f"neighbour_{other.rank}"] = (
            f"{other.slots}/{other.poles}: {other.winding_factor:.3f}, "
            f"{other.cogging_cycles} cogging cycles, {pull}, paths "
            f"{' '.join(map(str, other.parallel_paths))}{', asked' if other.asked else ''}"
        )
    return row


def _steel(words: list[str]) -> Row:
    return steel_grade(" ".join(words)).as_row()


def _paper(words: list[str]) -> Row:
    text = " ".join(words[1:])
    return paper(words[0], float(text) if is_number(text) else text).as_row()


#: Table name: (how to find its row, an example).
TABLES: dict[str, tuple[Callable[[list[str]], Row], str]] = {
    "wire": (_wire, "0.71 mm 2"),
    "fit": (_fit, "25 h6"),
    "bearing": (_bearing, "6005"),
    "tube": (_tube, "NPS 3/4 schedule 80"),
    "ring": (_ring, "25"),
    "thread": (_thread, "M10x1"),
    "winding": (_winding, "24 28"),
    "steel": (_steel, "M400-50A"),
    "paper": (_paper, "aramid 0.18"),
}
