"""What hums is heard in the terminal without a question, as its captions tell it at the window."""

import pytest

from sim.session.opening import open_session
from sim.session.sights import sounds
from sim.text.typed.acts import perform
from sim.text.typed.console import play
from sim.text.typed.language import parse
from sim.view.play.hearing import Ears
from sim.view.play.last_minute import LastMinute

ON = ("press isolator", "tap supply.reset", "tap control_on")
BAND_STANDS = "the motor of the band hums and stands"
OIL_STANDS = "the motor of the oil pump hums and stands"


def played(name, *lines):
    """Return what a pipe is told, line by line."""
    told = []
    play(open_session(name), lines, told.append, interactive=False)
    return told


def test_a_band_motor_on_two_phases_is_heard_from_its_start_until_its_relay_trips():
    told = played(
        "motor-hums", *ON, "hold head.raise 3", "palms band.run", "wait 3", "look", "wait 9"
    )

    begins = next(
        i for i, line in enumerate(told) if "the motor of the band begins to hum." in line
    )
    trips = next(i for i, line in enumerate(told) if "Harm. " in line)
    now = [line for line in told if line.startswith("Now: You hear: ")]
    assert begins < trips
    assert any(BAND_STANDS in line for line in told[begins:trips] if line.startswith("You hear: "))
    assert BAND_STANDS in next(line for line in now if "motor of the band" in line)
    assert BAND_STANDS not in now[-1]  # it is off
    last = max(i for i, line in enumerate(told) if line.startswith("Now: You hear: "))
    assert last > trips


def test_with_a_phase_lost_for_all_the_oil_pump_hums_first_and_then_the_band_too():
    told = played("hums-in-two-places", *ON, "hold head.raise 3", "palms band.run", "look")

    heard = [line for line in told if line.startswith("Now: You hear: ")]
    assert heard[0] == f"Now: You hear: {OIL_STANDS}."
    assert heard[1] == f"Now: You hear: {OIL_STANDS}; {BAND_STANDS}."
    assert any("You hear: the motor of the oil pump begins to hum." in line for line in told)


def test_a_hum_that_begins_and_ends_in_one_wait_is_told_all_the_same():
    told = played("motor-hums", *ON, "hold head.raise 3", "palms band.run; wait 60")
    assert any("the motor of the band begins to hum." in line for line in told)


@pytest.mark.parametrize("name", ["motor-hums", "hums-in-two-places", "rail-posts"])
def test_the_captions_at_the_window_are_what_the_terminal_tells(name):
    session = open_session(name)
    ears = Ears(session, LastMinute(session.saw))
    for line in (
        *ON,
        "hold head.raise 3",
        "palms band.run",
        "wait 1",
        "wait 60",
        "release isolator",
    ):
        perform(session, parse(line))
        lasting = [str(sounds.CAPTIONS[each]) for each in sounds.going_on(session)]
        told = str(sounds.sounds(session))
        assert told == (f"You hear: {'; '.join(lasting)}." if lasting else "")
        assert set(lasting) <= set(ears.captions())


def test_a_sound_motor_hums_nowhere():
    told = played(
        "rail-posts",
        *ON,
        "hold head.raise 3",
        "palms band.run",
        "wait 3",
        "tap band.stop",
        "wait 5",
    )

    assert "Now: You hear: the oil pump whines." in told
    assert "Now: You hear: the oil pump whines; the band hums." not in told
    assert not any("hums and stands" in line or "begins to hum" in line for line in told)
