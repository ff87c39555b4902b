"""`watch` from outside: the saved file comes back as a page, faults too, and nothing stays behind."""

import http.client
import json
import os
import re
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from geometry.drafting.drawing import Drawing
from recipes.cli.watch import line
from recipes.cli.watch_rebuild import Round, rebuild
from recipes.cli.watch_server import LOOPBACK, Board, _Handler, frame, server
from recipes.refusal import Refused, stop
from tests.places import ROOT
from tests.support.patience import PATIENCE, until
from tests.support.watching import Watching

STARTER = (ROOT / "recipes" / "starters" / "kayak-thruster.toml").read_text()


@pytest.fixture
def design(tmp_path: Path) -> Path:
    file = tmp_path / "boat.toml"
    file.write_text(STARTER)
    return file


@pytest.fixture
def board() -> Board:
    return Board()


@pytest.fixture
def port(board: Board) -> Iterator[int]:
    with server(board, 0) as site:
        threading.Thread(target=site.serve_forever, args=(0.02,), daemon=True).start()
        yield site.server_address[1]
        board.close()
        site.shutdown()


def ask(port: int, path: str, host: str | None = None) -> tuple[int, bytes]:
    line_ = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
    line_.request("GET", path, headers={"Host": host or f"127.0.0.1:{port}"})
    answer = line_.getresponse()
    seen = answer.status, answer.read()
    line_.close()
    return seen


def test_a_round_writes_the_drawing_side(design: Path, tmp_path: Path) -> None:
    done = rebuild(design, tmp_path / "o")
    assert not [f for f in done.findings if f["level"] == "stop"]
    assert {Path(p).suffix for p in done.files} >= {".dxf", ".pdf", ".svg", ".json"}
    assert not [p for p in done.files if p.endswith((".step", ".stl"))]
    for path, data in done.files.items():
        assert (Path(done.folder) / path).read_bytes() == data


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ("slots = 12", "slots = 13", "motor"),
        ("slots = 12", "slots = 12\nslts = 3", "motor.slts"),
        ("slots = 12", "slots = = 12", ""),
    ],
)
def test_a_bad_save_is_told_and_leaves_the_pack(design: Path, tmp_path: Path, old: str, new: str, field: str) -> None:  # fmt: skip
    assert old in STARTER
    good = rebuild(design, tmp_path / "o")
    design.write_text(STARTER.replace(old, new))
    bad = rebuild(design, tmp_path / "o")
    assert not bad.files
    assert any(f["level"] == "stop" and field in f["field"] for f in bad.findings)
    assert (Path(good.folder) / "design.toml").read_text() == STARTER


def test_a_folder_that_cannot_be_written_is_told(design: Path, tmp_path: Path) -> None:
    (tmp_path / "o").write_text("a file")
    done = rebuild(design, tmp_path / "o")
    assert [f["code"] for f in done.findings] == ["cannot-write"]


