"""What the controller answers to a command: a value, never an exception."""

from dataclasses import dataclass
from typing import Final

from sim.signals import BY_TAG
from sim.words.fields import name, part
from sim.words.message import NOTHING, Message, row, sentences

_FACT: Final = row("refusal.fact", "{fact}.", fact=part(capital=True))
_OF_DEVICE: Final = row("refusal.of-device", "{device}: {fact}.", device=name(), fact=part())
REMEDY: Final = row("refusal.remedy", "{to_do}.", to_do=part(capital=True))


def told_of(device: str, fact: Message) -> Message:
    """Return a fact as a sentence, after the tag of the device where it is one of the machine."""
    return _OF_DEVICE(device=device, fact=fact) if device in BY_TAG else _FACT(fact=fact)


@dataclass(frozen=True, slots=True)
class Refusal:
    """One reason against: the interlock, the device that refuses, and what would satisfy it."""

    interlock: str  # its number, as I4, or empty for a plain rule of use
    device: str  # tag or machine name
    fact: Message  # why, a clause
    to_do: Message = NOTHING  # what would satisfy it, a clause
    of_device: bool = True  # whether the fact is one of the device, and its tag is told

    @property
    def tag(self) -> str:
        """The tag of the device, where the fact is one of it."""
        return self.device if self.of_device and self.device in BY_TAG else ""

    @property
    def sentence(self) -> Message:
        """Why, a full sentence."""
        return told_of(self.tag, self.fact)

    @property
    def remedy(self) -> Message:
        """What would satisfy it, a full sentence, or nothing."""
        return REMEDY(to_do=self.to_do) if self.to_do else NOTHING

    @property
    def said(self) -> Message:
        """Why, and what would satisfy it."""
        return sentences(self.sentence, self.remedy)


@dataclass(frozen=True, slots=True)
class Decision:
    """The answer to one command."""

    action: str
    accepted: bool
    refusals: tuple[Refusal, ...] = ()

    @property
    def sentence(self) -> Message:
        """The answer in words, empty when the command was accepted."""
        return sentences(*(part for r in self.refusals for part in (r.sentence, r.remedy)))
