"""Step: wind every tooth, count, pull evenly, test each coil."""

from __future__ import annotations

from collections.abc import Iterator

from recipes.design.units import counted, format_number, significant
from recipes.report.book import Book
from recipes.report.model import Amount, Blank, Caution, Do, Figure, Grid, Picture, Step
from recipes.report.picture_style import part_of
from recipes.stator.end_edge_view import FOOT, HEIGHT, MARGIN, WIDTH, edge_view
from recipes.tables.insulation import creepage
from recipes.winding.card import band, layers_text, size, tinning
from recipes.winding.card_run import (
    ROUTES_HEAD,
    bobbin_text,
    paths_words,
    route_rows,
    several_coils,
)
from recipes.winding.card_tables import tooth_rows
from recipes.winding.circuit import terminal_links
from recipes.winding.turn_length import PHASE_TAIL

# Step: join the coils, star or delta, and varnish them.


def join_step(book: Book) -> Step:
    """Return the step."""
    motor = book.motor
    own = next(row for row in motor.connections if row.own)
    return Step(
        "join",
        "Join",
        "Done when every joint of the list is soldered, sleeved and tied down below the rotor's way.",
        (
            *_leading_out(book),
            Caution(tinning(motor.design.winding.enamel_class)),
            Do(
                "Slide a sleeve over one tail first. Twist about 20 mm, solder, draw the sleeve over."
            ),
            Do("Work down the list of joints; tick each when it is sleeved."),
            *(
                Do(_star(group, motor.design.winding.connection))
                for group in terminal_links(motor.design.winding.connection)
            ),
            *(Do(f"{words[0].upper()}{words[1:]}.") for words in own.cautions),
            Do(
                "Lead thermistor wires in between two coils if the motor has one; leave Hall sensors for later."
            ),
            Do("Tie all joints and leads down with cord: nothing may stand out towards the rotor."),
            Do(
                "Test before you varnish: the next step first, then come back. A varnished fault stays."
            ),
            Caution(
                "Varnish and resin: vapours burn and harm. Outdoors or with extraction, no flame near; an oven "
                "only if the maker of the resin allows it, never one for food. Hot stators burn and drip."
            ),
        ),
        figures=_figures_joining(book),
        grids=(_joints(book), _ways(book)),
    )


def _leading_out(book: Book) -> tuple[Do, ...]:
    """Return what the jig for the leads does before anything is joined; nothing without one."""
    if not book.parts["lead_jig"]:
        return ()
    return (
        Do(
            "Before a joint is made, lay the jig for the leads on the coil ends, sight notch over tooth 1, "
            "on the axle or a bar of its size: each tail of a terminal into its notch, sleeves by its table."
        ),
    )


def _star(group: tuple[str, ...], connection: str) -> str:
    names = " and ".join((", ".join(group[:-1]), group[-1])) if len(group) > 1 else group[0]
    if connection == "wye":
        return f"Join {names}: the star point, sleeved, tied down. U1, V1 and W1 go to the leads."
    return f"Join {names}: lead {group[0]}."


def _figures_joining(book: Book) -> tuple[Figure, ...]:
    fields = ("winding.connection", "winding.parallel_paths")
    count = sum(join.soldered for join in book.motor.joints)
    return (
        book.exact(
            "joints in the list, leads included", str(count), fields=("winding.run", *fields)
        ),
        book.figure(
            "turns in series in one phase",
            book.amount("turns_in_series"),
            sure="standard",
            source="star of slots; divisors of equal sections",
            fields=("winding.turns", *fields),
        ),
        book.figure(
            "parallel paths that are legal",
            book.amount("parallel_paths_legal"),
            sure="standard",
            source="equal voltages only: sections of the star of slots",
            fields=fields,
        ),
    )


def _joints(book: Book) -> Grid:
    paths = book.motor.design.winding.parallel_paths
    rows = tuple(
        (f"{j.phase}{f' ({j.path})' if paths > 1 else ''}", j.text)
        for j in book.motor.joints
        if j.soldered
    )
    blanks = tuple((Blank(f"join_{k}", f"joint {k} done"),) for k in range(1, len(rows) + 1))
    return Grid("Joints", ("phase", "join"), rows, blanks, ("done",))


