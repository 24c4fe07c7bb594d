"""The bevel protractor: what it reads at the ends of a mitred piece, and how sure it is."""

from math import degrees

import pytest

from sim.pilot.autopilot import begin, power_up, run, set_up
from sim.scenario.scenario import Scenario
from sim.session.opening import session_for
from sim.trade.measuring import PROTRACTOR


def braces(mitre_deg, **settings):
    """Return a session that cut two braces from 40 mm square bar, with what was set otherwise than the card says."""
    session = session_for(Scenario.model_validate({
        "title": "braces", "mode": "practice", "machine": "harbour-saw",
        "stock": {"material": "S275JR", "section": {"shape": "square", "side_mm": 40.0}, "length_mm": 3000.0, "front_mm": 60.0},
        "job": {"length_mm": 300.0, "wanted": 2, "mitre_deg": mitre_deg, "tolerance_mm": 0.5},
    }, strict=False), nonce="")  # fmt: skip
    power_up(session)
    set_up(session)
    for name, setting in settings.items():
        session.saw.set(name.replace("__", "."), setting)
    begin(session)
    run(session)
    return session


def read(session):
    """Return what is read at both ends of the last piece, degrees."""
    said = session.inspect("protractor").message
    found = next(part for part in (said, *said.values) if "reads" in str(part))
    return str(found)


@pytest.mark.parametrize("mitre_deg", [0.0, 30.0, 45.0])
def test_it_reads_both_ends_of_a_sound_piece_at_the_angle_of_the_order(mitre_deg):
    said = read(braces(mitre_deg))

    assert f"reads {mitre_deg:.1f}" in said
    assert f"and {mitre_deg:.1f}" in said


def test_it_tells_what_the_eye_does_not_of_a_head_that_gives_in_the_cut():
    """The plunger out at an index angle lets the pull of the band turn the head by less than the scale shows."""
    session = braces(30.0, head__index_plunger="out", head__clamp_lever="closed")
    cut = session.saw.cuts[-1]
    off = degrees(cut.gap_across_m / 0.040)

    assert off > 0.2
    assert "at 30" in str(session.inspect("last-piece").message)
    assert f"and {30.0 + round(off * 12) / 12:.1f}" in read(session)


def test_it_is_sure_to_about_a_tenth_of_a_degree():
    """A vernier of 5 minutes of arc, from memory: a rectangular limit of 5' and its rounding, k = 2, is 6.5'."""
    assert degrees(PROTRACTOR.expanded_rad) * 60 == pytest.approx(6.45, abs=0.01)
    assert degrees(PROTRACTOR.read(0.5)) * 12 == pytest.approx(round(degrees(0.5) * 12))


def test_with_no_piece_there_is_none_to_measure():
    session = session_for(Scenario.model_validate({
        "title": "none", "mode": "practice", "machine": "harbour-saw",
        "stock": {"material": "S275JR", "section": {"shape": "square", "side_mm": 40.0}, "length_mm": 3000.0, "front_mm": 60.0},
        "job": {"length_mm": 300.0, "wanted": 2},
    }, strict=False), nonce="")  # fmt: skip

    assert "No piece has been cut yet" in str(session.inspect("protractor").message)
