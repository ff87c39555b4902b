"""`lookup`: one row of a standard table as a flat mapping, with its source."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from recipes.tables import TableError

Row = dict[str, float | int | str]


def look_up(table: str, words: Sequence[str]) -> Row:
    """Return one row.

    Args:
        table: "wire", "fit", "bearing", "winding", "steel" or "paper".
        words: what to look for, as typed: `0.71 mm 2`, `25 h6`, `6005`, `24 28`, `M400-50A`,
            `aramid 0.18`.

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
    from recipes.wire_table import find_wire

    grade = 2
    if (len(words) > 1 and words[-1] in ("1", "2", "3") and words[0].lower() != "awg") or (len(words) > 2 and words[-1] in ("1", "2", "3")):
        grade = int(words.pop())
    text = " ".join(words)
    return find_wire(float(text) if _is_number(text) else text, grade).as_row()


def _fit(words: list[str]) -> Row:
    from recipes.fits import fit_limits

    return fit_limits(float(words[0]), words[1]).as_row()


def _bearing(words: list[str]) -> Row:
    from recipes.bearings import bearing

    return bearing(" ".join(words)).as_row()


def _winding(words: list[str]) -> Row:
    from recipes.winding_neighbours import as_row

    return dict(as_row(int(words[0]), int(words[1])))


def _steel(words: list[str]) -> Row:
    from recipes.steel import steel_grade

    return steel_grade(" ".join(words)).as_row()


def _paper(words: list[str]) -> Row:
    from recipes.paper import paper

    text = " ".join(words[1:])
    return paper(words[0], float(text) if _is_number(text) else text).as_row()


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


#: Table name: (how to find its row, an example).
TABLES: dict[str, tuple[Callable[[list[str]], Row], str]] = {
    "wire": (_wire, "0.71 mm 2"),
    "fit": (_fit, "25 h6"),
    "bearing": (_bearing, "6005"),
    "winding": (_winding, "24 28"),
    "steel": (_steel, "M400-50A"),
    "paper": (_paper, "aramid 0.18"),
}
