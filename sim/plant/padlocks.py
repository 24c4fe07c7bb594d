"""Padlocks: whose hang on which isolating device, so that it stays where it was locked.

Never here: who may hang one, and in which order (see `sim.session.lockout`).
"""

from typing import Final

ISOLATOR, AIR_COCK = "isolator", "air cock"
DEVICES: Final = (ISOLATOR, AIR_COCK)


class Padlocks:
    """The padlocks on one saw, each its owner's."""

    def __init__(self) -> None:
        self._owners: dict[str, set[str]] = {device: set() for device in DEVICES}

    def hang(self, device: str, owner: str) -> None:
        """Put an owner's padlock on a device."""
        self._owners[device].add(owner)

    def take(self, device: str, owner: str) -> None:
        """Take an owner's padlock off; harmless when there is none."""
        self._owners[device].discard(owner)

    def owners(self, device: str) -> tuple[str, ...]:
        """Return whose padlocks hang on a device, by name."""
        return tuple(sorted(self._owners[device]))

    def on(self, device: str) -> bool:
        """Return whether any padlock hangs on a device."""
        return bool(self._owners[device])
