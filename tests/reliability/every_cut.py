"""Cuts the record of a session at every byte: what stands before the cut is all there, and plays.

Run it: python -m tests.reliability.every_cut [--every N]. It prints how many cuts were tried, and how
many came to something else than the whole lines before them. Replays are tried at every line's end.
"""

import argparse
import tempfile
from collections.abc import Iterable
from pathlib import Path

from sim.debrief.debrief import finish
from sim.errors import RecordError
from sim.pilot.autopilot import power_up
from sim.records.reading import read_record
from sim.session.opening import open_recorded
from sim.session.playback.replay import replay


def record_of_a_drill(path: Path) -> None:
    """Write the record of a short drill: keys, looks, a note, a hint, an order, a debrief."""
    session = open_recorded("posts-come-out-short", path)
    power_up(session)
    session.inspect("stop-play", "sound")
    session.note('Ø 60 mm, 木\n\x00 {} \\ "h":"')
    session.instructor.mark("here")
    session.set("head.feed_valve_mm_min", 120.0)
    session.diagnose("air-regulator-low")
    finish(session)


def tried(path: Path, cuts: Iterable[int]) -> tuple[int, list[str]]:
    """Return how many cuts were tried, and what was wrong with any.

    Args:
        path: A whole record; what is cut lies beside it.
        cuts: Lengths in bytes.
    """
    whole = path.read_bytes()
    record = read_record(path)
    acts, events = list(record.acts), list(record.events)
    numbers = [number for number, _ in acts]
    cut, count, wrong = path.with_name("cut.jsonl"), 0, []
    for length in cuts:
        count += 1
        cut.write_bytes(whole[:length])
        lines = whole[:length].count(b"\n")
        try:
            left = read_record(cut, allow_cut=True)
        except RecordError as fault:
            if lines >= 2 or not str(fault.where).startswith(str(cut)):
                wrong.append(f"{length}: {fault}")
            continue
        kept = list(left.acts)
        due = acts[: sum(number <= lines for number in numbers)]
        told = list(left.events)
        if kept != due or told != events[: len(told)] or left.count != lines or left.left_out:
            wrong.append(f"{length}: {len(kept)} acts of {len(due)}, {left.count} lines of {lines}")
        elif whole[length - 1 : length] == b"\n" and not replay(cut, allow_cut=True).same:
            wrong.append(f"{length}: played again it is another")
    return count, wrong


def main() -> None:
    """Read the arguments and run."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--every", type=int, default=1, help="bytes from one cut to the next")
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "one.jsonl"
        record_of_a_drill(path)
        size = path.stat().st_size
        print(f"{size} bytes;", *tried(path, range(0, size, given.every)))


if __name__ == "__main__":
    main()
