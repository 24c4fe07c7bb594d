"""The wires: edges only, spoiled wires, the order of delivery, and feedback that never ends."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.bugs import TableError
from sim.signals import (
    BY_KEY,
    BY_TAG,
    INPUTS,
    NORMALLY_CLOSED,
    OUTPUTS,
    SIGNALS,
    Bus,
    Direction,
    Source,
    crossed,
    stuck,
)

DISTORTIONS = {"stuck on": stuck(True), "stuck off": stuck(False), "crossed": crossed}


def listened(direction=Direction.INPUT):
    bus = Bus()
    edges = []
    bus.listen(direction, lambda tag, value: edges.append((tag, value)))
    return bus, edges


def test_every_wire_has_one_row_and_every_key_one_wire():
    assert len(BY_TAG) == len(SIGNALS)
    assert len(BY_KEY) == sum(1 for row in SIGNALS if row.key)
    assert set(INPUTS) | set(OUTPUTS) == set(BY_TAG)
    assert not set(INPUTS) & set(OUTPUTS)


def test_keys_latches_and_the_mode_switch_have_a_name_to_press_and_nothing_else_has():
    for row in SIGNALS:
        assert bool(row.key) == (row.source in (Source.KEY, Source.LATCH, Source.SWITCH)), row.tag
    switch = [row.tag for row in SIGNALS if row.source is Source.SWITCH]
    assert switch == ["S6A", "S6B", "S6C"]


def test_a_key_at_rest_is_up_unless_its_contact_is_normally_closed():
    for row in BY_KEY.values():
        if row.source is Source.SWITCH:
            assert row.at_rest == (row.key == "mode.manual"), row.tag  # where the switch is found
        else:
            assert row.at_rest == (row.tag in ("S1", "S2", "S9")), row.tag
    assert {"S1", "S2", "S9"} == NORMALLY_CLOSED


def test_a_wire_that_can_be_set_right_and_wrong_says_what_that_looks_like():
    for row in SIGNALS:
        assert bool(row.fails) == bool(row.mends), row.tag
        assert not row.good or row.fails, row.tag
        assert {name for name, _ in row.bad} <= {name for name, _ in row.good}, row.tag
        assert not set(row.good) & set(row.bad), row.tag


def test_safety_wires_read_unsafe_when_cut():
    for tag in (
        "S1",
        "S2",
        "S9",
        "F1",
        "B41",
        "B42",
        "B51",
        "B52",
        "B53",
        "B54",
        "B61",
        "B62",
        "B63",
    ):
        assert BY_TAG[tag].at_rest, tag


def test_an_edge_is_told_once_and_no_change_is_not_told():
    bus, edges = listened()
    bus.drive("B1", True)
    bus.drive("B1", True)
    bus.settle()
    bus.drive("B1", True)
    bus.settle()

    assert edges == [("B1", True)]
    assert bus.seen["B1"]
    assert bus.driven("B1")


def test_a_wire_that_went_and_came_back_is_told_both_ways():
    bus, edges = listened()
    bus.drive("B1", True)
    bus.drive("B1", False)
    bus.settle()

    assert edges == [("B1", True), ("B1", False)]


def test_a_listener_hears_its_own_direction_only():
    bus, edges = listened(Direction.OUTPUT)
    bus.drive("B1", True)
    bus.drive("Q1", True)
    bus.settle()

    assert edges == [("Q1", True)]


def test_changes_are_delivered_in_the_order_in_which_they_came_whoever_makes_them():
    bus = Bus()
    heard = []

    def plant(tag, value):
        heard.append(tag)
        if tag == "Q1":
            bus.drive("B1", value)
            bus.drive("B2", value)

    def control(tag, value):
        heard.append(tag)
        if tag == "B1":
            bus.drive("Q3", value)

    bus.listen(Direction.OUTPUT, plant)
    bus.listen(Direction.INPUT, control)
    bus.drive("Q1", True)
    bus.drive("Y11", True)
    assert heard == []
    bus.settle()

    assert heard == ["Q1", "Y11", "B1", "B2", "Q3"]


def test_feedback_without_end_is_a_table_error_that_names_a_signal():
    bus = Bus()
    bus.listen(Direction.INPUT, lambda _tag, value: bus.drive("B1", not value))
    bus.drive("B1", True)

    with pytest.raises(TableError, match="signal B1: the signals do not settle"):
        bus.settle()


def test_a_stuck_wire_shows_its_value_and_no_edges():
    bus, edges = listened()
    bus.distort("B1", stuck(True))
    bus.settle()
    bus.drive("B1", True)
    bus.drive("B1", False)
    bus.settle()

    assert edges == [("B1", True)]
    assert bus.spoiled("B1")
    assert not bus.driven("B1")


def test_a_crossed_wire_shows_the_opposite():
    bus, edges = listened()
    bus.distort("B1", crossed)
    bus.drive("B1", True)
    bus.settle()

    assert edges == [("B1", True), ("B1", False)]


def test_a_mended_wire_shows_what_drives_it():
    bus, edges = listened()
    bus.distort("B1", stuck(False))
    bus.drive("B1", True)
    bus.settle()
    assert edges == []
    bus.distort("B1", None)
    bus.settle()

    assert edges == [("B1", True)]
    assert not bus.spoiled("B1")


@settings(max_examples=50)
@given(
    st.lists(
        st.one_of(
            st.tuples(st.sampled_from(["B1", "B2"]), st.booleans()),
            st.tuples(st.sampled_from(["B1", "B2"]), st.sampled_from([None, *DISTORTIONS])),
            st.just(("", "settle")),
        ),
        max_size=40,
    )
)
def test_what_is_seen_is_what_is_driven_through_the_wire_and_edges_alternate(acts):
    bus, edges = listened()
    driven = {"B1": False, "B2": False}
    spoiled = dict.fromkeys(driven)
    for tag, act in acts:
        if act == "settle":
            bus.settle()
        elif isinstance(act, bool):
            driven[tag] = act
            bus.drive(tag, act)
        else:
            spoiled[tag] = act
            bus.distort(tag, DISTORTIONS.get(act))
        for name, value in driven.items():
            wire = DISTORTIONS.get(spoiled[name])
            assert bus.seen[name] == (wire(value) if wire else value)
    bus.settle()
    for tag in driven:
        told = [value for name, value in edges if name == tag]
        assert told == [number % 2 == 0 for number in range(len(told))]
        assert bus.seen[tag] == (told[-1] if told else False)
