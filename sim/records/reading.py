"""The one gate for records: lines that were checked for their chain become typed rows.

A line that does not fit is listed with its place and left out. The whole record is refused only when
its opening does not fit, or its closing where one must be there. Nothing in a file makes a traceback.

Never here: playing a record again.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import islice
from pathlib import Path
from typing import Any, Final

import sim
from sim.errors import RecordError
from sim.records.acts import Act, OrderRefused, PutIn, Rewound, TakenOut, act_from, is_order
from sim.records.chain_check import walk_chain
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


@dataclass(frozen=True, slots=True)
class Unopened:
    """Where a record without its closing line stops being playable: at its first seal."""

    line: int  # its number
    at_us: int
    events: int  # so many stand before it


@dataclass(slots=True)
class _Look:
    """What a look over all lines has shown; what lasts as long as the record is not in it."""

    sealed: list[tuple[int, SealedAct]] = field(default_factory=list)
    left_out: list[LeftOut] = field(default_factory=list)
    instructor_lines: list[dict[str, Any]] = field(default_factory=list)
    unopened: Unopened | None = None
    last_us: int = 0


@dataclass(frozen=True)
class SessionRecord:
    """The record of one session; its lines are read from the file anew, in a stream, whenever asked for."""

    name: str  # the path of its file
    engine: str
    opening: Opening
    closing: Closing | None  # None of a record that ends early
    head: str  # digest of its last whole line
    count: int  # of its whole lines
    cut: Message  # how it ends early, a clause; nothing of a whole one
    opening_number: int  # of the line that opens it

    @property
    def nonce(self) -> str:
        """What opens its seals; empty where the closing line is missing."""
        return self.closing.nonce if self.closing is not None else ""

    @property
    def acts(self) -> Iterator[tuple[int, Act]]:
        """The acts that can be played, with the numbers of their lines from 1.

        Where the closing line is missing, acts on faults that are still sealed are left out.
        """
        seals = refusals = 0
        for number, found, _ in self._rows():
            if isinstance(found, SealedAct):
                seals += 1
                if self.closing is not None:
                    yield number, self._opened(number, found, seals - 1)
            elif isinstance(found, OrderRefused) and found.sealed:
                refusals += 1
                closed = self.closing is not None
                yield number, self._reason_opened(number, found, refusals - 1) if closed else found
            elif not isinstance(found, Happened | LeftOut):
                yield number, found

    @property
    def sealed(self) -> list[tuple[int, SealedAct]]:
        """The acts on faults, under their seals."""
        return self._look.sealed

    @property
    def unopened(self) -> Unopened | None:
        """The first seal that nothing opens; None where there is none.

        What the machine did from there on cannot be played: the record does not say what was done
        to it.
        """
        return self._look.unopened if self.closing is None else None

    @property
    def events(self) -> Iterator[Happened]:
        """What happened on the machine."""
        return (found for _, found, _ in self._rows() if isinstance(found, Happened))

    @property
    def left_out(self) -> list[LeftOut]:
        """The lines that do not fit."""
        return self._look.left_out

    @property
    def instructor_lines(self) -> list[dict[str, Any]]:
        """The lines of the instructor's acts, as they stand: no seal is opened."""
        return self._look.instructor_lines

    @property
    def last_us(self) -> int:
        """The last moment that the record knows of."""
        return self.closing.at_us if self.closing is not None else self._look.last_us

    def check_engine(self) -> None:
        """Refuse a record that another version of the program made.

        Raises:
            RecordError: It was made by another version, which it names.
        """
        if self.engine != sim.__version__:
            what = _OTHER_VERSION(version=self.engine)
            raise RecordError(what, self.name, _PLAY_WITH(version=sim.__version__))

    @cached_property
    def _look(self) -> _Look:
        look, events = _Look(), 0
        for number, found, line in self._rows():
            if isinstance(found, LeftOut):
                look.left_out.append(found)
                continue
            look.last_us = _until_us(found)
            events += isinstance(found, Happened)
            if isinstance(found, SealedAct):
                if look.unopened is None:
                    look.unopened = Unopened(number, found.at_us, events)
                look.sealed.append((number, found))
                look.instructor_lines.append(line)
            elif not isinstance(found, Happened) and is_order(found):
                look.instructor_lines.append(line)
        return look

    def _rows(self) -> Iterator[tuple[int, Act | SealedAct | Happened | LeftOut, dict[str, Any]]]:
        """Yield the lines between opening and closing: number, row, and the line as it stands."""
        last_us = 0
        lines = islice(walk_chain(Path(self.name), allow_cut=True), 1, self.count)
        for number, line in enumerate(lines, start=2):
            where = f"{self.name}:{number}"
            if number == self.opening_number:
                continue
            try:
                found = _row(line, where)
                if found.at_us < last_us:
                    raise refuse_line(_GOES_BACK, where)
            except RecordError as fault:
                yield number, LeftOut(where, fault.what), line
                continue
            last_us = _until_us(found)
            yield number, found, line

    def _reason_opened(self, number: int, act: OrderRefused, place: int) -> OrderRefused:
        """Return a refusal with the reason that was sealed."""
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

    def _opened(self, number: int, act: SealedAct, place: int) -> Act:
        """Return a sealed act with its fault's name."""
        assert self.closing is not None
        names = self.closing.sealed
        fault = names[place] if place < len(names) else ""
        if not fault or act.seal != fault_seal(place, fault, self.nonce):
            raise refuse_line(_NOT_OPENED, f"{self.name}:{number}")
        kind = PutIn if act.act == PutIn.kind else TakenOut
        return kind(act.at_us, fault, act.by)


def _until_us(found: Act | SealedAct | Happened) -> int:
    """Return the moment that a line leaves the session at: its own, or that to which it goes back."""
    return found.to_us if isinstance(found, Rewound) else found.at_us


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
    chain = walk_chain(path, allow_cut=allow_cut)
    header = next(chain)
    opening_line, opens, number, last = None, 0, 1, header
    for number, last in enumerate(chain, start=2):
        if opening_line is None and last.get("act") == OPEN:
            opening_line, opens = last, number
    cut = last.get("cut", NOTHING)
    if opening_line is None and cut:
        raise RecordError(_BEFORE_FIRST, name, _NOTHING_IN_IT)
    if opening_line is None or not (cut or last.get("last")):
        raise RecordError(_NO_SESSION, name, _ANOTHER)
    told = {key: value for key, value in opening_line.items() if key != "act"}
    opening = row_from(Opening, told, f"{name}:{opens}")
    closing = None if cut else row_from(Closing, last["last"], f"{name}:{number}")
    engine = header.get("engine")
    return SessionRecord(
        name, engine if isinstance(engine, str) else "", opening, closing, str(last["head"]),
        number - 1, cut, opens,
    )  # fmt: skip
