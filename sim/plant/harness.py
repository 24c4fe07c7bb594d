"""What has failed in the wiring of this saw, and what comes of it on the machine.

Failures are kept as they are, so that a meter finds the one that is there; what several of them do to the
machine together is found anew each time that one is put in or put right.

Never here: the network that a meter reads (see `sim.wiring.circuit`).
"""

from collections.abc import Callable
from typing import Final

from sim.plant.power import Power
from sim.signals import DEAD, LIVE, Bus
from sim.wiring.consequences import Effect, effect_of, stays_live
from sim.wiring.failures import Failure, wounds
from sim.wiring.loom import Loom

_SPOILS: Final = ((DEAD, "dead"), (LIVE, "live"))


class Harness:
    """The wires of one saw, and what is wrong with them."""

    def __init__(
        self,
        loom: Loom,
        bus: Bus,
        power: Power,
        seize: Callable[[str, bool], None],
        loosen: Callable[[str], None],
    ) -> None:
        self.loom = loom
        self.failures: tuple[Failure, ...] = ()
        self._bus, self._power = bus, power
        self._seize, self._loosen = seize, loosen

    def put(self, failure: Failure) -> None:
        """Have something fail."""
        if failure not in self.failures:
            self._now((*self.failures, failure))

    def mend(self, failure: Failure) -> None:
        """Make it good."""
        if failure in self.failures:
            self._now(tuple(each for each in self.failures if each != failure))

    def lend(self, failures: tuple[Failure, ...]) -> tuple[Failure, ...]:
        """Have a meter find other failures, which do the same to the machine; return those before."""
        before, self.failures = self.failures, failures
        return before

    @property
    def loses_phase(self) -> bool:
        """Whether a phase is lost in the wiring, not in the mains."""
        return any(each.phase for each in self._come(self.failures))

    def _come(self, failures: tuple[Failure, ...]) -> tuple[Effect, ...]:
        return tuple(effect_of(self.loom, each) for each in failures)

    def _now(self, failures: tuple[Failure, ...]) -> None:
        before, after = self._come(self.failures), self._come(failures)
        self.failures = failures
        self._spoil(before, after)
        self._power.spoil(lambda power: self._hurt(power, before, after))
        were = {tag for each in before for tag, _ in each.stays}
        stays = {tag: at for each in after for tag, at in each.stays}
        for tag in sorted(were - set(stays)):
            self._loosen(tag)
        for tag, at in stays.items():
            self._seize(tag, at)
        for tag in {
            each.shorted for each in after if each.shorted and self._bus.seen[each.shorted]
        }:
            self._power.took(tag)

    def _spoil(self, before: tuple[Effect, ...], after: tuple[Effect, ...]) -> None:
        """Have wires and sensors carry what they do now."""
        dead, live = ({t for e in after for t in getattr(e, name)} for _, name in _SPOILS)
        unfed = {tag for each in after for tag in each.unfed}
        both = (dead | unfed) & live
        if both:  # of two failures on one wire, how it hangs together tells which one shows
            hurt = wounds(self.loom, self.failures)
            wins = {tag for tag in both if stays_live(self.loom, hurt, tag)}
            dead, live = dead - wins, live - (both - wins)
        for (distortion, name), now in zip(_SPOILS, (dead, live), strict=True):
            was = {tag for each in before for tag in getattr(each, name)}
            for tag in sorted(was - now):
                if self._bus.distortion(tag) is distortion:
                    self._bus.distort(tag, None)
            for tag in sorted(now):
                self._bus.distort(tag, distortion)
        was = {tag for each in before for tag in each.unfed}
        now = {tag for each in after for tag in each.unfed}
        for tag in sorted(was - now):
            self._bus.spoil_device(tag, None)
        for tag in sorted(now):
            self._bus.spoil_device(tag, DEAD)

    @staticmethod
    def _hurt(power: Power, before: tuple[Effect, ...], after: tuple[Effect, ...]) -> None:
        """Have the power path be as it is now; what failed in it for another reason stays so."""
        for name, of_power in _SETS.items():
            among: set[str] = getattr(power, of_power)
            among -= {tag for each in before for tag in getattr(each, name)}
            among |= {tag for each in after for tag in getattr(each, name)}
        for name, of_power in _FLAGS.items():
            was, now = (any(getattr(e, name) for e in them) for them in (before, after))
            if was or now:
                setattr(power, of_power, now)
        if any(each.blown for each in (*before, *after)):
            power.fuse_24 = not any(each.blown for each in after)
        for each in before:
            if each.shorted and each not in after:
                power.make_good(each.shorted)
        for each in after:
            power.grounded = each.shorted or power.grounded
        spoilt = power.relay.spoilt
        for stop, channel, _ in (row for each in before for row in each.contacts):
            spoilt.pop((stop, channel), None)
        # One that stays closed shows only when a stop that is in comes out: the channels then differ.
        closed = any(at for each in after for _, _, at in each.contacts)
        power.relay.disagreed |= closed and not power.relay.closed
        spoilt.update({(s, channel): closed for e in after for s, channel, closed in e.contacts})


_SETS: Final = {"coils": "dead_coils", "welded": "welded", "two_phases": "blown"}
_FLAGS: Final = {
    "no_24": "no_24", "no_return": "no_return", "loop": "loop_broken", "reset": "reset_open",
    "relay": "relay_unfed", "phase": "phase_lost",
}  # fmt: skip
