"""What inspections say: a finding is a value, equal where it reads alike, and told in Spanish too."""

import re
from itertools import product

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.pilot.autopilot import power_up
from sim.pilot.reference_jobs import REFERENCE_JOBS
from sim.scenario.scenario import Fault
from sim.session.inspections import INSPECTIONS
from sim.session.opening import session_for
from sim.words.fields import OneOf, Part, Parts, Quantity
from sim.words.message import ROWS, Message, named
from sim.words.reader import ENGLISH, PSEUDO, Reader, phrases_of

SPANISH = Reader("es")
SAID = [row for key, row in ROWS.items() if key.startswith("inspection.")]
ENGLISH_WORDS = re.compile(
    r"\b(the|is|are|of|and|to|its|it|with|by|at|for|in|on|stands?|shows?|reads?|lit|dark)\b", re.I
)
LETTERS_OUTSIDE = re.compile(r"[^\W\d_]{2,}")


def every_wording(row):
    """Return the row's message with every choice of words that its fields have, one and many."""
    choices = []
    for name, field in row.fields.items():
        if isinstance(field, OneOf):
            values = field.words
        elif isinstance(field, Part):
            values = (named("B1"),)
        elif isinstance(field, Parts):
            values = ((named("B1"), named("B2")),)
        elif isinstance(field, Quantity):
            values = (1, 2)
        else:
            values = ("B1",)
        choices.append([(name, value) for value in values])
    return [row(**dict(chosen)) for chosen in product(*choices)]


def at_rest_and_powered(name):
    """Yield one session as it is found and one powered up, on each job that the fault can be on."""
    for job in ("posts", "rails"):
        scenario = REFERENCE_JOBS[job].scenario()
        faults = (Fault(name=name),) if name else ()
        for power in (False, True):
            session = session_for(scenario.model_copy(update={"faults": faults}), nonce="")
            if power:
                power_up(session)
            yield session


@pytest.mark.parametrize("row", SAID, ids=lambda row: row.key)
def test_what_an_inspection_says_is_spanish_in_every_wording(row):
    for message in every_wording(row):
        told = message.tell(SPANISH)
        assert not ENGLISH_WORDS.search(told.replace("B1", "")), told


@pytest.mark.parametrize("row", SAID, ids=lambda row: row.key)
def test_no_word_of_an_inspection_goes_past_the_translation(row):
    for message in every_wording(row):
        outside = re.sub(r"\[[^\]]*\]|«[^»]*»", "", message.tell(PSEUDO))
        assert not LETTERS_OUTSIDE.search(re.sub(r"\b(mm|min|bar|MPa)\b", "", outside)), outside


def test_english_has_no_spanish_word():
    for row in SAID:
        for message in every_wording(row):
            assert message.tell(ENGLISH) == str(message)
            assert not re.search(r"[áéíóúñ¿¡]", str(message))
    assert len(phrases_of("es")) > len(SAID)


def test_findings_are_equal_exactly_where_they_read_alike():
    """The dependency matrix groups by findings as readers tell them apart: by what is written."""
    for inspection in INSPECTIONS.values():
        found: dict[str, Message] = {}
        said: dict[Message, str] = {}
        for fault in ("", *list(CATALOGUE)[::4]):
            for session in at_rest_and_powered(fault):
                message = inspection.look(session.saw)
                text = str(message)
                assert found.setdefault(text, message) == message, inspection.name
                assert said.setdefault(message, text) == text, inspection.name


def test_a_finding_holds_its_numbers_as_they_are_read():
    session = next(at_rest_and_powered("counter-from-below"))
    shuttle = session.saw.plant.shuttle
    play = INSPECTIONS["stop-play"].look(session.saw)

    assert play["play"] == pytest.approx(shuttle.counter_m - shuttle.stop_m, abs=5e-6)
    assert play["play"] == round(play["play"] / 1e-3, 2) * 1e-3
    assert f"{play['play'] / 1e-3:.2f} mm" in str(play)
