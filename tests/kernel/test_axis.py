"""An axis: marks are passed once, at their microsecond, whoever looks and however often."""

from fractions import Fraction
from itertools import pairwise
from math import ceil, floor

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.kernel.axis import Axis
from sim.kernel.clock import Clock
from sim.kernel.motion import Jerky, Ramp, Rest, Tabled

US = 1_000_000
ROUNDING = 2e-9

# Places and rates that binary numbers hold exactly, so that exact sums can judge the axis.
places = st.integers(-64, 64).map(lambda n: n / 1024)
rates = st.sampled_from([1 / 4096, 1 / 512, 1 / 64, 1 / 16, 1 / 8])
names = st.sampled_from("ABC")
commands = st.one_of(
    st.tuples(st.just("go"), places, rates),
    st.tuples(st.just("jerk"), places, rates, st.sampled_from([0.0, 0.25, 0.75])),
    st.tuples(st.just("fall"), st.floats(1e-5, 0.05), st.floats(0.01, 3)),
    st.tuples(st.just("stop")),
    st.tuples(st.just("mark"), names, places, st.booleans()),
    st.tuples(st.just("unmark"), names),
)
programs = st.lists(st.tuples(st.integers(0, 3 * US), commands), min_size=1, max_size=25)
instants = st.lists(st.integers(0, 40 * US), max_size=30)


def obey(axis, command, note):
    verb, *words = command
    if verb == "go":
        end, rate = words
        axis.follow(Ramp(axis.position, end, rate))
    elif verb == "jerk":
        end, rate, stands = words
        axis.follow(Jerky(Ramp(axis.position, end, rate), 0.5, stands))
    elif verb == "fall":
        depth, duration_s = words
        top = axis.position
        axis.follow(
            Tabled(
                at_s=lambda s: top - depth * (s / duration_s) ** 2,
                when_s=lambda y: duration_s * max((top - y) / depth, 0.0) ** 0.5,
                since_s=0.0,
                end_s=duration_s,
            )
        )
    elif verb == "stop":
        axis.stop()
    elif verb == "mark":
        name, place, includes = words
        axis.mark(name, place, note(name), includes=includes)
    else:
        axis.unmark(*words)


def run(program, looks=()):
    """Run a program; return every crossing, and where the axis stood after every command."""
    clock = Clock()
    axis = Axis(clock, 0.0)
    crossings, stood = [], []

    def note(name):
        return lambda beyond: crossings.append((clock.now_us, name, beyond, axis.position))

    def look():
        assert isinstance(axis.position, float)
        assert isinstance(axis.moving, bool)

    at_us, ends = 0, sorted(looks)
    for pause_us, command in program:
        at_us += pause_us
        while ends and ends[0] <= at_us:
            clock.run_until(ends.pop(0))
            look()
        clock.run_until(at_us)
        obey(axis, command, note)
        stood.append((at_us, axis.position, axis.rate))
    for instant in [*ends, at_us + 1000 * US]:
        clock.run_until(max(instant, clock.now_us))
        look()
    return crossings, stood, axis.position


@settings(max_examples=60)
@given(programs, instants)
def test_looking_at_any_frame_rate_gives_the_same_run(program, looks):
    assert run(program, looks) == run(program)


@settings(max_examples=60)
@given(programs)
def test_a_mark_is_passed_to_and_fro_in_turn_and_time_goes_forward(program):
    crossings, _, _ = run([row for row in program if row[1][0] != "unmark"])

    assert [at for at, *_ in crossings] == sorted(at for at, *_ in crossings)
    for name in "ABC":
        sides = [beyond for _, mark, beyond, _ in crossings if mark == name]
        assert all(one != other for one, other in pairwise(sides))


@settings(max_examples=60)
@given(programs, instants)
def test_the_side_is_always_that_of_the_position(program, looks):
    clock = Clock()
    axis = Axis(clock, 0.0)
    marks = {}
    for pause_us, command in program:
        clock.run_until(clock.now_us + pause_us)
        obey(axis, command, lambda _name: lambda _beyond: None)
        if command[0] == "mark":
            marks[command[1]] = command[2:]
        elif command[0] == "unmark":
            marks.pop(command[1], None)
        for look_us in [0, *looks[:3]]:
            clock.run_until(clock.now_us + look_us % 999_999)
            for name, (place, includes) in marks.items():
                off = axis.position - place
                beyond = off >= 0 if includes else off > 0
                assert axis.beyond(name) == beyond or abs(off) < ROUNDING


