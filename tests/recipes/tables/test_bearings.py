"""Every bearing against published tables, the bore code of ISO 15 and the shape of a bearing."""

from __future__ import annotations

import csv
from fractions import Fraction
from itertools import pairwise

import pytest

from recipes.tables.bearings import Bearing, bearing
from recipes.tables.reader import TableError, load_table
from tests.places import ROOT
from tests.support.axle import BEARINGS


def reference(name: str) -> list[dict[str, str]]:
    path = ROOT / "tests" / "reference" / name
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize(
    "name", ["bearings_iso15.csv", "bearings_jis_b1520.csv", "bearings_catalogue.csv"]
)
def test_bearings_equal_published_tables(name: str) -> None:
    rows = reference(name)
    assert len(rows) >= 29
    for row in rows:
        found = bearing(row["designation"])
        printed = [float(row[key]) for key in ("d_mm", "D_mm", "B_mm")]
        assert [found.bore_mm, found.outside_mm, found.width_mm] == printed
        if row["rs_min_mm"]:
            assert found.chamfer_min_mm == float(row["rs_min_mm"])


def test_every_bearing_is_in_a_published_table() -> None:
    published = {row["designation"] for row in reference("bearings_catalogue.csv")}
    assert {row.designation for row in BEARINGS} == published


@pytest.mark.parametrize("row", BEARINGS, ids=lambda row: row.designation)
def test_the_number_tells_the_bore(row: Bearing) -> None:
    """ISO 15 bore code: 00 10, 01 12, 02 15, 03 17, from 04 five times; /nn and 6xn plain mm."""
    number = row.designation
    if "/" in number:
        bore = int(number.split("/")[1])
    elif len(number) == 3:
        bore = int(number[-1])
    else:
        code = int(number[-2:])
        bore = [10, 12, 15, 17][code] if code < 4 else 5 * code
    assert row.bore_mm == bore


@pytest.mark.parametrize("row", BEARINGS, ids=lambda row: row.designation)
def test_a_bearing_is_a_bearing(row: Bearing) -> None:
    section = (row.outside_mm - row.bore_mm) / 2.0
    assert section >= 3.0
    assert 0.4 * section <= row.width_mm <= 2.0 * section
    assert 0.1 <= row.chamfer_min_mm <= 0.25 * min(section, row.width_mm)
    assert row.bore_upper_um == row.outside_upper_um == row.width_upper_um == 0.0
    assert row.bore_lower_um in (-8.0, -10.0, -12.0)
    assert row.outside_lower_um in (-8.0, -9.0, -11.0, -13.0, -15.0)
    assert row.width_lower_um == -120.0


def test_within_a_series_everything_grows_with_the_bore() -> None:
    for series in ("60", "62", "63", "68", "69"):
        rows = [r for r in BEARINGS if r.designation[:2] == series and r.bore_mm >= 10]
        assert len(rows) >= 11
        for small, large in pairwise(rows):
            assert small.bore_mm < large.bore_mm
            assert small.outside_mm < large.outside_mm
            assert small.width_mm <= large.width_mm
            assert small.chamfer_min_mm <= large.chamfer_min_mm


def test_of_one_bore_the_heavier_series_is_larger() -> None:
    for bore in (10, 12, 15, 17, 20, 25, 30, 35, 40, 45, 50):
        rows = [row for row in BEARINGS if row.bore_mm == bore]
        assert [row.designation[:2] for row in rows] == ["68", "69", "60", "62", "63"]
        outside = [row.outside_mm for row in rows]
        assert outside == sorted(set(outside))


def test_the_list_rises_and_names_each_once() -> None:
    keys = [(row.bore_mm, row.outside_mm) for row in BEARINGS]
    assert keys == sorted(keys)
    assert len({row.designation for row in BEARINGS}) == len(keys) == 77


# --- ISO 492 -------------------------------------------------------------------------------------


def test_deviations_equal_published_tables() -> None:
    """ISO 492 Normal: bearing makers' tables in um, one in inch rounded to 0.00005 in (1.27 um)."""
    bands = load_table("iso492_normal.csv").rows
    rows = reference("iso492_second_copy.csv")
    rows += [
        {**row, "surface": "bore", "lower": row["lower_um"], "unit": "um"}
        for row in reference("iso492_normal_bore.csv")
    ]
    for row in rows:
        middle = (float(row["over_mm"]) + float(row["up_to_mm"])) / 2.0
        found = [
            cells.number("lower_um")
            for cells in bands
            if cells.text("surface") == row["surface"]
            and cells.number("over_mm") < middle <= cells.number("up_to_mm")
        ]
        in_um, slack = (1.0, 1e-9) if row["unit"] == "um" else (2.54, 1.28)
        assert found == [pytest.approx(float(row["lower"]) * in_um, abs=slack)], row


def test_every_deviation_band_follows_the_one_before() -> None:
    table = load_table("iso492_normal.csv")
    for surface in ("bore", "outside", "width"):
        rows = [cells for cells in table.rows if cells.text("surface") == surface]
        assert rows[0].number("over_mm") == (6.0 if surface == "outside" else 2.5)
        for low, high in pairwise(rows):
            assert low.number("up_to_mm") == high.number("over_mm")
            assert low.number("lower_um") >= high.number("lower_um")
        for cells in rows:
            assert cells.number("upper_um") == 0.0 > cells.number("lower_um")


