"""What must never happen to anybody, judged from the plant alone, instant by instant.

Nothing here calls the rule that it judges (`hazards`, `rule`, `person`): motion is read off the laws of
the axes ahead of now, the feed off the hands' own switches since they were last turned. From the hands
come only where they are and how long, out of the one table.
"""

from collections.abc import Callable

from sim.plant.harm.kinds import Severity
from sim.session.hands.hazards import Hazard, Opens
from sim.session.hands.zones import Demand, Zone
from sim.session.session import Session

AHEAD_S = (1e-4, 1e-2, 1.0, 60.0, 3600.0, 1e7)
BY_HEAD = (
    Zone.BAND, Zone.WHEELS, Zone.CUTTING_JAWS, Zone.UNDER_HEAD, Zone.SWING, Zone.OUTFEED,
)  # fmt: skip
MOTORS = ("Q1", "Q2", "Q3", "M2", "M3")
STOPS = ("S1", "S9")


def goes(axis) -> bool:
    """Return whether an axis, left alone, will be anywhere else."""
    if not axis.direction:
        return False
    here, law = axis.position, axis._law
    since_s = (axis._clock.now_us - axis._began_us) / 1e6
    return any(law.at(since_s + ahead_s) != here for ahead_s in AHEAD_S)


class Feed:
    """Whether K0 can be in: its reset has come up since a stop or a supply was last taken away."""

    def __init__(self, session: Session) -> None:
        self._saw = session.saw
        self.may = False
        for tag in (*STOPS, "Q0", "S5"):
            self._saw.bus.listen_beside(tag, self._hand)
        self._hand("Q0", self._saw.bus.driven("Q0"))

    def _hand(self, tag: str, value: bool) -> None:
        bus, power = self._saw.bus, self._saw.plant.power
        stopped = any(not bus.driven(stop) and self._sound(stop) for stop in STOPS)
        if not bus.driven("Q0") or not power.fuse_24 or stopped:
            self.may = False
        elif tag == "S5" and not value:
            self.may = True

    def _sound(self, stop: str) -> bool:
        """Return whether any contact of a stop opens when it is pressed."""
        return not all(self._saw.plant.power.relay.spoilt.get((stop, n)) for n in (1, 2))

    def wrong(self) -> str:
        """Return what is energised and not fed, or nothing."""
        plant, bus = self._saw.plant, self._saw.bus
        power = plant.power
        both_relays = power.relay.welded >= {1, 2}
        in_ = (self.may and power.fuse_24 and bus.driven("Q0")) or (
            both_relays and bus.driven("Q0")
        )
        for tag, works in plant._works.items():
            stuck = plant.seized(tag)
            if not works or (stuck and tag not in MOTORS):
                continue  # a spool that is stuck open needs no current
            if not bus.driven("Q0"):
                return f"{tag} with the isolator off"
            if not stuck and not in_:
                return f"{tag} with the safety relay out"
            if tag in MOTORS and not in_ and not power.welded >= {"Q11", "Q12"}:
                return f"{tag} with the main contactors out"
            if tag in ("Q1", "Y12") and not stuck and not bus.driven("S2"):
                return f"{tag} with the trip line pulled"
        if plant.band.motor.rate > 0.0 and not plant._works["Q1"]:
            return "the band runs up undriven"
        if plant.shuttle.place.rate != 0.0 and not plant._works["Q2"]:
            return "the shuttle goes without its pump"
        return ""


