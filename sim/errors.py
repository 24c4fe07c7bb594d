"""The one family of errors that a person is meant to read.

Never here: anything that a trainee does wrong at the saw; a refused command is a value
(`sim.control.decision.Decision`), not an error.
"""


class DrycycleError(Exception):
    """Something went wrong that the reader can put right.

    Args:
        what: What is wrong, as a full clause without a full stop.
        where: File, line and field, or the command-line word it concerns; empty if nowhere.
        what_to_do: The next thing to try, as a full clause; empty if there is nothing to try.
    """

    def __init__(self, what: str, where: str = "", what_to_do: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.where = where
        self.what_to_do = what_to_do

    def __str__(self) -> str:
        line = f"{self.where}: {self.what}" if self.where else self.what
        return f"{line}; {self.what_to_do}" if self.what_to_do else line


class ScenarioError(DrycycleError):
    """The scenario's author is asked to change a file."""


class RecordError(DrycycleError):
    """A session record is missing, cut short, edited or of another engine."""


class CommandError(DrycycleError):
    """A word of the session language or the command line is not understood."""


class TableError(DrycycleError):
    """A table of this program contradicts itself: a bug, found when the program starts."""
