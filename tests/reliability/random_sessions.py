"""Random sessions on every shipped scenario and both saws, each come down to one hash.

    python -m tests.reliability.random_sessions --sessions 1000

prints one hash of them all, and with `--each` every one's. It covers the last state of the saw to the
last bit, what was done, and all that was told with its time and its numbers. It reads no wall clock and
writes nothing, so it must be the same anywhere: `same_everywhere` sees to that.
"""

import argparse
import contextlib
import hashlib
import itertools
import json
import random
from collections.abc import Iterator

from sim.errors import CommandError
from sim.records.acts import line_of
from sim.scenario import library
from sim.session.opening import open_session
from tests.bench.shipped_runs import digest
from tests.safety.at_random import IN_A_SESSION, NAMES, SAWS, VERBS, WEIGHTS


def pairs() -> Iterator[tuple[str, str]]:
    """Yield scenario and saw without end; no scenario comes again before each was there."""
    return itertools.cycle((name, saw) for saw in SAWS for name in library.names())


def hash_of_session(name: str, saw: str, number: int, most: int = IN_A_SESSION) -> str:
    """Play one session of random acts; return its hash."""
    rng = random.Random(f"same/{name}/{saw}/{number}")
    session = open_session(name, machine=saw, nonce="")
    for _ in range(most):
        verb = rng.choices(NAMES, WEIGHTS)[0]
        with contextlib.suppress(CommandError):  # the one error that is meant for the trainee
            VERBS[verb][1](session, rng)
        if session.over:
            break
    acts = json.dumps([line_of(act) for act in session.done.acts], sort_keys=True)
    return hashlib.sha256(f"{digest(session)}/{acts}".encode()).hexdigest()


def hashes(first: int, sessions: int) -> Iterator[tuple[str, str]]:
    """Yield the name and the hash of each session."""
    for number, (name, saw) in itertools.islice(enumerate(pairs()), first, first + sessions):
        yield f"{number} {name} {saw}", hash_of_session(name, saw, number)


def main() -> None:
    """Print the hash, or with --each every session's."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--sessions", type=int, default=100)
    ask.add_argument("--first", type=int, default=0)
    ask.add_argument("--each", action="store_true")
    given = ask.parse_args()
    whole, played = hashlib.sha256(), 0
    for name, each in hashes(given.first, given.sessions):
        whole.update(each.encode())
        played += 1
        if given.each:
            print(each, name, flush=True)
    print(whole.hexdigest(), "of", played, "sessions")


if __name__ == "__main__":
    main()
