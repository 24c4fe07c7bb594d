"""What the controller answers to a command: a value, never an exception."""

from dataclasses import dataclass

from sim.words.message import NOTHING, Message, sentences


@dataclass(frozen=True, slots=True)
class Refusal:
    """One reason against: the interlock, the device that refuses, and what would satisfy it."""

    interlock: str  # its number, as I4, or empty for a plain rule of use
    device: str  # tag or machine name
    sentence: Message  # why, a full sentence
    remedy: Message = NOTHING  # what would satisfy it, a full sentence

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
