"""One entity of a DXF as a shop looks at it: what it is, where it stands, what it would cut.

Coordinates are drawing units as printed in the file; `dxf_read.edges_of` turns them into mm.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from geometry.tolerance import SAME_PLACE

# The lowest layer of a DXF text: pairs of lines, a group code and its value.
#
# Glossary (DXF reference): a `tag` is a group code with its value; code 0 starts a section, an
# entity or a table entry; code 999 is a comment. Tag k stands on the lines 2k + 1 and 2k + 2 of
# the file, so every error can name its line.

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
        return [self.number(k) for k in range(first, last) if self.codes[k] == code]

    def number(self, index: int) -> float:
        """Return the value of tag `index` as a finite number; DxfError if it is none."""
        text = self.values[index]
        try:  # Python also reads "1_0" and digits of other scripts; a controller does not
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
        text = f"this is not a DXF: it starts with {shown!r} instead of a group code"
        return DxfError(text, source=source, line=line)
    text, hint = (
        f"{shown!r} stands where a group code should be",
        "a line is missing or too many before it",
    )
    return DxfError(text, source=source, line=line, hint=hint)


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


Place = tuple[float, float]
Shape = tuple[tuple[Place, ...], tuple[float, ...], tuple[float, float]]

#: Which group codes carry the points of an entity (DXF reference, ENTITIES section).
POINT_CODES: dict[str, tuple[int, ...]] = {
    "LINE": (10, 11),
    **dict.fromkeys(("ARC", "CIRCLE", "ELLIPSE", "POINT", "SPLINE", "LEADER"), (10,)),
    **dict.fromkeys(("TEXT", "MTEXT", "ATTDEF", "INSERT", "DIMENSION"), (10,)),
    **dict.fromkeys(("SOLID", "TRACE", "3DFACE"), (10, 11, 12, 13)),
}
#: Kinds that lines and arcs describe exactly: only these must be complete to be read at all.
EXACT_KINDS = ("LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE")
#: Flags of a VERTEX (group code 70): a control point that is not drawn; a face of a mesh, which
#: holds indices and no place unless it says that it is a corner too.
SPLINE_FRAME_FLAG, MESH_FLAG, FACE_FLAG = 16, 64, 128
FLAT = (0.0, 0.0, 1.0)
NO_ANGLES = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class DxfEntity:
    """One entity, known or not; an unknown kind keeps its name and its tags.

    Args:
        kind: type name as in the file: "LWPOLYLINE", "SPLINE", ...
        layer: layer name; "0" if the file gives none.
        handle: hexadecimal handle, "" if the file gives none.
        line: line number of the entity in the file, from 1.
        block: name of the block that holds it, "" in the ENTITIES section.
        paper: whether it lies in paper space.
        invisible: whether the file hides it (group code 60).
        extrusion: normal of its plane (group codes 210, 220, 230).
        z: lowest and highest z of its points, elevation included.
        points: vertices, ends, centre, control points or insertion point, by kind.
        bulges: tan(sweep / 4) of the edge after each vertex; polylines only.
        flags: group code 70 (polylines: 1 closed, 8 in space, 16 and 64 meshes).
        radius: of a circle or arc, else 0.
        angles: start and end of an ARC in rad, counter-clockwise, else (0, 0).
        target: block name of an INSERT, else "".
        text: content of TEXT and MTEXT, else "".
        color: colour index (256 by layer).
        linetype: name of the line type.
        first, last: its tags in `DxfContent.tags`, first <= k < last.
    """

    kind: str
    layer: str
    handle: str
    line: int
    block: str
    paper: bool
    invisible: bool
    extrusion: tuple[float, float, float]
    z: tuple[float, float]
    points: tuple[Place, ...]
    bulges: tuple[float, ...]
    flags: int
    radius: float
    angles: tuple[float, float]
    target: str
    text: str
    color: int
    linetype: str
    first: int
    last: int

    @property
    def closed(self) -> bool:
        """Whether it is a closed curve by its type or by its own flag."""
        if self.kind in ("LWPOLYLINE", "POLYLINE", "SPLINE"):
            return bool(self.flags & 1)
        return self.kind == "CIRCLE"

    @property
    def upright(self) -> bool:
        """Whether its normal is +z: a normal of -z mirrors arcs in many a cutter's program."""
        x, y, z = self.extrusion
        return z > 0 and math.hypot(x, y) <= SAME_PLACE * z

    @property
    def flat(self) -> bool:
        """Whether it lies in the plane z = 0 with its normal upright."""
        return self.upright and max(map(abs, self.z)) <= SAME_PLACE


class _Facts:
    """The first value of each group code among the tags first < k < last of one entity."""

    def __init__(self, tags: Tags, first: int, last: int) -> None:
        self.tags = tags
        # Reversed, so that of a repeated code the first value stays.
        codes = tags.codes[last - 1 : first : -1]
        self.places = dict(zip(codes, range(last - 1, first, -1), strict=True))

    def word(self, code: int, default: str = "") -> str:
        place = self.places.get(code)
        return default if place is None else self.tags.values[place].strip()

    def number(self, code: int, default: float = 0.0) -> float:
        place = self.places.get(code)
        return default if place is None else self.tags.number(place)


