"""Whatever anybody does in whatever order, nothing happens to hands that the plant does not show.

A sample in the suite; `DRYCYCLE_ACTS_AT_RANDOM=10000` plays so many on every scenario and both saws, and
`python -m tests.safety.at_random` does so for as long as it is given.
"""

import itertools
import os

import pytest

from sim.pilot import autopilot
from sim.plant.power import Power
from sim.records.acts import ActKind
from sim.scenario import library
from sim.session.hands import person
from sim.session.hands.under_way import UnderWay
from sim.session.lockout import Lockout
from sim.session.opening import open_session
from sim.session.playback import acting
from sim.session.session import Session
from tests.safety.at_random import SAWS, Came, one_session
from tests.safety.oracle import Watch

ACTS = int(os.environ.get("DRYCYCLE_ACTS_AT_RANDOM", "0"))  # on each scenario and saw; 0: a sample
PAIRS = list(itertools.product(library.names(), SAWS))
SAMPLE = 3  # sessions of a group of the sample
GROUPS = 6


def _played(pairs, folder, acts):
    came = Came()
    for name, saw in pairs:
        there = Came()
        for number in itertools.count():
            if number and there.acts >= acts:
                break
            there.add(one_session(name, saw, number, folder))
        came.add(there)
    return came


@pytest.mark.parametrize("group", range(GROUPS))
def test_nothing_happens_to_hands_that_the_plant_does_not_show(group, tmp_path):
    mine = PAIRS[group::GROUPS]
    came = _played(mine if ACTS else mine[:SAMPLE], tmp_path, ACTS)

    assert came.wrong == []
    assert came.acts > 0


def test_the_sample_reaches_hands_a_lock_out_and_every_scenario_in_the_long_run(tmp_path):
    came = _played(PAIRS[:: len(PAIRS) // 12], tmp_path, 0)

    assert came.strikes > 0
    assert came.verified > 0
    assert {name for name, _ in PAIRS} == set(library.names())


# What the oracle would find ---------------------------------------------------------------------


def _found(tmp_path, least=1):
    """Return what is found wrong in sessions enough to find it."""
    wrong = []
    for number, (name, saw) in enumerate(itertools.cycle(PAIRS)):
        wrong += one_session(name, saw, number, tmp_path).wrong
        if len(wrong) >= least or number > 60:
            return "\n".join(wrong)
    return ""


def test_hands_that_are_never_struck_are_found(tmp_path, monkeypatch):
    monkeypatch.setattr(person, "active", lambda *_, **__: None)
    assert "and no strike" in _found(tmp_path)


def test_strikes_by_nothing_are_found(tmp_path, monkeypatch):
    monkeypatch.setattr(person, "active", lambda *_, **__: person.Hazard.BAND)
    assert "a strike without a hazard" in _found(tmp_path)


def test_a_coil_that_needs_no_supply_is_found(monkeypatch):
    monkeypatch.setattr(Power, "coil_fed", lambda _self, _tag: True)
    session = open_session("rail-posts")
    watch = Watch(session)
    session.bench.force("Y31", True)
    assert "Y31 with the isolator off" in watch.wrong[0]


def test_a_coil_that_needs_no_safety_relay_is_found(monkeypatch):
    monkeypatch.setattr(Power, "coil_fed", lambda self, _tag: self.control)
    session = open_session("rail-posts")
    watch = Watch(session)
    session.press("supply.isolator")
    session.bench.force("Y31", True)
    assert "Y31 with the safety relay out" in watch.wrong[0]


def test_a_lock_out_that_remembers_is_found(tmp_path, monkeypatch):
    monkeypatch.setattr(Lockout, "verified", property(lambda self: self._verified or self.told))
    assert "verified, and " in _found(tmp_path)


def test_a_break_off_that_is_not_played_again_is_found(tmp_path, monkeypatch):
    monkeypatch.setitem(acting._DOES, ActKind.BREAK_OFF, lambda *_: None)
    assert "played again" in _found(tmp_path)


def test_time_that_passes_while_frozen_is_found(tmp_path, monkeypatch):
    monkeypatch.setattr(
        Session, "advance_us", lambda self, us: self.saw.advance_to(self.saw.clock.now_us + us)
    )
    assert "frozen time counted" in _found(tmp_path)


def test_hands_looked_at_only_when_they_go_in_are_found(monkeypatch):
    look = UnderWay.look

    def once(self):
        return look(self) if self._person.now_us == self.in_us else self.struck

    monkeypatch.setattr(UnderWay, "look", once)
    session = open_session("rail-posts")
    watch = Watch(session)
    autopilot.power_up(session)
    session.turn("manual")
    session.set("band.guide_lock", "slack", wait=False)
    session.advance(5.0)
    session.saw.press("head.raise")  # by somebody else, with hands at the band
    session.advance(1.0)
    watch.after_act()
    assert "and no strike" in watch.wrong[0]
