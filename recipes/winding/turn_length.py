"""Length of every turn from its own place round the real tooth, and the wire that follows.

One turn is a closed path in the plane across the tooth (t across the tooth, z along the axle):
down one flank, over the end, up the other flank, over the other end. It keeps its own distance
from what it goes round, so its length is that of a parallel curve (Steiner's formula for a convex
shape):

    turn = 2 (w + h) - 4 s + 2 pi q + 4 b

    q   distance of the wire's centre from the steel flank: paper, then the rows below it
    w   tooth at the wire's own place, with what an end cap stands proud (the wire's span across the
        tooth less 2 q; narrower towards the root if the slots are parallel)
    h   height that it goes round: stack, end caps, end washers, and paper on the end face beyond
        the one layer that q holds already (liner and folded cuff, pressed flat by the wire; the
        rest of the overhang does not hold the wire up)
    s   what one rounded edge saves against a square one: (2 - pi/2) r for a round of radius r;
        over stepped sheets, legs less chords of the taut line over the steps' corners
    b   what one corner costs because wire does not hug it: it bends no tighter than a centre line
        of one overall diameter (design value, common practice). A wider round
        through the same diagonal point stands off both faces, which takes
        (2 (1 - 1/sqrt 2) - (2 - pi/2)) per millimetre of missing radius

Rows are taken to build up over the ends as in the slot. On the end where turns cross, rows lie
crest on crest; the coil's height takes that into account, its length leaves it to the slack.
Where a cap stands proud it holds the straight runs that far off the steel.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from geometry.packing.region import Floats
from recipes.design.insulation import Ends, Liner
from recipes.design.winding import Winding
from recipes.refusal import Refused, stop
from recipes.stator.end_edge import ROUND_SAVES, SQUARE, Edge, edge_of
from recipes.stator.slot import SlotShape
from recipes.stator.stack_count import Stack
from recipes.winding.conductors import ConductorPlacement

#: Wire that one turn takes beyond its path: 3 to 5 % (common practice).
SLACK = 0.04

#: Bought beyond the count (common practice).
MARGIN = 0.15

#: Free wire at the two ends of a phase, mm; 250 to 300 (common practice).
PHASE_TAIL = 300.0

#: Tightest centre line of a corner that wire takes by itself, in overall diameters (common practice).
BEND = 1.0

#: What a bend too wide for its corner takes more, by millimetre of radius.
BULGE = 2.0 * (1.0 - math.sqrt(0.5)) - ROUND_SAVES


@dataclass(frozen=True, eq=False)
class TurnLengths:
    """Lengths of one coil's turns and of the wire, without margin unless named.

    Args:
        turn_length_mm: path of each turn (turns,), mean of its strands, no slack.
        square_turn_mm: the same coil over square edges: same height, same places (turns,).
        bare_turn_mm: the same coil over square steel without any end cap (turns,).
        coil_wire_m: one strand of one coil, slack included, no tails.
        coil_total_m: all strands of one coil, with both tails where a wire winds no other.
        edge_radius_mm: radius of the tooth's end edge, 0 if square.
        bend_radius_mm: inner radius of the innermost turn's bend: edge and one paper.
        end_height_mm: top of the coil over the steel's end face, crossing turns included.
        resistance_saving: of the coil's resistance, tails included, against square edges.
    """

    turn_length_mm: Floats
    square_turn_mm: Floats
    bare_turn_mm: Floats
    coil_wire_m: float
    coil_total_m: float
    edge_radius_mm: float
    bend_radius_mm: float
    end_height_mm: float
    resistance_saving: float

    @property
    def mean_turn_mm(self) -> float:
        """Mean path of a turn, no slack."""
        return float(self.turn_length_mm.mean())

    @property
    def edge_saving_mm_per_turn(self) -> float:
        """Wire that rounding the edges saves in the mean turn against square edges."""
        return float((self.square_turn_mm - self.turn_length_mm).mean())

    @property
    def edge_saving_fraction(self) -> float:
        """The same as a share of the turn over square edges."""
        return float(self.edge_saving_mm_per_turn / self.square_turn_mm.mean())

    @property
    def bare_saving_mm_per_turn(self) -> float:
        """The same against square steel without a cap; below 0 if the cap costs more wire."""
        return float((self.bare_turn_mm - self.turn_length_mm).mean())


def turn_lengths(
    placed: ConductorPlacement,
    slot: SlotShape,
    stack: Stack,
    ends: Ends,
    over_end: float,
    winding: Winding,
) -> TurnLengths:
    """Return the length of every turn and the wire for coil, phase and motor.

    A turn that has no place (see `ConductorPlacement.fails_at`) counts as long as the longest that
    has one.

    Args:
        placed: conductors of one coil side.
        slot: between the teeth.
        stack: its length and sheets.
        ends: edges and end caps.
        over_end: washer and paper between coil and end face, mm; see `paper_on_end`.
        winding: strands, tails, and how far a wire goes.

    Raises:
        Refused: not even one turn has a place.
    """
    cap = ends.end_cap
    thickness, proud = (cap.thickness, cap.proud) if cap else (0.0, 0.0)
    edge = edge_of(ends, stack.sheet_height)
    paper = placed.paper

    def lengths(edge: Edge, cap: float, nearer: float = 0.0) -> Floats:
        high = stack.length + 2 * (cap + over_end - paper)
        return _lengths(placed, slot.half_pitch, edge, high, nearer)

    rounded = lengths(edge, thickness)
    square = lengths(SQUARE, thickness)
    bare = lengths(SQUARE, 0.0, proud) if cap else square
    coil, total = _wire(winding, float(rounded.sum()))
    _, total_square = _wire(winding, float(square.sum()))
    highest = float(placed.heights[: placed.conductors].max()) + placed.diameter / 2
    return TurnLengths(
        turn_length_mm=rounded,
        square_turn_mm=square,
        bare_turn_mm=bare,
        coil_wire_m=coil,
        coil_total_m=total,
        edge_radius_mm=edge.radius,
        bend_radius_mm=edge.radius + paper,
        end_height_mm=thickness + over_end + max(highest, placed.layers * placed.diameter),
        resistance_saving=1 - total / total_square,
    )


def _wire(winding: Winding, path: float) -> tuple[float, float]:
    """Return metres of wire: a strand of a coil, and a whole coil with its tails.

    Args:
        winding: strands, tails, and how far a wire goes.
        path: of all turns of a coil, mm.
    """
    strand = path * (1 + SLACK)
    tails = 2 * winding.tail if winding.run == "one wire a tooth" else 0.0
    return strand / 1000, winding.strands * (strand + tails) / 1000


def paper_on_end(paper: Liner) -> float:
    """Return the paper between coil and end face: liner and folded cuff, mm."""
    return paper.thickness * ((paper.overhang > 0) + (paper.cuff > 0))


def _lengths(
    placed: ConductorPlacement, half_pitch: float, edge: Edge, high: float, nearer: float
) -> Floats:
    """Return the path of each turn (turns,), mm.

    Args:
        placed: conductors of one coil side.
        half_pitch: from a tooth's axis to a slot's, rad.
        edge: of the tooth's end.
        high: what the innermost wire goes round along the axle, less the paper that it lies on, mm.
        nearer: how far the wire would lie nearer to the tooth, mm, without caps that stand proud.
    """
    whole = len(placed.laid) // placed.strands * placed.strands
    if not whole:
        raise Refused(
            stop(
                "turns-do-not-fit",
                "winding.wire",
                f"winding.wire: {placed.strands} x {placed.diameter:.3f} mm over enamel: not one turn "
                "finds a place in the lined slot",
                value=placed.diameter,
                fix="use thinner wire or fewer strands, or a wider slot",
            )
        )
    q = placed.heights[:whole] + placed.paper
    x, y = placed.laid[:whole].T
    span = 2 * (x * math.sin(half_pitch) - y * math.cos(half_pitch))
    w = span - 2 * q - 2 * nearer
    bulge = np.maximum(0.0, BEND * placed.diameter - (edge.radius + q))
    wires = 2 * (w + high) - 4 * edge.saves + 2 * math.pi * q + 4 * BULGE * bulge
    turns: Floats = wires.reshape(-1, placed.strands).mean(axis=1)
    missing = placed.turns - len(turns)
    return np.concatenate([turns, np.full(missing, turns.max())]) if missing else turns


def turn_results(t: TurnLengths) -> dict[str, float | int | str]:
    """Return the figures of the turns, units in the names, rounded for reading."""
    return {
        "coil_mean_turn_mm": round(t.mean_turn_mm, 2),
        "coil_shortest_turn_mm": round(float(t.turn_length_mm.min()), 2),
        "coil_longest_turn_mm": round(float(t.turn_length_mm.max()), 2),
        "coil_end_height_mm": round(t.end_height_mm, 2),
        "coil_wire_m": round(t.coil_total_m, 3),
        "edge_radius_mm": round(t.edge_radius_mm, 3),
        "edge_saving_mm_per_turn": round(t.edge_saving_mm_per_turn, 3),
        "edge_saving_percent": round(100 * t.edge_saving_fraction, 2),
        "resistance_saving_percent": round(100 * t.resistance_saving, 2),
        "bare_saving_mm_per_turn": round(t.bare_saving_mm_per_turn, 3),
    }
