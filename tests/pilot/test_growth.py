"""What a piece costs to simulate does not grow with the pieces before it: calls are counted, no clock is read."""

import sys
from pathlib import Path

import sim
from sim.pilot.autopilot import whole_job
from sim.session.opening import read, session_for
from tests.records.chains import ChainLog

FEW = 24
PROGRAM = str(
    Path(sim.__file__).parent
)  # what tests run beside it, as when memory is swept, does not count


def calls_of(pieces):
    """Return how many functions of the program are called for a job of short posts off one bar."""
    scenario, _ = read("rail-posts")
    job = scenario.job.model_copy(update={"length_mm": 20.0, "wanted": pieces})
    session = session_for(scenario.model_copy(update={"job": job}), record=ChainLog(), nonce="")
    count = 0

    def counts(frame, event, _argument):
        nonlocal count
        count += event == "call" and frame.f_code.co_filename.startswith(PROGRAM)

    sys.setprofile(counts)
    try:
        outcome = whole_job(session)
    finally:
        sys.setprofile(None)
    assert outcome.finished
    assert session.tally.good == pieces
    return count


def test_ten_times_the_pieces_take_ten_times_the_calls():
    calls_of(FEW * 10)  # what is worked out once, for any of them
    few, twice, ten_times = (calls_of(FEW * times) for times in (1, 2, 10))

    assert ten_times - few <= 1.02 * 9 * (twice - few)
    assert ten_times <= 10 * few
