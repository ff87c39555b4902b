"""The winding card as a winder reads it: from the printed words and lines, not from our data."""

from __future__ import annotations

import cmath
import math
import re
import xml.etree.ElementTree as ET
from functools import cache

import pytest
from shapely.geometry import LineString
from shapely.geometry import Point as Spot

from geometry.drafting.drawing import Drawing, Fill
from geometry.drafting.legible import legibility
from geometry.formats.drawing_pdf import write_pdf
from geometry.formats.drawing_svg import write_svg
from geometry.point import Point
from geometry.segment import Arc
from recipes.build.read_back import check_pdf
from recipes.catalogue import Parts
from recipes.motor import Motor
from recipes.refusal import Refused
from recipes.stator.slot import TOOTH_1
from recipes.winding.card_tables import tally, tooth_rows
from recipes.winding.circuit import joint_list, paths_for
from recipes.winding.marks import LINK_STYLES
from tests.support.card import (
    SIZES,
    STARTERS,
    arrow_direction,
    arrow_middle,
    crosses_on,
    followed,
    motor,
    outside_live_area,
    printed_joints,
    printed_teeth,
)
from tests.support.design import job
from tests.support.winding import read_reference

#: Sizes, paths, bare teeth, many turns, random lay, other papers.
CASES: dict[str, tuple[int, dict[str, object]]] = {
    **{str(slots): (slots, {}) for slots in SIZES},
    "two paths": (12, {"winding__parallel_paths": 2}),
    "four paths, delta": (24, {"winding__parallel_paths": 4, "winding__connection": "delta"}),
    "twenty paths": (120, {"winding__parallel_paths": 20}),
    "alternate 24": (24, {"winding__coil_sides": "alternate teeth"}),
    "alternate 12": (12, {"winding__coil_sides": "alternate teeth", "print__page": "A4"}),
    "alternate 120": (120, {"winding__coil_sides": "alternate teeth"}),
    "many turns": (
        18,
        {"winding__turns": 643, "winding__wire": "0.2 mm", "print__page": "Letter"},
    ),
    "at random": (9, {"winding__lay": "random", "winding__strands": 3, "winding__turns": 37}),
    "hot enamel": (18, {"winding__enamel_class": 200, "motor__supply_voltage": 96.5}),
}

#: One wire over several teeth.
RUNS: dict[str, tuple[int, dict[str, object]]] = {
    "phase 12": (12, {"winding__run": "one wire a phase"}),
    "group 18": (18, {"winding__run": "one wire a group"}),
    "phase 24, two paths": (24, {"winding__run": "one wire a phase", "winding__parallel_paths": 2}),
    "phase alternate 24": (
        24,
        {"winding__run": "one wire a phase", "winding__coil_sides": "alternate teeth"},
    ),
    "phase 48, A4": (48, {"winding__run": "one wire a phase", "print__page": "A4"}),
    "group 120": (120, {"winding__run": "one wire a group"}),
}


@cache
def case(name: str) -> Motor:
    if name in STARTERS:
        return job(name, winding__run="one wire a tooth")
    slots, changes = (CASES | RUNS)[name]
    return motor(slots, **changes)


def sheets(of: Motor) -> tuple[Drawing, ...]:
    (part,) = Parts(of)["winding_card"]
    assert part.name == "winding_card"
    assert not part.cut
    return part.drawings


def words(drawings: tuple[Drawing, ...]) -> str:
    return "\n".join(t.text for d in drawings for t in d.texts)


def centre_of(picture: Drawing) -> Point:
    """The axle on the sheet: the middle of the outline drawn with the most edges."""
    outline = max(picture.strokes, key=lambda s: len(s.segments))
    spots = [s.start for s in outline.segments]
    return Point(sum(p.x for p in spots) / len(spots), sum(p.y for p in spots) / len(spots))


@pytest.mark.parametrize("name", [*CASES, *RUNS])
def test_every_sheet_can_be_read_and_printed(name: str) -> None:
    of = case(name)
    page = of.design.print.page
    for sheet in sheets(of):
        assert [f.message for f in legibility(sheet)] == []
        assert outside_live_area(sheet, page, (100.0, 100.0)) == []


@pytest.mark.parametrize("starter", STARTERS)
def test_starters_can_be_read_and_printed(starter: str) -> None:
    of = case(starter)
    for sheet in sheets(of):
        assert [f.message for f in legibility(sheet)] == []
        assert outside_live_area(sheet, of.design.print.page, (100.0, 100.0)) == []


