"""An accident in the window: what is shown of it, the way back from it, and the record that goes on."""

import pytest

from sim.debrief.debrief import debrief
from sim.pilot.lesson_pilot import play_lesson
from sim.plant.harm.kinds import KINDS, Severity
from sim.records.reading import read_record
from sim.session.opening import open_session
from sim.session.playback.replay import replay
from sim.session.rewinds import REWINDS_IN
from sim.signals import BY_KEY
from sim.view.play.aftermath import Aftermath
from sim.view.play.console_rows import STOPS
from sim.words.message import quoted
from sim.words.speech import tell

from .conftest import LOOKS, person_at

LESSON = "01-power-up-and-stops"
PRACTICE = "rail-posts"
DRILL = "posts-come-out-short"
CTRL = 0x40  # pygame.KMOD_LCTRL
MODES = {LESSON: "lesson", PRACTICE: "practice", DRILL: "drill"}


def at_lesson():
    """Return somebody at the first lesson, whose record is kept."""
    person = person_at()
    person.app.open(LESSON)
    person.play.go("console")
    person.play.paused = False
    person.frame()
    return person


def band_runs(person):
    """Power up, raise the head and start the band, by the keys."""
    person.power_up()
    person.key_down("y")
    person.wait(8.0)
    person.key_up("y")
    person.start("q")
    person.wait(4.0)
    assert person.session.saw.plant.band.turning


def struck(person):
    band_runs(person)
    person.play.inspect("guide-inserts")
    person.frame()
    assert [each.kind for each in person.session.hands.strikes] == ["struck-band"]
    assert person.session.over


def come_to(person, kind):
    person.session.saw.plant.site.tell(kind, quoted("For the test."))
    person.frame()


# The way back -----------------------------------------------------------------------------


def test_the_card_of_an_accident_has_the_way_back_and_it_goes_on_from_there():
    person = at_lesson()
    person.play.outlook.names = True
    person.play.change_speed(1)
    struck(person)
    assert person.app.stage.focus == "wreck.back"
    before, was = person.session, person.play
    at_us = before.saw.consequences[-1].at_us

    person.click("wreck.back")

    assert person.play is not was
    assert person.session is not before
    assert before.closed
    assert not person.session.over
    assert person.session.saw.clock.now_us < at_us
    assert "wreck" not in person.app.stage.by_name
    assert person.play.paused
    assert (person.play.tab, person.play.speed) == ("console", 2.0)
    assert person.play.outlook.names
    assert person.play.lesson.number == len(person.session.going.followers[0].reached_us)
    kind, words = person.play.coach()
    row = KINDS["struck-band"]
    assert kind == "coach"
    assert tell(row.title) in words
    assert tell(row.instead) in words
    assert [strike.kind for strike in person.session.rewinds[-1].harms] == ["struck-band"]


def test_its_key_does_the_same_whatever_has_the_focus():
    for focus in ("", "wreck.finish"):
        person = person_at(scenario=LESSON)
        person.play.go("console")
        come_to(person, "band-broken")
        person.app.stage.focus = focus
        person.strike("backspace")
        assert person.session.rewinds, focus
        assert not person.session.over


def test_its_key_does_nothing_where_nothing_came_to_harm():
    person = person_at(scenario=LESSON)
    person.session.advance(10)
    was = person.play
    person.strike("backspace")
    assert person.play is was


@pytest.mark.parametrize("scenario", MODES)
@pytest.mark.parametrize("kind", ["band-broken", "head-dropped", "bar-slipped", "coolant-poor"])
def test_every_harm_can_be_taken_back_in_the_window_where_that_is_allowed(scenario, kind):
    person = person_at(scenario=scenario)
    assert person.session.scenario.mode == MODES[scenario]
    person.play.go("console")
    person.session.advance(9)
    come_to(person, kind)
    row, found = KINDS[kind], person.app.stage.by_name
    ends = row.severity is Severity.STOP
    grave = ends or ((row.severity is Severity.DAMAGE or row.critical) and not row.measured)
    may = MODES[scenario] in REWINDS_IN
    assert ("wreck" in found) == ends
    assert ("wreck.back" in found) == (ends and may)
    assert ("wreck.no-way-back" in found) == (ends and not may)
    assert ("harm.back" in found) == (grave and not ends and may)
    if not may:
        was = person.play
        person.strike("backspace")
        assert person.play is was
        if ends:
            assert "nothing is taken back" in found["wreck.no-way-back"].label
    elif grave:
        person.strike("backspace")
        assert person.session.now_s == 4.0
        assert not person.app.stage.by_name.keys() & {"wreck", "harm"}


