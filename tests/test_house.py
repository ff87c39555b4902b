"""The house stays tidy: no dead code, small files and functions, docstrings that say enough."""

import ast
import csv
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from vulture import Vulture

from recipes.cli.commands import HANDLERS
from tests.places import ROOT

FILES = [p for folder in ("geometry", "recipes") for p in sorted((ROOT / folder).rglob("*.py"))]
TREES = {p.relative_to(ROOT).as_posix(): ast.parse(p.read_text(encoding="utf-8")) for p in FILES}
FUNCTIONS = ast.FunctionDef | ast.AsyncFunctionDef

MOST_LINES, MOST_IN_FUNCTION = 600, 80

#: Names that only look unused, by who uses them.
USED_ELSEWHERE = {
    "pydantic calls validators and reads the configuration": """
        _both_sizes _even _narrowing _one_kind _one_price_of_sheet _round_fits _usable_as_folder
        cls model_config""",
    "Python calls it": "__getattr__",
    "a class of a library calls or reads it": """
        ASCIIMode Angle Deflection MeshAlgo close_connection comment_ws daemon_threads do_GET
        get_plugins log_message protocol_version timeout rot""",
    "getattr reads fields of the design and of the title block by name": """
        tip_radius neck_radius
        approved_by created_by date_of_issue document_type tolerances""",
    "`lookup` prints every field of a table's row": """
        ac_strength_kv_per_mm bare_max_mm bare_min_mm loss_w_per_kg_1T0_50Hz
        loss_w_per_kg_1T5_50Hz overall_min_mm
        resistance_iec_nominal_ohm_per_m strength_is""",
    "a row of a table says what the table says, and where it is from": """
        chamfer_mm hub_depth_mm over_mm ring_load_kN row_voltage_V spacing_source up_to_mm version_source""",
    "a line of the winding card is printed cell by cell": "crossing",
    "a field can be read in more ways than the page needs: its checks do, pictures and losses will": """
        energies flux_between rms smallest_angle statistics""",
    "our readers list all that a file holds; tests look at what we wrote": """
        lineweight locked product_names""",
}
ALLOWED = {name for names in USED_ELSEWHERE.values() for name in names.split()}


def named_in_templates() -> set[str]:
    """Words behind a dot in the page's templates: attributes that they read."""
    found = (ROOT / "recipes").rglob("*.j2")
    return {w for p in found for w in re.findall(r"\.(\w+)", p.read_text(encoding="utf-8"))}


@pytest.fixture(scope="module")
def unused() -> dict[str, str]:
    """Name and place of everything that the project itself does not use; tests do not count."""
    looker = Vulture()
    looker.scavenge([str(ROOT / "geometry"), str(ROOT / "recipes")])
    items = looker.get_unused_code(min_confidence=60)
    return {str(i.name): f"{Path(i.filename).relative_to(ROOT)}:{i.first_lineno}" for i in items}


def test_nothing_is_dead(unused: dict[str, str]) -> None:
    alive = ALLOWED | named_in_templates() | {h.split(":")[1] for h in HANDLERS.values()}
    assert {name: place for name, place in unused.items() if name not in alive} == {}


def test_no_exception_outlives_its_reason(unused: dict[str, str]) -> None:
    assert set(unused) >= ALLOWED


def top_level_names(tree: ast.Module) -> Iterator[str]:
    for node in tree.body:
        if isinstance(node, FUNCTIONS | ast.ClassDef):
            yield node.name


