"""What the tests of the logic share: spin, the independent model checker."""

import os
import re
import shutil
import subprocess
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest

from sim.logic.export.promela import Watched, export
from sim.logic.proof import each
from sim.logic.proof.compile import Model

STEPS_A_MOVE = 14  # of spin: what is undivided, what is asserted, and one to choose an answer


@dataclass(frozen=True)
class Verdict:
    """What spin says of a model."""

    stored: int  # states
    broken: dict[str, int]  # property, and moves to the first breach that was met


@dataclass(frozen=True)
class Spin:
    """Runs spin in a folder."""

    folder: Path

    def search(self, model: Model, watched: Sequence[Watched] = ()) -> Verdict:
        """Search every state, depth first, and go on after a breach."""
        return self._verified(model, watched, ["-O1"], ["-m20000000", "-c0"])

    def shortest(self, model: Model, watched: Sequence[Watched]) -> Verdict:
        """Search breadth first up to the first breach, which is then one of the nearest."""
        return self._verified(model, watched, ["-O0", "-DBFS"], ["-m20000000"])

    def _verified(
        self, model: Model, watched: Sequence[Watched], compiling: list[str], running: list[str]
    ) -> Verdict:
        (self.folder / "saw.pml").write_text(export(model, watched), encoding="utf-8")
        self.verifier(*compiling)
        report = self.run("./pan", *running)
        assert "max search depth too small" not in report
        stored = re.search(r"(\S+) states, stored", report)
        assert stored, report
        return Verdict(int(float(stored[1])), _broken_in(report, watched))

    def verifier(self, *compiling: str) -> None:
        """Make the verifier of the model that lies in the folder."""
        self.run("spin", "-a", "saw.pml")
        self.run("gcc", *compiling, "-DSAFETY", "-DNOFAIR", "-DNOREDUCE", "-o", "pan", "pan.c")

    def run(self, *words: str) -> str:
        done = subprocess.run(words, cwd=self.folder, capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout


def _broken_in(report: str, watched: Sequence[Watched]) -> dict[str, int]:
    """Return which properties the verifier reports as broken, and after how many moves first.

    Searched breadth first (`-DBFS`) that is the shortest way.
    """
    found: dict[str, int] = {}
    for number, depth in re.findall(r"broken\)?!=(\d+)\)+ \(at depth (\d+)\)", report):
        found.setdefault(watched[int(number) - 1].name, (int(depth) + 1) // STEPS_A_MOVE)
    return found


@pytest.fixture(scope="session")
def spin_in() -> Callable[[Path], Spin]:
    """Spin in a folder; where it must be there, its absence is a failure."""
    missing = [command for command in ("spin", "gcc") if shutil.which(command) is None]
    if missing and "CI" not in os.environ:
        pytest.skip(f"not installed: {', '.join(missing)}")
    assert not missing
    return Spin


@pytest.fixture
def spin(spin_in: Callable[[Path], Spin], tmp_path: Path) -> Spin:
    """Spin in a folder of its own."""
    return spin_in(tmp_path)


@pytest.fixture(scope="module", autouse=True)
def _forgotten(request: pytest.FixtureRequest) -> Iterator[None]:
    """Forget after a file what it explored: it is gigabytes."""
    yield
    kept = (*vars(request.module).values(), each._shipped, each.table_within, each.reached_within)
    for one in kept:
        if hasattr(one, "cache_clear"):
            one.cache_clear()
