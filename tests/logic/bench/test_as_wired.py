"""What a meter finds at the terminals of a saw, held to what its controller sees and drives, in random states."""

import contextlib
import random
from itertools import combinations

import pytest

from sim.errors import CommandError
from sim.logic.bench.meter import Meter
from sim.pilot import autopilot
from sim.session.opening import open_session
from sim.signals import INPUTS, OUTPUTS
from sim.wiring.failures import FailureKind, every_failure
from tests.random_states import IN_A_SESSION, anything

HIGH_V, LOW_V = 15.0, 5.0  # IEC 61131-2, inputs of type 1, from memory
STATES = 240
CLEAR = 0.05  # of the 24 V, that a reading between low and high would need

# A dead channel is the one failure in which image and terminal differ, and a meter shows just that.
FELT = [
    failure for failure in every_failure(open_session("rail-posts").saw.plant.harness.loom)
    if failure.kind is not FailureKind.CHANNEL
]  # fmt: skip


def differs(saw):
    """Return the wires whose terminal and image differ: of an input the card's, of an output the coil's."""
    meter, loom, power = Meter(saw), saw.plant.harness.loom, saw.plant.power
    found = []
    for tag in INPUTS if power.control else ():
        volts = meter.volts(loom.card_terminal(tag), f"{loom.by_tag[tag].card}:M").volts
        if not volts < LOW_V and not volts > HIGH_V:
            found.append((tag, volts))
        if (volts > HIGH_V) is not saw.bus.seen[tag]:
            found.append((tag, volts, saw.bus.seen[tag]))
    for tag in OUTPUTS:
        works = saw.bus.seen[tag] and power.coil_fed(tag) and saw.plant.seized(tag) is None
        volts = meter.volts(*loom.by_tag[tag].coil).volts
        if (volts > HIGH_V) is not works and saw.plant.seized(tag) is None:
            found.append((tag, volts, works))
    return found


@pytest.mark.parametrize("machine", ["harbour-saw", "quay-saw"])
def test_every_input_reads_true_just_where_its_terminal_is_live_whatever_is_done(machine):
    chance = random.Random(machine)
    seen, session = set(), None
    for number in range(STATES):
        if number % IN_A_SESSION == 0 or session.over:
            session = open_session("rail-posts", machine=machine)
            autopilot.power_up(session)
        with contextlib.suppress(CommandError):
            anything(session, chance)

        assert differs(session.saw) == []
        seen |= {tag for tag in INPUTS if session.saw.bus.seen[tag]}
    assert len(seen) > 20


@pytest.mark.parametrize("group", range(6))
def test_a_failure_does_to_the_machine_what_it_does_to_the_network(group):
    session = open_session("rail-posts")
    autopilot.power_up(session)
    saw, chance = session.saw, random.Random(group)
    for failure in FELT[group::6]:
        saw.plant.harness.put(failure)
        session.advance(0.2)  # a fuse takes a moment to blow

        assert differs(saw) == [], failure
        saw.plant.harness.mend(failure)
        saw.bus.settle()
        assert saw.plant.harness.failures == ()
        if session.over:
            session = open_session("rail-posts")
            saw = session.saw
        if not saw.plant.power.switched or saw.controller.image["supply"] != "ON":
            with contextlib.suppress(CommandError):
                autopilot.power_up(session)
        if chance.random() < 0.2:
            with contextlib.suppress(CommandError):
                anything(session, chance)
    assert not any(saw.bus.spoiled(tag) for tag in (*INPUTS, *OUTPUTS))


def test_two_failures_on_one_wire_do_what_the_network_has():
    session = open_session("rail-posts")
    autopilot.power_up(session)
    harness = session.saw.plant.harness
    on = {tag: [each for each in FELT if each.tag == tag] for tag in ("B12", "B11", "S3", "Y21")}
    tried = 0
    for failures in on.values():
        for one, other in combinations(failures, 2):
            if {one.kind, other.kind} & {FailureKind.TO_0, FailureKind.COIL_SHORTED}:
                continue  # they blow the fuse
            harness.put(one)
            harness.put(other)
            session.saw.bus.settle()
            assert differs(session.saw) == [], (one, other)
            harness.mend(one)
            session.saw.bus.settle()
            assert differs(session.saw) == [], other
            harness.mend(other)
            tried += 1
    assert tried > 50


def test_with_the_isolator_off_its_line_side_stays_live_and_ohms_there_are_no_reading():
    session = open_session("rail-posts")
    meter = Meter(session.saw)

    assert meter.volts("X1:L1", "X1:L2").band == 400
    assert meter.volts("X1:L1", "X1:PE").band == 230
    assert meter.volts("Q0:2", "Q0:4").band == 0
    assert meter.ohms("X1:L1", "Q0:1").live
    assert meter.ohms("X1:L1", "Q0:1").blows
    assert not meter.ohms("Y12:1", "Y12:2").live
    assert meter.ohms("Y12:1", "Y12:2").ohms == pytest.approx(20.0, rel=0.02)
