"""The support arm: up for a short bar cut by hand, folded before the shuttle comes."""

import pytest

from sim.plant.bar import Stock
from sim.trade.sections import Round
from sim.units import MM
from sim.words.message import NOTHING


def cut_by_hand(ready, steel, length_mm, arm):
    """Cut a bar that stands 12 mm past the band, by hand, with coolant."""
    stock = Stock(steel, Round(60 * MM), length_mm * MM, 12 * MM)
    hands = ready(stock)
    hands.hold_down("shuttle.back", 3)
    hands.set(cutting_vise__support_arm=arm)
    hands.clamp("cutting_vise")
    hands.tap("coolant.on")
    hands.palms("band.run")
    hands.wait(3)
    hands.press("head.lower")
    hands.until(lambda: bool(hands.saw.cuts))
    return hands


@pytest.mark.parametrize("behind_mm", [80, 110, 140])
def test_a_short_bar_hangs_and_is_cut_out_of_square_without_the_arm(ready, steel, told, behind_mm):
    bare = cut_by_hand(ready, steel, behind_mm + 12, "folded")
    held = cut_by_hand(ready, steel, behind_mm + 12, "up")

    # a step of 0.6 mm over what lies behind the band
    assert bare.harm == ["cut-out-of-square"]
    tilt = bare.saw.cuts[0].out_of_square - held.saw.cuts[0].out_of_square
    assert tilt == pytest.approx(0.6 / behind_mm, rel=0.03)
    assert held.harm == []


def test_a_bar_that_reaches_the_shuttle_vise_needs_no_arm(ready, steel):
    assert cut_by_hand(ready, steel, 200, "folded").harm == []


def test_an_arm_left_up_is_struck_by_the_shuttle_and_knocked_down(ran, told):
    hands = ran(wanted=3, cutting_vise__support_arm="up")

    assert hands.harm == ["arm-struck"]
    assert "150 mm/s" in told(hands, "arm-struck")
    assert hands.saw.read("cutting_vise.support_arm") == "folded"
    assert hands.lengths_mm() == [112.0, 100.0, 100.0]


def test_a_throttled_shuttle_strikes_it_more_slowly(ran, told):
    hands = ran(cutting_vise__support_arm="up", spoil=lambda p: p.shuttle.throttle(0.5))

    assert "75 mm/s" in told(hands, "arm-struck")


def test_the_arm_is_struck_where_it_stands(ready):
    hands = ready()
    hands.hold_down("shuttle.back", 5)
    hands.set(cutting_vise__support_arm="up")
    hands.press("shuttle.forward")
    hands.until(lambda: "arm-struck" in hands.harm)

    assert hands.saw.plant.shuttle.place.position == pytest.approx(60 * MM, abs=1e-6)


def test_there_is_no_room_for_the_arm_with_the_shuttle_forward(ready):
    hands = ready()
    assert "Send it back to its stop" in str(hands.saw.blocked("cutting_vise.support_arm"))
    hands.hold_down("shuttle.back", 5)
    assert hands.saw.blocked("cutting_vise.support_arm") == NOTHING


def test_only_a_shuttle_that_comes_forward_strikes_it(ready):
    hands = ready()
    hands.hold_down("shuttle.back", 5)
    hands.set(cutting_vise__support_arm="up")
    hands.hold_down("shuttle.forward", 0.1)
    hands.hold_down("shuttle.back", 5)

    assert hands.harm == []
    assert hands.saw.read("cutting_vise.support_arm") == "up"
