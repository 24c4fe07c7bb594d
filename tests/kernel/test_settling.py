"""Values that run out towards a target: the curve, and the time at which it passes a level."""

from math import exp

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from sim.kernel.clock import Clock
from sim.kernel.settling import Settling
from sim.units import US

values = st.floats(-100, 100)


@settings(max_examples=60)
@given(values, values, st.floats(0.1, 1000), st.floats(0, 1))
def test_a_level_is_passed_when_it_says_it_will_be(start, target, tau_s, share):
    clock = Clock()
    value = Settling(clock, start, tau_s)
    value.aim(target)
    level = start + share * (target - start)
    when_s = value.time_to_s(level)
    assume(when_s is not None)
    assume(when_s < 20 * tau_s)
    clock.run_until(round(when_s * US))

    assert value.now == pytest.approx(level, abs=1e-3 * (1 + abs(target - start)))


@settings(max_examples=60)
@given(values, values, st.floats(0.1, 100), st.lists(st.integers(0, 10 * US), max_size=8))
def test_looking_on_the_way_changes_nothing_and_aiming_where_it_aims_nothing_either(
    start, target, tau_s, looks_us
):
    clock = Clock()
    looked, left = Settling(clock, start, tau_s), Settling(clock, start, tau_s)
    for value in (looked, left):
        value.aim(target)
    for look_us in looks_us:
        clock.run_until(clock.now_us + look_us)
        looked.aim(target)

    assert looked.now == pytest.approx(left.now, abs=1e-9)


def test_it_runs_out_by_the_exponential():
    clock = Clock()
    value = Settling(clock, 6.0, 600.0)
    value.aim(0.0)
    clock.run_until(600 * US)

    assert value.now == pytest.approx(6.0 * exp(-1))


@pytest.mark.parametrize("level", [6.5, 6.0, 0.0, -1.0])
def test_a_level_off_its_way_is_never_passed(level):
    value = Settling(Clock(), 6.0, 600.0)
    value.aim(0.0)

    assert value.time_to_s(level) is None


def test_a_jump_keeps_the_target():
    clock = Clock()
    value = Settling(clock, 0.0, 10.0)
    value.aim(1.0)
    value.jump(5.0)
    assert value.now == 5.0
    clock.run_until(1000 * US)

    assert value.now == pytest.approx(1.0)
