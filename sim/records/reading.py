"""The one gate for records: lines that were checked for their chain become typed rows.

A line that does not fit is listed with its place and left out. The whole record is refused only when
its opening does not fit, or its closing where one must be there. Nothing in a file makes a traceback.

Never here: playing a record again.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any, Final

import sim
from sim.errors import RecordError
from sim.records.acts import Act, OrderRefused, PutIn, TakenOut, act_from, is_order
from sim.records.chain_check import read_chain
from sim.records.kinds import refuse_line
from sim.records.rows import Closing, Happened, Opening, SealedAct, row_from
from sim.records.seal import fault_seal, opened_message
from sim.words.fields import name, part
from sim.words.message import NOTHING, Message, plain, row

OPEN: Final = "open"  # the act of the opening line

_NO_SESSION: Final = plain("record.no-session", "this is not the record of a session")
_ANOTHER: Final = plain("record.name-another", "name another")
_BEFORE_FIRST: Final = plain(
    "record.cut-before-first-act", "the record was cut before its first act"
)
_NOTHING_IN_IT: Final = plain("record.nothing-in-it", "nothing is in it")
_OTHER_VERSION: Final = row(
    "record.other-version", "the record was made by version {version}", version=name()
)
_PLAY_WITH: Final = row(
    "record.other-version.to-do", "play it with that version; this is {version}", version=name()
)
_NO_LINE: Final = plain("record.no-line", "this line is neither an act nor an event")
_TWO_OPENINGS: Final = plain("record.two-openings", "a session opens only once")
_NOT_OPENED: Final = plain("record.seal-not-opened", "the closing line does not open this seal")
_GOES_BACK: Final = plain("record.goes-back", "it lies before the line before it")
_LEFT_OUT: Final = row("record.left-out", "{place} left out: {what}", place=name(), what=part())


@dataclass(frozen=True, slots=True)
class LeftOut:
    """One line that did not fit."""

    place: str  # path and line
    what: Message

    @property
    def message(self) -> Message:
        """Where, and what is wrong with it."""
        return _LEFT_OUT(place=self.place, what=self.what)


@dataclass(slots=True)
class _Rows:
    """The lines between opening and closing, by kind."""

    acts: list[tuple[int, Act]] = field(default_factory=list)
    sealed: list[tuple[int, SealedAct]] = field(default_factory=list)
    events: list[Happened] = field(default_factory=list)
    left_out: list[LeftOut] = field(default_factory=list)
    before_seal: int = 0  # events that stand before the first seal
    refusals: int = 0  # sealed, so far


@dataclass(frozen=True, slots=True)
class Unopened:
    """Where a record without its closing line stops being playable: at its first seal."""

    line: int  # its number
    at_us: int
    events: int  # so many stand before it


@dataclass(frozen=True)
class SessionRecord:
    """The record of one session."""

    name: str
    engine: str
    opening: Opening
    closing: Closing | None  # None of a record that ends early
    head: str  # digest of its last whole line
    count: int  # of its whole lines
    cut: Message  # how it ends early, a clause; nothing of a whole one
    lines: tuple[dict[str, Any], ...]  # between the header and the last one
    opening_line: Mapping[str, Any]

    @property
    def nonce(self) -> str:
        """What opens its seals; empty where the closing line is missing."""
        return self.closing.nonce if self.closing is not None else ""

    @property
    def acts(self) -> list[tuple[int, Act]]:
        """The acts that can be played, with the numbers of their lines from 1.

        Where the closing line is missing, acts on faults that are still sealed are left out.
        """
        return self._rows.acts

    @property
    def sealed(self) -> list[tuple[int, SealedAct]]:
        """The acts on faults, under their seals."""
        return self._rows.sealed

    @property
    def unopened(self) -> Unopened | None:
        """The first seal that nothing opens; None where there is none.

        What the machine did from there on cannot be played: the record does not say what was done
        to it.
        """
        if self.closing is not None or not self.sealed:
            return None
        line, act = self.sealed[0]
        return Unopened(line, act.at_us, self._rows.before_seal)

    @property
    def events(self) -> list[Happened]:
        """What happened on the machine."""
        return self._rows.events

    @property
    def left_out(self) -> list[LeftOut]:
        """The lines that do not fit."""
        return self._rows.left_out

    @property
    def instructor_lines(self) -> list[dict[str, Any]]:
        """The lines of the instructor's acts, as they stand: no seal is opened."""
        played = {number for number, act in self.acts if is_order(act)}
        numbers = played | {number for number, _ in self.sealed}
        return [self.lines[number - 2] for number in sorted(numbers)]

    @property
    def last_us(self) -> int:
        """The last moment that the record knows of."""
        if self.closing is not None:
            return self.closing.at_us
        moments = [act.at_us for _, act in self.acts] + [each.at_us for each in self.events]
        return max([0, *moments, *(act.at_us for _, act in self.sealed)])

    def check_engine(self) -> None:
        """Refuse a record that another version of the program made.

        Raises:
            RecordError: It was made by another version, which it names.
        """
        if self.engine != sim.__version__:
            what = _OTHER_VERSION(version=self.engine)
            raise RecordError(what, self.name, _PLAY_WITH(version=sim.__version__))

    @cached_property
    def _rows(self) -> _Rows:
        rows, last_us = _Rows(), 0
        for number, line in enumerate(self.lines, start=2):
            where = f"{self.name}:{number}"
            if line is self.opening_line:
                continue
            try:
                found = _row(line, where)
                if found.at_us < last_us:
                    raise refuse_line(_GOES_BACK, where)
            except RecordError as fault:
                rows.left_out.append(LeftOut(where, fault.what))
                continue
            last_us = found.at_us
            if isinstance(found, Happened):
                rows.events.append(found)
            elif isinstance(found, SealedAct):
                self._put_sealed(rows, number, found)
            elif isinstance(found, OrderRefused) and found.sealed:
                rows.acts.append((number, self._opened(rows, number, found)))
            else:
                rows.acts.append((number, found))
        return rows

    def _opened(self, rows: _Rows, number: int, act: OrderRefused) -> OrderRefused:
        """Return a refusal with the reason that was sealed, where there is a closing line to open it."""
        place = rows.refusals
        rows.refusals += 1
        if self.closing is None:
            return act
        where = f"{self.name}:{number}"
        try:
            why = json.loads(opened_message(place, act.sealed, self.nonce))
        except (ValueError, RecursionError):
            raise refuse_line(_NOT_OPENED, where) from None
        opened = act_from(
            {"act": act.kind.value, "at_us": act.at_us, "order": act.order, "why": why}, where
        )
        assert isinstance(opened, OrderRefused)
        return opened

    def _put_sealed(self, rows: _Rows, number: int, act: SealedAct) -> None:
        """Put a sealed act in with its fault's name, where there is a closing line to open it."""
        if not rows.sealed:
            rows.before_seal = len(rows.events)
        rows.sealed.append((number, act))
        if self.closing is None:
            return
        place, names = len(rows.sealed) - 1, self.closing.sealed
        fault = names[place] if place < len(names) else ""
        if not fault or act.seal != fault_seal(place, fault, self.nonce):
            raise refuse_line(_NOT_OPENED, f"{self.name}:{number}")
        kind = PutIn if act.act == PutIn.kind else TakenOut
        rows.acts.append((number, kind(act.at_us, fault, act.by)))


