"""Steps: glue the magnets, set the sensors, lead the wires out."""

from __future__ import annotations

from recipes.design.units import format_number
from recipes.report.book import Book
from recipes.report.model import Blank, Caution, Do, Figure, Grid, Picture, Step
from recipes.report.picture_style import part_of
from recipes.rotor.hall_plan import step_cells
from recipes.rotor.hall_sensors import hall_truth_table
from recipes.rotor.ring import CAUTIONS
from recipes.shaft.lead_view import ACROSS, ACROSS_RADIUS, lead_view
from recipes.shaft.seat_fit import seat_places, which_ring_is_tight
from recipes.shaft.seat_steps import COMPOUND, filing_words, stack_steps
from recipes.shaft.shrink_fit import CAUTION, FREEZER
from recipes.tables.fits import fit_limits
from recipes.tables.reader import TableError
from recipes.tables.steel_tubes import outside_limits
from recipes.winding.sense import zero_words

# Steps: turn the axle, and fit the bearings.

#: Wherever retaining rings are put on (usual cautions; DIN 471 section 10).
RINGS: tuple[Do | Caution, ...] = (
    Caution(
        "Retaining rings fly off when the pliers slip: eye protection, ring pliers of the right size, a "
        "hand or cloth over the ring."
    ),
    Do(
        "Open each ring no farther than it needs to pass, and turn it once in its groove: it must snap to "
        "the bottom all round. A ring that was opened too far is bent: throw it away."
    ),
)


def axle_step(book: Book) -> Step:
    """Return the step."""
    motor = book.motor
    seats = motor.seat_steps
    return Step(
        "axle",
        "Axle",
        "Done when bearings and stack go on by a push of the hand, and no edge near the leads leaves a thread.",
        (
            Do("Have both bearings and the glued stack on the bench first: they are the gauges."),
            Caution(
                "Lathe: no gloves, no sleeves, hair tied, key out of the chuck, guard down. Chips cut: hook or "
                "brush, never fingers."
            ),
            *(Do(f"{n[0].upper()}{n[1:].rstrip('.')}.") for n in book.parts["axle"][0].notes),
            *(Do(words) for words in seats[0]),
            *(Do(steps[0] + " The same way.") for steps in seats[1:]),
            *(Do(words) for words in stack_steps(motor.design.axle, motor.sections)),
            Do(filing_words(motor.design.axle.seats)),
            Caution(COMPOUND),
            Caution(
                "A sharp edge at slot or bore cuts the leads, and a phase that touches a Hall wire kills sensor "
                "and controller: round both mouths, sleeve the bundle."
            ),
            Caution(
                "An axle that carries a person, on the road or at a machine: have it checked by somebody competent, "
                "fit a torque arm, obey the rules that apply. The safety here is an estimate."
            ),
        ),
        files=tuple(p for p in book.paths("axle", folder="draw/") if p.endswith(".pdf")),
        figures=(*_seats(book), *_stator_seat(book), *_safety(book)),
    )


def _seats(book: Book) -> tuple[Figure, ...]:
    found = []
    fits = zip(book.motor.seats, seat_places(book.motor.design.axle.seats), strict=True)
    for k, (fit, place) in enumerate(fits, 1):
        found.append(
            book.figure(
                f"{place}, {fit.limits.fit}",
                (book.amount(f"seat_{k}_max_mm", 3), " to ", book.amount(f"seat_{k}_min_mm", 3)),
                "mm",
                sure="standard",
                source=fit.limits.source,
                fields=(f"axle.seats[{k}].fit", f"axle.seats[{k}].from_face", "axle.bearing"),
                blanks=(Blank(f"seat_{k}", f"seat {k}", "mm"),),
            )
        )
    return tuple(found)


