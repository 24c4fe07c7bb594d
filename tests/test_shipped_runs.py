"""The shipped scenarios come to one hash however finely time passes and whatever the hash seed is.

`tests/bench/every_python.py` does the same on every CPython of a machine.
"""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


def _hash_of(frames, seed):
    ran = subprocess.run(
        [sys.executable, ROOT / "tests" / "bench" / "shipped_runs.py", "--frames", str(frames)],
        capture_output=True, text=True, check=True, env=os.environ | {"PYTHONHASHSEED": str(seed)},
    )  # fmt: skip
    return ran.stdout.split()


@pytest.fixture(scope="module")
def whole():
    return _hash_of(0, 0)


def test_a_hundred_runs_are_played(whole):
    assert int(whole[2]) >= 108


@pytest.mark.slow
@pytest.mark.parametrize(("frames", "seed"), [(5, 1), (7, 271828)])
def test_frames_and_hash_seeds_make_no_difference(whole, frames, seed):
    assert _hash_of(frames, seed) == whole
