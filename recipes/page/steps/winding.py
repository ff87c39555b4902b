"""Step: wind every tooth, count, pull evenly, test each coil."""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.card.steps import band, layers_text, size
from recipes.card.tables import tooth_rows
from recipes.page.model import Amount, Blank, Caution, Do, Figure, Grid, Step
from recipes.units import format_number
from recipes.winding.resistance import winding_resistance_of
from recipes.winding.turn_length import PHASE_TAIL

if TYPE_CHECKING:
    from recipes.page.book import Book


def wind_step(book: Book) -> Step:
    """Return the step."""
    return Step(
        "wind",
        "Wind",
        "Done when every tooth has its turns the way its arrow points, and no coil meets steel.",
        tuple(_entries(book)),
        files=book.path("wind/choices.md"),
        figures=_figures(book),
        grids=(_teeth(book),),
        notes=(
            Blank("reel", "reel and batch", wide=True),
            Blank("wound_by", "wound by, date", wide=True),
        ),
    )


def _entries(book: Book) -> list[Do | Caution]:
    job = book.job
    winding, tail = job.design.winding, size(job.design.winding.tail / 1000, job)
    several = (
        f", the {winding.strands} wires side by side and uncrossed" if winding.strands > 1 else ""
    )
    lay = (
        "Lay turn beside turn, the first layer from the root, layer on layer"
        if winding.lay == "layered"
        else "Let the turns fall evenly over the tooth"
    )
    found: list[Do | Caution] = [
        Do("Stick the paper rings on: on the lead side the numbers run counter-clockwise."),
        Do("Wind one trial turn on every tooth with thread, by the arrows; compare every tooth with the "
           "picture, then take it off: whole phases have been wound backwards."),
        Caution("Ends of wire spring back into eyes: eye protection whenever wire is cut. Edges still cut hands."),
        Do(f"Leave {tail} of start on the lead side, {size(max(winding.tail, PHASE_TAIL) / 1000, job)} where it "
           "ends at a terminal."),
        Do(f"{lay}{several}. Count aloud, tick the card; pull evenly, by the figure below: more stretches copper."),
        Do("Press turns down with fibre or hardwood, never with metal."),
        Do("After each coil: meter from coil to steel. Anything but an open circuit: unwind, find the bare "
           "spot, wind anew. Write its resistance down."),
    ]  # fmt: skip
    if job.fill.sides == 2 and job.design.separator.thickness:
        found.append(
            Do("Stand a separator in the middle of a slot when its first coil side is in.")
        )
    if job.design.wedge.thickness:
        found.append(Do("Push a wedge in over each finished slot, under the tips; nothing may stand into the air gap."))  # fmt: skip
    return found


def _figures(book: Book) -> tuple[Figure, ...]:
    job, r = book.job, winding_resistance_of(book.job)
    share = (r.least, r.greatest)
    turns = ("winding.turns", "winding.wire", "winding.strands")
    milli = r.coil_ohm < 1.0
    return (
        book.exact("turns on one tooth", book.amount("turns_per_coil"), fields=turns),
        book.figure("layers from the tooth", layers_text(job).replace("\u00a0", " "), fields=("winding.lay", *turns),
                    source="wires laid row on row in the lined slot, common practice"),
        book.figure("turns that fit by hand", book.amount("turns_that_fit"), fields=turns,
                    source="counted wire by wire; crossings and hand limits by common practice"),
        book.figure("cut for one coil, each wire", book.amount("coil_cut_length_m", 2), "m",
                    source="turns laid round the real tooth, 4 % slack, both tails", fields=("winding.tail", *turns)),
        book.figure("pull on each wire", (book.amount("tension_min_N", 1), " to ", book.amount("tension_max_N", 1)), "N",
                    source="half to four fifths of a wire maker's limit, common practice", fields=("winding.wire",)),
        book.figure("coil ends stand out", book.length("coil_end_height_mm", 1), source="layers over the rounded end",
                    fields=turns, blanks=(Blank("coil_end", "highest coil end", "mm"),)),
        book.figure(
            f"one coil, {'four wires, ' if r.needs_four_wires else ''}at {r.room_C:g} °C",
            (Amount(*_ohms(r.coil_at(r.room_C), milli)), " (", *_span(r.coil_at(r.room_C), share, milli), ")"),
            "mΩ" if milli else "Ω", sure="standard",
            source="band of the wire's standard, and 4 % slack in length", fields=(*turns, "winding.room_temperature"),
        ),
    )  # fmt: skip


def _ohms(ohm: float, milli: bool) -> tuple[str, float]:
    value = 1000.0 * ohm if milli else ohm
    return f"{value:#.3g}".rstrip("."), ohm


def _span(ohm: float, share: tuple[float, float], milli: bool) -> tuple[str, ...]:
    low, high = (_ohms(ohm * part, milli)[0] for part in share)
    return low, " to ", high


def _teeth(book: Book) -> Grid:
    rows = tooth_rows(book.job)
    kept = [row for row in rows if row.sense]
    r = winding_resistance_of(book.job)
    expected = band(r.coil_at(r.room_C), (r.least, r.greatest))
    return Grid(
        f"Every tooth, lead side; each coil {expected} at {format_number(r.room_C, 0)} °C",
        ("tooth", "coil", "sense", "start to", "finish to"),
        tuple((row.number, row.coil, row.sense, row.start, row.finish) for row in kept),
        tuple(
            (Blank(f"coil_{row.number}", f"resistance of tooth {row.number}", "Ω"),) for row in kept
        ),
        ("measured",),
    )
