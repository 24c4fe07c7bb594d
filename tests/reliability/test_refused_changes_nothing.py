"""What is refused and stands on no record has changed nothing at all: neither saw nor clock nor record.

A session is brought somewhere by acts drawn by chance, and then asked for things of every kind. What is
refused without a line must leave the whole of the session as it was (`whole_state`); what is refused
with a line (a key that goes down and is not taken, a step of the lock-out that was tried at its place,
a force in an assessment) is an act, and must play again like every other.
"""

import json
import math
import os
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.control.decision import Decision
from sim.control.dials import DIALS
from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.pilot import autopilot
from sim.plant.set_points import SET_POINTS
from sim.records.acts import OrderRefused
from sim.records.spool import add_line
from sim.scenario import library
from sim.session import lockout
from sim.session.inspections import INSPECTIONS
from sim.session.kept.deeds import Answer
from sim.session.opening import open_session
from sim.session.order_key import OrderKey
from sim.session.order_lines import Orders, _signed, orders_path
from sim.session.orders import order_from
from sim.session.playback.replay import replay
from sim.signals import BY_KEY, SIGNALS
from tests.records.chains import ChainWriter

from .whole_state import whole_state

FIXED = ("scenario", "machine", "stock", "origin", "card", "order", "done", "record_path", "trace")
"""What no act changes, and the list of what was asked; `done.acts` is looked at by itself."""
EXAMPLES = int(os.environ.get("REFUSALS", "30"))  # REFUSALS=2000 is the long run
HEARD = ("Heard", "Journal", "OrderKey")  # where the line of a refused order goes
KEYS, FAULTS = sorted(BY_KEY), sorted(CATALOGUE)
POINTS = (*SET_POINTS, *DIALS)


def _settings():
    numbers = st.sampled_from([0.0, -1.0, 1.0, 5.0, 50.0, 240.0, 1e9, math.nan, math.inf])
    words = sorted({word for row in SET_POINTS for word in row.words})
    names = st.sampled_from([*(row.name for row in POINTS), "mode.key", "no.point"])
    return st.tuples(names, st.one_of(numbers, st.sampled_from([*words, "nowhere", ""])))


ACTS = st.one_of(
    st.tuples(st.just("press"), st.tuples(st.sampled_from([*KEYS, "no.key"]))),
    st.tuples(st.just("release"), st.tuples(st.sampled_from([*KEYS, "no.key"]))),
    st.tuples(st.just("palms"), st.tuples(st.sampled_from(["band.run", "job.start", "job.unhold"]))),
    st.tuples(st.just("turn"), st.tuples(st.sampled_from(["manual", "production", "sideways"]))),
    st.tuples(st.just("set"), _settings()),
    st.tuples(
        st.just("inspect"),
        st.tuples(st.sampled_from([*sorted(INSPECTIONS), f"meter {SIGNALS[0].tag}", "no-look"])),
    ),
    st.tuples(st.just("lock_out"), st.tuples(st.sampled_from([*sorted(lockout.BY_NAME), "none"]))),
    st.tuples(st.just("put_right"), st.tuples(st.sampled_from([*FAULTS, "no-fault"]))),
    st.tuples(st.just("diagnose"), st.tuples(st.sampled_from(["variator-forced", "no-fault"]))),
    st.tuples(st.just("load_bar"), st.just(())),
    st.tuples(st.just("break_off"), st.just(())),
    st.tuples(
        st.just("advance"), st.tuples(st.sampled_from([-1.0, 1e9, math.nan, 0.0, 0.4, 5.0, 60.0]))
    ),
    st.tuples(
        st.just("bench.force"),
        st.tuples(st.sampled_from(["B33", "Y12", "B99"]), st.sampled_from([True, False, None])),
    ),
    st.tuples(
        st.just("bench.jumper"),
        st.tuples(st.sampled_from(["I4", "I99", "head.lower B33"]), st.booleans()),
    ),
    st.tuples(
        st.just("instructor.second"),
        st.tuples(
            st.sampled_from([
                "comes Ada", "comes", "leaves", "returns", "press band.stop", "press no.key",
                "set shuttle.stop_mm 99999", "set no.point 1", "set shuttle.stop_mm 200 in 3",
                "release palm.left in -1", "", "dances",
            ])
        ),
    ),
    st.tuples(st.just("instructor.freeze"), st.tuples(st.booleans())),
    st.tuples(st.just("instructor.pace"), st.tuples(st.sampled_from([2.0, 0.0, 99.0, math.nan]))),
    st.tuples(
        st.sampled_from(["instructor.put_in", "instructor.take_out"]),
        st.tuples(st.sampled_from([*FAULTS, "no-fault"])),
    ),
    st.tuples(st.just("autopilot"), st.sampled_from([("power_up",), ("make_ready",), ("begin",)])),
)  # fmt: skip


