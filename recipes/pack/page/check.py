"""Read `build-sheet.html` back with a parser that did not write it, and compare it with the results."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from html.parser import HTMLParser

#: Elements without an end tag (HTML standard, void elements) that the page uses.
VOID = frozenset({"meta", "link", "input", "br"})

#: Attributes by which a page fetches something.
FETCHING = frozenset({"src", "srcset", "poster", "background", "action", "formaction"})


class _Reader(HTMLParser):
    """Gathers figures, links and anchors, and whether every element is closed."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.faults: list[str] = []
        self.figures: list[tuple[dict[str, str], str]] = []
        self.links: list[str] = []
        self.anchors: list[str] = []
        self._open: list[str] = []
        self._figure: dict[str, str] | None = None
        self._words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = {name: value or "" for name, value in attrs}
        if tag not in VOID:
            self._open.append(tag)
        self.faults += [f"<{tag}> fetches {found[a]!r}" for a in FETCHING if a in found]
        if "id" in found:
            self.anchors.append(found["id"])
        if "href" in found and tag != "use":
            self.links.append(found["href"])
        if tag == "data":
            self._figure, self._words = found, []

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        if not self._open or self._open[-1] != tag:
            self.faults.append(f"</{tag}> closes {self._open[-1:] or 'nothing'}")
            return
        self._open.pop()
        if tag == "data" and self._figure is not None:
            self.figures.append((self._figure, "".join(self._words)))
            self._figure = None

    def handle_data(self, data: str) -> None:
        self._words.append(data)

    def close(self) -> None:
        super().close()
        if self._open:
            self.faults.append(f"left open: {', '.join(self._open)}")


def check_page(
    data: bytes, results: Mapping[str, float | int | str], paths: Collection[str]
) -> list[str]:
    """Return what is wrong with the page, in sentences; an empty list is a page that holds.

    Every figure that names a result must be that result, and be shown rounded, not changed; every
    link must lead to a place on the page or to a file of the pack; nothing may be fetched.

    Args:
        data: the whole file.
        results: as in `results.json`.
        paths: of all files of the pack.
    """
    reader = _Reader()
    reader.feed(data.decode())
    reader.close()
    faults = [
        *reader.faults,
        *(f for d, words in reader.figures for f in _figure(d, words, results)),
    ]
    if not any("data-key" in d for d, _ in reader.figures):
        faults.append("no figure of the results is shown")
    anchors = set(reader.anchors)
    twice = sorted({a for a in anchors if reader.anchors.count(a) > 1})
    faults += [f"anchor {a!r} stands twice" for a in twice]
    for link in reader.links:
        if link.startswith("#"):
            if link[1:] not in anchors:
                faults.append(f"link {link!r} leads nowhere")
        elif link != "data:," and link not in paths:
            faults.append(f"link {link!r} is no file of the pack")
    return faults


def _figure(
    found: Mapping[str, str], words: str, results: Mapping[str, float | int | str]
) -> list[str]:
    key, value = found.get("data-key", ""), found.get("value", "")
    if not key:
        return []
    if key not in results:
        return [f"figure {words!r} shows {key}, which is no result"]
    raw = results[key]
    if value != (raw if isinstance(raw, str) else json.dumps(raw)):
        return [f"{key} is {raw!r}, the page has {value!r}"]
    if isinstance(raw, str):
        return [] if words == raw else [f"{key} is {raw!r}, the page shows {words!r}"]
    decimals = len(words.partition(".")[2])
    exact = raw * float(found.get("data-scale", "1"))
    if abs(float(words) - exact) > 0.5001 * 10.0**-decimals:
        return [f"{key} is {exact!r}, the page shows {words}"]
    return []
