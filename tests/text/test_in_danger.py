"""Whoever types something like an emergency stop is told the emergency stop, and nothing weaker."""

import pytest

from sim.errors import CommandError
from sim.session.opening import open_session
from sim.text.in_danger import sounds_like_it
from sim.text.typed.console import play
from sim.text.typed.language import WORDS, parse

KEY = "supply.emergency_stop"


@pytest.mark.parametrize("line", [
    "tap estop", "press e-stop", "press E_STOP", "tap e.stop", "press emergencystop", "tap emrgency", "why estop",
    "estop", "e-stop", "E STOP!", "emergency stop", "EMERGENCY", "emergency-stop", "help estop", "help e-stop",
    "help emergency stop", "stop", "STOP!", "panic", "hold estop 2", "force estop on", "set estop in", "inspect estop",
    "parada de emergencia", "press emergencia",
])  # fmt: skip
def test_it_is_refused_and_the_nearest_name_is_the_emergency_stop(line):
    with pytest.raises(CommandError) as caught:
        parse(line)

    assert KEY in str(caught.value)
    assert "job.stop" not in str(caught.value)


def test_in_a_script_it_ends_with_exit_2_and_presses_nothing():
    session, written = open_session("rail-posts"), []

    assert play(session, ["press estop"], written.append, interactive=False) == 2
    assert session.saw.bus.seen["S1"] == open_session("rail-posts").saw.bus.seen["S1"]


@pytest.mark.parametrize(
    "line",
    ["press emergency_stop", "release emergency_stop", "tap job.stop", "tap band.stop", "step"],
)
def test_a_right_line_is_taken_as_before(line):
    assert parse(line) is not None


def test_no_word_of_the_language_sounds_like_it():
    assert not [word for word in WORDS if sounds_like_it(word)]
