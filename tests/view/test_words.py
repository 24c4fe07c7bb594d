"""Everything that the window says can be said in Spanish, and nothing English is left in between."""

import ast
import re
from pathlib import Path

import pytest

from sim import view
from sim.bugs import TableError
from sim.control.actions import BY_NAME as BY_ACTION
from sim.control.dials import DIALS
from sim.control.interlocks import INTERLOCKS, PERMISSIVES
from sim.control.lamps import LAMPS
from sim.control.table import TABLES
from sim.debrief.evidence import EXPECTS
from sim.faults.catalogue import CATALOGUE
from sim.logic.proof.example import TURNED
from sim.logic.proof.moves import Scope, moves
from sim.logic.proof.properties import PROPERTIES
from sim.pilot.lesson_pilot import play_lesson
from sim.plant.harm.consequences import KINDS
from sim.plant.set_points import SET_POINTS
from sim.resources import shipped
from sim.scenario.library import materials_path
from sim.scenario.metals import read_materials
from sim.session import lockout
from sim.session.inspections import INSPECTIONS
from sim.session.opening import library_entries, open_session, session_for
from sim.signals import SIGNALS
from sim.teaching.coach import Coach
from sim.view.kit.words import phrases_of, retell, say, speak
from sim.view.pages import debrief_page, home_page, saw_page, settings_page
from sim.view.play import bench_choice
from sim.view.play.desk_rows import CAPS, JOB, STATIONS
from sim.view.play.hearing import CAPTIONS
from sim.view.play.telling import event_words
from sim.view.sheets import meddling_sheet, signal_sheet
from sim.words.phrases import read_phrases

from .conftest import person_at

SPANISH = phrases_of("es")
_ENGLISH = re.compile(r"\b(the|is|are|and|of|with|was|to|not|it|its)\b")
_SAME = {"", "1", "2", "3", "AUTO", "auto", "sensor", "English", "Español",
         "{fact} ({interlock}).", "{reason}: {rule} ({interlock})."}  # fmt: skip


@pytest.fixture(autouse=True)
def _english_again():
    yield
    speak("en")


