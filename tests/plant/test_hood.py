"""The infeed hood on the saw that has one, and the saw that has none."""

import pytest

from sim.errors import CommandError
from sim.plant.set_points import BY_NAME
from sim.session.hands.table import LOADING, SETS
from sim.session.hands.zones import UNDER_HOOD
from sim.session.opening import open_session
from sim.text.points import points

HOOD = "infeed.hood"


def _session(saw):
    return open_session("rail-posts", machine=saw)


def _powered(saw):
    session = _session(saw)
    session.press("supply.isolator")
    session.tap("supply.reset")
    session.tap("supply.control_on")
    return session


def test_it_is_shut_when_the_saw_is_found_and_its_switch_sees_it_open():
    session = _session("harbour-saw")
    assert session.saw.read(HOOD) == "shut"
    assert session.saw.bus.seen["B43"]
    session.set(HOOD, "open")

    assert session.saw.read(HOOD) == "open"
    assert not session.saw.bus.seen["B43"]


def test_an_older_saw_has_none_and_says_so():
    session = _session("quay-saw")
    assert session.saw.read(HOOD) == "none"
    assert session.saw.bus.seen["B43"]
    with pytest.raises(CommandError, match="this saw has no infeed hood"):
        session.set(HOOD, "open")

    assert session.saw.bus.seen["B43"]
    assert HOOD not in str(points(session).rows)
    assert HOOD in str(points(_session("harbour-saw")).rows)


@pytest.mark.parametrize("name", [name for name, reach in SETS.items() if reach.zone in UNDER_HOOD])
def test_whoever_sets_something_under_it_lifts_it_and_shuts_it_again(name):
    session = _powered("harbour-saw")
    session.hold("head.raise", 8)
    session.hold("shuttle.back", 8)
    session.press("supply.emergency_stop")
    seen = []
    session.saw.bus.listen_beside("B43", lambda _tag, shut: seen.append((session.now_s, shut)))
    point = BY_NAME[name]
    here = session.saw.read(name)
    other = next((w for w in point.words if w != here), here)
    began = session.now_s
    session.set(name, other)

    (lifted, was), (lowered, is_shut) = seen
    assert (was, is_shut) == (False, True)
    reach = SETS[name]
    assert lifted - began == pytest.approx(reach.walk_s)
    assert lowered - began == pytest.approx(reach.seconds)


def test_one_that_stands_open_stays_open():
    session = _session("harbour-saw")
    session.set(HOOD, "open")
    session.set("shuttle.stop_mm", 240)

    assert session.saw.read(HOOD) == "open"


def test_a_bar_is_loaded_under_it_and_a_band_is_not():
    assert LOADING.zone in UNDER_HOOD
    assert SETS["band.guide_span_mm"].zone not in UNDER_HOOD


def test_what_is_done_elsewhere_leaves_it_shut():
    session = _session("harbour-saw")
    seen = []
    session.saw.bus.listen_beside("B43", lambda _tag, shut: seen.append(shut))
    session.set("cutting_vise.jaw_gap_mm", 5)
    session.inspect("air-gauge")

    assert seen == []
