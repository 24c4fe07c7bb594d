"""Everything that the window says can be said in Spanish, and nothing English is left in between."""

import re

import pytest

from sim.bugs import TableError
from sim.pilot.lesson_pilot import play_lesson
from sim.records.settings import LANGUAGES
from sim.session.inspections import INSPECTIONS
from sim.session.opening import library_entries, open_session
from sim.teaching.coach import Coach
from sim.view.play.telling import shown
from sim.words.phrases import read_phrases
from sim.words.reader import Reader, phrases_of
from sim.words.speech import read_by, say, tell

from .conftest import person_at

_ENGLISH = re.compile(r"\b(the|is|are|and|of|with|was|to|not|it|its)\b")


def _told_by(scenario):
    yield from (scenario.title, scenario.summary, scenario.report, scenario.brief, scenario.teaches)
    for step in scenario.steps:
        yield from (step.ask, step.why, step.hint, step.caution)


@pytest.mark.parametrize("language", [each for each in LANGUAGES if each != "en"])
def test_every_text_of_every_scenario_that_ships_is_translated_line_by_line(language):
    translated = phrases_of(language)
    texts = {text for _, scenario in library_entries() for text in _told_by(scenario) if text}
    assert not texts - set(translated)
    for text in texts:
        assert len(translated[text].splitlines()) == len(text.splitlines()), text


@pytest.mark.parametrize("name", ["01-power-up-and-stops", "posts-come-out-short"])
def test_the_brief_of_a_scenario_is_read_in_spanish(name):
    person = person_at(scenario=name, language="es")
    drawn = []
    person.app.stage.kit.letters.watcher = lambda text, _surface: drawn.append(text.text)
    person.play.go("brief")
    person.frame()
    assert not _untranslated(drawn)


def _untranslated(texts):
    return {text for text in texts if _ENGLISH.search(text)}


@pytest.mark.parametrize(
    "name", [name for name, scenario in library_entries() if scenario.mode == "lesson"]
)
def test_no_english_is_left_in_what_a_lesson_tells(name):
    read_by(Reader("es"))
    session = open_session(name, nonce="for tests")
    coach = Coach(session)
    lesson = coach._lesson
    said = []
    for number in range(1, len(lesson.steps) + 1):
        assert play_lesson(session, lesson, number)
        said.append(tell(coach.remark()))
    said += [tell(shown(event)) for event in session.heard.events]
    assert not _untranslated(said)


@pytest.mark.parametrize("name", ["posts-come-out-short", "head-will-not-come-down"])
def test_no_english_is_left_in_what_is_found(name):
    read_by(Reader("es"))
    session = open_session(name, nonce="for tests")
    session.press("supply.isolator")
    session.tap("supply.reset")
    session.tap("supply.control_on")
    for look in [*INSPECTIONS, "meter B11", "meter K1"]:
        if not session.over:
            session.inspect(look)
    assert not _untranslated(tell(shown(event)) for event in session.heard.events)


def test_a_label_is_said_in_the_language_that_was_chosen():
    assert say("Home") == "Home"
    read_by(Reader("es"))
    assert (say("Home"), say("Nobody has translated this."), say("")) == (
        "Inicio", "Nobody has translated this.", "",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ('msgid "a"\nmsgstr "b"\nmsgid "a"\nmsgstr "c"\n', "stands twice"),
        ("msgid a\n", "no phrase"),
    ],
)
def test_a_list_of_phrases_that_is_wrong_is_refused(tmp_path, text, what):
    path = tmp_path / "xx.po"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(TableError, match=what):
        read_phrases(path)


def test_a_phrase_may_run_over_several_lines(tmp_path):
    path = tmp_path / "xx.po"
    path.write_text('# note\nmsgid "a "\n"b"\nmsgstr "c\\n"\n"d"\n', encoding="utf-8")
    assert read_phrases(path) == {"a b": "c\nd"}
