"""What the README shows is what the commands say."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from recipes.cli import parser, run

ROOT = Path(__file__).resolve().parent.parent
TEXT = (ROOT / "README.md").read_text(encoding="utf-8")


def block(mark: str) -> str:
    """Return the code block after the comment `<!-- mark -->`."""
    found = re.search(rf"<!-- {mark} -->\n```\n(.*?)```", TEXT, re.DOTALL)
    assert found, mark
    return found[1]


def test_the_check_block_is_the_real_output(tmp_path: Path) -> None:
    file = tmp_path / "wheel.toml"
    assert run(["new", str(file), "--like", "potters-wheel"]) == 0
    done = subprocess.run(
        [sys.executable, "-m", "recipes", "check", str(file)], cwd=ROOT, capture_output=True,
        text=True, check=True, encoding="utf-8",
    )  # fmt: skip
    shown = block("check").splitlines()
    assert shown == done.stdout.splitlines()[-len(shown) :]
    assert len(shown) > 8


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
