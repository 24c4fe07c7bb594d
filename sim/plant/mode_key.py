"""The key of the mode switch: whoever has it in the pocket has the saw in his own control.

The key comes out with all contacts of the switch open. The controller then sees no mode, as while the
switch is turned: what moves is halted, the band is stopped, and no key starts or moves anything. Put
back, the key turns the switch to where it was. It keeps starts away and takes no energy off.
"""

from typing import Final

from sim.signals import MODE_SWITCH, Bus

IN_SWITCH, IN_POCKET = "in the switch", "in my pocket"
PLACES: Final = (IN_SWITCH, IN_POCKET)


class ModeKey:
    """Where the key is, and where the switch stood when it came out."""

    def __init__(self, bus: Bus) -> None:
        self.place = IN_SWITCH
        self._bus = bus
        self.stood: tuple[str, ...] = ()  # contacts that were closed

    @property
    def keeps_off(self) -> bool:
        """Whether nobody can start anything for want of it: no contact is seen closed, either."""
        return self.place == IN_POCKET and not any(self._bus.seen[tag] for tag in MODE_SWITCH)

    def put(self, place: str) -> None:
        """Draw the key, or put it back."""
        if place == self.place:
            return
        self.place = place
        if place == IN_POCKET:
            self.stood = tuple(tag for tag in MODE_SWITCH if self._bus.driven(tag))
        for tag in self.stood:
            self._bus.drive(tag, place == IN_SWITCH)
