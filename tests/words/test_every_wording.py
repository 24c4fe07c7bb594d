"""Every wording of the tables is Spanish in Spanish and English in English, whoever comes to say it.

A row's message is made with every choice of words that its fields have, so that no run is needed.
"""

import re
from itertools import product

import pytest

import sim.faults.catalogue
import sim.session.inspections
from sim.words.fields import OneOf, Part, Parts, Quantity
from sim.words.message import ROWS, named
from sim.words.reader import ENGLISH, PSEUDO, Reader

assert sim.faults.catalogue, sim.session.inspections  # loaded for their rows

SPANISH = Reader("es")
TABLES = ("fault.", "harm.", "inspection.", "set-point.")
SAID = [row for key, row in ROWS.items() if key.startswith(TABLES)]
ENGLISH_WORDS = re.compile(
    r"\b(the|is|are|was|of|and|to|its|it|with|by|at|for|in|on|from|stands?|shows?|reads?|lit|dark|"
    r"open|shut|closed|tight|slack|wire|broken|valve|head|band|bar)\b",
    re.IGNORECASE,
)
LETTERS = re.compile(r"[^\W\d_]{2,}")
UNITS = re.compile(r"\b(mm|min|bar|MPa|kg|cm2|micrometres|deg|turns|teeth|in)\b")


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


@pytest.mark.parametrize("row", SAID, ids=lambda row: row.key)
def test_it_is_spanish_in_every_wording(row):
    for message in every_wording(row):
        told = re.sub(r"\d bar\b", "", message.tell(SPANISH))
        assert not ENGLISH_WORDS.search(told), told


@pytest.mark.parametrize("row", SAID, ids=lambda row: row.key)
def test_no_word_goes_past_the_translation(row):
    for message in every_wording(row):
        outside = re.sub(r"\[[^\]]*\]|«[^»]*»", "", message.tell(PSEUDO))
        assert not LETTERS.search(UNITS.sub("", outside)), outside


def test_english_has_no_spanish_word():
    for row in SAID:
        for message in every_wording(row):
            assert message.tell(ENGLISH) == str(message)
            assert not re.search(r"[áéíóúñ¿¡]", str(message))


def test_every_row_of_the_tables_has_its_messages_under_its_own_name():
    keys = {row.key for row in SAID}
    for name, fault in sim.faults.catalogue.CATALOGUE.items():
        said = {fault.title.key, fault.changes.key, fault.remedy.key}
        assert said == {f"fault.{name}.{part}" for part in ("title", "changes", "remedy")} <= keys
    for name, inspection in sim.session.inspections.INSPECTIONS.items():
        assert inspection.title.key == f"inspection.{name}.title"
