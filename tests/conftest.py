"""What holds for all tests."""

from hypothesis import settings

from tests.support.sound_finding import guard

# How long a case takes says how busy the machine is: speed is measured in tests/bench.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")

guard()
