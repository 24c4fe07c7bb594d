"""What the locked guard says to a hand that pulls at it, and the cover to one that wants past it."""

import pytest

from sim.words.message import NOTHING

DOORS = ("band.guard", "band.wheel_cover")


@pytest.fixture
def lock(hands):
    return hands.saw.plant.guard_lock


@pytest.mark.parametrize("door", DOORS)
def test_a_guard_that_is_shut_says_why_it_does_not_open(hands, lock, door):
    assert not lock.drawn
    assert "not drawn without control voltage" in str(hands.saw.blocked(door, "open"))
    hands.set_up()
    assert lock.drawn
    assert hands.saw.blocked(door, "open") == NOTHING
    hands.palms("band.run")
    hands.wait(3)
    assert not lock.drawn
    assert "while the band moves" in str(hands.saw.blocked(door, "open"))
    hands.release("supply.isolator")
    assert "while the band moves" in str(hands.saw.blocked(door, "open"))  # it coasts
    hands.until(lambda: not hands.saw.plant.band.moves)

    assert not lock.drawn
    assert "not drawn without control voltage" in str(hands.saw.blocked(door, "open"))


def test_the_lock_has_nothing_against_a_hand_that_shuts(lock):
    assert not lock.drawn
    assert lock.against(False) == NOTHING
    assert lock.against(True) != NOTHING


def test_the_cover_in_the_way_of_hands_says_how_it_comes_open(hands, lock):
    assert "without power it stays locked" in str(lock.covered)
    hands.set_up()
    assert "Open it while there is power" in str(lock.covered)
    hands.set(band__wheel_cover="open")

    assert lock.covered == NOTHING
