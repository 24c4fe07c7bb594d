"""The causes in the wiring: enough of them, each once, each put in and put right, alike where they say so."""

import random
from collections import Counter

import pytest

from sim.debrief.scoring import was_unsafe
from sim.faults.catalogue import CATALOGUE, EVERY
from sim.faults.fault import Who, Wreck
from sim.faults.wiring import WIRING_ROWS
from sim.logic.bench.meter import Meter
from sim.scenario import library
from sim.scenario.machines import shipped_machine
from sim.session.before.keys import power_up, raise_head
from sim.session.hands.hazards import Hazard
from sim.session.hands.table import last_step_to_mend, to_mend
from sim.session.hands.zones import Demand, Zone
from sim.session.locking import do_all, locking_out
from sim.session.opening import open_session
from sim.signals import INPUTS, OUTPUTS
from sim.wiring.consequences import effect_of
from sim.wiring.failures import Failure, FailureKind
from sim.wiring.loom import Is, tag_of

LEAST = 130
SAWS = library.machine_names()


def wreck(session):
    return Wreck(session.saw.plant, session.saw.bus, {})


def in_wiring():
    return {name: fault for name, fault in EVERY.items() if fault.fails is not None}


def test_there_are_enough_and_every_input_output_and_supply_has_some():
    told = {fault.fails(shipped_machine("harbour-saw").loom).tag for fault in in_wiring().values()}

    assert len(WIRING_ROWS) >= LEAST
    assert {*INPUTS, *OUTPUTS, "Q11", "Q12", "G1", "F11", "F12", "F13", "F14", "F25"} <= told
    assert all(fault.who is Who.MAINTENANCE for fault in in_wiring().values())


@pytest.mark.parametrize("saw", SAWS)
def test_no_failure_stands_twice(saw):
    loom = shipped_machine(saw).loom
    found = Counter(fault.fails(loom) for fault in in_wiring().values())
    del found[None]

    assert [failure for failure, often in found.items() if often > 1] == []
    assert len(found) >= len(WIRING_ROWS)


def test_a_cause_does_the_same_to_the_machine_as_the_one_that_leads_it():
    loom, followers = shipped_machine("harbour-saw").loom, 0
    for fault in WIRING_ROWS:
        lead = EVERY[fault.lead] if fault.lead else None
        if lead is not None:
            assert not lead.lead
            if lead.fails is not None:
                assert effect_of(loom, fault.fails(loom)) == effect_of(loom, lead.fails(loom))
                followers += 1
    assert followers > 200
    assert not any(fault.lead for fault in CATALOGUE.values())


def test_leads_without_a_wire_do_the_same_to_a_saw_too():
    for fault in WIRING_ROWS:
        lead = EVERY.get(fault.lead)
        if lead is None or lead.fails is not None:
            continue
        saws = []
        for each in (fault, lead):
            session = open_session("rail-posts")
            each.apply(wreck(session))
            session.saw.bus.settle()
            bus, plant = session.saw.bus, session.saw.plant
            saws.append((
                {tag: (bus.seen[tag], bus.driven(tag)) for tag in (*INPUTS, *OUTPUTS)},
                [plant.seized(tag) for tag in OUTPUTS], plant.power.control,
            ))  # fmt: skip
        assert saws[0] == saws[1], fault.name


@pytest.mark.parametrize("saw", SAWS)
def test_each_is_put_in_shows_that_it_is_there_and_is_put_right(saw):
    session = open_session("rail-posts", machine=saw)
    there = wreck(session)
    session.advance(1)  # the mode switch rests where it points
    before = session.saw.state()
    for fault in WIRING_ROWS:
        if not fault.possible(there):
            assert (saw, fault.name) == ("quay-saw", "b43-zero")  # a bridge has no 0 V
            continue
        assert not fault.present(there)
        fault.apply(there)
        assert fault.present(there)
        session.saw.bus.settle()
        fault.mend(there)
        session.saw.bus.settle()
        assert not fault.present(there)
        assert not session.saw.plant.power.blown
    session.advance(1)
    kept = ("time_us", "image")  # the controller remembers which wires went
    after = session.saw.state()
    assert {k: v for k, v in after.items() if k not in kept} == {
        k: v for k, v in before.items() if k not in kept
    }


