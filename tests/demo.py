"""Renew the demo pictures that the README shows: python -m tests.demo"""

from __future__ import annotations

from pathlib import Path

from geometry.sheet.drawing_svg import write_svg
from recipes.job import Job
from recipes.load import parse
from recipes.slot.slot_view import slot_view
from recipes.slot.stator_view import stator_view
from recipes.starter import starter_text

DEMO = Path(__file__).resolve().parent.parent / "out" / "demo"


def pictures() -> dict[str, str]:
    """Return file name and content of every demo picture."""
    job = Job(parse(starter_text("potters-wheel")))
    return {"stator.svg": write_svg(stator_view(job)), "slot.svg": write_svg(slot_view(job))}


def main() -> None:
    """Write the pictures."""
    DEMO.mkdir(parents=True, exist_ok=True)
    for name, text in pictures().items():
        (DEMO / name).write_text(text, encoding="utf-8", newline="\n")
        print(DEMO / name)


if __name__ == "__main__":
    main()
