"""A lesson in the terminal: the step that is asked, the coach after each act, the hint."""

import pytest

from sim.debrief.debrief import debrief
from sim.pilot.lesson_pilot import play_lesson
from sim.scenario.steps import Limits
from sim.session.card.setup_card import run_in_mm_min
from sim.session.lessons.lesson import lesson_of
from sim.session.opening import library_entries, open_recorded, open_session
from sim.session.playback.replay import replay
from sim.text.typed.acts import perform
from sim.text.typed.console import play
from sim.text.typed.language import parse
from sim.text.typed.line import acts_of
from sim.text.typed.typed_step import typed_step

LESSONS = [name for name, scenario in library_entries() if scenario.mode == "lesson"]

# The first lesson as a person would type it, one slip in it.
FIRST = (
    "inspect band-over-bar", "press isolator", "tap supply.reset", "tap control_on",
    "hold head.raise 3", "tap band.run", "palms band.run", "wait 2", "press trip_line",
    "release trip_line", "wait 4", "tap band.run", "tap supply.reset", "press emergency_stop",
    "release emergency_stop", "tap supply.reset", "tap control_on", "tap job.clear",
    "hold head.raise 2",
)  # fmt: skip
# The lesson of the single cut, in another way than the hints have it: the speed before the clamping.
BY_HAND = (
    "press isolator", "tap supply.reset", "tap control_on", "hold head.raise 2",
    "tap coolant.with_band", "palms band.run", "wait 2", "hold faster 6",
    "hold cutting_vise.clamp 2", "hold head.lower 50", "hold head.raise 3", "hold shuttle.back 3",
    "hold shuttle_vise.clamp 2", "hold cutting_vise.release 2", "hold shuttle.forward 3",
    "hold cutting_vise.clamp 2", "hold head.lower 50", "hold head.raise 3", "tap band.stop",
    "wait 4", "inspect caliper",
)  # fmt: skip


def piped(session, *lines):
    written = []
    code = play(session, lines, written.append, interactive=False)
    return code, "\n".join(written).replace("\n  ", " ")


def test_the_first_lesson_is_done_by_typing_it(tmp_path):
    path = tmp_path / "record.jsonl"
    session = open_recorded("01-power-up-and-stops", path)

    code, text = piped(session, *FIRST, "quit")

    assert code == 0
    for number in range(1, 13):
        assert f"Step {number} of 12: " in text
        assert f"Step {number} of 12 is done." in text
    assert "Caution: From here on the band moves." in text
    assert (
        "Coach: Refused: this start wants both palm keys; press both palm keys together now" in text
    )
    assert "All steps of the lesson are done; quit reads the debrief." in text
    assert "Steps: 70 of 70; 12 of 12 steps done." in text
    assert "Passed, 100 of 100." in text
    assert replay(path).same


def test_a_lesson_done_in_another_order_is_done_all_the_same():
    session = open_session("08-first-single-cut")

    code, text = piped(session, *BY_HAND, "quit")

    assert code == 0
    assert "Passed, 100 of 100." in text
    assert "Instead" not in text


def test_a_step_is_asked_anew_only_when_it_changes():
    session = open_session("01-power-up-and-stops")
    _, text = piped(session, "inspect band-over-bar", "look", "lamps", "time", "press isolator")

    assert text.count("Step 2 of 12: ") == 1
    assert text.count("Step 3 of 12: ") == 1


def test_step_repeats_it_and_hint_says_what_is_wanting():
    session = open_session("05-head-height-feed-and-force")
    _, text = piped(session, "inspect stop-notch", "step", "hint")

    assert text.count("Step 2 of 11: Set the ring of the height stop") == 2
    assert "Hint: The card tells which notch it is." in text
    assert "it must be 4; it is 2." in text


@pytest.mark.parametrize("name", ["rail-posts", "head-stops-short"])
def test_outside_a_lesson_no_step_is_asked(name):
    session = open_session(name)
    _, text = piped(session, "step", "press isolator")

    assert text.count("This is no lesson, and nothing is asked step by step.") == 1
    assert "Step 1" not in text


def test_the_coach_speaks_in_practice_and_not_in_a_drill():
    lines = ("press isolator", "tap supply.reset", "tap control_on", "tap band.run", "set notch 3")
    _, practice = piped(open_session("rail-posts"), *lines)
    _, drill = piped(open_session("head-stops-short"), *lines)

    assert practice.count("Coach: ") == 5
    assert "Coach: " not in drill


def test_a_lesson_that_is_left_says_how_far_it_came():
    _, text = piped(open_session("07-coolant"), "inspect coolant-tank", "set wash_down shut")

    assert "Not passed, " in text
    assert "2 of 10 steps done. The next one: Mop the floor dry." in text


@pytest.mark.sampled(4)
@pytest.mark.parametrize("name", LESSONS)
def test_who_types_what_every_hint_says_does_the_whole_lesson_and_harms_nothing(name):
    session = open_session(name)
    lesson = lesson_of(session)
    assert lesson is not None
    while not lesson.done:
        number = lesson.number
        act = parse("hint")
        assert act is not None
        told = " ".join(map(str, perform(session, act)))
        typed = acts_of(told.partition("Typed: ")[2])
        assert typed, lesson.step
        for line in typed:
            act = parse(line)
            assert act is not None
            perform(session, act)
        assert lesson.number > number, typed

    found = debrief(session)
    assert found.passed
    assert found.harm == 0


