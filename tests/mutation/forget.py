"""A plugin for pytest: forget what was remembered before a mutant is tried.

mutmut runs all tests once and then forks for each mutant. What `lru_cache` kept from that run would
answer for the broken code, and its mutants would look alive.
"""

import functools
import gc


def pytest_sessionstart() -> None:
    """Clear every cache of a function."""
    for thing in gc.get_objects():
        if isinstance(thing, functools._lru_cache_wrapper):
            thing.cache_clear()
