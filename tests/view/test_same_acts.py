"""The same acts in the window and in the terminal take the same time and tell the same."""

import pytest

from sim.session.opening import open_session
from sim.session.sights import describe
from sim.session.sights.known import unread, wires_read
from sim.text.points import shown
from sim.text.typed.acts import perform
from sim.text.typed.language import parse
from sim.view.console.gauges import GAUGES, figures_of
from sim.view.picture.devices import _live
from tests.view.conftest import person_at

DRILL = "counts-without-cutting"  # which allows the lamps of the cabinet and of the head
# What is done at the window, and what is typed for it.
ACTS = (
    (lambda p: p.strike("1"), "press supply.isolator"),
    (lambda p: _go(p, "signals", "signals.look.input-lamps"), "inspect input-lamps"),
    (lambda p: _go(p, "signals", "signals.look.output-lamps"), "inspect output-lamps"),
    (lambda p: _go(p, "signals", "signals.look.head-switches"), "inspect head-switches"),
    (lambda p: _go(p, "inspect", "inspect.feed-settings"), "inspect feed-settings"),
)  # fmt: skip


def _go(person, sheet, widget):
    person.play.go(sheet)
    person.play.paused = True
    person.frame()
    person.click(widget)
    person.play.go("console")
    person.play.paused = True
    person.frame()


def test_the_same_acts_take_the_same_time_and_find_the_same_in_both_front_ends():
    person = person_at(scenario=DRILL)
    person.play.go("console")
    person.play.paused = True
    typed = open_session(DRILL, nonce="for tests")
    for at_the_window, line in ACTS:
        at_the_window(person)
        perform(typed, parse(line))
        assert person.session.now_s == typed.now_s, line
        assert describe.look(person.session) == describe.look(typed), line
        found = [
            [(look.name, look.at_us, look.found) for look in session.seen.looks]
            for session in (person.session, typed)
        ]
        assert found[0] == found[1], line
    assert [look.name for look in typed.seen.looks] == [line.split()[1] for _, line in ACTS[1:]]


def test_a_wire_is_told_in_a_drill_as_each_of_its_lamps_was_read_and_only_then():
    person = person_at(scenario=DRILL)
    person.play.go("signals")
    person.play.paused = True
    line = person.widget("signal.B11.line")
    assert line.face() == "?"
    assert not _live(person.session, "B11")
    before_s = person.session.now_s
    person.session.press("supply.isolator")
    person.click("signals.look.input-lamps")
    assert person.session.now_s == before_s + 60.0
    assert [(each.look, each.live) for each in wires_read(person.session, "B11")] == [
        ("input-lamps", False)
    ]
    assert person.widget("signal.B11.line").face() == "1:00 input lamp dark"
    person.session.inspect("head-switches")
    assert (
        person.widget("signal.B11.line").face() == "1:20 switch's lamp dark   1:00 input lamp dark"
    )


def test_in_practice_the_wires_are_told_as_they_are(at_the_posts):
    at_the_posts.strike("1")
    at_the_posts.play.go("signals")
    at_the_posts.frame()
    assert "signals.look.input-lamps" not in at_the_posts.app.stage.by_name
    assert _live(at_the_posts.session, "Q0")


def test_with_the_isolator_off_nothing_is_lit_in_either_front_end(at_the_posts):
    session = at_the_posts.session
    at_the_posts.power_up()
    at_the_posts.wait(1)
    lit = _lit(at_the_posts)
    assert lit >= {
        "supply.state",
        "head.state",
        "coolant.gauge",
        "job.cut",
        "job.track",
        "Q0",
        "K1",
    }
    at_the_posts.strike("1")
    at_the_posts.wait(70)
    assert not session.saw.bus.seen["Q0"]
    assert _lit(at_the_posts) == set()
    told = {part: str(said) for part, said in describe.told(session).items()}
    assert told["lamps"] == "No lamp is lit."
    assert told["job"] == "Job and counters are not shown: the console is dark."
    assert not any("mimic" in str(each) for each in describe.look(session))


def test_a_console_that_is_dark_though_the_isolator_is_on_is_told_in_both():
    person = person_at(scenario="nothing-lights-up")
    person.play.go("console")
    person.play.paused = True
    person.strike("1")
    assert "The whole console is dark, though the isolator is on." in map(
        str, describe.look(person.session)
    )
    assert _lit(person) == set()


def _lit(person):
    """Return what of console and wires is lit."""
    session = person.session
    lit = {row.part + ".gauge" for row in GAUGES if figures_of(row, session) != "–"}
    person.play.go("console")
    person.play.paused = True
    person.frame()
    lit |= {
        name for name, widget in person.app.stage.by_name.items()
        if name.endswith(".state") and widget.face is not None and widget.face()[0]
    }  # fmt: skip
    if person.widget("job.cut").face() != "–":
        lit.add("job.cut")
    if person.widget("job.track").face()[1]:
        lit.add("job.track")
    lit |= {tag for tag in session.saw.bus.seen if _live(session, tag)}
    lit |= {
        tag for tag in session.saw.bus.seen
        if next(iter([*person.play.trace.stretches(tag)][::-1]))[2]
    }  # fmt: skip
    return lit


@pytest.mark.parametrize("point", ["shuttle.stop_mm", "head.stop_notch", "coolant.level_percent"])
def test_a_setting_is_known_in_both_once_it_was_read_or_set_by_hand(point):
    person = person_at(scenario="posts-come-out-short")
    session = person.session
    row = next(each for each in person.play.points.rows if each.name == point)
    assert unread(session, point)
    assert person.play.points.words(row) == "?"
    assert "unseen" in str(shown(session, point))
    value = session.saw.read(point)
    session.set(point, value)
    assert not unread(session, point)
    assert person.play.points.read(row) == value
    assert "unseen" not in str(shown(session, point))


def test_before_the_power_comes_no_key_tells_what_a_switch_shows():
    """A guard that stands open is seen, but a control without voltage does not tell it by its switch."""
    session = open_session("start-does-nothing", nonce="for tests")
    refused = session.press("band.run")
    assert refused is not None
    assert "B41" not in str(refused.sentence)
    assert not any("B41" in str(line) for line in perform(session, parse("why band.run")))
    session.press("supply.isolator")
    assert any("B41" in str(line) for line in perform(session, parse("why band.run")))
