"""How the band lies: on its wheels or off them, in its guides, and how far its back runs off the flanges.

Theory. A new band comes as a coil, and springs open as its ties are cut. A band that is put on is laid over both wheels, its back against their flanges, and into its
guides, before any tension comes on. Where it will run nobody knows before it has turned: it is jogged,
and led by the tracking screw between two jogs, until its back runs just clear of the flanges. Hard
against a flange it squeals, is worked hard at its back, and is led aside in the cut; out of its guides
it walks off its wheels. A jog shows a hundredth of the band: what a bad weld or a kink does, one whole turn
shows, so a band is let round once at the lowest speed and watched, before it runs faster or cuts. That it is done so, and the millimetre between back and flange, is common
practice, no source, and so is the order; how many jogs it takes, and how far a cut is led aside, is
chosen for this saw.

Never here: who may do it, and what a hand needs for it.
"""

from collections.abc import Callable
from typing import Final

from sim.plant.surroundings import Site
from sim.plant.tension import Tension
from sim.units import MM

SEATED, LAID_ON = "seated", "laid on"
COILED, BARE = "coiled in gloves", "coiled bare-handed"
OPENED, OPENED_BARE = "new coil opened in gloves", "new coil opened bare-handed"
HUNG, HUNG_BARE = "hung coil opened in gloves", "hung coil opened bare-handed"
SEATS: Final = (SEATED, LAID_ON, COILED, BARE, OPENED, OPENED_BARE, HUNG, HUNG_BARE)
TAKES_OFF: Final = (COILED, BARE)
OPENS_HUNG: Final = (HUNG, HUNG_BARE)
OPENS: Final = (OPENED, OPENED_BARE, *OPENS_HUNG)
_OFF: Final = (*TAKES_OFF, *OPENS)

RIGHT_M: Final = 1.0 * MM  # back of the band off the flanges
TRACKS_M: Final = 0.9 * MM  # from which nobody would lead it further
_RUBS_M: Final = 0.4 * MM  # under which it touches as it runs
_EACH_JOG_M: Final = 0.35 * MM  # that it is led by the screw from one jog to the next
PROOF_TURNS: Final = 1.0  # for which a band is watched once it is led; common practice, no source
_LED_ASIDE: Final = 4.0  # give of the span of a band that rubs, by that of one that runs clear


class Seat:
    """Where the band lies."""

    def __init__(self, site: Site, tension: Tension) -> None:
        self._site = site
        self._tension = tension
        self.place = SEATED
        self.off_flange_m = RIGHT_M
        self.fresh = False  # it has not run at speed since it was put on
        self._came_to_speed = False  # since it began to turn
        self.way_m: Callable[[], float] = lambda: 0.0  # that it has turned in all, m; of its drive
        self._since_m: float | None = None  # way at which it was put on or led; None: long ago

    @property
    def off(self) -> bool:
        """Whether no band is on the wheels."""
        return self.place in _OFF

    @property
    def waits_new(self) -> bool:
        """Whether no band is on the wheels, and another one lies there with its ties cut: a new one, or one that hung."""
        return self.place in OPENS

    @property
    def waits_hung(self) -> bool:
        """Whether it is one from the hook that lies there with its ties cut."""
        return self.place in OPENS_HUNG

    @property
    def tracks(self) -> bool:
        """Whether its back runs clear of the flanges."""
        return self.place == SEATED and self.off_flange_m >= TRACKS_M

    @property
    def unseen_m(self) -> float:
        """How much of it has not come past yet since it was put on, or last led, m; 0 after one whole turn."""
        if self._since_m is None:
            return 0.0
        left_m = PROOF_TURNS * self._site.machine.band_length_m - (self.way_m() - self._since_m)
        return max(left_m, 0.0)

    @property
    def rubs(self) -> bool:
        """Whether its back rubs on a flange as it runs."""
        return not self.off and self.off_flange_m < _RUBS_M

    @property
    def led_aside(self) -> float:
        """How many times as far as one that runs clear the band gives between its guides."""
        return _LED_ASIDE if self.rubs else 1.0

    @property
    def unlike_found(self) -> list[object]:
        """What of it is not as on a saw whose band was never touched; empty where all is."""
        here: list[object] = [self.place, self.off_flange_m, self.fresh, self.unseen_m]
        return here if here != [SEATED, RIGHT_M, False, 0.0] else []

    def put(self, place: str) -> None:
        """Take the band off, open the coil of another, lay one on, or seat it; bare hands come to harm."""
        if place in _OFF and not self.off:
            self._unsettle()
        if place == BARE:
            self._site.tell("band-sprang")
        if place in (OPENED_BARE, HUNG_BARE):
            self._site.tell("coil-sprang")
        self.place = place
        slack_pa = self._tension.stress_pa
        self._tension.take_off(self.off)
        self._tightened(slack_pa)

    def set_screw(self, stress_pa: float) -> None:
        """Turn the hand screw of the tension to a stress, Pa; a band beside its guides comes to harm by it."""
        was_pa = self._tension.stress_pa
        self._tension.set_screw(stress_pa)
        self._tightened(was_pa)

    def _tightened(self, was_pa: float) -> None:
        """Tell of a band that lies beside its guides and is under more tension than it was; letting it down is no harm."""
        if self.place == LAID_ON and self._tension.stress_pa > was_pa:
            self._site.tell("band-tight-beside-guides")

    def lay_on(self) -> None:
        """Have the band that was off lie on the wheels, as one does that is fitted."""
        if self.off:
            self.put(LAID_ON)

    def refit(self) -> None:
        """Have another band on the wheels and in its guides, that has not turned yet."""
        self.put(SEATED)
        self._unsettle()

    def lead(self, off_flange_m: float) -> None:
        """Have its back run so far off the flanges, m."""
        self.off_flange_m = off_flange_m
        if self._since_m is not None:
            self._since_m = self.way_m()
        self._site.cut_changed()

    def _unsettle(self) -> None:
        self.fresh = True
        self._since_m = self.way_m()
        self.lead(0.0)

    def band_turns(self, turning: bool) -> None:
        """Take note that the band begins to turn or comes to rest; one that came to no speed was jogged."""
        if turning:
            self._came_to_speed = False
        elif not self._came_to_speed and self.place == SEATED and self.off_flange_m < RIGHT_M:
            self.lead(min(self.off_flange_m + _EACH_JOG_M, RIGHT_M))

    def at_speed(self) -> None:
        """Take note that the band runs at speed."""
        self._came_to_speed = True
        if self.place == LAID_ON:
            self._site.tell("band-walked-off")
        elif self.fresh and not self.tracks and not self.off:
            self._site.tell("band-untracked")
        self.fresh = self.fresh and self.off
