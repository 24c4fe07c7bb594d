"""The guide arm, which sets the free span of the band, and the guard and cover beside it.

Theory. The bar lies against the fixed jaw. One guide is fixed beside that jaw, the other sits on the
arm, so the arm is clear of the bar by span - fixed guide - width of the bar. The arm carries the
sliding band guard; an arm left unlocked is shaken outwards with every area sawn, until it has left
its guard and the guard's switch opens.
"""

from typing import Final

from sim.plant.surroundings import Site
from sim.words.fields import mm
from sim.words.message import plain, row

OPEN, CLOSED = "open", "closed"
TIGHT, SLACK = "tight", "slack"
DOORS: Final = (CLOSED, OPEN)
LOCKS: Final = (TIGHT, SLACK)

_DRIFTED: Final = row(
    "harm.arm-drifted.detail",
    "It moved {drift} in this cut, to a span of {span}.",
    drift=mm(1), span=mm(),
)  # fmt: skip
_GUARD_OPEN: Final = plain("harm.band-uncovered.guard", "The band guard stood open.")
_COVER_OPEN: Final = plain("harm.band-uncovered.cover", "The wheel cover stood open.")


class Guide:
    """Span, lock, band guard and wheel cover."""

    def __init__(self, site: Site) -> None:
        self._site = site
        self.span_m = site.machine.guide_found_m
        self.lock = TIGHT
        self.guard = CLOSED
        self.cover = CLOSED
        self.play = 1.0  # give of the band's span by that between sound guides
        self.turning = False  # the band is
        self._guarded_m = self.span_m  # span at which the guard was slid to the arm

    def set_span(self, span_m: float) -> None:
        """Slide the arm to a free span, m, and the guard with it."""
        self.span_m = span_m
        self._guarded_m = span_m
        self._site.cut_changed()
        self.sense()

    def set_lock(self, lock: str) -> None:
        """Lock the arm, or slacken its lock."""
        self.lock = lock

    def set_guard(self, guard: str) -> None:
        """Open the band guard, or close it up to the arm."""
        self.guard = guard
        if guard == CLOSED:
            self._guarded_m = self.span_m
        self.sense()

    def set_cover(self, cover: str) -> None:
        """Open or close the wheel cover."""
        self.cover = cover
        self.sense()

    def wear(self, play: float) -> None:
        """Have worn inserts let the band give so many times as far as sound ones."""
        self.play = play
        self._site.cut_changed()

    @property
    def guarded(self) -> bool:
        """Whether the guard closes the band up to the arm."""
        reach_m = self._site.machine.guard_reach_m
        return self.guard == CLOSED and self.span_m - self._guarded_m <= reach_m

    def clear_m(self, width_m: float) -> float:
        """Return how far the arm is clear of a bar so wide, m; below zero it stands over the bar."""
        return self.span_m - self._site.machine.fixed_guide_m - width_m

    def shake(self, area_m2: float) -> None:
        """Take note that an area, m2, was sawn: an unlocked arm drifts outwards."""
        machine = self._site.machine
        if self.lock == TIGHT or self.span_m >= machine.guide_high_m:
            return
        drifted_m = min(machine.arm_drift_m_m2 * area_m2, machine.guide_high_m - self.span_m)
        self.span_m += drifted_m
        self._site.tell(
            "arm-drifted",
            _DRIFTED(drift=drifted_m, span=self.span_m),
        )
        self.sense()

    def band_turns(self, turning: bool) -> None:
        """Take note that the band runs or stands."""
        begins = turning and not self.turning
        self.turning = turning
        self._look("band-set-going-uncovered" if begins else "band-uncovered")

    def sense(self) -> None:
        """Show both switches what there is."""
        self._site.bus.drive("B41", self.guarded)
        self._site.bus.drive("B42", self.cover == CLOSED)
        self._look()

    def _look(self, harm: str = "band-uncovered") -> None:
        """Tell of a band that runs uncovered, as a harm that says how it came to it.

        A jog at the lowest speed with the enabling device held is what open guards are for in MAINTENANCE.
        """
        if not self.turning or all(map(self._site.bus.driven, ("S6B", "S7", "B3"))):
            return
        if not self.guarded:
            self._site.tell(harm, _GUARD_OPEN)
        elif self.cover == OPEN:
            self._site.tell(harm, _COVER_OPEN)
