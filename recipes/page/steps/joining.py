"""Step: join the coils, star or delta, and varnish them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.card.joints import tinning
from recipes.page.model import Blank, Caution, Do, Figure, Grid, Step
from recipes.winding.connection import connection_table
from recipes.winding.paths import joint_list, terminal_links

if TYPE_CHECKING:
    from recipes.page.book import Book


def join_step(book: Book) -> Step:
    """Return the step."""
    job = book.job
    own = next(row for row in connection_table(job) if row.own)
    return Step(
        "join",
        "Join",
        "Done when every joint of the list is soldered, sleeved and tied down below the rotor's way.",
        (
            Caution(tinning(job.design.winding.enamel_class)),
            Do("Slide a sleeve over one tail first. Twist about 20 mm, solder, draw the sleeve over."),
            Do("Work down the list of joints; tick each when it is sleeved."),
            *(Do(_star(group, job.design.winding.connection)) for group in terminal_links(job.design.winding.connection)),
            *(Do(f"{words[0].upper()}{words[1:]}.") for words in own.cautions),
            Do("Lead thermistor wires in between two coils if the motor has one; leave Hall sensors for later."),
            Do("Tie all joints and leads down with cord: nothing may stand out towards the rotor."),
            Do("Test before you varnish: the next step first, then come back. A varnished fault stays."),
            Caution("Varnish and resin: vapours burn and harm. Outdoors or with extraction, no flame near; an oven "
                    "only if the maker of the resin allows it, never one for food. Hot stators burn and drip."),
        ),
        figures=_figures(book),
        grids=(_joints(book), _ways(book)),
    )  # fmt: skip


def _star(group: tuple[str, ...], connection: str) -> str:
    names = " and ".join((", ".join(group[:-1]), group[-1])) if len(group) > 1 else group[0]
    if connection == "wye":
        return f"Join {names}: the star point, sleeved, tied down. U1, V1 and W1 go to the leads."
    return f"Join {names}: lead {group[0]}."


def _figures(book: Book) -> tuple[Figure, ...]:
    fields = ("winding.connection", "winding.parallel_paths")
    count = len(joint_list(book.job.winding, book.job.design.winding.parallel_paths))
    return (
        book.exact("joints in the list, leads included", str(count), fields=fields),
        book.figure("turns in series in one phase", book.amount("turns_in_series"), sure="standard",
                    source="star of slots; divisors of equal sections", fields=("winding.turns", *fields)),
        book.figure("parallel paths that are legal", book.amount("parallel_paths_legal"), sure="standard",
                    source="equal voltages only: sections of the star of slots", fields=fields),
    )  # fmt: skip


def _joints(book: Book) -> Grid:
    paths = book.job.design.winding.parallel_paths
    joins = joint_list(book.job.winding, paths)
    rows = tuple((f"{j.phase}{f' ({j.path})' if paths > 1 else ''}", j.text) for j in joins)
    blanks = tuple((Blank(f"join_{k}", f"joint {k} done"),) for k in range(1, len(rows) + 1))
    return Grid("Joints", ("phase", "join"), rows, blanks, ("done",))


def _ways(book: Book) -> Grid:
    rows = tuple(
        (
            f"{row.circuit.connection}, {row.circuit.paths} in parallel" + (", this one" if row.own else ""),
            f"{row.speed_per_volt:.3g} ×",
            f"{row.torque_per_ampere:.3g} ×",
            f"{1000 * row.lead_resistance_20C_ohm:.3g} mΩ",
        )
        for row in connection_table(book.job)
    )  # fmt: skip
    return Grid(
        "The same coils joined in other ways",
        ("joined in", "speed per volt", "torque per ampere", "two leads, 20 °C"),
        rows,
    )