@given(places, places, rates, st.integers(-64, 64).map(lambda n: n / 1024), st.booleans())
def test_a_mark_is_passed_at_the_exact_microsecond(start, end, rate, place, includes):
    clock = Clock()
    axis = Axis(clock, start)
    crossings = []
    axis.mark(
        "A", place, lambda beyond: crossings.append((clock.now_us, beyond)), includes=includes
    )
    clock.run_until(7)
    axis.follow(Ramp(start, end, rate))
    clock.run_until(2000 * US)

    way, rising = Fraction(place) - Fraction(start), end > start
    exact_us = abs(way) / Fraction(rate) * US
    on_the_way = (way > 0) == rising or way == 0
    before = start < place or (start == place and not includes)
    after = end > place or (end == place and includes)
    if start == end or before != after or not on_the_way:
        assert crossings == []
    elif includes == rising:
        assert crossings == [(7 + ceil(exact_us), rising)]
    else:
        assert crossings == [(7 + floor(exact_us) + 1, rising)]


@pytest.mark.parametrize(("includes", "end"), [(False, 0.6), (True, -0.6)])
def test_an_axis_stopped_before_it_has_moved_has_passed_nothing(includes, end):
    clock = Clock()
    axis = Axis(clock, 0.0)
    crossings = []
    axis.mark("limit", 0.0, crossings.append, includes=includes)
    axis.follow(Ramp(0.0, end, 0.15))
    clock.run_until(0)
    axis.stop()
    clock.run_until(US)

    assert crossings == []
    axis.follow(Ramp(0.0, end, 0.15))
    clock.run_until(US + 1)
    assert crossings == [end > 0]


def test_an_axis_too_slow_to_see_move_still_leaves_its_mark_in_the_end():
    clock = Clock()
    axis = Axis(clock, 0.2)
    crossings = []
    axis.mark("limit", 0.2, lambda beyond: crossings.append((clock.now_us, beyond)))
    axis.follow(Ramp(0.2, 0.1, 1e-12))
    clock.run_until(1000 * US)

    ((when_us, beyond),) = crossings
    assert not beyond
    assert 1 < when_us < 1000


@pytest.mark.parametrize("includes", [True, False])
def test_an_axis_that_starts_with_a_stand_leaves_its_mark_when_it_moves(includes):
    clock = Clock()
    axis = Axis(clock, 0.2)
    passed_us = []
    place = 0.2 if includes else 0.2 - 1e-4
    axis.mark("limit", place, lambda _: passed_us.append(clock.now_us), includes=includes)
    axis.follow(Jerky(Ramp(0.2, 0.0, 0.01), period_s=1.5, stands=0.7))
    clock.run_until(10 * US)

    moved_us = 0 if includes else 1e-4 / 0.01 * 0.3 * US
    assert passed_us == [pytest.approx(1.05 * US + moved_us, abs=1.001)]


def test_an_axis_put_elsewhere_is_at_rest_there_and_tells_the_marks_it_changed_sides_of():
    clock = Clock()
    axis = Axis(clock, 0.5)
    sides = []
    axis.mark("A", 0.3, lambda beyond: sides.append(("A", beyond)))
    axis.mark("B", 0.1, lambda beyond: sides.append(("B", beyond)))
    axis.follow(Ramp(0.5, 0.6, 0.1))
    axis.put(0.2)
    clock.run_until(10 * US)

    assert sides == [("A", False)]
    assert axis.position == 0.2
    assert not axis.moving


def test_marks_taken_off_together_are_passed_no_more_and_the_others_still_are():
    clock = Clock()
    axis = Axis(clock, 0.0)
    passed = []
    for name, place in (("A", 0.1), ("B", 0.2), ("C", 0.3)):
        axis.mark(name, place, lambda _, name=name: passed.append(name))
    axis.follow(Ramp(0.0, 1.0, 0.1))
    axis.unmark("A", "none of them", "B")
    clock.run_until(10 * US)

    assert passed == ["C"]


def test_two_marks_at_one_place_are_both_passed():
    clock = Clock()
    axis = Axis(clock, 0.0)
    crossings = []
    axis.mark("A", 0.3, lambda _: crossings.append(("A", clock.now_us)))
    axis.mark("B", 0.3, lambda _: crossings.append(("B", clock.now_us)))
    axis.follow(Ramp(0.0, 0.6, 0.15))
    clock.run_until(10 * US)

    assert crossings == [("A", 2 * US), ("B", 2 * US)]


def test_what_a_mark_sets_off_may_turn_the_axis_back():
    clock = Clock()
    axis = Axis(clock, 0.0)
    crossings = []

    def turn_back(beyond):
        crossings.append((clock.now_us, beyond))
        if beyond:
            axis.follow(Ramp(axis.position, 0.0, 0.15))

    axis.mark("A", 0.3, turn_back)
    axis.follow(Ramp(0.0, 0.6, 0.15))
    clock.run_until(10 * US)

    assert crossings == [(2 * US, True), (2 * US + 1, False)]
    assert axis.position == 0.0


def test_moving_a_mark_past_a_standing_axis_says_so_at_once():
    clock = Clock()
    axis = Axis(clock, 0.1)
    sides = []
    axis.mark("stop", 0.0, sides.append)
    axis.mark("stop", 0.2, sides.append)
    axis.mark("stop", 0.2, sides.append)
    axis.mark("stop", 0.1, sides.append)

    assert sides == [False, True]
    assert axis.beyond("stop")


