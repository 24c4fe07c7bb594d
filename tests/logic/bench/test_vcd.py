"""The value change dump: another reader finds in it every change that was traced, and no other."""

import io

import pytest
from vcdvcd import VCDVCD

from sim.control.table import TABLES
from sim.debrief.debrief import finish
from sim.logic.bench.vcd import STATE_BITS, dump, firsts, name_table, number_of, variable_of
from sim.pilot.autopilot import power_up, whole_job
from sim.session.opening import open_recorded, open_session
from sim.signals import INPUTS, OUTPUTS
from sim.wiring.failures import Failure, FailureKind


@pytest.fixture(scope="module")
def session():
    session = open_session("rail-posts")
    session.trace.keep_all()
    session.set("job.wanted", 2)
    whole_job(session)
    return session


def _read(session):
    saw = session.saw
    read = VCDVCD(vcd_string=dump(session.trace, saw.clock.now_us, saw.plant.harness.loom))
    return lambda tag: [(at_us, int(value, 2)) for at_us, value in read[_name(read, tag)].tv]


def test_another_reader_finds_every_change_and_no_other(session):
    trace = session.trace
    read = _read(session)

    expected = {tag: [(0, number_of(tag, value))] for tag, value in firsts(trace).items()}
    for change in (*trace.ends, *trace.changes):
        if change.tag not in OUTPUTS:  # those are there by their two ends
            expected[change.tag].append((change.time_us, number_of(change.tag, change.value)))
    found = {tag: read(tag) for tag in expected}

    assert found == expected
    assert {f"{tag}.{end}" for tag in OUTPUTS for end in ("card", "coil")} <= set(found)
    assert {f"{tag}.device" for tag in INPUTS} <= set(found)
    assert sum(map(len, found.values())) > 300


def test_both_ends_of_a_sound_wire_show_the_same(session):
    read = _read(session)

    for tag in INPUTS:
        assert read(f"{tag}.device") == read(tag)
    for tag in OUTPUTS:
        assert read(f"{tag}.card") == read(f"{tag}.coil"), tag


def test_a_broken_wire_shows_at_one_end_only():
    session = open_session("rail-posts")
    session.trace.keep_all()
    saw = session.saw
    loom = saw.plant.harness.loom
    power_up(session)
    session.advance(1)
    (signal,) = [wire for wire in loom.wires.values() if set(wire.ends) == {"B22:4", "X2:38"}]
    (coil,) = [wire for wire in loom.wires.values() if "Y31:1" in wire.ends]
    saw.plant.harness.put(Failure(FailureKind.OPEN, "B22", signal.number))
    saw.plant.harness.put(Failure(FailureKind.OPEN, "Y31", coil.number))
    saw.bus.settle()
    broken_us = saw.clock.now_us
    session.advance(1)
    session.hold("cutting_vise.clamp", 1)
    read = _read(session)

    assert read("B22.device") == [(0, 1)]
    assert read("B22") == [(0, 1), (broken_us, 0)]
    assert any(value for _, value in read("Y31.card"))
    assert read("Y31.coil") == [(0, 0)]


def test_a_coil_has_no_current_once_the_safety_relay_is_out_whatever_the_card_does():
    session = open_session("rail-posts")
    session.trace.keep_all()
    power_up(session)
    session.advance(1)
    session.saw.bus.force("Q2", True)
    session.press("supply.emergency_stop")
    stopped_us = session.saw.clock.now_us
    session.advance(1)
    read = _read(session)

    assert read("Q2.card")[-1][1] == 1
    assert read("Q2.coil")[-1][1] == 0
    assert read("Q2.coil")[-1][0] <= stopped_us


def _name(read, tag):
    return next(n for n in read.signals if n.split("[")[0] == variable_of(tag))


def test_a_trace_that_has_dropped_its_beginning_is_dumped_from_where_it_is_whole(monkeypatch):
    session = open_session("rail-posts")
    monkeypatch.setattr(session.trace, "_most", 60)
    session.set("job.wanted", 1)
    whole_job(session)
    trace, saw = session.trace, session.saw
    read = _read(session)

    assert trace.begun_us > 0
    assert len(trace.changes) == 60
    for tag in INPUTS:
        assert read(tag)[-1][1] == saw.bus.seen[tag]


def test_the_same_run_gives_the_same_bytes(session):
    again = open_session("rail-posts")
    again.trace.keep_all()
    again.set("job.wanted", 2)
    whole_job(again)

    assert dump(again.trace, again.saw.clock.now_us) == dump(
        session.trace, session.saw.clock.now_us
    )


def test_no_string_variable_and_no_date_stand_in_the_dump(session):
    text = dump(session.trace, session.saw.clock.now_us)
    header = text.partition("$enddefinitions")[0]

    assert "$var string" not in header
    assert "$date" not in header
    assert text.isascii()


def test_the_name_table_tells_every_state_of_every_machine_by_its_number():
    lines = set(name_table().splitlines())

    for table in TABLES:
        assert len(table.states) < 2**STATE_BITS
        for state in table.states:
            number = number_of(table.name, state)
            assert f"{table.name} {number:08b} {state}" in lines


def test_the_comment_says_where_each_wire_ends():
    loom = open_session("rail-posts").saw.plant.harness.loom

    assert "B11 I5.2, A3:10" in name_table(loom).splitlines()


def test_the_command_writes_the_trace_of_a_record(drycycle, tmp_path):
    record, out = tmp_path / "r.jsonl", tmp_path / "run.vcd"
    session = open_recorded("rail-posts", record)
    session.trace.keep_all()
    session.set("job.wanted", 1)
    whole_job(session)
    finish(session)

    code, said, err = drycycle("trace", record, "-o", out)

    assert code == 0, err
    assert f"{len(session.trace.changes)} changes" in said
    assert io.StringIO(out.read_text()).read() == dump(
        session.trace, session.saw.clock.now_us, session.saw.plant.harness.loom
    )
