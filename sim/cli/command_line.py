"""Reads what was typed by the rows of the grammar.

As POSIX and GNU have it: `--option value` or `--option=value`, `-o value` or `-ovalue`, options and
arguments in any order after the command, and `--` before arguments that begin with a hyphen.

Never here: doing it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Final

from sim.cli.grammar import Command, CommandGroup, Parameter
from sim.errors import CommandError
from sim.words.fields import name, part
from sim.words.message import Message, row

HELP: Final = "--help"
_END: Final = "--"  # of the options

_NO_COMMAND: Final = row("cli.command.none", "there is no command {word}", word=name())
_FLAG: Final = row("cli.option", "{flag}", flag=name())
_NO_OPTION: Final = row("cli.option.none", "there is no option {word}", word=name())
_NEAREST: Final = row("cli.nearest", "the nearest is {names}", names=name())
_SEE: Final = row("cli.see", "see {line}", line=name())
_BEFORE: Final = row("cli.option.before", "write it before {command}", command=name())
_NEEDS: Final = row("cli.option.needs", "{flag} needs a value", flag=name())
_NO_VALUE: Final = row("cli.option.no-value", "{flag} takes no value", flag=name())
_MISSING: Final = row("cli.missing", "{what} is missing", what=part())
_TOO_MANY: Final = row("cli.too-many", "{words} is too much", words=name())


@dataclass(frozen=True, slots=True)
class TypedWords:
    """What was typed for one command or group.

    Args:
        values: By the names of the parameters, defaults included.
        rest: What follows the options of a group: a command and what it takes.
        help: Whether the help page is asked for.
    """

    values: dict[str, object]
    rest: tuple[str, ...] = ()
    help: bool = False


def read_group(group: CommandGroup, words: Sequence[str], line: str) -> TypedWords:
    """Return the options that stand before the command.

    Args:
        group: Whose options.
        words: What was typed after its name.
        line: What was typed up to there.

    Raises:
        CommandError: There is no such option, or its value will not do.
    """
    scanned = _scan(group.parameters, words, line, to_the_first=True)
    return TypedWords(_values(group.parameters, scanned, line), tuple(scanned.free), scanned.help)


def read_command(
    command: Command, words: Sequence[str], line: str, before: CommandGroup
) -> TypedWords:
    """Return what was typed for a command.

    Args:
        command: Which one.
        words: What was typed after its name.
        line: What was typed up to there.
        before: The group whose options stand before the command.

    Raises:
        CommandError: Something is missing, too much, not known, or will not do.
    """
    try:
        scanned = _scan(command.parameters, words, line)
    except CommandError as fault:
        if fault.what in [_NO_OPTION(word=flag) for flag in _flags(before.parameters)]:
            first = _where(line).partition(" ")[0]
            raise CommandError(fault.what, fault.where, _BEFORE(command=first)) from None
        raise
    if scanned.help:
        return TypedWords({}, help=True)
    values = _values(command.parameters, scanned, line)
    free = scanned.free
    for each in (p for p in command.parameters if not p.flags and p.takes):
        if not free:
            if each.required:
                assert each.takes is not None
                raise CommandError(_MISSING(what=each.takes.stands), _where(line), _see(line))
            values[each.name] = [] if each.many else each.default
            continue
        taken = len(free) if each.many else 1
        read = [_value(each, word, line) for word in free[:taken]]
        values[each.name] = read if each.many else read[0]
        free = free[taken:]
    if free:
        raise CommandError(_TOO_MANY(words=" ".join(free)), _where(line), _see(line))
    return TypedWords(values)


def find_command(group: CommandGroup, word: str, line: str) -> Command | CommandGroup:
    """Return a command of a group by its name.

    Raises:
        CommandError: There is none; the nearest names are told.
    """
    found = group.find(word)
    if found is None:
        names = [each.name for each in group.commands]
        raise CommandError(_NO_COMMAND(word=word), _where(line), _nearest(word, names, line))
    return found


# Options ----------------------------------------------------------------------------------


@dataclass(slots=True)
class _Scanned:
    given: dict[str, list[object]]
    free: list[str]
    help: bool = False


def _scan(
    parameters: Sequence[Parameter], words: Sequence[str], line: str, *, to_the_first: bool = False
) -> _Scanned:
    """Part options from the rest.

    Args:
        parameters: Which there are.
        words: What was typed.
        line: What was typed before it.
        to_the_first: Whether everything from the first word that is no option on is the rest.
    """
    flags = _flags(parameters)
    scanned = _Scanned({}, [])
    left = list(words)
    while left:
        word = left.pop(0)
        if word == _END:
            scanned.free += left
            break
        if word == HELP:
            scanned.help = True
        elif word.startswith("-") and word != "-":
            _option(word, left, flags, scanned, line)
        else:
            scanned.free.append(word)
            if to_the_first:
                scanned.free += left
                break
    return scanned


def _option(
    word: str, left: list[str], flags: dict[str, Parameter], scanned: _Scanned, line: str
) -> None:
    flag, joined = _parted(word)
    found = flags.get(flag)
    if found is None:
        raise CommandError(
            _NO_OPTION(word=flag), _where(line), _nearest(flag, (*flags, HELP), line)
        )
    if found.takes is None:
        if joined is not None:
            raise CommandError(_NO_VALUE(flag=flag), _where(line), _see(line))
        scanned.given[found.name] = [True]
        return
    if joined is None and not left:
        raise CommandError(_NEEDS(flag=flag), _where(line), _see(line))
    given = left.pop(0) if joined is None else joined
    scanned.given.setdefault(found.name, []).append(_value(found, given, flag))


def _parted(word: str) -> tuple[str, str | None]:
    """Return the flag of an option, and the value that is joined to it."""
    if word.startswith("--"):
        flag, equals, joined = word.partition("=")
        return flag, joined if equals else None
    return word[:2], word[2:].removeprefix("=") or None


def _flags(parameters: Iterable[Parameter]) -> dict[str, Parameter]:
    return {flag: each for each in parameters for flag in each.flags}


def _values(parameters: Sequence[Parameter], scanned: _Scanned, line: str) -> dict[str, object]:
    """Return the values of all options.

    Raises:
        CommandError: One that is required was not given.
    """
    values: dict[str, object] = {}
    for each in (p for p in parameters if p.flags):
        given = scanned.given.get(each.name)
        if given is None and each.required and not scanned.help:
            raise CommandError(_MISSING(what=_FLAG(flag=each.flags[-1])), _where(line), _see(line))
        if each.many:
            values[each.name] = given or []
        else:
            values[each.name] = given[-1] if given else each.default
    return values


def _value(parameter: Parameter, given: str, where: str) -> object:
    assert parameter.takes is not None
    return parameter.takes.read(given, where)


def _nearest(word: str, names: Iterable[str], line: str) -> Message:
    close = get_close_matches(word, list(names), n=3)
    return _NEAREST(names=", ".join(close)) if close else _see(line)


def _where(line: str) -> str:
    """Return the command that a line asks for, without the program's own name."""
    return line.partition(" ")[2]


def _see(line: str) -> Message:
    return _SEE(line=f"{line} {HELP}")
