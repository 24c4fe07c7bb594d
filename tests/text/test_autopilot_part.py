"""The autopilot at a part of the work says that it is done, or stops and says what it waits for."""

import pytest

from sim.session.opening import open_session
from sim.text.typed.autopilot_part import do_part


def _parts(session, *names):
    return [str(do_part(session, name)) for name in names]


def test_a_job_that_waits_for_a_switch_is_left_standing_and_told():
    session = open_session("feeds-and-then-stands")

    *done, stopped = _parts(session, "power", "ready", "start", "run")

    assert all("has done its part" in said for said in done)
    assert "stops here" in stopped
    assert "B33: the job waits to see that the cutting vise is clamped" in stopped
    assert session.now_s < 60


@pytest.mark.parametrize("part", ["start", "ready", "setup"])
def test_without_power_it_says_what_comes_first_and_has_nothing_refused(part):
    session = open_session("rail-posts")

    (said,) = _parts(session, part)

    assert not session.done.acts
    assert not session.heard.events
    assert "auto power switches it on" in said

    assert "stops here" in said
    assert (
        "There is no control power. Switch the isolator on when you know why it was off and nobody is at the saw, press reset, then switch control on."
        in said
    )
    assert session.now_s < 60


def test_where_no_job_runs_it_runs_none_and_no_time_passes():
    session = open_session("rail-posts")

    said = _parts(session, "run", "power", "setup", "run")

    assert "No job runs. Begin one first." in said[0]
    assert "No job runs. Begin one first." in said[-1]
    assert session.now_s < 60


def test_a_job_at_rest_tells_for_what_reason():
    session = open_session("motor-hums")

    said = _parts(session, "power", "ready", "run")

    assert said[-1].endswith("The job rests: the overload relay tripped.")
