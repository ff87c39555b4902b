import base64
import hashlib
import re

import pytest

from geometry.formats.embedded_design import LONGEST, PIECE, extract, pieces

TEXT = "slots = 24\npoles = 28  # Töpferscheibe\n" * 11


def _marked(data: bytes, code: str, number: int = 1, count: int = 1) -> bytes:
    """Return one piece with the digest that belongs to `data`."""
    digest = hashlib.sha256(data).hexdigest()[:16]
    return f"LWD2:{digest}:{number}/{count}:{code};".encode()


def test_pieces_are_numbered_from_one_and_carry_base64() -> None:
    parts = pieces(TEXT)
    assert len(parts) > 3
    digest = hashlib.sha256(TEXT.encode()).hexdigest()[:16]
    code = ""
    for k, part in enumerate(parts, start=1):
        head, piece = part.removesuffix(";").rsplit(":", 1)
        assert head == f"LWD2:{digest}:{k}/{len(parts)}"
        assert len(piece) == PIECE or k == len(parts)
        code += piece
    # The standard library's own decoder (RFC 4648).
    assert base64.b64decode(code, validate=True).decode("utf-8") == TEXT


def test_the_text_comes_back_whatever_lies_between_and_in_which_order() -> None:
    parts = pieces(TEXT)
    data = "999\n".join(["  0\nSECTION\n", *reversed(parts), parts[0]]).encode()
    assert extract(data) == TEXT
    assert extract(b"  0\nSECTION\n") is None
    assert pieces("") == []


def test_missing_pieces_are_counted() -> None:
    parts = pieces(TEXT)
    n = len(parts)
    for lost in (0, 1, n - 1):
        data = "\n".join(parts[:lost] + parts[lost + 1 :]).encode()
        with pytest.raises(ValueError, match=f"damaged: {n - 1} of {n} pieces"):
            extract(data)


def test_one_changed_character_is_damage_and_no_other_design() -> None:
    data = "\n".join(pieces(TEXT))
    body = [m.end() for m in re.finditer(r"LWD2:[0-9a-f]{16}:\d+/\d+:", data)]
    for at in (body[0] + 5, body[1] + 90, body[-1] + 2):
        other = data[:at] + ("A" if data[at] != "A" else "B") + data[at + 1 :]
        with pytest.raises(ValueError, match="damaged"):
            extract(other.encode())


def test_pieces_of_two_designs_are_refused() -> None:
    data = "\n".join(pieces(TEXT) + pieces("slots = 12\n")).encode()
    with pytest.raises(ValueError, match="several designs"):
        extract(data)


def test_a_count_that_no_design_has_asks_for_no_memory() -> None:
    assert LONGEST * 4 // 3 // PIECE < 900_000
    with pytest.raises(ValueError, match="longer than"):
        extract(_marked(b"abc", "YWJj", 1, 900_000))
    assert extract(_marked(b"abc", "YWJj", 1, 10**9)) is None  # no mark at all


def test_a_piece_that_is_no_base64_is_refused() -> None:
    with pytest.raises(ValueError, match="damaged"):
        extract(_marked(b"", "abc=de=="))
    # Whole groups of four, yet no UTF-8 text.
    with pytest.raises(ValueError, match="utf-8"):
        extract(_marked(b"\xff\xff\xff\xff", "/////w=="))
