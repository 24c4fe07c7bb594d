"""Several acts on one line, as `why` and `hint` write them, and what is said where one will not do."""

import pytest

from sim.session.opening import open_session
from sim.text.page import Printer
from sim.text.typed.acts import perform
from sim.text.typed.console import play
from sim.text.typed.language import parse
from sim.text.typed.line import acts_of


def played(session, *lines, interactive=False):
    """Play lines; return the exit code and what was written, in one line."""
    written = []
    code = play(session, lines, written.append, interactive=interactive)
    return code, " ".join(" ".join(written).split())


def recipe(session, asked):
    """Return what stands behind `Typed:` in the answer to a line, as a person copies it."""
    told = " ".join(map(str, perform(session, parse(asked))))
    return told.partition("Typed: ")[2]


@pytest.mark.parametrize("interactive", [False, True])
def test_the_way_that_why_tells_is_pasted_as_one_line_and_starts_the_job(interactive):
    line = recipe(open_session("rail-posts"), "why job.start")
    session = open_session("rail-posts")

    code, _ = played(session, line, "wait 2", interactive=interactive)

    assert code == 0
    assert session.saw.controller.job.state == "EXECUTE"


@pytest.mark.parametrize("width", [100, 60, 40])
@pytest.mark.parametrize("key", ["job.start", "head.raise", "cutting_vise.clamp", "coolant.on"])
def test_a_way_that_fills_several_lines_of_the_page_is_pasted_as_it_stands_there(key, width):
    written = []
    page = Printer(written.append)
    page._width = width
    page.put(*perform(open_session("rail-posts"), parse(f"why {key}")))
    begin = next(i for i, line in enumerate(written) if "Typed:" in line)
    first, *others = written[begin:]
    session = open_session("rail-posts")

    code, _ = played(session, first.partition("Typed:")[2], *others)

    assert len(others) >= (width < 100)
    assert max(map(len, written)) <= width
    assert all(line.endswith((";", "Typed:")) for line in written[begin:-1])
    assert code == 0
    assert any(key in deed.accepted for deed in session.done.all)


def test_the_acts_of_a_hint_are_pasted_as_one_line_and_do_the_step():
    session = open_session("01-power-up-and-stops")
    played_one = open_session("01-power-up-and-stops")
    line = recipe(session, "hint")
    _, text = played(played_one, line, "look")

    assert "Step 2 of" in text


def test_a_hint_and_a_way_out_write_acts_alike():
    session = open_session("01-power-up-and-stops")
    session.inspect("band-over-bar")
    way, hint = recipe(session, "why supply.control_on"), recipe(session, "hint")

    assert way.startswith("press supply.isolator; tap supply.reset")
    assert hint == "press supply.isolator."
    assert "`" not in way + hint


@pytest.mark.parametrize("text", ["note a; b.", "# why; and so on", "NOTE a; press isolator"])
def test_a_note_and_a_remark_reach_to_the_end_of_the_line(text):
    assert acts_of(f"look; {text}") == ("look", text)


def test_empty_acts_and_the_full_stop_of_a_sentence_ask_for_nothing():
    assert acts_of(" ; look;; hold head.raise 1. ") == ("look", "hold head.raise 1")
    assert acts_of(" ; ") == acts_of("") == ()


def test_a_slip_in_a_script_names_the_line_and_the_act_and_nothing_of_its_line_is_done():
    session = open_session("rail-posts")

    code, text = played(session, "wait 1", "press isolator; tap supply.rest; wait 3", "wait 9")

    assert code == 2
    assert "line 2, act 2: tap: there is no key called 'supply.rest'" in text
    assert "Nothing of this line was done." in text
    assert not session.saw.bus.seen["Q0"]
    assert session.now_s == 1


def test_a_slip_at_a_terminal_names_the_act_and_the_next_line_is_taken():
    session = open_session("rail-posts")

    code, text = played(
        session, "press isolator; tpa x", "press isolator; wait 2", interactive=True
    )

    assert code == 0
    assert "Act 2 of the line: there is no word called 'tpa'" in text
    assert session.saw.bus.seen["Q0"]
    assert session.now_s == 2


def test_what_cannot_be_done_on_the_way_leaves_the_rest_of_its_line_undone():
    session = open_session("rail-posts")

    code, text = played(session, "wait 1; set notch 99; wait 5")

    assert code == 2
    assert "line 1, act 2: head.stop_notch: 99.0 is outside 1 to 12" in text
    assert "What follows it on the line was not done." in text
    assert session.now_s == 1


def test_a_question_that_is_not_understood_does_not_keep_the_other_acts_of_its_line():
    session = open_session("rail-posts")

    code, text = played(session, "why lockout; press isolator; wait 2")

    assert code == 2
    assert "line 1, act 1: why: there is no key" in text
    assert session.saw.bus.seen["Q0"]


def test_quit_within_a_line_ends_the_session():
    session = open_session("rail-posts")
    played(session, "wait 1; quit; wait 5", "wait 7")

    assert session.now_s == 1
