"""The lowest layer of a DXF text: pairs of lines, a group code and its value.

Glossary (DXF reference): a `tag` is a group code with its value; code 0 starts a section, an
entity or a table entry; code 999 is a comment. Tag k stands on the lines 2k + 1 and 2k + 2 of
the file, so every error can name its line.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

COMMENT = 999
BINARY_MARK = b"AutoCAD Binary DXF"
DEFAULT_LIMIT = 100_000_000

#: A coordinate beyond this many drawing units (1000 km in mm) is damage, not a part.
ABSURD = 1e9

_CODE = re.compile(r"\s*-?\d{1,4}\s*", re.ASCII)


class DxfError(ValueError):
    """A DXF that cannot be read as asked.

    Args:
        message: what is wrong, in words.
        source: name of the file, if known.
        line: number of the line (from 1), if there is one.
        hint: what to do about it.
    """

    def __init__(
        self, message: str, *, source: str = "", line: int | None = None, hint: str = ""
    ) -> None:
        """Keep the facts beside the text."""
        self.reason = message
        self.source = source
        self.line = line
        self.hint = hint
        place = ", ".join(p for p in (source, f"line {line}" if line else "") if p)
        super().__init__(f"{place + ': ' if place else ''}{message}{'; ' + hint if hint else ''}")


@dataclass(frozen=True, slots=True)
class Tags:
    """All tags of a file in order: `codes[k]` belongs to `values[k]`; line ends are gone."""

    codes: list[int]
    values: list[str]
    source: str

    def error(self, message: str, index: int, hint: str = "") -> DxfError:
        """Return the error that points at the value of tag `index`."""
        return DxfError(message, source=self.source, line=2 * index + 2, hint=hint)

    def numbers(self, code: int, first: int, last: int) -> list[float]:
        """Return every value of `code` among the tags first <= k < last, in drawing units.

        Raises:
            DxfError: a value is no number, not finite or beyond `ABSURD`.
        """
        codes, values = self.codes, self.values
        texts = [values[k] for k in range(first, last) if codes[k] == code]
        joined = "".join(texts)
        try:
            found = [float(t) for t in texts]
        except ValueError:
            found = [math.nan]
        # Python also reads "1_0" and digits of other scripts; a controller does not.
        if joined.isascii() and "_" not in joined and all(-ABSURD <= x <= ABSURD for x in found):
            return found
        for k in range(first, last):
            if codes[k] == code:
                self.number(k)
        raise self.error("a number is damaged", first)  # pragma: no cover - one of them raised

    def number(self, index: int) -> float:
        """Return the value of tag `index` as a finite number; DxfError if it is none."""
        text = self.values[index]
        try:
            value = float(text) if text.isascii() and "_" not in text else math.nan
        except ValueError:
            value = math.nan
        if math.isnan(value):
            raise self.error(f"{text.strip()[:40]!r} is not a number", index)
        if not -ABSURD <= value <= ABSURD:
            raise self.error(f"{text.strip()[:40]} is no size for a part", index)
        return value


def split_tags(data: bytes, source: str, limit: int) -> Tags:
    """Return the tags of a DXF text with CRLF, LF or CR line ends.

    Raises:
        DxfError: empty, too large, binary, another format, or cut off.
    """
    _refuse_other_formats(data, source, limit)
    if data.startswith(b"\xef\xbb\xbf"):
        data = data[3:]
    lines = _decode(data).replace("\r\n", "\n").replace("\r", "\n").split("\n")
    code_texts, values = lines[0::2], lines[1::2]
    known = {t: int(t) for t in set(code_texts) if _CODE.fullmatch(t)}
    ends = (k for k, t in enumerate(values) if "EOF" in t and t.strip() == "EOF")
    end = next((k for k in ends if known.get(code_texts[k]) == 0), None)
    count = len(values) if end is None else end + 1
    del code_texts[count:], values[count:]
    if not known.keys() >= set(code_texts):
        k = next(k for k, t in enumerate(code_texts) if t not in known)
        raise _bad_code(code_texts[k], 2 * k + 1, source)
    tags = Tags([known[t] for t in code_texts], values, source)
    start = next((k for k, c in enumerate(tags.codes) if c != COMMENT), None)
    if start is None or tags.codes[start] != 0 or values[start].strip() not in ("SECTION", "EOF"):
        raise DxfError("this is not a DXF: it does not start with a section", source=source)
    if end is None:
        raise DxfError(
            "the file is cut off: it does not end with EOF",
            source=source,
            line=len(lines) - (lines[-1] == ""),
            hint="export or download it again",
        )
    return tags


def whole(text: str | None, default: int = 0) -> int:
    """Return the whole number in `text`, or `default` if there is none."""
    try:
        return int(text) if text else default
    except ValueError:
        return default


def _refuse_other_formats(data: bytes, source: str, limit: int) -> None:
    if len(data) > limit:
        raise DxfError(
            f"{len(data)} bytes are more than the limit of {limit}",
            source=source,
            hint="send one part in a file, or raise the limit",
        )
    if not data.strip():
        raise DxfError("the file is empty", source=source)
    if data.startswith(BINARY_MARK):
        raise DxfError("this is a binary DXF", source=source, hint="save it as a text (ASCII) DXF")
    if re.match(rb"AC1[0-9]{3}\0", data[:7]) or data.startswith(b"AC10"):
        raise DxfError("this is a DWG, not a DXF", source=source, hint="save it as DXF")
    if b"\0" in data[:4096]:
        raise DxfError("this is not a text, so not a DXF", source=source)


def _bad_code(text: str, line: int, source: str) -> DxfError:
    shown = text.strip()[:40]
    if line == 1:
        return DxfError(
            f"this is not a DXF: it starts with {shown!r} instead of a group code",
            source=source,
            line=line,
        )
    return DxfError(
        f"{shown!r} stands where a group code should be",
        source=source,
        line=line,
        hint="a line is missing or too many before it",
    )


def _decode(data: bytes) -> str:
    """Decode by what the bytes are: UTF-8 since R2007, a code page before.

    Latin-1 never fails, and everything that this reader measures is ASCII in all of them.
    """
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        page = re.search(rb"\$DWGCODEPAGE\s+3\s+ANSI_(\d{3,4})", data[:20_000])
        try:
            return data.decode(f"cp{page[1].decode()}" if page else "latin-1")
        except (UnicodeDecodeError, LookupError):
            return data.decode("latin-1")
