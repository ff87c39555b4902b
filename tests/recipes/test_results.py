"""Keys of results write a unit as the trade does: `_N`, not `_n`."""

from __future__ import annotations

import ast
import re

from recipes.assess import assess
from recipes.design.load import load
from recipes.motor import solve
from tests.places import ROOT

STARTERS = ROOT / "recipes" / "starters"
LOWER = re.compile(r"\w+_(n|v|c|t|mpa|gpa|nm|a|w|wb)(_min|_max)?")


def test_no_key_of_results_ends_in_a_unit_in_lower_case() -> None:
    """As a shop reads them: `_nm` would be a nanometre, `_t` a tonne."""
    keys = {key for file in STARTERS.glob("*.toml") for key in assess(solve(load(file))).results}
    assert len(keys) > 150
    assert {key for key in keys if LOWER.fullmatch(key)} == set()


def test_no_key_in_the_code_does_either() -> None:
    """Results that no starter has, figures of the field, of a comparison and of the bench."""
    files = (ROOT / "recipes").rglob("*.py")
    trees = [ast.parse(path.read_text(encoding="utf-8")) for path in files]
    words = [n.value for t in trees for n in ast.walk(t) if isinstance(n, ast.Constant)]
    found = {w for w in words if isinstance(w, str) and LOWER.fullmatch(w)}
    between_leads = {"u_v", "v_w", "lead_u_v", "warm_end_u_v"}
    assert found == between_leads
