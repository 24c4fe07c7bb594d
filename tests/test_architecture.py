"""The layers hold: who may import whom is read from pyproject.toml and checked on the imports.

And a reader who meets the name of a class knows which one is meant.
"""

import ast
from collections import defaultdict
from pathlib import Path

from importlinter.application.use_cases import read_user_options
from importlinter.cli import lint_imports

ROOT = Path(__file__).parents[1]
CONFIG = str(ROOT / "pyproject.toml")


def test_every_layer_imports_only_what_lies_below_it(monkeypatch, capsys):
    monkeypatch.chdir(ROOT)
    broken = lint_imports(CONFIG, no_cache=True)

    assert not broken, capsys.readouterr().out


def test_the_contracts_are_there_to_be_kept(monkeypatch):
    monkeypatch.chdir(ROOT)
    contracts = {row["name"]: row for row in read_user_options(CONFIG).contracts_options}

    assert str(contracts["layers"]["exhaustive"]) == "True"
    assert {
        "pygame only in the view",
        "transitions only in sim.control.machine",
        "yaml only in the scenario gate, and where the rows that ship are read",
        "faults know the plant and the signals, never the control",
    } <= set(contracts)


def _twice(folder):
    """Return the names of classes that are defined more than once, with where."""
    places = defaultdict(list)
    for path in sorted(folder.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                places[node.name].append(f"{path.relative_to(folder)}:{node.lineno}")
    return {name: where for name, where in places.items() if len(where) > 1}


def test_every_class_name_is_defined_once():
    assert not _twice(ROOT / "sim")


def test_a_class_name_that_stands_twice_is_found(tmp_path):
    (tmp_path / "a.py").write_text("class Row: ...\nclass _Row: ...\n")
    (tmp_path / "b.py").write_text("def f():\n    class Row: ...\nclass _Row: ...\n")

    assert _twice(tmp_path) == {"Row": ["a.py:1", "b.py:2"]}


# What a record's numbers come from. From CPython 3.12 on builtin sum() compensates for rounding where
# 3.11 does not, so that a record of the one does not play on the other; math.fsum is exact in both.
EXACT = ("plant", "trade", "kernel", "faults", "saw.py")
COUNTS_WHOLE = {Path("sim/trade/cut_list.py")}  # in whole micrometres


def _calls(path, names):
    """Return where a file calls builtins of these names."""
    tree = ast.parse((ROOT / path).read_text("utf-8"))
    return [
        f"{path}:{node.lineno}"
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in names
    ]


def test_numbers_that_a_record_is_made_of_are_never_added_by_builtin_sum():
    files = {
        path.relative_to(ROOT)
        for part in EXACT
        for path in ([ROOT / "sim" / part] if part.endswith(".py") else (ROOT / "sim" / part).rglob("*.py"))
    }  # fmt: skip
    found = [place for path in sorted(files - COUNTS_WHOLE) for place in _calls(path, {"sum"})]

    assert len(files) > 60
    assert not found, "use math.fsum"


def test_a_call_of_sum_would_be_found():
    assert _calls(Path("sim/trade/cut_list.py"), {"sum"})
