"""The set-up card in the window: what it says of how the saw stands now."""

import pytest

from .conftest import person_at

_OIL, _PRESSURE = "supply.oil_percent", "cutting_vise.pressure_bar"


def _now_told(person, name):
    """Return whether the card tells that a line is not as the machine is set."""
    return "Now " in person.see(f"card.{name}").label


def _set(person, **to):
    """Set what is set behind the window's back, and have its sheet laid out anew."""
    for name, setting in to.items():
        person.session.saw.set(name, setting)
    for sheet in ("inspect", "brief"):
        person.play.go(sheet)
        person.frame()


@pytest.mark.parametrize("percent", [60, 95])
def test_what_is_within_what_the_card_leaves_alone_is_not_told_to_differ(percent):
    person = person_at((1600, 900), scenario="rail-posts")
    line = next(line for line in person.session.card if line.name == _OIL)
    _set(person, **{_OIL: percent})

    assert line.setting != percent
    assert line.will_do(percent)
    assert not _now_told(person, _OIL)


def test_what_the_card_wants_otherwise_is_told():
    person = person_at((1600, 900), scenario="rail-posts")
    _set(person, **{_OIL: 20, _PRESSURE: 31})

    assert _now_told(person, _OIL)
    assert _now_told(person, _PRESSURE)
