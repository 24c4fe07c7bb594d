"""The meter sheet: probes are put on terminals by mouse, and a reading is the look that the terminal makes."""

from sim.records.acts import Inspected
from sim.session.opening import open_session

from .conftest import person_at

DRILL = "stands-with-the-head-down"


def _at_the_wires(tag="B12"):
    person = person_at((1600, 900), scenario=DRILL)
    person.play.paused = False
    person.play.go("meter")
    person.play.show_wiring(tag)
    person.frame()
    return person


def _looks(person):
    return [act.name for act in person.session.done.acts if isinstance(act, Inspected)]


def test_a_drill_offers_the_devices_that_it_names_and_practice_all():
    assert person_at(scenario=DRILL).play.meter.devices() == ("B11", "B12", "Y11", "Y12")
    assert person_at(scenario="posts-come-out-short").play.meter.others() == {}
    practice = person_at(scenario="rail-posts").play
    addressed = {each.tag for each in practice.session.machine.loom.devices if each.address}
    assert set(practice.meter.devices()) == addressed >= {"B12", "Y11", "S1"}


def test_a_reading_in_the_window_is_the_look_of_the_terminal():
    person = _at_the_wires()
    person.click("meter.0.start.A3:11")
    person.frame()
    person.click("meter.volts")
    assert _looks(person) == ["volts A3:11"]
    person.session.finish_act()

    typed = open_session(DRILL, nonce="for tests")
    typed.inspect("volts A3:11")
    assert person.session.seen.looks[-1].found == typed.seen.looks[-1].found


def test_every_terminal_of_the_saw_can_be_touched():
    person = _at_the_wires("")
    choice, loom = person.play.meter, person.session.machine.loom
    tags = (*choice.devices(), *(tag for tags in choice.others().values() for tag in tags))
    assert sorted(tags) == sorted(loom.by_tag)

    reached = {
        end for tag in tags for hop in (*loom.path(tag), *loom.besides(tag))
        for end in (hop.start, hop.end)
    }  # fmt: skip
    assert reached == set(loom.terminals)
    person.click("meter.place.cabinet")
    person.frame()
    for tag, terminals in {"F25": ("F25:1", "F25:2"), "Q1": ("Q1:1", "Q1:2", "Q1:A1")}.items():
        person.click(f"meter.device.{tag}")
        person.frame()
        on_sheet = {each.rpartition(".")[2] for each in person.app.stage.by_name}
        assert on_sheet >= set(terminals)


def test_ohms_are_read_between_two_probes_only():
    person = _at_the_wires("Y11")
    choice = person.play.meter
    choice.touch("Y11:1")
    person.play.changed = True
    person.frame()
    assert "meter.ohms" not in person.app.stage.by_name
    choice.touch("Y11:2")
    person.play.changed = True
    person.frame()
    person.click("meter.ohms")
    assert _looks(person) == ["ohms Y11:1 Y11:2"]


def test_a_probe_comes_off_where_it_is_touched_again():
    choice = _at_the_wires().play.meter
    for terminal in ("X2:43", "B12:4", "X2:43"):
        choice.touch(terminal)
    assert (choice.red, choice.black) == ("B12:4", "")
    choice.touch("B12:4")
    assert (choice.red, choice.black) == ("", "")