def test_the_hint_of_the_speed_stops_the_band_as_it_says():
    session = open_session("04-length-and-backlash")
    lesson = lesson_of(session)
    while lesson.number < 5:
        told = " ".join(map(str, perform(session, parse("hint"))))
        typed = acts_of(told.partition("Typed: ")[2])
        for line in typed:
            perform(session, parse(line))

    assert "then stop it" in told
    assert "tap band.stop" in typed
    assert session.saw.controller.image["band"] == "STOPPED"


def test_a_hint_leaves_the_lesson_as_it_stands():
    session = open_session("01-power-up-and-stops")
    session.inspect("band-over-bar")
    number, digest = lesson_of(session).number, session.saw.digest()
    act = parse("hint")
    assert act is not None

    assert "Typed: press supply.isolator." in " ".join(map(str, perform(session, act)))
    assert (lesson_of(session).number, session.saw.digest()) == (number, digest)
    assert [str(each.message) for each in session.done.hints] == [
        "The hint for step 2 of 12 was read."
    ]


def test_a_hint_that_was_asked_for_three_times_is_told_once_in_the_debrief_with_how_often():
    written = []
    play(
        open_session("01-power-up-and-stops"), ["hint", "hint", "inspect band-over-bar", "hint", "hint", "wait 1", "hint"],
        written.append, interactive=False,
    )  # fmt: skip
    told = "\n".join(written)
    told = told[told.index("Debrief:") :].replace("\n  ", " ")

    assert (
        told.count("Hint taken: The hint for step 1 of 12 was read. It was asked for 2 times.") == 1
    )
    assert (
        told.count("Hint taken: The hint for step 2 of 12 was read. It was asked for 3 times.") == 1
    )
    assert told.count("Hint taken") == 2
    assert told.count("Hint. The hint for step 1 of 12") == 1
    assert told.count("Hint. The hint for step 2 of 12") == 2  # a second later once more


@pytest.mark.parametrize(
    ("name", "done", "lines"),
    [
        ("01-power-up-and-stops", 2, ("tap supply.reset",)),
        ("02-two-hand-start", 3, ("tap band.run", "press palm.left", "wait 1", "press palm.right")),
        ("02-two-hand-start", 4, ("release palm.right", "tap band.run", "press palm.right")),
    ],
)
def test_what_is_typed_for_a_step_does_what_the_step_is_about(name, done, lines):
    session = open_session(name)
    assert play_lesson(session, lesson_of(session), until=done)

    assert typed_step(session, perform) == lines
    for line in lines:
        assert session.saw.controller.image["band"] == "STOPPED"
        assert lesson_of(session).number == done  # not ticked before all of it is done
        perform(session, parse(line))
    assert session.saw.controller.image["band"] == "STOPPED"


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("11-thin-wall", "set cutting_vise.pressure_bar 5"),  # as its own hint says
        ("11-thin-wall", "set head.feed_valve_mm_min {easy:g}"),
        ("15-band-change", "set head.feed_valve_mm_min {easy:g}"),
    ],
)
def test_what_is_typed_for_a_step_has_the_number_that_hint_and_card_have(name, line):
    session, point = open_session(name), line.split()[1]
    steps = lesson_of(session).steps
    done = next(
        at
        for at, step in enumerate(steps)
        if isinstance((step.goal.setting or {}).get(point), Limits)
    )
    assert play_lesson(session, lesson_of(session), until=done)
    easy = run_in_mm_min(session.machine, session.stock, session.order)

    assert line.format(easy=easy) in typed_step(session, perform)


def test_the_last_step_of_the_first_lesson_is_hinted_in_the_order_in_which_it_asks():
    session = open_session("01-power-up-and-stops")
    lesson = lesson_of(session)
    assert play_lesson(session, lesson, until=11)
    session.advance(60)  # the head sinks on to the bar
    lines = " ".join(typed_step(session, perform))
    for told, words in (
        (str(lesson.ask), ("reset", "control on", "raise", "clear")),
        (lines, ("supply.reset", "control_on", "head.raise", "job.clear")),
        (str(lesson.hint()), ("raise key", "press clear")),
    ):
        places = [told.index(word) for word in words]

        assert places == sorted(places)


def test_a_key_that_is_down_is_not_pressed_again():
    session = open_session("02-two-hand-start")
    for line in ("press isolator", "press palm.left"):
        perform(session, parse(line))
    done = len(session.done.all)

    (said,) = perform(session, parse("press palm.left"))

    assert str(said) == "Down already: palm.left; release first."
    assert len(session.done.all) == done
    perform(session, parse("press palm.left palm.right"))  # one of the two was up
    assert len(session.done.all) == done + 1


def test_the_lesson_of_the_hold_wants_the_second_hold_by_hand():
    session = open_session("10-hold-go-on-and-bar-end")
    lesson = lesson_of(session)
    assert play_lesson(session, lesson, until=5)

    for _ in range(20):
        session.advance(30.0)

    assert not session.saw.bus.seen["B53"]  # the bar is at its end, and the job was held for it
    assert session.saw.controller.image["job"] == "HELD"
    assert lesson.number == 5


@pytest.mark.parametrize("name", ["11-thin-wall", "15-band-change"])
def test_the_key_is_drawn_before_the_cover_is_opened(name):
    lines = typed_step(open_session(name), perform)

    assert lines.index("set mode.key in my pocket") < lines.index("set band.wheel_cover open")
