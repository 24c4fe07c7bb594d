"""What a command is: a row with its help, its options and arguments, and the function that does it.

`command_line` reads what was typed by these rows, and `help_page` tells them. An option and a command
are typed the same in every language; what is said about them is a message.

Never here: which commands there are.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, isfinite
from pathlib import Path
from typing import Final

from sim.errors import CommandError
from sim.words.fields import name, number, part
from sim.words.message import NOTHING, Message, Row, plain, row
from sim.words.speech import reader

REQUIRED: Final = object()
"""The default of what has to be given."""

FILE: Final = plain("cli.stands.file", "FILE")
FOLDER: Final = plain("cli.stands.folder", "FOLDER")
_NUMBER: Final = plain("cli.stands.number", "NUMBER")

_RANGE: Final = row("cli.number.range", "{low} to {high}", low=number(None), high=number(None))
_NO_NUMBER: Final = row("cli.number.none", "{given} is not a number", given=name())
_NOT_WHOLE: Final = row("cli.number.not-whole", "{given} is not a whole number", given=name())
_BEYOND: Final = row("cli.number.beyond", "{given} is out of range", given=name())
_GIVE: Final = row("cli.number.give", "give {range}", range=part())


@dataclass(frozen=True, slots=True)
class ValueKind:
    """A kind of value that can be typed.

    Args:
        stands: The word that stands for such a value in a help page.
        read: Returns the value of what was typed; the second argument says where it was.
        range: What it may be; says nothing where there is no limit.
    """

    stands: Message
    read: Callable[[str, str], object]
    range: Message = NOTHING


@dataclass(frozen=True, slots=True)
class Parameter:
    """An option, or an argument, which has no flags.

    Args:
        name: Of the argument of the command's function.
        help: What it is for.
        takes: The kind of its value; None for a flag.
        flags: How it is typed, such as `-o` and `--output`.
        default: What it is when it is not given.
        many: Whether it may be given many times; its value is a list.
    """

    name: str
    help: Message
    takes: ValueKind | None = None
    flags: tuple[str, ...] = ()
    default: object = False
    many: bool = False

    @property
    def required(self) -> bool:
        """Whether it has to be given."""
        return self.default is REQUIRED


@dataclass(frozen=True, slots=True)
class Command:
    """One command, and the function that does it with its parameters as keywords."""

    name: str
    help: Message
    does: Callable[..., int | None]
    parameters: tuple[Parameter, ...] = ()


@dataclass(frozen=True, slots=True)
class CommandGroup:
    """Commands under one word; `alone` is done where none of them follows."""

    name: str
    help: Message
    commands: tuple["Command | CommandGroup", ...]
    parameters: tuple[Parameter, ...] = ()
    alone: Callable[[], int | None] | None = None
    epilog: Message = NOTHING

    def find(self, word: str) -> "Command | CommandGroup | None":
        """Return a command by its name."""
        return next((each for each in self.commands if each.name == word), None)


# Kinds of value ---------------------------------------------------------------------------


def word(stands: Message) -> ValueKind:
    """Return the kind for any one word."""
    return ValueKind(stands, lambda given, _where: given)


def path(stands: Message = FILE) -> ValueKind:
    """Return the kind for a file or a folder."""
    return ValueKind(stands, lambda given, _where: Path(given))


def real(low: float, high: float) -> ValueKind:
    """Return the kind for a number between two limits."""
    return _number(float, _NO_NUMBER, low, high)


def whole(low: float = -inf, high: float = inf) -> ValueKind:
    """Return the kind for a whole number, between two limits where there are any."""
    return _number(int, _NOT_WHOLE, low, high)


def _number(kind: type[int] | type[float], refusal: Row, low: float, high: float) -> ValueKind:
    limits = _RANGE(low=low, high=high) if isfinite(high - low) else NOTHING
    give = _GIVE(range=limits) if limits else NOTHING

    def read(given: str, where: str) -> object:
        try:
            value = kind(reader().typed(given))
        except ValueError:
            raise CommandError(refusal(given=given), where, give) from None
        if not low <= value <= high:  # what is not a number lies between no two
            raise CommandError(_BEYOND(given=given), where, give)
        return value

    return ValueKind(_NUMBER, read, limits)
