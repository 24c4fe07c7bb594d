"""Every sentence that can be said at the saw is listed with what sets it off, and none is longer than 25 words."""

import re
from pathlib import Path

import pytest

import sim
from sim.authoring.said import KINDS, TRIGGERS, sentences, slips_about, trigger
from sim.pilot.lesson_pilot import play_lesson
from sim.session.opening import library_entries, open_session
from sim.teaching.coach import Coach
from sim.text.reports.sentences_report import in_languages
from sim.words.message import ROWS, Message

LONGEST = 25  # words in a sentence; what stands in a gap counts as one
LESSONS = [name for name, scenario in library_entries() if scenario.mode == "lesson"]
_END = re.compile(r"(?<=[.!?])\s+|\n| / ")
# What a sentence only names: a device, a look, a set point or a state has its own table, and its own list.
NAMED = (
    "words.", "signal.", "device.", "inspection.", "set-point.", "machine.", "measure.", "zone.",
    "fault.", "dial.", "shift.", "range.",
)  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_no_sentence_is_longer_than_25_words_in_any_language(kind):
    long = [
        f"{said.key} ({language}): {sentence}"
        for said in sentences((kind,))
        for language, text in in_languages(said).items()
        for sentence in _END.split(text)
        if len(sentence.split()) > LONGEST
    ]

    assert not long


@pytest.mark.parametrize("kind", KINDS)
def test_everything_that_is_listed_says_what_sets_it_off_and_stands_there_once(kind):
    listed = list(sentences((kind,)))

    assert listed
    assert all(said.when and all(in_languages(said).values()) for said in listed)
    assert len({said.key for said in listed}) == len(listed)


def test_every_slip_of_the_teaching_is_found_at_what_it_is_about():
    folder = Path(sim.__file__).parent / "teaching"
    written = {
        key
        for path in folder.rglob("*.py")
        for key in re.findall(r'"(slip\.[\w.-]+)"', path.read_text(encoding="utf-8"))
    } & ROWS.keys()

    assert len(written) > 70
    assert not written - slips_about().keys()
    assert slips_about()["slip.arm.far"] == ("band.guide_span_mm",)
    assert "head.feed_force_n" in slips_about()["slip.cut.rubs"]
    assert slips_about()["slip.key.corner"] == ("job.start",)


def test_every_trigger_has_something_that_it_sets_off():
    list(sentences())
    idle = [begins for begins in TRIGGERS if not any(key.startswith(begins) for key in ROWS)]

    assert not idle


def test_a_row_of_a_file_is_no_slip_of_the_set_up():
    assert trigger("slip.colon") is None
    assert trigger("check.title") is None
    assert trigger("coach.good") == trigger("coach.jog")


@pytest.mark.sampled(4)
@pytest.mark.parametrize("name", LESSONS)
def test_what_the_coach_says_in_a_lesson_is_listed(name):
    session = open_session(name, nonce="for tests")
    coach = Coach(session)
    lesson = coach._lesson
    told = set()
    for number in range(1, len(lesson.steps) + 1):
        told |= set(_keys(lesson.hint()))
        assert play_lesson(session, lesson, number)
        told |= set(_keys(coach.remark()))

    assert told
    assert not sorted(key for key in told if trigger(key) is None and not key.startswith(NAMED))


def _keys(message):
    """Yield the key of a message and of every message in it."""
    if message:
        yield message.key
    for _, value in message.values:
        for each in value if isinstance(value, tuple) else (value,):
            if isinstance(each, Message):
                yield from _keys(each)
