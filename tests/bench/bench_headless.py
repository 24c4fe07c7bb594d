"""How fast a job runs without a window: log and hash on, beside what `transitions` itself can do.

Run it: python tests/bench/bench_headless.py [--rounds N] [--against COMMIT]. It prints ratios of one
run; absolute figures are of this machine only. With --against the same job is run in turns on the
tree of another commit, and the ratio of the two is printed. With --growth jobs of ten times as many pieces
are run in turns with those of few, and what a piece costs in either is printed beside it. Nothing here is a test.
"""

import argparse
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter

from transitions import Machine

from sim.pilot.autopilot import whole_job
from sim.session.opening import open_session, read, session_for
from tests.records.chains import ChainLog

ROOT = Path(__file__).resolve().parents[2]


def job_once() -> tuple[float, float, int, int]:
    """Return wall seconds, simulated seconds, machine steps and record lines of one job."""
    record = ChainLog()
    session = open_session("rail-posts", record=record)
    began_s = perf_counter()
    outcome = whole_job(session)
    session.close()
    wall_s = perf_counter() - began_s
    assert outcome.finished
    assert session.tally.good == 24
    return wall_s, session.now_s, session.saw.controller.fired, len(record.lines)


FEW, TIMES = 24, 10


def job_of(pieces: int) -> tuple[float, int, int]:
    """Return wall seconds, machine steps and record lines of a job of short posts off one bar."""
    scenario, _ = read("rail-posts")
    job = scenario.job.model_copy(update={"length_mm": 20.0, "wanted": pieces})
    record = ChainLog()
    session = session_for(scenario.model_copy(update={"job": job}), record=record)
    began_s = perf_counter()
    outcome = whole_job(session)
    session.close()
    wall_s = perf_counter() - began_s
    assert outcome.finished
    assert session.tally.good == pieces
    return wall_s, session.saw.controller.fired, len(record.lines)


def growth(rounds: int) -> None:
    """Print what a piece of a long job costs by what one of a short job does."""
    job_of(FEW)
    pairs = [(job_of(FEW), job_of(FEW * TIMES)) for _ in range(rounds)]
    few_s, many_s = min(few[0] for few, _ in pairs), min(many[0] for _, many in pairs)
    (_, few_fired, few_lines), (_, many_fired, many_lines) = pairs[0]
    print(f"{FEW} pieces: {few_s * 1e3:.1f} ms; {FEW * TIMES} pieces: {many_s * 1e3:.1f} ms")
    print(
        f"{TIMES} times the pieces take {many_s / few_s:.2f} times the time, {many_fired / few_fired:.2f} "
        f"times the machine steps and {many_lines / few_lines:.2f} times the record lines"
    )


def bare_triggers_per_s(count: int = 20_000) -> float:
    """Return how many triggers a second a bare flat machine of eight states takes."""

    class Model:
        """Nothing but a state."""

    model = Model()
    states = [f"S{i}" for i in range(8)]
    ring = [["go", state, states[(i + 1) % 8]] for i, state in enumerate(states)]
    Machine(model, states=states, initial="S0", transitions=ring, auto_transitions=False)
    go = model.go  # type: ignore[attr-defined]
    began_s = perf_counter()
    for _ in range(count):
        go()
    return count / (perf_counter() - began_s)


def in_tree(tree: Path, rounds: int) -> float:
    """Return the best wall seconds of a job on the code of another folder."""
    script = (
        "import sys; sys.path[:0] = [sys.argv[1], sys.argv[1] + '/tests/bench']\n"
        "from bench_headless import job_once\n"
        "job_once(); print(min(job_once()[0] for _ in range(int(sys.argv[2]))))"
    )
    words = [sys.executable, "-c", script, str(tree), str(rounds)]
    done = subprocess.run(words, capture_output=True, text=True, check=True, cwd=tree)
    return float(done.stdout)


def compare(commit: str, rounds: int) -> None:
    """Print how this tree stands to another commit, measured in turns."""
    with tempfile.TemporaryDirectory() as folder:
        other = Path(folder) / "tree"
        git = ["git", "-C", str(ROOT), "worktree"]
        subprocess.run([*git, "add", "-q", "--detach", str(other), commit], check=True)
        try:
            pairs = [(in_tree(other, rounds), in_tree(ROOT, rounds)) for _ in range(4)]
        finally:
            subprocess.run([*git, "remove", "--force", str(other)], check=True)
    then_s, now_s = min(p[0] for p in pairs), min(p[1] for p in pairs)
    print(f"best job at {commit}: {then_s * 1e3:.1f} ms; now: {now_s * 1e3:.1f} ms")
    print(f"speed now by speed then: {then_s / now_s:.2f}")


def main() -> None:
    """Measure in turns, so that both meet the same machine."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=15)
    parser.add_argument("--against", metavar="COMMIT")
    parser.add_argument("--growth", action="store_true")
    given = parser.parse_args()
    if given.growth:
        growth(given.rounds)
        return
    job_once()
    jobs, bare = [], []
    for _ in range(given.rounds):
        jobs.append(job_once())
        bare.append(bare_triggers_per_s(5_000))
    _, simulated_s, fired, lines = jobs[0]
    walls_s = [job[0] for job in jobs]
    print(
        f"one job of 24 pieces: {simulated_s:.0f} simulated s; {fired} machine steps; {lines} record lines"
    )
    for name, wall_s, rate in (
        ("median", statistics.median(walls_s), statistics.median(bare)),
        ("best", min(walls_s), max(bare)),
    ):
        print(
            f"{name}: {wall_s * 1e3:.1f} ms a job, {simulated_s / wall_s:,.0f} simulated s a wall s; "
            f"bare transitions {rate:,.0f} triggers/s; "
            f"its steps alone would take {fired / rate / wall_s:.0%} of the job's time"
        )
    if given.against:
        compare(given.against, given.rounds)


if __name__ == "__main__":
    main()
