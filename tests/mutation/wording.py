"""Tell a survivor that only changes a sentence from one that changes what is computed."""

import ast
from pathlib import Path

SAYS = {"hint", "message", "fix", "where", "meaning", "source", "note", "words", "text"}


def functions(path: Path) -> dict[str, ast.FunctionDef | ast.AsyncFunctionDef]:
    """All functions of a file full of mutants by their name, methods too."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return {
        node.name: node
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and "__mutmut_" in node.name
    }


def first_change(
    old: ast.AST, new: ast.AST, above: tuple[ast.AST, ...] = ()
) -> tuple[tuple[ast.AST, ...], object, object] | None:
    """The innermost pair of nodes that differ, after the old nodes above them; None if alike."""
    if type(old) is not type(new):
        return above, old, new
    above = (*above, old)
    for name in old._fields:
        if isinstance(old, ast.FunctionDef) and name == "name":
            continue
        was, now = getattr(old, name, None), getattr(new, name, None)
        if isinstance(was, list) and isinstance(now, list):
            if len(was) != len(now):
                return above, was, now
            pairs = list(zip(was, now, strict=True))
        else:
            pairs = [(was, now)]
        for a, b in pairs:
            if isinstance(a, ast.AST) and isinstance(b, ast.AST):
                found = first_change(a, b, above)
                if found is not None:
                    return found
            elif a != b:
                return above, a, b
    return None


def _sentence(node: object) -> bool:
    """Whether a node is a text for the reader: a literal with a space in it."""
    if isinstance(node, ast.BinOp):
        return _sentence(node.left) or _sentence(node.right)
    if isinstance(node, ast.IfExp):
        return _sentence(node.body) and _sentence(node.orelse)
    if isinstance(node, ast.JoinedStr):
        return any(isinstance(v, ast.Constant) and " " in str(v.value) for v in node.values)
    return isinstance(node, ast.Constant) and isinstance(node.value, str) and " " in node.value


def _lost(was: list[object], now: list[object]) -> object | None:
    """The one argument that is missing in the second list."""
    if len(was) != len(now) + 1:
        return None
    kept = [ast.dump(n) for n in now if isinstance(n, ast.AST)]
    for k, node in enumerate(was):
        rest = [ast.dump(n) for n in was[:k] + was[k + 1 :] if isinstance(n, ast.AST)]
        if rest == kept:
            return node
    return None


def only_wording(old: ast.AST, new: ast.AST) -> bool:
    """Whether a mutant changes nothing but a sentence or drops one: no number, branch or field."""
    found = first_change(old, new)
    if found is None:
        return False
    above, was, now = found
    if isinstance(was, list) and isinstance(now, list):
        lost = _lost(was, now)
        if isinstance(lost, ast.keyword):
            return lost.arg in SAYS or _sentence(lost.value)
        return _sentence(lost)
    if isinstance(was, str):
        inside_sentence = any(isinstance(n, ast.JoinedStr) and _sentence(n) for n in above)
        if " " in was or inside_sentence:
            return True
    # What stands behind `hint=` and its like became another text or None.
    owners = [n.arg for n in above[-2:] if isinstance(n, ast.keyword)]
    return _sentence(was) or any(name in SAYS for name in owners)
