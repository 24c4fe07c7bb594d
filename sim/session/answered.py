"""Whether a trainee could read or rehearse what a drill hides before it was begun: by an earlier record of it.

A record tells once it is closed, and one of a drill that was broken off tells as well; an assessment
that was broken off and a session that still runs tell nothing (see `who_may`). A drill is known by
what is in its file, a trainee by the pseudonym, whatever its letters' case. An attempt that has no end
and in which something was named, or put or set right, tells nothing, and was a rehearsal all the same.

The limit of it: it looks where the new record lies and in the record folder. What was played without
a record, under another pseudonym or in another folder is not known.
"""

from collections.abc import Iterable, Iterator
from contextlib import suppress
from itertools import islice
from pathlib import Path
from typing import Final

from sim.errors import DrycycleError, RecordError
from sim.faults.catalogue import CATALOGUE
from sim.records.acts import Act, Adjusted, Diagnosed, Mended, Swapped
from sim.records.folder import home
from sim.records.hold import is_held
from sim.records.reading import SessionRecord, read_record
from sim.records.regular import reading
from sim.session.hands.table import mended_by_setting

_OPENS_WITHIN: Final = 4  # lines
_MENDING: Final = frozenset().union(*map(mended_by_setting, CATALOGUE.values()))
_MOST_LINE: Final = 2_000_000  # octets, far more than an opening line has


def answer_known(scenario_sha256: str, who: str, record: Path) -> bool:
    """Return whether a record of the same scenario by the same trainee could be read by now.

    Args:
        scenario_sha256: Of the scenario's file.
        who: The trainee's pseudonym; empty for those without one.
        record: Where the new record will be; the file need not be there.
    """
    return any(_tells(each, path) for path, each in _of_the_same(scenario_sha256, who, record))


def rehearsed(scenario_sha256: str, who: str, record: Path) -> bool:
    """Return whether the same trainee tried a name or a remedy on the same scenario, in a record without an end.

    Args:
        scenario_sha256: Of the scenario's file.
        who: The trainee's pseudonym; empty for those without one.
        record: Where the new record will be; the file need not be there.
    """
    return any(
        each.closing is None and any(map(_tries, (act for _, act in each.acts)))
        for _, each in _of_the_same(scenario_sha256, who, record)
    )


def _tries(act: Act) -> bool:
    """Return whether an act tries what is wrong: a name, a remedy, or a setting that can be one."""
    return isinstance(act, Diagnosed | Mended | Swapped) or (
        isinstance(act, Adjusted) and act.name in _MENDING
    )


def _of_the_same(
    scenario_sha256: str, who: str, record: Path
) -> Iterator[tuple[Path, SessionRecord]]:
    for path in _beside(record):
        with suppress(DrycycleError, OSError, ValueError):
            if not any(scenario_sha256.encode() in line for line in _first_lines(path)):
                continue
            found = read_record(path, allow_cut=True)
            opening = found.opening
            if (
                opening.scenario_sha256 == scenario_sha256
                and opening.who.casefold() == who.casefold()
            ):
                yield path, found


def _beside(record: Path) -> Iterable[Path]:
    folders = [record.resolve().parent]
    with suppress(RecordError, OSError):  # no home that can be read has no record
        folders.append((home() / "records").resolve())
    for folder in dict.fromkeys(folders):
        with suppress(OSError):
            yield from sorted(folder.glob("*.jsonl"))


def _tells(record: SessionRecord, path: Path) -> bool:
    if record.closing is not None:
        return True
    return record.opening.mode != "assessment" and not is_held(path, unknown=False)


def _first_lines(path: Path) -> Iterator[bytes]:
    with reading(path) as file:
        yield from islice(iter(lambda: file.readline(_MOST_LINE), b""), _OPENS_WITHIN)
