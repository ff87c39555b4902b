"""[shop] and [print]: the cutting shop, the printer and the paper cutter.

Full kerf width k: what the cut takes away. Drawn in, the cutter follows the drawn line and
k / 2 is lost on each side of it:

     drawn  +-------------------+   outer edge: k / 2 outside the finished edge
            | +---------------+ |
            | |  finished     | |
            | |    +-----+    | |   finished hole
            | |    | +-+ |    | |   drawn hole: k / 2 inside it
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationInfo, field_validator, model_validator

from recipes.design.fields import (
    BareUnit,
    Figure,
    Length,
    Table,
    a_choice,
    a_figure,
    a_length,
    a_table,
)
from recipes.design.units import to_mm

# [rates]: what your own shop, merchant and steel cost; every field left out is simply not priced.

_YOURS = "your own quotes; prices differ too much for a default"


def _a_rate(meaning: str, unit: str) -> Figure | None:
    rate: Figure | None = a_figure(meaning, unit, 0.0, 1e6, None, source=_YOURS)
    return rate


class Rates(Table):
    """Your own prices, in one currency."""

    currency: str = a_choice(
        "what the prices are in, such as 'EUR' or '$'; at most 8 characters", "", source=_YOURS
    )
    per_metre_cut: Figure | None = _a_rate("one metre of cut in sheet steel", "currency/m")
    per_pierce: Figure | None = _a_rate("one start of a cut", "currency")
    per_m2_sheet: Figure | None = _a_rate(
        "one square metre of sheet steel; counted over the box round each piece and the gap",
        "currency/m2",
    )
    per_kg_sheet: Figure | None = _a_rate(
        "one kilogram of sheet steel; counted as per_m2_sheet", "currency/kg"
    )
    setup: Figure | None = _a_rate("setting up one order at the cutting shop", "currency")
    per_kg_wire: Figure | None = _a_rate("one kilogram of wire, whole reels", "currency/kg")

    @field_validator("currency")
    @classmethod
    def _short(cls, value: str) -> str:
        if len(value) > 8 or any(ord(c) < 32 for c in value):
            raise ValueError("a currency has at most 8 characters and no line breaks")
        return value.strip()

    @model_validator(mode="after")
    def _one_price_of_sheet(self) -> Rates:
        if self.per_m2_sheet is not None and self.per_kg_sheet is not None:
            raise ValueError(
                "sheet is priced by area or by mass: use either per_m2_sheet or per_kg_sheet"
            )
        return self


Process = Literal["laser", "waterjet", "wire-edm", "own"]

#: Widest full kerf that can be drawn in, mm; common waterjet heads leave 0.8 to 1.2.
WIDEST_KERF = 3.0

_COUPON = "measured on the test coupon"


def _kerf(value: object, info: ValidationInfo) -> float | str:
    """Return a full kerf width in mm, or the word "measured"."""
    if value == "measured":
        return "measured"
    unit: BareUnit = (info.context or {}).get("units", "mm")
    if not isinstance(value, int | float | str):
        raise ValueError("the full kerf width is a length, or the word 'measured'")
    width = to_mm(value, unit)
    if not 0.0 <= width <= WIDEST_KERF:
        raise ValueError(f"must be between 0 and {WIDEST_KERF:g} mm: use the full width of the cut")
    return width


#: A full kerf width in mm, or "measured": what the coupon says.
KerfWidth = Annotated[
    float | Literal["measured"], BeforeValidator(_kerf, json_schema_input_type=float | str)
]


def _a_kerf_width(meaning: str) -> Any:
    extra: dict[str, Any] = {
        "unit": "mm",
        "range": f"0 to {WIDEST_KERF:g}, or 'measured'",
        "source": "most metal shops compensate, a few ask for it drawn in: ask yours; common practice",
    }
    return Field(None, description=meaning, json_schema_extra=extra)


class Sheet(Table):
    """The blank that parts are cut from."""

    width: Length = a_length("of the blank", 50.0, 4000.0, source="sizes that shops load")
    height: Length = a_length("of the blank", 50.0, 4000.0, source="sizes that shops load")


class Measured(Table):
    """What the test coupon measures, typed in; whatever is left out is not known."""

    drawn_kerf: Length = a_length(
        "full kerf width that the measured coupon was drawn with: the number after 'kerf' in the "
        "name of its file",
        0.0,
        WIDEST_KERF,
        0.0,
        source=_COUPON,
    )
    outer_x: Length | None = a_length(
        "over the 20.00 square, onto its side with the notch", 18.0, 22.0, None, source=_COUPON
    )
    outer_y: Length | None = a_length(
        "over the 20.00 square, the other way", 18.0, 22.0, None, source=_COUPON
    )
    hole_x: Length | None = a_length(
        "inside the 10.00 hole, towards the side with the notch", 8.0, 12.0, None, source=_COUPON
    )
    hole_y: Length | None = a_length(
        "inside the 10.00 hole, the other way", 8.0, 12.0, None, source=_COUPON
    )
    bore_step: Length | None = a_length(
        "step of the half-ring that goes over the turned seat without play: 0 for one notch, "
        "0.05 for two, up to 0.20 for five",
        -0.2,
        0.4,
        None,
        source=_COUPON,
    )
    opening_step: Length | None = a_length(
        "step of the narrowest comb gap that lets the wire pass between two papers: -0.2 for one "
        "notch, 0 for three, 0.2 for five",
        -0.4,
        0.4,
        None,
        source=_COUPON,
    )
    pile_of_20: Length | None = a_length(
        "height of 20 sheets, deburred and pressed as in the finished stack",
        0.9,
        60.0,
        None,
        source="EN 60404-13 measures the stacking factor on such a pile",
    )


class Shop(Table):
    """Where the sheet is cut."""

    process: Process = a_choice(
        "way of cutting; it brings kerf, least features, tolerance, spacing and DXF version",
        "laser",
        source="table of processes, one row each; common practice",
    )
    kerf_full_width: KerfWidth | None = _a_kerf_width(
        "full kerf width to draw into the cut files of steel parts: outer edges grow by half of it, "
        "holes shrink by half of it on each side; 'measured' takes it from the coupon; left out or 0: "
        "drawn nominal, the shop compensates"
    )
    dxf_version: Literal["R12", "R2000", "R2010"] | None = a_choice(
        "version of the cut files; left out: the process's own",
        None,
        source="shops differ: most take R2000 or R2010, some old controllers only R12",
    )
    inch_twin: bool = a_choice(
        "write every cut file a second time in true inches",
        False,
        source="some shops prefer inches; common practice",
    )
    r12_twin: bool = a_choice(
        "write every cut file a second time as R12, which cannot declare a unit",
        False,
        source="some shops ask for R12; common practice",
    )
    sheet: Sheet | None = a_table("blank to cut from", None)
    part_gap: Length | None = a_length(
        "between two parts on a blank; left out: the process's own",
        0.2,
        50.0,
        None,
        source="laser 3, waterjet 4, wire EDM 1; common practice",
    )
    sheet_margin: Length | None = a_length(
        "from the edge of the blank to the parts; left out: the process's own",
        0.0,
        100.0,
        None,
        source="laser 5, waterjet 10, wire EDM 5; common practice",
    )
    contact: str = a_choice(
        "whom the shop asks when in doubt: a name, a mail address or a number", ""
    )
    measured: Measured = a_table("what the test coupon measures", Measured.model_construct())
    nest: bool = a_choice(
        "write the steel parts laid out on whole blanks as well, for your own machine; needs sheet",
        False,
        source="shops hold up nests that they did not make themselves; common practice",
    )


class Print(Table):
    """The printer for templates, and the cutter of slot paper."""

    page: Literal["A4", "Letter", "both"] = a_choice("paper; 'both' fits either", "both")
    measured_x: Length = a_length(
        "what the printed 100 mm ruler across really measures", 90.0, 110.0, 100.0
    )
    measured_y: Length = a_length(
        "what the printed 100 mm ruler upward really measures", 90.0, 110.0, 100.0
    )
    paper_thickness: Length = a_length(
        "of the sheet that is wrapped round the axle",
        0.03,
        1.0,
        0.1,
        source="80 g/m2 office paper, common practice",
    )
    cutter: Literal["drag knife", "laser"] = a_choice(
        "what cuts the sheets of slot paper, if a machine does", "drag knife"
    )
    cutter_sheet: Sheet | None = a_table(
        "sheet of slot paper on the paper cutter; left out: the page", None
    )
    perforate: Literal["cuff folds", "all folds", "none"] = a_choice(
        "folds that the paper cutter perforates; 'all folds' cuts through the liner inside the slot",
        "cuff folds",
        source="cuffs fold outside the steel; a slit in the slot is a way for a spark, common practice",
    )
    perforation_dash: Length = a_length(
        "cut of the perforation", 0.2, 10.0, 1.0, source="common practice"
    )
    perforation_gap: Length = a_length(
        "left whole between two cuts of the perforation", 0.5, 20.0, 2.0, source="common practice"
    )
