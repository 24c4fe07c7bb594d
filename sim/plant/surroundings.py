"""What every part needs from around it: clock, wires, dimensions, and somebody to tell.

Imports `kernel`, `signals` and the plant's own tables.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

from sim.kernel.clock import Clock
from sim.plant.consequences import KINDS, Consequence, Severity
from sim.plant.machine import Machine
from sim.signals import Bus


@dataclass
class Site:
    """The common ground of the parts of one saw."""

    clock: Clock
    bus: Bus
    machine: Machine
    consequences: list[Consequence] = field(default_factory=list)
    told: list[Callable[[Consequence], None]] = field(default_factory=list)

    def tell(self, kind: str, detail: str = "") -> None:
        """Record that something came to harm, now."""
        consequence = Consequence(self.clock.now_us, kind, detail)
        self.consequences.append(consequence)
        for listener in self.told:
            listener(consequence)

    @property
    def wrecked(self) -> bool:
        """Whether something happened after which nobody would go on."""
        return any(KINDS[c.kind].severity is Severity.STOP for c in self.consequences)
