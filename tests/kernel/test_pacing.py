"""Pacing: frames become whole microseconds, none is lost, and a stalled frame does not leap."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.kernel import pacing
from sim.kernel.pacing import LONGEST_FRAME_S, Pacer


@settings(max_examples=50)
@given(st.lists(st.floats(0, 0.25), max_size=200), st.sampled_from([0.25, 1.0, 10.0, 60.0]))
def test_frames_of_any_length_add_up(frames_s, speed):
    pacer = Pacer(speed)
    total_us = sum(pacer.simulated_us(frame_s) for frame_s in frames_s)

    assert total_us == pytest.approx(sum(frames_s) * speed * 1e6, abs=1.001)


def test_a_minute_at_sixty_frames_a_second_is_a_minute():
    pacer = Pacer()
    total_us = sum(pacer.simulated_us(1 / 60) for _ in range(3600))

    assert abs(total_us - 60_000_000) <= 1


def test_a_window_that_stalled_does_not_leap_ahead(monkeypatch):
    wall = [100.0]
    monkeypatch.setattr(pacing.time, "perf_counter", lambda: wall[0])
    pacer = Pacer()
    wall[0] += 0.02
    assert pacer.frame_us() == pytest.approx(20_000, abs=1)
    wall[0] += 30.0
    assert pacer.frame_us() == pytest.approx(LONGEST_FRAME_S * 1e6, abs=1)
    assert pacer.frame_us() <= 1
