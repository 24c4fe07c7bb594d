"""The safety relay by itself: what opens it, what keeps it out, and that a state of it can be put back."""

from itertools import product

import pytest

from sim.plant.safety_relay import CHANNELS, STOPS, SafetyRelay

OUT = {"S1": True, "S9": True}
CONTACTS = [(stop, channel) for stop in ("S1", "S9") for channel in (1, 2)]


@pytest.fixture
def relay():
    """Reset once, so that both relays inside are in."""
    made = SafetyRelay()
    assert (made.closed, made.relays, made.pulled) == (False, (False, False), (False, False))
    made.reset(True, OUT, loop=True)
    assert (made.closed, made.relays, made.pulled) == (True, (True, True), (True, True))
    return made


def is_open(relay):
    return not relay.closed and relay.pulled == (False, False)


def test_there_are_two_stops_and_two_channels():
    assert set(product(STOPS, CHANNELS)) == set(CONTACTS)


@pytest.mark.parametrize("stop", ["S1", "S9"])
def test_a_stop_opens_it_and_coming_out_closes_nothing(relay, stop):
    relay.feel(True, OUT)
    assert relay.closed
    relay.feel(True, {**OUT, stop: False})
    assert is_open(relay)
    assert not relay.disagreed
    relay.feel(True, OUT)

    assert is_open(relay)


@pytest.mark.parametrize("contact", CONTACTS)
def test_one_contact_that_opens_by_itself_opens_both_relays_and_is_kept_in_mind(relay, contact):
    stop, _channel = contact
    relay.spoilt[contact] = False
    relay.feel(True, OUT)
    assert is_open(relay)
    assert relay.disagreed
    relay.spoilt.clear()
    relay.feel(True, OUT)
    relay.reset(True, OUT, loop=True)
    assert is_open(relay)  # both channels are closed again, and have not been open together
    relay.feel(False, OUT)
    assert relay.disagreed  # a loss of the 24 V tells it nothing of the contacts
    relay.feel(True, {**OUT, stop: False})
    relay.feel(True, OUT)
    relay.reset(True, OUT, loop=True)

    assert relay.closed


@pytest.mark.parametrize("contact", CONTACTS)
def test_with_a_contact_open_the_reset_does_nothing(contact):
    relay = SafetyRelay()
    relay.spoilt[contact] = False
    relay.reset(True, OUT, loop=True)

    assert is_open(relay)


def test_its_own_24_v_going_or_sagging_opens_it(relay):
    relay.feel(False, OUT)
    assert is_open(relay)
    relay.reset(True, OUT, loop=True)
    assert relay.closed
    relay.drop()

    assert is_open(relay)


@pytest.mark.parametrize(("fed", "loop"), [(False, True), (True, False), (False, False)])
def test_without_24_v_or_with_the_feedback_loop_open_the_reset_does_nothing(fed, loop):
    relay = SafetyRelay()
    relay.reset(fed, OUT, loop=loop)

    assert is_open(relay)


@pytest.mark.parametrize("channel", CHANNELS)
def test_a_relay_inside_that_welds_keeps_it_neither_closed_nor_lets_it_be_reset(relay, channel):
    relay.welded.add(channel)
    relay.feel(True, {**OUT, "S1": False})
    assert is_open(relay)
    assert relay.relays == (channel == 1, channel == 2)
    relay.feel(True, OUT)
    relay.reset(True, OUT, loop=True)

    assert is_open(relay)


def test_a_reset_of_a_closed_one_changes_nothing(relay):
    relay.reset(True, {**OUT, "S1": False}, loop=False)

    assert relay.pulled == (True, True)


@pytest.mark.parametrize("pulled", [*product([True, False], repeat=2)])
@pytest.mark.parametrize("disagreed", [True, False])
def test_it_is_put_into_the_very_state_that_it_told(pulled, disagreed):
    relay = SafetyRelay()
    relay.put(pulled, disagreed)

    assert (relay.pulled, relay.relays, relay.disagreed) == (pulled, pulled, disagreed)
    assert relay.closed is all(pulled)


def test_a_state_of_another_relay_is_not_taken():
    with pytest.raises(ValueError, match="shorter"):
        SafetyRelay().put((True,), False)


@pytest.mark.parametrize("channel", CHANNELS)
def test_a_welded_relay_inside_is_part_of_the_state_of_the_saw(hands, channel):
    sound = hands.saw.digest()
    hands.saw.plant.power.relay.welded.add(channel)

    assert hands.saw.digest() != sound
