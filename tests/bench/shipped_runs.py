"""Plays every shipped scenario, as it is found and on a sound machine, and prints one hash of it all.

Run it: python tests/bench/shipped_runs.py [--frames N] [--each]. The autopilot makes the acts, and then
every look that the scenario allows is made; with --frames they are played again with time let pass a
frame at a time, N frames a second, as a window does. The
hash covers the last state of each saw to the last bit, and all that was told, with its time and its
numbers. It must be the same on every CPython, at any frame rate and under any PYTHONHASHSEED:
`every_python.py` sees to that. No wall clock is read.
"""

import argparse
import hashlib
import json
from collections.abc import Iterator

from sim.diagnosis.matrix_from_saw import allowed
from sim.pilot import autopilot
from sim.scenario.scenario import Scenario
from sim.session.opening import library_entries, session_for
from sim.session.playback.replay import play
from sim.session.session import Session
from sim.units import US

PIECES = 2  # tried on a machine as it was found


def scenarios() -> Iterator[tuple[str, Scenario, bool]]:
    """Yield every shipped scenario twice: as it is found, and with nothing hidden; in order."""
    for name, scenario in library_entries():
        yield f"{name}, as found", scenario, True
        yield f"{name}, sound", scenario.model_copy(update={"faults": ()}), False


def run(scenario: Scenario, *, as_found: bool) -> Session:
    """Return a session in which the autopilot has done the job, or as much as the machine allows."""
    session = session_for(scenario, nonce="")
    if as_found:
        autopilot.as_found(session, PIECES)
    else:
        autopilot.whole_job(session)
    for look in allowed(scenario):
        if not session.over:
            session.inspect(look.name)
    return session


def again(scenario: Scenario, session: Session, frames_a_second: int) -> Session:
    """Return a session with the same acts at the same times, played a frame at a time."""
    played = session_for(scenario, nonce="")
    frame_us = round(US / frames_a_second)
    for act in session.done.acts:
        _pass(played, act.at_us, frame_us)
        play(played, act)
    _pass(played, session.saw.clock.now_us, frame_us)
    return played


def _pass(session: Session, until_us: int, frame_us: int) -> None:
    while session.saw.clock.now_us < until_us and not session.over:
        session.advance_us(min(frame_us, until_us - session.saw.clock.now_us))


def digest(session: Session) -> str:
    """Return the SHA-256 of a saw's state and of all that was told, hexadecimal."""
    told = [[e.at_us, e.kind, e.message.plain()] for e in session.heard.events]
    text = f"{session.saw.digest()}/{json.dumps(told, sort_keys=True)}"
    return hashlib.sha256(text.encode()).hexdigest()


def digests(frames_a_second: int = 0) -> dict[str, str]:
    """Return the digest of each run by its name.

    Args:
        frames_a_second: How finely time passes; 0 for as the autopilot lets it pass.
    """
    found = {}
    for name, scenario, as_found in scenarios():
        session = run(scenario, as_found=as_found)
        if frames_a_second:
            session = again(scenario, session, frames_a_second)
        found[name] = digest(session)
    return found


def main() -> None:
    """Print the hash, or with --each every run's."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--frames", type=int, default=0)
    parser.add_argument("--each", action="store_true")
    asked = parser.parse_args()
    found = digests(asked.frames)
    if asked.each:
        print(*(f"{each} {name}" for name, each in found.items()), sep="\n")
    print(hashlib.sha256("".join(found.values()).encode()).hexdigest(), f"of {len(found)} runs")


if __name__ == "__main__":
    main()