def test_every_function_and_class_of_a_module_is_used_by_import_or_beside_it() -> None:
    """A name that is common elsewhere hides from a search by name: here the module counts too."""
    imported: set[tuple[str, str]] = set()
    for tree in TREES.values():
        modules = {}
        for node in ast.walk(tree):
            if isinstance(node, ast.ImportFrom) and node.module:
                imported.update((node.module, a.name) for a in node.names)
                modules.update({a.asname or a.name: f"{node.module}.{a.name}" for a in node.names})
        for node in ast.walk(tree):
            if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
                imported.add((modules.get(node.value.id, ""), node.attr))
    dead = []
    for path, tree in TREES.items():
        module = path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
        beside = {n.id for n in ast.walk(tree) if isinstance(n, ast.Name)}
        beside |= {n.value for n in ast.walk(tree) if isinstance(n, ast.Constant) and isinstance(n.value, str)}  # fmt: skip
        entry = {
            "recipes/__main__.py": {"main", "entry"},
            "recipes/__init__.py": {"__getattr__"},
        }
        dead += [
            f"{path}: {name}"
            for name in top_level_names(tree)
            if name not in beside | ALLOWED | entry.get(path, set())
            and (module, name) not in imported
            and f"{module}:{name}" not in HANDLERS.values()
        ]
    assert dead == []


def test_files_are_small() -> None:
    sizes = {path: len((ROOT / path).read_text().splitlines()) for path in TREES}
    assert {path: n for path, n in sizes.items() if n > MOST_LINES} == {}


#: Functions that are one plain list, whatever their length.
LISTS = {"recipes/motor.py solve": "a line for each fact of the motor"}


def test_functions_are_small() -> None:
    sizes = {
        f"{path}:{node.lineno} {node.name}": (node.end_lineno or 0) - node.lineno + 1
        for path, tree in TREES.items()
        for node in ast.walk(tree)
        if isinstance(node, FUNCTIONS)
    }
    large = {name: n for name, n in sizes.items() if n > MOST_IN_FUNCTION}
    assert {name: n for name, n in large.items() if re.sub(r":\d+", "", name) not in LISTS} == {}
    assert len(large) >= len(LISTS)


# --- values from outside --------------------------------------------------------------------------


@pytest.mark.parametrize(
    "path", sorted((ROOT / "tests" / "reference").iterdir()), ids=lambda p: p.name
)
def test_every_reference_value_names_its_source_and_is_used(path: Path) -> None:
    """In each row, or for the whole table in its head."""
    lines = path.read_text(encoding="utf-8").splitlines()
    head = [line for line in lines if line.startswith("#")]
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    assert rows
    if "source" in rows[0]:
        assert [row for row in rows if len(row["source"]) < 10] == []
    else:
        assert len(" ".join(head)) > 100
    assert any(path.name in p.read_text(encoding="utf-8") for p in (ROOT / "tests").rglob("*.py"))


# --- the map -------------------------------------------------------------------------------------


def test_the_map_names_every_folder() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    code = " ".join(re.findall(r"`([^`\n]+)`", text))
    tests = [p for p in (ROOT / "tests").iterdir() if p.is_dir() and "__" not in p.name]
    mirrored = {"geometry", "recipes"}
    folders = {p.parent for p in FILES} | {p for p in tests if p.name not in mirrored}
    wanted = {p.name for p in folders} - mirrored
    assert {name for name in wanted if not re.search(rf"\b{name}/", code)} == set()


def test_folders_of_tests_mirror_those_of_the_code() -> None:
    tests = [p.parent for f in ("geometry", "recipes") for p in (ROOT / "tests" / f).rglob("*.py")]
    assert {p for p in tests if not (ROOT / p.relative_to(ROOT / "tests")).is_dir()} == set()


def test_the_map_names_every_module_beside_the_folders() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    beside = [p for p in FILES if p.parent.name in ("geometry", "recipes")]
    names = {p.name for p in beside if p.name != "__init__.py"}
    assert {name for name in names if not re.search(rf"\b{name}\b", text)} == set()


def test_what_the_map_names_is_there() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    paths = re.findall(r"`((?:geometry|recipes|tests)/[\w/.*-]+)`", text)
    assert len(paths) > 50
    assert [path for path in paths if not list(ROOT.glob(path.rstrip("/")))] == []


def test_lines_of_the_map_are_short() -> None:
    lines = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").splitlines()
    assert [line for line in lines if len(line) > 100 and not line.startswith("|")] == []