def _said_in_code():
    for path in sorted(Path(view.__file__).parent.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            is_say = isinstance(node, ast.Call) and getattr(node.func, "id", "") == "say"
            if is_say and isinstance(node.args[0], ast.Constant):
                yield node.args[0].value


def _said_from_tables():
    for station in (*STATIONS, JOB):
        yield station.title
    yield from (cap.words for cap in CAPS.values())
    yield from (str(lamp.word) for lamp in LAMPS)
    yield from (state.replace("_", " ").lower() for table in TABLES for state in table.states)
    yield from CAPTIONS.values()
    yield from (title for title, _ in home_page.MODES.values())
    yield from (words for _, words in (*home_page.LISTS, *home_page.LEVELS))
    yield from (words for row in settings_page._ROWS for words in row[1:])
    yield from settings_page._WORDS.values()
    yield from (words for _, words in (*saw_page._TABS, *debrief_page._PARTS))
    yield from signal_sheet.GROUPS
    yield from (words for _, words in (*bench_choice.PARTS, *bench_choice.LADDERS))
    yield from (words for _, words in (*meddling_sheet._FORCES, *meddling_sheet._JUMPERS))
    yield from (str(lock.title) for lock in INTERLOCKS if lock.wired)
    for row in PERMISSIVES:
        yield from map(str, (row.hazard, row.need.sentence, row.need.remedy))
    yield from ("HAND", "CYCLE", "DEVIATION")
    yield from (words for row in SET_POINTS for words in (str(row.title), *row.words))
    yield from (str(dial.title) for dial in DIALS)
    yield from (str(row.title) for row in INSPECTIONS.values())
    yield from (str(step.title) for step in (*lockout.STEPS, *lockout.BACK))
    yield from map(str, EXPECTS.values())
    yield from (words for kind in KINDS.values() for words in (str(kind.title), str(kind.sentence)))
    yield from (str(row.text) for row in SIGNALS)
    yield from (str(row.sentence) for row in PROPERTIES.values())
    yield from (str(move.clause) for move in moves(Scope()) if not _by_its_cap(move))
    yield from map(str, TURNED)
    for fault in CATALOGUE.values():
        yield from map(str, (fault.title, fault.changes, fault.remedy))
        yield from (fault.family.value, fault.who.value)
    for _, scenario in library_entries():
        card = session_for(scenario, nonce="").card
        yield from (str(words) for line in card for words in (line.reason, line.source))
    for metal in read_materials(materials_path()).values():
        yield from (metal.title, metal.source)


def _by_its_cap(move):
    return move.name.removesuffix(" let go") in BY_ACTION


def test_every_phrase_in_the_code_of_the_window_is_translated():
    missing = {words for words in _said_in_code() if words and words not in SPANISH}
    assert not missing


def test_every_phrase_of_the_tables_is_translated():
    missing = {words for words in _said_from_tables() if words and words not in SPANISH}
    assert not missing


def _told_by(scenario):
    yield from (scenario.title, scenario.summary, scenario.report, scenario.brief, scenario.teaches)
    for step in scenario.steps:
        yield from (step.ask, step.why, step.hint, step.caution)


def test_every_text_of_every_scenario_that_ships_is_translated_line_by_line():
    texts = {text for _, scenario in library_entries() for text in _told_by(scenario) if text}
    assert not texts - set(SPANISH)
    for text in texts:
        assert len(SPANISH[text].splitlines()) == len(text.splitlines()), text


def test_no_translation_is_kept_of_a_scenario_that_is_gone():
    told = {text for _, scenario in library_entries() for text in _told_by(scenario)}
    kept = read_phrases(shipped("art") / "locale" / "es.scenarios.po")
    assert not set(kept) - told


@pytest.mark.parametrize("name", ["01-power-up-and-stops", "posts-come-out-short"])
def test_the_brief_of_a_scenario_is_read_in_spanish(name):
    person = person_at(scenario=name, language="es")
    drawn = []
    person.app.stage.kit.letters.watcher = lambda text, _surface: drawn.append(text.text)
    person.play.go("brief")
    person.frame()
    assert not _untranslated(drawn)


def test_nothing_is_left_as_it_was_or_empty():
    assert {k for k, v in SPANISH.items() if k == v} <= _SAME
    assert all(SPANISH.values())


def test_gaps_are_the_same_in_both_languages():
    gaps = re.compile(r"\{(\w+)\}")
    for english, spanish in SPANISH.items():
        assert sorted(gaps.findall(english)) == sorted(gaps.findall(spanish)), english


def _untranslated(texts):
    return {text for text in texts if _ENGLISH.search(text)}


@pytest.mark.parametrize(
    "name", [name for name, scenario in library_entries() if scenario.mode == "lesson"]
)
def test_no_english_is_left_in_what_a_lesson_tells(name):
    speak("es")
    session = open_session(name, nonce="for tests")
    coach = Coach(session)
    lesson = coach._lesson
    said = []
    for number in range(1, len(lesson.steps) + 1):
        assert play_lesson(session, lesson, number)
        said.append(retell(coach.remark()))
    said += [event_words(event) for event in session.heard.events]
    assert not _untranslated(said)


@pytest.mark.parametrize("name", ["posts-come-out-short", "head-will-not-come-down"])
def test_no_english_is_left_in_what_is_found(name):
    speak("es")
    session = open_session(name, nonce="for tests")
    session.press("supply.isolator")
    session.tap("supply.two_hand", "supply.control_on")
    for look in [*INSPECTIONS, "meter B11", "meter K1"]:
        if not session.over:
            session.inspect(look)
    assert not _untranslated(event_words(event) for event in session.heard.events)


def test_a_text_is_retold_whole_by_sentences_by_clauses_and_by_gaps():
    english = "The isolator is off. Switch the isolator on."
    assert retell(english) == english
    speak("es")
    assert say("Home") == "Inicio"
    assert retell(english) == "El seccionador está abierto. Cierre el seccionador."
    assert retell("A piece of 230.00 mm.") == "Una pieza de 230.00 mm."
    assert retell("the band fault is latched") == "el fallo de cinta está enclavado"
    assert retell("Bar driven into the band.") == "Barra empujada contra la cinta."
    assert retell("Nobody has translated this.") == "Nobody has translated this."
    assert retell("the lamp on Y11 is lit, and the switch B11 shows its lamp").startswith(
        "la lámpara"
    )
    assert say("") == retell("") == ""


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
