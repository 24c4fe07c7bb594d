"""Whether a trainee could read what a drill hides before it was begun: an earlier record of it tells.

A record tells once it is closed, and one of a drill that was broken off tells as well; an assessment
that was broken off and a session that still runs tell nothing (see `who_may`). A drill is known by
what is in its file, a trainee by the pseudonym.

The limit of it: it looks where the new record lies and in the record folder. What was played without
a record, under another pseudonym or in another folder is not known.
"""

from collections.abc import Iterable, Iterator
from contextlib import suppress
from itertools import islice
from pathlib import Path
from typing import Final

from sim.errors import DrycycleError, RecordError
from sim.records.folder import home
from sim.records.hold import is_held
from sim.records.reading import read_record
from sim.records.regular import reading

_OPENS_WITHIN: Final = 4  # lines
_MOST_LINE: Final = 2_000_000  # octets, far more than an opening line has


def answer_known(scenario_sha256: str, who: str, record: Path) -> bool:
    """Return whether a record of the same scenario by the same trainee could be read by now.

    Args:
        scenario_sha256: Of the scenario's file.
        who: The trainee's pseudonym; empty for those without one.
        record: Where the new record will be; the file need not be there.
    """
    return any(_tells(path, scenario_sha256, who) for path in _beside(record))


def _beside(record: Path) -> Iterable[Path]:
    folders = [record.resolve().parent]
    with suppress(RecordError, OSError):  # no home that can be read has no record
        folders.append((home() / "records").resolve())
    for folder in dict.fromkeys(folders):
        with suppress(OSError):
            yield from sorted(folder.glob("*.jsonl"))


def _tells(path: Path, scenario_sha256: str, who: str) -> bool:
    try:
        if not any(scenario_sha256.encode() in line for line in _first_lines(path)):
            return False
        record = read_record(path, allow_cut=True)
    except (DrycycleError, OSError, ValueError):
        return False
    opening = record.opening
    if opening.scenario_sha256 != scenario_sha256 or opening.who != who:
        return False
    if record.closing is not None:
        return True
    return opening.mode != "assessment" and not is_held(path, unknown=False)


def _first_lines(path: Path) -> Iterator[bytes]:
    with reading(path) as file:
        yield from islice(iter(lambda: file.readline(_MOST_LINE), b""), _OPENS_WITHIN)
