"""A pack is there whole, the old one or the new one, whatever happens while it is written."""

from __future__ import annotations

import errno
import itertools
import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from recipes.build import swap
from recipes.build.swap import MARK, swap_in
from tests.places import ROOT

OLD = {MARK: b"{}", "cut/a.dxf": b"old", "read/b.txt": b"old" * 700}
NEW = {MARK: b"{ }", "cut/a.dxf": b"new", "cut/deep/c.dxf": b"new" * 900, "read/b.txt": b"new"}

#: A child that writes a pack and is killed at the nth thing it asks of the system.
KILLED = """
import os, signal, sys
from pathlib import Path
from recipes.build import swap
nth, folder = int(sys.argv[1]), Path(sys.argv[2])
new = {new!r}
swap.swap_in(Path(sys.argv[3]), new)  # loads whatever it needs
if {renames}:
    swap._renameat2 = lambda *_: False
count = 0
def hook(event, _):
    global count
    if event in ("open", "os.mkdir", "os.rename", "os.remove", "os.rmdir", "os.chmod", "os.listdir",
                 "os.scandir", "tempfile.mkdtemp", "shutil.rmtree", "ctypes.dlsym", "fcntl.flock"):
        count += 1
        if count == nth:
            os.kill(os.getpid(), signal.SIGKILL)
sys.addaudithook(hook)
swap.swap_in(folder, new)
"""


def content(folder: Path) -> dict[str, bytes]:
    return {
        p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()
    }


