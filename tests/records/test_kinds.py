"""What a row of a record holds, what is said of one that does not fit, and how remarks are kept."""

import json
from dataclasses import dataclass
from typing import ClassVar

import pytest
from pydantic import TypeAdapter, ValidationError

from sim.kernel import clock
from sim.plant import obstacles
from sim.records.kinds import CHECKED, UNSOUND, Said, misfit, refuse_line, remarked, written
from sim.words.message import named, quoted

ROWS_OF = (clock, obstacles)  # the modules whose messages are told below
UNREADABLE = "it cannot be read"


@dataclass(frozen=True)
class Row:
    """A row of two fields, under the rules of every row."""

    __pydantic_config__: ClassVar = CHECKED
    length: float
    said: Said = UNSOUND


def fault_of(**fields):
    with pytest.raises(ValidationError) as caught:
        TypeAdapter(Row).validate_json(json.dumps(fields))
    return caught.value


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        ({}, "length is missing"),
        ({"length": 1.0, "width": 2.0}, "width has no place there"),
        ({"length": "1"}, "length does not fit"),
        ({"length": float("nan")}, "length does not fit"),
        ({"length": float("inf")}, "length does not fit"),
        ({"length": 1.0, "n" * 100: 2.0}, "n" * 60 + " has no place there"),
    ],
)
def test_the_first_field_that_does_not_fit_is_named(fields, told):
    assert str(misfit(fault_of(**fields))) == told


def test_what_has_no_field_cannot_be_read():
    assert str(misfit(TypeError("no row at all"))) == UNREADABLE
    with pytest.raises(ValidationError) as caught:
        TypeAdapter(int).validate_python("no number")
    assert str(misfit(caught.value)) == UNREADABLE


@pytest.mark.parametrize(
    "said",
    [
        {"key": "no.such.message"},
        {"key": ["a", "list"]},
        {"key": "words.quoted", "fields": {"text": 3}},
        {"key": "clock.too-much", "fields": {"most": 10**400}},
        {"key": "harm.started-buried.detail", "fields": {"count": 1.5}},
        "words",
    ],
)
def test_a_message_that_cannot_be_told_does_not_fit(said):
    assert str(misfit(fault_of(length=1.0, said=said))) == "said does not fit"


def test_a_remark_is_cut_and_a_message_kept():
    assert remarked("four", 2) == "fo"
    assert remarked("four") == "four"
    assert remarked(UNSOUND, 2) == UNSOUND


def test_half_a_character_is_replaced():
    assert written("a\ud800b") == "a?b"


def test_a_line_that_is_refused_names_its_place_and_the_record():
    refused = refuse_line(quoted("it is odd"), "a.jsonl:3")
    told = (refused.what, refused.where, refused.what_to_do)
    assert told == (quoted("it is odd"), named("a.jsonl:3"), UNSOUND)
