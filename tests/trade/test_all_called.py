"""No law stands there for its tests alone: what a source is compared with is what saw, card or calc reckons with."""

import ast

from tests.test_architecture import ROOT

TRADE = ROOT / "sim" / "trade"


def names_of(tree):
    """Yield every name that code uses, imports not counted."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Name):
            yield node.id
        elif isinstance(node, ast.Attribute):
            yield node.attr


def laws(tree):
    """Return the public functions of a module."""
    return {
        node.name
        for node in tree.body
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
    }


def test_every_law_of_the_trade_is_called_by_the_program():
    trees = {path: ast.parse(path.read_text("utf-8")) for path in (ROOT / "sim").rglob("*.py")}
    used = {name for tree in trees.values() for name in names_of(tree)}
    of_trade = {path: laws(tree) for path, tree in trees.items() if path.parent == TRADE}

    assert sum(len(names) for names in of_trade.values()) > 100
    assert not {path.name: left for path, names in of_trade.items() if (left := names - used)}
