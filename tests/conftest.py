"""What holds for all tests."""

from itertools import count
from pathlib import Path

import pytest
from hypothesis import settings

from tests.support.design import STARTERS
from tests.support.once import once
from tests.support.packs import build_starters
from tests.support.sound_finding import guard

# How long a case takes says how busy the machine is: speed is measured in tests/bench.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")

guard()


#: Files of tests that take longest, and so are begun first: no worker is left alone with them.
LONGEST = ("test_style.py", "test_random_designs.py", "test_build.py", "test_browser.py")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the longest tests first, all others in the order of their files."""
    items.sort(key=lambda item: item.path.name not in LONGEST)


@pytest.fixture(autouse=True)
def own_cache(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Keep answers of the field where no other test and no user finds them."""
    monkeypatch.setenv(
        "XDG_CACHE_HOME", str(tmp_path_factory.getbasetemp() / f"cache{next(_COUNT)}")
    )


_COUNT = count()


@pytest.fixture(scope="session")
def packs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The pack of every starter as a user builds it, bodies included; only to be looked at."""
    folder = once(tmp_path_factory, "packs", build_starters)
    return {name: folder / name for name in STARTERS}
