"""The command says its lines on any stream, in any encoding, from any home, and stops when asked."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.places import ROOT

STARTER = str(ROOT / "recipes" / "starters" / "wool-spinner.toml")


def _command(
    *words: str, env: dict[str, str] | None = None, shell: str = ""
) -> subprocess.CompletedProcess[bytes]:
    argv = [sys.executable, "-m", "recipes", *words]
    if shell:
        argv = ["sh", "-c", f'exec "$@" {shell}', "sh", *argv]
    return subprocess.run(
        argv, cwd=ROOT, env={**os.environ, **(env or {})}, capture_output=True, check=False
    )


@pytest.mark.parametrize("encoding", ["ascii", "cp1250", "cp1251", "cp932", "gbk", "latin-1"])
def test_every_encoding_shows_every_line(encoding: str) -> None:
    done = _command("check", STARTER, env={"PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"})
    assert done.returncode == 0
    assert done.stderr == b""
    text = done.stdout.decode(encoding)
    assert "sum of D2" in text or "sum of D²" in text
    assert "?" not in text.replace("Will the wire fit?", "")


@pytest.mark.parametrize("command", ["check", "compare"])
def test_a_closed_output_is_no_fault(command: str) -> None:
    words = [STARTER] if command == "check" else [STARTER, STARTER, "--quick"]
    done = _command(command, *words, shell=">&-")
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device here that is always full")
def test_a_full_disk_is_named_in_one_line() -> None:
    done = _command("starters", shell=">/dev/full")
    assert done.returncode == 2
    assert done.stderr.count(b"\n") == 1
    assert b"No space left" in done.stderr


def test_a_home_that_cannot_be_read_is_left_alone(tmp_path: Path) -> None:
    home = tmp_path / "home"
    home.write_text("")  # nobody, not even the superuser, can look into it
    out = str(tmp_path / "out")
    done = _command("build", STARTER, "--no-solids", "--out", out, env={"HOME": str(home)})
    assert done.returncode == 0, done.stderr.decode()


@pytest.mark.skipif(not Path("/dev/fd").exists(), reason="no names for open files here")
def test_a_design_is_read_from_a_pipe() -> None:
    read, write = os.pipe()
    os.write(write, Path(STARTER).read_bytes())
    os.close(write)
    done = subprocess.run(
        [sys.executable, "-m", "recipes", "check", f"/dev/fd/{read}"],
        cwd=ROOT,
        pass_fds=(read,),
        capture_output=True,
        check=False,
    )
    os.close(read)
    assert done.returncode == 0
    assert b"Will the wire fit? Yes" in done.stdout


def test_ctrl_c_while_loading_is_one_line_and_130() -> None:
    argv = [sys.executable, "-X", "importtime", "-m", "recipes", "check", STARTER]
    with subprocess.Popen(argv, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as run:
        assert run.stderr
        for line in run.stderr:
            if line.endswith(b" recipes.refusal\n"):  # in the middle of our own modules
                run.send_signal(signal.SIGINT)
                break
        rest = [text for text in run.stderr.read().splitlines() if b"import time" not in text]
    assert run.returncode == 130
    assert rest == [b"", b"stopped; nothing was replaced"]


def test_what_is_no_design_is_not_written(tmp_path: Path) -> None:
    other, made = tmp_path / "other.toml", tmp_path / "made.toml"
    other.write_text("[shop]\nname = 'not ours'\n")
    done = _command("new", str(made), "--like", str(other))
    assert done.returncode == 2
    assert b"Traceback" not in done.stderr
    assert not made.exists()