@pytest.mark.parametrize("scenario", MODES)
def test_every_harm_has_its_card_or_its_strip_where_it_may_be_told(scenario):
    for kind, row in KINDS.items():
        session = open_session(scenario)
        after = Aftermath(session)
        session.saw.plant.site.tell(kind, quoted("For the test."))
        after.end()
        grave = (row.severity is Severity.DAMAGE or row.critical) and not row.measured
        may = MODES[scenario] in REWINDS_IN
        ends = row.severity is Severity.STOP
        assert after.card == ends, kind
        assert (after.strip is not None) == (grave and not ends and may), kind
        assert after.offers == (may and (ends or grave)), kind


def test_the_strip_of_a_harm_goes_before_that_harm_though_another_came_after_it():
    person = person_at(scenario=PRACTICE)
    person.play.go("console")
    person.session.advance(20)
    come_to(person, "teeth-stripped")
    person.session.advance(10)
    come_to(person, "coolant-poor")
    person.click("harm.back")
    assert person.session.now_s == 15.0
    assert tell(KINDS["teeth-stripped"].title) in person.play.coach()[1]


def test_who_goes_on_has_the_strip_no_more_until_the_next_harm():
    person = person_at(scenario=PRACTICE)
    person.play.go("console")
    come_to(person, "head-dropped")
    was = person.session
    person.click("harm.on")
    assert person.session is was
    assert "harm" not in person.app.stage.by_name
    come_to(person, "teeth-stripped")
    assert tell(KINDS["teeth-stripped"].title) == person.widget("harm.said").label


def test_who_comes_to_the_same_again_goes_back_further():
    person = at_lesson()
    struck(person)
    person.strike("backspace")
    first = person.session.now_s
    come_to(person, "band-broken")
    person.strike("backspace")
    assert person.session.now_s < first


def test_what_somebody_chose_is_as_it_was_and_no_hand_is_on_a_key():
    person = person_at(scenario=PRACTICE)
    play = person.play
    play.hands.set_sticky(True)
    play.go("inspect")
    play.looking.text = "vise"
    play.captions = False
    play.show_signal("B11")
    person.session.advance(9)
    person.session.instructor.note("look at the head")
    person.frame()
    person.app.stage.page.scrolls.panes["sheet.inspect"].offset = 40
    come_to(person, "band-broken")
    heard = len(person.session.heard.events)
    person.strike("backspace")
    play = person.play
    assert (play.tab, play.captions, play.looking.text) == ("inspect", False, "vise")
    assert "B11" in play.chosen
    assert play.hands.sticky
    assert person.app.stage.page.scrolls.panes["sheet.inspect"].offset == 40
    assert "look at the head" in person.widget("note.said").label
    assert len(person.session.heard.events) == heard + 1  # that it went back
    assert not play.session.saw.held - person.session.hands.held_by_another - {"supply.isolator"}


@pytest.mark.sampled(5)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
@pytest.mark.parametrize("kind", ["struck-cutting-jaws", "clamping-lost", "lifted-too-much"])
def test_the_way_back_is_in_sight_and_whole(size, scale, language, kind):
    person = person_at(size, scale, LESSON, language)
    for tab in ("console", "inspect"):
        person.play.go(tab)
        come_to(person, kind)
        name = "wreck.back" if person.session.over else "harm.back"
        back, picture = person.widget(name), person.widget("picture")
        assert person.app.stage.at(back.seen.center) is person.app.stage.by_name[name]
        assert back.seen == back.rect
        ends = picture.rect if person.session.over else person.app.surface.get_rect()
        assert ends.contains(back.rect)
        wide = person.app.stage.kit.letters.width(back.label, "body", True)
        assert wide <= back.rect.width, (name, tab)


