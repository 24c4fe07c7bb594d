"""Everything that a hand can set: reads back what was set, within its limits."""

import pytest

from sim.plant.harm.consequences import KINDS, Severity
from sim.plant.set_points import SET_POINTS
from sim.scenario.machines import first_machine

NUMBERS = [row for row in SET_POINTS if not row.words]
WORDS = [(row, word) for row in SET_POINTS for word in row.words]


@pytest.mark.parametrize("row", NUMBERS, ids=lambda row: row.name)
def test_a_number_reads_back_as_it_was_set(hands, row):
    low, high = row.limits(hands.machine)
    for setting in (low, high, (low + high) // 2):
        hands.saw.set(row.name, setting)

        assert hands.saw.read(row.name) == pytest.approx(setting)


@pytest.mark.parametrize(("row", "word"), WORDS, ids=lambda value: getattr(value, "name", value))
def test_a_word_reads_back_as_it_was_set(hands, row, word):
    hands.saw.plant.head.place.put(hands.machine.head_top_m)  # else the prop does not go in
    hands.saw.set(row.name, word)

    assert hands.saw.read(row.name) == word


def test_names_are_station_dot_thing_and_each_is_there_once():
    names = [row.name for row in SET_POINTS]

    assert len(set(names)) == len(names)
    for row in SET_POINTS:
        assert row.name.startswith(f"{row.place}.")
        low, high = row.limits(first_machine())
        assert row.words or low < high
        assert row.step > 0


def test_the_saw_as_found_is_within_every_limit(hands):
    for row in NUMBERS:
        low, high = row.limits(hands.machine)
        assert low <= hands.saw.read(row.name) <= high


def test_every_kind_of_harm_has_a_sentence_and_a_cost():
    for name, kind in KINDS.items():
        assert name == kind.name
        assert str(kind.sentence).endswith(".")
        assert kind.minutes or kind.money or kind.severity is Severity.NOTE
        assert 0 <= kind.band_life <= 1
