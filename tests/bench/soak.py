"""One session that lasts for months: a good operator, bar after bar, and what it does to memory.

Run it: python tests/bench/soak.py [--hours N] [--record FILE] [--read]. It prints, ten times on the way
and at the end, the hours, what was done in them, and the memory that the process has; with --read it
then reads the record in a stream, in a process of its own, and prints the memory of that. The run is
the same each time. `tests/reliability/test_soak.py` runs a short one.
"""

import argparse
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from sim.pilot import autopilot
from sim.records.lasting import LastingRecord
from sim.records.reading import read_record
from sim.session.before.keys import hold_until, to_mode
from sim.session.opening import open_session
from sim.session.session import Session

ROOT = Path(__file__).resolve().parents[2]


@dataclass
class Soaked:
    """What a session has come to."""

    hours: float
    bars: int
    cuts: int
    events: int
    deeds: int
    lines: int
    record_mb: float
    memory_mb: float


def memory_mb() -> float:
    """Return the memory that this process has now (Linux), MB."""
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * 4096 / 1e6


def another_bar(session: Session) -> None:
    """Take the end of the bar off, put what is used up right, and load a fresh bar."""
    saw = session.saw
    to_mode(session, "MANUAL")
    for vise, jaw in (
        ("cutting_vise", saw.plant.cutting_vise),
        ("shuttle_vise", saw.plant.shuttle_vise),
    ):
        hold_until(session, f"{vise}.release", lambda: jaw.back, 10.0)  # noqa: B023 - at once
    autopilot.raise_head(session)
    session.set("mode.key", "in my pocket")
    session.load_bar()
    session.set("mode.key", "in the switch")


def look_after(session: Session) -> None:
    """Do what a good operator does each day: fill up."""
    for name, setting in EACH_DAY:
        session.set(name, setting)


def change_band(session: Session) -> None:
    """Lock out, fit a new band of the same pitch, and set the saw up anew."""
    to_mode(session, "MANUAL")
    fit = "band.teeth_per_inch"
    autopilot._set_freed(session, fit, session.saw.read(fit))
    autopilot.set_up(session)


NEARLY_WORN = 0.8  # share of a band's life
EACH_DAY = (
    ("mode.key", "in my pocket"),
    ("coolant.level_percent", 90.0),
    ("mode.key", "in the switch"),
)


def soak(hours: float, path: Path, told: int = 0) -> tuple[Session, Soaked]:
    """Run one session for so many simulated hours.

    Args:
        hours: How long.
        path: Its record.
        told: How often to print on the way how it stands.
    """
    record = LastingRecord(path, durable=False)
    session = open_session("rail-posts", record=record, nonce="soak")
    session.lasting = record
    bars, next_told = 1, hours / told if told else hours
    autopilot.whole_job(session)
    while session.now_s < hours * 3600.0 and not session.over:
        another_bar(session)
        autopilot.begin(session)
        outcome = autopilot.run(session)
        bars += 1
        if session.saw.plant.coolant.place.position < 0.5:
            look_after(session)
        if session.saw.plant.blade.wear > NEARLY_WORN:
            change_band(session)
        if not outcome.finished:
            print(
                "stands:",
                outcome,
                session.saw.plant.coolant.place.position,
                [str(e.message) for e in session.heard.events[-6:]],
            )
            break
        if told and session.now_s / 3600.0 >= next_told:
            print(_came_to(session, path, bars))
            next_told += hours / told
    session.close()
    return session, _came_to(session, path, bars)


def _came_to(session: Session, path: Path, bars: int) -> Soaked:
    assert session.lasting is not None
    return Soaked(
        round(session.now_s / 3600.0, 1), bars, len(session.saw.cuts), len(session.heard.events),
        len(session.done.all), session.lasting._links.count, round(path.stat().st_size / 1e6, 1),
        round(memory_mb(), 1),
    )  # fmt: skip


def read(path: Path) -> tuple[int, int, float]:
    """Return the acts and events of a record, read in a stream, and the memory of this process, MB."""
    record = read_record(path)
    acts = sum(1 for _ in record.acts)
    return acts, sum(1 for _ in record.events), round(memory_mb(), 1)


def main() -> None:
    """Read the arguments and run."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--hours", type=float, default=100.0)
    asked.add_argument("--record", type=Path)
    asked.add_argument("--read", action="store_true")
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = given.record or Path(folder) / "soak.jsonl"
        began = time.perf_counter()
        print(soak(given.hours, path, told=10)[1])
        print(f"wall {time.perf_counter() - began:.0f} s")
        if given.read:
            program = "import sys; sys.path[:0] = sys.argv[2:]; from soak import read, Path; print(read(Path(sys.argv[1])))"
            words = [
                sys.executable,
                "-c",
                program,
                str(path),
                str(ROOT),
                str(Path(__file__).parent),
            ]
            print(
                "read: acts, events, MB:",
                subprocess.run(words, check=True, capture_output=True, text=True).stdout,
            )


if __name__ == "__main__":
    main()
