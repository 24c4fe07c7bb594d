"""The changes that are made to a file, one at a time."""

import ast
import itertools
import pickle
from collections.abc import Iterator
from pathlib import Path

from cosmic_ray.ast import get_ast
from cosmic_ray.mutating import MutationVisitor
from cosmic_ray.operators.operator import Operator
from cosmic_ray.plugins import get_operator, operator_names

from .change import Change
from .operators import LeaveOut, LeaveUndone

# What numbers are reckoned with, what sets are, what asks which is more, and what asks for one thing:
# each is changed for another of its kind. Of None, of a member of an enumeration and of a word of the
# program's own, `is` and `==` answer alike, so that neither is changed for the other.
_KINDS = (
    {"Add", "Sub", "Mul", "Div", "FloorDiv", "Mod"}, {"BitOr", "BitAnd", "BitXor"},
    {"Eq", "NotEq", "Lt", "LtE", "Gt", "GtE"}, {"Is", "IsNot"}, {"LShift", "RShift"},
)  # fmt: skip
_WANT_ARGUMENTS = ("core/VariableReplacer", "core/VariableInserter")


def changes_of(file: Path) -> list[Change]:
    """Return every change to the file that makes another program of it, in a fixed order."""
    source = file.read_text("utf-8")
    tree = ast.parse(source)
    functions = list(_functions(tree, ""))
    seen = {_meaning(source)}
    parsed = pickle.dumps(get_ast(source))  # to parse it anew for every change takes minutes
    made = []
    for operator in _operators():
        for code in _mutants(parsed, operator):
            meaning = _meaning(code)
            if meaning and meaning not in seen:
                seen.add(meaning)
                made.append(_change(source, code, functions))
    return made


def _operators() -> list[Operator]:
    known = [get_operator(name)() for name in operator_names() if _is_tried(name)]
    return [LeaveOut(), LeaveUndone(), *known]


def _is_tried(name: str) -> bool:
    if name in _WANT_ARGUMENTS:
        return False
    if "/ReplaceBinaryOperator_" in name or "/ReplaceComparisonOperator_" in name:
        return any(set(name.split("_")[1:]) <= kind for kind in _KINDS)
    return True


def _mutants(parsed: bytes, operator: Operator) -> Iterator[str]:
    """Yield the code with each change of the operator, from a tree that `pickle` can give afresh."""
    for occurrence in itertools.count():
        visitor = MutationVisitor(occurrence, operator)
        mutated = visitor.walk(pickle.loads(parsed))
        if not visitor.mutation_applied:
            return
        yield mutated.get_code()


def _meaning(code: str) -> str:
    """Return what a program does, without what changes nothing of it; nothing where it is none."""
    try:
        tree = ast.parse(code)
    except SyntaxError:
        return ""
    _Plain().visit(tree)
    return ast.dump(tree)


class _Plain(ast.NodeVisitor):
    """Takes out of a program what changes nothing that it does."""

    _in_class = False

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        """Drop what it returns."""
        node.returns = None
        was, self._in_class = self._in_class, False
        self.generic_visit(node)
        self._in_class = was

    def visit_ClassDef(self, node: ast.ClassDef) -> None:
        """Drop that its values cannot be written to: mypy holds that nobody does."""
        for each in node.decorator_list:
            if isinstance(each, ast.Call):
                each.keywords = [k for k in each.keywords if k.arg not in ("frozen", "slots")]
        was, self._in_class = self._in_class, True
        self.generic_visit(node)
        self._in_class = was

    def visit_Assign(self, node: ast.Assign) -> None:
        """Drop what `import *` would bring."""
        if ast.unparse(node.targets[0]) == "__all__":
            node.value = ast.Constant(value=None)
        self.generic_visit(node)

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        """Drop the type, but not of a field."""
        if not self._in_class:
            node.annotation = ast.Constant(value=None)
        self.generic_visit(node)

    def visit_arguments(self, node: ast.arguments) -> None:
        """Drop whether an argument may be given by its place."""
        node.args = [*node.posonlyargs, *node.args, *node.kwonlyargs]
        node.defaults = [*node.defaults, *(each for each in node.kw_defaults if each)]
        node.posonlyargs, node.kwonlyargs, node.kw_defaults = [], [], []
        self.generic_visit(node)

    def visit_arg(self, node: ast.arg) -> None:
        """Drop its type."""
        node.annotation = None


def _functions(node: ast.AST, inside: str) -> Iterator[tuple[str, int, int]]:
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.FunctionDef | ast.ClassDef):
            name = f"{inside}.{child.name}".strip(".")
            yield name, child.lineno, child.end_lineno or child.lineno
            yield from _functions(child, name)


def _change(source: str, code: str, functions: list[tuple[str, int, int]]) -> Change:
    old, new = source.splitlines(), code.splitlines()
    first = 0
    while old[first : first + 1] == new[first : first + 1]:
        first += 1
    alike = 0  # lines at the end
    while alike < min(len(old), len(new)) - first and old[-1 - alike] == new[-1 - alike]:
        alike += 1
    line = first + 1
    # The innermost of those around a line begins last.
    around = [(begins, name) for name, begins, ends in functions if begins <= line <= ends]
    function = max(around)[1] if around else ""
    return Change(
        function, _said(old[first : len(old) - alike]), _said(new[first : len(new) - alike]), code
    )


def _said(lines: list[str]) -> str:
    return " ".join(" ".join(line.split()) for line in lines).strip()


__all__ = ["changes_of"]
