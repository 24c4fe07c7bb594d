"""A job that was fed far too much or far too little is not passed, however many pieces fell."""

from sim.debrief.debrief import debrief
from sim.debrief.scoring import Outcome
from sim.pilot import autopilot
from sim.session.opening import open_session


def _fed(force_n, valve_mm_min):
    session = open_session("rail-posts")
    autopilot.power_up(session)
    autopilot.set_up(session)
    session.set("head.feed_force_n", force_n)
    session.set("head.feed_valve_mm_min", valve_mm_min)
    autopilot.begin(session)
    autopilot.run(session)
    session.close()
    return session


def test_a_wide_open_feed_makes_no_good_piece():
    session = _fed(1500, 250)

    assert session.tally.pieces > 0
    assert session.tally.good == 0
    assert {each.kind for each in session.saw.consequences} == {"cut-out-of-square"}
    assert debrief(session).outcome is Outcome.NOT_PASSED


def test_who_only_rubs_is_told_in_the_first_cut_and_does_not_pass_with_a_band_gone():
    session = _fed(100, 174)
    told = session.saw.consequences
    rubbed = next(each for each in told if each.kind == "teeth-rubbed")

    assert rubbed.at_us < session.saw.cuts[0].at_us
    assert "band-outlived" in {each.kind for each in told}
    found = debrief(session)
    assert found.outcome is Outcome.NOT_PASSED
    assert found.why.key == "verdict.bands"
