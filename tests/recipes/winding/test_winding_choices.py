import pytest

from recipes.winding.choices import winding_choices
from recipes.winding.wire_alternatives import wire_alternative_results
from tests.support.design import STARTERS, job


@pytest.mark.parametrize("name", STARTERS)
def test_page_lists_ladder_connections_and_layers(name: str) -> None:
    j = job(name)
    page = winding_choices(j)
    assert page.count("this design") >= 2  # its own wire, and its own way to join
    for rung in j.wire_alternatives:
        assert f"| {rung.wire.label} | {rung.strands} |" in page
    widths = {line.count("|") for line in page.splitlines() if line.startswith("|")}
    assert widths == {11, 9, 4}
    assert "burn" in page


def test_best_three_reach_the_results() -> None:
    best = wire_alternative_results(job("kayak-thruster"))
    assert set(best) == {"ladder_1", "ladder_2", "ladder_3"}
    assert all(": " in str(v) for v in best.values())
