"""What works where the extras `nest` and `prove` were not installed."""

import subprocess
import sys

import pytest

WITHOUT = """
import sys
from importlib.machinery import PathFinder
missing = ("numpy", "highspy")
find = PathFinder.find_spec
PathFinder.find_spec = lambda name, *rest: None if name.split(".")[0] in missing else find(name, *rest)
from sim import cli
sys.argv = ["drycycle", *sys.argv[1:]]
cli.main()
"""


def drycycle_without_extras(*words):
    done = subprocess.run(
        [sys.executable, "-c", WITHOUT, *words], capture_output=True, text=True, check=False
    )
    return done.returncode, done.stdout, done.stderr


def test_a_cut_list_without_the_solver_names_its_bound_and_the_extra():
    pieces = ("5100x6", "2700x6", "2600x6", "2300x12")
    words = [word for piece in pieces for word in ("--piece", piece)]
    code, out, err = drycycle_without_extras(
        "calc", "bars", *words, "--bar", "10000", "--kerf", "0", "--remnant", "0"
    )

    assert (code, err) == (0, "")
    assert "no; 9 is the bound" in out
    assert "drycycle[nest]" in out


def test_the_proof_without_numpy_says_how_to_install_it():
    code, out, err = drycycle_without_extras("prove", "--quick")

    assert (code, out) == (2, "")
    assert "drycycle[prove]: pip install '.[prove]'" in err


@pytest.mark.parametrize("words", [("print", "promela"), ("print", "all"), ("run", "rail-posts")])
def test_what_needs_no_extra_runs_without_them(words):
    code, _, err = drycycle_without_extras(*words)

    assert (code, err) == (0, "")
