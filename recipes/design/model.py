"""The whole design file."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from functools import cache
from typing import Any, Literal, get_args

from pydantic import BaseModel, PrivateAttr, field_validator

from recipes.design.axle import Axle
from recipes.design.bench import Bench
from recipes.design.covers import Covers
from recipes.design.fields import Table, a_choice, a_table
from recipes.design.inches import Wording
from recipes.design.insulation import Ends, EndWasher, Liner, Separator, Wedge
from recipes.design.lamination import Hub, Lamination
from recipes.design.rotor import Hall, Rotor
from recipes.design.shop import Print, Rates, Shop
from recipes.design.units import to_mm
from recipes.design.winding import Motor, Winding

#: Names that Windows keeps for devices ("Naming Files, Paths, and Namespaces", Microsoft Learn).
_DEVICE = re.compile(r"(con|prn|aux|nul|(com|lpt)[0-9¹²³])")


class Design(Table):
    """One motor: everything that the recipes need, lengths in mm, angles in degrees."""

    _fractions: tuple[tuple[float, str], ...] = PrivateAttr(())
    name: str = a_choice("name of the design; names the folder of the pack, at most 60 characters")
    units: Literal["mm", "in"] = a_choice("unit of bare lengths in this file", "mm")
    notes: str = a_choice("anything to remember", "")
    motor: Motor = a_table("the task")
    lamination: Lamination = a_table("the sheet")
    hub: Hub = a_table("inside of the slots", Hub.model_construct())
    liner: Liner = a_table("slot paper", Liner.model_construct())
    wedge: Wedge = a_table("closing strip", Wedge.model_construct())
    separator: Separator = a_table("strip between coil sides", Separator.model_construct())
    ends: Ends = a_table("what rounds the end edges of the teeth", Ends.model_construct())
    end_washer: EndWasher = a_table("insulating ring at the ends", EndWasher.model_construct())
    winding: Winding = a_table("wire and turns")
    axle: Axle = a_table("the hollow axle")
    rotor: Rotor = a_table("magnets", Rotor.model_construct())
    covers: Covers | None = a_table("discs that close the ring and carry the bearings", None)
    hall: Hall = a_table(
        "sensors that tell the controller where the rotor is", Hall.model_construct()
    )
    shop: Shop = a_table("the cutting shop", Shop.model_construct())
    print: Print = a_table("the printer", Print.model_construct())
    rates: Rates = a_table("your own prices", Rates.model_construct())
    measured: Bench = a_table(
        "what the finished motor showed on the bench", Bench.model_construct()
    )

    @field_validator("name")
    @classmethod
    def _usable_as_folder(cls, value: str) -> str:
        if not 1 <= len(value.strip()) <= 60:
            raise ValueError("a name has 1 to 60 characters")
        if any(ord(c) < 32 or c in '/\\:*?"<>|' for c in value) or value.strip().startswith("."):
            raise ValueError(
                'a name is free of / \\ : * ? " < > | and control characters, and of a leading dot'
            )
        if not _slug(value) or _DEVICE.fullmatch(_slug(value)):
            raise ValueError(
                "a name needs a letter or digit and is no device name of an operating system"
            )
        return value

    @property
    def wording(self) -> Wording:
        """Writer of sentences in the unit of the file."""
        return Wording(self.units == "in", dict(self._fractions), _length_names())

    @property
    def slug(self) -> str:
        """Name of the pack's folder: lower case, words joined by hyphens."""
        return _slug(self.name)


@cache
def _length_names() -> frozenset[str]:
    """Return the names of all fields that are lengths, the last part of the dotted name alone."""
    names: set[str] = set()

    def walk(model: type[BaseModel]) -> None:
        for name, info in model.model_fields.items():
            extra = info.json_schema_extra
            if isinstance(extra, dict) and extra.get("unit") == "mm":
                names.add(name)
            for kind in _models(info.annotation):
                walk(kind)

    walk(Design)
    return frozenset(names)


def _models(annotation: Any) -> list[type[BaseModel]]:
    """Return the tables that an annotation names, inside lists and unions too."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [m for a in get_args(annotation) for m in _models(a)]


def wording_of(raw: Mapping[str, Any]) -> Wording:
    """Return the writer of sentences for a file that may be no design."""
    return Wording(raw.get("units") == "in", dict(written_fractions(raw)), _length_names())


def written_fractions(raw: Any) -> tuple[tuple[float, str], ...]:
    """Return every length that a file says as a fraction: mm, and the text ("1 1/4 in")."""
    if isinstance(raw, str):
        try:
            return ((to_mm(raw, "in"), raw.strip()),) if "/" in raw else ()
        except ValueError:
            return ()
    inside = (
        raw.values() if isinstance(raw, Mapping) else raw if isinstance(raw, list | tuple) else ()
    )
    return tuple(pair for value in inside for pair in written_fractions(value))


def _slug(name: str) -> str:
    """Return a name as a folder is called: the same letters on every system (Unicode NFC)."""
    plain = unicodedata.normalize("NFC", name).lower()
    return "-".join(re.findall(r"\w+", re.sub(r"['’]", "", plain)))
