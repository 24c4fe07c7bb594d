"""Random acts of trainee, second person and instructor on one scenario and saw, watched by the oracle.

    python -m tests.safety.at_random --acts 10000 --minutes 20

plays every scenario on both saws, in turn, until the acts or the minutes are used up, and says how many
it was. A draw is named by scenario, saw and number, and is drawn again from these.

A second person's keys are in no record; they are planned when a session is opened, at times of their
own, and planned again where it is played again.
"""

import argparse
import contextlib
import itertools
import random
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

from sim.control.dials import DIALS
from sim.control.interlocks import PERMISSIVES
from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.pilot import autopilot
from sim.plant.set_points import SET_POINTS
from sim.records.reading import read_record
from sim.scenario import library
from sim.session import locking, lockout
from sim.session.inspections import INSPECTIONS
from sim.session.opening import open_recorded
from sim.session.playback.recorded import session_of
from sim.session.playback.replay import play, playable
from sim.signals import BY_KEY, SIGNALS
from sim.trade.handling import WAYS
from sim.units import US
from tests.safety.oracle import Watch

SAWS = ("quay-saw", "harbour-saw")
IN_A_SESSION = 60
KEYS = sorted(BY_KEY)
STARTS = ("band.run", "job.start", "job.unhold")


@dataclass
class Came:
    """What came of a number of acts."""

    acts: int = 0
    sessions: int = 0
    moments: int = 0
    strikes: int = 0
    verified: int = 0  # moments under a verified lock-out
    wrong: list[str] = field(default_factory=list)

    def add(self, other: "Came") -> None:
        """Count another's too."""
        for name in ("acts", "sessions", "moments", "strikes", "verified"):
            setattr(self, name, getattr(self, name) + getattr(other, name))
        self.wrong += other.wrong


# Acts --------------------------------------------------------------------------------------


def _setting(session, rng):
    row = rng.choice((*SET_POINTS, *DIALS))
    words = getattr(row, "words", ())
    if words:
        return row.name, rng.choice(words)
    low, high = (row.low, row.high) if row in DIALS else row.limits(session.machine)
    return row.name, rng.choice([low, high, rng.uniform(low, high)])


def _look(rng):
    if rng.random() < 0.3:
        return f"meter {rng.choice(SIGNALS).tag}"
    return rng.choice(sorted(INSPECTIONS))


def _wait(session, rng):
    session.advance(rng.choice([0.1, 0.5, 2, 5, 10, 30]))


def _front_end(session, rng):
    """Let time pass as frames do, in pieces that nothing happens at."""
    for _ in range(rng.randint(1, 20)):
        session.advance_us(rng.randint(1, 700_000))


def _get_going(session, _rng):
    session.release("supply.emergency_stop", "supply.infeed_stop", "supply.trip_line", "palm.left")
    session.tap("band.stop")
    session.advance(5)
    for part in (autopilot.power_up, autopilot.make_ready, autopilot.begin):
        if not session.over:
            part(session)


def _raise(session, rng):
    for part in (autopilot.power_up, lambda s: s.turn("manual")):
        if not session.over:
            part(session)
    if not session.over:
        session.hold("head.raise", rng.uniform(1, 8))


def _freeze(session, rng):
    """Freeze it, and hold that nothing is counted meanwhile."""
    session.instructor.freeze(True)  # what is due at this instant happens before it
    before = session.saw.clock.now_us, session.hands.exposures_s(), session.saw.digest()
    session.advance_us(rng.randint(1, 60 * US))
    with contextlib.suppress(CommandError):
        session.set(*_setting(session, rng))
    after = session.saw.clock.now_us, session.hands.exposures_s(), session.saw.digest()
    session.instructor.freeze(False)
    return "" if before == after else "frozen time counted"


def _second(session, rng):
    """Have the instructor's second person come, go, or work the saw a little later."""
    does = f"{rng.choice(('press', 'release'))} {rng.choice(KEYS)} in {rng.randint(0, 20)}"
    session.instructor.second(rng.choice(["comes Ada", "leaves", "returns", does, does, does]))


def _any(draw):
    return lambda s, r: draw(s, r, wait=r.random() < 0.5)


