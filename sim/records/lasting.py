"""A record that outlasts its file: what was acknowledged stays, whatever becomes of folder and disk.

Before each line the file is looked after. Where it is gone, renamed or cut, or the disk takes no more,
the whole record is written once more into a rescue file, beside it where that can be or else in
another folder, and goes on there. Where no folder takes it, it goes on in memory, and is written as
soon as there is room, at the latest at the close. Whoever sits at the saw is told each time.

    home/records/rail-posts-….jsonl  ->  rail-posts-….rescue.jsonl there  ->  beside home  ->  in the
    folder for temporary files  ->  memory

Never here: what the lines say.
"""

import contextlib
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Final

from sim.errors import RecordError
from sim.records.chain import Links, closing_of, header_of
from sim.records.folder import home
from sim.records.packed import PackedLines
from sim.records.store import AppendFile
from sim.words.fields import name, part
from sim.words.message import Message, plain, row

_TOUCHED: Final = plain("lasting.touched", "it was removed, renamed or changed by something else")
_MOVED: Final = row(
    "lasting.moved",
    "The record cannot go on in {file}: {why}. Nothing is lost: all of it is in {rescue} now, and goes "
    "on there.",
    file=name(), why=part(), rescue=name(),
)  # fmt: skip
_IN_MEMORY: Final = row(
    "lasting.in-memory",
    "The record cannot go on in {file}: {why}. No other folder takes it either, so it goes on in "
    "memory and is written as soon as there is room: make some.",
    file=name(), why=part(),
)  # fmt: skip
_WRITTEN: Final = row(
    "lasting.written", "There is room again: all of the record is in {file}.", file=name()
)
_UNSAVED: Final = row(
    "lasting.unsaved",
    "The record of this session could not be saved, in {file} or in any other folder: {why}.",
    file=name(), why=part(),
)  # fmt: skip
_RARELY: Final = 64  # lines, between two looks for room
RESCUE: Final = ".rescue"  # in the name of every rescue file
_MOST_NAMES: Final = 9  # that are tried in a folder


