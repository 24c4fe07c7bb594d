"""Kills a session at random moments, and looks for every act that it had acknowledged.

Run it: python -m tests.reliability.kills [--kills N] [--seed S]. Each trial is a process of its own
that plays a script in a terminal's words and is killed with -9 while it does; in every fourth its
record is taken away before. Printed is how many acts were acknowledged, how many of them are not in
the record, and how many records do not play again as far as they go. Needs os.fork.
"""

import argparse
import contextlib
import os
import random
import shutil
import signal
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from sim.errors import RecordError
from sim.records.reading import read_record
from sim.session.opening import open_recorded
from sim.session.playback.replay import replay
from sim.text.typed.console import play

WORDS = (
    "press supply.isolator", "release supply.isolator", "press supply.reset", "wait 1",
    "set head.feed_valve_mm_min 120", "inspect last-piece", "press band.run", "wait 0.1",
)  # fmt: skip
_MOST_LINES = 120  # that are waited for before the kill


@dataclass
class Killed:
    """What kills have shown."""

    kills: int = 0
    acknowledged: int = 0
    lost: int = 0
    rescued: int = 0  # records that had been taken away
    torn: int = 0  # records that end within a line
    unreadable: int = 0
    otherwise: int = 0  # records that do not play again as far as they go

    def __iadd__(self, other: "Killed") -> "Killed":
        for name, value in vars(other).items():
            setattr(self, name, getattr(self, name) + value)
        return self


def script(seed: str):
    """Yield lines without end: notes with rising numbers, and acts between them."""
    chance = random.Random(seed)
    number = 0
    while True:
        yield f"note {number}"
        number += 1
        yield from chance.sample(WORDS, chance.randint(0, 2))


def _session(seed: str, record: Path, out: int) -> None:
    """Play for ever; every line that is said goes out at once."""

    def say(line: str) -> None:
        os.write(out, f"{line}\n".encode())

    play(open_recorded("rail-posts", record), script(seed), say, interactive=False)


def kill_one(seed: str, folder: Path) -> Killed:
    """Begin a session, kill it, and return what is left of it.

    Args:
        seed: Decides the script and when it is killed, but for what the system adds.
        folder: An empty one.
    """
    chance = random.Random(f"kill/{seed}")
    record, taken = folder / "records" / "one.jsonl", chance.random() < 0.25
    out, into = os.pipe()
    child = os.fork()
    if not child:
        with contextlib.suppress(BaseException):
            os.close(out)
            os.environ["DRYCYCLE_HOME"] = str(folder / "home")
            tempfile.tempdir = str(folder)
            _session(seed, record, into)
        os._exit(1)
    os.close(into)
    said, at = b"", chance.randint(0, _MOST_LINES)
    while said.count(b"\n") < at:
        said += os.read(out, 4096)
    if taken and at:
        shutil.rmtree(record.parent)
        while b"Nothing is lost" not in said.replace(b"\n ", b""):
            said += os.read(out, 4096)
    time.sleep(chance.random() * 0.004)
    os.kill(child, signal.SIGKILL)
    while more := os.read(out, 65_536):
        said += more
    os.close(out)
    os.waitpid(child, 0)
    left = record if record.exists() else next(iter(folder.glob("*.rescue*.jsonl")), None)
    return _looked_at(said, left, rescued=left is not None and left != record)


def _looked_at(said: bytes, left: Path | None, *, rescued: bool) -> Killed:
    acknowledged = [
        line.rpartition(b"Note. ")[2].decode()
        for line in said.split(b"\n")[:-1]
        if b" Note. " in line
    ]
    found = Killed(kills=1, acknowledged=len(acknowledged), rescued=rescued)
    try:
        assert left is not None
        kept = read_record(left, allow_cut=True)
    except (RecordError, AssertionError):  # killed before its first act, or it is no record
        found.unreadable = bool(acknowledged)
        found.lost = len(acknowledged)
        return found
    notes = [act.text for _, act in kept.acts if act.kind == "note"]
    found.torn = not left.read_bytes().endswith(b"\n")
    found.lost = sum(a != b for a, b in zip(acknowledged, notes, strict=False))
    found.lost += max(len(acknowledged) - len(notes), 0)
    found.otherwise = not replay(left, allow_cut=True).same
    return found


def kill(kills: int, seed: int) -> Killed:
    """Kill so many sessions, and return what came of it."""
    found = Killed()
    for number in range(kills):
        with tempfile.TemporaryDirectory() as folder:
            found += kill_one(f"{seed}/{number}", Path(folder))
    return found


def main() -> None:
    """Read the arguments and run."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--kills", type=int, default=200)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    print(kill(given.kills, given.seed))


if __name__ == "__main__":
    main()
