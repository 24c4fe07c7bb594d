"""How long it takes to weigh what was seen, and to find the plan, beside running the same saws anew.

Run it: python tests/bench/bench_belief.py [DRILL ...]. For each drill it prints how long the belief
takes after one more look, with the worlds kept beside the session, and what share that is of living
through all of it again; and the prior, the matrix and the plan, found without anything kept. Times are
the clock on the wall, on an idle machine: prior and matrix take both processors. The shares hold
anywhere. Nothing here is a test.
"""

import argparse
import os
import statistics
import tempfile
from time import perf_counter

os.environ["DRYCYCLE_CACHE"] = tempfile.mkdtemp(prefix="drycycle-bench-")

from sim.debrief.evidence import evidence
from sim.diagnosis.best_plan import plan_for
from sim.diagnosis.matrix_from_saw import found, matrix_for
from sim.diagnosis.prior import prior_for
from sim.pilot.autopilot import as_found
from sim.session.opening import open_session, read

DRILLS = ("posts-come-out-short", "newels-short-and-uneven", "stands-with-the-head-down")
LOOKS = 12


def belief(name: str) -> tuple[float, float]:
    """Return s for the belief after a look, the middle of some, and s for all of it anew."""
    session = open_session(name, nonce="")
    as_found(session, 1)
    allowed = session.scenario.inspections
    assert allowed != "all"
    looks = (allowed * LOOKS)[:LOOKS]
    evidence(session, up_to_now=True)
    each = []
    for look in looks:
        if not session.over:
            session.inspect(look)
        began_s = perf_counter()
        evidence(session, up_to_now=True)
        each.append(perf_counter() - began_s)
    again = open_session(name, nonce="")
    as_found(again, 1)
    for look in looks:
        if not again.over:
            again.inspect(look)
    began_s = perf_counter()
    evidence(again, up_to_now=True)
    return statistics.median(each), perf_counter() - began_s


def cold(name: str) -> tuple[float, float, float]:
    """Return s for prior, matrix and plan of a scenario with nothing kept."""
    scenario = read(name)[0]
    bare = scenario.model_copy(update={"faults": ()})
    began_s = perf_counter()
    prior = prior_for(bare)
    heard_s = perf_counter()
    found(bare, tuple(prior))
    found_s = perf_counter()
    matrix = matrix_for(scenario)
    before_s = perf_counter()
    plan_for(matrix)
    return heard_s - began_s, found_s - heard_s, perf_counter() - before_s


def main() -> None:
    """Print a line for each drill."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("drills", nargs="*", default=DRILLS)
    for name in parser.parse_args().drills:
        prior_s, matrix_s, plan_s = cold(name)
        look_s, anew_s = belief(name)
        print(
            f"{name}: belief after a look {1000 * look_s:.1f} ms, {look_s / anew_s:.3f} of all anew; "
            f"prior {prior_s:.2f} s, matrix {matrix_s:.2f} s, plan {plan_s:.2f} s"
        )


if __name__ == "__main__":
    main()
