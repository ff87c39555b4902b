import re
from pathlib import Path

from tests.demo import DEMO, FIELD, pictures

ROOT = Path(__file__).resolve().parent.parent


def test_the_demo_pictures_are_what_the_code_draws() -> None:
    for name, drawn in pictures().items():
        text, kept = drawn, (DEMO / name).read_text(encoding="utf-8")
        if name == FIELD:  # its words and tones: rounded places may differ from machine to machine
            kept, text = (" ".join(re.findall(">[^<>]+<|fill=[^ ]+", t)) for t in (kept, drawn))
        assert kept == text, "run: python -m tests.demo"


def test_the_readme_shows_them_and_names_only_real_files() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", text)
    assert {"out/demo/stator.svg", "out/demo/slot.svg"} <= set(shown)
    for path in shown:
        assert (ROOT / path).is_file(), path
