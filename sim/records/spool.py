"""A file that one program adds lines to while another reads them as they come.

Only ever added to; a line counts when its end is there, so nobody reads half of one. No lock and no
network: the system adds a short line whole. Only an ordinary file in its own place counts: no link that
leads elsewhere is written to, and no pipe is waited for.

Never here: what the lines say.
"""

import os
from pathlib import Path
from typing import BinaryIO, Final

from sim.errors import RecordError, reason
from sim.records.regular import ADD, open_regular, reading
from sim.words.fields import number, part
from sim.words.message import plain, row

_TOO_LONG: Final = plain("spool.too-long", "the line is too long")
_AT_MOST: Final = row("spool.at-most", "at most {most} octets", most=number())
_NOT_WRITTEN: Final = row(
    "spool.not-written", "the file cannot be written: {reason}", reason=part()
)
_NOT_WHOLE: Final = plain("spool.not-whole", "the line could not be written whole")
_SPACE: Final = plain("spool.not-whole.to-do", "look for space")

LONGEST_LINE: Final = 4_096  # octets, its end not counted
_AT_ONCE: Final = 1 << 16


def add_line(path: Path, line: str) -> None:
    """Add one line to the file, which is made when it is not there.

    Raises:
        RecordError: The line is too long, or the file cannot be written.
    """
    octets = line.encode() + b"\n"
    if len(octets) > LONGEST_LINE + 1 or b"\n" in octets[:-1]:
        raise RecordError(_TOO_LONG, str(path), _AT_MOST(most=LONGEST_LINE))
    try:
        descriptor = open_regular(path, ADD, follow=False)
        try:
            whole = os.write(descriptor, octets) == len(octets)
        finally:
            os.close(descriptor)
    except (OSError, ValueError) as fault:
        raise RecordError(_NOT_WRITTEN(reason=reason(fault)), str(path)) from None
    if not whole:
        raise RecordError(_NOT_WHOLE, str(path), _SPACE)


class Tail:
    """Reads what has been added since it last looked; a file that is not there has no lines."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.number = 0  # lines read so far
        self._at = 0
        self._begun = b""
        self._skipping = False  # in the midst of a line that is too long

    def lines(self) -> list[bytes]:
        """Return the lines that have come, without their ends; a line too long comes empty."""
        try:
            with reading(self.path, follow=False) as file:
                return self._lines(file)
        except (OSError, ValueError):
            return []

    def _lines(self, file: BinaryIO) -> list[bytes]:
        file.seek(self._at)
        while octets := file.read(_AT_ONCE):
            self._at += len(octets)
            lines = self._cut(octets)
            if lines:
                return lines
        return []

    def _cut(self, octets: bytes) -> list[bytes]:
        """Return the lines that end in what has come."""
        *whole, self._begun = (self._begun + octets).split(b"\n")
        if self._skipping and whole:
            whole[0], self._skipping = b"", False
        if len(self._begun) > LONGEST_LINE:
            self._begun, self._skipping = b"", True
        self.number += len(whole)
        return [line if len(line) <= LONGEST_LINE else b"" for line in whole]