def test_a_mark_set_again_where_it_was_keeps_its_side():
    clock = Clock()
    axis = Axis(clock, 0.0)
    sides = []
    axis.mark("stop", 0.3, sides.append)
    axis.follow(Ramp(0.0, 0.3 - 1e-12, 0.15))
    axis.mark("near", 0.3 - 1e-10, lambda _: None)
    clock.run_until(10 * US)
    assert sides == [True]  # as near as makes no difference
    axis.mark("stop", 0.3, sides.append)

    assert sides == [True]


def test_a_mark_set_again_after_the_axis_jumped_looks_where_the_axis_is():
    clock = Clock()
    axis = Axis(clock, 0.5)
    axis.mark("A", 0.3, lambda _: None)
    axis.follow(Rest(0.1))
    axis.mark("A", 0.3, lambda _: None)

    assert not axis.beyond("A")


def test_a_mark_taken_away_is_not_passed():
    clock = Clock()
    axis = Axis(clock, 0.0)
    sides = []
    axis.mark("A", 0.3, sides.append)
    axis.follow(Ramp(0.0, 0.6, 0.15))
    axis.unmark("A")
    axis.unmark("A")
    clock.run_until(10 * US)

    assert sides == []


def test_a_segment_planned_anew_goes_on_from_where_it_is():
    clock = Clock()
    axis = Axis(clock, 0.0)
    passed_us = []
    axis.mark("A", 0.3, lambda _: passed_us.append(clock.now_us))
    axis.follow(Ramp(0.0, 0.6, 0.15))
    clock.run_until(US)
    axis.follow(Ramp(axis.position, 0.6, 0.05))
    clock.run_until(20 * US)

    assert passed_us == [4 * US]


def test_an_axis_put_somewhere_else_tells_every_mark_between():
    clock = Clock()
    axis = Axis(clock, 0.0)
    told = []
    axis.mark("near", 1.0, lambda beyond: told.append(("near", beyond)))
    axis.mark("far", 3.0, lambda beyond: told.append(("far", beyond)))

    axis.put(2.0)

    assert (axis.position, axis.moving, told) == (2.0, False, [("near", True)])


@pytest.mark.parametrize("end", [1.0, -1.0])
def test_a_mark_set_ahead_is_passed_step_by_step_as_one_made_anew(end):
    def stepped(again):
        clock, passed = Clock(), []
        axis, step = Axis(clock, 0.0), end / 7

        def passes(beyond):
            passed.append((clock.now_us, axis.position, beyond))
            again(axis, axis.position + step, passes)

        axis.follow(Ramp(0.0, end, 0.3))
        axis.mark("step", step, passes, includes=end > 0.0)
        clock.run_until(10 * US)
        return passed

    def made_anew(axis, place, passes):
        axis.unmark("step")
        axis.mark("step", place, passes, includes=end > 0.0)

    ahead = stepped(lambda axis, place, _passes: axis.set_ahead("step", place))
    assert ahead == stepped(made_anew)
    assert len(ahead) >= 6
    assert all(beyond == (end > 0.0) for _, _, beyond in ahead)


def test_a_switch_lets_go_behind_where_it_makes():
    clock = Clock()
    axis = Axis(clock, 0.0)
    passed = []

    def switch(made):
        passed.append((round(axis.position, 6), made))
        axis.shift_behind("switch", 0.2 if made else 0.3)

    axis.mark("switch", 0.3, switch)
    for end in (0.6, 0.25, 0.6, 0.0, 0.6):
        axis.follow(Ramp(axis.position, end, 0.1))
        clock.run_until(clock.now_us + 10 * US)

    assert passed == [(0.3, True), (0.2, False), (0.3, True)]


def test_a_mark_set_before_the_next_one_is_passed_first():
    clock = Clock()
    axis = Axis(clock, 0.0)
    passed = []
    axis.mark("far", 0.5, lambda _: passed.append("far"))
    axis.follow(Ramp(0.0, 0.6, 0.1))
    axis.mark("further", 0.55, lambda _: passed.append("further"))
    axis.mark("near", 0.2, lambda _: passed.append("near"))
    axis.mark("out of reach", 0.7, lambda _: passed.append("out of reach"))
    clock.run_until(10 * US)

    assert passed == ["near", "far", "further"]


def test_a_mark_moved_away_is_not_passed_where_it_was():
    clock = Clock()
    axis = Axis(clock, 0.0)
    passed_us = []
    axis.mark("A", 0.2, lambda _: passed_us.append(clock.now_us))
    axis.follow(Ramp(0.0, 0.6, 0.1))
    axis.mark("A", 0.4, lambda _: passed_us.append(clock.now_us))
    clock.run_until(10 * US)

    assert passed_us == [4 * US]
