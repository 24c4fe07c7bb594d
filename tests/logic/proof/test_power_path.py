"""The power path is proved with every failure, and a path that is built wrong is noticed."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.logic.proof.power_path import FORCES, PATH, failures, prove_path
from sim.plant.power import MOTORS, VALVES, VARIATOR, Power
from sim.plant.safety_relay import SafetyRelay
from sim.scenario.machines import first_machine
from sim.session.opening import open_session
from sim.signals import OUTPUTS


def broken(forces=(None,)):
    return {one.name for one in prove_path(first_machine(), forces).findings if not one.holds}


def test_everything_holds_with_every_failure():
    proof = prove_path(first_machine())

    assert proof.sound
    assert proof.failures == len(list(failures())) > 60
    assert FORCES == (None, True, False)
    assert {one.name for one in proof.findings} == {row.name for row in PATH}
    assert proof.states > 30_000


def _one_contactor(power):
    return not power.isolated and power.pulled_in("Q11")


WRONG = [
    # Built with one main contactor only, a welded one would be the end of it.
    (Power, "live", property(_one_contactor), {"stopped", "relay-open"}),
    # 24 V taken from before the isolator: the relay stays in.
    (Power, "control", property(lambda power: power.fuse_24), {"isolated"}),
    # No feedback loop.
    (Power, "loop", property(lambda _power: True), {"welded"}),
    # The coils' 24 V past the safety relay.
    (Power, "switched", property(lambda power: power.control), {"stopped", "relay-open", "comes-back"}),
    # The controller's wires of the stops instead of the stops.
    (SafetyRelay, "channel_closed", lambda _relay, _channel, _out: True, {"stopped"}),
    # One channel.
    (SafetyRelay, "channel_closed",
     lambda relay, _channel, out: all(relay.spoilt.get((stop, 1), out[stop]) for stop in out), {"stopped"}),
]  # fmt: skip


@pytest.mark.sampled(2)
@pytest.mark.parametrize(("owner", "name", "wrong", "noticed"), WRONG)
def test_a_path_that_is_built_wrong_breaks_what_it_should(monkeypatch, owner, name, wrong, noticed):
    monkeypatch.setattr(owner, name, wrong)

    assert noticed <= broken()


@pytest.mark.sampled(2)
@pytest.mark.parametrize(
    ("name", "wrong", "noticed"),
    [
        ("out", lambda power: {tag: power._bus.seen[tag] for tag in ("S1", "S9")}, "stopped"),
        ("isolated", lambda power: not power._bus.seen["Q0"], "isolated"),
    ],
)
def test_a_path_that_reads_a_wire_to_the_controller_is_noticed_by_forcing_it(
    monkeypatch, name, wrong, noticed
):
    monkeypatch.setattr(Power, name, property(wrong))

    assert noticed not in broken()
    assert noticed in broken((True,))


def test_a_reset_that_acts_when_pressed_or_by_itself_is_noticed(monkeypatch):
    def eager(relay, fed, out):
        relay.put((fed and all(out.values()),) * 2, False)

    monkeypatch.setattr(SafetyRelay, "feel", eager)

    assert {"comes-back", "only-by-reset", "welded"} <= broken()


# Through the session: whatever is forced, jumpered and pressed, in any order ------------------

LOADS = (*MOTORS, *VARIATOR, *VALVES)
KEYS = ("supply.isolator", "supply.emergency_stop", "supply.infeed_stop", "supply.trip_line",
        "supply.reset", "supply.control_on", "band.run", "palm.left", "palm.right", "head.raise",
        "shuttle.back", "cutting_vise.clamp")  # fmt: skip
_DEED = st.one_of(
    st.tuples(st.sampled_from(["press", "release", "press"]), st.sampled_from(KEYS)),
    st.tuples(st.just("force"), st.sampled_from([*OUTPUTS, "K0", "Q0", "S1", "S9", "S2", "S5", "B1"])),
    st.tuples(st.just("jumper"), st.sampled_from(["I1", "I2", "I3", "I14"])),
    st.tuples(st.just("wait"), st.sampled_from([0.1, 1.0, 5.0])),
)  # fmt: skip
_BAD = st.sampled_from([
    "", "main-contactor-q11-welded", "main-contactor-q12-welded", "stop-contact-stuck", "feedback-wire",
    "mains-weak", "control-supply-weak", "phase-lost", "valve-wire-earthed", "relay-message-wire",
])  # fmt: skip


def fed(session):
    power = session.saw.plant.power
    return {tag for tag in LOADS if power.moves(tag, session.saw.bus.seen[tag], None)}


@settings(max_examples=60, deadline=None)
@given(bad=_BAD, deeds=st.lists(_DEED, min_size=10, max_size=60))
def test_nothing_is_fed_behind_a_stop_or_the_isolator_and_nothing_by_what_comes_back(bad, deeds):
    session = open_session("rail-posts")
    session.press("supply.isolator")
    session.tap("supply.reset")
    session.tap("supply.control_on")
    assert fed(session)
    if bad:
        session.instructor.put_in(bad)
    for verb, what in deeds:
        before = fed(session)
        if verb == "force":
            session.bench.force(what, not session.saw.bus.forced.get(what, False))
        elif verb == "jumper":
            session.bench.jumper(what)
        elif verb == "wait":
            session.advance(what)
        else:
            getattr(session, verb)(what)
        if session.over:
            return
        driven = session.saw.bus.driven
        if not driven("Q0") or not driven("S1") or not driven("S9"):
            assert not fed(session)
            assert not session.saw.plant.supply.oil
            assert not session.saw.plant.band.contactor
        if (verb, what) == ("press", "supply.isolator") or (
            verb == "release" and what in ("supply.emergency_stop", "supply.infeed_stop")
        ):
            assert fed(session) <= before
