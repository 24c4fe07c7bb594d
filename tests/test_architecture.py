"""The layers hold: who may import whom is read from pyproject.toml and checked on the imports."""

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
        "yaml only in the scenario gate",
        "faults know the plant and the signals, never the control",
    } <= set(contracts)
