"""The table from which seats are turned: limits and play, row by row."""

from __future__ import annotations

import pytest

from recipes.shaft.seat_fit import seat_fits_of
from recipes.shaft.seat_steps import SeatRow, seat_table, steps_by_seat, warm_steps
from recipes.shaft.shrink_fit import shrink_fits_of
from tests.support.design import STARTERS, job


@pytest.mark.parametrize("name", STARTERS)
def test_rows_are_bearing_seats_stator_seat_and_hub(name: str) -> None:
    j = job(name)
    rows, fits = seat_table(j), seat_fits_of(j)
    assert [r.name for r in rows] == [
        *(f"bearing seat {k}" for k in range(1, len(fits) + 1)), "stator seat", "hub, both bores",
    ]  # fmt: skip
    for row, fit in zip(rows, fits, strict=False):
        assert (row.largest, row.smallest) == (fit.limits.max_size_mm, fit.limits.min_size_mm)
        bore = [float(v) for v in row.mate.split(", ")[1].split(" to ")]
        # Play by hand from the sizes that the row itself prints.
        assert row.loosest == pytest.approx(1000 * (bore[0] - row.smallest), abs=0.6)
        assert row.tightest == pytest.approx(1000 * (bore[1] - row.largest), abs=0.6)
    stator, hub = rows[-2:]
    assert (stator.loosest, stator.tightest, stator.play) == (None, None, "as measured")
    assert stator.smallest < stator.largest
    outside = [float(v) for v in hub.mate.split(", ")[1].split(" to ")]
    assert outside[0] > outside[1]
    assert hub.loosest == pytest.approx(1000 * (hub.largest - outside[1]), abs=0.6)
    assert hub.tightest == pytest.approx(1000 * (hub.smallest - outside[0]), abs=0.6)


def test_play_in_words() -> None:
    row = SeatRow("a", "k6", 10.01, 10.001, "b", 4.4, -12.6)
    assert row.play == "4 µm loose to 13 µm tight"
    assert SeatRow("a", "k6", 10.01, 10.001, "b", 0.4, -0.4).play == "none to none"
    assert SeatRow("a", "k6", 10.01, 10.001, "b", 0.6, None).play == "as measured"


@pytest.mark.parametrize("name", STARTERS)
def test_seats_alike_share_their_steps(name: str) -> None:
    j = job(name)
    blocks = steps_by_seat(j)
    assert sum(len(heads) for heads, _ in blocks) == len(seat_fits_of(j))
    assert len({steps for _, steps in blocks}) == len(blocks)
    words = warm_steps(j)
    warm = shrink_fits_of(j)
    assert all(f"{1000 * w.interference:.0f} µm tight" in " ".join(words) for w in warm)
    for w in warm:
        seat = w.field.removeprefix("axle.seats[").removesuffix("].fit")
        assert any(s.startswith(("Seat ", "Seats ")) and seat in s.split(":")[0] for s in words)