class LastingRecord:
    """A record in a new file, and in another where that one fails.

    Args:
        path: Where; nothing may be there yet.
        header: What the first line says besides the mark of the program.
        durable: Wait for the disk at every line; without it a pulled plug loses more.

    Raises:
        RecordError: The file is there already or cannot be made.
    """

    def __init__(
        self, path: Path, header: Mapping[str, object] | None = None, *, durable: bool = True
    ) -> None:
        self._asked = path
        self._durable = durable
        self._links = Links()
        self._packed = PackedLines()
        self._news: list[Message] = []
        self._in_memory = False  # some of it is in no file
        self._why: Message = _TOUCHED  # for which no file takes it, where none does
        self._look_at = 0  # with so many lines, room is looked for again
        self._written = 0  # lines that are in the file
        # Files that it goes on from; held to the end, so that each is seen to be of a session that runs.
        self._left: list[AppendFile] = []
        self._file = AppendFile(path, durable=durable)
        try:
            self._file.add(self._keep("begin", self._links.content(header_of(header))))
        except BaseException:
            self._file.drop_empty()
            raise
        self._written = 1

    @property
    def path(self) -> Path | None:
        """The file that all of the record is in; None while some of it is in memory only."""
        return None if self._in_memory else self._file.path

    @property
    def head(self) -> str:
        """Hash of the last line, which stands for the whole record."""
        return self._links.head

    def news(self) -> tuple[Message, ...]:
        """Return what is to be told of the record and was not told yet."""
        self.look()
        told, self._news = tuple(self._news), []
        return told

    def look(self) -> None:
        """Look after the file, and go on elsewhere where it does not stand as it was left."""
        if not self._in_memory and not self._file.stands():
            self._rescue(_TOUCHED)
            if self._links.closed:
                self.abandon()

    def append(self, act: Mapping[str, object]) -> str:
        """Keep an act as the next line; return the record's new head.

        Raises:
            RecordError: The record is closed, or the act is not made of JSON's values.
        """
        return self._add("act", act)

    def close(self, last: Mapping[str, object] | None = None) -> str:
        """Keep the closing line, with count and head and what `last` says; return the head."""
        head = self._add("close", closing_of(self._links, last))
        self._links.closed = True
        if self._in_memory:
            self._rescue(self._why)
        if self._in_memory:
            self._news = [_UNSAVED(file=str(self._asked), why=self._why)]
        self.abandon()
        return head

    def abandon(self) -> None:
        """Let the file go without a closing line: whoever reads it is told that it was cut."""
        self._file.close()
        while self._left:
            self._left.pop().drop_empty()

    def _add(self, kind: str, act: Mapping[str, object]) -> str:
        line = self._keep(kind, self._links.content(act))
        if not self._in_memory:
            self._write(line)
        elif self._links.count >= self._look_at:
            self._rescue(self._why)
        return self._links.head

    def _keep(self, kind: str, content: str) -> bytes:
        line = self._links.next_line(kind, content)
        self._packed.add(kind, content)
        self._links.accept(line)
        return line.encode()

    def _write(self, line: bytes) -> None:
        """Write a line to the file that has all before it, or all of them to another."""
        if not self._file.stands():
            self._rescue(_TOUCHED)
            return
        try:
            self._file.add(line)
        except RecordError as fault:
            self._rescue(_reason(fault))
            return
        self._written += 1

    def _rescue(self, why: Message) -> None:
        """Have all of the record in a file again, or go on in memory."""
        was_in_memory, before = self._in_memory, self._file.path
        self._why = why
        self._in_memory = not (self._caught_up() or self._elsewhere())
        now = self._file.path
        if self._in_memory:
            self._look_at = self._links.count + _RARELY
            if not was_in_memory:
                self._news.append(_IN_MEMORY(file=str(before), why=why))
        elif was_in_memory:
            self._news.append(_WRITTEN(file=str(now)))
        elif now != before:
            self._news.append(_MOVED(file=str(before), why=why, rescue=str(now)))

    def _caught_up(self) -> bool:
        """Write to the file that is there what it wants; return whether it took it."""
        if not self._file.stands():
            return False
        try:
            self._file.add_all(self._packed.lines(self._written))
        except RecordError as fault:
            self._why = _reason(fault)
            return False
        self._written = self._links.count
        return True

    def _elsewhere(self) -> bool:
        """Write the whole record to another file; return whether there is one that took it."""
        for folder in (self._asked.parent, *rescue_folders()):
            file = self._new_in(folder)
            if file is None:
                continue
            try:
                file.add_all(self._packed.lines())
            except RecordError:
                file.drop_empty()
                continue
            self._left.append(self._file)
            self._file, self._written = file, self._links.count
            return True
        return False

    def _new_in(self, folder: Path) -> AppendFile | None:
        """Return a new rescue file in a folder; None where it takes none."""
        for number in range(1, _MOST_NAMES + 1):
            again = f"-{number}" if number > 1 else ""
            try:
                return AppendFile(
                    folder / f"{self._asked.stem}{RESCUE}{again}.jsonl", durable=self._durable
                )
            except RecordError:
                continue  # the name is taken, or no file can be made there
        return None


def rescue_folders() -> Iterator[Path]:
    """Yield the folders in which a record goes on when its own file and folder fail, the first choice first."""
    with contextlib.suppress(RecordError):  # this computer tells no home
        yield home().parent
    with contextlib.suppress(OSError):  # nor a folder for temporary files that can be written
        yield Path(tempfile.gettempdir())


def _reason(fault: RecordError) -> Message:
    """Return why the system took no line, without the sentence around it."""
    why = dict(fault.what.values).get("reason")
    return why if isinstance(why, Message) else fault.what