def parse_entity(tags: Tags, first: int, last: int, block: str, paper: bool) -> DxfEntity:
    """Return the entity whose tags are first <= k < last (a POLYLINE with its vertices).

    Raises:
        DxfError: a number of a kind that this reader knows is damaged or missing.
    """
    kind = tags.values[first].strip()
    head = last  # end of its own tags, before VERTEX or ATTRIB parts
    if kind in ("POLYLINE", "INSERT"):
        head = next((k for k in range(first + 1, last) if tags.codes[k] == 0), last)
    facts = _Facts(tags, first, head)
    word, number = facts.word, facts.number
    points, bulges, z = _shape(facts, kind, first, head, last)
    radius = number(40) if kind in ("ARC", "CIRCLE") else 0.0
    if kind in ("ARC", "CIRCLE") and not radius > 0:
        raise tags.error(f"{kind} without a positive radius", facts.places.get(40, first))
    tilted = points and 210 in facts.places
    return DxfEntity(
        kind=kind,
        layer=word(8, "0"),
        handle=word(5),
        line=2 * first + 1,
        block=block,
        paper=paper or word(67) == "1",
        invisible=word(60) == "1",
        extrusion=(number(210), number(220), number(230, 1.0)) if tilted else FLAT,
        z=z,
        points=points,
        bulges=bulges,
        flags=whole(word(70)),
        radius=radius,
        angles=(math.radians(number(50)), math.radians(number(51))) if kind == "ARC" else NO_ANGLES,
        target=word(2) if kind == "INSERT" else "",
        text=word(1) if kind in ("TEXT", "MTEXT") else "",
        color=whole(word(62), 256),
        linetype=word(6, "BYLAYER"),
        first=first,
        last=last,
    )


def _shape(facts: _Facts, kind: str, first: int, head: int, last: int) -> Shape:
    """Return points, bulges and lowest and highest z; no points for a kind not known."""
    if kind == "LWPOLYLINE":
        height = facts.number(38)
        return (*_lwpolyline(facts.tags, first, last), (height, height))
    if kind == "POLYLINE":
        return _polyline(facts.tags, first, head, last)
    if kind in POINT_CODES:
        points, z = _points(facts.tags, first, head, POINT_CODES[kind])
        return points, (), z
    return (), (), (0.0, 0.0)


def _points(
    tags: Tags, first: int, last: int, starts: tuple[int, ...]
) -> tuple[tuple[Place, ...], tuple[float, float]]:
    """Return the points of a kind in `POINT_CODES` and their lowest and highest z."""
    kind = tags.values[first].strip()
    points: list[Place] = []
    heights: list[float] = []
    for code in starts:
        xs, ys = tags.numbers(code, first, last), tags.numbers(code + 10, first, last)
        if kind in EXACT_KINDS and not len(xs) == len(ys) == 1:
            raise tags.error(f"{kind} without all its coordinates", first)
        points.extend(zip(xs, ys, strict=False))
        heights.extend(tags.numbers(code + 20, first, last))
    if kind == "SPLINE" and not points and starts == (10,):
        return _points(tags, first, last, (11,))
    return tuple(points), _span(heights)


def _span(heights: list[float]) -> tuple[float, float]:
    return (min(heights), max(heights)) if heights else (0.0, 0.0)


def _lwpolyline(tags: Tags, first: int, last: int) -> tuple[tuple[Place, ...], tuple[float, ...]]:
    xs, ys = tags.numbers(10, first, last), tags.numbers(20, first, last)
    if not xs or len(xs) != len(ys):
        raise tags.error(f"LWPOLYLINE with {len(xs)} x and {len(ys)} y values", first)
    bulges = [0.0] * len(xs)
    codes = tags.codes
    if 42 in codes[first:last]:
        vertex = -1
        for k in range(first, last):
            if codes[k] == 10:
                vertex += 1
            elif codes[k] == 42 and vertex >= 0:
                bulges[vertex] = tags.number(k)
    return tuple(zip(xs, ys, strict=True)), tuple(bulges)


def _polyline(tags: Tags, first: int, head: int, last: int) -> Shape:
    """Return points, bulges and z span of an old-style POLYLINE; frame points are left out."""
    points: list[Place] = []
    bulges: list[float] = []
    heights = tags.numbers(30, first, head)
    starts = [k for k in range(head, last) if tags.codes[k] == 0]
    for a, b in zip(starts, [*starts[1:], last], strict=True):
        if tags.values[a].strip() != "VERTEX":
            continue
        facts = _Facts(tags, a, b)
        flags = whole(facts.word(70))
        if flags & SPLINE_FRAME_FLAG or (flags & FACE_FLAG and not flags & MESH_FLAG):
            continue
        if not facts.places.keys() >= {10, 20}:
            raise tags.error("VERTEX without x or y", a)
        points.append((facts.number(10), facts.number(20)))
        bulges.append(facts.number(42))
        heights.append(facts.number(30))
    return tuple(points), tuple(bulges), _span(heights)
