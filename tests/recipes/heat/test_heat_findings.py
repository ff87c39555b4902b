"""What each finding about heat says: field, value, limit, confidence, and how times are told."""

from __future__ import annotations

import math
import re

import pytest

from geometry.finding import Finding
from recipes.heat.limits import heat_findings
from recipes.motor import Motor
from tests.support.wire import job_of

FIELD = "motor.phase_current"


def look(**changes: object) -> tuple[Motor, dict[str, Finding]]:
    job = job_of("potters-wheel", 1.613, **changes)
    return job, {f.code: f for f in heat_findings(job.design.motor, job.heating, job.steady_heat)}


def test_heat_to_the_touch_names_the_time_and_ten_seconds() -> None:
    job, found = look(motor__phase_current=21.7)
    said = found["hot-in-seconds"]
    assert said.value == pytest.approx(job.heating[0].to_touch_s, rel=1e-4)
    assert (said.field, said.limit) == (FIELD, 10.0)
    # 21.7 A through 2 x 0.441786 mm2 (two wires of 0.75 mm)
    assert f"{21.7 / (2 * math.pi / 4 * 0.75**2):.1f} A/mm2" in said.message
    assert "motor.phase_current = 21.7 A" in said.message
    assert said.source
    moving, warm = look(motor__phase_current=21.7, motor__duty="moving")
    assert ("hot-in-seconds" in warm) == (moving.heating[0].to_touch_s < 10.0)


def test_enamel_at_its_class_names_time_limit_and_a_current_for_one_minute() -> None:
    _, found = look(motor__phase_current=47.9)
    said = found["enamel-burns-at-once"]
    assert (said.field, said.limit, said.level) == (FIELD, 10.0, "stop")
    assert said.confidence == "practice"
    # I^2 t stays: 41.13 A for 10 s are 41.13 sqrt(10 / 60) = 16.79 A for a minute.
    assert "use 17 A or less (one minute)" in said.fix
    assert 47.9 * math.sqrt(said.value / 60.0) == pytest.approx(16.79, abs=0.01)
    assert "class of 155 C in 7.4 s" in said.message


def test_a_current_for_long_names_the_end_of_the_band_that_it_passes() -> None:
    limits = job_of("potters-wheel", 1.613).steady_heat
    for amperes, limit, level in (
        (1.01 * limits.least_A, limits.least_A, "note"),
        (1.01 * limits.most_A, limits.most_A, "warn"),
    ):
        said = look(motor__phase_current=amperes)[1]["not-for-long"]
        assert (said.field, said.level, said.confidence) == (FIELD, level, "practice")
        assert said.value == pytest.approx(amperes, rel=1e-4)
        assert said.limit == pytest.approx(limit, rel=1e-4)
        assert f"take {limits.least_A:.2g} A (dry) to {limits.most_A:.2g} A (varnished)" in said.fix
        assert "enamel of class 155 C" in said.message


@pytest.mark.parametrize(
    ("amperes", "text"),
    # t = k / J^2 from 56 s at the design's own current: below 10 s two digits, then whole seconds,
    # from two minutes on whole minutes.
    [(1.0, r"\d+ min,"), (14.0, r" \d\d s,"), (45.0, r" \d\.\d s,")],
)
def test_times_are_told_as_people_say_them(amperes: float, text: str) -> None:
    _, found = look(motor__phase_current=amperes)
    assert re.search(text, found["hot-in-seconds"].message)