def _stator_seat(book: Book) -> tuple[Figure, ...]:
    lam, seat = book.motor.design.lamination, book.motor.design.axle.stator_seat
    if seat is None:
        return (_bought(book),)
    try:
        limits = fit_limits(lam.bore_diameter, seat.fit)
    except TableError:
        return ()
    return (
        book.figure(
            f"stator seat, {seat.fit}: or to the measured bore",
            (f"{format_number(limits.max_size_mm, 3)} to {format_number(limits.min_size_mm, 3)}",),
            "mm",
            sure="standard",
            source=limits.source,
            fields=("axle.stator_seat.fit", "lamination.bore_diameter"),
            blanks=(Blank("stator_seat", "stator seat", "mm"),),
        ),
    )


def _bought(book: Book) -> Figure:
    """Return the outside of the stock that the stack stands on."""
    axle = book.motor.design.axle
    low, high = outside_limits(axle)
    return book.figure(
        f"{axle.stock} under the stack, as bought",
        (f"{format_number(low, 2)} to {format_number(high, 2)}",),
        "mm",
        source=f"outside of the {axle.stock} by its standard, or as measured",
        fields=("axle.stock", "axle.stock_diameter", "axle.stock_least", "axle.stock_most"),
        blanks=(Blank("stock_least", "least", "mm"), Blank("stock_most", "greatest", "mm")),
    )


def _safety(book: Book) -> tuple[Figure, ...]:
    fields = ("axle.material", "axle.load.force", "axle.load.torque", "axle.bore_diameter")
    if "axle_safety_factor" not in book.results:  # no load is given: a finding says so
        return ()
    return (
        book.figure(
            "yield strength of the bar",
            book.amount("axle_yield_MPa", 0),
            "MPa",
            sure="standard" if book.motor.design.axle.yield_strength is None else "yours",
            source=f"{book.results['axle_steel']}: least of its standard, or your certificate",
            fields=("axle.material", "axle.yield_strength"),
            blanks=(Blank("bar", "bar, heat or certificate", wide=True),),
        ),
        book.figure(
            "least safety against yielding",
            book.amount("axle_safety_factor", 2),
            source="von Mises at the notch; an estimate",
            fields=fields,
        ),
    )


def bearings_step(book: Book) -> Step:
    """Return the step of fitting the bearings."""
    warm = "warm_fit_bearing_C" in book.results
    cold = "warm_fit_axle_C" in book.results
    heat: tuple[Do | Caution, ...] = (
        (
            Caution(CAUTION),
            Do(
                "Warm the bearing to the temperature below and slide it on at once"
                + (f", the axle from a freezer at {FREEZER:g} °C." if cold else ".")
            ),
        )
        if warm
        else ()
    )
    return Step(
        "bearings",
        "Bearings",
        "Done when both turn as freely as before they were fitted, and nothing rocks.",
        (
            Do("Pull the leads through the axle before the second bearing closes the way."),
            Do(
                "The load runs round the outer ring: it sits tight in the hub and may slide on the axle."
                if which_ring_is_tight(book.motor.design.axle.load) == "outer"
                else "The load turns with the rotor, round the inner ring: it sits tight on the axle, the "
                "outer ring may slide in the hub."
            ),
            Do(
                "Press only on the ring that is being fitted, square, with a sleeve of its diameter."
            ),
            *heat,
            *(RINGS if book.motor.design.axle.grooves else ()),
            Caution("Never strike a bearing: hardened rings splinter into eyes. Eye protection."),
            Do(
                "Turn each by hand: gritty or stiff means dirt or a bent seal; take it off and look."
            ),
        ),
        figures=(*_fits(book), *_housing(book), *_heat(book)),
    )


def _fits(book: Book) -> tuple[Figure, ...]:
    return tuple(
        book.figure(
            f"seat {k}: play to tightness",
            (
                book.amount(f"seat_{k}_clearance_most_um", 0),
                " µm loose to ",
                book.amount(f"seat_{k}_interference_most_um", 0),
                " µm tight",
            ),
            sure="standard",
            source="ISO 286-2 and ISO 492, Normal class",
            fields=(f"axle.seats[{k}].fit",),
        )
        for k in range(1, len(book.motor.design.axle.seats) + 1)
    )


