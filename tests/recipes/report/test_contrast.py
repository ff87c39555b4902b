"""Colours of the build sheet against WCAG 2.2, success criteria 1.4.3 and 1.4.11 (W3C).

Relative luminance L = 0.2126 R + 0.7152 G + 0.0722 B with each sRGB channel c linearised as
c / 12.92 for c <= 0.04045, else ((c + 0.055) / 1.055)^2.4; contrast = (L1 + 0.05) / (L2 + 0.05).
https://www.w3.org/TR/WCAG22/#dfn-relative-luminance and #dfn-contrast-ratio.
"""

import re

import pytest

from tests.places import ROOT

STYLE = (ROOT / "recipes" / "report" / "page" / "page.css").read_text(encoding="utf-8")

#: Lettering and what it stands on: at least 4.5.
WORDS = [
    ("ink", "paper"), ("soft", "paper"), ("copper", "paper"), ("warn", "paper"),
    ("ink", "raised"), ("soft", "raised"), ("copper", "raised"),
    ("ink", "warn-ground"), ("soft", "warn-ground"), ("warn", "warn-ground"), ("copper", "warn-ground"),
    ("copper", "steel"), ("ink", "steel"), ("ink", "sheath"), ("copper", "sheath"),
    ("wire-ink", "wire"), ("print-ink", "print-ground"), ("print-ink", "print-sand"), ("ink", "sky"), ("ink", "sand"), ("ink", "mint"),
]  # fmt: skip


def luminance(colour: str) -> float:
    channels = (int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5))
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, two: str) -> float:
    light, dark = sorted((luminance(one), luminance(two)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def colours(scheme: str) -> dict[str, str]:
    light, dark = re.findall(r":root \{(.*?)\n\s*\}", STYLE, re.DOTALL)[:2]
    found = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", light))
    if scheme == "dark":
        found |= dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", dark))
    return found


def test_formula_gives_the_published_extremes() -> None:
    """Black on white is 21 and #767676 on white 4.54: the known greyest text that passes."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)
    assert contrast("#777777", "#ffffff") < 4.5


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("fore", "back"), WORDS)
def test_words_can_be_read(scheme: str, fore: str, back: str) -> None:
    found = colours(scheme)
    ratio = contrast(found[fore], found[back])
    assert ratio >= 4.5, f"{scheme}: {fore} {found[fore]} on {back} {found[back]}: {ratio:.2f}"


def test_both_schemes_name_the_same_colours() -> None:
    light, dark = re.findall(r":root \{(.*?)\n\s*\}", STYLE, re.DOTALL)[:2]
    assert set(re.findall(r"--([a-z-]+): #", light)) == set(re.findall(r"--([a-z-]+): #", dark))


def test_no_colour_stands_outside_the_list() -> None:
    """Every colour is one of those judged here, save the tones of a drawing that are replaced."""
    rest = STYLE.split("\n}\n", 2)[-1]
    named = re.sub(r'\[fill="#[0-9a-f]+"\]', "", rest)
    assert re.findall(r"#[0-9a-f]{3,8}\b(?! \{)", named) == []
