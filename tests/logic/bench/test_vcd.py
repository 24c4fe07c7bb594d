"""The value change dump: another reader finds in it every change that was traced, and no other."""

import io

import pytest
from vcdvcd import VCDVCD

from sim.control.table import TABLES
from sim.debrief.debrief import finish
from sim.logic.bench.vcd import STATE_BITS, dump, name_table, number_of, variable_of
from sim.pilot.autopilot import whole_job
from sim.session.opening import open_recorded, open_session


@pytest.fixture(scope="module")
def session():
    session = open_session("rail-posts")
    session.set("job.wanted", 2)
    whole_job(session)
    return session


def test_another_reader_finds_every_change_and_no_other(session):
    trace = session.trace
    read = VCDVCD(vcd_string=dump(trace, session.saw.clock.now_us))

    expected = {tag: [(0, number_of(tag, value))] for tag, value in trace.first.items()}
    for change in trace.changes:
        expected[change.tag].append((change.time_us, number_of(change.tag, change.value)))
    found = {
        tag: [(at_us, int(value, 2)) for at_us, value in read[_name(read, tag)].tv]
        for tag in trace.first
    }

    assert found == expected
    assert sum(map(len, found.values())) == len(trace.first) + len(trace.changes) > 300


def _name(read, tag):
    return next(n for n in read.signals if n.split("[")[0] == variable_of(tag))


def test_the_same_run_gives_the_same_bytes(session):
    again = open_session("rail-posts")
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


def test_the_command_writes_the_trace_of_a_record(drycycle, tmp_path):
    record, out = tmp_path / "r.jsonl", tmp_path / "run.vcd"
    session = open_recorded("rail-posts", record)
    session.set("job.wanted", 1)
    whole_job(session)
    finish(session)

    code, said, err = drycycle("trace", record, "-o", out)

    assert code == 0, err
    assert f"{len(session.trace.changes)} changes" in said
    assert io.StringIO(out.read_text()).read() == dump(session.trace, session.saw.clock.now_us)
