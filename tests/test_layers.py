"""Who may import whom, and what loads only when it is needed."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

from recipes.cli.commands import HANDLERS
from tests.places import ROOT

MODULES = {
    ".".join(p.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"): p
    for folder in ("geometry", "recipes")
    for p in sorted((ROOT / folder).rglob("*.py"))
}
TREES = {name: ast.parse(path.read_text(encoding="utf-8")) for name, path in MODULES.items()}

#: Libraries that take long to load: imported inside the function that needs them.
SLOW = {
    "OCP", "cadquery", "dask", "distributed", "ezdxf", "fontTools", "jinja2", "pint", "pypdfium2",
    "reportlab", "rich", "scipy", "skfem", "threadpoolctl", "tomli_w", "tomlkit",
}  # fmt: skip

#: What a function may import besides: only on some systems there, or big and seldom wanted.
SELDOM = {"ctypes", "fcntl", "msvcrt", "markupsafe", "numpy", "shapely", "shtab", "webbrowser"}

#: The command line stands below settings that count only if they are made before anything loads.
LATE = {"recipes.__main__: recipes.cli.commands"}

#: Rooms of `recipes` from the file to the screen: each imports only from those before it.
ROOMS = (
    "refusal", "terminal", "design", "tables", "drawing_conventions", "true_scale", "written_sheets",
    "templates", "stator", "insulation", "winding", "heat", "rotor", "shaft", "covers", "field",
    "manufacturing", "bench", "motor", "searches", "kept_field", "assembly", "catalogue", "assess", "report", "build", "study", "cli", "__main__",
)  # fmt: skip

#: Rooms that may call what writes or reads a file format. Design text is found in any file.
EDGE = {"report", "build", "study", "cli"}
NO_FORMAT = "geometry.formats.embedded_design"


def imports(tree: ast.AST, inside: bool = False, typing: bool = False) -> Iterator[tuple[str, str]]:
    """Yield every module that a file imports, and where: "top", "function", or "typing" only."""
    for node in ast.iter_child_nodes(tree):
        place = "function" if inside else "typing" if typing else "top"
        if isinstance(node, ast.Import):
            yield from ((alias.name, place) for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            whole = [f"{node.module}.{alias.name}" for alias in node.names]
            yield from {(w if w in MODULES else node.module, place) for w in whole}
        else:
            deeper = inside or isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
            checking = isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test)
            yield from imports(node, deeper, typing or checking)


IMPORTS = {module: set(imports(tree)) for module, tree in TREES.items()}

#: Every import counts, those inside functions and for types only too.
GRAPH = {
    module: {name for name, _ in found if name in MODULES and name != module}
    for module, found in IMPORTS.items()
}
#: The one table of modules by name: a command loads when it is chosen. Its edges count like any.
GRAPH["recipes.cli.commands"] |= {h.split(":")[0] for h in HANDLERS.values()} - {
    "recipes.cli.commands"
}
EDGES = [(module, other) for module, others in GRAPH.items() for other in others]


def room(module: str) -> str:
    """The room of a module: a folder of `geometry` or `recipes`, or a module beside the folders."""
    return module.split(".")[1] if "." in module else ""


def circle(graph: dict[str, set[str]]) -> str:
    """Return the first circle of a graph in words, "" if it has none."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        return " -> ".join(error.args[1])
    return ""


def test_imports_are_found_wherever_they_stand() -> None:
    text = """
import os.path
from recipes.tables import wire
from recipes.tables.wire import WireRow
if TYPE_CHECKING:
    from geometry.part import Part
try:
    import tomllib
except ImportError:
    pass
class A:
    def f(self):
        if self:
            import cadquery as cq
            from geometry import solids, tolerance
"""
    assert set(imports(ast.parse(text))) == {
        ("os.path", "top"), ("recipes.tables.wire", "top"), ("geometry.part", "typing"),
        ("tomllib", "top"), ("cadquery", "function"), ("geometry.solids", "function"),
        ("geometry.tolerance", "function"),
    }  # fmt: skip
    assert circle({"a": {"b"}, "b": {"c"}, "c": {"a"}})
    assert not circle({"a": {"b", "c"}, "b": {"c"}})