def _ways(book: Book) -> Grid:
    rows = tuple(
        (
            f"{row.circuit.connection}, {row.circuit.paths} in parallel"
            + (", this one" if row.own else ""),
            f"{row.speed_per_volt:.3g} ×",
            f"{row.torque_per_ampere:.3g} ×",
            f"{significant(1000 * row.lead_resistance_20C_ohm, 3)} mΩ",
        )
        for row in book.motor.connections
    )
    return Grid(
        "The same coils joined in other ways",
        ("joined in", "speed per volt", "torque per ampere", "two leads, 20 °C"),
        rows,
    )


# Step: round the ends, line the slots, and have wedges ready.


def line_step(book: Book) -> Step:
    """Return the step."""
    return Step(
        "line",
        "Line",
        "Done when every liner lies on its wall, both cuffs over the steel, and none moves under a thumb.",
        tuple(_entries_lining(book)),
        figures=(*_edge(book), *_liner(book), *_strips(book)),
        pictures=(_picture(book),),
    )


def _entries_lining(book: Book) -> list[Do | Caution]:
    ends, steel = (
        book.motor.design.ends,
        "Round the end edges of every tooth: no wire may turn a square steel edge.",
    )
    found: list[Do | Caution] = []
    if ends.end_cap is not None:
        found += [
            Caution(
                "Dust of glass laminate harms lungs: work wet or with suction, and wear a mask."
            ),
            *(
                Do(f"{n[0].upper()}{n[1:]}.")
                for n in book.parts["end_cap"][0].notes
                if "dust" not in n
            ),
        ]
    elif ends.steps:
        found.append(
            Do(
                "Feel along the stepped end sheets: every corner below the next. Break the last edge with the stone."
            )
        )
    else:
        found.append(Do(steel))
    found += [
        *_paper_cutter(book),
        Do(
            "Measure both rulers of the printed page: 100 mm each. If not, type them into [print] and build again."
        ),
        Caution(
            "Knife: cut away from the hand that holds the rule, fresh blade, several light strokes."
        ),
        Do(
            "Stick the paper rings on both ends: on the lead side the numbers run counter-clockwise. Their "
            "fingers lie on the teeth, so they go on before the liners."
        ),
        Do(
            "Try the three trial strips in a slot of the stack; take the widest that lies flat on the wall and "
            "stays below the opening."
        ),
        Do(
            "Cut all liners dry, grain across the slot. Fold the cuffs outwards first, then the long folds over the former."
        ),
        Do("Push each in from one end; both cuffs must stand clear of the steel and hold."),
    ]
    return found


def _paper_cutter(book: Book) -> Iterator[Do | Caution]:
    """Yield what to do where a machine cuts the paper, with what a laser makes of it."""
    sheets, printer = book.parts["paper_sheets"], book.motor.design.print
    if not sheets:
        return
    if printer.cutter == "laser":
        yield Caution(
            "A laser burns paper and board: aramid gives off hydrogen cyanide and carbon monoxide, "
            "glass laminate and film poisonous smoke too. Only with extraction to the open air, an "
            "extinguisher at hand, somebody beside it all the time, and after the maker's data sheet; "
            "else use a knife."
        )
    count = sum(sheet.quantity for sheet in sheets)
    held = dict.fromkeys(k[7:] for s in sheets for k in s.settings if k.startswith("pieces_"))
    yield Do(
        f"With a paper cutter: {counted(count, 'sheet')} from the files named paper-sheet, DXF or SVG "
        f"alike, hold every {' and '.join(held)}. Grain from left to right; cut one sheet, try a "
        "piece in its slot, then the rest."
    )


def _picture(book: Book) -> Picture:
    box = (0.0, MARGIN + FOOT, WIDTH, HEIGHT)
    ends = book.motor.design.ends
    kind = (
        "insulating cap"
        if ends.end_cap
        else "stepped end sheets"
        if ends.steps
        else "square steel edge"
    )
    return Picture(
        "edge",
        "End edge of a tooth",
        f"Section through the end of a tooth along its tip: sheets, {kind}, and the innermost wire turning over it.",
        part_of(
            edge_view(
                book.motor.design.ends,
                book.motor.stack.sheet_height,
                book.motor.proposed_ends,
                book.motor.design.liner.thickness,
                book.motor.wire.overall_max_mm,
                book.motor.design.name,
            ),
            box,
            3.0,
        ),
        (f"The innermost turn over the {kind}; the gap under it is paper and air.",),
        file="read/edge.svg",
        box=box,
    )