# --- docstrings ----------------------------------------------------------------------------------


def public(body: list[ast.stmt], doc_of_class: str = "") -> Iterator[tuple[ast.AST, str]]:
    """Public functions, methods and classes, each with its docstring.

    `__post_init__` is part of its class: what is said there counts.
    """
    for node in body:
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            doc = ast.get_docstring(node) or ""
            yield node, doc
            yield from public(node.body, doc)
        elif isinstance(node, FUNCTIONS):
            doc = ast.get_docstring(node) or ""
            if node.name == "__post_init__":
                yield node, doc + doc_of_class
            elif not node.name.startswith("_"):
                yield node, doc


EVERY = [(path, *pair) for path, tree in TREES.items() for pair in public(tree.body)]


def place(path: str, node: ast.AST) -> str:
    return f"{path}:{getattr(node, 'lineno', 0)} {getattr(node, 'name', '')}"


def test_everything_public_has_a_docstring() -> None:
    assert len(EVERY) > 1000
    assert [path for path, tree in TREES.items() if not ast.get_docstring(tree)] == []
    assert [place(path, node) for path, node, doc in EVERY if not doc] == []
    assert [p.as_posix() for p in FILES if "TODO" in p.read_text(encoding="utf-8")] == []


def escaping(node: ast.AST) -> Iterator[str]:
    """Names of the errors that a function raises itself, those that it catches left out."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, FUNCTIONS | ast.ClassDef | ast.Lambda):
            continue
        if isinstance(child, ast.Raise) and child.exc is not None:
            error = child.exc.func if isinstance(child.exc, ast.Call) else child.exc
            name = error.attr if isinstance(error, ast.Attribute) else getattr(error, "id", "")
            if name[:1].isupper():  # else it hands on one that it holds
                yield name
        elif isinstance(child, ast.Try):
            caught = {ast.unparse(h.type) for h in child.handlers if h.type is not None}
            inside = ast.Module(body=child.body, type_ignores=[])
            yield from (e for e in escaping(inside) if not any(e in c for c in caught))
            rest = [*(s for h in child.handlers for s in h.body), *child.orelse, *child.finalbody]
            yield from escaping(ast.Module(body=rest, type_ignores=[]))
        else:
            yield from escaping(child)


def test_a_docstring_names_every_error_that_is_raised() -> None:
    silent = {
        place(path, node): missing
        for path, node, doc in EVERY
        if isinstance(node, FUNCTIONS)
        if (missing := [e for e in escaping(node) if e not in doc])
    }
    assert silent == {}


#: A unit, or a word that says that there is none.
UNIT = re.compile(
    r"\b(mm[23]?|m|um|mil|in|inch(es)?|rad|deg(rees?|C)?|C|K|s|ms|A|V|W|Ohm|ohm|N|Nm|MPa|kg|g|%"
    r"|units?|turns?|share|part|fraction|factor|ratio|number|points?)\b"
)
#: An argument whose own name ends in its unit.
SAYS_ITSELF = re.compile(r"_(mm2?|m|um|deg|rad|C|K|A|V|W|kg|N|s|ohm|W_per_m2K|A_per_mm2)$|^mm$")


def test_a_function_of_bare_numbers_names_a_unit() -> None:
    """Only functions of a module are asked: a method may lean on what its class says."""
    silent = []
    for path, tree in TREES.items():
        for node in tree.body:
            if not isinstance(node, FUNCTIONS) or node.name.startswith("_"):
                continue
            every = [*node.args.args, *node.args.kwonlyargs]
            bare = [a.arg for a in every if a.annotation and ast.unparse(a.annotation) == "float"]
            asked = [a for a in bare if not SAYS_ITSELF.search(a)]
            if asked and not UNIT.search(ast.get_docstring(node) or ""):
                silent.append(f"{place(path, node)}: {', '.join(asked)}")
    assert silent == []
