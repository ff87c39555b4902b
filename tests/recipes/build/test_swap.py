import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from recipes.build.swap import MARK, NotOurs, swap_in
from tests.places import ROOT

OLD = {MARK: b"{}", "cut/a.dxf": b"old"}
NEW = {MARK: b"{}", "cut/a.dxf": b"new", "read/b.txt": b"b"}


def content(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_a_new_pack_and_a_replaced_one_hold_just_their_files(tmp_path: Path) -> None:
    swap_in(tmp_path / "out" / "wheel", NEW)
    assert content(tmp_path / "out" / "wheel") == NEW
    swap_in(tmp_path / "out" / "wheel", OLD)
    assert content(tmp_path / "out" / "wheel") == OLD
    assert os.listdir(tmp_path / "out") == ["wheel"]


def test_folders_that_are_not_ours_stay(tmp_path: Path) -> None:
    (tmp_path / "wheel").mkdir()
    (tmp_path / "wheel" / "thesis.txt").write_text("years of work")
    with pytest.raises(NotOurs):
        swap_in(tmp_path / "wheel", NEW)
    (tmp_path / "link").symlink_to(tmp_path / "wheel")
    with pytest.raises(NotOurs):
        swap_in(tmp_path / "link", NEW)
    (tmp_path / "file").write_text("x")
    with pytest.raises(NotOurs):
        swap_in(tmp_path / "file", NEW)
    assert (tmp_path / "wheel" / "thesis.txt").read_text() == "years of work"


def test_a_failure_while_writing_keeps_the_older_pack(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    swap_in(tmp_path / "wheel", OLD)

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space"):
        swap_in(tmp_path / "wheel", NEW)
    assert content(tmp_path / "wheel") == OLD
    assert os.listdir(tmp_path) == ["wheel"]


def test_without_the_kernels_exchange_the_swap_still_works(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("recipes.build.swap._renameat2", lambda *_: False)
    swap_in(tmp_path / "wheel", OLD)
    swap_in(tmp_path / "wheel", NEW)
    assert content(tmp_path / "wheel") == NEW
    (tmp_path / "wheel").rename(
        tmp_path / ".wheel.previous"
    )  # as a kill between two renames leaves it
    swap_in(tmp_path / "wheel", OLD)
    assert content(tmp_path / "wheel") == OLD
    assert os.listdir(tmp_path) == ["wheel"]


def test_a_killed_run_leaves_the_old_or_the_new_pack_whole(tmp_path: Path) -> None:
    code = (
        "from pathlib import Path\nfrom recipes.build.swap import swap_in\n"
        f"folder = Path({str(tmp_path / 'wheel')!r})\n"
        "k = 0\nwhile True:\n    k += 1\n"
        "    swap_in(folder, {'manifest.json': b'%d' % k, **{f'cut/{n}.dxf': b'%d' % k for n in range(9)}})\n"
    )
    for wait in (0.31, 0.377, 0.45):
        run = subprocess.Popen([sys.executable, "-c", code], cwd=ROOT)
        time.sleep(wait)
        run.send_signal(signal.SIGKILL)
        run.wait()
        if (tmp_path / "wheel").exists():
            found = content(tmp_path / "wheel")
            assert len(found) == 10
            assert len(set(found.values())) == 1
