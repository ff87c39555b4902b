"""The page as a file: sound, true to the results, nothing fetched, the same bytes each time."""

import base64
import hashlib
import html.parser
import itertools
import re
from functools import cache
from typing import Any

import pytest

from recipes.report.html import field_id, page_html
from recipes.report.html_check import check_page
from tests.support.design import STARTERS
from tests.support.page import FILES, book, sheet_of, starter_book, starter_sheet

PATHS = {f.path for f in FILES}
VOID = {"meta", "link", "input"}


@cache
def page(name: str) -> bytes:
    return page_html(starter_sheet(name))


class Outline(html.parser.HTMLParser):
    """Tags as a browser's tokenizer sees them: a reader apart from the one that guards the build."""

    def __init__(self, data: bytes) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.open: list[str] = []
        self.words: list[tuple[tuple[str, ...], str]] = []
        self.feed(data.decode())

    def handle_starttag(self, tag: str, attrs: Any) -> None:
        self.tags.append((tag, {k: v or "" for k, v in attrs}))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: Any) -> None:
        self.tags.append((tag, {k: v or "" for k, v in attrs}))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append((tuple(self.open), data))


@pytest.mark.parametrize("name", STARTERS)
def test_page_holds(name: str) -> None:
    assert check_page(page(name), starter_book(name).results, PATHS) == []
    assert len(page(name)) < 600_000


@pytest.mark.parametrize("name", STARTERS)
def test_same_sheet_same_bytes(name: str) -> None:
    again = page_html(sheet_of(starter_book(name)))
    assert again == page(name)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('value="24" data-key="turns_per_coil">24<', 'value="24" data-key="turns_per_coil">23<', "the page shows 23"),
        ('data-key="turns_per_coil"', 'data-key="turns"', "which is no result"),
        ('value="24" data-key="turns_per_coil"', 'value="25" data-key="turns_per_coil"', "the page has '25'"),
        ('href="order.md"', 'href="order.txt"', "is no file of the pack"),
        ('href="#steps"', 'href="#stairs"', "leads nowhere"),
        ('<p class="aim">', '<p class="aim"><img src="x.png"/>', "fetches by src"),
        ("</article>", "", "not sound"),
        ('id="step-cut"', 'id="step-coupon"', "stands 2 times"),
    ],
)  # fmt: skip
def test_reading_back_finds_what_is_wrong(old: str, new: str, said: str) -> None:
    text = page("potters-wheel").decode()
    assert old in text
    faults = check_page(
        text.replace(old, new, 1).encode(), starter_book("potters-wheel").results, PATHS
    )
    assert any(said in f for f in faults), faults


def test_figures_shown_to_too_few_digits_would_be_noticed() -> None:
    text = page("potters-wheel").decode()
    key = 'data-key="lead_resistance_room_ohm" data-scale="1000.0">'
    assert f"{key}464<" in text
    faults = check_page(text.replace(f"{key}464<", f"{key}463<").encode(), starter_book("potters-wheel").results, PATHS)  # fmt: skip
    assert len(faults) == 3


@pytest.mark.parametrize("name", STARTERS)
def test_a_policy_forbids_the_network_and_lets_only_its_own_script_in(name: str) -> None:
    """Content Security Policy Level 3 (W3C): hashes are base64 of SHA-256 over the element's text."""
    text = page(name).decode()
    policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', text)
    assert policy is not None
    rules = policy[1].replace("&#39;", "'")
    assert rules.startswith("default-src 'none';")
    assert "unsafe" not in rules
    for tag in ("style", "script"):
        inside = re.search(rf"<{tag}>(.*?)</{tag}>", text, re.DOTALL)
        assert inside is not None
        digest = base64.b64encode(hashlib.sha256(inside[1].encode()).digest()).decode()
        assert f"{tag}-src 'sha256-{digest}'" in rules
    assert not re.search(r'\s(style|on\w+)="', text)
    assert not re.search(r"https?://|url\(|@import|fetch\(|XMLHttp|WebSocket|import\(", text)


@pytest.mark.parametrize("name", STARTERS)
def test_headings_landmarks_language_and_names(name: str) -> None:
    seen = Outline(page(name))
    assert seen.open == []
    tags = [t for t, _ in seen.tags]
    assert dict(seen.tags)["html"]["lang"] == "en"
    assert [tags.count(t) for t in ("h1", "main", "header", "footer", "nav")] == [1, 1, 1, 1, 1]
    levels = [int(t[1]) for t in tags if re.fullmatch(r"h[1-6]", t)]
    assert levels[0] == 1
    assert all(b - a <= 1 for a, b in itertools.pairwise(levels))
    drawn = [a for t, a in seen.tags if t == "svg" and a.get("class") == "ink"]
    assert len(drawn) == len(starter_sheet(name).all_pictures)
    ids = {a["id"] for _, a in seen.tags if "id" in a}
    for picture in drawn:
        assert picture["role"] == "img"
        assert set(picture["aria-labelledby"].split()) <= ids
    for tag, attrs in seen.tags:
        if tag == "svg" and "role" not in attrs:
            assert attrs["aria-hidden"] == "true"
        if tag == "a" and "data-fields" in attrs:
            assert set(attrs["data-fields"].split()) <= ids
    inputs = [a for t, a in seen.tags if t == "input"]
    assert len(inputs) > 120
    assert len({a["id"] for a in inputs}) == len(inputs)


@pytest.mark.parametrize("name", STARTERS)
def test_each_picture_tells_in_words_what_it_shows(name: str) -> None:
    for picture in starter_sheet(name).all_pictures:
        assert len(picture.alt) > 60
        assert picture.alt.rstrip().endswith(".")
        assert picture.title not in ("", picture.alt)


def test_names_of_the_design_are_escaped() -> None:
    sheet = sheet_of(book(name="Bob & Ann's 'wheel' (1 of 2); {{ 7 }}"))
    text = page_html(sheet).decode()
    assert "<h1>Bob &amp; Ann&#39;s &#39;wheel&#39; (1 of 2); {{ 7 }}</h1>" in text
    assert check_page(text.encode(), starter_book("potters-wheel").results, PATHS) == []


def test_links_lead_only_to_files_that_the_pack_has() -> None:
    text = page("potters-wheel").decode()
    assert 'href="read/slot.svg"' in text
    assert "read/stator.svg" not in text  # not among FILES
    assert "solid/" not in text


def test_anchors_of_fields_are_their_own() -> None:
    names = [note.name for s in STARTERS for note in starter_sheet(s).fields]
    assert len({field_id(n) for n in names}) == len(set(names))
    assert field_id("axle.seats[1].fit") == "f-axle-seats-1-fit"