def test_each_changes_what_a_meter_reads_with_the_isolator_off_or_on():
    """Or it is one that no meter on the terminals of a saw at rest can show: a channel, a short to what is dead."""
    session = open_session("rail-posts")
    there, loom = wreck(session), session.saw.plant.harness.loom
    sound_off = Meter(session.saw)
    quiet, chance = [], random.Random(1)
    for fault in chance.sample(WIRING_ROWS, 120):
        fault.apply(there)
        hurt, failure = Meter(session.saw), fault.fails(loom)
        ends = [loom.wires[failure.wire].ends] if failure.wire else []
        device = loom.by_tag[failure.tag]
        ends += [device.coil] if device.coil else []
        ends += [(device.at(c.first), device.at(c.second)) for c in device.contacts]
        if failure.wire and len(loom.path(failure.tag)) > 1:
            ends.append((loom.path(failure.tag)[0].start, loom.path(failure.tag)[-1].end))
        if all(hurt.ohms(*pair).ohm_band == sound_off.ohms(*pair).ohm_band for pair in ends):
            quiet.append(failure.kind.value)
        fault.mend(there)
    assert set(quiet) <= {"channel", "no-output", "to-24", "no-contact", "welded", "to-0"}
    assert len(quiet) < 70


def test_a_remedy_is_locked_out_and_where_the_wire_is():
    assert {to_mend(fault).demand for fault in WIRING_ROWS} == {Demand.LOCKED_OUT}
    assert to_mend(EVERY["b12-feed"]).zone is Zone.UNDER_HEAD
    assert to_mend(EVERY["b12-card"]).zone is Zone.CABINET
    assert to_mend(EVERY["q2-coil"]).zone is Zone.CABINET
    assert to_mend(EVERY["m1-u"]).zones == (Zone.CABINET, Zone.WHEELS)


@pytest.mark.parametrize("saw", SAWS)
def test_a_wire_with_an_end_in_the_cabinet_is_mended_when_it_is_proved_dead(saw):
    loom, seen = shipped_machine(saw).loom, Counter()
    for name, fault in in_wiring().items():
        failure = fault.fails(loom)
        if failure is None or not failure.wire:
            continue
        if name == "b43-feed":  # on one of the saws it lies in the cabinet
            assert to_mend(fault).zones == (Zone.CABINET, Zone.SHUTTLE_PATH)
            continue
        places = {loom.by_tag[tag_of(end)].place for end in loom.wires[failure.wire].ends}
        reach = to_mend(fault)
        if "cabinet" in places:
            assert (reach.zone, reach.demand) == (Zone.CABINET, Demand.LOCKED_OUT), name
            assert last_step_to_mend(fault) == "prove-dead", name
            at_part = loom.by_tag[failure.tag].place
            if at_part != "cabinet":  # a site may have a bridge there instead of the device
                assert (reach.far is not None) == (at_part in places - {"console"}), name
        else:
            assert reach.far is None, name
            assert (reach.zone is Zone.CABINET) == ("console" in places), name
        seen["cabinet" in places, reach.far is not None] += 1
    assert seen[True, True] > 90
    assert seen[True, False] > 90
    assert seen[False, False] > 40


def test_a_remedy_on_a_wire_to_a_valve_is_unsafe_until_it_is_proved_dead():
    for steps, safe in (("verify", False), ("prove-dead", True)):
        session = open_session("one-piece-and-then-it-holds-on")
        do_all(session, locking_out(session, until=steps, work=to_mend(EVERY["y34-back"])))
        session.put_right("y34-back")
        assert was_unsafe(session) is not safe, steps
        told = [str(event.message) for event in session.heard.events]
        assert any("which nobody had proved dead" in each for each in told) is not safe


def test_who_mends_a_wire_of_a_motor_with_the_isolator_on_is_struck_in_the_cabinet():
    session = open_session("one-piece-and-then-it-holds-on")
    session.press("supply.isolator")
    session.put_right("m4-u")
    assert [each.kind for each in session.hands.strikes] == ["struck-cabinet"]


def test_hands_at_the_far_end_of_a_wire_are_struck_by_what_moves_there():
    session = open_session("one-piece-and-then-it-holds-on")
    reach = to_mend(EVERY["y12-back"])
    assert reach.zones == (Zone.CABINET, Zone.UNDER_HEAD)
    power_up(session)
    raise_head(session)
    session.release("supply.isolator")  # what is live would strike first
    session.saw.set("supply.air_cock", "shut")  # by somebody else, while hands are there
    assert session.advance_until(lambda: session.hands.danger(reach) is not None, 5_000_000)
    assert session.hands.danger(reach) is Hazard.HEAD  # it sinks


@pytest.mark.parametrize("saw", SAWS)
def test_what_has_no_contact_block_gets_no_new_one(saw):
    loom, blocks = shipped_machine(saw).loom, set()
    for name, fault in in_wiring().items():
        if "contact block" in str(fault.remedy):
            blocks.add(fault.tag)
            what = loom.by_tag[(fault.fails(loom) or Failure(FailureKind.OPEN, fault.tag)).tag].what
            assert what in (Is.SWITCH, Is.ISOLATOR), name
    assert {"S3", "S7", "S9"} <= blocks
    assert (
        str(EVERY["b33-no-contact"].remedy)
        == "Fit a new B33, whole, and set it as the old one stood."
    )
