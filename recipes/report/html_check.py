"""Read `build-sheet.html` back with a parser that did not write it, and compare it with the results."""

from __future__ import annotations

import json
from collections import Counter
from typing import TYPE_CHECKING
from xml.etree import ElementTree

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

#: Attributes by which a page fetches something.
FETCHING = frozenset({"src", "srcset", "poster", "background", "action", "formaction", "data"})


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
    try:
        root = ElementTree.fromstring(data)
    except ElementTree.ParseError as error:
        return [f"not sound: {error}"]
    faults: list[str] = []
    figures, links = 0, []
    anchors: Counter[str] = Counter()
    for element in root.iter():
        faults += [f"<{element.tag}> fetches by {a}" for a in FETCHING.intersection(element.attrib)]
        if "id" in element.attrib:
            anchors[element.attrib["id"]] += 1
        if "href" in element.attrib:
            links.append(element.attrib["href"])
        if element.tag == "data" and "data-key" in element.attrib:
            figures += 1
            faults += _figure(element, results)
    if not figures:
        faults.append("no figure of the results is shown")
    faults += [f"anchor {a!r} stands {n} times" for a, n in anchors.items() if n > 1]
    return [*faults, *_dead(links, anchors, paths)]


def _dead(links: list[str], anchors: Collection[str], paths: Collection[str]) -> list[str]:
    faults = []
    for link in links:
        if link.startswith("#"):
            if link[1:] not in anchors:
                faults.append(f"link {link!r} leads nowhere")
        elif link != "data:," and link not in paths:
            faults.append(f"link {link!r} is no file of the pack")
    return faults


def _figure(element: ElementTree.Element, results: Mapping[str, float | int | str]) -> list[str]:
    """Compare one shown number with the result that it names."""
    key, value, words = element.attrib["data-key"], element.get("value", ""), element.text or ""
    if key not in results:
        return [f"figure {words!r} shows {key}, which is no result"]
    raw = results[key]
    if value != (raw if isinstance(raw, str) else json.dumps(raw)):
        return [f"{key} is {raw!r}, the page has {value!r}"]
    if isinstance(raw, str):
        return [] if words == raw else [f"{key} is {raw!r}, the page shows {words!r}"]
    decimals = len(words.partition(".")[2])
    exact = raw * float(element.get("data-scale", "1"))
    if abs(float(words) - exact) > 0.5001 * 10.0**-decimals:
        return [f"{key} is {exact!r}, the page shows {words}"]
    return []