class Watch:
    """Looks on after every act and every moment, and keeps what must never be."""

    def __init__(self, session: Session) -> None:
        self.wrong: list[str] = []
        self.moments = self.strikes = self.verified = 0
        self._session = session
        self._feed = Feed(session)
        self._places: tuple[float, ...] = ()
        self._deeds = -1
        self._owes: tuple[int, str] | None = None  # an instant at which hands must be struck
        self._struck = 0
        self._last = None  # what hands were last busy with
        take_up = session.hands.take_up

        def taken_up(*what):
            self._last = take_up(*what)
            return self._last

        session.hands.take_up = taken_up
        session.follow(self)

    def update(self) -> None:
        """Look now."""
        session = self._session
        now_us, due_us = session.saw.clock.now_us, session.saw.clock.next_us()
        self.moments += 1
        if wrong := self._feed.wrong():
            self._say(wrong)
        self._still_where_verified()
        self._pays()
        if due_us != now_us and not session.saw.plant.site.wrecked:  # the instant is over
            hazard = self.hazard()
            if hazard:
                self._owes = (now_us, hazard)

    def _say(self, what: str) -> None:
        self.wrong.append(f"{self._session.saw.clock.now_us} us: {what}")

    def _still_where_verified(self) -> None:
        plant = self._session.saw.plant
        axes: dict[str, Callable] = {
            "head": plant.head.place, "band": plant.band.motor, "shuttle": plant.shuttle.place,
            "cutting jaw": plant.cutting_vise.jaw, "shuttle jaw": plant.shuttle_vise.jaw,
        }  # fmt: skip
        places = tuple(axis.position for axis in axes.values())
        if self._session.lockout.verified:
            self.verified += 1
            if moving := [name for name, axis in axes.items() if goes(axis)]:
                self._say(f"verified, and moving: {moving}")
            untouched = len(self._session.done.all) == self._deeds and self._places
            if untouched and places != self._places:
                self._say("verified, and something has moved")
            if plant.power.live or plant.power.control or plant.supply.oil:
                self._say("verified, and fed")
        self._deeds, self._places = len(self._session.done.all), places
        if not self._session.lockout.verified:
            self._places = ()

    def _pays(self) -> None:
        """Hold what is owed, and every strike, to the instant and to the hazard."""
        session = self._session
        struck = [c for c in session.saw.consequences if c.kind.startswith("struck-")]
        if self._owes is not None:
            at_us, hazard = self._owes
            if not any(each.at_us == at_us for each in struck):
                harm = [c for c in session.saw.consequences if c.row.severity is Severity.STOP]
                if not any(each.at_us == at_us for each in harm):  # else the run ended with it
                    self._say(f"at {at_us} us {hazard}, and no strike")
            self._owes = None
        self._struck = len(struck)

    def after_act(self) -> None:
        """Look when an act, or some time, has passed; a strike must have its hazard now."""
        before = self.strikes
        self._pays()
        self.strikes = self._struck
        if self.strikes > before and not self.hazard():
            self._say("a strike without a hazard")

    def hazard(self) -> str:
        """Return what hits hands now, if hands are anywhere it reaches; or nothing."""
        doing = self._busy
        if doing is None:
            return ""
        in_us = doing.begun_us + round(min(doing.reach.walk_s, 1e6) * 1e6)
        now_us = self._session.saw.clock.now_us
        if doing.reach.zone in (Zone.CONSOLE, Zone.OUTSIDE):
            return ""
        if not (in_us <= now_us < doing.out_us):
            return ""
        inside = (self._in_zone(doing.reach, zone) for zone in doing.reach.zones)
        return next(filter(None, inside), "") or self._let_loose(doing.reach)

    @property
    def _busy(self):
        """What hands are busy with; of one that was struck just now, what they were."""
        last = self._last
        under_way = last is not None and (last is self._session.going.doing or last.struck)
        return last if under_way else None

    def _in_zone(self, reach, zone) -> str:
        plant = self._session.saw.plant
        if zone is Zone.CABINET:
            works = reach.bare and reach.demand is Demand.LOCKED_OUT
            live = works and self._session.saw.bus.driven("Q0")
            return "live" if live else ""
        by_band, by_head = reach.aside is not Hazard.HEAD, reach.aside is not Hazard.BAND
        if (
            by_band
            and zone in BY_HEAD
            and (plant.band.motor.position > 0.0 or goes(plant.band.motor))
        ):
            return "band"
        if by_head and zone in BY_HEAD and goes(plant.head.place):
            return "head"
        if zone is Zone.CUTTING_JAWS and goes(plant.cutting_vise.jaw):
            return "cutting jaw"
        if zone is Zone.SHUTTLE_JAWS and goes(plant.shuttle_vise.jaw):
            return "shuttle jaw"
        if zone in (Zone.SHUTTLE_JAWS, Zone.SHUTTLE_PATH) and goes(plant.shuttle.place):
            return "shuttle"
        return ""

    def _let_loose(self, reach) -> str:
        plant, opens = self._session.saw.plant, reach.opens
        pressure = {
            Opens.CUTTING_OIL: plant.cutting_vise.pressure_pa,
            Opens.SHUTTLE_OIL: plant.shuttle_vise.pressure_pa, Opens.FEED_OIL: 0.0,
        }.get(opens)  # fmt: skip
        if opens is Opens.SPRING:
            return "spring" if plant.band.tension.stress_pa > 0.0 else ""
        if opens is Opens.LIFT_OIL:
            return "falls" if not plant.head.rests else "oil" if plant.supply.oil else ""
        if pressure is None:
            return ""
        return "oil" if pressure > 0.0 or plant.supply.oil else ""
