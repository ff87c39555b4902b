import re
from pathlib import Path

from tests.demo import DEMO, pictures

ROOT = Path(__file__).resolve().parent.parent


def test_the_demo_pictures_are_what_the_code_draws() -> None:
    for name, text in pictures().items():
        assert (DEMO / name).read_text(encoding="utf-8") == text, "run: python -m tests.demo"


def test_the_readme_shows_them_and_names_only_real_files() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", text)
    assert {"out/demo/stator.svg", "out/demo/slot.svg"} <= set(shown)
    for path in shown:
        assert (ROOT / path).is_file(), path
