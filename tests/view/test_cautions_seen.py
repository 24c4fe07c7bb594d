"""In the window what must hold, and what to beware of, stands beside what hands go to, before they go."""

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.session.hands.cautions import (
    OF_KEY,
    before_loading,
    before_look,
    before_mend,
    before_set,
    in_short,
)
from sim.session.hands.table import to_look, to_mend, to_set
from sim.session.hands.zones import Demand, Zone
from sim.session.inspections import INSPECTIONS
from sim.words.speech import tell


def _said(person, begins):
    person.frame()
    return " ".join(w.label for w in person.app.stage.tree.walk() if w.name.startswith(begins))


def test_the_walk_round_signs_each_set_point_that_hands_go_to_and_says_what_to_heed(at_the_posts):
    at_the_posts.play.go("walk")
    at_the_posts.frame()
    signed = {name for name in SET_POINTS if f"walk.{name}.first" in at_the_posts.app.stage.by_name}

    assert signed == {name for name in SET_POINTS if to_set(name).demand is not Demand.OUTSIDE}
    for name in signed:
        assert _said(at_the_posts, f"walk.{name}.first") == tell(in_short(to_set(name)))
        for caution in before_set(name):
            assert tell(caution) in _said(at_the_posts, "walk.first."), name
    for caution in before_loading():
        assert tell(caution) in _said(at_the_posts, "walk.load.first")


def test_the_looks_of_each_part_stand_over_what_to_heed_before_them(at_the_posts):
    at_the_posts.play.go("inspect")

    for look in INSPECTIONS.values():
        assert tell(in_short(to_look(look))) in _said(at_the_posts, f"inspect.{look.name}")
        for caution in before_look(look):
            assert tell(caution) in _said(at_the_posts, f"inspect.{look.place}.first"), look.name


_ZONES = [zone for zone in Zone if any(to_mend(fault).zone is zone for fault in CATALOGUE.values())]


@pytest.mark.parametrize("zone", _ZONES)
def test_a_cause_that_was_chosen_stands_with_what_to_heed_before_it_is_put_right(
    at_short_posts, zone
):
    at_short_posts.play.go("diagnose")
    for fault in (each for each in CATALOGUE.values() if to_mend(each).zone is zone):
        at_short_posts.play.choose_cause(fault.name)
        said = _said(at_short_posts, "chosen.first")

        assert bool(said) == bool(before_mend(fault))
        for caution in before_mend(fault):
            assert tell(caution) in said, fault.name


def test_a_key_that_nothing_blocks_is_told_with_whom_to_look_for_in_a_drill_too(
    at_short_posts,
):
    session = at_short_posts.session
    session.press("supply.isolator")
    session.tap("supply.reset")
    session.tap("supply.control_on")
    at_short_posts.strike("f9")
    at_short_posts.click("why.key.head.lower")

    for caution in OF_KEY["head.lower"]:
        assert tell(caution) in _said(at_short_posts, "why.caution")
