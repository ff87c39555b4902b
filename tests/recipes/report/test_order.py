"""Orders: every part of the catalogue in it, masses by hand, files that exist, cells that are safe."""

import csv
import io
import math
from dataclasses import replace
from functools import cache

import pytest

from geometry.outline import Outline, Region
from geometry.part import Part
from recipes.build.files import planned
from recipes.catalogue import RECIPES, Parts
from recipes.design.load import BadInput
from recipes.manufacturing.nest_plan import nest_path
from recipes.manufacturing.order_line import ADDRESSEES, OrderLine, total_cost
from recipes.manufacturing.order_text import COLUMNS, order_csv, order_markdown
from recipes.motor import Motor
from recipes.refusal import Refused
from tests.support.design import STARTERS, job
from tests.support.shop import catalogue_parts, nest_of, nest_told, order_of


@cache
def lines_of(name: str) -> tuple[Motor, tuple[OrderLine, ...]]:
    j = job(name)
    return j, order_of(j)


def the(lines: tuple[OrderLine, ...], *words: str) -> OrderLine:
    """The only line whose item holds all the words."""
    (found,) = [x for x in lines if all(w in x.item for w in words)]
    return found


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


@pytest.mark.parametrize("name", STARTERS)
def test_every_part_is_ordered_once_with_its_quantity(name: str) -> None:
    j, lines = lines_of(name)
    ordered = [(x.part, x.quantity) for x in lines if x.part]
    assert sorted(ordered) == sorted((p.name, p.quantity) for p in catalogue_parts(j))
    assert all(x.addressee in ADDRESSEES and x.quantity > 0 and x.unit and x.source for x in lines)
    assert [ADDRESSEES.index(x.addressee) for x in lines] == sorted(
        ADDRESSEES.index(x.addressee) for x in lines
    )


@pytest.mark.parametrize("name", STARTERS)
def test_files_named_are_files_of_the_pack(name: str) -> None:
    j, lines = lines_of(name)
    packed = {p.path for r in RECIPES for p in planned(j, Parts(j)[r.name], r.files, "")}
    named = {f for x in lines for f in x.files}
    assert named <= packed
    assert {p for p in packed if p.startswith("cut/")} <= named


def test_who_gets_what() -> None:
    _, lines = lines_of("potters-wheel")
    assert the(lines, "stator sheet").addressee == "cutting shop"
    assert the(lines, "hollow axle").addressee == "turner"
    assert the(lines, "bearing").addressee == "bearing merchant"
    assert the(lines, "winding wire").addressee == "wire merchant"
    assert next(x for x in lines if x.item == "slot liner").addressee == "yourself"
    own = job(shop__process="own")
    made = order_of(own)
    assert "cutting shop" not in {x.addressee for x in made}
    assert the(made, "electrical steel sheet").quantity > 0


def test_mass_and_figures_of_the_sheets_by_hand() -> None:
    """Density of M400-50A: 7700 kg/m3, EN 10106 Table 2."""
    j, lines = lines_of("potters-wheel")
    part = Parts(j)["lamination"][0]
    line = the(lines, "stator sheet")
    assert line.mass_kg == pytest.approx(
        part.area * 1e-6 * 0.5e-3 * 7700 * part.quantity, rel=1e-12
    )
    assert line.cut_length_mm == pytest.approx(part.cut_length)
    assert line.pierces == len(part.loops)
    bar = the(lines, "round bar")
    assert bar.mass_kg == pytest.approx(math.pi / 4 * 0.038**2 * 0.160 * 7850, rel=1e-9)
    # (1 - 0.94) of a stack of 38 sheets x 0.5 mm / 0.94
    between = 0.06 * 38 * 0.5 / 0.94 * part.area / 1000
    assert f"{between:.1f} ml" in the(lines, "epoxy for laminating").size


@pytest.mark.parametrize("name", STARTERS)
def test_wire_is_what_the_winding_needs(name: str) -> None:
    j, lines = lines_of(name)
    order, line = j.wire_order, the(lines, "winding wire")
    assert order.order_kg <= line.quantity < order.order_kg + 0.0011
    assert line.mass_kg == order.order_kg
    assert j.wire.label in line.material
    assert sum(order.spools_kg) >= line.quantity - 0.001


def test_insulation_holds_the_pieces() -> None:
    """By hand: boxes of the pieces with 4 mm, a quarter more."""
    j, lines = lines_of("potters-wheel")
    liner, trial = Parts(j)["liner"]
    strips = [(r.box[2] - r.box[0] + 4) * (r.box[3] - r.box[1] + 4) for r in trial.cut]
    x0, y0, x1, y1 = liner.box
    area = 1.25 * (27 * (x1 - x0 + 4) * (y1 - y0 + 4) + sum(strips)) / 100
    line = next(x for x in lines if "slot liner" in x.purpose)
    assert area <= line.quantity < area + 10.0001
    assert "machine direction" in line.size


RATES = {
    "currency": "CHF", "per_metre_cut": 2.37, "per_pierce": 0.11, "per_m2_sheet": 31.3,
    "per_kg_wire": 27.9, "setup": 41.5,
}  # fmt: skip


