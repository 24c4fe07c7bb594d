"""What the controller answers to a command: a value, never an exception."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Refusal:
    """One reason against: the interlock, the device that refuses, and what would satisfy it."""

    interlock: str  # I1 ... I14, or empty for a plain rule of use
    device: str  # tag or machine name
    sentence: str  # why, a full sentence
    remedy: str  # what would satisfy it, a full sentence


@dataclass(frozen=True, slots=True)
class Decision:
    """The answer to one command."""

    action: str
    accepted: bool
    refusals: tuple[Refusal, ...] = ()

    @property
    def sentence(self) -> str:
        """The answer in words, empty when the command was accepted."""
        return " ".join(f"{r.sentence} {r.remedy}".strip() for r in self.refusals)