def _edge(book: Book) -> tuple[Figure, ...]:
    if "edge_radius_mm" not in book.results:
        return ()
    cap = book.motor.design.ends.end_cap is not None
    fields = ("ends.end_cap.edge_radius",) if cap else ("ends.steps",)
    return (
        book.figure(
            "round that the wire turns over",
            book.length("edge_radius_mm"),
            source="one wire diameter and at least 0.8 mm, common practice",
            fields=fields,
            blanks=(Blank("edge", "round found", "mm"),),
        ),
    )


def _liner(book: Book) -> tuple[Figure, ...]:
    motor = book.motor
    wall = ("liner.mouth_gap", "lamination.slot_depth", "liner.thickness")
    need = creepage(motor.design.motor.supply_voltage, 3)
    return (
        book.exact(
            "liner, across the slot",
            book.length("liner_width_mm"),
            fields=wall,
            blanks=(Blank("liner_width", "width taken after trial", "mm"),),
        ),
        book.exact(
            "liner, along the axle",
            book.length("liner_length_mm"),
            fields=("lamination.stack_length", "liner.overhang", "liner.cuff"),
            blanks=(Blank("liner_length", "length", "mm"),),
        ),
        book.exact(
            "liners, spare ones included",
            book.amount("liner_count"),
            fields=("liner.spare", "motor.slots"),
        ),
        book.figure(
            "overhang at each end",
            (f"{motor.design.liner.overhang:.3g}, at least {need.distance_mm:g}",),
            "mm",
            sure="standard",
            source=need.source,
            fields=("liner.overhang", "motor.supply_voltage"),
        ),
    )


def _strips(book: Book) -> tuple[Figure, ...]:
    return tuple(
        book.exact(
            f"{name}s, spare ones included",
            (
                book.amount(f"{name}_count"),
                " of ",
                *book.length(f"{name}_width_mm"),
                " × ",
                *book.length(f"{name}_length_mm"),
            ),
            fields=fields,
        )
        for name, fields in (
            ("wedge", ("wedge.overlap", "wedge.thickness")),
            ("separator", ("separator.thickness",)),
        )
        if f"{name}_count" in book.results
    )


def wind_step(book: Book) -> Step:
    """Return the step."""
    return Step(
        "wind",
        "Wind",
        "Done when every tooth has its turns the way its arrow points, and no coil meets steel.",
        tuple(_entries(book)),
        files=book.path("wind/choices.md"),
        figures=_figures(book),
        grids=(*_routes(book), _teeth(book)),
        notes=(
            Blank("reel", "reel and batch", wide=True),
            Blank("wound_by", "wound by, date", wide=True),
        ),
    )


def _entries(book: Book) -> list[Do | Caution]:
    motor = book.motor
    winding, tail = (
        motor.design.winding,
        size(motor.design.winding.tail / 1000, motor.imprint.inches),
    )
    longest = size(max(winding.tail, PHASE_TAIL) / 1000, motor.imprint.inches)
    several = (
        f", the {winding.strands} wires side by side and uncrossed" if winding.strands > 1 else ""
    )
    lay = (
        "Lay turn beside turn, the first layer from the root, layer on layer"
        if winding.lay == "layered"
        else "Let the turns fall evenly over the tooth"
    )
    found: list[Do | Caution] = [
        Do(
            "Wind one trial turn on every tooth with thread, by the arrows; compare every tooth with the "
            "picture, then take it off: whole phases have been wound backwards."
        ),
        Caution(
            "Ends of wire spring back into eyes: eye protection whenever wire is cut. Edges still cut hands."
        ),
        *(Do(words) for words in _running(book)),
        Do(f"Leave {tail} of start on the lead side, {longest} where it ends at a terminal."),
        Do(
            f"{lay}{several}. Count aloud, tick the card; pull evenly, by the figure below: more stretches copper."
        ),
        Do("Press turns down with fibre or hardwood, never with metal."),
        Do(
            "After each coil: meter from wire to steel. Anything but an open circuit: unwind, find the bare "
            "spot, wind anew. Write the resistance of each wire down."
        ),
    ]
    if motor.window.sides == 2 and motor.design.separator.thickness:
        found.append(
            Do("Stand a separator in the middle of a slot when its first coil side is in.")
        )
    if motor.design.wedge.thickness:
        found.append(
            Do(
                "Push a wedge in over each finished slot, under the tips; nothing may stand into the air gap."
            )
        )
    return found


def _running(book: Book) -> tuple[str, ...]:
    """Return what to mind where one wire winds several coils."""
    motor = book.motor
    if not several_coils(motor.design.winding):
        return ()
    held = bobbin_text(motor.wire_order.bobbin, motor.imprint.inches)
    return (
        f"One wire winds a whole route: load the bobbin with {held} for the longest.",
        "From tooth to tooth the wire goes on uncut: along the slot bottoms on the lead side, clear of the "
        "cuffs, sleeved where it crosses another phase.",
    )


