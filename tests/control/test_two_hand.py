"""The two-hand start: together, afresh each time, and one start for one pressing."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.control.two_hand import LIMIT_US, TwoHand, TwoHandPair
from sim.units import US

STARTS = {
    "supply.control_on": ("supply", "ON"),
    "band.start": ("band", "STARTING"),
    "job.begin_on_trim": ("job", "EXECUTE"),
    "job.begin_on_piece": ("job", "EXECUTE"),
}
KEY = "supply.two_hand"


@settings(max_examples=60)
@given(
    st.lists(
        st.tuples(st.integers(0, US), st.sampled_from(["hand", "start"]), st.booleans()),
        max_size=30,
    )
)
def test_a_start_needs_both_keys_to_have_been_up_and_to_go_down_together(acts):
    pair = TwoHandPair()
    went_down = {"hand": None, "start": None}
    used = {"hand": True, "start": True}  # since both were last up together
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
            other = went_down["start" if key == "hand" else "hand"]
            together = other is not None and now_us - other <= LIMIT_US and not any(used.values())
            assert (outcome is TwoHand.TOGETHER) == together
            if other is not None:
                used = dict.fromkeys(used, True)
        if went_down["hand"] is None and went_down["start"] is None:
            used = dict.fromkeys(used, False)


def ready_for(hands, key):
    """Bring the saw to where the start would be taken."""
    hands.press("supply.isolator")
    if key != "supply.control_on":
        hands.start("supply.control_on")
    if key.startswith("job"):
        hands.tap("job.arm")


@pytest.mark.parametrize("key", STARTS)
@pytest.mark.parametrize("first", ["hand", "start"])
def test_every_start_needs_both_hands_within_half_a_second(new_hands, key, first):
    machine, begun = STARTS[key]
    for apart_s, taken in ((0.0, True), (0.49, True), (0.51, False)):
        hands = new_hands()
        ready_for(hands, key)
        keys = (KEY, key) if first == "hand" else (key, KEY)
        hands.press(keys[0])
        hands.wait(apart_s)
        answer = hands.press(keys[1])

        assert answer.accepted is taken
        assert (hands.state(machine) == begun) is taken
        if not taken:
            assert "more than 0.5 s apart" in str(answer.sentence)


@pytest.mark.parametrize("key", STARTS)
def test_a_start_with_one_hand_is_refused_and_says_why(hands, key):
    ready_for(hands, key)
    before = hands.states
    answer = hands.tap(key)

    assert not answer.accepted
    assert "both hands" in str(answer.sentence)
    assert hands.states == before


@pytest.mark.parametrize("kept", ["hand", "start"])
@pytest.mark.parametrize("key", STARTS)
def test_after_a_late_start_both_keys_must_come_up(hands, key, kept):
    machine, begun = STARTS[key]
    ready_for(hands, key)
    hands.press(KEY)
    hands.wait(1)
    hands.press(key)
    let_go = key if kept == "hand" else KEY
    hands.release(let_go)
    answer = hands.press(let_go)

    assert not answer.accepted
    assert "still down from the last attempt" in str(answer.sentence)
    assert hands.state(machine) != begun
    hands.release(KEY, key)
    assert hands.start(key).accepted
    assert hands.state(machine) == begun


def test_one_pressing_of_the_two_hand_key_serves_one_start(hands):
    hands.press("supply.isolator")
    hands.press(KEY)
    assert hands.press("supply.control_on").accepted
    hands.wait(0.1)
    answer = hands.press("band.start")

    assert not answer.accepted
    assert hands.state("band") == "STOPPED"
    hands.release(KEY, "band.start", "supply.control_on")
    assert hands.start("band.start").accepted


def test_keys_held_from_before_the_power_start_nothing(hands):
    hands.press(KEY, "supply.control_on", "band.start", "job.begin_on_piece")
    hands.press("supply.isolator")
    hands.wait(5)

    assert hands.on == set()
    assert hands.state("supply") == "OFF"


def test_the_band_runs_on_when_the_start_keys_are_let_go(hands):
    hands.control_on()
    hands.start("band.start")
    hands.wait(5)

    assert hands.state("band") == "RUNNING"
