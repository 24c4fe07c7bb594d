"""What is said after an unsafe act is true of it, and works without harm when it is done to the letter."""

import pytest

from sim.session.opening import open_session
from sim.teaching.coach import Coach
from sim.text.typed.acts import perform
from sim.text.typed.language import parse
from sim.text.whys import why

ON = ("press supply.isolator", "tap supply.reset", "tap supply.control_on")
UP = (*ON, "hold head.raise 8")
RUNS = (*UP, "palms band.run", "wait 4")


def after(scenario, *lines, machine=""):
    """Return a session, and what the coach says of the last line."""
    session = open_session(scenario, machine=machine)
    coach = Coach(session)
    for line in lines:
        coach.remark()
        perform(session, parse(line))
    return session, str(coach.remark())


def more(session, *lines):
    """Type lines; return what came to harm, and the seconds of exposure since."""
    harmed, exposed = len(session.saw.consequences), len(session.hands.exposures)
    for line in lines:
        perform(session, parse(line))
    return session.saw.consequences[harmed:], session.hands.exposures[exposed:]


def test_a_bar_too_heavy_for_two_is_sent_to_the_crane_and_that_does_no_harm():
    session, _ = after("03-load-and-clamp", *UP, "set mode.key in my pocket")
    said = str(session.load_bar("alone").message)

    assert "Load it by crane" in said
    assert "people or by crane" not in said
    assert more(session, "load crane") == ([], [])


def test_a_bar_that_two_may_carry_is_left_to_two_or_the_crane(monkeypatch):
    session, _ = after("03-load-and-clamp", *UP, "set mode.key in my pocket")
    monkeypatch.setattr(type(session.stock), "mass_kg", property(lambda _: 16.0))

    assert "with a second person or by crane" in str(session.load_bar("alone").message)
    assert more(session, "load pair") == ([], [])


def test_hands_under_the_hood_of_a_saw_that_moves_are_told_to_wait_until_all_stands():
    session, said = after("rail-posts", *RUNS, "set shuttle_vise.jaw_gap_mm 6")

    assert "while the saw was not at rest" in said
    assert "lower the head" not in said
    acts = (
        "tap band.stop",
        "wait still",
        "set mode.key in my pocket",
        "set shuttle_vise.jaw_gap_mm 4",
    )
    assert more(session, *acts) == ([], [])


def test_the_ring_under_a_running_band_asks_for_rest_and_no_lock_out():
    session, said = after("rail-posts", *RUNS, "set head.stop_notch 6")

    assert "while the band or the head moved" in said
    assert "lock-out" not in said
    assert more(session, "tap band.stop", "wait still", "set head.stop_notch 8") == ([], [])


@pytest.mark.parametrize("prop", ["in", "out"])
def test_why_a_start_says_that_the_prop_is_in(prop):
    session, _ = after(
        "rail-posts", *ON, "set head.stop_notch 12", "hold head.raise 8", f"set head.prop {prop}",
        "turn production", "tap job.reset",
    )  # fmt: skip
    said = " ".join(map(str, why(session, "job.start")))

    assert ("But the prop is in" in said) is (prop == "in")


def test_hands_under_a_raised_head_are_told_what_keeps_them_safe_and_it_does():
    session, said = after("rail-posts", *UP, "inspect band-over-bar")
    assert "let it down on its prop" in said
    acts = (
        "set head.stop_notch 12", "hold head.raise 8", "set head.prop in", "hold head.lower 65",
        "set mode.key in my pocket", "inspect band-over-bar",
    )  # fmt: skip

    assert more(session, *acts) == ([], [])
