"""Text of STEP files (ISO 10303-21): a plain parser of its entities, and its strings.

Entities are split once; the arguments of one are parsed when somebody asks for them.
"""

from __future__ import annotations

import re
from typing import Any

_REFERENCE = r"#(\d{1,18})"
_STRING = r"'(?:[^']|'')*+'"
#: From the first parenthesis up to the semicolon; strings and comments are taken whole.
_BODY = rf"\((?:[^;'/]++|{_STRING}|/\*.*?\*/|/)*+"
_SPACE = re.compile(r"(?:\s++|/\*.*?\*/)*+", re.DOTALL)
_ENTITY = re.compile(rf"{_REFERENCE}\s*+=\s*+([A-Z0-9_]*+)\s*+({_BODY});\s*+", re.DOTALL)
_HEADER = re.compile(rf"([A-Z0-9_]++)\s*+({_BODY});\s*+", re.DOTALL)
_TOKEN = re.compile(
    rf"\s*+(?:{_REFERENCE}|([-+]?\d[\d.]*(?:E[-+]?\d+)?)|({_STRING})|(\.[A-Z0-9_]+\.)|"
    r"([A-Z][A-Z0-9_]*)|([(),$*])|/\*.*?\*/|(\"[0-9A-F]*\"))\s*+",
    re.DOTALL,
)
#: The common shapes of arguments; all others go through `_TOKEN`.
_NAME = r"'([^'\\\r\n]*)'"
_NUMBER = r"[-+]?\d+\.?\d*(?:E[-+]?\d+)?"
_SPOT = re.compile(rf"\({_NAME},\s*\(({_NUMBER}),\s*({_NUMBER}),\s*({_NUMBER})\)\)")
_PLAIN = re.compile(
    rf"\({_NAME}(?:,\s*\((#\d{{1,18}}(?:,\s*#\d{{1,18}})*)\))?"
    rf"((?:,\s*(?:#\d{{1,18}}|\.[A-Z0-9_]+\.|{_NUMBER}|[$*]))*)\)"
)
_IS_REFERENCE, _IS_NUMBER, _IS_STRING, _IS_FLAG, _IS_NAME, _IS_MARK = range(1, 7)
_CODE = re.compile(r"\\X2\\([0-9A-F]*)\\X0\\|\\X4\\([0-9A-F]*)\\X0\\|\\X\\([0-9A-F]{2})|\\\\|''")


class StepError(ValueError):
    """A STEP file that cannot be read: says where and what was expected."""


class Reference(int):
    """The number of another entity."""


class Flag(str):
    """An enumeration value without its dots: T, F, MILLI, ..."""

    __slots__ = ()


class Typed(tuple[str, list[Any]]):
    """A value with its type name: ("LENGTH_MEASURE", [1e-07])."""

    __slots__ = ()


class Entity:
    """One instance of a file: number, type ("" for a complex one) and arguments.

    Arguments are float, str, `Reference`, `Flag`, `Typed`, None ($ or *) or a list of these.
    """

    __slots__ = ("_arguments", "kind", "number", "text")

    def __init__(self, number: int, kind: str, text: str) -> None:
        """Keep the text in parentheses; it is parsed on demand."""
        self.number, self.kind, self.text = number, kind, text
        self._arguments: list[Any] | None = None

    def __str__(self) -> str:
        """Name the entity as the file does."""
        return f"#{self.number} {self.kind or 'complex entity'}"

    @property
    def arguments(self) -> list[Any]:
        """All arguments; for a complex entity its parts as `Typed`."""
        if self._arguments is None:
            self._arguments = _parse(self)
        return self._arguments

    def get(self, index: int, kind: type[Any], what: str) -> Any:
        """Return argument `index`, checked to be of `kind`.

        Raises:
            StepError: missing or of another kind; names the entity and `what` was expected.
        """
        values = self.arguments
        if index >= len(values) or not isinstance(values[index], kind):
            raise StepError(f"{self}: argument {index + 1} should be {what}")
        return values[index]

    def references(self, index: int, what: str) -> list[Reference]:
        """Return a list argument that holds nothing but references; StepError names another."""
        values: list[Any] = self.get(index, list, what)
        if not all(isinstance(v, Reference) for v in values):
            raise StepError(f"{self}: argument {index + 1} should be {what}")
        return values

    def numbers(self, index: int, count: int, what: str) -> tuple[float, ...]:
        """Return a list argument that holds `count` numbers; StepError names another."""
        values: list[Any] = self.get(index, list, what)
        if len(values) != count or not all(isinstance(v, float) for v in values):
            raise StepError(f"{self}: argument {index + 1} should be {what}")
        return tuple(values)


