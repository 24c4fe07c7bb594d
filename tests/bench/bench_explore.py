"""How fast every state of the controller is reached, beside spin's verifier on the exported model.

Run it: python tests/bench/bench_explore.py [--small] [--ours]. Without options it takes the shipped
scope and some minutes, most of them spin's. `--small` takes the scope of the tests, `--ours` leaves
spin out. Both run in processes of their own, one after the other; it prints the seconds of one run,
of the wall and of the processor, the largest memory, and the ratios. On a machine that is busy with
other things believe the processor's. Nothing here is a test.

spin is compiled with -O3 and searches depth first, which is the faster of its ways here; partial
order reduction is off, for there is but one process. Unfolding, export and compiling are told apart.
"""

import argparse
import os
import re
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter

from sim.logic.export.promela import export
from sim.logic.proof.compile import compiled
from sim.logic.proof.moves import SMALLEST, Scope
from sim.logic.proof.search.explore import Explorer

ROOT = Path(__file__).resolve().parents[2]
SMALL = SMALLEST
COMPILING = ("-O3", "-DSAFETY", "-DNOFAIR", "-DNOREDUCE", "-DMEMLIM=16000")
DEEPEST = {False: "-m100000000", True: "-m1000000"}
TABLE = {False: "-w26", True: "-w22"}  # the binary logarithm of the slots of the hash table


@dataclass(frozen=True)
class Run:
    """What one process took."""

    said: str
    wall_s: float
    processor_s: float
    peak_mb: float


def measured(words: list[str], folder: Path) -> Run:
    """Return what a process said and took."""
    began_s = perf_counter()
    with subprocess.Popen(words, cwd=folder, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        said = process.stdout.read()
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    assert process.returncode == 0, said
    wall_s = perf_counter() - began_s
    return Run(said, wall_s, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024)


def told(name: str, run: Run, states: int, searching_s: float) -> None:
    """Print a line."""
    print(
        f"{name}: {states:,} states; search {searching_s:.1f} s, {states / searching_s:,.0f} "
        f"states/s; whole process {run.wall_s:.1f} s, of the processor {run.processor_s:.1f} s, "
        f"peak {run.peak_mb:,.0f} MB"
    )


def explore(scope: Scope) -> None:
    """Explore in this process and print what it took."""
    began_s = perf_counter()
    model = compiled(scope)
    unfolded_s = perf_counter()
    reached = Explorer(model).reach(alone=False)
    print(
        f"states {reached.states} edges {reached.edges} depth {reached.depth} "
        f"unfolding {unfolded_s - began_s:.2f} search {perf_counter() - unfolded_s:.2f}"
    )


def ours(*, small: bool) -> tuple[int, float, Run]:
    """Measure our own search; return its states, its seconds of the wall, and the whole run."""
    words = [sys.executable, str(Path(__file__)), "--child", *["--small"] * small]
    run = measured(words, ROOT)
    values = dict(re.findall(r"(\w+) ([\d.]+)", run.said))
    states, search_s = int(values["states"]), float(values["search"])
    told("drycycle", run, states, search_s)
    print(
        f"  {int(values['edges']):,} moves that change anything, {values['depth']} moves to the "
        f"farthest state, unfolding the controller {values['unfolding']} s"
    )
    return states, search_s, run


def spins(*, small: bool) -> tuple[int, Run]:
    """Measure spin on the same model; return its states and its verifier's run."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        scope = SMALL if small else Scope()
        (folder / "saw.pml").write_text(export(compiled(scope)), encoding="utf-8")
        making = [
            measured(["spin", "-a", "saw.pml"], folder),
            measured(["gcc", *COMPILING, "-o", "pan", "pan.c"], folder),
        ]
        run = measured(["./pan", DEEPEST[small], TABLE[small]], folder)
    assert "errors: 0" in run.said, run.said
    assert "max search depth too small" not in run.said, run.said
    states = int(float(re.findall(r"(\S+) states, stored", run.said)[0]))
    told("spin", run, states, run.wall_s)
    print(f"  compiling its verifier {sum(part.wall_s for part in making):.1f} s")
    return states, run


def main() -> None:
    """Print the lines."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--small", action="store_true")
    parser.add_argument("--ours", action="store_true")
    parser.add_argument("--child", action="store_true", help=argparse.SUPPRESS)
    given = parser.parse_args()
    if given.child:
        explore(SMALL if given.small else Scope())
        return
    states, search_s, run = ours(small=given.small)
    if not given.ours:
        spin_states, spin = spins(small=given.small)
        print(f"same states: {'yes' if spin_states == states else 'NO'}")
        print(
            f"ratio spin / drycycle: search, by the wall {spin.wall_s / search_s:.1f}; whole "
            f"processes, by the processor {spin.processor_s / run.processor_s:.1f}"
        )


if __name__ == "__main__":
    main()
