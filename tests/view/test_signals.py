"""The signal strip shows the last minute of the wires, and a device on the picture leads to its wire."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.signals import BY_TAG
from sim.view.picture.devices import PLACES
from sim.view.picture.shelves import spread
from sim.view.play.last_minute import SPAN_S


def test_every_sensor_and_output_but_none_of_the_keys_is_on_the_picture():
    shown = set(PLACES)
    assert shown <= set(BY_TAG)
    missing = {tag for tag, row in BY_TAG.items() if not row.key and tag not in shown}
    assert not missing


def test_an_edge_is_in_the_last_minute_at_its_time(at_the_posts):
    at_the_posts.click("key.supply.isolator")
    at_the_posts.wait(10)
    trace = at_the_posts.play.trace
    assert list(trace.stretches("Q0")) == [(SPAN_S, 10.0, False), (10.0, 0.0, True)]
    at_the_posts.wait(45)
    at_the_posts.click("key.supply.isolator")
    at_the_posts.wait(30)
    assert list(trace.stretches("Q0")) == [(SPAN_S, 30.0, True), (30.0, 0.0, False)]
    at_the_posts.wait(100)
    assert list(trace.stretches("Q0")) == [(SPAN_S, 0.0, False)]


def test_a_device_on_the_picture_leads_to_its_wire(at_the_posts):
    at_the_posts.play.go("signals")
    at_the_posts.frame()
    at_the_posts.click("device.B12")
    assert "B12" in at_the_posts.play.chosen
    at_the_posts.frame()
    assert at_the_posts.app.stage.focus == "signal.B12"
    at_the_posts.strike("return")
    assert "B12" not in at_the_posts.play.chosen


def test_a_callout_on_the_picture_leads_to_its_set_point(at_the_posts):
    at_the_posts.strike("end")  # to the drawing
    at_the_posts.click("point.head.feed_force_n")
    at_the_posts.frame()
    assert at_the_posts.play.tab == "walk"
    assert at_the_posts.app.stage.focus.startswith("walk.head.feed_force_n.")
    at_the_posts.click("walk.head.feed_force_n.more")
    assert at_the_posts.session.done.all[-1].act.name == "head.feed_force_n"


def test_metering_a_wire_takes_its_time(at_the_posts):
    at_the_posts.play.go("signals")
    at_the_posts.frame()
    before_s = at_the_posts.session.now_s
    at_the_posts.click("meter.K1")
    assert at_the_posts.session.now_s > before_s
    assert at_the_posts.session.seen.looks[-1].name == "meter K1"


@given(
    st.lists(st.tuples(st.floats(0, 900), st.integers(10, 60)), max_size=12),
    st.integers(0, 8),
)
def test_tags_on_a_shelf_never_overlap_and_stay_on_it_when_they_fit(tags, gap):
    tags = sorted(tags)
    wide = [w for _, w in tags]
    lefts = spread([x for x, _ in tags], wide, gap, 0, 1000)
    for (left, width), (after, _) in pairwise(zip(lefts, wide, strict=True)):
        assert left + width + gap <= after
    if lefts and sum(wide) + gap * len(wide) <= 1000:
        assert lefts[0] >= 0
        assert lefts[-1] + wide[-1] <= 1000


def test_tags_with_room_stand_where_they_want_to():
    assert spread([10.0, 200.0, 400.0], [50, 50, 50], 5, 0, 1000) == [10, 200, 400]
    # two that want the same place share the displacement
    assert spread([100.0, 100.0], [20, 20], 0, 0, 1000) == pytest.approx([90, 110])
