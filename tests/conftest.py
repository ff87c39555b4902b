"""What holds for all tests."""

import signal
from collections.abc import Iterator

import pytest
from hypothesis import settings

from tests.support.sound_finding import guard

# How long a case takes says how busy the machine is: speed is measured in tests/bench.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")

guard()


@pytest.fixture(autouse=True)
def broken_pipes_stay_errors() -> Iterator[None]:
    """Ignore SIGPIPE again, as Python does: gmsh gives it back its power to end the process."""
    yield
    if hasattr(signal, "SIGPIPE"):
        signal.signal(signal.SIGPIPE, signal.SIG_IGN)
