"""The wheel is whole: built from the sources, installed beside a checkout that it never sees."""

import re
import shutil
import subprocess
import sys
import sysconfig
import tarfile
import tomllib
import venv
import zipfile
from importlib.metadata import metadata
from pathlib import Path

import pytest

from tests.places import ROOT

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]


def sources() -> set[str]:
    """Every file that a user needs at run time, by its path in the project."""
    return {
        p.relative_to(ROOT).as_posix()
        for folder in ("geometry", "recipes")
        for p in (ROOT / folder).rglob("*")
        if p.is_file() and "__pycache__" not in p.parts
    }


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder with wheel and source archive, built in a copy: a checkout stays clean."""
    copy = tmp_path_factory.mktemp("sources") / "tree"
    ignore = shutil.ignore_patterns(".git", "__pycache__", "*.egg-info", "out", "tests", ".*cache")
    shutil.copytree(ROOT, copy, ignore=ignore)
    subprocess.run(
        [sys.executable, "-m", "build", "--no-isolation", "--outdir", str(copy / "dist")],
        cwd=copy, check=True, capture_output=True, text=True,
    )  # fmt: skip
    return copy / "dist"


def test_the_wheel_holds_every_module_and_table(built: Path) -> None:
    (wheel,) = built.glob("*.whl")
    names = set(zipfile.ZipFile(wheel).namelist())
    assert {n for n in names if not n.split("/")[0].endswith(".dist-info")} == sources()
    assert any(n.endswith("LICENSE") for n in names)


def test_the_source_archive_holds_the_same(built: Path) -> None:
    (archive,) = built.glob("*.tar.gz")
    with tarfile.open(archive) as tar:
        names = {n.split("/", 1)[1] for n in tar.getnames() if "/" in n}
    assert sources() <= names
    assert {"pyproject.toml", "README.md", "LICENSE"} <= names


def test_an_installed_wheel_builds_a_starter_far_from_the_sources(
    built: Path, tmp_path: Path
) -> None:
    (wheel,) = built.glob("*.whl")
    home = tmp_path / "home"
    venv.create(home, symlinks=True)
    place = sysconfig.get_path("purelib", "venv", {"base": str(home)})
    subprocess.run(
        [sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--no-index",
         "--target", place, str(wheel)],
        check=True, capture_output=True,
    )  # fmt: skip
    # Other libraries come from this environment; `.ci/run` installs them anew. A path file does
    # not run the path files of that folder, so the checkout installed there stays out of sight.
    Path(place, "others.pth").write_text(sysconfig.get_path("purelib") + "\n")
    python = home / ("Scripts" if sys.platform == "win32" else "bin") / "python"

    def run(*words: str) -> str:
        done = subprocess.run(
            [str(python), "-m", "recipes", *words], cwd=tmp_path, text=True, capture_output=True, check=False
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        return done.stdout

    where = subprocess.run(
        [str(python), "-c", "import recipes, geometry; print(recipes.__file__, geometry.__file__)"],
        cwd=tmp_path, text=True, capture_output=True, check=True,
    ).stdout.split()  # fmt: skip
    assert all(Path(w).is_relative_to(place) for w in where)
    assert len(run("starters").splitlines()) == 3
    run("new", "mill.toml", "--like", "kayak-thruster")
    assert "manifest.json" in run("build", "mill.toml", "--no-solids")


def test_every_dependency_has_its_licence_listed() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text().split("## Dependencies and their licences")[1]
    listed = dict(re.findall(r"^\| `([\w-]+)` \| ([^|]+?) \|", text, re.M))
    wanted = [*PROJECT["dependencies"]]
    for extra in PROJECT["optional-dependencies"].values():
        wanted += extra
    names = {re.split(r"[<>=\[; ]", w)[0] for w in wanted}
    assert names == set(listed)
    for name in names & {re.split(r"[<>=\[; ]", w)[0] for w in PROJECT["dependencies"]}:
        head = metadata(name)
        says = " ".join([head.get("License-Expression") or "", head.get("License") or "",
                         *(head.get_all("Classifier") or [])])  # fmt: skip
        # A maker's own words differ ("BSD License", "BSD-3-Clause"): the first word must be there.
        assert re.split(r"[- ]", listed[name])[0].lower() in says.lower(), (name, listed[name])
