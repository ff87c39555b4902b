"""Bytes of good files, damaged as editors, disks and mail programs damage them."""

from __future__ import annotations

from hypothesis import strategies as st

#: What is put where it does not belong: signs of TOML, DXF and STEP, numbers that are none, and
#: bytes that are no UTF-8.
SPLINTERS = (
    b"", b"\x00", b"\xff", b"\xc3", b"\xef\xbb\xbf", b"\r", b"\n", b"\t", b'"', b"'", b'"""', b"[", b"]",
    b"[[", b"{", b"}", b"=", b"#", b".", b"-", b",", b"\\", b"\\u0000", b"nan", b"inf", b"-inf", b"1e999",
    b"0x" + b"f" * 40, b"9" * 400, b"-1", b"0", b"true", b"1979-05-27", b"  0\r\n", b"EOF", b"SECTION",
    b"ENDSEC", b"SEQEND", b"\xe2\x80\xae", b"\xf0\x9f\x9b\x9e",
)  # fmt: skip


@st.composite
def damaged(draw: st.DrawFn, good: bytes) -> bytes:
    """Return `good` after one to five cuts, swaps, doublings and splinters."""
    data = good
    for _ in range(draw(st.integers(1, 5))):
        at = draw(st.integers(0, len(data)))
        size = draw(st.integers(0, 40))
        kind = draw(st.integers(0, 4))
        if kind == 0:
            data = data[:at] + data[at + size :]
        elif kind == 1:
            data = data[:at] + draw(st.sampled_from(SPLINTERS)) + data[at + size :]
        elif kind == 2:
            data = data[:at] + data[at : at + size] * 2 + data[at + size :]
        elif kind == 3:
            data = data[:at] + draw(st.binary(max_size=8)) + data[at + size :]
        else:
            data = data[:at]
        if not data:
            break
    return data
