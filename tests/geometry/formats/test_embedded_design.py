import base64

import pytest

from geometry.formats.embedded_design import PIECE, extract, pieces

TEXT = "slots = 24\npoles = 28  # Töpferscheibe\n" * 11


def test_pieces_are_numbered_from_one_and_carry_base64() -> None:
    parts = pieces(TEXT)
    assert len(parts) > 3
    code = ""
    for k, part in enumerate(parts, start=1):
        head, piece = part.removesuffix(";").rsplit(":", 1)
        assert head == f"LWD1:{k}/{len(parts)}"
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


def test_a_piece_that_is_no_base64_is_refused() -> None:
    with pytest.raises(ValueError, match="damaged"):
        extract(b"LWD1:1/1:abc=de==;")
    # Whole groups of four, yet no UTF-8 text.
    with pytest.raises(ValueError, match="damaged"):
        extract(b"LWD1:1/1://///w==;")
