"""A floor for the files of a pack: as many of each, as large, by bare libraries in one process.

    python tests/bench/floor_files.py counts.json

The counts are those of a real pack, taken by `counts_of`.

It imports what a build imports, writes DXF by ezdxf and PDF by reportlab with the embedded font,
and no more: what it draws means nothing; nothing is computed, laid out or read back, and no SVG,
HTML or CSV is written.
"""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path
from typing import Any

FONT = Path(__file__).resolve().parents[2] / "geometry" / "data" / "DejaVuSansCondensed.ttf"


def dxf(entities: list[tuple[str, int]]) -> str:
    """Return a DXF with these kinds of entity: corners of a polyline, letters of a text."""
    import ezdxf

    document = ezdxf.new("R2010")
    space = document.modelspace()
    for k, (kind, size) in enumerate(entities):
        if kind == "LINE":
            space.add_line((k, 0.0), (k, 1.25))
        elif kind == "CIRCLE":
            space.add_circle((k, 0.0), 1.25)
        elif kind == "LWPOLYLINE":
            space.add_lwpolyline([(i + 0.123456789, k, 0.25) for i in range(size)], format="xyb")
        elif kind == "TEXT":
            space.add_text("w" * size).set_placement((k, 0.0))
        else:
            space.add_solid([(k, 0.0), (k, 1.25), (k + 1.0, 0.0)])
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue()


def pdf(pages: list[dict[str, Any]]) -> bytes:
    """Return a PDF with as many paths of as many edges, and as many texts, on each page."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    if "f" not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(TTFont("f", str(FONT)))
    stream = io.BytesIO()
    canvas = Canvas(stream, pageCompression=1, initialFontName="f")
    for page in pages:
        for lines, curves in page["paths"]:
            path = canvas.beginPath()
            path.moveTo(1.2345, 2.3456)
            for k in range(lines):
                path.lineTo(1.2345 + k, 3.4567)
            for k in range(curves):
                path.curveTo(1.2345 + k, 3.4567, 4.5678, 5.6789, 6.789, 7.8901)
            canvas.drawPath(path)
        for k in range(page["texts"]):
            canvas.setFont("f", 10)
            canvas.drawString(1.2345 + k, 2.3456, "w" * page["letters"])
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def counts_of(pack: Path) -> dict[str, list[Any]]:
    """Return how many entities, paths, edges and letters the files of a pack hold."""
    import ezdxf
    import pypdfium2

    entities = [
        [(e.dxftype(), _size(e)) for e in ezdxf.readfile(path).modelspace()]
        for path in sorted(pack.rglob("*.dxf"))
    ]
    pages = [
        [_page(page) for page in pypdfium2.PdfDocument(path)]
        for path in sorted(pack.rglob("*.pdf"))
    ]
    return {"dxf": entities, "pdf": pages}


def _size(entity: Any) -> int:
    kind = entity.dxftype()
    return len(entity) if kind == "LWPOLYLINE" else len(entity.dxf.text) if kind == "TEXT" else 0


def _page(page: Any) -> dict[str, Any]:
    import pypdfium2.raw as raw

    paths = []
    for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        kinds = [
            raw.FPDFPathSegment_GetType(raw.FPDFPath_GetPathSegment(item.raw, k))
            for k in range(raw.FPDFPath_CountSegments(item.raw))
        ]
        lines, controls = (kinds.count(k) for k in (raw.FPDF_SEGMENT_LINETO, raw.FPDF_SEGMENT_BEZIERTO))  # fmt: skip
        paths.append((lines, controls // 3))
    texts = len(list(page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT])))
    letters = page.get_textpage().count_chars()
    return {"paths": paths, "texts": texts, "letters": round(letters / max(1, texts))}


def main() -> None:
    """Load what a build loads, and write all files that the counts ask for."""
    import numpy  # noqa: F401
    import pydantic  # noqa: F401
    import pypdfium2  # noqa: F401
    import rich  # noqa: F401
    import shapely  # noqa: F401

    counts = json.loads(Path(sys.argv[1]).read_text())
    for entities in counts["dxf"]:
        assert dxf(entities)
    for pages in counts["pdf"]:
        assert pdf(pages)


if __name__ == "__main__":
    main()
