"""[rates]: what your own shop, merchant and steel cost; every field left out is simply not priced."""

from __future__ import annotations

from pydantic import field_validator, model_validator

from recipes.design.fields import Figure, Table, a_choice, a_figure

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
