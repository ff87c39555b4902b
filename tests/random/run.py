"""Judge one random design by its seed, some of them more closely than others."""

from __future__ import annotations

import random
import tempfile
import time
import traceback
from dataclasses import dataclass
from pathlib import Path

from recipes.refusal import Refused
from tests.random.designs import design_of
from tests.random.dice import LENGTH
from tests.random.judge import BODIES, files_hold, flat_parts_hold, judge, pack_holds, refused_well
from tests.random.readers import readers_agree
from tests.random.shrink import kind_of

#: Every so many designs are written as a pack, with the search for the most circles, as bodies,
#: read by other programs, and looked at as a shop does, file by file.
PAGED, BODIED, READ, SHOPPED = 25, 60, 30, 10


@dataclass(frozen=True)
class Outcome:
    """What became of one seed.

    Args:
        seed: of the design.
        seconds: processor time.
        codes: codes and fields that refuse it; empty if accepted.
        error: kind and place of the failure, "" if none.
        trace: its traceback.
    """

    seed: int
    seconds: float
    codes: tuple[str, ...] = ()
    error: str = ""
    trace: str = ""


def bytes_of(seed: int) -> bytes:
    """Return the bytes that a seed stands for, the same in every process."""
    return random.Random(seed).randbytes(LENGTH)


def outcome(seed: int, data: bytes | None = None) -> Outcome:
    """Judge the design of a seed, or other bytes as closely as that seed asks for."""
    start = time.process_time()
    try:
        codes = _judged(seed, bytes_of(seed) if data is None else data)
        return Outcome(seed, time.process_time() - start, codes)
    except Exception as error:
        return Outcome(
            seed,
            time.process_time() - start,
            (),
            kind_of(error),
            "".join(traceback.format_exception(error)),
        )


def _judged(seed: int, data: bytes) -> tuple[str, ...]:
    """Return the codes that refuse a design; raise what does not hold."""
    paged = seed % PAGED == 0
    seen = judge(design_of(data), whole=paged)
    if seen.job is None:
        return seen.codes
    try:
        flat_parts_hold(seen.job, shop=seed % SHOPPED == 0)
        if seed % BODIED == 0:
            files_hold(seen.job, BODIES)
        with tempfile.TemporaryDirectory() as folder:
            if paged:
                pack_holds(seen, Path(folder) / "out")
            if seed % READ == 0:
                readers_agree(seen.job, Path(folder))
    except Refused as refused:  # a page says so when it is drawn; `build` asks before it writes
        assert not paged, "the pack was refused only when it was written"
        refused_well(refused.findings)
        return tuple(f"{f.code} {f.field}" for f in refused.findings)
    return ()
