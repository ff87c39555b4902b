"""Sentences for people: in every pack, of the starters and of designs thrown at random.

What is looked for are slips that every reader of a printed page notices (common practice of
copy-editing): "1 blanks", "it..", "1.01e+03", code marks, names of our own files, "-0", "nan".
"""

import re

import pytest

from recipes.assess import assess
from recipes.build.files import paths_by_part
from recipes.catalogue import RECIPES, Parts
from recipes.design.units import counted, ended, significant
from recipes.manufacturing.nest_plan import nest_parts
from recipes.manufacturing.order_text import order_markdown
from recipes.motor import Motor, solve
from recipes.report.html import page_html
from recipes.report.order import order_lines
from recipes.report.sheet import build_sheet
from tests.support.axle import random_axle
from tests.support.design import STARTERS, job
from tests.support.extremes import EXTREMES, extreme
from tests.support.sentences import blemishes, markdown_text, page_text, sentences_of


@pytest.mark.parametrize("name", STARTERS)
def test_every_sentence_of_a_pack(name, packs):
    told = list(sentences_of(packs[name]))
    assert len({file for file, _ in told}) > 20
    assert [(file, why, text) for file, text in told for why in blemishes(text)] == []


def said(made: Motor) -> list[str]:
    """Every sentence of findings, order and build sheet of a motor, without writing a pack."""
    parts = Parts(made)
    seen = assess(made, parts)
    told = [t for f in seen.findings for t in (f.message, f.fix, f.source)]
    if any(f.level == "stop" for f in seen.findings):
        return told
    every = [p for recipe in RECIPES for p in parts[recipe.name]]
    lines = order_lines(made, every, paths_by_part(made, parts))
    design = made.design
    nests = nest_parts(every, design.lamination, design.shop, made.kerf)
    told += markdown_text(order_markdown(design, made.kerf, lines, nests).encode())
    page = page_html(build_sheet(made, parts, seen.results, seen.findings, lines, ()))
    return [*told, *page_text(page)]


def bare(made: Motor) -> Motor:
    """Return the motor without the starter's covers, which fit no other stator."""
    return solve(made.design.model_copy(update={"covers": None}))


@pytest.mark.parametrize("name", EXTREMES)
def test_sentences_at_the_extremes(name):
    assert [(why, t) for t in said(bare(extreme(name))) for why in blemishes(t)] == []


def test_sentences_of_random_axles():
    for seed in range(12):
        assert [(why, t) for t in said(bare(random_axle(seed))) for why in blemishes(t)] == []


def test_one_blank_is_one_blank():
    blank = {"width": 1500.0, "height": 1500.0}
    made = job("kayak-thruster", shop__nest=True, shop__sheet=blank)
    told = said(made)
    assert any("1 blank " in t for t in told)
    assert [(why, t) for t in told for why in blemishes(t)] == []


def test_a_slip_is_seen():
    for text in ("1 blanks of 400 x 400 mm", "before you touch it..", "884 to 1.01e+03 mOhm",
                 "use a size: `lookup wire`", "recipes/tables/data/processes.csv", "two  blanks",
                 "shifted by -0 mm", "nan mm", "None"):  # fmt: skip
        assert blemishes(text), text
    for text in ("0.1 mm and 11 sheets", "tooth 1 towards tooth 2", "8 + 8 + 1 turns", "-0.3 mm"):
        assert blemishes(text) == [], text


def test_words_of_numbers():
    assert (counted(1, "blank"), counted(0, "blank"), counted(12, "sheet")) == (
        "1 blank", "0 blanks", "12 sheets")  # fmt: skip
    assert (significant(1013.2, 3), significant(0.00007874, 3), significant(-0.0, 3)) == (
        "1010", "0.0000787", "0")  # fmt: skip
    assert (ended("touch it."), ended("touch it")) == ("touch it.", "touch it.")


#: A length in metric units; "ISO 2768-m" and names of files are none.
METRIC = re.compile(
    r"(?<![\w.])(?<!\d-)\d+(?:\.\d+)?[ \u00a0](?:mm|um|µm|cm|m)\b(?![\w²2/])(?! per )"
)
#: What may hold one: brackets behind inches.
BEHIND = re.compile(r"(?:in|ft|in2|in²)[ \u00a0]\([^()]*\)|\[[^\]]*\]")
#: The rulers of a page that is printed at true scale are metric, its box both; they are gauges.
RULERS = re.compile(
    r"[XY]: 100 mm|10 x 5 cm inside|A ruler more than 0\.3 mm off|(?:10 )?20 30 40.*?mm"
)


def test_every_length_of_a_pack_in_inches_has_inches_first(packs):
    pages: dict[str, list[str]] = {}
    for file, text in sentences_of(packs["wool-spinner"]):
        whole = file.endswith((".pdf", ".svg", ".dxf"))  # there a sentence runs over lines
        pages.setdefault(file if whole else f"{file}: {text}", []).append(text)
    bare = [
        (page, found[0])
        for page, texts in pages.items()
        for found in METRIC.finditer(RULERS.sub("", BEHIND.sub("", " ".join(texts))))
    ]
    assert bare == []


def test_packs_in_mm_say_no_inches(packs):
    for name in ("potters-wheel", "kayak-thruster"):
        told = [t for f, t in sentences_of(packs[name]) if f != "order.md" and "4 x 2 in" not in t]
        assert [t for t in told if re.search(r"\d in \([\d.]", t)] == []
