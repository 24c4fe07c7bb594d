"""The guide arm, its lock, the band guard it carries, and the wheel cover."""

import pytest

from sim.words.message import NOTHING


@pytest.mark.parametrize(("span_mm", "over_mm"), [(65, 5), (45, 25)])
def test_an_arm_that_stands_over_the_bar_strikes_it_and_nothing_is_cut(ran, told, span_mm, over_mm):
    hands = ran(band__guide_span_mm=span_mm, hours=0.2)

    assert f"stood {over_mm} mm over the edge of a bar 60 mm across" in told(
        hands, "guide-struck-bar"
    )
    assert hands.harm == ["guide-struck-bar"]
    assert hands.saw.cuts == []
    assert hands.saw.plant.head.place.position == pytest.approx(0.060, abs=1e-6)


def test_an_arm_that_just_clears_the_bar_does_no_harm(ran):
    assert ran(band__guide_span_mm=70).harm == []


def test_a_mitre_needs_a_wider_span_for_the_same_bar(ran):
    at_45 = {"head__mitre_deg": 45, "outfeed__back_rail": "back"}
    assert ran(band__guide_span_mm=90, hours=0.2, **at_45).harm == ["guide-struck-bar"]
    # The end was square and nothing was trimmed off, so the piece is scrap; the guide has no part in it.
    assert ran(band__guide_span_mm=100, **at_45).harm == ["ends-differ"]


def test_an_arm_left_far_out_lets_the_band_wander_out_of_square(ran, told):
    far, near = ran(band__guide_span_mm=320), ran(band__guide_span_mm=80)

    assert near.harm == []
    assert far.harm == ["cut-out-of-square"]
    cut = far.saw.cuts[0]
    assert f"{cut.out_of_square * 100:.2f} mm per 100 mm" in told(far, "cut-out-of-square")
    assert cut.out_of_square > 3 * near.saw.cuts[0].out_of_square


def test_an_arm_left_unlocked_drifts_until_its_guard_opens_and_stops_the_saw(ran, told):
    hands = ran(wanted=6, band__guide_lock="slack")

    assert hands.job == "STOPPED"
    assert hands.reason == "the band guard was opened"
    assert len(hands.saw.cuts) == 3
    assert hands.harm == ["arm-drifted"] * 3 + ["band-uncovered"]
    assert "7.1 mm in this cut, to a span of 87 mm" in told(hands, "arm-drifted")
    assert not hands.sees("B41")


def test_sliding_the_guard_up_to_a_drifted_arm_closes_it_again(ran):
    hands = ran(wanted=6, band__guide_lock="slack")
    hands.set(band__guard="closed")

    assert hands.sees("B41")


@pytest.mark.parametrize(("door", "tag"), [("band__guard", "B41"), ("band__wheel_cover", "B42")])
def test_an_open_door_keeps_the_band_from_starting(ready, door, tag):
    hands = ready(**{door: "open"})
    answer = hands.palms("band.run")

    assert not answer.accepted
    assert tag in str(answer.sentence)
    assert hands.harm == []


@pytest.mark.parametrize("door", ["band__guard", "band__wheel_cover"])
def test_a_door_opened_on_a_running_band_trips_it_and_is_told_each_time(ready, door):
    hands = ready()
    hands.palms("band.run")
    hands.wait(3)
    hands.set(**{door: "open"})
    hands.wait(10)

    assert hands.state("band") == "TRIPPED"
    assert hands.harm == ["band-uncovered"]
    hands.set(**{door: "closed"})
    hands.tap("supply.reset")
    hands.palms("band.run")
    hands.wait(3)
    hands.set(**{door: "open"})
    assert hands.harm == ["band-uncovered"] * 2


def test_the_arm_cannot_be_moved_while_it_is_locked(ready):
    hands = ready()
    assert "locked" in str(hands.saw.blocked("band.guide_span_mm"))
    hands.set(band__guide_lock="slack")
    assert hands.saw.blocked("band.guide_span_mm") == NOTHING


def test_worn_guides_let_the_band_wander_as_many_times_as_far(ran):
    sound = ran()
    worn = ran(spoil=lambda plant: plant.band.guide.wear(3.0))

    ratio = worn.saw.cuts[0].out_of_square / sound.saw.cuts[0].out_of_square
    assert ratio == pytest.approx(3.0, rel=1e-6)


def test_an_arm_pushed_into_the_bar_in_the_cut_stops_the_head(ready):
    hands = ready()
    hands.clamp_bar()
    hands.ready("square")
    hands.start()
    hands.until_in_metal()
    hands.wait(10)
    hands.set(band__guide_span_mm=60)
    hands.wait(1)
    there = hands.saw.plant.head.place.position

    assert hands.harm == ["guide-struck-bar"]
    hands.wait(60)
    assert hands.saw.plant.head.place.position == there
