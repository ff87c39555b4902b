"""What the README shows is what the commands say."""

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from recipes.cli.commands import parser
from recipes.design.starter import starter_text

ROOT = Path(__file__).resolve().parent.parent
TEXT = (ROOT / "README.md").read_text(encoding="utf-8")


def block(mark: str) -> str:
    """Return the code block after the comment `<!-- mark -->`."""
    found = re.search(rf"<!-- {mark} -->\n```\n(.*?)```", TEXT, re.DOTALL)
    assert found, mark
    return found[1]


def session() -> list[tuple[str, list[str]]]:
    """Return every command of the README's session with the lines shown below it."""
    steps: list[tuple[str, list[str]]] = []
    for shown in re.findall(r"^```\n(\$ lamwright .*?)^```", TEXT, re.DOTALL | re.MULTILINE):
        for text in shown.splitlines():
            if text.startswith("$ "):
                steps.append((text[2:], []))
            else:
                steps[-1][1].append(text)
    return steps


def fits(shown: list[str], real: list[str]) -> bool:
    """Say whether the lines are the real ones, where `...` stands for any number of them."""
    if not shown:
        return not real
    if shown[0] == "...":
        return any(fits(shown[1:], real[k:]) for k in range(len(real) + 1))
    return bool(real) and shown[0] == real[0] and fits(shown[1:], real[1:])


def test_the_session_is_what_the_commands_say(tmp_path: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1"}
    for command, shown in session():
        words = shlex.split(command)[1:]
        done = subprocess.run(
            [sys.executable, "-m", "recipes", *words], cwd=tmp_path, env=environment,
            capture_output=True, text=True, check=False, encoding="utf-8",
        )  # fmt: skip
        assert done.returncode == 0, (command, done.stderr)
        assert fits(shown, done.stdout.splitlines()), f"$ {command}\n{done.stdout}"


def test_the_session_shows_the_whole_way() -> None:
    names = [command.split()[1] for command, _ in session()]
    assert names[:2] == ["starters", "new"]
    assert {"check", "range", "compare", "build", "preflight", "record", "lookup"} <= set(names)
    assert sum(len(shown) for _, shown in session()) > 50


def test_dots_stand_for_lines_left_out() -> None:
    assert fits(["...", "b"], ["a", "a", "b"])
    assert fits(["a", "..."], ["a"])
    assert not fits(["...", "b"], ["a", "b", "c"])
    assert not fits([], ["a"])


def test_the_lines_for_a_notebook_run(tmp_path: Path) -> None:
    code = re.search(r"<!-- notebook -->\n```python\n(.*?)```", TEXT, re.DOTALL)
    assert code
    assert len([line for line in code[1].splitlines() if line]) == 4
    (tmp_path / "wheel.toml").write_text(starter_text("potters-wheel"), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-c", code[1]],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.splitlines()[0] == "28 turns fit, 151.0 mm2"


@pytest.mark.parametrize("mark", ["build", "test"])
def test_the_two_commands_do_all_their_own_set_up(mark: str) -> None:
    command = block(mark)
    assert command.count("\n") == 1
    assert "python3 -m venv .venv" in command
    assert "pip install" in command


def test_every_command_named_exists() -> None:
    actions = [a for a in parser()._actions if a.choices and not a.option_strings]
    known = set(actions[0].choices or ())
    named = set(re.findall(r"lamwright ([a-z]+)", TEXT))
    assert named - {"is", "new"} <= known
    for command in known:
        assert f"lamwright {command}" in TEXT, command