def killed_at(
    nth: int, folder: Path, spare: Path, renames: bool
) -> subprocess.CompletedProcess[str]:
    code = KILLED.format(new=NEW, renames=renames)
    return subprocess.run(
        [sys.executable, "-c", code, str(nth), str(folder), str(spare)],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system has no kill -9")
@pytest.mark.parametrize("exchange", ["by the kernel", "by two renames"])
def test_a_kill_at_every_step_leaves_the_old_or_the_new_pack_whole(
    exchange: str, tmp_path: Path
) -> None:
    """Not after a delay: at every opened file, made folder, rename and removal in turn."""
    seen = set()
    for nth in itertools.count(1):
        folder = tmp_path / f"at{nth}" / "wheel"
        swap_in(folder, OLD)
        ended = killed_at(nth, folder, tmp_path / "spare", exchange == "by two renames")
        assert ended.returncode in (0, -signal.SIGKILL), ended.stderr
        if exchange == "by the kernel" or folder.exists():
            found = content(folder)
        else:  # between two renames: the older pack waits beside for the next build
            found = content(folder.with_name(".wheel.previous"))
        assert found in (OLD, NEW), nth
        seen.add("new" if found == NEW else "old")
        swap_in(folder, NEW)  # the next build is not troubled by what is left
        assert content(folder) == NEW
        assert not folder.with_name(".wheel.previous").exists()
        shutil.rmtree(folder.parent)
        if ended.returncode == 0:
            break
    assert seen == {"old", "new"}
    assert nth > 15  # the hook hears what is done


def test_what_a_killed_run_left_is_swept_by_a_later_one(tmp_path: Path) -> None:
    left, young = tmp_path / ".wheel.new-dead", tmp_path / ".wheel.new-live"
    other = tmp_path / ".wheelbarrow.new-dead"
    for folder in (left, young, other):
        folder.mkdir()
        (folder / "half.dxf").write_bytes(b"0\nSEC")
    before = time.time() - 2 * swap.STALE
    os.utime(left, (before, before))
    os.utime(other, (before, before))
    swap_in(tmp_path / "wheel", NEW)
    assert sorted(p.name for p in tmp_path.iterdir()) == [
        ".wheel.new-live", ".wheelbarrow.new-dead", "wheel",
    ]  # fmt: skip


def test_a_folder_that_a_build_holds_is_not_swept(tmp_path: Path) -> None:
    pytest.importorskip("fcntl")
    held = tmp_path / ".wheel.new-held"
    held.mkdir()
    os.utime(held, (0, 0))
    handle = swap._hold(held)
    assert handle is not None
    try:
        swap_in(tmp_path / "wheel", NEW)
        assert held.is_dir()
    finally:
        os.close(handle)
    swap_in(tmp_path / "wheel", NEW)
    assert not held.exists()


def test_two_first_builds_at_once_both_end_well(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The other build comes in between looking whether the folder is there and renaming to it."""
    folder, once = tmp_path / "wheel", iter([True])
    right = swap._exchange

    def late(fresh: Path, target: Path) -> None:
        if next(once, False):
            real = Path.rename

            def rename(self: Path, to: Path) -> Path:
                monkeypatch.setattr(Path, "rename", real)
                swap_in(folder, OLD)
                return real(self, to)

            monkeypatch.setattr(Path, "rename", rename)
        right(fresh, target)

    monkeypatch.setattr(swap, "_exchange", late)
    swap_in(folder, NEW)
    assert content(folder) == NEW
    assert os.listdir(tmp_path) == ["wheel"]


def test_many_builds_at_once_leave_one_whole_pack(tmp_path: Path) -> None:
    code = (
        "import sys\nfrom pathlib import Path\nfrom recipes.build.swap import swap_in\n"
        "for k in range(40):\n"
        "    word = b'%s %d' % (sys.argv[1].encode(), k)\n"
        "    swap_in(Path(sys.argv[2]), {'manifest.json': word, **{f'cut/{n}.dxf': word for n in range(6)}})\n"
    )
    runs = [
        subprocess.Popen([sys.executable, "-c", code, who, str(tmp_path / "wheel")], cwd=ROOT)
        for who in ("one", "two", "three")
    ]
    while any(run.poll() is None for run in runs):
        try:
            found = (tmp_path / "wheel" / MARK).read_bytes()
        except FileNotFoundError:
            continue  # before the first one
        assert found
    assert [run.returncode for run in runs] == [0, 0, 0]
    found = content(tmp_path / "wheel")
    assert len(found) == 7
    assert len(set(found.values())) == 1
    assert os.listdir(tmp_path) == ["wheel"]


@pytest.mark.parametrize("nth", [1, 2, 3, 4])
@pytest.mark.parametrize("what", ["write", "fsync", "open"])
def test_a_disk_that_fills_at_any_file_keeps_the_older_pack(
    nth: int, what: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    swap_in(tmp_path / "wheel", OLD)
    fill_disk(monkeypatch, nth, what)
    with pytest.raises(OSError, match="No space") as caught:
        swap_in(tmp_path / "wheel", NEW)
    assert caught.value.errno == errno.ENOSPC
    monkeypatch.undo()
    assert content(tmp_path / "wheel") == OLD
    assert os.listdir(tmp_path) == ["wheel"]


def fill_disk(monkeypatch: pytest.MonkeyPatch, nth: int, what: str) -> None:
    """Let the nth `what` of a file that is written find a full disk."""
    right, sync, calls = Path.open, os.fsync, iter(range(1, 1000))

    def full() -> None:
        if next(calls) == nth:
            raise OSError(errno.ENOSPC, "No space left on device")

    class File:
        def __init__(self, file: object) -> None:
            self.file = file

        def __enter__(self) -> File:
            return self

        def __exit__(self, *_: object) -> None:
            self.file.close()  # type: ignore[attr-defined]

        def __getattr__(self, name: str) -> object:
            if name == what:
                full()
            return getattr(self.file, name)

    def opened(path: Path, mode: str = "r", *args: object, **named: object) -> object:
        if "w" in mode and what == "open":
            full()
        file = right(path, mode, *args, **named)  # type: ignore[call-overload]
        return File(file) if "w" in mode else file

    def synced(handle: int) -> None:
        if what == "fsync":
            full()
        sync(handle)

    monkeypatch.setattr(Path, "open", opened)
    monkeypatch.setattr(os, "fsync", synced)


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 200 kB, where this user may mount one."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=200k", "tmpfs", str(disk)]
    if not shutil.which("mount") or subprocess.run(mount, capture_output=True, check=False).returncode:  # fmt: skip
        pytest.skip("no small disk can be mounted here")
    try:
        yield disk
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def test_a_disk_that_is_really_full(small_disk: Path) -> None:
    swap_in(small_disk / "wheel", OLD)
    large = {**NEW, **{f"cut/{k}.dxf": bytes(40_000) for k in range(9)}}
    with pytest.raises(OSError, match="No space"):
        swap_in(small_disk / "wheel", large)
    assert content(small_disk / "wheel") == OLD
    assert os.listdir(small_disk) == ["wheel"]
    swap_in(small_disk / "wheel", NEW)
    assert content(small_disk / "wheel") == NEW
