"""Parallel paths of a tooth-coil winding, and which coil end is joined to which.

Teeth are indices 0..Q-1 in all data; `Join.text` prints numbers, index + 1. Terminals U1 U2 V1 V2
W1 W2 follow IEC 60034-8. Paths may be joined in parallel only if their voltages are equal in size
and angle; otherwise current circulates in the copper even with the leads open.

Which numbers of paths are legal, and why the list is complete
--------------------------------------------------------------
The coil voltages of one phase lie on n different angles, and m coils share each angle: n coils
make one *section* of Q/m neighbouring teeth, and the winding is m sections in a row, every second
one wound the other way round if the star has opposite spokes. Dealing out whole sections makes a
equal paths for every divisor a of m. No other split exists: the n angles are neighbouring powers
of one root of unity of order N, and with n <= phi(N) such powers are linearly independent over the
rationals (they are part of the power basis of the cyclotomic field, any textbook of algebra). So
equal voltages mean the same number of coils at each angle, m/a, and a must divide m. n <= phi(N)
holds for every winding of 3 to 120 slots; the tests check it, and try all splits of small ones.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import lru_cache

from recipes.winding.star import PHASES, Phase, Winding, emf_steps

Paths = dict[Phase, tuple[tuple[int, ...], ...]]


@dataclass(frozen=True)
class Join:
    """One joint to make.

    phase: "U", "V" or "W"; path: 1, 2, ... within the phase; tooth: index, or None for a terminal;
    end: "start" or "finish" of the coil on that tooth, or the terminal's name, "U1".
    """

    phase: Phase
    path: int
    from_tooth: int | None
    from_end: str
    to_tooth: int | None
    to_end: str

    @property
    def text(self) -> str:
        """As read at the bench, tooth numbers from 1: "tooth 3 finish to tooth 4 start"."""
        begin = _end_text(self.from_tooth, self.from_end)
        return f"{begin} to {_end_text(self.to_tooth, self.to_end)}"


@lru_cache(maxsize=64)
def sections(winding: Winding) -> int:
    """Number m of equal sections in a row round the stator: coils of a phase at each angle."""
    steps = emf_steps(winding)
    return min(Counter(steps[k] for k in winding.teeth_of("U")).values())


@lru_cache(maxsize=64)
def parallel_paths(winding: Winding) -> tuple[int, ...]:
    """Legal numbers of parallel paths, rising: the divisors of `sections`; always begins with 1.

    Each path has equally many coils and the same voltage, size and angle. Complete: see the module.
    """
    m = sections(winding)
    return tuple(a for a in range(1, m + 1) if m % a == 0)


def paths_for(winding: Winding, paths: int) -> Paths:
    """Split each phase into `paths` equal paths.

    Returns phase -> one tuple of tooth indices for each path, in winding order, starting at the
    phase's first run of neighbouring coils. Sections are dealt out in turn (1, 2, 1, 2, ...), not
    in blocks: each path then reaches all round, and a rotor a little off centre gives all paths
    nearly the same voltage. Between such sections the link wires are longer.

    Raises ValueError naming winding.parallel_paths, its value and the legal numbers.
    """
    legal = parallel_paths(winding)
    if paths not in legal:
        names = ", ".join(str(a) for a in legal)
        raise ValueError(
            f"winding.parallel_paths = {paths}: {winding.slots} slots and {winding.poles} poles, "
            f"coils on {winding.coil_sides}, have {legal[-1]} equal sections a phase, so other "
            f"paths would differ in voltage and current would circulate; use {names}"
        )
    span = winding.slots // legal[-1]
    result: Paths = {}
    for phase in PHASES:
        first = _first_run(winding, phase)
        ordered = sorted((k - first) % winding.slots for k in winding.teeth_of(phase))
        result[phase] = tuple(
            tuple((k + first) % winding.slots for k in ordered if k // span % paths == path)
            for path in range(paths)
        )
    return result


def _first_run(winding: Winding, phase: Phase) -> int:
    """Lowest tooth index at which a run of neighbouring coils of the phase begins."""
    wound = [k for k, tooth in enumerate(winding.teeth) if tooth.phase]
    before = {k: wound[i - 1] for i, k in enumerate(wound)}
    return next(k for k in winding.teeth_of(phase) if winding.teeth[before[k]].phase != phase)


@lru_cache(maxsize=64)
def joint_list(winding: Winding, paths: int = 1, one_way: bool = False) -> tuple[Join, ...]:
    """All joints from the first terminal of a phase to its second, each path on its own.

    The start of a coil is the wire end at which its winding began, whichever way round.
    one_way False: coils are wound as the layout says, "-" teeth the other way round, so every link
    goes from a finish to a start.
    one_way True: for the builder who winds all teeth the same way round; "-" coils are then entered
    at their finish. The voltages are the same.

    Returns joins in order of phase, path, and place in the chain: U1 to the first coil, the links,
    the last coil to U2. The paths of a phase share its terminals. Raises ValueError as `paths_for`.
    Terminal names: IEC 60034-8.
    """
    joins: list[Join] = []
    for phase, groups in paths_for(winding, paths).items():
        for number, teeth in enumerate(groups, 1):
            at: tuple[int | None, str] = (None, f"{phase}1")
            for k in teeth:
                turned = one_way and winding.teeth[k].sense < 0
                enter, leave = ("finish", "start") if turned else ("start", "finish")
                joins.append(Join(phase, number, *at, k, enter))
                at = (k, leave)
            joins.append(Join(phase, number, *at, None, f"{phase}2"))
    return tuple(joins)


def terminal_links(connection: str) -> tuple[tuple[str, ...], ...]:
    """Return the groups of terminals to be joined: "wye" one star point, "delta" three corners.

    In delta each group is also a supply lead. Source: IEC 60034-8. Raises ValueError naming
    winding.connection for any other word.
    """
    if connection == "wye":
        return (("U2", "V2", "W2"),)
    if connection == "delta":
        return (("U1", "W2"), ("V1", "U2"), ("W1", "V2"))
    raise ValueError(f'winding.connection = "{connection}": must be "wye" or "delta"; choose one')


def _end_text(tooth: int | None, end: str) -> str:
    return end if tooth is None else f"tooth {tooth + 1} {end}"
