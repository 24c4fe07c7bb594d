"""The two-hand start: a start key, then both palm keys together and afresh each time."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.control.controller import ASKED_US
from sim.control.two_hand import LIMIT_US, PALMS, TwoHand, TwoHandPair
from sim.units import US

STARTS = {
    "band.run": ("band", "STARTING"),
    "job.start": ("job", "EXECUTE"),
    "job.unhold": ("job", "EXECUTE"),
}
LEFT, RIGHT = "palm.left", "palm.right"


@settings(max_examples=60)
@given(
    st.lists(
        st.tuples(st.integers(0, US), st.sampled_from(PALMS), st.booleans()),
        max_size=30,
    )
)
def test_a_start_needs_both_keys_to_have_been_up_and_to_go_down_together(acts):
    pair = TwoHandPair()
    went_down = dict.fromkeys(PALMS)
    used = dict.fromkeys(PALMS, True)  # since both were last up together
    now_us = 0
    for pause_us, key, down in acts:
        now_us += pause_us
        if down == (went_down[key] is not None):
            continue
        if not down:
            went_down[key] = None
            pair.release(key)
        else:
            both_were_up = all(time is None for time in went_down.values())
            if both_were_up:
                used = dict.fromkeys(used, False)
            went_down[key] = now_us
            outcome = pair.press(key, now_us)
            other = went_down[PALMS[1 - PALMS.index(key)]]
            together = other is not None and now_us - other <= LIMIT_US and not any(used.values())
            assert (outcome is TwoHand.TOGETHER) == together
            if other is not None:
                used = dict.fromkeys(used, True)
        if all(time is None for time in went_down.values()):
            used = dict.fromkeys(used, False)


def ready_for(hands, key):
    """Bring the saw to where the start would be taken."""
    if key == "band.run":
        hands.set_up()
        return
    if key == "job.start":
        hands.set_up()
        hands.clamp_bar()
        hands.ready("straight")
        return
    hands.begin_and_get_to("SHUTTLE_FORWARD")
    hands.tap("job.hold")
    hands.until_job("HELD")


@pytest.mark.parametrize("key", STARTS)
@pytest.mark.parametrize("palms", [(LEFT, RIGHT), (RIGHT, LEFT)], ids=["left first", "right first"])
def test_every_start_needs_both_palm_keys_within_half_a_second(new_hands, key, palms):
    machine, begun = STARTS[key]
    for apart_s, taken in ((0.0, True), (0.49, True), (0.51, False)):
        hands = new_hands()
        ready_for(hands, key)
        hands.tap(key)
        hands.press(palms[0])
        hands.wait(apart_s)
        answer = hands.press(palms[1])

        assert answer.accepted is taken
        assert (hands.state(machine) == begun) is taken
        if not taken:
            assert "more than 0.5 s apart" in str(answer.sentence)


@pytest.mark.parametrize("key", STARTS)
def test_a_start_key_alone_is_refused_and_says_what_it_wants(hands, key):
    ready_for(hands, key)
    before = hands.states
    answer = hands.tap(key)

    assert not answer.accepted
    assert "wants both palm keys" in str(answer.sentence)
    assert hands.states == before


@pytest.mark.parametrize("kept", [LEFT, RIGHT])
@pytest.mark.parametrize("key", STARTS)
def test_after_a_late_start_both_palm_keys_must_come_up(hands, key, kept):
    machine, begun = STARTS[key]
    ready_for(hands, key)
    hands.tap(key)
    hands.press(LEFT)
    hands.wait(1)
    hands.press(RIGHT)
    let_go = RIGHT if kept == LEFT else LEFT
    hands.release(let_go)
    hands.tap(key)
    answer = hands.press(let_go)

    assert not answer.accepted
    assert "still down from before" in str(answer.sentence)
    assert hands.state(machine) != begun
    hands.release(LEFT, RIGHT)
    assert hands.palms(key).accepted
    assert hands.state(machine) == begun


def test_one_pressing_of_a_palm_key_serves_one_start(hands):
    hands.set_up()
    hands.tap("band.run")
    assert hands.press(LEFT, RIGHT).accepted
    hands.release(RIGHT)
    hands.tap("band.stop")
    hands.until(lambda: hands.state("band") == "STOPPED")
    hands.tap("band.run")
    answer = hands.press(RIGHT)

    assert not answer.accepted
    assert hands.state("band") == "STOPPED"
    hands.release(LEFT, RIGHT)
    assert hands.palms("band.run").accepted


@pytest.mark.parametrize("kept", [LEFT, RIGHT])
def test_a_palm_key_held_from_before_the_power_starts_nothing_until_both_are_up(hands, kept):
    other = RIGHT if kept == LEFT else LEFT
    hands.press(kept)
    hands.wait(10)
    hands.set_up()
    hands.tap("band.run")
    answer = hands.press(other)

    assert not answer.accepted
    assert "still down from before" in str(answer.sentence)
    assert hands.state("band") == "STOPPED"
    hands.release(kept, other)
    assert hands.palms("band.run").accepted


@pytest.mark.parametrize("kept", [LEFT, RIGHT])
@pytest.mark.parametrize("key", STARTS)
def test_a_palm_key_that_was_down_before_the_start_was_asked_for_counts_for_nothing(
    hands, key, kept
):
    machine, begun = STARTS[key]
    ready_for(hands, key)
    other = RIGHT if kept == LEFT else LEFT
    hands.press(kept)
    hands.wait(0.3)
    hands.tap(key)
    answer = hands.press(other)  # within half a second of the first

    assert not answer.accepted
    assert "still down from before" in str(answer.sentence)
    assert hands.state(machine) != begun
    hands.release(kept, other)
    assert hands.palms(key).accepted
    assert hands.state(machine) == begun


@pytest.mark.parametrize("first", [LEFT, RIGHT])
@pytest.mark.parametrize("apart_s", [0.0, 0.2, 0.5, 0.500_001, 1.0])
def test_why_not_tells_of_the_first_hand_just_when_the_second_comes_too_late(hands, first, apart_s):
    hands.set_up()
    hands.wait(10)
    hands.tap("band.run")
    blocks = hands.saw.controller.blocks
    assert blocks("band.run") == ()
    hands.press(first)
    hands.wait(apart_s)
    told = blocks("band.run")
    answer = hands.press(RIGHT if first == LEFT else LEFT)

    assert answer.accepted is (told == ())
    assert answer.accepted is (apart_s <= 0.5)
    assert answer.accepted or str(told[0].sentence).startswith(f"{told[0].device}: {first} is held")


def test_why_not_tells_of_a_hand_that_lay_on_a_palm_key_before_the_start_was_asked_for(hands):
    hands.set_up()
    hands.press(LEFT)
    hands.wait(0.1)
    hands.tap("band.run")
    told = hands.saw.controller.blocks("band.run")

    assert [str(each.remedy) for each in told] == ["Let go of palm.left first."]
    assert not hands.press(RIGHT).accepted


def test_a_palm_key_pressed_the_moment_before_the_power_comes_starts_nothing(hands):
    hands.press("supply.isolator")
    hands.tap("supply.reset")
    hands.press(LEFT)
    hands.tap("supply.control_on")
    hands.tap("band.run")
    answer = hands.press(RIGHT)

    assert not answer.accepted
    assert hands.state("band") == "STOPPED"


def test_keys_held_from_before_the_power_start_nothing(hands):
    hands.press(LEFT, RIGHT, "supply.control_on", "band.run", "job.start", "supply.reset")
    hands.press("supply.isolator")
    hands.wait(5)

    assert hands.on == set()
    assert hands.state("supply") == "TRIPPED"


def test_the_palm_keys_by_themselves_start_nothing_and_say_so(hands):
    hands.set_up()
    answer = hands.tap(LEFT, RIGHT)

    assert not answer.accepted
    assert "start nothing by themselves" in str(answer.sentence)
    assert hands.state("band") == "STOPPED"


def test_the_start_key_waits_five_seconds_for_the_palm_keys(new_hands):
    assert ASKED_US == 5 * US
    for pause_s, taken in ((4.9, True), (5.1, False)):
        hands = new_hands()
        hands.set_up()
        hands.tap("band.run")
        hands.wait(pause_s)

        assert hands.tap(LEFT, RIGHT).accepted is taken
        assert (hands.state("band") == "STARTING") is taken


def test_a_band_that_coasts_asks_for_no_palm_keys(hands):
    hands.set_up()
    hands.palms("band.run")
    hands.until(lambda: hands.sees("B2"))
    hands.tap("band.stop")
    assert hands.state("band") == "COASTING"

    answer = hands.tap("band.run")

    assert answer is not None
    assert not answer.accepted
    assert "still coasting" in str(answer.sentence)
    assert not hands.saw.controller.asked


def test_another_key_takes_the_asked_start_back(hands):
    hands.set_up()
    hands.tap("band.run")
    hands.tap("coolant.off")

    assert not hands.tap(LEFT, RIGHT).accepted
    assert hands.state("band") == "STOPPED"


def test_what_has_come_against_a_start_while_it_waited_refuses_it(hands):
    hands.set_up()
    hands.tap("band.run")
    hands.stick("B41", False)
    answer = hands.tap(LEFT, RIGHT)

    assert [refusal.device for refusal in answer.refusals] == ["B41"]
    assert hands.state("band") == "STOPPED"


def test_the_band_runs_on_when_the_palm_keys_are_let_go(hands):
    hands.control_on()
    hands.palms("band.run")
    hands.wait(5)

    assert hands.state("band") == "RUNNING"
