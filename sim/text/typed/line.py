"""One line of the session language: one act, or several with `;` between them, as a recipe is told.

The whole line is understood before anything of it is done, so a slip in its third act does not leave a
part half moved. A remark and the text of a note reach to the end of the line, whatever stands in them.

Never here: what an act does.
"""

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from sim.errors import CommandError
from sim.text.names import pick
from sim.text.typed.language import WORDS, parse
from sim.text.typed.reading import TypedAct

BETWEEN: Final = ";"
_TO_THE_END: Final = "note"  # the word whose text is the rest of the line


@dataclass(frozen=True, slots=True)
class ActPlace:
    """Where an act stands: its number on its line, and how many the line has."""

    act: int
    of: int


@dataclass(frozen=True, slots=True)
class ReadAct:
    """An act of a line as it was typed, and understood or not."""

    place: ActPlace
    typed: str
    act: TypedAct | None = None
    error: CommandError | None = None


def acts_of(line: str) -> tuple[str, ...]:
    """Return the acts of a line as they are typed; none of an empty line.

    The full stop of a sentence that a recipe was copied from is left out.
    """
    found = tuple(_apart(line))
    if found and not _is_text(found[-1]):
        found = (*found[:-1], found[-1].removesuffix("."))
    return found


def read_line(line: str) -> tuple[ReadAct, ...]:
    """Return the acts of a line, each understood or with what is wrong with it."""
    acts = acts_of(line)
    return tuple(_read(each, ActPlace(at, len(acts))) for at, each in enumerate(acts, start=1))


def _read(typed: str, place: ActPlace) -> ReadAct:
    try:
        return ReadAct(place, typed, parse(typed))
    except CommandError as error:
        return ReadAct(place, typed, error=error)


def _apart(line: str) -> Iterator[str]:
    rest = line.strip()
    while rest and not _is_text(rest):
        act, _, rest = (each.strip() for each in rest.partition(BETWEEN))
        if act:
            yield act
    if rest:
        yield rest


def _is_text(typed: str) -> bool:
    """Return whether what is typed is a remark or a note, to the end of the line."""
    first = typed.split()[:1]
    with contextlib.suppress(CommandError):
        return typed.startswith("#") or (
            bool(first) and pick(first[0], WORDS, "word", "") == _TO_THE_END
        )
    return False
