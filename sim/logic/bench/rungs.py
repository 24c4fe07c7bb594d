"""The ladder: one rung for each output and for each action, as contacts and a coil.

A contact is closed while something in the controller's image has one of some values; contacts in a
row must all be closed. Rungs are made from the running tables each time (contacts and coils as in
IEC 61131-3, from memory; drawing our own). `flow` says how far the power comes with an image.

Never here: a rule of the machine.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from sim.control import outputs
from sim.control.actions import ACTIONS
from sim.control.cycle import JOB_ASKS
from sim.control.interlocks import Image, When, needs_of
from sim.signals import BY_TAG
from sim.words.fields import name
from sim.words.message import Message, row
from sim.words.speech import reader, tell


@dataclass(frozen=True, slots=True)
class Contact:
    """Closed while the subject has one of the values."""

    subject: str
    values: tuple[object, ...]
    number: str = ""  # of the interlock that put it there
    given: tuple[tuple[str, tuple[object, ...]], ...] = ()  # elsewhere it is bridged

    def closed(self, image: Image) -> bool:
        """Return whether it lets power through."""
        bridged = any(image[subject] not in values for subject, values in self.given)
        return bridged or image[self.subject] in self.values

    @property
    def label(self) -> str:
        """The subject and what it must be, a slash for a contact that opens; where it counts."""
        where = "&".join(
            f"{subject}={'|'.join(map(str, values))}" for subject, values in self.given
        )
        return f"{self._must} if {where}" if where else self._must

    @property
    def _must(self) -> str:
        if self.values == (True,):
            return self.subject
        if self.values == (False,):
            return f"/{self.subject}"
        return f"{self.subject}={'|'.join(str(value) for value in self.values)}"


@dataclass(frozen=True, slots=True)
class Rung:
    """Contacts in a row, and the coil that they feed."""

    coil: str
    text: Message
    contacts: tuple[Contact, ...]

    def holds(self, image: Image) -> bool:
        """Return whether power comes through to the coil."""
        return all(contact.closed(image) for contact in self.contacts)


_ASKED: Final = {
    When.KEY: row("rung.by-key", "{action} may be taken, asked by a key", action=name()),
    When.JOB: row("rung.by-job", "{action} may be taken, asked by the job", action=name()),
}
_POWER: Final = Contact("supply", ("ON",))


def output_rungs() -> tuple[Rung, ...]:
    """Return the rung of every output."""
    return (*_of_states(), *_of_variator())


def action_rungs(origin: When) -> tuple[Rung, ...]:
    """Return the rung of every action that `origin` asks for and that has a permissive."""
    return tuple(
        Rung(
            action.name,
            _ASKED[origin](action=action.name),
            tuple(
                Contact(
                    permissive.need.subject,
                    permissive.need.values,
                    permissive.number,
                    permissive.given,
                )
                for permissive in needs
            ),
        )
        for action in ACTIONS
        if (origin is When.KEY or action.name in JOB_ASKS)
        and (needs := needs_of(action.name, origin))
    )


def _of_states() -> Iterator[Rung]:
    for machine, tags in outputs.OF_MACHINE.items():
        for tag in tags:
            states = tuple(s for (m, s), on in outputs.ON_IN.items() if m == machine and tag in on)
            contacts = (Contact(machine, states),)
            yield Rung(
                tag, BY_TAG[tag].text, contacts if machine == "supply" else (_POWER, *contacts)
            )


def _of_variator() -> Iterator[Rung]:
    keys = outputs.VARIATOR_KEYS
    for key, tag in keys.items():
        others = tuple(Contact(other, (False,)) for other in keys if other != key)
        yield Rung(tag, BY_TAG[tag].text, (_POWER, Contact(key, (True,)), *others))


def flow(rung: Rung, image: Image) -> int:
    """Return how many contacts from the left the power passes; all of them when the coil is on."""
    for passed, contact in enumerate(rung.contacts):
        if not contact.closed(image):
            return passed
    return len(rung.contacts)


def drawn(rung: Rung, image: Image | None = None) -> str:
    """Return a rung as one line of text; with an image, `=` is where there is power."""
    passed = flow(rung, image) if image is not None else -1
    line = "|" + ("==" if image is not None else "--")
    for index, contact in enumerate(rung.contacts):
        wire = "==" if index < passed else "--"
        line += f"[ {reader().name(contact.label)} ]{wire}"
    return f"{line}( {reader().name(rung.coil)} )" + (
        "==|" if passed == len(rung.contacts) else "--|"
    )


def ladder(rungs: Sequence[Rung], image: Image | None = None) -> str:
    """Return rungs as text, each under what its coil means."""
    return "\n".join(f"{tell(rung.text)}\n  {drawn(rung, image)}" for rung in rungs)