def act(session, what, of):
    """Do an act; return whether it was refused."""
    try:
        if what == "autopilot":
            getattr(autopilot, of[0])(session)
            return False
        whose, _, verb = what.rpartition(".")
        said = getattr(getattr(session, whose) if whose else session, verb)(*of)
    except CommandError:
        return True
    if isinstance(said, Answer):
        return not said.taken
    return isinstance(said, Decision) and not said.accepted


def settle(session):
    """Have everything happen that is due now, as the next act would; the hands are back then."""
    session.finish_act()
    if not session.closed:
        session.going.ready(going=False)


def looked_at(session, kinds=()):
    return (
        whole_state(session, without=FIXED, kinds=kinds),
        len(session.done.acts),
        session.saw.clock.now_us,
    )


def check(session, path, tries):
    """Try acts on a session; return how many were refused without a line."""
    refused = 0
    for what, of in tries:
        settle(session)
        state, lines, now_us = looked_at(session)
        written = path.stat().st_size
        if act(session, what, of) and path.stat().st_size == written:
            assert looked_at(session) == (state, lines, now_us), (what, of)
            refused += 1
    return refused


@pytest.mark.slow
@settings(max_examples=EXAMPLES, deadline=None)
@given(
    name=st.sampled_from(library.names()),
    before=st.lists(ACTS, max_size=12),
    tries=st.lists(ACTS, min_size=4, max_size=10),
)
def test_what_is_refused_without_a_line_on_the_record_changes_nothing(name, before, tries):
    with TemporaryDirectory() as folder:
        path = Path(folder) / "any.jsonl"
        session = open_session(name, record=ChainWriter(path, durable=False))
        for what, of in before:
            act(session, what, of)
        check(session, path, tries)
        session.close()
        assert replay(path).same


ORDERS = st.sampled_from([
    "freeze", "go", "pace 2", "mark here", "note there", "second comes Ada", "second leaves",
    "second returns", "second press band.stop", "second set shuttle.stop_mm 200 in 2",
    *(f"{verb} {name}" for verb in ("put-in", "take-out") for name in FAULTS[::7]),
])  # fmt: skip


@settings(max_examples=EXAMPLES, deadline=None)
@given(
    name=st.sampled_from(library.names()),
    before=st.lists(ACTS, max_size=6),
    orders=st.lists(st.tuples(ORDERS, st.booleans()), min_size=3, max_size=8),
)
def test_an_order_that_is_refused_changes_nothing_but_the_one_line_that_says_so(
    name, before, orders
):
    with TemporaryDirectory() as folder:
        path = Path(folder) / "any.jsonl"
        key = OrderKey("salt", b"secret")
        session = open_session(name, record=ChainWriter(path, durable=False))
        spool = Orders(path)
        for what, of in before:
            act(session, what, of)
        for number, (order, vouched) in enumerate(orders, start=1):
            session.order_key = key if vouched else None
            line = _signed(order_from(order.split(" ")), number, key)
            if not vouched:  # and so no fault can be named in it
                said = json.loads(line)
                line = json.dumps({k: v for k, v in said.items() if k not in ("mac", "number")})
            add_line(orders_path(path), line)
            settle(session)
            state, lines, now_us = looked_at(session, HEARD)
            spool.carry_out(session)
            new = session.done.acts[lines:]
            if not new or isinstance(new[-1], OrderRefused):  # none where it stood so already
                assert looked_at(session, HEARD) == (state, lines + len(new), now_us), order
        session.order_key = None
        session.close()
        assert replay(path).same


@pytest.mark.parametrize("one_in", [12, pytest.param(3, marks=pytest.mark.slow)])
def test_no_fault_that_is_refused_is_left_in_the_machine(one_in, tmp_path):
    refused = 0
    for number, name in enumerate(library.names()[::one_in]):
        path = tmp_path / f"{number}.jsonl"
        session = open_session(name, record=ChainWriter(path, durable=False))
        impossible = [f for f in FAULTS if not session.faults.would_change(CATALOGUE[f])]
        had = [f for f in FAULTS if session.faults.present(CATALOGUE[f])]
        tries = [("instructor.put_in", (fault,)) for fault in (*impossible, *had)]
        assert check(session, path, tries) == len(tries)
        refused += len(tries)
        session.close()
    assert refused > 180 / one_in
