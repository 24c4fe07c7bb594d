"""What every part needs from around it: clock, wires, dimensions, and somebody to tell."""

from collections.abc import Callable
from dataclasses import dataclass, field

from sim.kernel.clock import Clock
from sim.kernel.long_list import LongList
from sim.plant.harm.consequences import KINDS, Consequence, Severity
from sim.plant.machine import Machine
from sim.signals import Bus
from sim.words.message import NOTHING, Message


@dataclass
class Site:
    """The common ground of the parts of one saw."""

    clock: Clock
    bus: Bus
    machine: Machine
    consequences: LongList[Consequence] = field(default_factory=LongList)
    told: list[Callable[[Consequence], None]] = field(default_factory=list)
    wrecked: bool = False  # something happened after which nobody would go on
    cut_changed: Callable[[], None] = lambda: None  # something a cut depends on was changed
    _this_cut: set[str] = field(default_factory=set)

    def tell(
        self,
        kind: str,
        detail: Message = NOTHING,
        *,
        band_life: float | None = None,
        scrap_m: float | None = None,
    ) -> None:
        """Record that something came to harm, now; once a cut for kinds that would repeat.

        Args:
            kind: Name of its row in the table of kinds.
            detail: A full sentence with the numbers that the physics gave.
            band_life: Share of a band's life it cost, where it was worked out.
            scrap_m: Length of bar it spoilt, where it was worked out, m.
        """
        row = KINDS[kind]
        if row.once_a_cut:
            if kind in self._this_cut:
                return
            self._this_cut.add(kind)
        consequence = Consequence(self.clock.now_us, kind, detail, band_life, scrap_m)
        self.consequences.append(consequence)
        if row.severity is Severity.STOP:
            self.wrecked = True
        for listener in self.told:
            listener(consequence)

    def told_this_cut(self, kind: str) -> bool:
        """Whether a kind that is told once a cut was told since the last parting cut."""
        return kind in self._this_cut

    def next_cut(self) -> None:
        """Begin the count for another parting cut."""
        self._this_cut.clear()