def _housing(book: Book) -> tuple[Figure, ...]:
    if "housing_fit" not in book.results:
        return ()
    return (
        book.figure(
            f"bore of the hub, {book.results['housing_fit']}",
            (book.amount("housing_min_mm", 3), " to ", book.amount("housing_max_mm", 3)),
            "mm",
            sure="standard",
            source="JIS B 1566, DIN 5425-1: the ring that the load runs round sits tight; limits ISO 286-2",
            fields=("axle.bearing", "axle.hub_fit", "axle.load.action"),
            blanks=(
                Blank("hub_1", "hub bore, lead side", "mm"),
                Blank("hub_2", "hub bore, far side", "mm"),
            ),
        ),
    )


def _heat(book: Book) -> tuple[Figure, ...]:
    found = (
        [
            book.figure(
                "hottest that the bearing may get",
                book.amount("bearing_heat_limit_C", 0),
                "°C",
                source="bearing makers: 120 open, 100 with grease and seals, common practice",
                fields=("axle.grease_limit",),
            ),
        ]
        if "bearing_heat_limit_C" in book.results
        else []
    )
    if "warm_fit_bearing_C" in book.results:
        found.append(
            book.figure(
                "warm the bearing to",
                book.amount("warm_fit_bearing_C", 0),
                "°C",
                source="expansion 10.9 um per m and K, lowest published; play to slide by common practice",
                fields=("axle.mounting_gap", "axle.seats[1].fit"),
            )
        )
    return tuple(found)


def magnets_step(book: Book) -> Step:
    """Return the step of gluing magnets and bringing rotor and stator together."""
    ring = book.parts["magnet_ring"]
    notes = [n for n in ring[0].notes if n not in CAUTIONS] if ring else []
    return Step(
        "magnets",
        "Magnets",
        "Done when poles alternate all round, and a feeler of the least gap passes everywhere.",
        (
            Caution(CAUTIONS[0]),
            Do("Mark every magnet's pole with a compass, away from the heap."),
            *(Do(n if n.endswith(".") else f"{n}.") for n in notes),
            Do(
                "Clean ring and magnets with solvent, dry; glue one at a time, held by the spacing ring, and let it set."
            ),
            Do(
                "Go round with the compass: north, south, north, south. One wrong magnet spoils the motor."
            ),
            Caution(CAUTIONS[1]),
            Do(
                "Turn the rotor by hand. Anything that scrapes: find it now; the gap below is at worst case."
            ),
        ),
        figures=_magnets(book),
    )


def _magnets(book: Book) -> tuple[Figure, ...]:
    gap = ("rotor.air_gap", "rotor.magnet_thickness", "rotor.magnet_tolerance", "rotor.off_centre")
    if "magnets" not in book.results:
        return (
            book.exact(
                "air gap",
                book.said(book.motor.design.rotor.air_gap),
                fields=gap[:1],
                blanks=(Blank("gap", "least gap found", "mm"),),
            ),
        )
    rows = [
        book.exact(
            "magnets", book.amount("magnets"), fields=("motor.poles", "rotor.magnets_per_pole")
        ),
        book.exact(
            "bore of their ring",
            book.length("ring_bore_diameter_mm"),
            fields=("rotor.ring_bore", "rotor.air_gap"),
            blanks=(Blank("ring_bore", "bore of the ring", "mm"),),
        ),
        book.exact("air gap", book.length("air_gap_mm"), fields=gap),
        book.figure(
            "least air gap, all tolerances against it",
            book.length("air_gap_worst_mm"),
            source="sum of tolerances: magnets, glue, ring, centring; common practice",
            fields=gap,
            blanks=(Blank("gap", "least gap found", "mm"),),
        ),
        book.figure(
            "pull of the teeth on one magnet",
            book.amount("magnet_pull_by_teeth_N", 0),
            "N",
            source="B² / 2µ0 on an unslotted stator; simple model",
            fields=("rotor.magnet_grade", "rotor.air_gap"),
        ),
        book.figure(
            "hottest that the magnets stand",
            book.amount("magnet_hottest_C", 0),
            "°C",
            sure="maker",
            source="grade by its suffix, maker data",
            fields=("rotor.magnet_grade",),
        ),
    ]
    return tuple(rows)