def test_a_rebuild_that_dies_is_told_and_the_next_one_goes_on(
    design: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr("recipes.cli.watch_rebuild.write_pack", lambda *_, **__: 1 // 0)
        (died,) = rebuild(design, tmp_path / "o").findings
    assert died["code"] == "rebuild-died"
    assert "ZeroDivisionError" in died["message"]
    assert rebuild(design, tmp_path / "o").files


def test_a_sheet_that_no_paper_holds_is_told(
    design: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none(*_: object, **__: object) -> tuple[Drawing, ...]:
        raise Refused(
            stop("no-sheet", "axle.length", "too long", value=1.0, limit=2.0, fix="saw it")
        )

    monkeypatch.setattr("recipes.stator.stack.stack_drawing", none)
    done = rebuild(design, tmp_path / "o")
    assert done.findings[0]["code"] == "no-sheet"
    assert not done.files


def test_one_line_says_how_it_went() -> None:
    stop = {"level": "stop", "message": "motor.slots = 13: no"}
    assert line(Round("b", [stop, stop])) == "STOP  motor.slots = 13: no (and 1 more)"
    good = Round("b", [{"level": "warn"}], {"a": b"", "c": b""}, "out/b", 0.731)
    assert line(good) == "0.7 s  2 files in out/b; 1 to look at"


def test_news_comes_as_soon_as_it_is_posted(board: Board, port: int) -> None:
    seen: list[dict[str, Any]] = []

    def wait() -> None:
        seen.append(json.loads(ask(port, "/state?after=1")[1]))

    board.post(Round("b", [], {"x.svg": b"<svg/>"}))
    waiting = threading.Thread(target=wait)
    waiting.start()
    board.post(Round("b", [{"level": "stop"}]))
    waiting.join(10)
    (state,) = seen
    assert (state["number"], state["pack"]) == (2, 1)
    assert ask(port, "/pack/x.svg") == (200, b"<svg/>")  # the last good pack stays


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1", "localhost:1", "[::1]:80"])
def test_only_this_machine_is_served(board: Board, port: int, host: str) -> None:
    board.post(Round("b", [], {"x.svg": b"<svg/>"}))
    assert ask(port, "/pack/x.svg", host)[0] == 403
    assert ask(port, "/pack/x.svg", f"localhost:{port}")[0] == 200


@pytest.mark.parametrize("path", ["/pack/../boat.toml", "/pack/%2e%2e/boat.toml", "/etc/passwd", "/pack//etc/passwd"])  # fmt: skip
def test_no_path_on_disk_can_be_asked_for(board: Board, port: int, path: str) -> None:
    board.post(Round("b", [], {"x.svg": b"<svg/>"}))
    assert ask(port, path)[0] == 404


def test_the_frame_names_nothing_outside() -> None:
    assert not re.findall(r"https?://", frame().decode())


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_from_start_to_end(design: Path, tmp_path: Path, number: int) -> None:
    out = tmp_path / "o"
    with Watching(design, out) as watching:
        port = watching.port
        first = json.loads(ask(port, "/state?after=0")[1])
        assert first["pack"] == 1
        assert b"follow" in ask(port, "/")[1]
        assert ask(port, "/pack/design.toml")[1].decode() == STARTER

        fresh = tmp_path / "fresh"  # editors that are careful put a new file in place
        fresh.write_text(STARTER.replace("slots = 12", "slots = 1"))
        fresh.replace(design)
        bad = json.loads(ask(port, "/state?after=1")[1])
        assert bad["findings"][0]["field"] == "motor.slots"
        assert bad["pack"] == 1

        design.write_text(STARTER + "\n# mended\n")
        mended = json.loads(ask(port, "/state?after=2")[1])
        assert mended["pack"] == 3
        assert ask(port, "/pack/design.toml")[1].decode().endswith("# mended\n")

        assert watching.end(number) == (0, "")
    assert [p.name for p in out.iterdir()] == ["kayak-thruster"]
    assert until(lambda: gone(watching.run.pid))


def gone(group: int) -> bool:
    """Tell whether no process of the group lives any more."""
    try:
        os.killpg(group, 0)
    except ProcessLookupError:
        return True
    return False


def test_a_missing_file_is_bad_input(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "recipes", "watch", str(tmp_path / "no.toml")],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 2
    assert "no.toml" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_connection_that_says_nothing_ends(port: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(_Handler, "timeout", 0.1)
    with socket.create_connection((LOOPBACK, port), 30) as talk:
        talk.sendall(b"GET /state HTTP/1.1\r\nHost: ")
        assert talk.recv(100) == b""


@pytest.mark.parametrize("text", [b"\x00\xff\r\n\r\n", b"GET\r\n\r\n", b"GET / HTTP/9\r\n\r\n"])
def test_a_malformed_request_gets_a_plain_answer(
    port: int, text: bytes, capfd: pytest.CaptureFixture[str]
) -> None:
    with socket.create_connection((LOOPBACK, port), 30) as talk:
        talk.sendall(text)
        talk.shutdown(socket.SHUT_WR)
        answer = b"".join(iter(lambda: talk.recv(4096), b""))
    assert b" 400 " in answer.partition(b"\r\n")[0] or b"400" in answer or b" 505 " in answer
    assert capfd.readouterr().err == ""
    assert ask(port, "/")[0] == 200