def test_a_bearing_maker_prints_the_same_for_6206() -> None:
    """machinepart.net: 6206 bore 30 0/-0.010, outside 62 0/-0.013 mm."""
    row = bearing("6206")
    assert (row.bore_mm, row.bore_lower_um) == (30.0, -10.0)
    assert (row.outside_mm, row.outside_lower_um) == (62.0, -13.0)


# --- asking --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "number", "closure", "sealed"),
    [
        ("6004", "6004", "open", False),
        (" 6004 ", "6004", "open", False),
        ("6004-2RS", "6004", "two seals", True),
        ("6004 ZZ", "6004", "two shields", True),
        ("6004-2z/c3", "6004", "two shields", True),
        ("6004-2RSH/C3", "6004", "two seals", True),
        ("6004.2RSR", "6004", "two seals", True),
        ("6004LLU", "6004", "two seals", True),
        ("6905DDUCM", "6905", "two seals", True),
        ("608-2RZ", "608", "two seals", True),
        ("6004Z", "6004", "one shield", False),
        ("6004-RS", "6004", "one seal", False),
        ("6004NR", "6004", "open", False),
        ("61805-2RS1", "6805", "two seals", True),
        ("61905", "6905", "open", False),
        ("60/22LLU", "60/22", "two seals", True),
    ],
)
def test_a_suffix_closes_a_bearing_but_does_not_change_its_size(
    asked: str, number: str, closure: str, sealed: bool
) -> None:
    row = bearing(asked)
    assert (row.designation, row.closure, row.sealed) == (number, closure, sealed)
    plain = bearing(number)
    assert (row.bore_mm, row.outside_mm, row.width_mm) == (
        plain.bore_mm,
        plain.outside_mm,
        plain.width_mm,
    )


def test_the_suffix_is_kept() -> None:
    assert bearing("6004-2RSH/C3").suffix == "2RSH/C3"
    assert bearing("6004").suffix == ""


@pytest.mark.parametrize(
    ("asked", "parts"),
    [
        ("6405", ["'6405'", "bore of 25 mm", "6805 (25x37x7)", "6005 (25x47x12)"]),
        ("16004-2RS", ["bore of 20 mm", "6004 (20x42x12)"]),
        ("699", ["bore of 9 mm", "609 (9x24x7)"]),
        ("6020", ["bore of 100 mm", "6010 (50x80x16)"]),
        ("6004-K", ["tapered bore", "choose 6004 without K"]),
        ("6004K/C3", ["tapered bore"]),
        ("abc", ["'abc'", "6004-2RS"]),
        ("", ["''", "6004-2RS"]),
        ("R9", ["'R9'", "R8 (12.7x28.575x6.35)"]),
        (6004, ["6004", "write it like"]),
    ],
)
def test_an_unknown_bearing_is_refused_with_the_nearest(asked: str, parts: list[str]) -> None:
    with pytest.raises(TableError) as caught:
        bearing(asked)
    for part in parts:
        assert part in str(caught.value)


#: Every inch bearing of the table.
INCH = [row.text("designation") for row in load_table("inch_bearings.csv").rows]


@pytest.mark.parametrize(
    "row", reference("inch_bearings_listing.csv"), ids=lambda r: r["designation"]
)
def test_inch_bearings_equal_a_published_listing(row: dict[str, str]) -> None:
    found = bearing(row["designation"])
    printed = [25.4 * float(Fraction(row[key])) for key in ("bore_in", "outside_in", "width_in")]
    assert [found.bore_mm, found.outside_mm, found.width_mm] == pytest.approx(printed, abs=1e-3)


@pytest.mark.parametrize("number", INCH)
def test_an_inch_number_tells_the_bore_in_sixteenths(number: str) -> None:
    found = bearing(number)
    assert found.bore_mm == pytest.approx(25.4 * int(number.strip("RA")) / 16, abs=1e-3)
    assert bearing(f"{number}-2RS").width_mm >= found.width_mm
    assert (
        0.25
        < found.chamfer_min_mm
        <= 0.25 * min(found.outside_mm - found.bore_mm, 2 * found.width_mm)
    )


def test_one_inch_and_its_neighbours_by_hand() -> None:
    """R16: 1 x 2 x 3/8 in open, 1/2 in with shields; fillet 0.031 in (makers' tables, from memory)."""
    found, closed = bearing("R16"), bearing("r16zz")
    assert (found.bore_mm, found.outside_mm, found.width_mm) == (25.4, 50.8, 9.525)
    assert (closed.width_mm, closed.closure, closed.designation) == (12.7, "two shields", "R16")
    assert found.chamfer_min_mm == pytest.approx(0.787, abs=1e-3)
    with pytest.raises(TableError, match=r"nearest to its bore of 14\.2875 mm: .*R8 .*, R10 "):
        bearing("R9")


@pytest.mark.parametrize(
    "row", reference("abma20_abec1.csv"), ids=lambda r: f"{r['surface']}-{r['up_to_mm']}"
)
def test_abec_1_in_inches_is_iso_492_normal(row: dict[str, str]) -> None:
    """Makers round the metric limits to inches: within 2 um of ISO 492 wherever an inch size lies."""
    low, high = float(row["over_mm"]), float(row["up_to_mm"])
    for number in INCH:
        found = bearing(number)
        size = found.bore_mm if row["surface"] == "bore" else found.outside_mm
        lower = found.bore_lower_um if row["surface"] == "bore" else found.outside_lower_um
        if low < size <= high:
            assert lower == pytest.approx(25400 * float(row["lower_in"]), abs=2.0)
