"""The open page follows in a real browser: Debian's Chromium, driven by Playwright."""

import os
import shutil
from pathlib import Path
from typing import Any

import pytest

from tests.places import ROOT
from tests.support.watching import Watching

playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine")

STARTER = (ROOT / "recipes" / "starters" / "kayak-thruster.toml").read_text()


@pytest.mark.parametrize(
    ("width", "scheme"), [(360, "dark"), (1280, "light")], ids=["phone dark", "desk light"]
)
def test_a_save_renews_the_page_where_it_is_read_and_a_fault_stands_above(
    width: int, scheme: str, tmp_path: Path
) -> None:
    design = tmp_path / "boat.toml"
    design.write_text(STARTER)
    complaints: list[str] = []
    root = hasattr(os, "getuid") and os.getuid() == 0  # Chromium's own sandbox refuses root
    with Watching(design, tmp_path / "o") as watching, playwright.sync_playwright() as player:
        address = f"http://127.0.0.1:{watching.port}/"
        browser = player.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox"] if root else []
        )
        page: Any = browser.new_page(viewport={"width": width, "height": 800}, color_scheme=scheme)
        page.on("console", lambda said: complaints.append(said.text))
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("request", lambda r: None if r.url.startswith((address, "data:")) else complaints.append(r.url))  # fmt: skip
        page.goto(address)
        sheet = page.frame_locator("#sheet")
        sheet.locator("h1").first.wait_for()
        assert "Kayak" in sheet.locator("h1").first.inner_text()
        assert "rebuilt" in page.locator("#state").inner_text()
        page.evaluate("document.getElementById('sheet').contentWindow.scrollTo(0, 777)")

        design.write_text(STARTER.replace("slots = 12", "slots = 1"))
        page.locator("#findings li.stop").first.wait_for()
        assert "motor.slots" in page.locator("#findings").inner_text()
        assert "last good pack" in page.locator("#state").inner_text()
        assert page.title().startswith("STOP")
        assert sheet.locator("h1").first.is_visible()  # the last good page stays

        design.write_text(STARTER.replace('name = "Kayak thruster"', 'name = "Second boat & more"'))
        sheet.locator("h1", has_text="Second boat & more").first.wait_for()
        page.wait_for_function("document.getElementById('sheet').contentWindow.scrollY === 777")
        assert page.locator("#findings li").count() == 0
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        assert complaints == []
        browser.close()