def sensors_step(book: Book) -> Step:
    """Return the step of sensors and leads."""
    jig = book.parts["hall_jig"]
    wanted = book.motor.design.hall.sensors
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
            *_zero(book),
        ]
    entries += [
        Do(
            "Thread the leads one by one, the thickest first, with a pull cord left in; connectors afterwards."
        ),
        Do(
            "Sleeve over both edges; Hall leads in a sleeve of their own; a clamp on the frame takes the pull, "
            "with a drip loop below the bore."
        ),
        Caution(
            "A lead that chafes through puts battery voltage on the sensors and sparks: no bare edge, no "
            "lead under tension, nothing touching the rotor."
        ),
    ]
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


def _zero(book: Book) -> tuple[Do, ...]:
    """Say where the table's degrees begin, and what its signs mean."""
    motor, plan = book.motor, book.motor.hall_plan
    if plan is None or motor.hall_set is None:
        return ()
    connection = motor.design.winding.connection
    return (
        Do(f"{zero_words(plan.zero_deg, plan.slots, plan.poles, connection)}."),
        Do("U, V, W: voltage of U1 against U2 with open leads; current of that sign drives it on."),
    )


def _hall(book: Book) -> tuple[Figure, ...]:
    if "hall_slots" not in book.results:
        return ()
    fields = ("motor.slots", "motor.poles", "hall.arrangement")
    return (
        book.figure(
            "sensors in slots",
            book.amount("hall_slots"),
            sure="standard",
            source="star of slots",
            fields=fields,
        ),
        book.figure(
            "angles from tooth 1",
            book.amount("hall_angles_deg"),
            "°",
            sure="standard",
            source="star of slots",
            fields=fields,
        ),
        book.figure(
            "late (+) or early (−)",
            book.amount("hall_timing_deg", 2),
            "electrical °",
            sure="standard",
            source="star of slots",
            fields=fields,
        ),
        book.exact(
            "face stands back from the air gap",
            book.said(book.motor.design.hall.stand_back),
            fields=("hall.stand_back",),
            blanks=(Blank("back", "set back, found", "mm"),),
        ),
    )


def _table(book: Book) -> tuple[Grid, ...]:
    if book.motor.hall_set is None:
        return ()
    rows = tuple(
        (f"{step.from_deg:.4g} to {step.to_deg:.4g}", *step_cells(step))
        for step in hall_truth_table(book.motor.hall_set)
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
        book.figure(
            "bundle by hand",
            book.length("bundle_diameter_by_hand_mm", 1),
            source="circles packed, and play for a hand; common practice",
            fields=fields,
        ),
        book.figure(
            "bore filled",
            (
                book.amount("bundle_fill", 0, 100.0),
                " of at most ",
                book.amount("bundle_fill_limit", 0, 100.0),
            ),
            "%",
            sure="standard",
            source="NEC chapter 9, share of a short or long pull",
            fields=fields,
        ),
    )


def _leads_picture(book: Book) -> Picture | None:
    if not book.motor.design.axle.leads:
        return None
    box = (
        ACROSS.x - ACROSS_RADIUS - 3.0,
        ACROSS.y - ACROSS_RADIUS - 3.0,
        ACROSS.x + ACROSS_RADIUS + 3.0,
        ACROSS.y + ACROSS_RADIUS + 3.0,
    )
    bundle = book.motor.lead_bundle
    assert bundle is not None
    kinds = "; ".join(
        f"{k}: {b.count} × {b.name} {book.said(b.diameter)}" for k, b in enumerate(bundle.kinds, 1)
    )
    return Picture(
        "leads",
        "Leads in the bore",
        f"Section of the axle at the wire slot with all leads packed in the bore. {kinds}.",
        part_of(lead_view(book.motor.axle_shape, bundle, book.motor.design.name), box),
        (f"At the wire slot, as mounted. {kinds}, over the insulation.",),
        file="read/leads.svg",
        box=box,
    )
