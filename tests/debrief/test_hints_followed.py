"""What a hint says to type once the cause is named, typed word for word: it mends, proves and harms nobody.

Drills whose fault sets in only later are left out: nobody can name what is not there yet.
"""

import pytest

from sim.debrief.debrief import debrief
from sim.debrief.hints import hint
from sim.scenario import library
from sim.session.hands.table import to_look
from sim.session.inspections import find
from sim.session.opening import open_session, read
from sim.session.typed import own_control
from sim.text.typed.acts import perform
from sim.text.typed.language import parse

DRILLS = [
    name
    for name in library.names()
    for scenario in (read(name)[0],)
    if scenario.mode == "drill" and all(row.from_the_start for row in scenario.faults)
]


def _mended_as_typed(session):
    """Name what is hidden, and hold what the hint types then to mending and proving it in safety."""
    for fault in session.hidden:
        session.diagnose(fault.name)
    hint(session)
    hint(session)
    for act in session.done.hints[-1].message["acts"]["acts"]:
        perform(session, parse(str(act["act"])))
    found = debrief(session)

    assert session.tally.proved_us is not None
    assert (found.critical, found.exposures, found.still_wrong) == ((), (), ())


@pytest.mark.sampled(100)
@pytest.mark.parametrize("name", DRILLS)
def test_who_types_what_the_hint_says_mends_it_and_proves_it(name):
    _mended_as_typed(open_session(name, nonce=""))


@pytest.mark.sampled(100)
@pytest.mark.parametrize("name", DRILLS)
def test_who_types_what_the_hints_say_before_a_name_is_never_in_danger(name):
    session = open_session(name, nonce="")
    for line in ("press isolator", "tap supply.reset", "tap control_on", "hold head.raise 3"):
        perform(session, parse(line))
    for _ in range(12):
        told = {}
        while "acts" not in told:  # asked again, it says what is typed
            hint(session)
            told = dict(session.done.hints[-1].message.values)
        acts = [str(act["act"]) for act in told["acts"]["acts"]]
        if session.over or acts[-1].startswith("diagnose"):
            break
        for act in acts:
            perform(session, parse(act))
    found = debrief(session)

    assert acts[-1].startswith("diagnose")
    assert (found.critical, found.exposures) == ((), ())


@pytest.mark.parametrize("name", ["posts-come-out-short", "head-stops-short", "cut-smokes"])
def test_with_the_power_on_what_is_typed_to_mend_is_done_in_ones_own_control(name):
    session = open_session(name, nonce="")
    for line in ("press isolator", "tap supply.reset", "tap control_on", "hold head.raise 3"):
        perform(session, parse(line))
    _mended_as_typed(session)


def test_a_shut_feed_valve_keeps_nobody_from_being_told_how_the_head_comes_to_rest():
    session = open_session("ends-do-not-meet", nonce="")
    for line in ("press isolator", "tap supply.reset", "tap control_on", "hold head.raise 8",
                 "set head.feed_valve_mm_min 0"):  # fmt: skip
        perform(session, parse(line))
    before, after = own_control(session, to_look(find("swivel-clamping")))
    for act in (*before, "inspect swivel-clamping", *after):
        perform(session, parse(act))

    assert session.seen.has("swivel-clamping")
    assert session.hands.exposures == []
