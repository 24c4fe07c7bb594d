"""How fast a job runs without a window: log and hash on, beside what `transitions` itself can do.

Run it: python tests/bench/bench_headless.py [--rounds N]. It prints ratios of one run; absolute
figures are of this machine only. Nothing here is a test.
"""

import argparse
import statistics
from time import perf_counter

from transitions import Machine

from sim.drill.autopilot import whole_job
from sim.drill.opening import open_session
from sim.records.chain import ChainLog


def job_once() -> tuple[float, float, int, int]:
    """Return wall seconds, simulated seconds, machine steps and record lines of one job."""
    record = ChainLog()
    session = open_session("rail-posts", record=record)
    began_s = perf_counter()
    outcome = whole_job(session)
    session.close()
    wall_s = perf_counter() - began_s
    assert outcome.finished
    assert session.good == 24
    return wall_s, session.now_s, session.saw.controller.fired, len(record.lines)


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


def main() -> None:
    """Measure in turns, so that both meet the same machine, and print medians."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=15)
    rounds = parser.parse_args().rounds
    job_once()
    jobs, bare = [], []
    for _ in range(rounds):
        jobs.append(job_once())
        bare.append(bare_triggers_per_s(5_000))
    wall_s = statistics.median(job[0] for job in jobs)
    _, simulated_s, fired, lines = jobs[0]
    rate = statistics.median(bare)
    print(f"one job of 24 pieces: {simulated_s:.0f} simulated s in {wall_s * 1e3:.1f} ms")
    print(f"simulated seconds a wall second: {simulated_s / wall_s:,.0f}")
    print(f"machine steps a job: {fired}; record lines: {lines}")
    print(f"machine steps a second within the job: {fired / wall_s:,.0f}")
    print(f"bare transitions triggers a second, same run: {rate:,.0f}")
    print(f"ratio job steps / bare triggers: {fired / wall_s / rate:.2f}")
    print(f"time at the bare rate is {fired / rate / wall_s:.0%} of the job's time")


if __name__ == "__main__":
    main()