def test_no_module_imports_itself_by_way_of_others() -> None:
    assert circle(GRAPH) == ""


def test_only_two_tables_name_modules() -> None:
    """What is imported by name elsewhere would be an edge that nobody counts."""
    by_name = {m for m, path in MODULES.items() if "import_module" in path.read_text("utf-8")}
    assert by_name == {"recipes", "recipes.cli.commands"}
    assert {handler.split(":")[0] for handler in HANDLERS.values()} <= set(MODULES)


def test_functions_import_only_what_is_slow_to_load() -> None:
    """Neither a module of our own nor what Python brings along."""
    inside = {
        f"{module}: {name}"
        for module, found in IMPORTS.items()
        for name, where in found
        if where == "function" and name.split(".")[0] not in SLOW | SELDOM
    }
    assert sorted(inside - LATE) == []
    assert inside >= LATE


def test_slow_libraries_load_only_when_needed() -> None:
    at_once = {
        f"{module}: {name}"
        for module, found in IMPORTS.items()
        for name, where in found
        if where == "top" and name.split(".")[0] in SLOW
    }
    assert sorted(at_once) == []


def test_our_own_modules_are_not_imported_for_types_only() -> None:
    """Whoever names a type depends on it. `recipes` itself loads its two names when asked."""
    only = {
        f"{module}: {name}"
        for module, found in IMPORTS.items()
        for name, where in found
        if where == "typing" and name in MODULES and module != "recipes"
    }
    assert sorted(only) == []


def test_every_module_of_recipes_has_a_room() -> None:
    assert {room(m) for m in MODULES if m.startswith("recipes.")} == set(ROOMS)


def test_rooms_import_from_earlier_rooms_only() -> None:
    """So nothing before `motor` can know the whole motor: functions take the few values they need."""
    place = {name: n for n, name in enumerate(ROOMS)}
    back = {
        f"{module} -> {other}"
        for module, other in EDGES
        if module.startswith("recipes.") and other.startswith("recipes.")
        if place.get(room(other), 99) > place.get(room(module), 99)
    }
    assert sorted(back) == []


def test_folders_of_shapes_do_not_import_each_other() -> None:
    shapes = [(room(a), room(b)) for a, b in EDGES if a.startswith("geometry.")]
    graph: dict[str, set[str]] = {}
    for a, b in shapes:
        if a != b and b:
            graph.setdefault(a, set()).add(b)
    assert circle(graph) == ""


def test_geometry_knows_no_motor() -> None:
    assert [e for e in EDGES if e[0].startswith("geometry") and e[1].startswith("recipes")] == []


def test_only_the_edge_knows_file_formats() -> None:
    inner = {
        f"{module} -> {other}"
        for module, other in EDGES
        if module.startswith("recipes") and room(module) not in EDGE
        if other.startswith("geometry.formats") and other != NO_FORMAT
    }
    assert sorted(inner) == []


def loaded_after(code: str) -> set[str]:
    """Return the top names of all modules that are loaded after running code in a fresh process."""
    text = f"import sys\n{code}\nprint(' '.join(sys.modules))"
    run = subprocess.run(
        [sys.executable, "-c", text], capture_output=True, text=True, check=True, cwd=ROOT
    )
    return {name.split(".")[0] for name in run.stdout.split()}


@pytest.mark.parametrize(
    ("words", "never"),
    [
        (["build", "--no-solids"], {"OCP", "cadquery"}),
        (
            ["check"],
            {"OCP", "cadquery", "ezdxf", "reportlab", "pint", "pypdfium2", "jinja2", "http"},
        ),
    ],
    ids=["the cutting side loads no CAD kernel", "a check loads no writer"],
)
def test_a_command_loads_what_it_needs(words: list[str], never: set[str], tmp_path: Path) -> None:
    file = str(tmp_path / "w.toml")
    out = ["--out", str(tmp_path / "out")] if words[0] == "build" else []
    command = [words[0], file, *words[1:], *out]
    code = (
        "import contextlib, io\n"
        "from recipes.cli.commands import run\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):\n"
        f"    assert run(['new', {file!r}]) == 0\n"
        f"    assert run({command!r}) == 0"
    )
    assert not loaded_after(code) & never
