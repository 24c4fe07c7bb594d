"""Plain records for tests: one kept in memory, and one in a file that is never looked after."""

from collections.abc import Mapping
from pathlib import Path
from types import TracebackType
from typing import Self

from sim.records.chain import Links, closing_of, header_of
from sim.records.store import AppendFile


class ChainLog:
    """A record that is kept in memory.

    Args:
        header: What the first line says besides the mark of the program.
    """

    def __init__(self, header: Mapping[str, object] | None = None) -> None:
        self.lines: list[str] = []
        self._links = Links()
        self._add("begin", header_of(header))

    @property
    def head(self) -> str:
        """Hash of the last line, which stands for the whole record."""
        return self._links.head

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
        return head

    def text(self) -> str:
        """Return the record as its file would hold it."""
        return "".join(f"{line}\n" for line in self.lines)

    def _add(self, kind: str, act: Mapping[str, object]) -> str:
        line = self._links.next_line(kind, self._links.content(act))
        self.lines.append(line)
        self._links.accept(line)
        return self._links.head


class ChainWriter:
    """A record that is kept in a new file, each line on the disk before the next act.

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
        self._links = Links()
        self._file = AppendFile(path, durable=durable)
        try:
            self._add("begin", header_of(header))
        except BaseException:
            self._file.drop_empty()
            raise

    @property
    def head(self) -> str:
        """Hash of the last line, which stands for the whole record."""
        return self._links.head

    def append(self, act: Mapping[str, object]) -> str:
        """Write an act as the next line; return the record's new head.

        Raises:
            RecordError: The record is closed, the act is not made of JSON's values, or the disk
                would not take it; then the record stands as it was before.
        """
        return self._add("act", act)

    def close(self, last: Mapping[str, object] | None = None) -> str:
        """Write the closing line, with count and head and what `last` says; return the head."""
        head = self._add("close", closing_of(self._links, last))
        self._links.closed = True
        self._file.close()
        return head

    def abandon(self) -> None:
        """Let the file go without a closing line: whoever reads it is told that it was cut."""
        self._file.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.abandon()

    def _add(self, kind: str, act: Mapping[str, object]) -> str:
        line = self._links.next_line(kind, self._links.content(act))
        self._file.add(line.encode())
        self._links.accept(line)
        return self._links.head
