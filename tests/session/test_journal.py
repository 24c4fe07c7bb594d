"""What a session writes down of an order that was refused: the reason in words, or under a seal."""

from types import SimpleNamespace

import pytest

from sim.records.acts import OrderRefused
from sim.records.seal import opened_message
from sim.session.kept.journal import Journal
from sim.words.message import plain

WHY = plain("test.journal.why", "The pump is worn already.")


@pytest.mark.parametrize("order", ["put-in", "take-out"])
def test_why_an_order_on_a_fault_was_refused_does_not_stand_in_the_record_in_words(order):
    lines = []
    journal = Journal(SimpleNamespace(append=lines.append), "n")
    for at_us in (5, 6):
        journal.act(OrderRefused(at_us, order, WHY))

    assert "journal.why" not in str(lines)
    assert [set(line) for line in lines] == [{"act", "at_us", "order", "sealed"}] * 2
    assert lines[0]["sealed"] != lines[1]["sealed"]
    assert "journal.why" in opened_message(1, lines[1]["sealed"], "n")


@pytest.mark.parametrize("order", ["freeze", "mark", ""])
def test_why_any_other_order_was_refused_stands_there_in_words(order):
    lines = []
    Journal(SimpleNamespace(append=lines.append), "n").act(OrderRefused(5, order, WHY))

    assert lines == [{"act": "order_refused", "at_us": 5, "order": order, "why": WHY.plain()}]
