"""The swivel: mitres, the locks and the lever that hold it, swings at the wrong moment, the fence."""

from math import cos, radians

import pytest

from sim.units import MM
from sim.words.message import NOTHING

CLEAR = {"band__guide_span_mm": 140}


def square_mm(hands):
    return hands.saw.cuts[0].out_of_square * 100


def unlock(hands):
    hands.set(head__index_plunger="slack", head__clamp_lever="loose")


def test_a_mitre_lengthens_the_cut_by_its_contact(ran):
    square = ran(**CLEAR)
    mitred = ran(head__mitre_deg=60, outfeed__back_rail="back", **CLEAR)

    assert mitred.harm == []
    assert mitred.saw.cuts[0].at_us > square.saw.cuts[0].at_us


def test_the_band_meets_a_mitred_bar_as_long_as_it_is_across(ready):
    hands = ready(head__mitre_deg=60, outfeed__back_rail="back", **CLEAR)
    hands.grip_bar()
    hands.start("band.start")
    hands.wait(3)
    hands.press("head.lower")
    hands.until_in_metal()

    table = hands.saw.plant.head.cutting.table
    assert table.contact_m_at(30 * MM) == pytest.approx(60 * MM / cos(radians(60)))


def test_slack_pivot_locks_put_a_square_cut_out_by_the_pull_of_the_band(ran, told):
    hands = ran(head__index_plunger="slack")

    # 300 N at 0.4 m against 20 kN m a radian
    assert square_mm(hands) == pytest.approx(100 * 300 * 0.4 / 20e3, rel=0.02)
    assert hands.harm == ["cut-out-of-square"]
    assert f"{square_mm(hands):.2f} mm per 100 mm" in told(hands, "cut-out-of-square")


def test_a_loose_lever_is_worse_and_goes_with_the_feed_force(ran):
    slack = ran(head__index_plunger="slack")
    loose = ran(head__clamp_lever="loose")
    gentle = ran(head__clamp_lever="loose", head__feed_force_n=150)

    assert square_mm(loose) > 2 * square_mm(slack)
    assert square_mm(gentle) == pytest.approx(square_mm(loose) / 2, rel=0.05)


def test_slack_pivot_locks_do_not_matter_to_a_mitre_held_by_its_lever(ran):
    at_30 = {"head__mitre_deg": 30, "outfeed__back_rail": "back", **CLEAR}

    assert ran(head__index_plunger="slack", **at_30).harm == []
    assert ran(head__clamp_lever="loose", **at_30).harm == ["cut-out-of-square"]


def test_the_head_swings_only_with_locks_and_lever_slack(ready):
    hands = ready()
    assert "pivot locks" in str(hands.saw.blocked("head.mitre_deg"))
    hands.set(head__index_plunger="slack")
    assert "lever" in str(hands.saw.blocked("head.mitre_deg"))
    hands.set(head__clamp_lever="loose")
    assert hands.saw.blocked("head.mitre_deg") == NOTHING


def test_a_swing_with_the_band_running_is_told(ready, told):
    hands = ready()
    unlock(hands)
    hands.start("band.start")
    hands.wait(3)
    hands.set(head__mitre_deg=20)

    assert hands.harm == ["swung-running"]
    assert "60 m/min" in told(hands, "swung-running")


def test_a_swing_with_the_band_down_in_the_bar_bends_it(ready, told):
    hands = ready()
    unlock(hands)
    hands.grip_bar()
    hands.start("band.start")
    hands.wait(3)
    hands.press("head.lower")
    hands.until_in_metal()
    hands.wait(20)
    hands.tap("band.stop")
    hands.wait(10)
    hands.set(head__mitre_deg=5)

    assert hands.harm == ["swung-into-bar"]
    depth_mm = 60 - hands.saw.plant.head.place.position / MM
    assert f"{depth_mm:.0f} mm below" in told(hands, "swung-into-bar")


def test_a_swing_with_the_band_still_and_up_does_no_harm(ready):
    hands = ready()
    unlock(hands)
    for mitre_deg in (60, 15, 0):
        hands.set(head__mitre_deg=mitre_deg)

    assert hands.harm == []


def test_a_fence_left_in_place_is_sawn_into_by_a_mitre_and_not_by_a_square_cut(ran, told):
    mitred = ran(head__mitre_deg=15, **CLEAR)

    assert mitred.harm == ["back-rail-cut"]
    assert "15 degrees" in told(mitred, "back-rail-cut")
    assert ran(**CLEAR).harm == []
    assert ran(head__mitre_deg=15, outfeed__back_rail="back", **CLEAR).harm == []


def test_the_fence_is_met_at_its_own_height(ready):
    hands = ready(head__mitre_deg=15, **CLEAR)
    hands.grip_bar()
    hands.start("band.start")
    hands.wait(3)
    hands.press("head.lower")
    hands.until(lambda: "back-rail-cut" in hands.harm)

    assert hands.saw.plant.head.place.position == pytest.approx(50 * MM, abs=1e-6)


def test_a_fence_slid_back_in_time_is_spared(ready):
    hands = ready(head__mitre_deg=15, **CLEAR)
    hands.grip_bar()
    hands.start("band.start")
    hands.wait(3)
    hands.press("head.lower")
    hands.until_in_metal()
    hands.set(outfeed__back_rail="back")
    hands.until(lambda: bool(hands.saw.cuts))

    assert hands.harm == ["cut-dry"]