def _routes(book: Book) -> tuple[Grid, ...]:
    motor = book.motor
    if not several_coils(motor.design.winding):
        return ()
    rows = route_rows(
        motor.wire_runs, motor.layout, motor.paths, motor.resistance, motor.imprint.inches
    )
    blanks = tuple(
        (Blank(f"wire_{k}", f"resistance of wire {k}"),) for k in range(1, len(rows) + 1)
    )
    words = paths_words(motor.wire_runs, motor.paths, tuple(motor.phase_ohms))
    return (Grid(f"Routes. {words}", ROUTES_HEAD[:-1], rows, blanks, ROUTES_HEAD[-1:]),)


def _figures(book: Book) -> tuple[Figure, ...]:
    motor, r = book.motor, book.motor.resistance
    several = several_coils(motor.design.winding)
    share = (r.least, r.greatest)
    turns = ("winding.turns", "winding.wire", "winding.strands")
    milli = r.coil_ohm < 1.0
    return (
        book.exact("turns on one tooth", book.amount("turns_per_coil"), fields=turns),
        book.figure(
            "layers from the tooth",
            layers_text(motor.conductors).replace("\u00a0", " "),
            fields=("winding.lay", *turns),
            source="wires laid row on row in the lined slot, common practice",
        ),
        book.figure(
            "turns that fit by hand",
            book.amount("turns_that_fit"),
            fields=turns,
            source="counted wire by wire; crossings and hand limits by common practice",
        ),
        book.figure(
            "longest cut, each strand" if several else "cut for one coil, each wire",
            book.amount("wire_cut_longest_m" if several else "coil_cut_length_m", 2),
            "m",
            source="turns laid round the real tooth, 4 % slack, crossovers, both tails"
            if several
            else "turns laid round the real tooth, 4 % slack, both tails",
            fields=("winding.tail", "winding.run", *turns),
        ),
        book.figure(
            "pull on each wire",
            (book.amount("tension_min_N", 1), " to ", book.amount("tension_max_N", 1)),
            "N",
            source="half to four fifths of a wire maker's limit, common practice",
            fields=("winding.wire",),
        ),
        book.figure(
            "coil ends stand out",
            book.length("coil_end_height_mm", 1),
            source="layers over the rounded end",
            fields=turns,
            blanks=(Blank("coil_end", "highest coil end", "mm"),),
        ),
        book.figure(
            f"one {'wire' if several else 'coil'}, {'four wires, ' if r.needs_four_wires else ''}at "
            f"{r.room_C:g} °C",
            (
                Amount(*_ohms(r.coil_at(r.room_C), milli)),
                " (",
                *_span(r.coil_at(r.room_C), share, milli),
                ")",
            ),
            "mΩ" if milli else "Ω",
            sure="standard",
            source="band of the wire's standard, and 4 % slack in length",
            fields=(*turns, "winding.room_temperature"),
        ),
    )


def _ohms(ohm: float, milli: bool) -> tuple[str, float]:
    value = 1000.0 * ohm if milli else ohm
    return f"{value:#.3g}".rstrip("."), ohm


def _span(ohm: float, share: tuple[float, float], milli: bool) -> tuple[str, ...]:
    low, high = (_ohms(ohm * part, milli)[0] for part in share)
    return low, " to ", high


def _teeth(book: Book) -> Grid:
    rows = tooth_rows(book.motor.layout, book.motor.joints)
    kept = [row for row in rows if row.sense]
    r = book.motor.resistance
    expected = band(r.coil_at(r.room_C), (r.least, r.greatest))
    head = ("tooth", "coil", "sense", "start to", "finish to")
    body = tuple((row.number, row.coil, row.sense, row.start, row.finish) for row in kept)
    if several_coils(book.motor.design.winding):
        clear = tuple((Blank(f"clear_{row.number}", f"tooth {row.number} clear"),) for row in kept)
        return Grid(
            "Every tooth, lead side, in the order of the routes", head, body, clear, ("clear",)
        )
    return Grid(
        f"Every tooth, lead side; each coil {expected} at {format_number(r.room_C, 0)} °C",
        head,
        body,
        tuple(
            (Blank(f"coil_{row.number}", f"resistance of tooth {row.number}", "Ω"),) for row in kept
        ),
        ("measured",),
    )
