"""A property that a search never comes to is not one that holds."""

from functools import lru_cache

import pytest

from sim.control.interlocks import PERMISSIVES
from sim.logic.proof.moves import SMALLEST, Scope
from sim.logic.proof.proof import prove
from sim.logic.proof.properties import PROPERTIES

BY_HAND = ("MANUAL",)


@lru_cache
def found(scope):
    return {each.name: each for each in prove(scope=scope).findings}


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "facts"),
    [
        ("guard", (("B41", (False,)),)),
        ("hood", (("B43", (False,)),)),
        ("deviation", (("latch.deviation", (True,)),)),
        ("let go of band", (("mode", ("MAINTENANCE",)),)),
        ("latches open", ()),  # its moves never happen
    ],
)
def test_with_every_device_sound_nothing_is_said_of_what_speaks_of_one_that_is_bad(name, facts):
    each = found(SMALLEST)[name]
    assert each.untried is not None
    assert each.untried.facts == facts
    assert not each.holds
    assert not each.broken


@pytest.mark.parametrize(
    "name", ["dead", "into the band", "one vise", "pointed to", "finish", "let go of head"]
)
def test_what_is_met_with_every_device_sound_is_tried_there(name):
    assert found(SMALLEST)[name].holds


@pytest.mark.slow
def test_where_one_device_goes_bad_its_properties_are_tried_and_no_others():
    opened = {name for name, each in found(Scope(BY_HAND, ("B41",))).items() if each.untried}
    sound = {name for name, each in found(Scope(BY_HAND, ())).items() if each.untried}
    assert {"guard", "latches open"} <= sound - opened
    assert "cover" in opened
    assert opened <= sound


def test_a_proof_that_has_tried_nothing_is_not_sound():
    guard = tuple(row for row in PERMISSIVES if row.need.subject == "B41")
    proof = prove(["guard"], guard, Scope(BY_HAND, ()))
    assert (proof.sound, proof.broken) == (False, False)
    assert [each.name for each in proof.untried] == ["guard"]

    proof = prove(["guard"], guard, Scope(BY_HAND, ("B41",)))
    assert (proof.sound, proof.broken, proof.untried) == (False, True, ())


def test_everything_that_was_asked_is_answered():
    assert found(SMALLEST).keys() == PROPERTIES.keys()
