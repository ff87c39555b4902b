"""Every sentence that a pack says, file by file, and what no sentence should hold."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from xml.etree import ElementTree

import ezdxf
import pypdfium2

#: What is wrong in any sentence for people, by name.
BLEMISHES = {
    "plural after 1": re.compile(r"(?<![\d.,/:x×+±−^-])(?<![\d.,/:x×+] )\b1 (?!towards|across|less|plus|as|is|was|has|gives|does|class)[a-z]{2,}s\b"),
    "doubled full stop": re.compile(r"(?<!\.)\.[.](?!\.)|[,;:][.,;:]"),
    "exponent": re.compile(r"\d[eE][+-]?\d"),
    "code": re.compile(r"`"),
    "path of ours": re.compile(r"\w\.py\b|\b(?:data|tables|recipes)/[\w/-]+\.csv\b"),
    "double space": re.compile(r"\S  +\S"),
    "negative zero": re.compile(r"(?<![\w.)\]])[-−]0(?:\.0+)?(?![\d.])"),
    "not a number": re.compile(r"\b(?:nan|NaN|inf|None)\b"),
}  # fmt: skip

SVG = "{http://www.w3.org/2000/svg}"


def sentences_of(folder: Path) -> Iterator[tuple[str, str]]:
    """Yield (file, sentence) of every file of a pack that people read."""
    for path in sorted(p for p in folder.rglob("*") if p.is_file()):
        name = str(path.relative_to(folder))
        read = _READERS.get(name) or _READERS.get(path.suffix)
        if read:
            for text in read(path.read_bytes()):
                yield name, text


def findings_text(data: bytes) -> Iterator[str]:
    for found in json.loads(data):
        yield from (found["message"], found["fix"], found["source"])


def page_text(data: bytes) -> Iterator[str]:
    """Yield the text of every element of the build sheet, each element of words whole."""
    text = re.sub(r"(?s)<(style|script|head)\b.*?</\1>", "", data.decode())
    text = re.sub(r"</?(?:strong|em|a|span|b|i|output|data|sub|sup|code|kbd)\b[^>]*>", "", text)
    for part in re.findall(r">([^<]+)<", text):
        yield from (" ".join(line.split("\n")) for line in [unescape(part).strip()] if line)


def markdown_text(data: bytes) -> Iterator[str]:
    """Yield the lines; names of files and fields may stand in code, as Markdown has it."""
    for text in data.decode().splitlines():
        if re.search(r"\|\s*\|?$", text) and set(text) <= set("|-: "):
            continue
        plain = (
            re.sub(r"`([\w./\[\]-]+)`", r"\1", text.replace("|  |", "| |"))
            .replace("```text", "")
            .replace("```", "")
        )
        yield re.sub(r"\\([\\`*_\[\]<>|])", r"\1", plain).lstrip(" -")


def pdf_text(data: bytes) -> Iterator[str]:
    for page in pypdfium2.PdfDocument(data):
        yield from page.get_textpage().get_text_bounded().splitlines()


def dxf_text(data: bytes) -> Iterator[str]:
    for layout in ezdxf.read(io.StringIO(data.decode())).layouts:
        for text in layout.query("TEXT DIMENSION"):
            yield re.sub(r"^\d+  |^ +|%%[cdp%]", "", text.dxf.text).replace("\\P", " ")


def svg_text(data: bytes) -> Iterator[str]:
    for e in ElementTree.fromstring(data).iter():
        if e.tag in (f"{SVG}text", f"{SVG}title", f"{SVG}desc") and e.text:
            yield re.sub(r"^(\d+) +", r"\1 ", e.text)


_READERS = {
    "findings.json": findings_text,
    "build-sheet.html": page_text,
    ".md": markdown_text,
    ".pdf": pdf_text,
    ".dxf": dxf_text,
    ".svg": svg_text,
}


def blemishes(text: str) -> list[str]:
    """Return the names of what is wrong with a sentence."""
    plain = re.sub(r"\b[0-9a-f]{8}\b", "", text)  # a revision may look like a number with exponent
    return [name for name, pattern in BLEMISHES.items() if pattern.search(plain)]
