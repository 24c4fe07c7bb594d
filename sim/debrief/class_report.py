"""The records of a class side by side: who did what, how well, and what it adds up to.

What a session was worth stands in the closing line of its record, written when it was closed. A
record without that is played again, which takes the scenario and the engine of its time. A record
that was cut, or cannot be read or played, is listed with the reason and counts for nothing.

There is no name of a person in a record, only the pseudonym given with `--who`; who is behind it is
on the instructor's own list.
"""

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import astuple, dataclass, fields
from pathlib import Path
from statistics import mean
from typing import Any, Final

from sim.debrief.debrief import debrief, summary
from sim.debrief.paper import BAD, GOOD, STYLE, el, page, table
from sim.errors import DrycycleError, RecordError
from sim.records.chain import read_chain
from sim.session.replay import replay

NOBODY: Final = "not named"


@dataclass(frozen=True, slots=True)
class SessionRow:
    """One record."""

    who: str
    scenario: str
    mode: str
    score: int
    passed: bool
    minutes: float
    critical: int  # acts
    hints: int
    record: str  # file name


@dataclass(frozen=True, slots=True)
class Total:
    """What the records of one person, or of all, come to."""

    who: str
    sessions: int
    passed: int
    mean_score: float
    minutes: float
    critical: int
    hints: int


@dataclass(frozen=True, slots=True)
class Class:
    """The records of a folder."""

    rows: tuple[SessionRow, ...]  # by person, then scenario, then file
    people: tuple[Total, ...]
    total: Total
    left_out: tuple[tuple[str, str], ...]  # file name and reason


def class_of(folder: Path, *, recount: bool = False) -> Class:
    """Return what the records of a folder and the folders in it come to.

    Args:
        folder: Where the records lie.
        recount: Play every record again, and leave out those whose closing line says otherwise.

    Raises:
        RecordError: There is no such folder, or no record in it.
    """
    if not folder.is_dir():
        raise RecordError("there is no such folder", str(folder), "name a folder with records")
    paths = sorted(p for p in folder.rglob("*.jsonl") if not p.name.endswith(".orders.jsonl"))
    if not paths:
        raise RecordError("there is no record in the folder", str(folder), "records end in .jsonl")
    rows: list[SessionRow] = []
    left_out: list[tuple[str, str]] = []
    for path in paths:
        name = path.relative_to(folder).as_posix()
        try:
            rows.append(_row(path, name, recount))
        except DrycycleError as fault:
            left_out.append((name, str(fault.what)))
    rows.sort(key=lambda row: (row.who, row.scenario, row.record))
    people = tuple(
        _total(who, [row for row in rows if row.who == who])
        for who in dict.fromkeys(row.who for row in rows)
    )
    return Class(tuple(rows), people, _total("All", rows), tuple(left_out))


def _row(path: Path, name: str, recount: bool) -> SessionRow:
    lines = read_chain(path)
    opening = next((line for line in lines if line.get("act") == "open"), None)
    if opening is None:
        raise RecordError("this is not the record of a session", str(path))
    told = lines[-1].get("last", {}).get("summary")
    worth = _kept(told, path) if told is not None else _again(path, None)
    if recount and told is not None:
        worth = _again(path, worth)
    return SessionRow(
        str(opening.get("who") or NOBODY), str(opening.get("scenario", "")),
        str(opening.get("mode", "")), int(worth["score"]), bool(worth["passed"]),
        float(worth["minutes"]), int(worth["critical"]), int(worth["hints"]), name,
    )  # fmt: skip


def _again(path: Path, told: Mapping[str, Any] | None) -> Mapping[str, Any]:
    """Return what a record comes to when it is played again, which must be what it tells."""
    played = replay(path)
    worth = dict(summary(debrief(played.session)))
    if not played.same or (told is not None and worth != told):
        raise RecordError("played again, it comes to something else", str(path))
    return worth


def _kept(told: Any, path: Path) -> Mapping[str, Any]:
    needs = ("score", "passed", "minutes", "critical", "hints")
    if not isinstance(told, dict) or any(not isinstance(told.get(n), int | float) for n in needs):
        raise RecordError("its closing line is not this program's", str(path))
    return told


def _total(who: str, rows: Sequence[SessionRow]) -> Total:
    return Total(
        who,
        len(rows),
        sum(row.passed for row in rows),
        mean(row.score for row in rows) if rows else 0.0,
        sum(row.minutes for row in rows),
        sum(row.critical for row in rows),
        sum(row.hints for row in rows),
    )


def csv_of(found: Class) -> str:
    """Return the records as comma-separated values, a line each; totals are left to the reader."""
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\n")
    write.writerow(field.name for field in fields(SessionRow))
    write.writerows(map(_safe, map(astuple, found.rows)))
    return out.getvalue()


def _safe(cells: Iterable[object]) -> list[object]:
    """Keep a spreadsheet from taking a text for a formula."""
    return [f"'{c}" if isinstance(c, str) and c[:1] in "=+-@\t" and c else c for c in cells]


_STYLE: Final = f"""{STYLE}
table.numbers td, table.numbers thead th:not(:first-child) {{ text-align: right; }}
.flag.good {{ color: {GOOD}; font-weight: 600; }}
.flag.bad {{ color: {BAD}; font-weight: 600; }}
"""
_HEADS: Final = ("Who", "Sessions", "Passed", "Mean score", "Minutes", "Critical acts", "Hints")


def html_of(found: Class) -> str:
    """Return the class as one self-contained page."""
    totals = [
        (t.who, f"{t.sessions}", f"{t.passed}", f"{t.mean_score:.1f}", f"{t.minutes:.1f}",
         f"{t.critical}", f"{t.hints}")
        for t in (*found.people, found.total)
    ]  # fmt: skip
    rows = [
        (
            r.who, r.scenario, r.mode, f"{r.score}",
            el("span", "passed" if r.passed else "not passed", class_=_flag(r.passed)),
            f"{r.minutes:.1f}", f"{r.critical}", f"{r.hints}",
        )
        for r in found.rows
    ]  # fmt: skip
    heads = ("Who", "Scenario", "Mode", "Score", "", "Minutes", "Critical acts", "Hints")
    left = (
        [el("h2", "Left out"), table(("Record", "Why"), found.left_out)] if found.left_out else []
    )
    return page(
        "Class report",
        _STYLE,
        el("h1", "Class report"),
        el("p", "Minutes are simulated. A critical act fails a session.", class_="quiet"),
        el("h2", "By person"),
        table(_HEADS, totals, "numbers"),
        el("h2", "By session"),
        table(heads, rows),
        *left,
    )


def _flag(passed: bool) -> str:
    return "flag good" if passed else "flag bad"
