"""What --vary says: ranges in decimals, lists, units, places; and what is refused."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recipes.design.load import BadInput, validate
from recipes.study.vary import axes_of, place_of, put, trials_of, values_of
from tests.support.design import raw


@pytest.mark.parametrize(
    ("spec", "values"),
    [
        ("8:10:0.25", (8, 8.25, 8.5, 8.75, 9, 9.25, 9.5, 9.75, 10)),
        ("20:26:2", (20, 22, 24, 26)),
        ("26:20:-3", (26, 23, 20)),
        ("1:2:0.4", (1, 1.4, 1.8)),  # 2 is not met
        ("-0.2:0.2:0.2", (-0.2, 0, 0.2)),
        ("0.12:0.14:0.01 in", ("0.12 in", "0.13 in", "0.14 in")),
        ("3 mm:4 mm:0.5 mm", ("3 mm", "3.5 mm", "4 mm")),
        ("0.80 mm, 0.85 mm,24 AWG", ("0.80 mm", "0.85 mm", "24 AWG")),
        ("20,22:26:2,24", (20, 22, 24, 26)),
        ("wye,delta", ("wye", "delta")),
        ("true,false", (True, False)),
        ("7", (7,)),
    ],
)
def test_values(spec: str, values: tuple[object, ...]) -> None:
    found = values_of(spec)
    assert found == values
    assert [type(v) for v in found] == [type(v) for v in values]


@given(
    st.integers(-400, 400), st.integers(1, 60), st.integers(0, 40), st.sampled_from([1, 10, 100, 1000])
)  # fmt: skip
def test_a_range_is_exact_in_decimals(start: int, step: int, count: int, scale: int) -> None:
    """Against exact fractions: no value strays, none is lost at the end."""
    a, h = Fraction(start, scale), Fraction(step, scale)
    texts = [str(float(x)) if scale > 1 else str(int(x)) for x in (a, a + count * h, h)]
    found = values_of(":".join(texts))
    assert [float(v) for v in found] == [float(a + k * h) for k in range(count + 1)]  # type: ignore[arg-type] # numbers here


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("lamination.tooth_widht=1:2:1", "did you mean lamination.tooth_width?"),
        ("lamnation.tooth_width=1:2:1", "did you mean lamination?"),
        ("lamination=1", "whole table"),
        ("winding.turns", "no values"),
        ("winding.turns=1:2", "FROM:TO:STEP"),
        ("winding.turns=1:5:-1", "never leads"),
        ("winding.turns=1:5:0", "never leads"),
        ("winding.turns=1,,2", "empty value"),
        ("winding.turns=", "empty value"),
        ("liner.overhang=1 mm:2 in:1", "two units"),
        ("winding.turns=1:2000000:1", "wider step"),
    ],
)
def test_what_is_wrong_is_said(word: str, says: str) -> None:
    with pytest.raises(BadInput) as caught:
        axes_of([word])
    (fault,) = caught.value.findings
    assert says in fault.message + fault.fix


def test_all_faults_at_once_and_too_many_designs() -> None:
    with pytest.raises(BadInput) as caught:
        axes_of(["winding.turn=1", "winding.strands=x:y:z", "motor.poles=2", "motor.poles=4"])
    assert len(caught.value.findings) == 3
    with pytest.raises(BadInput, match="more than 100000"):
        axes_of(["winding.turns=1:1000:1", "winding.strands=1:60:1", "motor.poles=2:8:2"])
    with pytest.raises(BadInput, match="nothing is varied"):
        axes_of([])


def test_trials_are_the_product_in_order() -> None:
    axes = axes_of(["winding.turns=20:24:2", "winding.wire=0.8 mm,0.85 mm"])
    trials = list(trials_of(axes))
    assert [t.values for t in trials] == list(product((20, 22, 24), ("0.8 mm", "0.85 mm")))
    assert [t.number for t in trials] == list(range(6))
    assert trials[1].key == ("20", "0.85 mm")


def test_put_changes_one_place_and_leaves_the_rest() -> None:
    tables = raw()
    before = raw()
    changed = put(tables, place_of("axle.seats[2].length"), 13.5)
    assert validate(changed).axle.seats[1].length == 13.5
    assert validate(changed).axle.seats[0].length == 14
    assert tables == before
    assert put({}, place_of("ends.end_cap.proud"), 0.4) == {"ends": {"end_cap": {"proud": 0.4}}}
    with pytest.raises(ValueError, match=r"\[5\]"):
        put(tables, place_of("axle.seats[5].length"), 1)
