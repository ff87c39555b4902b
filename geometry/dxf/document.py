"""The frame that every DXF file of ours shares: units, fixed metadata, stable bytes.

ezdxf stamps dates and random numbers into a file and lists its CLASSES in the order of a
Python set. Both are fixed here, so one design gives one file in every process.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Literal

from geometry.errors import GeometryError
from geometry.payload import pieces

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument

Unit = Literal["mm", "in"]

#: $INSUNITS code and $MEASUREMENT value of a unit (DXF reference, HEADER section).
HEADER_UNITS: dict[str, tuple[int, int]] = {"mm": (4, 1), "in": (1, 0)}

#: DXF versions that can be written. R12 has no unit header: say the size beside the file.
VERSIONS = ("R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018")


def load() -> None:
    """Load ezdxf, for copies of this process to share."""
    import ezdxf.document  # noqa: F401 - the first to ask loads it


def new_document(version: str = "R2010", unit: Unit = "mm") -> DxfDocument:
    """Return an empty ezdxf document of `version` whose header says `unit`.

    Raises:
        GeometryError: a version or unit that is not offered; lists the choices.
    """
    if version not in VERSIONS:
        raise GeometryError(
            f"DXF version {version!r} is not offered", hint=f"choose one of {', '.join(VERSIONS)}"
        )
    if unit not in HEADER_UNITS:
        raise GeometryError(
            f"DXF unit {unit!r} is not offered", hint=f"choose one of {', '.join(HEADER_UNITS)}"
        )
    from ezdxf.document import Drawing as DxfDocument

    code, metric = HEADER_UNITS[unit]
    with _fixed_metadata():  # `ezdxf.new` would set metres, and log a complaint for R12
        doc = DxfDocument.new(dxfversion=version)
    if version != "R12":
        doc.header["$INSUNITS"] = code
        doc.header["$MEASUREMENT"] = metric
    return doc


def to_bytes(doc: DxfDocument, payload: str = "") -> bytes:
    """Return the file, with `payload` carried in comments (group code 999) at its top.

    Readers skip comments; `geometry.payload.extract` finds the text again. Line ends are LF
    and the encoding is the one that the document declares.
    """
    if doc.dxfversion > "AC1009":
        for name in ("LAYOUT", "ACDBPLACEHOLDER"):  # ezdxf would add these in set order
            doc.classes.add_class(name)
    stream = io.StringIO(newline="\n")
    with _fixed_metadata():
        doc.write(stream)
    comments = "".join(f"999\n{piece}\n" for piece in pieces(payload))
    text = comments + stream.getvalue()
    return text.encode(doc.output_encoding, errors="dxfreplace")


@contextmanager
def _fixed_metadata() -> Iterator[None]:
    """Switch ezdxf's dates, GUIDs and version stamps to constants for a while."""
    import ezdxf

    options = ezdxf.options
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before