# The stops --------------------------------------------------------------------------------


@pytest.mark.parametrize("stop", STOPS)
def test_every_stop_acts_while_the_strip_of_a_harm_is_open_and_after_going_back(stop):
    wire = BY_KEY[stop]
    for keys in ("strip", "back"):
        person = person_at(scenario=PRACTICE)
        person.play.go("console")
        person.session.advance(9)
        come_to(person, "head-dropped")
        assert "harm.back" in person.app.stage.by_name
        if keys == "back":
            person.click("harm.back")
        place = person.mouse_down(f"key.{stop}")
        assert person.session.saw.bus.driven(wire.tag) != wire.at_rest
        person.mouse_up(place)


def test_a_stop_after_the_end_says_that_nothing_moves_any_more():
    person = at_lesson()
    struck(person)
    for letter in ("f12", "a"):
        person.strike(letter, mod=CTRL if letter == "a" else 0)
        assert "nothing of the saw moves any more" in person.app.stage.page.bubble().text
    person.strike("backspace")
    person.key_down("f12")
    assert "supply.emergency_stop" in person.session.saw.held


# The record -------------------------------------------------------------------------------


def test_a_record_goes_on_through_the_way_back_and_replays_to_the_same(tmp_path):
    person = at_lesson()
    path = person.session.record_path
    struck(person)
    cost = debrief(person.session).cost
    lines = path.read_bytes().splitlines()
    person.click("wreck.back")
    assert person.session.record_path == path
    person.strike("a")  # band stop
    person.wait(8.0)
    play_lesson(person.session, person.play.lesson)
    person.frame()
    assert person.play.lesson.done
    person.click("bar.finish")  # nothing is lost, so nothing is asked
    found = person.app.stage.page.debrief

    assert path.read_bytes().splitlines()[: len(lines)] == lines
    assert sum(b'"rewind_to"' in line for line in path.read_bytes().splitlines()) == 1
    played = replay(path)
    assert played.same
    assert [each.kind for each in played.session.rewinds[0].harms] == ["struck-band"]
    assert found.strikes == 1
    assert found.cost.money >= cost.money
    summary = read_record(path).closing.summary
    assert (summary.outcome, summary.passed, summary.strikes) == ("practised", False, 1)


def test_orders_of_an_instructor_come_to_the_session_that_goes_on(tmp_path):
    person = at_lesson()
    spool = person.play._spool
    assert spool is not None
    struck(person)
    person.strike("backspace")
    assert person.play._spool is spool
    path = person.session.record_path
    orders = path.with_name(f"{path.stem}.orders{path.suffix}")
    orders.write_text('{"order":"freeze"}\n')
    person.play._looked_s = -10.0
    person.play.tick()
    assert person.session.frozen


@pytest.mark.parametrize("key", ["bar.home", "bar.finish"])
def test_finish_and_home_ask_while_there_is_a_way_back(key):
    person = at_lesson()
    struck(person)
    person.click(key)
    assert person.app.stage.page.name == "saw"
    assert person.app.stage.focus == "ask.no"
    person.click("ask.no")
    assert "wreck.back" in person.app.stage.by_name
    person.strike("backspace")
    person.click(key)
    person.click("ask.yes")
    assert person.app.stage.page.name == ("home" if key == "bar.home" else "debrief")


def test_a_window_that_is_closed_in_the_midst_of_it_leaves_a_whole_record():
    for then in ((), ("backspace",)):
        person = at_lesson()
        path = person.session.record_path
        person.watches = True
        band_runs(person)
        person.play.inspect("guide-inserts")
        while not person.session.over:
            person.play.let_pass()
        for key in then:
            person.play.aftermath.end()
            person.strike(key)
        person.app.close()
        assert read_record(path).closing is not None
        assert replay(path).same
