"""A meter with two probes on the terminals of a saw: volts, and ohms where nothing is live.

Ohms on something live are no reading: the meter's own small current drowns, and its fuse may go. Readings
are told in bands, since nobody decides by a tenth of a volt.

Never here: who may hold the probes, and what it costs.
"""

from dataclasses import dataclass
from math import hypot, inf
from typing import Final

from sim.logic.bench.as_wired import as_wired
from sim.saw import Saw
from sim.wiring.circuit import point
from sim.wiring.failures import earth
from sim.wiring.loom import Is
from sim.wiring.network import NO_VOLTS, Volts, between

LIVE_V: Final = 1.0  # from here on ohms cannot be read
WRECKS_V: Final = 50.0  # from here on ohms may wreck a meter; a choice
OPEN_OHM: Final = 1e6  # a meter in the shop shows no more
_V_BANDS: Final = ((2.0, 0), (16.0, 8), (60.0, 24), (180.0, 115), (300.0, 230), (inf, 400))
_OHM_BANDS: Final = (0.6, 2.5, 8.0, 16.0, 30.0, 60.0, 150.0, 600.0, 2e3, 1e4, OPEN_OHM)


@dataclass(frozen=True, slots=True)
class Reading:
    """What a meter shows between two terminals."""

    one: str
    other: str
    volts: float  # what there is, direct and alternating together, V
    alternating: bool
    ohms: float | None = None  # infinite where nothing joins them; None where volts were read

    @property
    def live(self) -> bool:
        """Whether ohms were asked where there is voltage, so that they are no reading."""
        return self.ohms is not None and self.volts >= LIVE_V

    @property
    def blows(self) -> bool:
        """Whether ohms may wreck the meter."""
        return self.live and self.volts >= WRECKS_V

    @property
    def band(self) -> int:
        """The band of its volts by the voltage that it stands for, V: 0, 8, 24, 115, 230, 400."""
        return next(band for limit, band in _V_BANDS if self.volts < limit)

    @property
    def ohm_band(self) -> int:
        """The number of the band of its ohms, from 0; the last is that nothing joins the two."""
        ohms = self.ohms if self.ohms is not None else inf
        return sum(ohms >= limit for limit in _OHM_BANDS)


class Meter:
    """A meter at a saw as it stands at this moment; what changes later takes a new one."""

    def __init__(self, saw: Saw) -> None:
        self._loom = saw.plant.harness.loom
        self._net, self._volts = as_wired(saw)
        self.zero = next(
            (each.at("-") for each in self._loom.devices if each.what is Is.SUPPLY),
            earth(self._loom),
        )

    def has(self, terminal: str) -> bool:
        """Return whether the saw has a terminal with a wire on it."""
        return terminal in self._loom.wires_at

    def potential(self, terminal: str) -> Volts | None:
        """Return the potential of a terminal against earth; None where it hangs on nothing."""
        return self._volts.get(point(self._loom, terminal))

    def volts(self, one: str, other: str = "") -> Reading:
        """Return the volts between two terminals; against 0 V when one is given."""
        other = other or self.zero
        direct, alternating = between(self.potential(one), self.potential(other))
        return Reading(one, other, hypot(direct, alternating), alternating > abs(direct))

    def ohms(self, one: str, other: str) -> Reading:
        """Return the ohms between two terminals."""
        ends = [self.potential(end) for end in (one, other)]
        live = max(hypot(*(volts or NO_VOLTS)) for volts in ends)
        ohms = inf
        if live < LIVE_V:
            ohms = self._net.ohms(point(self._loom, one), point(self._loom, other))
        return Reading(one, other, live, alternating=False, ohms=ohms if ohms < OPEN_OHM else inf)
