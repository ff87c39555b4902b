"""What the build sheet says, before it becomes a page."""

import pytest

from geometry.drafting.drawing import Text
from recipes.assembly.half_section import half_section
from recipes.assembly.section_view import numbered
from recipes.heat.limits import BURN_CAUTION
from recipes.report import needs
from recipes.report.assembly_picture import motor_picture
from recipes.report.book import measured_beside
from recipes.report.fields import field_note, in_file_order
from recipes.report.model import Amount, Caution, Do
from recipes.report.needs import STEPS, step_of_finding, step_of_line
from recipes.rotor.ring import CAUTIONS
from recipes.shaft.shrink_fit import CAUTION as WARM
from tests.support.design import STARTERS, design, job
from tests.support.page import book, sheet_of, starter_book, starter_sheet


@pytest.mark.parametrize("name", STARTERS)
def test_steps_stand_in_the_order_of_the_build(name: str) -> None:
    sheet = starter_sheet(name)
    assert tuple(s.key for s in sheet.steps) == STEPS
    assert [p.key for p in sheet.pictures] == [
        "motor", "stator", "tooth", "slot", "liner", "axle", "card",
    ]  # fmt: skip


@pytest.mark.parametrize("name", STARTERS)
def test_the_first_picture_is_the_motor_with_every_part_and_its_order(name: str) -> None:
    """Red before: nothing showed the whole motor."""
    b = starter_book(name)
    picture = motor_picture(b)
    items = numbered(half_section(b.motor))
    told = [f.text for f in picture.figures]
    assert len(told) == len(items)
    for item, text in zip(items, told, strict=True):
        assert (text == "not in the order") == (item.title == "frame (your own)")
        assert "/" not in text  # a path does not break, and the page grows wider than the window
    drawn = [i.text for i in picture.drawing.items if isinstance(i, Text)]
    assert sorted(drawn, key=int) == [str(i.number) for i in items]


@pytest.mark.parametrize("name", STARTERS)
def test_every_line_of_the_order_and_every_finding_stands_once(name: str) -> None:
    sheet, b = starter_sheet(name), starter_book(name)
    told = [line for step in sheet.steps for line in step.needs]
    reworded = b.motor.design.wording.reworded
    assert sorted(told, key=repr) == sorted(reworded(tuple(b.lines)), key=repr)
    said = [f for step in sheet.steps for f in step.findings]
    assert sorted(said, key=repr) == sorted(reworded(tuple(b.findings)), key=repr)


@pytest.mark.parametrize("name", STARTERS)
def test_no_line_and_no_finding_lands_by_default(name: str) -> None:
    """`needs.ELSE` is for what nobody thought of: a new part or rule gets a line of its own."""
    for line in starter_book(name).lines:
        table, words = (
            (needs.PARTS, line.part) if line.part else (needs.ITEMS, line.item.casefold())
        )
        known = any(key in words for key, _ in table) or line.item == needs.SHEET
        assert known, (line.part, line.item)
        assert step_of_line(line) in STEPS
    for found in starter_book(name).findings:
        assert any(found.field.startswith(key) for key, _ in needs.FIELDS), found.field
        assert step_of_finding(found) in STEPS


#: What the hand holds at a step, by the work: wire is wound before joints are soldered, a bearing is
#: tried on a finished seat (common practice). Parts by their names, items by words in theirs.
PARTS_AT = {
    "coupon": "coupon", "coupon_tooth": "coupon", "lamination": "cut", "lamination_end1": "cut",
    "stack": "stack", "liner": "line", "liner_trial": "coupon", "wedge": "line", "separator": "line",
    "end_cap": "line", "winding_card": "wind", "tooth_ring_lead": "line", "axle": "axle",
    "axle_wrap": "axle", "seat_steps": "axle", "magnet_ring": "magnets", "lead_jig": "join",
    "rotor_ring": "magnets", "spacer_ring_lead": "covers", "cover_lead": "covers", "cover_far": "covers",
    "hall_jig": "sensors", "hall_plan": "sensors",
}  # fmt: skip
ITEMS_AT = {
    "micrometer": "coupon", "fine stone": "deburr", "laminating": "stack", "mandrel": "stack",
    "clamp plates": "stack", "threaded rod": "stack", "insulation, sheet": "line",
    "liner former": "line", "sharp knife": "line", "winding wire": "wind", "wooden wedges": "wind",
    "drift": "wind", "winding holder": "wind", "wire brake": "wind", "solder": "join",
    "sleeving": "join", "lacing cord": "join", "varnish or thin": "join", "milliohm": "test",
    "insulation tester": "test", "round bar": "axle", "parallel key": "axle",
    "ball bearing": "bearings", "magnets for the rotor": "magnets",
    "of the covers": "covers", "for the covers": "covers", "the covers": "covers",
    "Hall switch": "sensors", "temperature sensor": "sensors",
    "phase lead": "sensors", "Hall lead": "sensors",
}  # fmt: skip


