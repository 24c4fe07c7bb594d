"""What can be exchanged for a spare on trial: a device, or the channel of a card on which it is.

A new part cures whatever was wrong inside the old one, named or not, and nothing beside it: no wire, no
screw, no chips on it. Each fault says in its own row which part that is (`Fault.spare`).
The isolator is none: its line side stays live while it is off.

Never here: where hands go for it (see `sim.session.hands.table`).
"""

from collections.abc import Collection
from dataclasses import dataclass
from typing import Final

from sim.faults.catalogue import EVERY
from sim.faults.fault import CHANNEL, Fault
from sim.words.fields import name
from sim.words.message import Message, row

_VALVE_MIN: Final = 30.0  # to take a valve out and fit another; common practice, no source
_DEVICE: Final = row("spare.device", "Exchange {tag} for a spare.", tag=name())
_CHANNEL: Final = row(
    "spare.channel", "Move the wire of {tag} to a free channel, and have the program follow.",
    tag=name(),
)  # fmt: skip
_NONE: Final = ("Q0",)


@dataclass(frozen=True, slots=True)
class Spare:
    """One part that can be exchanged."""

    name: str  # the tag of the device, or that with the end of a channel
    faults: tuple[Fault, ...]  # that go with the old part

    @property
    def tag(self) -> str:
        """The device; of a channel, the one on it."""
        return self.name.removesuffix(CHANNEL)

    @property
    def channel(self) -> bool:
        """Whether it is a channel of a card."""
        return self.name.endswith(CHANNEL)

    @property
    def title(self) -> Message:
        """What is done, an imperative sentence."""
        return (_CHANNEL if self.channel else _DEVICE)(tag=self.tag)

    @property
    def minutes(self) -> float:
        """What it takes: as long as the longest of its remedies, and a whole valve no less than a valve does."""
        longest = max(fault.minutes for fault in self.faults)
        is_valve = self.tag.startswith("Y") and not self.channel
        return max(longest, _VALVE_MIN) if is_valve else longest


def goes_with(part: str, faults: Collection[str]) -> bool:
    """Return whether one of some faults is in the old part."""
    return any(fault.name in faults for fault in SPARES[part].faults)


def _spares() -> dict[str, Spare]:
    found: dict[str, tuple[Fault, ...]] = {}
    for fault in EVERY.values():
        if fault.spare and fault.spare not in _NONE:
            found[fault.spare] = (*found.get(fault.spare, ()), fault)
    return {each: Spare(each, faults) for each, faults in sorted(found.items())}


SPARES: Final = _spares()
"""Every part that can be exchanged, by its name."""
