"""The clock: order, cancelling, and time that only goes forward."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.kernel.clock import Clock

delays = st.integers(0, 50)
plans = st.lists(st.tuples(delays, st.integers(0, 2), st.lists(delays, max_size=3)), max_size=12)


def run(plan, stops):
    """Make the appointments of the plan, each of which makes more; return every call made."""
    clock = Clock()
    made, calls = [], []

    def make(delay_us, priority, more):
        number = len(made)
        made.append((clock.now_us + delay_us, priority, number))

        def call():
            calls.append((clock.now_us, priority, number))
            for further in more:
                make(further, priority, ())

        clock.after(delay_us, call, priority)

    for row in plan:
        make(*row)
    for stop_us in stops:
        clock.run_until(clock.now_us + stop_us)
    clock.run_until(clock.now_us + 10_000)
    return made, calls


@settings(max_examples=50)
@given(plans, st.lists(delays, max_size=10))
def test_every_call_is_made_once_and_at_its_time(plan, stops):
    made, calls = run(plan, stops)

    assert sorted(calls) == sorted(made)


@settings(max_examples=50)
@given(plans)
def test_time_never_goes_back_and_an_instant_keeps_its_order(plan):
    made, calls = run([(delay, priority, ()) for delay, priority, _ in plan], [])

    assert calls == sorted(made)


@settings(max_examples=50)
@given(plans, st.lists(delays, max_size=10))
def test_how_often_somebody_looks_changes_nothing(plan, stops):
    assert run(plan, stops) == run(plan, [])


@settings(max_examples=50)
@given(st.lists(delays, min_size=1, max_size=12), st.data())
def test_a_cancelled_call_is_never_made_and_the_others_are(delays_us, data):
    clock = Clock()
    calls = []
    appointments = [
        clock.after(delay, lambda number=number: calls.append(number))
        for number, delay in enumerate(delays_us)
    ]
    cancelled = data.draw(st.sets(st.sampled_from(range(len(delays_us)))))
    for number in cancelled:
        appointments[number].cancel()
        appointments[number].cancel()
    clock.run_until(100)

    kept = [n for n in range(len(delays_us)) if n not in cancelled]
    assert calls == sorted(kept, key=lambda n: (delays_us[n], n))
    assert not any(appointment.live for appointment in appointments)


def test_a_call_may_cancel_another_that_is_due_at_the_same_instant():
    clock = Clock()
    calls = []
    second = None
    clock.at(5, lambda: second.cancel())
    second = clock.at(5, lambda: calls.append("second"))
    clock.run_until(10)

    assert calls == []


def test_a_call_planned_anew_is_made_only_at_its_new_time():
    clock = Clock()
    calls = []
    old = clock.at(5, lambda: calls.append(("old", clock.now_us)))
    clock.run_until(3)
    old.cancel()
    clock.at(8, lambda: calls.append(("new", clock.now_us)))
    clock.run_until(20)

    assert calls == [("new", 8)]


def test_a_lower_priority_number_goes_first_at_one_instant():
    clock = Clock()
    calls = []
    clock.at(5, lambda: calls.append("late"), priority=1)
    clock.at(5, lambda: calls.append("early"))
    clock.run_until(5)

    assert calls == ["early", "late"]


def test_an_appointment_in_the_past_is_refused():
    clock = Clock()
    clock.run_until(10)

    with pytest.raises(ValueError, match="9 us lies before now, 10 us"):
        clock.at(9, lambda: None)


@pytest.mark.parametrize("time_us", [4, 12])
def test_the_clock_neither_goes_back_nor_passes_over_an_appointment(time_us):
    clock = Clock()
    clock.run_until(5)
    clock.at(11, lambda: None)

    with pytest.raises(ValueError, match="cannot rest"):
        clock.rest_until(time_us)
    assert clock.now_us == 5


def test_resting_until_an_appointment_leaves_it_to_be_made():
    clock = Clock()
    calls = []
    clock.at(11, lambda: calls.append(clock.now_us))
    clock.rest_until(11)

    assert calls == []
    assert clock.next_us() == 11
    assert clock.step()
    assert calls == [11]
    assert not clock.step()
    assert clock.next_us() is None