def test_what_a_step_needs_stands_at_that_step() -> None:
    """On the page itself, among the needs of the step whose hand picks it up."""
    found: dict[str, set[str]] = {word: set() for word in (*PARTS_AT, *ITEMS_AT)}
    for name in STARTERS:
        for step in starter_sheet(name).steps:
            for line in step.needs:
                words = [line.part] if line.part else [w for w in ITEMS_AT if w in line.item]
                for word in words:
                    found.setdefault(word, set()).add(step.key)
    for word, step in (PARTS_AT | ITEMS_AT).items():
        assert found[word] == {step}, word


@pytest.mark.parametrize("name", STARTERS)
def test_every_figure_names_its_field_how_sure_it_is_and_who_says_so(name: str) -> None:
    sheet = starter_sheet(name)
    listed = {note.name for note in sheet.fields}
    figures = sheet.all_figures
    assert len(figures) > 80
    for figure in figures:
        assert figure.fields, figure.words
        assert set(figure.fields) <= listed
        assert figure.confidence in {"standard", "maker", "practice", "yours"}
        assert figure.source.strip()
        assert figure.text.strip()
    assert {f.confidence for f in figures} == {"standard", "maker", "practice", "yours"}
    marks = [m for p in sheet.pictures for m in p.marks]
    assert len(marks) >= 18
    for mark in marks:
        assert set(mark.fields) <= listed
        assert mark.fields


@pytest.mark.parametrize("name", STARTERS)
def test_blanks_have_names_of_their_own_and_fields_that_take_them(name: str) -> None:
    sheet, design_ = starter_sheet(name), starter_book(name).motor.design
    blanks = [b for f in sheet.all_figures for b in f.blanks]
    blanks += [b for s in sheet.steps for b in s.notes]
    blanks += [b for s in sheet.steps for g in s.grids for row in g.blanks for b in row]
    keys = [b.key for b in blanks]
    assert len(keys) == len(set(keys))
    recorded = {b.record for b in blanks if b.record}
    assert {
        "shop.measured.outer_x", "measured.lead_u_v", "measured.insulation", "measured.stack_height",
    } <= recorded  # fmt: skip
    for record in recorded:
        field_note(design_, record)


def test_cautions_stand_where_they_bite() -> None:
    """Common practice: at the step, before the hand gets there, not in a preface."""
    steps = {s.key: s for s in starter_sheet("potters-wheel").steps}
    cautions = {k: [e.text for e in s.entries if isinstance(e, Caution)] for k, s in steps.items()}
    assert all(cautions.values()), [k for k, v in cautions.items() if not v]
    assert CAUTIONS[0] in cautions["magnets"]
    assert CAUTIONS[1] in cautions["magnets"]
    assert CAUTIONS[2] in cautions["run"]
    assert BURN_CAUTION in cautions["run"]
    assert WARM in cautions["bearings"]
    assert any("500 V" in words for words in cautions["test"])
    assert any("local rules" in words for words in cautions["test"])
    for key, doing in (("magnets", "glue one at a time"), ("test", "500 V DC from winding"), ("bearings", "Warm the bearing"), ("stack", "Glue under clamp")):  # fmt: skip
        entries = steps[key].entries
        hand = next(n for n, e in enumerate(entries) if isinstance(e, Do) and doing in e.text)
        assert any(isinstance(e, Caution) for e in entries[:hand]), key


