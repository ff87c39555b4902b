"""The house keeps its shape: who may import whom, and what loads only when it is needed."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
MODULES = {
    ".".join(p.relative_to(ROOT).with_suffix("").parts): p
    for folder in ("geometry", "recipes")
    for p in sorted((ROOT / folder).rglob("*.py"))
}
HEAVY = {"cadquery", "OCP", "ezdxf", "reportlab", "scipy", "pint", "pypdfium2", "fontTools", "tomli_w", "tomlkit", "jinja2", "dask", "distributed", "rich", "shapely", "numpy"}  # fmt: skip

#: Files of `recipes` that may call writers: the edge.
EDGE = "recipes.build."
FILE_FORMATS = ("dxf", "step", "svg", "pdf", "brep", "part21")


def imports(path: Path, at_load_only: bool) -> set[str]:
    """Return the modules that a file imports; with `at_load_only` those of its top level."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    found: set[str] = set()

    def visit(node: ast.AST, inside: bool) -> None:
        for child in ast.iter_child_nodes(node):
            deeper = inside or isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef)
            typing_only = isinstance(child, ast.If) and "TYPE_CHECKING" in ast.dump(child.test)
            if typing_only and at_load_only:
                continue
            if not (deeper and at_load_only):
                if isinstance(child, ast.Import):
                    found.update(alias.name for alias in child.names)
                elif isinstance(child, ast.ImportFrom) and child.module:
                    found.add(child.module)
            visit(child, deeper)

    visit(tree, False)
    return found


@pytest.mark.parametrize("module", [m for m in MODULES if m.startswith("geometry")])
def test_geometry_knows_no_motor(module: str) -> None:
    assert not {i for i in imports(MODULES[module], False) if i.split(".")[0] == "recipes"}


@pytest.mark.parametrize("module", [m for m in MODULES if m.startswith("recipes")])
def test_recipes_know_no_file_format(module: str) -> None:
    if module.startswith(EDGE):
        return
    names = {i for i in imports(MODULES[module], False) if i.startswith("geometry.")}
    formats = {n for n in names if set(FILE_FORMATS) & set(re.split(r"[._]", n))}
    assert not formats


@pytest.mark.parametrize("module", MODULES)
def test_heavy_libraries_load_only_when_needed(module: str) -> None:
    allowed = (
        {"numpy", "shapely"} if "packing" in module or "lay" in module.split(".")[-1] else set()
    )
    top = {i.split(".")[0] for i in imports(MODULES[module], True)}
    assert not (top & HEAVY) - allowed


def test_no_import_cycle_at_load_time() -> None:
    graph = {m: {i for i in imports(p, True) if i in MODULES} for m, p in MODULES.items()}
    done: set[str] = set()

    def walk(module: str, path: tuple[str, ...]) -> None:
        assert module not in path, f"cycle: {' -> '.join((*path, module))}"
        if module not in done:
            for other in sorted(graph[module]):
                walk(other, (*path, module))
            done.add(module)

    for module in graph:
        walk(module, ())


def loaded_after(code: str) -> set[str]:
    text = f"import sys\n{code}\nprint(' '.join(sys.modules))"
    run = subprocess.run([sys.executable, "-c", text], capture_output=True, text=True, check=True, cwd=ROOT)  # fmt: skip
    return {name.split(".")[0] for name in run.stdout.split()}


def test_the_cutting_side_loads_no_cad_kernel(tmp_path: Path) -> None:
    code = (
        "from recipes.cli.commands import run\n"
        "import contextlib, io\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):\n"
        f"    assert run(['new', {str(tmp_path / 'w.toml')!r}]) == 0\n"
        f"    status = run(['build', {str(tmp_path / 'w.toml')!r}, '--no-solids', '--out', {str(tmp_path)!r}])\n"
        "assert status == 0"
    )
    assert not loaded_after(code) & {"OCP", "cadquery"}


def test_check_loads_no_writer(tmp_path: Path) -> None:
    code = (
        "from recipes.cli.commands import run\n"
        "import contextlib, io\n"
        "with contextlib.redirect_stdout(io.StringIO()):\n"
        f"    assert run(['new', {str(tmp_path / 'w.toml')!r}]) == 0\n"
        f"    assert run(['check', {str(tmp_path / 'w.toml')!r}]) == 0"
    )
    assert not loaded_after(code) & {"OCP", "cadquery", "ezdxf", "reportlab", "pint", "pypdfium2"}
