import pytest

from recipes.build.files import planned_views
from recipes.catalogue import Parts
from recipes.searches import wire_alternatives
from recipes.winding.wire_alternatives import wire_alternative_results
from tests.support.design import STARTERS, job


@pytest.mark.parametrize("name", STARTERS)
def test_page_lists_wires_connections_and_layers(name: str) -> None:
    j = job(name)
    (plan,) = (p for p in planned_views(j, Parts(j)) if p.path == "wind/choices.md")
    page = plan.make().decode()
    assert page.count("this design") >= 2  # its own wire, and its own way to join
    for row in wire_alternatives(j):
        assert f"| {row.wire.label} | {row.strands} |" in page
    widths = {line.count("|") for line in page.splitlines() if line.startswith("|")}
    assert widths == {11, 9, 4}
    assert "burn" in page


def test_best_three_reach_the_results() -> None:
    best = wire_alternative_results(wire_alternatives(job("kayak-thruster")))
    assert set(best) == {"ladder_1", "ladder_2", "ladder_3"}
    assert all(": " in str(v) for v in best.values())