@pytest.mark.parametrize("name", CASES)
def test_picture_has_every_tooth_once_and_in_its_place(name: str) -> None:
    of = case(name)
    picture = sheets(of)[0]
    centre, slots = centre_of(picture), len(of.layout.teeth)
    numbers = {t.text: t for t in picture.texts if re.fullmatch(r"\d+", t.text)}
    assert sorted(map(int, numbers)) == list(range(1, slots + 1))
    assert sum(t.text.isdigit() for t in picture.texts) == slots
    for k, tooth in enumerate(of.layout.teeth):
        text = numbers[str(k + 1)]
        angle = Point(text.x, text.y).minus(centre).angle()
        assert abs(math.remainder(angle - TOOTH_1 - 2 * math.pi * k / slots, 2 * math.pi)) < 1e-3
        if tooth.phase:
            label = f"{tooth.phase}{'+' if tooth.sense > 0 else '−'}"
            near = min(
                (t for t in picture.texts if re.fullmatch(r"[UVW][+−]", t.text)),
                key=lambda t: math.hypot(t.x - text.x, t.y - text.y),
            )
            assert near.text == label
    for phase in "UVW":
        shown = sum(bool(re.fullmatch(rf"{phase}[+−]", t.text)) for t in picture.texts)
        assert shown == of.layout.coils_per_phase


@pytest.mark.parametrize("name", CASES)
def test_arrows_show_the_wire_over_the_lead_end(name: str) -> None:
    of = case(name)
    picture = sheets(of)[0]
    centre, slots = centre_of(picture), len(of.layout.teeth)
    found: dict[int, Point] = {}
    for fill in (i for i in picture.items if isinstance(i, Fill)):
        way = arrow_direction(fill)
        spoke = arrow_middle(fill).minus(centre) if way else None
        if way and spoke and spoke.length() < 95.0:  # the arrows of the legend lie lower
            turn = (spoke.angle() - TOOTH_1) / (2 * math.pi) * slots
            assert abs(turn - round(turn)) < 1e-3
            assert round(turn) % slots not in found
            found[round(turn) % slots] = way
    wound = {k for k, tooth in enumerate(of.layout.teeth) if tooth.phase}
    assert set(found) == wound
    for k, way in found.items():
        toward = Point.polar(1.0, TOOTH_1 + 2 * math.pi * k / slots)
        assert way.dot(crosses_on(+1.0, of.layout.teeth[k].sense, toward)) > 0.999