def test_costs_only_with_rates() -> None:
    _, without = lines_of("potters-wheel")
    assert total_cost(without) is None
    assert {x.cost for x in without} == {None}
    j = job(rates=RATES)
    lines = order_of(j)
    part = Parts(j)["lamination"][0]
    by_hand = part.quantity * (
        2.37 * part.cut_length / 1000 + 0.11 * part.pierces + 31.3 * 153 * 153 * 1e-6
    )
    assert the(lines, "stator sheet").cost == pytest.approx(by_hand, rel=1e-9)
    assert the(lines, "winding wire").cost == pytest.approx(27.9 * sum(j.wire_order.spools_kg))
    assert the(lines, "set-up").cost == 41.5
    total = total_cost(lines)
    assert total == pytest.approx(sum(x.cost or 0.0 for x in lines))
    text = order_markdown(j.design, j.kerf, lines)
    assert f"{total:.2f}" in text
    assert "cost" not in order_markdown(j.design, j.kerf, without).split("## How sure")[0]
    # what the shop reads does not tell what the builder expects to pay
    assert "CHF" not in text.split("## To the cutting shop")[1].split("## To the wire")[0]


def test_sheet_by_mass_costs_the_mass_of_its_boxes() -> None:
    j = job(rates={"per_kg_sheet": 3.9})
    line = the(order_of(j), "stator sheet")
    assert line.cost == pytest.approx(3.9 * line.quantity * 153 * 153 * 0.5 * 7700 * 1e-9, rel=1e-9)


@pytest.mark.parametrize(
    "bad", [{"per_m2_sheet": 3, "per_kg_sheet": 2}, {"per_pierce": -0.1}, {"per_pierce": "2"},
            {"currency": "a long word"}, {"per_meter": 2}],
)  # fmt: skip
def test_bad_rates_are_refused(bad: dict[str, object]) -> None:
    with pytest.raises(BadInput, match="rates"):
        job(rates=bad)


def test_shop_text_says_what_shops_ask_for() -> None:
    j = job(shop__contact="A. Maker, 0123 456", lamination__tab_notch={"count": 3, "width": 1.9})
    text = order_markdown(j.design, j.kerf, order_of(j))
    request = " ".join(text.split("## To the cutting shop")[1].split("```")[1].split())
    part = Parts(j)["lamination"][0]
    for words in (
        "M400-50A to EN 10106", "0.5 mm thick", "coating on both faces", "40 pieces: lamination_0.5mm_qty40",
        "150.00 mm (5.906 in)", f"cut {part.cut_length / 1000:.3f} m, pierce {part.pierces} x",
        "+/- 0.1 mm", "at most 0.05 mm, and on the same side", "no kerf applied", "No heat tint",
        "only in the 3 notches in the middle of the tooth tips (1.9 x 0.3 mm)", "never in the bottom of a slot",
        "A. Maker, 0123 456", "Change nothing", "millimetres",
    ):  # fmt: skip
        assert words in request, words
    assert "NEST" not in request


def test_kerf_drawn_in_is_said_and_measured_in_the_cut_length() -> None:
    j = job(shop__kerf_full_width=0.18)
    lines = order_of(j)
    text = " ".join(order_markdown(j.design, j.kerf, lines).split())
    assert "0.18 mm full width is drawn in already" in text
    assert "outer edges 0.09 mm outside" in text
    assert "do not compensate again" in text
    line = the(lines, "stator sheet")
    assert line.cut_length_mm != pytest.approx(Parts(j)["lamination"][0].cut_length, abs=0.1)
    assert line.area_mm2 == pytest.approx(Parts(j)["lamination"][0].area)  # the finished piece
    assert "kerf0.18" in line.files[0]


@pytest.mark.parametrize("name", STARTERS)
def test_csv_is_read_back(name: str) -> None:
    j, lines = lines_of(name)
    text = order_csv(lines, j.design.rates.currency)
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    text.encode("utf-8")
    read = rows(text)
    assert tuple(read[0]) == COLUMNS
    assert len(read) == len(lines)
    for row, line in zip(read, lines, strict=True):
        assert (row["item"], row["part"], row["for_whom"]) == (line.item, line.part, line.addressee)
        assert float(row["quantity"]) == pytest.approx(line.quantity)
        assert row["files"].split() == list(line.files)
        if line.area_mm2 is not None:
            assert float(row["net_area_mm2_each"]) == pytest.approx(line.area_mm2)
    assert text == order_csv(lines, j.design.rates.currency)


@pytest.mark.parametrize("bad", ["=1+1", "+41 79", "-bar", "@SUM(A1)", " =x", "＝1", "'=2", '"=3"'])
def test_cells_that_look_like_formulas_are_defused(bad: str) -> None:
    j = job(axle__material=bad)
    text = order_csv(order_of(j), j.design.rates.currency)
    cells = {r["material"] for r in rows(text) if r["item"] == "hollow axle"}
    assert cells == {"'" + bad.strip()}
    assert all(c[:1] not in "=+-@\t＝" for r in rows(text) for c in r.values() if c)


