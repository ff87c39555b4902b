"""Step: close the rotor with its covers, and what the stack-up along the axle says."""

from __future__ import annotations

from recipes.covers.chain import Chain
from recipes.covers.closed_rotor import ClosedRotor
from recipes.design.covers import Covers
from recipes.design.inches import Wording
from recipes.report.book import Book
from recipes.report.model import Blank, Caution, Do, Figure, Grid, Step
from recipes.rotor.ring import CAUTIONS

#: Said where magnets and stator meet, and where the rotor is first turned by power (common practice).
SLAM = (
    "The magnets pull the rotor off its middle and onto the stator with the force of a vice: never by hand. "
    "Axle upright in a vice, jack screws against the bench plate, all turned by the same half turns, "
    "fingers outside; brass or wood strips in the air gap until the second bearing is home."
)
GUARD = (
    "Behind a guard that stops the rim at the speed and energy below, nobody in its plane; loose hair, sleeves "
    "and rings off. Fast machines for others fall under machinery rules: have it judged by a competent person."
)


def covers_step(book: Book) -> Step:
    """Return the step."""
    covers, closed = book.motor.design.covers, book.motor.closed_rotor
    if covers is None or closed is None:
        entries: tuple[Do | Caution, ...] = (
            Caution(CAUTIONS[1]),
            Do(
                "This design gives no covers: measure the room between coil ends and covers, and the end float, "
                "on the bench; a [covers] table lets the tool say both before."
            ),
        )
        return Step("covers", "Covers", "Done when the rotor turns free and nothing rubs.", entries)
    return Step(
        "covers",
        "Covers",
        "Done when the rotor turns free by hand, its end float is what the table says, and nothing rubs.",
        _entries(covers, closed),
        figures=_figures(book),
        grids=tuple(_grid(chain, book.motor.design.wording) for chain in closed.chains),
        files=book.path("stack-up.csv"),
    )


def _entries(covers: Covers, closed: ClosedRotor) -> tuple[Do | Caution, ...]:
    thread, past = covers.bolts.thread, covers.bolts.path == "past the ring"
    floating = "far" if covers.fixed == "lead side" else "lead"
    jack = covers.jack_screws
    return (
        Do(
            "Try every cover on its bearing and on the ring before magnets are near: pocket, register, holes."
        ),
        Caution("Turned plate has edges like knives: break them, gloves off at the lathe."),
        Do("Measure pockets, ring, bearings and axle; write them beside the table below."),
        Do(
            "Press each bearing into its pocket by the outer ring, down to the lip."
            + (
                ""
                if covers.fixed == "neither"
                else f" The inner ring on the {floating} side must slide on its seat: it floats."
            )
        ),
        Do(
            "Bolt the far-side cover on the ring, crosswise; mark ring and cover so that they go back the same way."
            if not past
            else "Set the ring on the register of the far-side cover, bolts through from outside."
        ),
        Caution(SLAM),
        Do(
            f"Let the ring down over the stator with {jack.count} jack screws {jack.thread} in a cover, half a turn "
            "each in turn, strips in the gap."
            if jack
            else "Let the ring down over the stator with three threaded rods through the bolt holes, half a turn "
            "each in turn, strips in the gap."
        ),
        Do(
            f"Close with the other cover; tighten {closed.bolts.number} bolts {thread} crosswise in three rounds, "
            "thread lock on each."
        ),
        Do("Draw the strips. Turn by hand through a full turn: listen at both ends for coils."),
        Do("Push and pull the rotor along the axle with a dial gauge at its face: the end float."),
        Caution(GUARD),
    )


def _figures(book: Book) -> tuple[Figure, ...]:
    found = [
        book.figure(
            "end float, worst case",
            (
                book.amount("end_float_worst_least_mm", 2),
                " to ",
                book.amount("end_float_worst_most_mm", 2),
            ),
            "mm",
            sure="standard",
            source="sum of the links below",
            fields=("covers.end_float", "covers.length_tolerance", "covers.depth_tolerance"),
            blanks=(Blank("end_float", "end float found", "mm"),),
        ),
        book.exact(
            "length of ring and spacers together",
            book.length("covers_apart_mm"),
            fields=("covers.end_float", "axle.seats[1].from_face", "axle.seats[2].from_face"),
            blanks=(Blank("covers_apart", "ring and spacers", "mm"),),
        ),
        book.exact(
            "magnets from the lead end of the ring",
            book.length("magnets_from_ring_end_mm"),
            fields=(
                "rotor.magnet_length",
                "axle.shoulder.from_face"
                if book.motor.design.axle.shoulder
                else "axle.stack_from_face",
            ),
        ),
        book.figure(
            "speed of the rim at top speed",
            book.amount("rim_speed_m_per_s", 1),
            "m/s",
            sure="yours",
            source="outside and top speed",
            fields=("motor.top_speed", "covers.outside_diameter"),
        ),
    ]
    if "rotor_energy_J" in book.results:
        found += [
            book.figure(
                "stress of a cover by turning",
                book.amount("cover_stress_MPa", 1),
                "MPa",
                source="disc with a hole that turns, holes count three times",
                fields=("motor.top_speed", "covers.material"),
            ),
            book.figure(
                "energy of the rotor at top speed",
                book.amount("rotor_energy_J", 0),
                "J",
                source="covers, ring and magnets; as 10 kg that fall so many centimetres",
                fields=("motor.top_speed", "covers.thickness"),
            ),
        ]
    return tuple(found)


def _grid(chain: Chain, words: Wording) -> Grid:
    """Return one chain as a table: links, then the gap at worst and as it is likely."""
    rows: list[tuple[str, ...]] = [
        (
            k.name,
            f"{'+' if k.sign > 0 else '−'}{k.nominal:.2f}" if k.nominal else "0",
            _deviations(k.upper, k.lower),
            k.source,
        )
        for k in chain.links
    ]
    for name, (low, high) in (("worst case", chain.worst), ("root of squares", chain.likely)):
        left = f"{round(chain.nominal, 2) + 0.0:.2f}"
        rows.append((f"left, {name}", left, f"{low:.2f} to {high:.2f}", ""))
    if words.inches:
        rows = [
            (name, *(f"{words.figures(mm, 'mm')} ({mm})" for mm in figures), source)
            for name, *figures, source in rows
        ]
    heads = ("length, in (mm)" if words.inches else "length, mm", "nominal", "deviations", "from")
    title = f"Stack-up: {chain.name}"
    if chain.key == "end_float":
        blanks = tuple((Blank(f"{chain.key}_{k}", row[0], "mm"),) for k, row in enumerate(rows))
        return Grid(title, heads, tuple(rows), blanks, ("measured",))
    return Grid(title, heads, tuple(rows))


def _deviations(upper: float, lower: float) -> str:
    if abs(upper + lower) < 1e-9:
        return f"± {upper:.2f}" if upper else "0"
    return f"{_signed(upper)} / {_signed(lower)}"


def _signed(mm: float) -> str:
    return f"{mm:+.2f}".replace("-", "−") if mm else "0"
