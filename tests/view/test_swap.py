"""The diagnosis sheet: beside the remedy of what lies in a part is a key that exchanges the part on trial."""

from sim.records.acts import Swapped

from .conftest import person_at


def _chosen(cause):
    person = person_at((1600, 900), scenario="stands-with-the-head-down")
    person.play.paused = False
    person.play.go("diagnose")
    person.play.choose_cause(cause)
    person.frame()
    return person


def test_a_part_is_exchanged_from_the_cause_that_lies_in_it():
    person = _chosen("b12-channel")
    person.click("chosen.swap")

    assert [act.name for act in person.session.done.acts if isinstance(act, Swapped)] == [
        "B12-channel"
    ]
    person.session.finish_act()
    assert person.session.done.swapped == ["B12-channel"]


def test_a_broken_wire_has_no_spare():
    assert "chosen.mend" in _chosen("head-down-wire").app.stage.by_name
    assert "chosen.swap" not in _chosen("head-down-wire").app.stage.by_name
