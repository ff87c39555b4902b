"""Starters: worked designs that build at once, and a new file made from one."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from recipes.design.load import BadInput, parse, read_text
from recipes.refusal import bad_input

NAMES = ("potters-wheel", "kayak-thruster", "wool-spinner")


def starter_text(name: str) -> str:
    """Return the text of a starter.

    Raises:
        BadInput: there is no such starter; names all.
    """
    if name not in NAMES:
        raise BadInput(
            [
                bad_input(
                    "--like",
                    name,
                    f"--like {name!r}: there is no such starter and no such file",
                    f"use one of {', '.join(NAMES)}, or a file that a build wrote",
                    limit=", ".join(NAMES),
                )
            ]
        )
    return files("recipes").joinpath("starters", f"{name}.toml").read_text(encoding="utf-8")


def starters() -> list[tuple[str, str]]:
    """Return (name, first comment line) of every starter."""
    return [(n, starter_text(n).splitlines()[0].removeprefix("# ")) for n in NAMES]


def new_text(like: str, path: Path) -> str:
    """Return the text of a new design file: a starter's, or the design inside a pack's file.

    Args:
        like: name of a starter, or path of a design file or of a file that a build wrote.
        path: where it will be saved; its name becomes the design's name if it is a usable one.

    Raises:
        BadInput: neither a starter nor such a file, or no design in it.
    """
    if like in NAMES:
        text = starter_text(like)
    elif Path(like).is_file():
        text = read_text(Path(like))
        parse(text)  # what is no design is not written
        return text
    else:
        return starter_text(like)
    name = path.stem.replace("-", " ").replace("_", " ").strip()
    if name and all(c.isalnum() or c == " " for c in name) and len(name) <= 60:
        lines = text.splitlines(keepends=True)
        at = next(k for k, line in enumerate(lines) if line.startswith("name = "))
        lines[at] = f'name = "{name[0].upper() + name[1:]}"\n'
        text = "".join(lines)
    return text
