"""Clearance left after both fits, against thick cylinders by hand and a maker's listing of ISO 5753.

Outside values: tests/reference/iso5753_listing.csv; Lame's thick cylinders solved here from their
two boundary conditions, not by the closed formula of the code.
"""

from __future__ import annotations

import csv

import numpy as np
import pytest

from recipes.assess import assess
from recipes.shaft.bearing_clearance import (
    axle_share,
    clearance_findings,
    clearance_left,
    hub_share,
)
from recipes.shaft.seat_fit import ring_in_housing, ring_on_shaft
from recipes.tables.bearing_clearance import GROUPS, group_of, internal_clearance
from recipes.tables.bearings import bearing
from recipes.tables.reader import TableError
from tests.places import ROOT
from tests.support.design import STARTERS, job


def listing() -> list[dict[str, str]]:
    with (ROOT / "tests/reference/iso5753_listing.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", listing(), ids=lambda r: r["up_to_mm"])
def test_clearance_is_that_of_a_makers_listing(row: dict[str, str]) -> None:
    for group, column in zip(GROUPS, ("c2_um", "normal_um", "c3_um", "c4_um"), strict=True):
        found = internal_clearance(float(row["up_to_mm"]), group)
        assert [found.least_um, found.most_um] == [float(v) for v in row[column].split()]


def test_the_suffix_tells_the_group_and_other_bores_are_refused() -> None:
    assert [group_of(s) for s in ("", "2RS", "2RSC3", "2Z/C3", "C2", "ZZ C4", "C30")] == [
        None, None, "C3", "C3", "C2", "C4", None,
    ]  # fmt: skip
    with pytest.raises(TableError, match="bore of 70 mm"):
        internal_clearance(70.0, "C3")


def lame(inside: float, outside: float, p_in: float, p_out: float, r: float) -> float:
    """Radial growth of a steel cylinder in plane stress at `r`, from its two boundary conditions."""
    modulus, poisson = 210e3, 0.3
    if inside == 0.0:
        return -p_out * (1 - poisson) / modulus * r
    # sigma_r = a - b / r^2, -p at both walls
    a, b = np.linalg.solve([[1.0, -1 / inside**2], [1.0, -1 / outside**2]], [-p_in, -p_out])
    return ((1 - poisson) * a * r + (1 + poisson) * b / r) / modulus


@pytest.mark.parametrize(("number", "hollow"), [("6005", 13.0), ("6002", 9.0), ("R16", 18.85)])
def test_share_of_the_axle_by_thick_cylinders(number: str, hollow: float) -> None:
    """Both press on each other with p; what the raceway grows by is held against the interference."""
    ring = bearing(number)
    bore, room = ring.bore_mm, ring.outside_mm - ring.bore_mm
    race = (ring.bore_mm + ring.outside_mm) / 2 - 0.29 * room
    ring_grows = lame(bore / 2, race / 2, 1.0, 0.0, bore / 2)
    axle_gives = lame(hollow / 2, bore / 2, 0.0, 1.0, bore / 2)
    raceway = lame(bore / 2, race / 2, 1.0, 0.0, race / 2)
    by_hand = raceway / (ring_grows - axle_gives) * bore / (bore + 3.0)
    assert axle_share(ring, hollow) == pytest.approx(by_hand, rel=1e-6)


def test_share_of_a_thick_hub_by_thick_cylinders() -> None:
    ring = bearing("6005")
    race = 36.0 + 0.29 * 22.0
    hub_gives = lame(47.0 / 2, 4700.0, 1.0, 0.0, 47.0 / 2)
    ring_shrinks = lame(race / 2, 47.0 / 2, 0.0, 1.0, 47.0 / 2)
    raceway = lame(race / 2, 47.0 / 2, 0.0, 1.0, race / 2)
    by_hand = -raceway / (hub_gives - ring_shrinks) * 47.0 / 50.0
    assert hub_share(ring) == pytest.approx(by_hand, rel=1e-4)


def left(number: str, shaft: str, hub: str, hollow: float = 13.0):
    ring = bearing(number)
    found = clearance_left(ring, [ring_on_shaft(ring, shaft)], ring_in_housing(ring, hub), hollow)
    assert found is not None
    return found


def test_33_um_in_the_hub_and_10_on_the_axle_are_more_than_normal_clearance() -> None:
    """47 N7 is up to 33 um tight, 25 h6 up to 10 um; 5 to 20 um of normal clearance: preload."""
    found = left("6005", "h6", "N7")
    assert found.needed is None
    assert found.least < -5.0
    assert found.hub == "M7"
    (told,) = clearance_findings(bearing("6005"), found)
    assert (told.code, told.level, told.field) == ("bearing-preload", "warn", "axle.bearing")
    assert "M7" in told.fix


def test_least_clearance_by_hand() -> None:
    """6005 C3, h6 on an axle bored 13 mm, M7: 20.5 um less 0.5 x (25 - 11) x share of the hub, and the root
    of 7.5^2, (25 - 7)^2 and 10^2 um, the last two with their shares."""
    found = left("6005-2RS C3", "h6", "M7")
    hub, axle = hub_share(bearing("6005")), axle_share(bearing("6005"), 13.0)
    assert (hub, axle) == pytest.approx((0.848, 0.682), abs=2e-3)
    middle = 20.5 - 7.0 * hub
    assert found.least == pytest.approx(
        middle - (7.5**2 + (18 * hub) ** 2 + (10 * axle) ** 2) ** 0.5
    )
    assert found.most == pytest.approx(middle + (7.5**2 + (7 * hub) ** 2) ** 0.5)
    assert (found.said, found.group, found.before) == (True, "C3", (13.0, 28.0))


def test_normal_or_c3_is_said_as_the_fits_ask() -> None:
    assert left("6005", "h6", "M7").group == "C3"
    assert left("6005", "h6", "H7").group == "normal"
    assert left("6002", "h5", "H7", 9.0).group == "normal"
    (note,) = clearance_findings(bearing("6005"), left("6005", "h6", "M7"))
    assert (note.code, note.level) == ("bearing-clearance", "note")
    assert "order 6005 C3" in note.fix
    assert list(clearance_findings(bearing("6005 C3"), left("6005 C3", "h6", "M7"))) == []
    assert list(clearance_findings(bearing("6005"), left("6005", "h6", "H7"))) == []
    (tight,) = clearance_findings(bearing("6005 C2"), left("6005 C2", "h6", "M7"))
    assert (tight.code, tight.level) == ("bearing-preload", "warn")
    assert "order 6005 C3" in tight.fix


def test_beyond_the_tables_nothing_is_said() -> None:
    ring = bearing("6005")
    assert clearance_left(ring, [ring_on_shaft(ring, "h6")], None, 13.0) is None
    assert list(clearance_findings(ring, None)) == []


@pytest.mark.parametrize("name", STARTERS)
def test_starters_run_without_preload(name: str) -> None:
    made = job(name)
    results = assess(made, whole=False)
    assert "bearing-preload" not in {f.code for f in results.findings}
    assert results.results["bearing_clearance_group"] == (
        "normal" if name == "kayak-thruster" else "C3"
    )
