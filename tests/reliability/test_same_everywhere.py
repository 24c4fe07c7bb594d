"""Random sessions come to the same in every environment; the long run is `same_everywhere`."""

import sys

import pytest

from tests.reliability.random_sessions import hash_of_session, hashes, pairs
from tests.reliability.same_everywhere import PLACES, played

SESSIONS = 12


@pytest.fixture(scope="module")
def here():
    return played(sys.executable, PLACES[0], 0, SESSIONS)


@pytest.mark.parametrize("place", PLACES[1:], ids=lambda place: place.name)
def test_random_sessions_come_to_one_hash_anywhere(place, here):
    assert here.endswith(f"of {SESSIONS} sessions")
    assert played(sys.executable, place, 0, SESSIONS) == here


def test_a_session_is_drawn_by_its_number_and_differs_from_others():
    drawn = [each for _, each in hashes(0, 3)]
    name, saw = next(pairs())
    assert hash_of_session(name, saw, 0) == drawn[0]
    assert len(set(drawn)) == 3


def test_what_differs_is_told():
    name, saw = next(pairs())
    assert hash_of_session(name, saw, 0, 5) != hash_of_session(name, saw, 0, 6)
