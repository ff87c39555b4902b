"""Run mutants of one group and count who noticed: `python -m tests.mutation outlines --every 5`.

Each mutant is one small change (`+` to `-`, `<` to `<=`, a number plus 1, an argument left out).
A copy of the last commit in a temporary folder is broken, never this tree: commit first. All
mutants of a group take an hour or more; `--every 5` takes each fifth. What mypy refuses counts as
noticed ("typed"): it runs with the tests. What only changes a sentence ("words") is counted apart.
"""

import argparse
import ast
import json
import os
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path

from tests.mutation.groups import GROUPS, Group
from tests.mutation.typed import errors, refused
from tests.mutation.wording import functions, only_wording
from tests.places import ROOT

#: Exit codes of a run whose mutant a test noticed: red, time over, memory over.
NOTICED = {1, 3, 24, -24, 36, 152, 255, -9, -11}
NO_TESTS = {5, 33}
COLUMNS = ("run", "killed", "typed", "alive", "words", "untested")


def config(group: Group) -> str:
    """The table for pyproject.toml."""
    lists = {
        "source_paths": [group.top],
        "only_mutate": list(group.sources),
        "pytest_add_cli_args_test_selection": group.selection,
        "pytest_add_cli_args": [
            *("-p", "tests.mutation.forget"),
            *(w for name in group.without for w in ("--deselect", name)),
        ],
        "also_copy": [
            "geometry", "recipes", "tests", "out", "pyproject.toml", "README.md", "DEVELOPERS.md",
        ],
    }  # fmt: skip
    lines = [f"{key} = {json.dumps(value)}" for key, value in lists.items()]
    return "\n".join(["", "[tool.mutmut]", "track_dependencies = false", *lines, ""])


def results(folder: Path) -> dict[Path, dict[str, int | None]]:
    """Exit codes by mutant (None: not run) by file below `mutants`."""
    return {
        meta.with_suffix(""): json.loads(meta.read_text(encoding="utf-8"))["exit_code_by_key"]
        for meta in sorted((folder / "mutants").rglob("*.py.meta"))
    }


def names(folder: Path, every: int) -> list[str]:
    """Each n-th mutant, counted through every file."""
    return [key for codes in results(folder).values() for key in list(codes)[::every]]


def mutmut(folder: Path, words: list[str], log: str) -> None:
    """One run with its chatter in a file beside the tree.

    CI makes hypothesis draw the same cases every time and forget its deadline.
    """
    with (folder / log).open("w", encoding="utf-8") as out:
        subprocess.run(
            [str(Path(sys.executable).parent / "mutmut"), "run", *words],
            cwd=folder, stdout=out, stderr=subprocess.STDOUT, check=False,
            env={**os.environ, "CI": "1"},
        )  # fmt: skip


def report(folder: Path) -> tuple[Counter[str], list[str]]:
    """Print a line a module; the sums and the names of survivors that change more than words."""
    total: Counter[str] = Counter()
    alive: list[str] = []
    print(f"{'module':38} " + " ".join(f"{name:>8}" for name in COLUMNS))
    survivors = {
        path: [k for k, c in codes.items() if c is not None and c not in NOTICED]
        for path, codes in results(folder).items()
    }
    wrong = errors(folder / "mutants", [p for p, keys in survivors.items() if keys])
    for path, codes in results(folder).items():
        row = Counter(run=sum(c is not None for c in codes.values()))
        row["killed"] = sum(c in NOTICED for c in codes.values())
        bodies = functions(path) if survivors[path] else {}
        for key in survivors[path]:
            name = key.rsplit(".", 1)[1]
            old, new = bodies[name.rsplit("_", 1)[0] + "_orig"], bodies[name]
            if refused(wrong[path], old, new):
                row["typed"] += 1
            elif only_wording(old, new):
                row["words"] += 1
            else:
                row["untested" if codes[key] in NO_TESTS else "alive"] += 1
                alive.append(key)
        if row["run"]:
            print(line(path.relative_to(folder / "mutants").as_posix(), row))
        total += row
    print(line("all", total))
    return total, alive


def line(name: str, row: Counter[str]) -> str:
    """The figures of one row."""
    return f"{name:38} " + " ".join(f"{row[column]:8}" for column in COLUMNS)


def show(folder: Path, alive: list[str]) -> None:
    """What each survivor changes: the old line and the new one."""
    for path in results(folder):
        bodies: dict[str, ast.FunctionDef | ast.AsyncFunctionDef] = {}
        inside = path.relative_to(folder / "mutants").with_suffix("")
        module = inside.as_posix().replace("/", ".").removesuffix(".__init__")
        for key in alive:
            name = key.rsplit(".", 1)[1]
            bodies = bodies or functions(path)
            if name not in bodies or key.rsplit(".", 1)[0] != module:
                continue
            stem = name.rsplit("_", 1)[0]
            old, new = (ast.unparse(bodies[n]).replace(n, "def_").splitlines()
                        for n in (f"{stem}_orig", name))  # fmt: skip
            print(key)
            print("\n".join(f"  - {w.strip()}" for w in old if w not in new))
            print("\n".join(f"  + {w.strip()}" for w in new if w not in old))


def main() -> int:
    """Copy, break, run, count."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    parser.add_argument("group", choices=sorted(GROUPS))
    parser.add_argument("--every", type=int, default=1, help="only each n-th mutant of a file")
    parser.add_argument("--jobs", type=int, default=1, help="mutants at a time")
    parser.add_argument("--keep", type=Path, help="folder for the copy, kept; run again to go on")
    parser.add_argument("--show", action="store_true", help="print what each survivor changes")
    asked = parser.parse_args()
    group = GROUPS[asked.group]
    with tempfile.TemporaryDirectory() as passing:
        folder = (asked.keep or Path(passing)).resolve() / "tree"
        if not folder.exists():
            subprocess.run(["git", "clone", "-q", str(ROOT), str(folder)], check=True)
            with (folder / "pyproject.toml").open("a", encoding="utf-8") as file:
                file.write(config(group))
            # A name that fits nothing makes the mutants and stops before any is run.
            mutmut(folder, ["none-of-these"], "make.log")
        sample = names(folder, asked.every)
        mutmut(folder, ["--max-children", str(asked.jobs), *sample], "run.log")
        total, alive = report(folder)
        if asked.show:
            show(folder, alive)
    if not total["run"]:
        print("nothing was run: see run.log in the copy (--keep FOLDER)", file=sys.stderr)
        return 1
    real, noticed = total["run"] - total["words"], total["killed"] + total["typed"]
    print(
        f"{asked.group}: killed {100 * noticed / total['run']:.1f} % of all {total['run']}, "
        f"{100 * noticed / real:.1f} % of the {real} that change more than wording"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main())
