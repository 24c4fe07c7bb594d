"""The diagnosis sheet in a round: a key for each thing that a finding can call for, and none to name a cause."""

from sim.session.morning import CLASSES

from .conftest import person_at


def _chosen(scenario, cause="guard-open"):
    person = person_at((1600, 900), scenario=scenario)
    person.play.paused = False
    person.play.go("diagnose")
    person.play.choose_cause(cause)
    person.frame()
    return person


def test_a_finding_is_reported_from_its_cause_and_the_later_report_holds():
    person = _chosen("the-saw-this-morning")
    for word in CLASSES:
        person.click(f"chosen.report.{word}")

        assert person.session.morning.reported == {"guard-open": word}

    assert "chosen.name" not in person.app.stage.by_name
    assert "chosen.mend" in person.app.stage.by_name


def test_where_there_is_no_round_a_cause_is_named_and_nothing_is_reported():
    shown = _chosen("stands-with-the-head-down").app.stage.by_name

    assert "chosen.name" in shown
    assert not [name for name in shown if name.startswith("chosen.report")]
