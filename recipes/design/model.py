"""The whole design file."""

from __future__ import annotations

import re
import unicodedata
from typing import Literal

from pydantic import field_validator

from recipes.design.axle import Axle
from recipes.design.bench import Bench
from recipes.design.covers import Covers
from recipes.design.fields import Table, a_choice, a_table
from recipes.design.insulation import Ends, EndWasher, Liner, Separator, Wedge
from recipes.design.lamination import Hub, Lamination
from recipes.design.rotor import Hall, Rotor
from recipes.design.shop import Print, Rates, Shop
from recipes.design.winding import Motor, Winding

#: Names that Windows keeps for devices ("Naming Files, Paths, and Namespaces", Microsoft Learn).
_DEVICE = re.compile(r"(con|prn|aux|nul|(com|lpt)[0-9¹²³])")


class Design(Table):
    """One motor: everything that the recipes need, lengths in mm, angles in degrees."""

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
    def slug(self) -> str:
        """Name of the pack's folder: lower case, words joined by hyphens."""
        return _slug(self.name)


def _slug(name: str) -> str:
    """Return a name as a folder is called: the same letters on every system (Unicode NFC)."""
    plain = unicodedata.normalize("NFC", name).lower()
    return "-".join(re.findall(r"\w+", re.sub(r"['’]", "", plain)))
