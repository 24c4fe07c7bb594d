"""Ten thousand acts of trainees who try anything, on scenarios drawn by chance.

Nothing may raise but the one error meant for the reader, nothing may go on without end, and the
record of every session plays again to the same state. Each group draws from its own seeded stream,
so a failure prints an index that draws it again.
"""

import contextlib
import random

import pytest

from sim.control.dials import DIALS
from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.pilot import autopilot
from sim.plant.set_points import SET_POINTS
from sim.scenario import library
from sim.scenario.machines import first_machine
from sim.session import lockout
from sim.session.inspections import INSPECTIONS
from sim.session.opening import open_recorded
from sim.session.playback.replay import replay
from sim.signals import BY_KEY, SIGNALS

ACTS = 10_000
GROUPS = 10
IN_A_SESSION = 80
MOST_STEPS = 200_000  # of the controller's machines in one act; more would be without end
STARTS = ("band.run", "job.start", "job.unhold")


def _settings(rng):
    row = rng.choice((*SET_POINTS, *DIALS))
    words = getattr(row, "words", ())
    if words:
        return row.name, rng.choice(words)
    low, high = (row.low, row.high) if row in DIALS else row.limits(first_machine())
    if rng.random() < 0.05:
        return row.name, rng.choice(["many", high * 3 + 1, float("nan")])
    return row.name, rng.choice([low, high, rng.uniform(low, high)])


def _looks(rng):
    if rng.random() < 0.3:
        return f"meter {rng.choice(SIGNALS).tag}"
    return rng.choice(sorted(INSPECTIONS))


def _get_going(session, _rng):
    """What sets a job going, so that chance does not only stand at a dead machine."""
    session.release("supply.emergency_stop", "supply.infeed_stop", "supply.trip_line", "palm.left")
    session.tap("band.stop")
    session.advance(5)
    for part in (autopilot.power_up, autopilot.make_ready, autopilot.begin):
        if not session.over:
            part(session)
    job = session.saw.controller.job
    autopilot.wait_until(session, lambda: job.cut > 0, 90)


VERBS = {
    "press": (3, lambda s, r: s.press(*r.sample(sorted(BY_KEY), r.randint(1, 3)))),
    "release": (3, lambda s, r: s.release(*r.sample(sorted(BY_KEY), r.randint(1, 3)))),
    "tap": (3, lambda s, r: s.tap(r.choice(sorted(BY_KEY)))),
    "start": (3, lambda s, r: s.palms(r.choice(STARTS))),
    "turn": (1, lambda s, r: s.turn(r.choice(["manual", "maintenance", "production"]))),
    "hold": (1, lambda s, r: s.hold(r.choice(sorted(BY_KEY)), r.choice([0.2, 3]))),
    "job": (2, _get_going),
    "set": (4, lambda s, r: s.set(*_settings(r))),
    "inspect": (4, lambda s, r: s.inspect(_looks(r))),
    "lock out": (3, lambda s, r: s.lock_out(r.choice(sorted(lockout.BY_NAME)))),
    "wait": (5, lambda s, r: s.advance(r.choice([0.1, 0.5, 2, 10, 60]))),
    "diagnose": (1, lambda s, r: s.diagnose(r.choice(sorted(CATALOGUE)))),
    "put right": (1, lambda s, r: s.put_right(r.choice(sorted(CATALOGUE)))),
    "note": (1, lambda s, r: s.note(r.choice(["", "!", "looks odd"]))),
    "wrong name": (1, lambda s, r: s.inspect("crystal-ball")),
}  # fmt: skip
NAMES = sorted(VERBS)
WEIGHTS = [VERBS[name][0] for name in NAMES]


@pytest.mark.sampled(5)
@pytest.mark.parametrize("group", range(GROUPS))
def test_whatever_a_trainee_does_ends_and_plays_again_to_the_same_state(group, tmp_path):
    rng = random.Random(f"acts/{group}")
    done = sessions = 0
    seen = [0, 0, 0]  # cuts, looks, consequences
    while done < ACTS // GROUPS:
        sessions += 1
        path = tmp_path / f"{sessions}.jsonl"
        name = rng.choice(library.names())
        session = open_recorded(name, path)
        for _ in range(IN_A_SESSION):
            verb = rng.choices(NAMES, WEIGHTS)[0]
            before = session.saw.controller.fired
            with contextlib.suppress(CommandError):  # the one error that is meant for the trainee
                VERBS[verb][1](session, rng)
            done += 1
            assert session.saw.controller.fired - before < MOST_STEPS, (group, sessions, verb)
            if session.over:
                break
        counts = (len(session.saw.cuts), len(session.seen.looks), len(session.saw.consequences))
        seen = [a + b for a, b in zip(seen, counts, strict=True)]
        state = session.close()

        again = replay(path)

        assert again.same, (group, sessions, name)
        assert again.played == state
    assert min(seen) > 0, seen  # the acts reached metal, looked at it, and did harm