@pytest.mark.parametrize("name", CASES)
def test_joint_list_followed_by_hand(name: str) -> None:
    """From each U1 along the printed lines to U2: every coil of the phase once, in equal paths."""
    of = case(name)
    printed = printed_joints(sheets(of))
    assert len(set(printed)) == len(printed)
    paths = of.design.winding.parallel_paths
    assert len(printed) == len(joint_list(of.layout, paths))
    for phase in "UVW":
        chains = followed(printed, phase)
        assert len(chains) == paths
        assert {len(c) for c in chains} == {of.layout.coils_per_phase // paths}
        teeth = sorted(n - 1 for c in chains for n in c)
        assert teeth == list(of.layout.teeth_of(phase))  # type: ignore[arg-type]


@pytest.mark.parametrize("name", CASES)
def test_table_of_teeth_says_the_same_as_the_joint_list(name: str) -> None:
    of = case(name)
    drawn = sheets(of)
    rows, slots = printed_teeth(drawn), len(of.layout.teeth)
    assert sorted(rows) == list(range(1, slots + 1))
    joins = set()
    for number, row in rows.items():
        tooth = of.layout.teeth[number - 1]
        if not tooth.phase:
            assert row[1:] == ["bare"]
            continue
        _, coil, sense, towards, start, finish = row
        assert coil == f"{tooth.phase}{'+' if tooth.sense > 0 else '−'}"
        assert sense == ("↺ counter-clockwise" if tooth.sense > 0 else "↻ clockwise")
        assert towards == f"to no. {(number - 1 - tooth.sense) % slots + 1}"
        for mine, other in (("start", start), ("finish", finish)):
            joins.add(frozenset([(str(number), mine), _spelt(other)]))
    listed = {frozenset([j.one, j.two]) for j in printed_joints(drawn)}
    assert joins == listed


def _spelt(cell: str) -> tuple[str, str]:
    """ "7 F" -> ("7", "finish"); "U1 (2)" -> ("U1", "")."""
    number, _, letter = cell.partition(" ")
    return (number, {"S": "start", "F": "finish"}.get(letter, ""))


@pytest.mark.parametrize("name", [*STARTERS, "9", "12", "48", "four paths, delta", "alternate 24"])
def test_links_of_the_picture_followed_by_eye(name: str) -> None:
    """Every drawn link runs from a letter F to a letter S of the coils that the list names."""
    of = case(name)
    picture = sheets(of)[0]
    centre, slots = centre_of(picture), len(of.layout.teeth)
    letters = [t for t in picture.texts if t.text in "SF" and len(t.text) == 1]

    def end(at: Point) -> tuple[int, str]:
        near = min(letters, key=lambda t: math.hypot(t.x - at.x, t.y - at.y))
        turn = (Point(near.x, near.y).minus(centre).angle() - TOOTH_1) / (2 * math.pi) * slots
        return round(turn) % slots, {"S": "start", "F": "finish"}[near.text]

    drawn = []
    for phase, style in LINK_STYLES.items():
        for stroke in picture.strokes:
            run = stroke.segments
            if stroke.style == style and len(run) == 3 and isinstance(run[1], Arc):
                drawn.append((phase, *end(run[0].start), *end(run[-1].end)))
    listed = [
        (j.phase, j.from_tooth, j.from_end, j.to_tooth, j.to_end)
        for j in of.joints
        if j.from_tooth is not None and j.to_tooth is not None
    ]
    assert sorted(drawn) == sorted(listed)


@pytest.mark.parametrize("name", RUNS)
def test_routes_of_the_card_are_the_circuit_followed_from_terminal_to_terminal(name: str) -> None:
    """Route, table of teeth, joint list and star agree, tooth by tooth and end by end."""
    of = case(name)
    shown = words(sheets(of))
    routes = [run.route(of.layout) for run in of.wire_runs]
    for route in routes:
        for stop in route.split(" → "):
            assert stop in shown
    followed = []
    for phase in ("U", "V", "W"):
        for path in paths_for(of.layout, of.design.winding.parallel_paths)[phase]:
            signs = [f"{k + 1}{'+' if of.layout.teeth[k].sense > 0 else '−'}" for k in path]
            followed.append([f"{phase}1", *signs, f"{phase}2"])
    assert [s for r in routes for s in r.split(" → ")] == [s for f in followed for s in f]
    rows = {row.number: row for row in tooth_rows(of.layout, of.joints)}
    for join in of.joints:
        if not join.soldered:
            assert join.from_tooth is not None
            assert join.to_tooth is not None
            one, two = str(join.from_tooth + 1), str(join.to_tooth + 1)
            assert (rows[one].finish, rows[two].start) == (f"→ {two}", f"{one} →")
    order = [row.number for row in tooth_rows(of.layout, of.joints) if row.sense]
    assert order == [s[:-1] for f in followed for s in f[1:-1]]
    soldered = [j for j in of.joints if j.soldered]
    assert shown.count(" start") + shown.count(" finish") >= len(soldered)
    assert len(of.wire_runs) == len(soldered) - sum(j.terminal[1:] == "2" for j in soldered)


@pytest.mark.parametrize("name", [*STARTERS, "9", "48", "two paths", "alternate 24"])
def test_links_do_not_cover_each_other_and_a_dot_lies_on_one_line_only(name: str) -> None:
    picture = sheets(case(name))[0]
    lines = [
        s for s in picture.strokes
        if s.style in LINK_STYLES.values() and len(s.segments) in (1, 3) and s.segments[0].start.y > 70
    ]  # fmt: skip
    shapes = [LineString([s.segments[0].start, *(p for e in s.segments for p in e.chords(0.005))]) for s in lines]  # fmt: skip
    for i, one in enumerate(shapes):
        for two in shapes[:i]:  # lines may cross in a point, not run along each other
            assert one.buffer(0.3).intersection(two).length < 1.3
    dots = [
        i.loops[0].centroid
        for i in picture.items
        if isinstance(i, Fill) and i.tone == "black" and len(i.loops) == 1
        and len(i.loops[0].segments) == 2 and i.loops[0].box[3] - i.loops[0].box[1] > 1.4
        and i.loops[0].centroid.y > 70
    ]  # fmt: skip
    links = [s for s in lines if len(s.segments) == 3]
    assert len(dots) == len(links) > 0
    for dot in dots:
        assert sum(shape.distance(Spot(dot)) < 1.2 for shape in shapes) == 1


@pytest.mark.parametrize("starter", STARTERS)
def test_start_lies_where_the_arrow_points(starter: str) -> None:
    of = case(starter)
    picture = sheets(of)[0]
    centre, slots = centre_of(picture), len(of.layout.teeth)
    for text in picture.texts:
        spoke = Point(text.x, text.y).minus(centre)
        if text.text in ("S", "F") and spoke.length() < 80.0:
            k = round((spoke.angle() - TOOTH_1) / (2 * math.pi) * slots) % slots
            toward = Point.polar(1.0, TOOTH_1 + 2 * math.pi * k / slots)
            along = spoke.dot(crosses_on(+1.0, of.layout.teeth[k].sense, toward))
            assert (along > 0.5) if text.text == "S" else (along < -0.5)


@pytest.mark.parametrize(("starter", "pair"), [
    ("kayak-thruster", ("12", "14")), ("wool-spinner", ("18", "20")),
    ("potters-wheel", ("12", "14")),  # 24/28 repeats 12/14 twice and has its factor
])  # fmt: skip
def test_printed_card_makes_the_published_winding(starter: str, pair: tuple[str, str]) -> None:
    """Voltages added from the printed card alone reach the factor of tests/reference.

    Source: winding_layouts.csv there (common practice). Phases 120 electrical degrees apart.
    """
    of = case(starter)
    drawn = sheets(of)
    rows, joints = printed_teeth(drawn), printed_joints(drawn)
    turn = math.pi * of.design.motor.poles / of.design.motor.slots
    sums = {}
    for phase in "UVW":
        (chain,) = followed(joints, phase)
        senses = [1 if rows[n][2].startswith("↻") else -1 for n in chain]
        sums[phase] = sum(
            s * cmath.exp(1j * turn * (n - 1)) for n, s in zip(chain, senses, strict=True)
        ) / len(chain)
    published = next(
        float(r["kw1"])
        for r in read_reference("winding_layouts.csv")
        if (r["slots"], r["poles"]) == pair
    )
    pitch = math.sin(turn / 2)
    for phase in "UVW":
        assert abs(sums[phase]) * abs(pitch) == pytest.approx(published, abs=2e-6)
    third = cmath.exp(2j * math.pi / 3)
    assert abs(sums["V"] / sums["U"] - third) < 1e-9
    assert abs(sums["W"] / sums["V"] - third) < 1e-9


@pytest.mark.parametrize("name", CASES)
def test_tally_counts_up_to_the_turns(name: str) -> None:
    of = case(name)
    boxes = tally(of.conductors, 36.6)
    assert boxes.counts[-1] == of.design.winding.turns
    assert list(boxes.counts) == sorted(set(boxes.counts))
    assert boxes.pitch * (len(boxes.counts) - 1) + 3.0 <= 36.6 + 1e-9
    assert boxes.shown[len(boxes.counts) - 1] == str(of.design.winding.turns)
    if (
        of.conductors.kind == "layered"
        and len(of.conductors.turns_per_layer) <= 8
        and not of.conductors.fails_at
    ):
        steps = [b - a for a, b in zip((0, *boxes.counts), boxes.counts, strict=False)]
        assert steps == [n for n in of.conductors.turns_per_layer if n]


@pytest.mark.parametrize("starter", [*STARTERS, "alternate 24"])
def test_boxes_to_tick(starter: str) -> None:
    """On the table: tally, "clear" and "done" for each coil; on the list two for each joint."""
    of = case(starter)
    drawn = sheets(of)
    coils = 3 * of.layout.coils_per_phase
    squares = [
        sum(
            s.closed
            and len(s.segments) == 4
            and all(abs(e.length - 3.0) < 1e-6 for e in s.segments)
            for s in sheet.strokes
        )
        for sheet in drawn
    ]
    (table,) = (n for n, d in enumerate(drawn) if any(t.text == "tooth" for t in d.texts))
    assert squares[table] == coils * (len(tally(of.conductors, 36.6).counts) + 2)
    (last,) = (n for n, d in enumerate(drawn) if any(t.text == "Phase U" for t in d.texts))
    assert squares[last] >= 2 * len(printed_joints(drawn)) + 6
    assert squares[0] == 0


@pytest.mark.parametrize("starter", STARTERS)
def test_figures_are_those_of_the_design(starter: str) -> None:
    of = case(starter)
    text, winding, wire = words(sheets(of)), of.design.winding, of.wire
    metres = of.turn_lengths.coil_wire_m + 2 * winding.tail / 1000
    assert f"{winding.strands} × {of.imprint.said(f'{metres:.2f} m')}" in text
    copper = winding.strands * math.pi / 4 * wire.bare_mm**2
    # 35 to 55 N/mm2 on the copper of one wire (common practice)
    for stress in (35.0, 55.0):
        assert f"{stress * copper / winding.strands:.2g}" in text
    shown = re.search(r"one coil at 20 °C\n([\d.]+) mΩ \(([\d.]+) to ([\d.]+)\)", text)
    assert shown is not None
    coil, least, most = map(float, shown.groups())
    # IACS copper, 58 MS/m at 20 degC (IEC 60028)
    assert coil == pytest.approx(1000 * metres / (58.0 * copper), rel=0.02)
    assert least < coil < most
    assert " + ".join(map(str, of.conductors.turns_per_layer)) + " turns" in text


def test_inch_design_has_inches_and_pounds() -> None:
    text = words(sheets(job("wool-spinner")))
    assert "5.91 in (150 mm)" in text
    assert re.search(r"lb on a spring", text.replace("\n", " "))
    assert " in)" not in words(sheets(job("kayak-thruster")))


@pytest.mark.parametrize("name", ["9", "hot enamel"])
def test_cautions_stand_at_their_step(name: str) -> None:
    of = case(name)
    flat = words(sheets(of)).replace("\n", " ")
    order = [
        "wear gloves", "eye protection", "trial turn on every tooth first", "meter between coil and steel",
        "fumes", "sleeve over one tail", "Joints", "Star point", "60 V DC", "discharge the winding", "guarded",
    ]  # fmt: skip
    places = [flat.find(words_) for words_ in order]
    assert min(places) >= 0, order[places.index(min(places))]
    assert places == sorted(places)
    assert ("does not solder through" in flat) == (name == "hot enamel")
    assert ("This supply has 96.5 V" in flat) == (name == "hot enamel")


def test_star_and_delta_and_their_paths() -> None:
    star = words(sheets(case("12")))
    assert "Join U2, V2, W2: the star point" in star
    assert "U1, V1, W1 go to the leads." in star
    delta = words(sheets(case("four paths, delta"))).replace("\n", " ")
    for a, b in (("U1", "W2"), ("V1", "U2"), ("W1", "V2")):  # IEC 60034-8
        assert f"Join {a} and {b}: lead {a}." in delta
    assert "All 4 tails named U1 are one terminal" in delta
    assert "Measure the 4 paths of each phase before joining them" in delta
    assert "leave one corner open" in delta


def test_phases_differ_by_hatching_and_line_not_by_tone_alone() -> None:
    picture = sheets(job())[0]
    styles = {s.style for s in picture.strokes}
    assert set(LINK_STYLES.values()) <= styles
    assert len(set(LINK_STYLES.values())) == 3
    dots = [i for i in picture.items if isinstance(i, Fill) and len(i.loops) > 9]
    assert len(dots) == job().layout.coils_per_phase + 1  # the coils of W, and the legend


@pytest.mark.parametrize("name", [*STARTERS, "120", "alternate 12"])
def test_card_as_files(name: str) -> None:
    drawn = sheets(case(name))
    data = write_pdf(drawn, title="card", payload="x")
    assert check_pdf(drawn, data) == []
    for sheet in drawn:
        root = ET.fromstring(write_svg(sheet))
        assert root.attrib["width"] == f"{sheet.width_mm:g}mm"


def test_same_design_same_card() -> None:
    assert sheets(job()) == sheets(job())


def test_tooth_1_is_found_by_the_hub() -> None:
    assert "Tooth 1: a tooth over a keyway." in words(sheets(job())).replace("\n", " ")
    one = job(hub__keyway={"width": 6, "depth": 2.8, "count": 1})
    assert "Tooth 1 stands over the keyway." in words(sheets(one)).replace("\n", " ")
    spun = words(sheets(job("wool-spinner"))).replace("\n", " ")
    assert "Tooth 1: a tooth midway between two windows." in spun
    assert "Tooth 1: any tooth." in words(sheets(case("12"))).replace("\n", " ")


def test_not_a_winding_is_refused() -> None:
    with pytest.raises(Refused, match=r"motor\.poles"):
        bool(Parts(motor(12, motor__poles=12))["winding_card"])
    with pytest.raises(Refused, match=r"winding\.parallel_paths"):
        bool(Parts(motor(12, winding__parallel_paths=3))["winding_card"])


def test_a_long_name_is_cut_short() -> None:
    of = motor(12, name="A stator for the merry-go-round of the village")
    for sheet in sheets(of):
        assert [f.message for f in legibility(sheet)] == []
