"""The swivel: mitres, plunger, lever and setting screw that hold it, swings at the wrong moment, the back rail."""

from math import cos, radians

import pytest

from sim.plant.harm.consequences import Severity
from sim.plant.harm.kinds import KINDS
from sim.units import MM
from sim.words.message import NOTHING

CLEAR = {"band__guide_span_mm": 140}


def square_mm(hands):
    return hands.saw.cuts[0].out_of_square * 100


def by_the_swivel(hands):
    """What came to harm, but for the piece itself: its front end is square, as nothing was squared off first."""
    return [kind for kind in hands.harm if kind != "ends-differ"]


def unlock(hands):
    hands.set(head__index_plunger="out", head__clamp_lever="open")


def test_a_mitre_lengthens_the_cut_by_its_contact(ran):
    square = ran(**CLEAR)
    mitred = ran(head__mitre_deg=60, outfeed__back_rail="back", **CLEAR)

    assert by_the_swivel(mitred) == []
    assert mitred.saw.cuts[0].at_us > square.saw.cuts[0].at_us


def test_the_band_meets_a_mitred_bar_as_long_as_it_is_across(ready):
    hands = ready(head__mitre_deg=60, outfeed__back_rail="back", **CLEAR)
    hands.clamp_bar()
    hands.palms("band.run")
    hands.wait(3)
    hands.press("head.lower")
    hands.until_in_metal()

    table = hands.saw.plant.head.cutting.table
    assert table.contact_m_at(30 * MM) == pytest.approx(60 * MM / cos(radians(60)))


def test_a_plunger_that_is_not_home_puts_a_square_cut_out_by_the_pull_of_the_band(ran, told):
    hands = ran(head__index_plunger="out")

    # 300 N at 0.4 m against 20 kN m a radian
    assert square_mm(hands) == pytest.approx(100 * 300 * 0.4 / 20e3, rel=0.02)
    assert hands.harm == ["cut-out-of-square"]
    assert f"{square_mm(hands):.2f} mm per 100 mm" in told(hands, "cut-out-of-square")


def test_an_open_lever_is_worse_and_goes_with_the_feed_force(ran):
    slack = ran(head__index_plunger="out")
    loose = ran(head__clamp_lever="open")
    gentle = ran(head__clamp_lever="open", head__feed_force_n=150)

    assert square_mm(loose) > 2 * square_mm(slack)
    assert square_mm(gentle) == pytest.approx(square_mm(loose) / 2, rel=0.05)


def test_between_the_index_angles_the_lever_alone_holds_a_mitre(ran):
    def mitre(deg, **settings):
        return by_the_swivel(
            ran(head__mitre_deg=deg, outfeed__back_rail="back", **CLEAR, **settings)
        )

    assert mitre(37, head__index_plunger="out") == []
    assert mitre(37, head__index_plunger="out", head__clamp_lever="open") == ["cut-out-of-square"]
    assert mitre(30, head__index_plunger="out") == ["cut-out-of-square"]
    assert mitre(30) == []


def test_the_head_swings_only_with_the_plunger_out_and_the_lever_open(ready):
    hands = ready()
    assert "plunger" in str(hands.saw.blocked("head.mitre_deg"))
    hands.set(head__index_plunger="out")
    assert "lever" in str(hands.saw.blocked("head.mitre_deg"))
    hands.set(head__clamp_lever="open")
    assert hands.saw.blocked("head.mitre_deg") == NOTHING


def test_a_swing_with_the_band_running_is_told(ready, told):
    hands = ready()
    unlock(hands)
    hands.palms("band.run")
    hands.wait(3)
    hands.set(head__mitre_deg=20)

    assert hands.harm == ["swung-running"]
    assert (
        KINDS["swung-running"].severity is Severity.STOP
    )  # whoever swings it stands beside the band
    assert "60 m/min" in told(hands, "swung-running")


def test_a_swing_with_the_band_down_in_the_bar_bends_it(ready, told):
    hands = ready()
    unlock(hands)
    hands.clamp_bar()
    hands.palms("band.run")
    hands.wait(3)
    hands.press("head.lower")
    hands.until_in_metal()
    hands.wait(20)
    hands.release("head.lower")
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


def test_a_back_rail_left_in_place_is_sawn_into_by_a_mitre_and_not_by_a_square_cut(ran, told):
    mitred = ran(head__mitre_deg=15, **CLEAR)

    assert by_the_swivel(mitred) == ["back-rail-cut"]
    assert "15 degrees" in told(mitred, "back-rail-cut")
    assert ran(**CLEAR).harm == []
    assert by_the_swivel(ran(head__mitre_deg=15, outfeed__back_rail="back", **CLEAR)) == []


def test_the_back_rail_is_met_at_its_own_height(ready):
    hands = ready(head__mitre_deg=15, **CLEAR)
    hands.clamp_bar()
    hands.palms("band.run")
    hands.wait(3)
    hands.press("head.lower")
    hands.until(lambda: "back-rail-cut" in hands.harm)

    assert hands.saw.plant.head.place.position == pytest.approx(50 * MM, abs=1e-6)


def test_a_back_rail_slid_back_in_time_is_spared(ready):
    hands = ready(head__mitre_deg=15, **CLEAR)
    hands.clamp_bar()
    hands.palms("band.run")
    hands.wait(3)
    hands.press("head.lower")
    hands.until_in_metal()
    hands.set(outfeed__back_rail="back")
    hands.until(lambda: bool(hands.saw.cuts))

    assert hands.harm == ["cut-dry"]


@pytest.mark.parametrize("deg", [0, 15, 30, 45, 60])
def test_the_plunger_snaps_home_at_the_index_angles(ready, deg):
    hands = ready()
    unlock(hands)
    hands.set(head__mitre_deg=deg)

    assert hands.saw.blocked("head.index_plunger") == NOTHING


@pytest.mark.parametrize("deg", [1, 14, 44, 59])
def test_between_them_there_is_no_bush_for_the_plunger(ready, deg):
    hands = ready()
    unlock(hands)
    hands.set(head__mitre_deg=deg)

    assert "no bush" in str(hands.saw.blocked("head.index_plunger"))


def test_a_setting_screw_too_far_out_leaves_the_closed_lever_clamping_less_than_the_pull(ran):
    """300 N at 0.4 m are 120 Nm; the screw clamps 1000 Nm a turn from its first turn on."""
    right, loose = ran(), ran(head__clamp_screw=1.0)
    nearly = ran(head__clamp_screw=1.05)

    assert right.harm == []
    assert loose.harm == ["cut-out-of-square"]
    assert square_mm(loose) == pytest.approx(square_mm(ran(head__clamp_lever="open")), rel=1e-6)
    gave_mm = 100 * (120 - 50) / 6e3
    assert square_mm(nearly) - square_mm(right) == pytest.approx(gave_mm, rel=0.05)
    held = ran(head__clamp_screw=1.125)  # 125 Nm
    assert held.harm == []
    assert square_mm(held) == square_mm(right)


def test_a_setting_screw_too_far_in_keeps_the_lever_from_closing(ready):
    hands = ready()
    assert "Open the lever first" in str(hands.saw.blocked("head.clamp_screw"))
    hands.set(head__clamp_lever="open")
    assert hands.saw.blocked("head.clamp_screw") == NOTHING
    hands.set(head__clamp_screw=3.5)
    assert "does not close" in str(hands.saw.blocked("head.clamp_lever"))
    hands.set(head__clamp_screw=2)

    assert hands.saw.blocked("head.clamp_lever") == NOTHING
