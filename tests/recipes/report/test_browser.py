"""The page in a real browser: Chromium without a window, as a telephone, a screen, and a printer."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from recipes.cli.commands import run
from tests.support.design import STARTERS

playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
CHROMIUM = (
    shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
)
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine")

#: PDF counts 72 points in an inch.
POINTS_PER_MM = 72 / 25.4


@pytest.fixture(scope="module")
def pages(packs: dict[str, Path]) -> dict[str, Path]:
    return {name: pack / "build-sheet.html" for name, pack in packs.items()}


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    root = hasattr(os, "getuid") and os.getuid() == 0  # Chromium's own sandbox refuses root
    with playwright.sync_playwright() as player:
        found = player.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox"] if root else []
        )
        yield found
        found.close()


class Visit:
    """One look at a page, with everything that it asked for and complained about."""

    def __init__(self, browser: Any, file: Path, **settings: Any) -> None:
        self.context = browser.new_context(**settings)
        self.page = self.context.new_page()
        self.asked: list[str] = []
        self.said: list[str] = []
        self.page.on("request", lambda r: self.asked.append(r.url))
        self.page.on("console", lambda m: self.said.append(m.text))
        self.page.on("pageerror", lambda e: self.said.append(str(e)))
        self.page.goto(file.as_uri())

    def __enter__(self) -> Visit:
        return self

    def __exit__(self, *_: object) -> None:
        self.context.close()


#: Elements that stick out of the window, less what is meant to lie outside it or is drawn.
BEYOND = """[...document.querySelectorAll('body *')]
    .filter(e => !e.closest('svg, .unseen, .skip, thead'))
    .filter(e => { const b = e.getBoundingClientRect(); return b.right > innerWidth + 1 || b.left < -1; })
    .map(e => e.outerHTML.slice(0, 80))"""

#: Smallest lettering of sentences and tables in CSS pixels.
SMALLEST = """Math.min(...[...document.querySelectorAll('main p, main td, main th, main li')]
    .filter(e => e.offsetParent && e.textContent.trim())
    .map(e => parseFloat(getComputedStyle(e).fontSize)))"""


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", STARTERS)
def test_nothing_overflows_complains_or_leaves(
    pages: dict[str, Path], chromium: Any, name: str, scheme: str
) -> None:
    with Visit(chromium, pages[name], color_scheme=scheme) as v:
        for width in (360, 820, 1280):
            v.page.set_viewport_size({"width": width, "height": 800})
            assert v.page.evaluate("document.documentElement.scrollWidth") <= width
            assert v.page.evaluate(BEYOND) == []
            assert v.page.evaluate(SMALLEST) >= 12
        assert v.asked == [pages[name].as_uri()]
        assert v.said == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_words_in_drawings_can_be_read_on_a_telephone(
    pages: dict[str, Path], chromium: Any, scheme: str
) -> None:
    view = {"width": 360, "height": 800}
    with Visit(chromium, pages["wool-spinner"], viewport=view, color_scheme=scheme) as v:
        sizes = v.page.evaluate(
            """[...document.querySelectorAll('.marks text')].map(e =>
               parseFloat(e.getAttribute('font-size')) * Math.hypot(e.getScreenCTM().a, e.getScreenCTM().b))"""
        )
        assert len(sizes) > 15
        assert min(sizes) > 9.5
        assert v.page.evaluate("getComputedStyle(document.body).backgroundColor") == {
            "light": "rgb(251, 249, 244)", "dark": "rgb(23, 26, 28)",
        }[scheme]  # fmt: skip


def test_every_figure_answers_the_keyboard(pages: dict[str, Path], chromium: Any) -> None:
    """Tab reaches every dimension and figure, in order; each names its fields; Escape closes."""
    with Visit(chromium, pages["kayak-thruster"], viewport={"width": 1280, "height": 900}) as v:
        page = v.page
        wanted = page.evaluate("document.querySelectorAll('[data-fields]').length")
        assert wanted > 110
        seen = 0
        for _ in range(1500):
            page.keyboard.press("Tab")
            got = page.evaluate(
                """(() => { const a = document.activeElement, p = document.getElementById('panel');
                   if (a === document.body) return 'end';
                   if (!a.dataset.fields) return null;
                   const asked = a.dataset.fields.split(' ').map(i => document.querySelector('#' + i + ' code').textContent);
                   const shown = [...p.querySelectorAll('code')].map(c => c.textContent);
                   const b = p.getBoundingClientRect();
                   return { same: JSON.stringify(asked) === JSON.stringify(shown), open: !p.hidden,
                            inside: b.left >= 0 && b.right <= innerWidth && b.top >= 0 && b.bottom <= innerHeight,
                            at: [...document.querySelectorAll('[data-fields]')].indexOf(a),
                            name: a.getAttribute('aria-label') || a.textContent }; })()"""
            )
            if got == "end":
                break
            if got:
                assert got["same"], got
                assert got["open"], got
                assert got["inside"], got
                assert got["at"] == seen
                assert got["name"].strip()
                seen += 1
        assert seen == wanted
        page.locator("a.dim").first.focus()
        assert page.locator("#panel").is_visible()
        page.keyboard.press("Escape")
        assert page.locator("#panel").is_hidden()
        assert v.said == []


def test_pointing_at_a_dimension_shows_its_field(pages: dict[str, Path], chromium: Any) -> None:
    with Visit(chromium, pages["potters-wheel"], viewport={"width": 1280, "height": 900}) as v:
        v.page.locator("a.dim[data-fields='f-lamination-tooth_width'] text").hover()
        panel = v.page.locator("#panel")
        assert panel.is_visible()
        words = panel.inner_text()
        for part in ("lamination.tooth_width", "7.6 mm", "0.5 to 200 mm", "width of a tooth"):
            assert part in words
        panel.hover()  # may be read at leisure (WCAG 2.2, 1.4.13)
        v.page.wait_for_timeout(400)
        assert panel.is_visible()
        v.page.mouse.move(5, 5)
        v.page.wait_for_timeout(400)
        assert panel.is_hidden()


@pytest.mark.parametrize("name", STARTERS)
def test_tapping_a_dimension_shows_its_field(
    pages: dict[str, Path], chromium: Any, name: str
) -> None:
    view = {"width": 360, "height": 740}
    with Visit(chromium, pages[name], viewport=view, has_touch=True, is_mobile=True) as v:
        v.page.locator("a.dim[data-fields='f-lamination-slot_opening'] rect.touch").tap()
        panel = v.page.locator("#panel")
        assert "lamination.slot_opening" in panel.inner_text()
        box = panel.bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= 360
        v.page.locator("h1").tap()
        assert panel.is_hidden()


def test_without_script_a_figure_still_leads_to_its_field(
    pages: dict[str, Path], chromium: Any
) -> None:
    with Visit(chromium, pages["potters-wheel"], java_script_enabled=False) as v:
        v.page.locator("a.fig").first.click()
        assert "#f-" in v.page.url
        assert (
            v.page.locator(".field:target code").inner_text().startswith(("lamination.", "axle."))
        )
        assert v.page.locator(".tools").is_hidden()


def test_what_is_written_stays_and_becomes_a_command(
    pages: dict[str, Path], chromium: Any, tmp_path: Path
) -> None:
    """The command that the page makes is one that `record` takes."""
    with Visit(chromium, pages["potters-wheel"]) as v:
        page = v.page
        assert page.locator("#keep").is_hidden()
        page.locator("[data-record='measured.lead_u_v']").fill("471,3")
        page.locator("[data-record='shop.measured.outer_x']").fill("19.87")
        page.locator("[data-record='measured.room_temperature']").fill("18.5")
        page.locator("[data-record='measured.insulation']").fill("37")
        page.locator(".do input").first.check()
        command = page.locator("#command").inner_text()
        page.reload()
        assert page.locator("[data-record='measured.lead_u_v']").input_value() == "471,3"
        assert page.locator(".do input").first.is_checked()
        page.locator("#forget").click()
        page.reload()
        assert page.locator("[data-record='measured.lead_u_v']").input_value() == ""
        assert v.said == []
    import shlex

    program, verb, file, *words = shlex.split(command)
    assert (program, verb, file) == ("lamwright", "record", "design.toml")
    copy = tmp_path / "design.toml"
    copy.write_bytes((pages["potters-wheel"].parent / "design.toml").read_bytes())
    assert run(["record", str(copy), *words]) == 0
    from recipes.design.load import load

    design = load(copy)
    assert design.measured.lead_u_v == pytest.approx(0.4713)
    assert design.measured.room_temperature == 18.5
    assert design.measured.insulation == 37
    assert design.shop.measured.outer_x == 19.87


def test_storage_that_is_forbidden_breaks_nothing(pages: dict[str, Path], chromium: Any) -> None:
    context = chromium.new_context()
    page = context.new_page()
    said: list[str] = []
    page.on("pageerror", lambda e: said.append(str(e)))
    page.add_init_script(
        "Object.defineProperty(window, 'localStorage', { get() { throw new Error('no'); } })"
    )
    page.goto(pages["potters-wheel"].as_uri())
    page.locator("[data-record='measured.lead_u_v']").fill("471")
    assert "lead_u_v" in page.locator("#command").inner_text()
    assert said == []
    context.close()


def test_less_motion_is_respected(pages: dict[str, Path], chromium: Any) -> None:
    for wish, behaviour in (("reduce", "auto"), ("no-preference", "smooth")):
        with Visit(chromium, pages["wool-spinner"], reduced_motion=wish) as v:
            style = v.page.evaluate("getComputedStyle(document.documentElement).scrollBehavior")
            assert style == behaviour


@pytest.mark.parametrize(("size", "wide", "high"), [("A4", 210.0, 297.0), ("Letter", 215.9, 279.4)])
@pytest.mark.parametrize("name", STARTERS)
def test_prints_on_both_papers_with_nothing_cut(
    pages: dict[str, Path],
    chromium: Any,
    tmp_path: Path,
    name: str,
    size: str,
    wide: float,
    high: float,
) -> None:
    """Paper sizes: ISO 216 A4, ANSI/ASME Y14.1 A (Letter). Pages by pypdf, places of words by pdfium."""
    pypdf, pdfium = pytest.importorskip("pypdf"), pytest.importorskip("pypdfium2")
    file = tmp_path / f"{size}.pdf"
    with Visit(chromium, pages[name], color_scheme="dark") as v:
        v.page.pdf(path=str(file), format=size)
    pages = pypdf.PdfReader(file).pages
    assert 8 < len(pages) < 40
    for leaf in pages:
        box = [float(x) / POINTS_PER_MM for x in leaf.mediabox]
        assert box == pytest.approx([0, 0, wide, high], abs=0.4)
    whole = ""
    for leaf in pdfium.PdfDocument(file):
        text = leaf.get_textpage()
        whole += text.get_text_range()
        for k in range(text.count_rects()):
            left, bottom, right, top = (x / POINTS_PER_MM for x in text.get_rect(k))
            said = text.get_text_bounded(*text.get_rect(k))
            assert left > 11, said
            assert right < wide - 11, said
            assert bottom > 4, said
            assert top < high - 5, said
    for title in ("Coupon", "Deburr", "Test before power", "First run", "Winding card", "Fields"):
        assert title in whole
    assert "lamination.tooth_width" in whole
    assert "Forget what I wrote" not in whole  # buttons are for the screen
    assert f"{len(pages)} / {len(pages)}" in whole
