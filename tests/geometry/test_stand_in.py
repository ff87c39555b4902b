"""Parts of libraries that load later: absent until used, then the true ones, with their errors."""

from __future__ import annotations

import subprocess
import sys

import pytest

from geometry.stand_in import standing_in
from tests.places import ROOT


def alone(code: str) -> str:
    """Run code in a fresh process, where nothing is loaded; return what it prints."""
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return done.stdout.strip()


def test_writers_load_no_parser_of_queries_fonts_or_photographs() -> None:
    code = (
        "import sys\nfrom geometry.dxf import document\nfrom geometry.sheet import drawing_pdf\n"
        "document.load()\ndrawing_pdf.load()\n"
        "print({'ezdxf', 'reportlab'} <= set(sys.modules))\n"
        "print({'pyparsing', 'fontTools', 'fontTools.ttLib', 'PIL'} & set(sys.modules))"
    )
    assert alone(code).split("\n") == ["True", "set()"]


def test_who_asks_for_a_query_after_all_gets_it() -> None:
    code = (
        "from geometry.dxf.document import new_document\n"
        "space = new_document().modelspace()\n"
        "space.add_line((0, 0), (3, 1), dxfattribs={'layer': 'a'})\nspace.add_circle((0, 0), 2)\n"
        "print(len(space.query('CIRCLE')), space.query('*[layer==\"a\"]').first.dxf.end.x)"
    )
    assert alone(code) == "1 3.0"


def test_who_asks_for_a_font_or_a_photograph_after_all_gets_it() -> None:
    code = (
        "import io\nfrom geometry.dxf import document\nfrom geometry.sheet import drawing_pdf\n"
        "from geometry.sheet.font import font_file\ndocument.load()\ndrawing_pdf.load()\n"
        "from ezdxf.fonts.font_manager import TTFont\n"
        "print(TTFont(str(font_file())).getBestCmap()[65])\n"
        "from reportlab.lib.utils import ImageReader\nfrom PIL import Image\n"
        "print(ImageReader(Image.new('RGB', (7, 5))).getSize())"
    )
    lines = alone(code).split("\n")
    assert lines == ["A", "(7, 5)"]


def test_what_is_loaded_stays_itself_and_errors_are_caught() -> None:
    import json

    with standing_in("json", "no_such_part"):
        from no_such_part import SomeError, anything  # type: ignore[import-not-found] # stood in

        assert sys.modules["json"] is json
    assert "no_such_part" not in sys.modules
    with pytest.raises(ModuleNotFoundError, match="no_such_part"):
        anything()
    assert SomeError is Exception
