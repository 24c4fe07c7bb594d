"""What is chosen on the meter sheet: a device whose wiring is shown, and where the two probes are."""

from dataclasses import dataclass

from sim.diagnosis.causes import metered
from sim.session.inspections.probes import OHMS, VOLTS
from sim.session.session import Session


@dataclass
class MeterChoice:
    """One meter at one session."""

    session: Session
    tag: str = ""
    red: str = ""  # a terminal
    black: str = ""  # another; where there is none it lies on 0 V

    def devices(self) -> tuple[str, ...]:
        """Return the devices to choose from: those that a drill names, or all with a wire."""
        loom = self.session.machine.loom
        named = metered(self.session.scenario)
        return named or tuple(each.tag for each in loom.devices if each.address)

    def show(self, tag: str) -> None:
        """Show the wiring of another device, and take the probes off."""
        self.tag, self.red, self.black = tag, "", ""

    def touch(self, terminal: str) -> None:
        """Put the next probe on a terminal; on one that has it already, take it off."""
        if terminal == self.red:
            self.red, self.black = self.black, ""
        elif terminal == self.black:
            self.black = ""
        elif not self.red:
            self.red = terminal
        else:
            self.black = terminal

    def look(self, ohms: bool) -> str:
        """Return the name of the look that reads volts, or ohms, where the probes are."""
        word = OHMS if ohms else VOLTS
        return " ".join(filter(None, (word, self.red, self.black)))
