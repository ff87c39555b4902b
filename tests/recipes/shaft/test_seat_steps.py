"""The bench sheet: every limit, step and caution on paper, legible, nothing left over."""

from __future__ import annotations

import re

import pytest

from recipes.catalogue import Parts
from recipes.motor import Motor
from recipes.shaft.seat_steps import (
    COMPOUND,
    FILING,
    LATHE,
    SeatRow,
    key_steps,
    seat_table,
    steps_by_seat,
    warm_steps,
)
from recipes.shaft.shrink_fit import CAUTION
from recipes.tables.fits import fit_limits
from tests.support.design import STARTERS, job, raw
from tests.support.sheets import assert_read_on_paper


def table_of(j: Motor) -> tuple[SeatRow, ...]:
    bore = j.design.lamination.bore_diameter
    return seat_table(j.seats, j.hub_fit, j.bearing, j.design.axle, bore)


def warm_of(j: Motor) -> tuple[str, ...]:
    return warm_steps(j.shrink_fits, j.hub_temperature, j.design.winding.room_temperature)


def words(j: Motor) -> str:
    (part,) = Parts(j)["seat_steps"]
    return " ".join(t.text for d in part.drawings for t in d.texts)


def spaced(text: str) -> str:
    return re.sub(r"\s+", " ", text.replace("\u00a0", " "))


@pytest.mark.parametrize("name", STARTERS)
def test_everything_is_said_and_can_be_read(name: str) -> None:
    j = job(name)
    (part,) = Parts(j)["seat_steps"]
    assert part.drawings
    for sheet in part.drawings:
        assert_read_on_paper(sheet, j.design.print.page)
    said = spaced(words(j))
    for steps in j.seat_steps:
        for step in steps:
            assert spaced(j.imprint.said(step)) in said
    for sentence in (FILING, COMPOUND, LATHE, CAUTION, *warm_of(j), *key_steps(j.key_seats)):
        assert spaced(j.imprint.said(sentence)) in said, sentence
    for row in table_of(j):
        assert f"{row.limits.max_size_mm:.3f} and {row.limits.min_size_mm:.3f}" in said
    assert ("[" in said) == (j.design.units == "in")


def test_table_of_the_potters_wheel_by_hand() -> None:
    """25 h6 0/-13, bore 0/-10: 13 loose to 10 tight; 47 M7 0/-25, outside 0/-11: 11 loose to 25 tight
    (ISO 286-2 and ISO 492 Normal)."""
    first, second, stator, hub = table_of(job())
    assert (first.play_words, second.play_words) == ("13 µm loose to 10 µm tight",) * 2
    assert (hub.limits.fit, hub.limits.max_size_mm, hub.limits.min_size_mm) == (
        "M7",
        47.0,
        46.975,
    )
    assert hub.play_words == "11 µm loose to 25 µm tight"
    assert hub.mate == "outside of 6005, 47.000 to 46.989"
    assert stator.play_words == "as measured"


def test_seats_of_one_class_share_their_steps() -> None:
    assert [len(heads) for heads, _ in steps_by_seat(job().seat_steps)] == [2]
    two = [dict(raw()["axle"]["seats"][0]), dict(raw()["axle"]["seats"][1], fit="g6")]
    steps = job(axle__seats=two).seat_steps
    assert [len(heads) for heads, _ in steps_by_seat(steps)] == [1, 1]


def test_heat_is_said_for_each_kind_of_seat() -> None:
    both, hub = warm_of(job())
    assert both.startswith("Seats 1 and 2: at worst 10 µm tight. Warm the bearing to 93°C")
    # 47 M7 is up to 25 um tight: (25 + 10) / (10.9e-6 x 47) = 68.3 K above 20 C
    assert "to 88°C" in hub
    assert "Before any magnet" in hub
    (cold,) = warm_of(job("kayak-thruster"))  # 15 h5 is up to 8 um tight; the hub, H7, never
    assert "freezer at -18°C, bearing at 92°C" in cold
    tight = [dict(s, fit="k6") for s in raw()["axle"]["seats"]]
    refused, _ = warm_of(job(axle__seats=tight, axle__grease_limit=80))
    assert "No allowed temperature" in refused


def test_keys_are_on_the_sheet_where_there_are_keys() -> None:
    assert "6.000 to 5.970 mm wide (N9)" in key_steps(job().key_seats)[0]
    assert "stands 2.50 mm out" in key_steps(job().key_seats)[1]
    assert key_steps(job("wool-spinner").key_seats) == ()
    assert "Keys of the stack" not in words(job("wool-spinner"))


def test_a_measured_bar_is_answered_with_what_it_turns_to() -> None:
    asked = job().seat_steps[0][1]
    assert "axle.stock_least" in asked
    assert "above 36 mm" in asked  # the collar
    measured = job(axle__stock_least=37.6, axle__stock_runout=0.42)
    assert "turns clean to 37.18 mm" in measured.seat_steps[0][1]


@pytest.mark.parametrize("name", STARTERS)
def test_rows_are_bearing_seats_stator_seat_and_hub(name: str) -> None:
    j = job(name)
    rows, fits = table_of(j), j.seats
    assert [r.name for r in rows] == [
        *(f"bearing seat {k}" for k in range(1, len(fits) + 1)), "stator seat", "hub, both bores",
    ]  # fmt: skip
    for row, fit in zip(rows, fits, strict=False):
        assert row.limits == fit.limits
        assert row.play is not None
        bore = [float(v) for v in row.mate.split(", ")[1].split(" to ")]
        # Play by hand from the sizes that the row itself prints.
        assert row.play[0] == pytest.approx(1000 * (bore[0] - row.limits.min_size_mm), abs=0.6)
        assert row.play[1] == pytest.approx(1000 * (bore[1] - row.limits.max_size_mm), abs=0.6)
    stator, hub = rows[-2:]
    assert (stator.play, stator.play_words) == (None, "as measured")
    assert stator.limits.min_size_mm < stator.limits.max_size_mm
    outside = [float(v) for v in hub.mate.split(", ")[1].split(" to ")]
    assert outside[0] > outside[1]
    assert hub.play is not None
    assert hub.play[0] == pytest.approx(1000 * (hub.limits.max_size_mm - outside[1]), abs=0.6)
    assert hub.play[1] == pytest.approx(1000 * (hub.limits.min_size_mm - outside[0]), abs=0.6)


def test_play_in_words() -> None:
    limits = fit_limits(10.0, "k6")
    assert SeatRow("a", limits, "b", (4.4, -12.6)).play_words == "4 µm loose to 13 µm tight"
    assert SeatRow("a", limits, "b", (0.4, -0.4)).play_words == "none to none"
    assert SeatRow("a", limits, "b", None).play_words == "as measured"


@pytest.mark.parametrize("name", STARTERS)
def test_seats_alike_share_their_steps(name: str) -> None:
    j = job(name)
    blocks = steps_by_seat(j.seat_steps)
    assert sum(len(heads) for heads, _ in blocks) == len(j.seats)
    assert len({steps for _, steps in blocks}) == len(blocks)
    words, warm = warm_of(j), j.shrink_fits
    assert all(f"{1000 * w.interference:.0f} µm tight" in " ".join(words) for w in warm)
    for w in warm:
        seat = w.field.removeprefix("axle.seats[").removesuffix("].fit")
        assert any(s.startswith(("Seat ", "Seats ")) and seat in s.split(":")[0] for s in words)