def test_figures_are_the_results() -> None:
    b, sheet = starter_book("kayak-thruster"), starter_sheet("kayak-thruster")
    shown = {
        a.key: a for f in sheet.all_figures for a in f.parts if isinstance(a, Amount) and a.key
    }
    assert len(shown) > 45
    for key, amount in shown.items():
        assert amount.raw == b.results[key]
    assert shown["lead_resistance_room_ohm"].text == "39.9"  # 0.03988 ohm, in mOhm
    assert shown["copper_fill"].text == "32"


def test_what_was_recorded_stands_beside_what_was_expected() -> None:
    b = book(measured__lead_u_v="0.4711 ohm", shop__measured={"outer_x": 19.87})
    sheet = sheet_of(b)
    rows = {f.words: f for s in sheet.steps for f in s.figures}
    assert rows["leads U – V at 20 °C"].measured.startswith("471.1 mOhm, ")
    assert rows["leads V – W at 20 °C"].measured == ""
    assert rows["square, onto the notch"].measured == "19.87 mm"
    assert measured_beside(b.motor, "") == ""
    with pytest.raises(KeyError, match="no field"):
        measured_beside(b.motor, "measured.colour")


def test_fields_say_what_the_schema_says() -> None:
    d = design("wool-spinner")
    tooth = field_note(d, "lamination.tooth_width")
    assert tooth.value == "0.25 in (6.35 mm)"
    assert tooth.meaning == "width of a tooth; for parallel teeth"
    assert field_note(design(), "lamination.tooth_width").limits == "0.5 to 200 mm"
    assert field_note(d, "axle.seats[2].fit").limits == "one of g6, h5, h6, js6, k5, k6"
    assert field_note(d, "lamination.tip_radius", "0.3 mm").value == "left out; taken: 0.3 mm"
    assert field_note(d, "lamination.tip_angle").value == "15°"
    for wrong in ("lamination.colour", "axle.seats[3].fit", "ends.end_cap.flavour"):
        with pytest.raises(KeyError):
            field_note(d, wrong)
    with pytest.raises(KeyError, match="leaves end_cap out"):
        field_note(design("kayak-thruster"), "ends.end_cap.thickness")


def test_fields_stand_as_in_the_file() -> None:
    names = [
        "axle.seats[2].fit",
        "winding.turns",
        "axle.seats[1].fit",
        "motor.poles",
        "motor.slots",
    ]
    assert in_file_order(design(), set(names)) == [
        "motor.slots", "motor.poles", "winding.turns", "axle.seats[1].fit", "axle.seats[2].fit",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("starter", "changes"),
    [
        ("potters-wheel", {"hall__sensors": False}),
        ("potters-wheel", {"axle__leads": None}),
        ("potters-wheel", {"rotor": {"air_gap": 0.93}}),
        ("potters-wheel", {"wedge__thickness": 0.0, "separator__thickness": 0.0}),
        ("potters-wheel", {"ends": None, "motor__speed_constant": None}),
        ("potters-wheel", {"winding__lay": "random"}),
        ("wool-spinner", {"winding__coil_sides": "alternate teeth"}),
        ("kayak-thruster", {"shop__process": "own", "winding__parallel_paths": 2}),
        ("kayak-thruster", {"lamination__tip_angle": 0.0, "lamination__slot_bottom": "flat"}),
        ("potters-wheel", {"liner__cuff": 0.0, "hub__orientation_mark": False}),
    ],
)  # fmt: skip
def test_designs_that_leave_things_out_have_a_sheet(
    starter: str, changes: dict[str, object]
) -> None:
    sheet = sheet_of(book(starter, **changes))
    assert len(sheet.steps) == len(STEPS)
    words = " ".join(f.words for f in sheet.all_figures)
    if changes.get("hall__sensors") is False:
        assert "sensors in slots" not in words
        assert next(s for s in sheet.steps if s.key == "sensors").title == "Leads"
    if "rotor" in changes:
        assert "pull of the teeth" not in words


def test_inches_stand_beside_millimetres() -> None:
    rows = {f.words: f.text for f in starter_sheet("wool-spinner").all_figures}
    assert rows["liner, across the slot"] == "1.292 in (32.82 mm)"  # 32.81639 / 25.4


def test_sheet_does_not_change_the_job() -> None:
    before = job("wool-spinner").revision
    assert starter_sheet("wool-spinner").revision == before
