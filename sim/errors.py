"""The one family of errors that a person is meant to read, in the reader's language.

Never here: anything that a trainee does wrong at the saw; a refused command is a value
(`sim.control.decision.Decision`), not an error. A mistake of this program is no error of this family
either (see `sim.bugs`).
"""

import errno
from typing import Final

from sim.words.fields import part
from sim.words.message import NOTHING, Message, named, plain, row
from sim.words.reader import Reader

BAD_INPUT: Final = 2
"""The exit code of a command that somebody has to ask for in another way, or with another file."""

_HERE: Final = row("error.where", "{where}: {what}", where=part(), what=part())
_THEN: Final = row("error.what-to-do", "{what}; {to_do}", what=part(), to_do=part())


class DrycycleError(Exception):
    """Something went wrong that the reader can put right.

    Args:
        what: What is wrong, as a full clause without a full stop.
        where: File, line and field, or the command-line word it concerns; empty if nowhere. A
            string is a name, the same in every language.
        what_to_do: The next thing to try, as a full clause; empty if there is nothing to try.
    """

    def __init__(
        self, what: Message, where: Message | str = "", what_to_do: Message = NOTHING
    ) -> None:
        super().__init__(what)
        self.what = what
        if isinstance(where, str):
            where = named(where) if where else NOTHING
        self.where = where
        self.what_to_do = what_to_do

    @property
    def message(self) -> Message:
        """All of it as one clause, to be told or to stand in another message."""
        here = _HERE(where=self.where, what=self.what) if self.where else self.what
        return _THEN(what=here, to_do=self.what_to_do) if self.what_to_do else here

    def tell(self, reader: Reader) -> str:
        """Return it as text for a reader."""
        return self.message.tell(reader)

    def __str__(self) -> str:
        return str(self.message)


class ScenarioError(DrycycleError):
    """The scenario's author is asked to change a file."""


class RecordError(DrycycleError):
    """A session record is missing, cut short, edited, or of another version or format."""


class CommandError(DrycycleError):
    """What somebody asked for is not understood, or cannot be done as they asked for it."""


class EffortError(DrycycleError):
    """What was asked for would take this computer longer than anybody waits."""


# Why the system would not read or write a file: its number -> its words.
_REASONS: Final = {
    number: plain(f"error.reason.{key}", words)
    for number, key, words in (
        (errno.EACCES, "permission", "Permission denied"),
        (errno.EPERM, "not-permitted", "Operation not permitted"),
        (errno.ENOENT, "gone", "No such file or directory"),
        (errno.EEXIST, "there", "File exists"),
        (errno.ENOTDIR, "no-folder", "Not a directory"),
        (errno.EISDIR, "folder", "Is a directory"),
        (errno.ENAMETOOLONG, "long-name", "File name too long"),
        (errno.ELOOP, "links", "Too many levels of symbolic links"),
        (errno.ENOSPC, "full", "No space left on device"),
        (errno.EFBIG, "large", "File too large"),
        (errno.EROFS, "read-only", "Read-only file system"),
        (errno.EIO, "device", "Input/output error"),
        (errno.EMFILE, "open-files", "Too many open files"),
        (errno.ENOTEMPTY, "not-empty", "Directory not empty"),
        (errno.EBUSY, "busy", "Device or resource busy"),
        (errno.EINVAL, "invalid", "Invalid argument"),
        (errno.EPIPE, "pipe", "Broken pipe"),
    )
}


def reason(fault: OSError | ValueError) -> Message:
    """Return why a file could not be read or written; a rare reason in the system's own words."""
    known = _REASONS.get(getattr(fault, "errno", None) or 0)
    return known or named(getattr(fault, "strerror", None) or str(fault))
