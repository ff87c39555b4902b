"""The loader of the standard tables, and what every table has to obey."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import FrozenInstanceError

import pytest

from recipes.tables import (
    bearings,
    fits,
    insulation,
    paper,
    retaining_rings,
    steel,
    steel_tubes,
    threads,
)
from recipes.tables import wire as wire_table
from recipes.tables.reader import (
    TableError,
    TableFileError,
    TableRow,
    finite,
    load_table,
    parse_table,
)
from tests.places import ROOT

DATA = ROOT / "recipes" / "tables" / "data"
FILES = sorted(p.name for p in DATA.glob("*.csv"))
MODULES = [
    "bearings",
    "copper",
    "fits",
    "insulation",
    "keys",
    "paper",
    "retaining_rings",
    "steel",
    "steel_tubes",
    "reader",
    "threads",
    "wire",
]

HEAD = "# standard: X 1\n# edition: 1999\n# unit: mm\n# checked: by hand\n"


def names(file: str, column: str) -> list[str]:
    return [cells.text(column) for cells in load_table(file).rows]


def every_row() -> list[TableRow]:
    """One of each row that the modules hand out."""
    sizes = (4.7, 9.1, 17.3, 29.0, 44.0, 71.0, 118.0)
    return [
        *wire_table.list_wires(wire_table.IEC, 1),
        *wire_table.list_wires(wire_table.IEC, 2),
        *wire_table.list_wires(wire_table.IEC, 3),
        *wire_table.list_wires(wire_table.NEMA, "single"),
        *wire_table.list_wires(wire_table.NEMA, "heavy"),
        *(fits.fit_limits(size, fit) for size in sizes for fit in fits.list_fits()),
        *(bearings.bearing(n) for n in names("iso15_bearings.csv", "designation")),
        *(bearings.bearing(n) for n in names("inch_bearings.csv", "designation")),
        *steel_tubes.list_tubes(),
        *(retaining_rings.retaining_ring(float(n)) for n in names("din471_rings.csv", "shaft_mm")),
        *(threads.screw_thread(n) for n in names("screw_threads.csv", "name")),
        *(steel.steel_grade(n) for n in names("en10106_grades.csv", "grade")),
        *paper.list_papers(),
        *(insulation.creepage(volts, degree) for volts in (11.0, 54.6) for degree in (1, 2, 3)),
    ]


def test_all_files_are_in_the_package() -> None:
    assert [name for name in FILES if not (DATA / name).is_file()] == []


@pytest.mark.parametrize("name", FILES)
def test_every_file_states_standard_edition_unit_and_check(name: str) -> None:
    table = load_table(name)
    for key in ("standard", "edition", "unit", "checked"):
        assert table.header[key], key
    for cells in table.rows:
        assert len(table.source(cells)) > 5
        for column, text in cells.values.items():
            if column.endswith(("_mm", "_um", "_mil", "_T", "_V", "_C", "_factor")) and text:
                assert cells.number(column) == float(text)


@pytest.mark.parametrize("name", FILES)
def test_every_source_code_in_the_head_is_used(name: str) -> None:
    table = load_table(name)
    in_head = {key.removeprefix("source ") for key in table.header if key.startswith("source ")}
    assert in_head == {cells.values.get("source", "") for cells in table.rows} - {""}


@pytest.mark.parametrize("name", FILES)
def test_every_row_is_there_once(name: str) -> None:
    rows = [tuple(cells.values.values()) for cells in load_table(name).rows]
    assert len(set(rows)) == len(rows)


def test_every_row_is_flat_plain_and_has_a_source() -> None:
    rows = every_row()
    assert len(rows) > 430
    for row in rows:
        flat = row.as_row()
        assert flat["source"]
        assert flat["confidence"] in ("standard", "maker")
        assert {type(value) for value in flat.values()} <= {float, int, str, bool}
        assert json.loads(json.dumps(flat, allow_nan=False)) == flat


def test_rows_are_immutable() -> None:
    wire = wire_table.metric_wire(0.75, 2)
    with pytest.raises(FrozenInstanceError):
        wire.bare_mm = 0.8  # type: ignore[misc]  # the point of the test


def test_unknown_fields_are_left_out_of_a_row() -> None:
    film = paper.paper("polyester", 0.036)
    assert film.ac_strength_kv_per_mm is None
    assert "ac_strength_kv_per_mm" not in film.as_row()
    assert film.as_row()["thickness_mm"] == 0.036


def test_a_source_code_becomes_its_text() -> None:
    table = parse_table("t.csv", HEAD + "# source A: some book\nsize,source\n3.5,A\n4.5,\n")
    assert [table.source(cells) for cells in table.rows] == ["X 1:1999; some book", "X 1:1999"]
    bad = parse_table("t.csv", HEAD + "size,source\n3.5,B\n")
    with pytest.raises(TableFileError, match="line 6: no '# source B:'"):
        bad.source(bad.rows[0])


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("# standard: X\nsize\n3.5\n", "no edition, unit, checked"),
        (HEAD, "no rows"),
        (HEAD + "a,b\n1,2,3\n", "line 6: 3 cells, but 2 columns"),
    ],
)
def test_a_broken_file_is_refused(text: str, message: str) -> None:
    with pytest.raises(TableFileError, match=message):
        parse_table("t.csv", text)


@pytest.mark.parametrize("cell", ["abc", "nan", "inf", "1.5x"])
def test_a_cell_that_is_no_number_is_refused(cell: str) -> None:
    cells = parse_table("t.csv", f"{HEAD}size\n{cell}\n").rows[0]
    with pytest.raises(TableFileError, match="line 6: size = "):
        cells.number("size")


def test_an_empty_cell_is_none_or_refused() -> None:
    cells = parse_table("t.csv", HEAD + "a,b\n1.5,\n").rows[0]
    assert cells.maybe("b") is None
    with pytest.raises(TableFileError, match="b is empty"):
        cells.number("b")
    with pytest.raises(TableFileError, match="no column 'c'"):
        cells.text("c")


@pytest.mark.parametrize("value", [True, None, "3", float("nan"), float("inf"), 10**400])
def test_finite_refuses_what_is_no_number(value: object) -> None:
    with pytest.raises(TableError, match=r"size_mm = .* give a finite number in mm"):
        finite("size_mm", value, "mm")


def test_finite_takes_numbers() -> None:
    assert finite("size_mm", 3) == 3.0
    assert finite("size_mm", 3.5) == 3.5


def run(code: str, **environment: str) -> str:
    """What a fresh interpreter prints."""
    result = subprocess.run(
        [sys.executable, "-X", "utf8=0", "-c", code],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
        capture_output=True,
        text=True,
        check=True,
    )
    return result.stdout.strip()


def test_importing_reads_nothing_and_loads_nothing_heavy() -> None:
    names = ", ".join(f"recipes.tables.{name}" for name in MODULES) + ", recipes.design.units"
    heavy = "{'pint', 'pandas', 'cadquery', 'ezdxf', 'scipy', 'csv'}"
    code = (
        f"import sys, {names}\n"
        "print(recipes.tables.reader.load_table.cache_info().currsize, "
        f"sorted({heavy} & set(sys.modules)))"
    )
    assert run(code) == "0 []"


def test_metric_and_inch_lengths_need_no_pint() -> None:
    code = (
        "import sys\n"
        "from recipes.tables.wire import find_wire\n"
        "a, b = find_wire('0.71 mm', 2), find_wire('0.0201 in', 2)\n"
        "print(a.overall_max_mm, b.label, 'pint' in sys.modules)"
    )
    assert run(code) == "0.789 24 AWG False"


@pytest.mark.parametrize("locale", ["C", "de_DE.UTF-8"])
def test_reading_does_not_depend_on_the_locale(locale: str) -> None:
    code = (
        "import locale\n"
        "try: locale.setlocale(locale.LC_ALL, '')\n"
        "except locale.Error: pass\n"
        "from recipes.tables.fits import fit_limits\n"
        "from recipes.design.units import format_number\n"
        "print(fit_limits(41.9, 'h6').min_size_mm, format_number(41.884, 3))"
    )
    assert run(code, LC_ALL=locale, LANG=locale, PYTHONUTF8="0") == "41.884 41.884"


def test_a_file_is_read_once() -> None:
    assert load_table("iso286_limits.csv") is load_table("iso286_limits.csv")
