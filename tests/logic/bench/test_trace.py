"""The trace: it holds every change with its instant, and the saw does not notice it."""

from sim.logic.bench.trace import KEPT, Trace
from sim.pilot.autopilot import make_ready, power_up, whole_job
from sim.saw import Saw
from sim.scenario.machines import first_machine
from sim.session.opening import open_session
from sim.signals import Direction, stuck


def test_walking_the_changes_from_the_first_values_gives_the_saw_as_it_stands():
    session = open_session("rail-posts")
    session.set("job.wanted", 2)
    whole_job(session)
    now = dict(session.trace.first)
    for change in session.trace.changes:
        assert now[change.tag] != change.value  # a change is one
        now[change.tag] = change.value

    image = session.saw.controller.image
    assert {tag: session.saw.bus.seen.get(tag, image.get(tag)) for tag in now} == now
    assert now["mode"] == "PRODUCTION"


def test_the_changes_stand_in_the_order_of_time():
    session = open_session("rail-posts")
    session.set("job.wanted", 1)
    whole_job(session)

    times = [change.time_us for change in session.trace.changes]

    assert len(times) > 100
    assert times == sorted(times)


def test_a_saw_with_a_second_trace_on_it_does_the_same_as_one_without(stair_rod):
    plain, traced = Saw(first_machine(), stair_rod), Saw(first_machine(), stair_rod)
    trace = Trace(traced)
    for saw in (plain, traced):
        saw.press("supply.isolator")
        saw.press("supply.reset")
        saw.release("supply.reset")
        saw.press("supply.control_on")
        saw.advance_to(5_000_000)
        saw.press("shuttle.back")
        saw.advance_to(9_000_000)

    assert plain.digest() == traced.digest()
    assert trace.last_change("shuttle").value == traced.controller.machines["shuttle"].state


def test_the_last_change_of_a_switch_says_when_and_what():
    session = open_session("rail-posts")
    power_up(session)
    make_ready(session)

    up = session.trace.last_change("B11")

    assert up is not None
    assert up.value is True
    assert 0 < up.time_us <= session.saw.clock.now_us
    assert session.trace.last_change("B53") is None


def test_the_last_change_is_known_whenever_it_is_asked_for_and_when_it_is_kept_no_more(stair_rod):
    saw = Saw(first_machine(), stair_rod)
    asked, unasked = Trace(saw), Trace(saw)
    asked._most = unasked._most = 5  # of which a saw that is switched on makes many more
    last = {}

    def told(tag, value):
        last[tag] = saw.clock.now_us, tag, value
        assert asked.last_change(tag) == last[tag]

    for direction in Direction:
        saw.bus.listen(direction, told)
    saw.press("supply.isolator")
    for key in ("supply.reset", "supply.control_on", "shuttle.back"):
        saw.press(key)
        saw.advance_to(saw.clock.now_us + 1_000_000)
        saw.release(key)

    assert len(last) > 7
    assert len(unasked.changes) == 5
    for tag, change in last.items():
        assert unasked.last_change(tag) == asked.last_change(tag) == change


def test_a_latch_and_the_mode_are_traced_although_they_are_no_wire():
    session = open_session("rail-posts")
    power_up(session)
    session.advance(1)
    session.turn("production")
    session.saw.bus.distort("B52", stuck(False))
    session.saw.bus.settle()
    session.advance(7)

    assert session.trace.last_change("mode").value == "PRODUCTION"
    # After a second, the half second of the mode switch, and the six of the deviation.
    assert session.trace.last_change("latch.deviation").value is True
    assert session.trace.last_change("latch.deviation").time_us == 7_500_000
    assert set(KEPT) <= set(session.trace.first)
