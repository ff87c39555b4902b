"""Steps: glue the magnets, set the sensors, lead the wires out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from recipes.hall.plan import chosen_set, truth_table_of
from recipes.leads.bundle import lead_bundle_of
from recipes.leads.view import ACROSS, ACROSS_RADIUS, lead_view
from recipes.page.model import Blank, Caution, Do, Figure, Grid, Picture, Step
from recipes.page.pictures.part_of import part_of
from recipes.rotor.rules import CAUTIONS

if TYPE_CHECKING:
    from recipes.page.book import Book


def magnets_step(book: Book) -> Step:
    """Return the step of gluing magnets and bringing rotor and stator together."""
    ring = book.job.parts["magnet_ring"]
    notes = [n for n in ring[0].notes if n not in CAUTIONS] if ring else []
    return Step(
        "magnets",
        "Magnets",
        "Done when poles alternate all round, and a feeler of the least gap passes everywhere.",
        (
            Caution(CAUTIONS[0]),
            Do("Mark every magnet's pole with a compass, away from the heap."),
            *(Do(n if n.endswith(".") else f"{n}.") for n in notes),
            Do("Clean ring and magnets with solvent, dry; glue one at a time, held by the spacing ring, and let it set."),
            Do("Go round with the compass: north, south, north, south. One wrong magnet spoils the motor."),
            Caution(CAUTIONS[1]),
            Do("Turn the rotor by hand. Anything that scrapes: find it now; the gap below is at worst case."),
        ),
        figures=_magnets(book),
    )  # fmt: skip


def _magnets(book: Book) -> tuple[Figure, ...]:
    gap = ("rotor.air_gap", "rotor.magnet_thickness", "rotor.magnet_tolerance", "rotor.off_centre")
    if "magnets" not in book.results:
        return (
            book.exact("air gap", book.said(book.job.design.rotor.air_gap), fields=gap[:1],
                       blanks=(Blank("gap", "least gap found", "mm"),)),
        )  # fmt: skip
    rows = [
        book.exact("magnets", book.amount("magnets"), fields=("motor.poles", "rotor.magnets_per_pole")),
        book.exact("bore of their ring", book.length("ring_bore_diameter_mm"), fields=("rotor.ring_bore", "rotor.air_gap"),
                   blanks=(Blank("ring_bore", "bore of the ring", "mm"),)),
        book.exact("air gap", book.length("air_gap_mm"), fields=gap),
        book.figure("least air gap, all tolerances against it", book.length("air_gap_worst_mm"),
                    source="sum of tolerances: magnets, glue, ring, centring; common practice", fields=gap,
                    blanks=(Blank("gap", "least gap found", "mm"),)),
        book.figure("pull of the teeth on one magnet", book.amount("magnet_pull_by_teeth_n", 0), "N",
                    source="B² / 2µ0 on an unslotted stator; simple model", fields=("rotor.magnet_grade", "rotor.air_gap")),
        book.figure("hottest that the magnets stand", book.amount("magnet_hottest_c", 0), "°C", sure="maker",
                    source="grade by its suffix, maker data", fields=("rotor.magnet_grade",)),
    ]  # fmt: skip
    return tuple(rows)


def sensors_step(book: Book) -> Step:
    """Return the step of sensors and leads."""
    jig = book.job.parts["hall_jig"]
    wanted = book.job.design.hall.sensors
    entries: list[Do | Caution] = []
    if wanted:
        entries += [
            Do(
                "Insulation was tested: only now connect sensors. Check each with a magnet and a meter first."
            ),
            Caution(
                "Sensors die of static and of reversed supply: touch the stator first, check polarity twice."
            ),
            *(Do(n) for n in (jig[0].notes if jig else ())),
            Do(
                "Turn the rotor by hand and follow the table: six steps a pole pair, one sensor changing at a time."
            ),
        ]
    entries += [
        Do("Thread the leads one by one, the thickest first, with a pull cord left in; connectors afterwards."),
        Do("Sleeve over both edges; Hall leads in a sleeve of their own; a clamp on the frame takes the pull, "
           "with a drip loop below the bore."),
        Caution("A lead that chafes through puts battery voltage on the sensors and sparks: no bare edge, no "
                "lead under tension, nothing touching the rotor."),
    ]  # fmt: skip
    picture = _leads_picture(book)
    return Step(
        "sensors",
        "Sensors and leads" if wanted else "Leads",
        "Done when the six steps come in order and no lead can move against an edge.",
        tuple(entries),
        figures=(*_hall(book), *_bundle(book)),
        grids=_table(book),
        pictures=(picture,) if picture else (),
    )


def _hall(book: Book) -> tuple[Figure, ...]:
    if "hall_slots" not in book.results:
        return ()
    fields = ("motor.slots", "motor.poles", "hall.arrangement")
    return (
        book.figure("sensors in slots", book.amount("hall_slots"), sure="standard", source="star of slots", fields=fields),
        book.figure("angles from tooth 1", book.amount("hall_angles_deg"), "°", sure="standard", source="star of slots", fields=fields),
        book.figure("late (+) or early (−)", book.amount("hall_timing_deg", 2), "electrical °", sure="standard",
                    source="star of slots", fields=fields),
        book.exact("face stands back from the air gap", book.said(book.job.design.hall.stand_back),
                   fields=("hall.stand_back",), blanks=(Blank("back", "set back, found", "mm"),)),
    )  # fmt: skip


def _table(book: Book) -> tuple[Grid, ...]:
    if chosen_set(book.job) is None:
        return ()
    steps = truth_table_of(book.job)
    rows = tuple(
        (
            f"{step.from_deg:g} to {step.to_deg:g}",
            *(str(v) for v in step.outputs),
            *("+" if v > 0.25 else "−" if v < -0.25 else "0" for v in step.phase_voltages),
        )
        for step in steps
    )
    blanks = tuple(
        (Blank(f"hall_{k}", f"step {k} seen", wide=False),) for k in range(1, len(rows) + 1)
    )
    return (
        Grid(
            "Six steps of one electrical turn, rotor towards rising tooth numbers",
            ("electrical °", "H1", "H2", "H3", "U", "V", "W"),
            rows,
            blanks,
            ("seen",),
        ),
    )


def _bundle(book: Book) -> tuple[Figure, ...]:
    if "bundle_fill" not in book.results:
        return ()
    fields = ("axle.bore_diameter", "axle.leads")
    return (
        book.exact("leads", book.amount("leads"), fields=("axle.leads",)),
        book.figure("bundle by hand", book.length("bundle_diameter_by_hand_mm", 1), source="circles packed, and play for a hand; common practice", fields=fields),
        book.figure("bore filled", (book.amount("bundle_fill", 0, 100.0), " of at most ", book.amount("bundle_fill_limit", 0, 100.0)), "%",
                    sure="standard", source="NEC chapter 9, share of a short or long pull", fields=fields),
    )  # fmt: skip


def _leads_picture(book: Book) -> Picture | None:
    if not book.job.design.axle.leads:
        return None
    box = (
        ACROSS.x - ACROSS_RADIUS - 3.0, ACROSS.y - ACROSS_RADIUS - 3.0,
        ACROSS.x + ACROSS_RADIUS + 3.0, ACROSS.y + ACROSS_RADIUS + 3.0,
    )  # fmt: skip
    bundle = lead_bundle_of(book.job)
    assert bundle is not None
    kinds = "; ".join(
        f"{k}: {b.count} × {b.name} {book.said(b.diameter)}" for k, b in enumerate(bundle.kinds, 1)
    )
    return Picture(
        "leads",
        "Leads in the bore",
        f"Section of the axle at the wire slot with all leads packed in the bore. {kinds}.",
        part_of(lead_view(book.job), box),
        (f"At the wire slot, as mounted. {kinds}, over the insulation.",),
        file="read/leads.svg",
        box=box,
    )
