"""Widths and heights of text in the one font that every drawing uses.

The font file ships with this package and is embedded in every PDF, so a text box that was
measured here is the text box on paper, on every machine. Sizes follow ISO 3098-1: the nominal
size is the height of a capital letter, not the em of the typesetter.

The measures lie beside the font, taken from it once: reading a thousand glyphs at every start
took longer than drawing a sheet. `python -m tests.geometry.drafting.test_font` renews them.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

#: Family name, as other programs list it.
FONT_NAME = "DejaVu Sans Condensed"

#: Smallest lettering on any sheet in mm (ISO 3098-1 series 1.8, 2.5, 3.5, 5, 7, 10; 1.8 mm
#: fills in when a sheet is reduced or copied, so the next size up is the floor here).
SMALLEST_TEXT = 2.5

#: Distance between the base lines of two lines of text, in nominal sizes (ISO 3098-1 asks for
#: at least 19/14 for lettering type B with accents above capitals; from memory).
LINE_PITCH = 1.6


class Glyph(NamedTuple):
    """Advance, lowest and highest point of a character, in ems."""

    advance: float
    low: float
    high: float


class Font(NamedTuple):
    """The measures of the font: glyphs by character, and the capital height in ems."""

    glyphs: dict[str, Glyph]
    cap_height: float


def font_file() -> Path:
    """Return the path of the TrueType file."""
    return Path(__file__).parents[1] / "data" / "DejaVuSansCondensed.ttf"


@lru_cache(maxsize=1)
def font() -> Font:
    """Return the measures of the shipped font, read once."""
    measured = json.loads(font_file().with_suffix(".json").read_bytes())
    em = measured["units_per_em"]
    glyphs = {
        char: Glyph(advance / em, low / em, high / em)
        for char, (advance, low, high) in measured["advance_low_high"].items()
    }
    return Font(glyphs, glyphs["H"].high)


def em(height_mm: float) -> float:
    """Return the font size in mm whose capitals are `height_mm` high."""
    return height_mm / font().cap_height


def missing(text: str) -> str:
    """Return the characters of `text` that the font lacks, each once, in order."""
    return "".join(dict.fromkeys(c for c in text if c not in font().glyphs))


def text_width(text: str, height_mm: float) -> float:
    """Return the advance width of one line in mm; a missing character counts one em."""
    return em(height_mm) * _ems(text)


@lru_cache(maxsize=4096)
def _ems(text: str) -> float:
    """Return the advance width in ems: a sheet asks for that of one text many times."""
    glyphs = font().glyphs
    return sum(glyphs[c].advance if c in glyphs else 1.0 for c in text)


def text_reach(text: str, height_mm: float) -> tuple[float, float]:
    """Return the lowest and highest ink above the base line in mm, (0, 0) for blank text."""
    glyphs = font().glyphs
    inked = [glyphs[c] for c in text if c in glyphs]
    size = em(height_mm)
    return (
        size * min((g.low for g in inked), default=0.0),
        size * max((g.high for g in inked), default=0.0),
    )


def wrap(text: str, width: float, height_mm: float) -> list[str]:
    """Return `text` in lines of at most `width` mm, broken at spaces.

    A number stays with its unit if a no-break space (U+00A0) joins them; it comes out as a space.
    A single word that is wider than `width` stays whole on its own line: the caller sees that
    with `text_width` and can say which field is too long.
    """
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in paragraph.split(" "):
            longer = f"{line} {word}" if line else word
            if line and text_width(longer, height_mm) > width:
                lines.append(line)
                line = word
            else:
                line = longer
        lines.append(line)
    return [line.replace("\u00a0", " ") for line in lines]


def widest(lines: Sequence[str], height_mm: float) -> float:
    """Return the width of the widest line in mm, 0 for none."""
    return max((text_width(line, height_mm) for line in lines), default=0.0)