def _row(line: Mapping[str, Any], where: str) -> Act | SealedAct | Happened:
    if "event" in line:
        return row_from(Happened, line, where)
    if line.get("act") == OPEN:
        raise refuse_line(_TWO_OPENINGS, where)
    if "seal" in line:
        return row_from(SealedAct, line, where)
    if "act" in line:
        return act_from(line, where)
    raise refuse_line(_NO_LINE, where)


def read_record(path: Path, *, allow_cut: bool = False) -> SessionRecord:
    """Return the record of a session.

    Args:
        path: Its file.
        allow_cut: Take one whose end is missing.

    Raises:
        RecordError: The file is no record, was changed, is of another format, is cut where that is
            not allowed, or its opening or closing line does not fit.
    """
    name = str(path)
    header, *lines, last = read_chain(path, allow_cut=allow_cut)
    cut = last.get("cut", NOTHING)
    found = next((n for n, line in enumerate(lines) if line.get("act") == OPEN), None)
    if found is None and cut:
        raise RecordError(_BEFORE_FIRST, name, _NOTHING_IN_IT)
    if found is None or not (cut or last.get("last")):
        raise RecordError(_NO_SESSION, name, _ANOTHER)
    told = {key: value for key, value in lines[found].items() if key != "act"}
    opening = row_from(Opening, told, f"{name}:{found + 2}")
    closing = None if cut else row_from(Closing, last["last"], f"{name}:{len(lines) + 2}")
    engine = header.get("engine")
    return SessionRecord(
        name, engine if isinstance(engine, str) else "", opening, closing, str(last["head"]),
        len(lines) + 1, cut, tuple(lines), lines[found],
    )  # fmt: skip