VERBS = {
    "press": (3, lambda s, r: s.press(*r.sample(KEYS, r.randint(1, 2)))),
    "release": (3, lambda s, r: s.release(*r.sample(KEYS, r.randint(1, 3)))),
    "tap": (3, lambda s, r: s.tap(r.choice(KEYS))),
    "start": (2, lambda s, r: s.palms(r.choice(STARTS))),
    "turn": (1, lambda s, r: s.turn(r.choice(["manual", "maintenance", "production"]))),
    "hold": (2, lambda s, r: s.hold(r.choice(KEYS), r.choice([0.2, 3]))),
    "job": (1, _get_going),
    "raise": (2, _raise),
    "set": (6, _any(lambda s, r, wait: s.set(*_setting(s, r), wait=wait))),
    "inspect": (4, _any(lambda s, r, wait: s.inspect(_look(r), wait=wait))),
    "put right": (2, _any(lambda s, r, wait: s.put_right(r.choice(sorted(CATALOGUE)), wait=wait))),
    "load": (1, _any(lambda s, r, wait: s.load_bar(r.choice(WAYS), wait=wait))),
    "lock out": (3, _any(lambda s, r, wait: s.lock_out(r.choice(sorted(lockout.BY_NAME)), wait=wait))),
    "whole lock-out": (1, lambda s, _: locking.do_all(s, locking.locking_out(s))),
    "break off": (3, lambda s, _: s.break_off()),
    "wait": (3, _wait),
    "frames": (4, _front_end),
    "force": (1, lambda s, r: s.bench.force(r.choice(SIGNALS).tag, r.choice([True, False, None]))),
    "jumper": (1, lambda s, r: s.bench.jumper(r.choice(PERMISSIVES).number, on=r.random() < 0.6)),
    "put in": (1, lambda s, r: s.instructor.put_in(r.choice(sorted(CATALOGUE)))),
    "take out": (1, lambda s, r: s.instructor.take_out(r.choice(sorted(CATALOGUE)))),
    "freeze": (1, _freeze),
    "second": (3, _second),
}  # fmt: skip
NAMES = tuple(VERBS)
WEIGHTS = tuple(VERBS[name][0] for name in NAMES)


def _others(rng):
    """Return what a second person does at the console, with its times."""
    times = sorted(rng.randint(1, 900 * US) for _ in range(rng.choice([0, 0, 3, 12])))
    return [
        (at_us, rng.choice(("press", "release", "release")), rng.choice(KEYS)) for at_us in times
    ]


def _plan(session, others):
    for at_us, verb, key in others:
        session.saw.clock.after(at_us, lambda verb=verb, key=key: getattr(session.saw, verb)(key))


def one_session(name: str, saw: str, number: int, folder: Path, most: int = IN_A_SESSION) -> Came:
    """Play one session of random acts, and its record again."""
    rng = random.Random(f"{name}/{saw}/{number}")
    path = folder / "run.jsonl"
    path.unlink(missing_ok=True)
    session = open_recorded(name, path, machine=saw)
    others = _others(rng)
    _plan(session, others)
    watch = Watch(session)
    came, trail = Came(sessions=1), []
    for _ in range(most):
        verb = rng.choices(NAMES, WEIGHTS)[0]
        trail.append(verb)
        said = ""
        with contextlib.suppress(CommandError):  # the one error that is meant for the trainee
            said = VERBS[verb][1](session, rng)
        came.acts += 1
        watch.after_act()
        if verb == "freeze" and said:
            watch.wrong.append(said)
        if session.over or watch.wrong:
            break
    state = session.close()
    came.moments, came.strikes, came.verified = watch.moments, watch.strikes, watch.verified
    came.wrong = [f"{name} {saw} {number}: {each}, after {trail[-3:]}" for each in watch.wrong]
    if _again(path, others) != (state, session.hands.exposures_s()):
        came.wrong.append(f"{name} {saw} {number}: played again it is another")
    return came


def _again(path, others):
    """Return the state and exposures that a record plays again to; none where an act comes too early."""
    record = read_record(path)
    session = session_of(record)
    _plan(session, others)
    part = playable(record)
    for _, act in part.acts:
        if act.at_us < session.saw.clock.now_us:
            return None
        session.advance_us(act.at_us - session.saw.clock.now_us)
        play(session, act, wait=False)
    session.advance_us(max(part.end_us - session.saw.clock.now_us, 0))
    return session.close(), session.hands.exposures_s()


def main() -> None:
    """Play every scenario on both saws, in turn, for so many acts or minutes; print what came of it."""
    ask = argparse.ArgumentParser()
    ask.add_argument("--acts", type=int, default=10_000, help="on each scenario and saw")
    ask.add_argument("--minutes", type=float, default=20.0)
    ask.add_argument("--first", type=int, default=0, help="number of the first draw")
    given = ask.parse_args()
    until_s = time.monotonic() + given.minutes * 60
    pairs = list(itertools.product(library.names(), SAWS))
    done = dict.fromkeys(pairs, 0)
    whole = Came()
    with tempfile.TemporaryDirectory() as folder:
        for number in itertools.count(given.first):
            due = [pair for pair in pairs if done[pair] < given.acts]
            for name, saw in due:
                if time.monotonic() > until_s:
                    due = []
                    break
                came = one_session(name, saw, number, Path(folder))
                done[name, saw] += came.acts
                whole.add(came)
                for each in came.wrong:
                    print(each, flush=True)
            if not due:
                break
    print(
        f"{whole.acts} acts in {whole.sessions} sessions on {len(pairs)} scenarios and saws, "
        f"{min(done.values())} to {max(done.values())} on each; {whole.moments} moments, "
        f"{whole.verified} of them under a verified lock-out; {whole.strikes} strikes; "
        f"{len(whole.wrong)} wrong"
    )


if __name__ == "__main__":
    main()