def test_odd_names_stay_in_their_place() -> None:
    j = job(name="a ```x``` b_c", shop__contact="line, break ```", axle__material='say "x", y; z')
    lines = order_of(j)
    text = order_markdown(j.design, j.kerf, lines)
    assert text.count("```") == 2 * text.count("```text")
    found = next(
        r for r in rows(order_csv(lines, j.design.rates.currency)) if r["item"] == "hollow axle"
    )
    assert found["material"] == 'say "x", y; z'


def test_a_part_that_nobody_knows_yet_is_ordered_too() -> None:
    gauge = Part("gauge_block", (Region(Outline.rectangle(12.3, 45.6)),), "brass", 2.0, 7)
    plate = replace(gauge, name="shim", material="M400-50A", thickness=0.5)
    _, lines = lines_of("potters-wheel")
    j = job()
    more = order_of(j, (gauge, plate))
    assert len(more) == len(lines) + 3  # two parts, and brass to make one of them
    assert (the(more, "gauge block").quantity, the(more, "gauge block").addressee) == (
        7,
        "yourself",
    )
    assert the(more, "shim").addressee == "cutting shop"
    assert the(more, "shim").size == "overall 12.30 x 45.60 mm (0.484 x 1.795 in)"


def test_magnets_and_their_ring() -> None:
    """14 x 4 x 20 mm, N42, 7.5 g/cm3; a flat magnet's corners touch the bore first."""
    _, lines = lines_of("potters-wheel")
    magnets = the(lines, "magnets for the rotor")
    assert magnets.quantity == 28 + 2
    assert magnets.mass_kg == pytest.approx(30 * 14 * 4 * 20 * 7.5e-6, rel=1e-9)
    glue = job().design.rotor.glue_line
    bore = 2 * math.hypot(75 + 1.0 + 4 + glue, 7)
    assert f"bore {bore:.2f} mm" in the(lines, "ring for the magnets").size
    bare = job(rotor={"air_gap": 1.0})
    few = order_of(bare)
    assert the(few, "magnets for the rotor").quantity == 28
    assert not [x for x in few if x.item == "ring for the magnets"]
    assert the(few, "magnets for the rotor").confidence == "yours"


def test_tools_fit_the_design() -> None:
    _, lines = lines_of("potters-wheel")
    assert "29.980 to 29.993 mm" in the(lines, "mandrel").size  # 30 g6, ISO 286-2
    wedge = the(lines, "wooden wedges").size
    assert f"{3.2 - 2 * 0.18:.2f} mm" in wedge
    assert {"tool"} == {x.kind for x in lines if x.item in ("clamp plates", "winding holder")}
    assert the(lines, "stack", "mandrel").item.endswith("with the key")
    assert "key" not in the(lines_of("kayak-thruster")[1], "mandrel").item


def test_keys_are_ordered_to_size() -> None:
    """DIN 6885-1: 6 x 6; 18 mm is its longest length inside a stack of 20.2 mm, 1 mm from each end."""
    key = the(lines_of("potters-wheel")[1], "parallel key")
    assert key.quantity == 2
    assert [w.split()[0] for w in key.size.split("; ")[0].split(", ")] == [
        "6.00", "6.00", "18.00",
    ]  # fmt: skip
    assert not [x for x in lines_of("wool-spinner")[1] if "parallel key" in x.item]


def test_nest_is_made_only_when_asked() -> None:
    assert nest_of(job()) == ()
    assert nest_told(job()) == []
    blank = {"width": 400, "height": 310}
    j = job("kayak-thruster", shop__nest=True, shop__sheet=blank, shop__part_gap=2.5)
    parts = nest_of(j)
    wanted = sum(p.quantity for p in catalogue_parts(j) if p.name.startswith("lamination"))
    assert wanted > 79  # end sheets are among them
    assert sum(p.quantity * len(p.cut) for p in parts) == wanted
    for p in parts:
        assert nest_path(p).startswith("cut/NEST_M270-35A_0.35mm_blank")
        assert nest_path(p).endswith(f"qty{p.quantity}_own_machine.dxf")
        x0, y0, x1, y1 = p.box
        assert min(x0, y0, 400 - x1, 310 - y1) >= 5 - 1e-5  # margin of wire EDM
        assert p.reference[0].segments[0].start == (0.0, 0.0)
    text = order_markdown(j.design, j.kerf, order_of(j), parts)
    assert "## Nest for your own machine" in text
    assert f"{sum(p.quantity for p in parts)} blanks of 400 x 310 mm" in text


def test_a_nest_that_cannot_be_is_refused_by_field() -> None:
    with pytest.raises(Refused) as caught:
        nest_told(job(shop__nest=True))
    assert [(f.field, f.level) for f in caught.value.findings] == [("shop.sheet", "stop")]
    (found,) = nest_told(job(shop__nest=True, shop__sheet={"width": 140, "height": 200}))
    assert (found.field, found.level) == ("shop.sheet", "stop")
    assert "lamination, 150.00 x 150.00 mm" in found.message
    assert found.fix