def read_entities(data: bytes) -> tuple[list[Entity], dict[int, Entity]]:
    """Split a STEP file into its header entities and its numbered entities.

    Raises:
        StepError: not a STEP file, cut short, damaged (with the line), or a number used twice.
    """
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise StepError(f"not a STEP file: byte {error.start} is no text") from error
    if not text.lstrip().startswith("ISO-10303-21;"):
        raise StepError("not a STEP file: it does not start with ISO-10303-21;")
    header: list[Entity] = []
    entities: dict[int, Entity] = {}
    at = _after(text, 0, "ISO-10303-21;")
    at = _after(text, at, "HEADER;")
    while match := _HEADER.match(text, at):
        header.append(Entity(0, match[1], match[2]))
        at = _skip(text, match.end())
    at = _after(text, at, "ENDSEC;")
    at = _after(text, at, "DATA;")
    while True:
        while match := _ENTITY.match(text, at):
            number = int(match[1])
            if number in entities:
                raise StepError(f"line {_line(text, at)}: #{number} is defined twice")
            entities[number] = Entity(number, match[2], match[3])
            at = match.end()
        further = _skip(text, at)
        if further == at:
            break
        at = further
    at = _after(text, at, "ENDSEC;")
    _after(text, at, "END-ISO-10303-21;")
    return header, entities


def encode_text(text: str) -> str:
    r"""Return `text` as a Part 21 string with its quotes; other alphabets as \X2\ codes."""
    out: list[str] = []
    for char in text:
        code = ord(char)
        if char in "'\\":
            out.append(char * 2)
        elif 0x20 <= code <= 0x7E:
            out.append(char)
        else:
            out.append(f"\\X2\\{code:04X}\\X0\\" if code <= 0xFFFF else f"\\X4\\{code:08X}\\X0\\")
    return "'" + "".join(out) + "'"


def decode_text(text: str) -> str:
    """Return the text of a Part 21 string that is still in its quotes.

    Raises:
        StepError: a code that stands for no character.
    """

    def one(match: re.Match[str]) -> str:
        try:
            if match[1] is not None:
                return bytes.fromhex(match[1]).decode("utf-16-be")
            if match[2] is not None:
                return bytes.fromhex(match[2]).decode("utf-32-be")
        except ValueError as error:
            raise StepError(f"the string {text[:40]} holds a wrong code: {error}") from error
        return chr(int(match[3], 16)) if match[3] else match[0][0]

    plain = text[1:-1].replace("\r", "").replace("\n", "")
    return _CODE.sub(one, plain) if "\\" in plain or "'" in plain else plain


def _skip(text: str, at: int) -> int:
    match = _SPACE.match(text, at)
    return match.end() if match else at


def _line(text: str, at: int) -> int:
    return text.count("\n", 0, at) + 1


def _after(text: str, at: int, word: str) -> int:
    """Return the place after `word`, which must come next."""
    at = _skip(text, at)
    if not text.startswith(word, at):
        found = text[at : at + 30].split("\n")[0] or "the end of the file"
        raise StepError(f"line {_line(text, at)}: {word} expected, found {found}")
    return _skip(text, at + len(word))


def _parse(entity: Entity) -> list[Any]:
    """Parse the arguments of one entity."""
    if spot := _SPOT.fullmatch(entity.text):
        name, x, y, z = spot.groups()
        return [name, [float(x), float(y), float(z)]]
    if plain := _PLAIN.fullmatch(entity.text):
        first, listed, rest = plain.groups()
        found: list[Any] = [first, *map(_plain_value, rest.split(",")[1:])]
        if listed:
            found.insert(1, [Reference(r.strip()[1:]) for r in listed.split(",")])
        return found
    return _parse_any(entity)


def _plain_value(text: str) -> Any:
    """Return a reference, flag, number or None by its first character."""
    text = text.strip()
    first = text[0]
    if first == "#":
        return Reference(text[1:])
    if first == ".":
        return Flag(text[1:-1])
    return None if first in "$*" else float(text)


def _parse_any(entity: Entity) -> list[Any]:
    """Parse arguments of any shape, token by token."""
    stack: list[list[Any]] = [[]]
    names: list[str] = [""]  # the type name before each open parenthesis
    word = ""
    at, text = 0, entity.text
    while at < len(text):
        match = _TOKEN.match(text, at)
        if not match:
            raise StepError(f"{entity}: cannot read {text[at : at + 20]!r}")
        at = match.end()
        group = match.lastindex
        if group is None:  # a comment
            continue
        value = match[group]
        if group == _IS_MARK:
            if value == "(":
                stack.append([])
                names.append(word)
                word = ""
            elif value == ")":
                if len(stack) == 1:
                    raise StepError(f"{entity}: a parenthesis too many")
                done, name = stack.pop(), names.pop()
                stack[-1].append(Typed((name, done)) if name else done)
            elif value != ",":  # $ or *
                stack[-1].append(None)
        elif group == _IS_NAME:
            word = value
        else:
            stack[-1].append(_value(group, value, entity))
    if len(stack) != 1 or len(stack[0]) != 1:
        raise StepError(f"{entity}: the parentheses do not match")
    result: list[Any] = stack[0][0]
    return result


def _value(group: int, text: str, entity: Entity) -> Any:
    """Return one plain value by the group of `_TOKEN` that matched it."""
    if group == _IS_REFERENCE:
        return Reference(text)
    if group == _IS_NUMBER:
        try:
            return float(text)
        except ValueError as error:
            raise StepError(f"{entity}: {text!r} is no number") from error
    if group == _IS_STRING:
        return decode_text(text)
    return Flag(text[1:-1]) if group == _IS_FLAG else text
