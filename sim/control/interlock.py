"""What an interlock is made of.

Never here: an interlock (see `interlocks`).
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from sim.control.needs import Image, Need
from sim.words.message import NOTHING, Message, plain, sentence


class When(StrEnum):
    """Who must be asking for the row to apply."""

    KEY = "key"
    JOB = "job"
    ANY = "any"


FROM_KEY: Final = When.KEY
FROM_JOB: Final = When.JOB
"""The same by a plain name, for who asks at every step: a member of an enumeration is slow to look up."""


@dataclass(frozen=True, slots=True, eq=False)  # a row is itself, and hashes fast
class Permissive:
    """An action needs something."""

    action: str
    when: When
    need: Need
    keeps: bool = False  # must go on holding while the action lasts
    given: tuple[tuple[str, tuple[object, ...]], ...] = ()  # applies only where all of it holds
    hazard: Message = NOTHING  # that of its interlock, unless it has its own
    number: str = ""  # of its interlock

    @property
    def name(self) -> str:
        """Its number, the action, and what that needs."""
        when = "" if self.when is When.ANY else f":{self.when}"
        return f"{self.number}:{self.action}:{self.need.subject}{when}"

    def applies(self, image: Image) -> bool:
        """Return whether the action needs it at all with an image."""
        return all(image[subject] in values for subject, values in self.given)

    def stands(self, image: Image) -> bool:
        """Return whether it stands against the action with an image."""
        return any(True for _ in standing((self,), image))


def standing(rows: Iterable[Permissive], image: Image) -> Iterator[Permissive]:
    """Yield those of some rows that stand against their action with an image, in their order.

    It is one loop, for a whole job asks this most of all. What a row is given comes first: a proof
    unfolds by what is read, and most of it is decided there.
    """
    for row in rows:
        for subject, values in row.given:
            if image[subject] not in values:
                break
        else:
            if image[row.need.subject] not in row.need.values:
                yield row


@dataclass(frozen=True, slots=True, eq=False)
class Reaction:
    """When the subject becomes one of the values, and the others hold, fire the events."""

    subject: str
    becomes: tuple[object, ...]
    given: tuple[tuple[str, tuple[object, ...]], ...]
    fires: tuple[tuple[str, str], ...]  # (machine, event)
    reason: Message = NOTHING  # kept and shown as the reason for a hold or a stop
    means: tuple[Message, ...] = ()  # without a reason: what a coach tells, for each of `becomes`
    number: str = ""  # of its interlock

    @property
    def name(self) -> str:
        """Its number, what it watches for, and what must hold meanwhile."""
        becomes = "|".join(str(value) for value in self.becomes)
        given = "".join(f":{subject}={values[0]}" for subject, values in self.given)
        return f"{self.number}:{self.subject}={becomes}{given}"

    def meaning(self, value: object) -> Message:
        """Return what a coach tells when the subject has become a value; nothing with a reason."""
        return dict(zip(self.becomes, self.means, strict=False)).get(value, NOTHING)


InterlockRow = Permissive | Reaction


@dataclass(frozen=True, slots=True, eq=False)
class Interlock:
    """One interlock: what it says, against which hazard, and the rows that carry it out."""

    number: str
    title: Message  # what it is about, in a few words
    rule: Message  # what it holds the machine or a person to, a clause
    hazard: Message  # what it is there against, a noun with what belongs to it
    permissives: tuple[Permissive, ...] = ()
    reactions: tuple[Reaction, ...] = ()
    # Locks and contacts of the machine carry it out; the controller has no part in it.
    metal: bool = False

    @property
    def sentence(self) -> Message:
        """The rule as a full sentence."""
        return sentence(self.rule)

    @property
    def wired(self) -> bool:
        """Whether the controller knows it at all."""
        return bool(self.permissives or self.reactions)

    @property
    def practised(self) -> bool:
        """Whether it is a rule of work that only a person keeps."""
        return not (self.wired or self.metal)


def interlock(number: str, title: str, *, rule: str, hazard: str, metal: bool = False) -> Interlock:
    """Return what an interlock says; its rows are yet to come."""
    key = f"interlock.{number.lower()}"
    said = plain(f"{key}.title", title), plain(f"{key}.rule", rule), plain(f"{key}.hazard", hazard)
    return Interlock(number, *said, metal=metal)
