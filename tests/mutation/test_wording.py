import ast
import functools

import pytest

from tests.mutation.forget import pytest_sessionstart
from tests.mutation.groups import GROUPS
from tests.mutation.wording import only_wording
from tests.places import ROOT

HEAD = "def f(a, b):\n    "


def wording(old: str, new: str) -> bool:
    return only_wording(ast.parse(HEAD + old).body[0], ast.parse(HEAD + new).body[0])


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('raise E("too thin", value=a)', 'raise E("XXtoo thinXX", value=a)'),
        ('raise E("too thin", value=a)', "raise E(None, value=a)"),
        ('raise E(f"{a} is too thin", value=a)', 'raise E(f"{a} IS TOO THIN", value=a)'),
        ("raise E(a, hint=b)", "raise E(a, hint=None)"),
        ("raise E(a, hint=b)", "raise E(a, )"),
        ('raise E("too thin", a)', "raise E(a)"),
    ],
)
def test_sentences_are_only_wording(old: str, new: str) -> None:
    assert wording(old, new)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("raise E(a, value=b)", "raise E(a, value=None)"),
        ("raise E(a, value=b)", "raise E(a, )"),
        ("return a + b", "return a - b"),
        ("return a < b", "return a <= b"),
        ("return 2.5 * a", "return 3.5 * a"),
        ('return "inside"', 'return "XXinsideXX"'),
        ('raise E("too thin", a)', 'raise E("too thin", None)'),
        ('raise E("too thin", a)', 'raise E("too thin", )'),
        ("a = b", "a = None"),
        ("return a", "return a"),
    ],
)
def test_numbers_branches_and_fields_are_more(old: str, new: str) -> None:
    assert not wording(old, new)


@pytest.mark.parametrize("name", GROUPS)
def test_every_path_of_a_group_is_there(name: str) -> None:
    group = GROUPS[name]
    assert group.top in {"geometry", "recipes"}
    for source in group.sources:
        assert list(ROOT.glob(source)), source
    for test in group.tests:
        assert list(ROOT.glob(test)), test
    for test in group.without:
        path, _, function = test.partition("::")
        text = (ROOT / path).read_text(encoding="utf-8")
        assert f"def {function.split('[')[0]}(" in text or not function, test


def test_what_was_remembered_is_forgotten_before_a_mutant_is_tried() -> None:
    """A cached answer would stand for the broken code."""
    asked: list[int] = []

    @functools.lru_cache
    def double(n: int) -> int:
        asked.append(n)
        return 2 * n

    assert (double(7), double(7), asked) == (14, 14, [7])
    pytest_sessionstart()
    assert (double(7), asked) == (14, [7, 7])
