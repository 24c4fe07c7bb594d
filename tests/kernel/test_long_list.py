"""A list that grows for months: what is old in it comes back as it was put in."""

import tracemalloc

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.kernel import long_list
from sim.kernel.long_list import LongList
from sim.records.kinds import EventKind
from sim.session.kept.heard import Event
from sim.session.kept.news import TRULY


@pytest.fixture(autouse=True)
def small_blocks(monkeypatch):
    monkeypatch.setattr(long_list, "_BLOCK", 4)


@given(st.lists(st.integers(), max_size=40), st.integers(-45, 45), st.integers(-45, 45),
       st.sampled_from([None, 1, 2, 3, -1, -2]))  # fmt: skip
def test_it_answers_as_a_list_does(rows, start, stop, step):
    long = LongList(rows)

    assert len(long) == len(rows)
    assert list(long) == rows
    assert list(reversed(long)) == rows[::-1]
    assert long[start:stop:step] == rows[start:stop:step]
    assert long == rows
    assert (long == [*rows, 1]) is False
    assert [long[place] for place in range(-len(rows), len(rows))] == rows * 2
    for place in (len(rows), -len(rows) - 1):
        with pytest.raises(IndexError):
            long[place]


def test_what_comes_while_one_reads_is_read_too():
    long, read = LongList(range(10)), []
    for row in long:
        read.append(row)
        if len(long) < 30:
            long.append(len(long))
    assert read == [*range(30)]


def test_messages_come_back_as_the_same_rows(monkeypatch):
    monkeypatch.setattr(long_list, "_BLOCK", 1024)
    events = LongList(Event(at, EventKind.CUT, TRULY(length=at / 7)) for at in range(5000))

    assert events[17] == Event(17, EventKind.CUT, TRULY(length=17 / 7))
    assert events[17].message.row is TRULY
    assert events[17].kind is EventKind.CUT


def test_ten_thousand_events_take_a_tenth_of_what_a_list_takes(monkeypatch):
    monkeypatch.setattr(long_list, "_BLOCK", 1024)

    def taken(into):
        tracemalloc.start()
        try:
            for at in range(10_000):
                into.append(Event(at * 1_000_003, EventKind.CUT, TRULY(length=0.23 + at / 1e9)))
            return tracemalloc.get_traced_memory()[0]
        finally:
            tracemalloc.stop()

    newest = taken(LongList()) - taken([]) * 2048 / 10_000  # at most so many lie open
    assert newest < taken([]) / 10
