"""A session that lasts: memory stays flat, its record reads in a stream and plays again the same."""

import sys
from pathlib import Path

import pytest

from sim.errors import CommandError
from sim.records.kinds import LONGEST_US
from sim.records.reading import read_record
from sim.session.opening import open_recorded
from sim.session.playback.replay import replay

sys.path.append(str(Path(__file__).resolve().parents[1] / "bench"))
from soak import memory_mb, soak

A_DAY_US = 86_400 * 1_000_000


@pytest.mark.skipif(
    not Path("/proc/self/statm").exists(), reason="reads the memory as Linux tells it"
)
def test_a_working_day_more_takes_no_more_memory_than_the_long_run_may(tmp_path):
    soak(
        20.0, tmp_path / "first.jsonl"
    )  # everything is loaded, and every list has its first blocks
    before = memory_mb()
    session, came = soak(20.0, tmp_path / "one.jsonl")

    assert came.hours >= 20.0
    assert came.cuts > 700
    # 10,000 hours may take 300 MB; a process that has just begun takes about 60, and this one is shared.
    assert came.memory_mb - before < 12.0
    assert len(session.trace.changes) == 20_000
    assert replay(tmp_path / "one.jsonl").same


def test_a_session_ends_where_a_record_could_tell_no_later_moment(tmp_path):
    path = tmp_path / "one.jsonl"
    session = open_recorded("rail-posts", path)
    session.press("supply.isolator")
    while not session.over:
        session.advance_us(A_DAY_US)
    with pytest.raises(CommandError, match="over"):
        session.press("supply.reset")
    session.close()

    assert session.going.now_us == LONGEST_US
    assert read_record(path).left_out == []
    assert replay(path).same


def test_hands_that_are_busy_then_come_back_all_the_same(tmp_path):
    session = open_recorded("rail-posts", tmp_path / "one.jsonl")
    session.advance_us(LONGEST_US - 1_000_000)
    session.inspect("last-piece")
    session.close()

    assert session.going.now_us <= LONGEST_US
    assert replay(tmp_path / "one.jsonl").same
