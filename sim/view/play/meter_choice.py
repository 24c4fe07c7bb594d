"""What is chosen on the meter sheet: a device whose wiring is shown, and where the two probes are."""

from dataclasses import dataclass

from sim.diagnosis.causes import metered_in
from sim.session.inspections.probes import OHMS, VOLTS
from sim.session.session import Session


@dataclass
class MeterChoice:
    """One meter at one session."""

    session: Session
    tag: str = ""
    place: str = ""  # whose devices are offered, beside those that a drill names
    red: str = ""  # a terminal
    black: str = ""  # another; where there is none it lies on 0 V

    def devices(self) -> tuple[str, ...]:
        """Return the devices that a drill names; elsewhere those with an address, where a meter may be used."""
        allowed = self.session.scenario.inspections
        if allowed == "all":
            return tuple(each.tag for each in self.session.machine.loom.devices if each.address)
        return tuple(metered_in(allowed))

    def others(self) -> dict[str, tuple[str, ...]]:
        """Return by place the devices besides, whose terminals are as good; none where no meter may be used."""
        first, found = set(self.devices()), dict[str, tuple[str, ...]]()
        for each in self.session.machine.loom.devices if first else ():
            if each.tag not in first:
                found[each.place] = (*found.get(each.place, ()), each.tag)
        return found

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
