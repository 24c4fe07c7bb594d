"""Hands at the saw that bring about signals, states and settings, whatever stands against them.

A key that the console would refuse is freed first, by bringing about what its permissives need; what
a careful hand sees to besides, and what holds a set point fast, is in `pilot_ways`.

Never here: goals and lessons.
"""

from collections.abc import Callable, Mapping
from contextlib import ExitStack
from typing import Final

from sim.control.actions import BY_NAME as ACTIONS
from sim.control.interlocks import When
from sim.control.table import JOB_UNDER_WAY
from sim.pilot.bandwork import IN_HAND, SEAT, band_off, seat_again
from sim.pilot.careful import careful
from sim.pilot.locking import give_back
from sim.pilot.pilot_ways import (
    FIRST,
    FIRST_OVER_BAR,
    FREED_BY,
    KEY_TO,
    LOCKED_GUARDS,
    OF_PRODUCTION,
    SHOWN_BY,
    Wish,
)
from sim.plant.lift import OPEN, SHUT
from sim.plant.mode_key import IN_POCKET, IN_SWITCH
from sim.plant.padlocks import DEVICES
from sim.plant.seat import SEATED
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.plant.set_points import Setting
from sim.plant.vise import VISES
from sim.scenario.steps import CARD, MEASURED, Limits
from sim.session.before.keys import wait_until
from sim.session.before.tracking import track
from sim.session.card.setup_card import RUN_PAST_MM, run_in_mm_min
from sim.session.hands.table import to_load, to_set
from sim.session.lessons.goals import LENGTH_STOP, card_line
from sim.session.session import Session
from sim.signals import BY_KEY, BY_TAG, NORMALLY_CLOSED, Source
from sim.trade.handling import CRANE

Target = float | str | Limits
_MOVE_S: Final = 900.0  # the longest motion or cut by hand
_JOB_S: Final = 7200.0
_SLICE_S: Final = 0.1
_BIT_S: Final = 0.5  # how long a key is held to move something a little
_COMES_TO_REST: Final = {"B1": ("COASTING", "TRIPPED"), "B2": ("COASTING", "TRIPPED")}
_DEEPEST: Final = 6  # of one thing that is brought about for another
_KEY: Final = "mode.key"
_COCK, _AIR, _VALVE = "supply.air_cock", "supply.air_bar", "head.feed_valve_mm_min"
_RELIEF: Final = {
    "head.raise": "head.oil_relief",
    "cutting_vise.clamp": "cutting_vise.oil_relief",
    "shuttle_vise.clamp": "shuttle_vise.oil_relief",
}
"""What lets off the oil that a key moves a part with."""
_WANTED: Final = "job.wanted"
_BAR: Final = "B53"  # shows that there is bar left
_INTO_METAL: Final = ("job.start", "job.unhold", "head.lower")
_LATCHES: Final = frozenset(key for key, row in BY_KEY.items() if row.source is Source.LATCH)


class PilotHands:
    """The two hands of a good operator at one saw."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.saw = session.saw
        self.kept: frozenset[str] = frozenset()  # set points that are left as they stand
        self.before_cuts: Callable[[], None] = lambda: (
            None
        )  # done before a key that may lead into metal
        self._deep = 0

    def wish(self, wish: Wish) -> None:
        """Bring about what a wish names: its settings, then its states."""
        self.settings(wish.setting)
        self.states(wish.state)

    def let_go(self, wanted: Mapping[str, bool]) -> None:
        """Let go of every key that is not wanted held."""
        for key in sorted(self.saw.held - _LATCHES):
            if not wanted.get(BY_KEY[key].tag, False):
                self.session.release(key)

    # Settings -----------------------------------------------------------------------------

    def settings(self, wanted: Mapping[str, Target]) -> None:
        """Set set points, freeing what holds them fast, with what must hold for hands there."""
        with ExitStack() as kept:
            for name, target in wanted.items():
                value = self._value(name, target)
                if value is None or self.session.over:
                    continue
                if name == LENGTH_STOP:
                    self.wind(float(value))
                elif self.saw.read(name) != value:
                    if value == "open" and name in LOCKED_GUARDS:
                        self._have_lock_drawn()
                    self.wish(FREED_BY.get(name, Wish()))
                    kept.enter_context(careful(self.session, to_set(name)))
                    if name in IN_HAND:
                        kept.enter_context(band_off(self.session, name))
                    if (name, value) == (SEAT, SEATED):
                        seat_again(self.session)
                    else:
                        self.session.set(name, value)

    def _have_lock_drawn(self) -> None:
        """Have power, and the band standing, for else a guard is locked."""
        self.signals({"Q0": True})
        if self.saw.plant.band.moves:
            self.states({"band": ("STOPPED",)})
            wait_until(self.session, lambda: not self.saw.plant.band.moves, _MOVE_S)

    def _value(self, name: str, target: Target) -> Setting | None:
        line = card_line(self.session, name)
        if target in (CARD, MEASURED):
            return line.setting if line is not None else None
        if not isinstance(target, Limits):
            return target
        if line is not None and not isinstance(line.setting, str) and target.holds(line.setting):
            return line.setting
        if name == _VALVE and self.saw.plant.blade.fresh > 0.0:  # the card's number for a new band
            easy = run_in_mm_min(self.session.machine, self.session.stock, self.session.order)
            if target.holds(easy):
                return easy
        low, high = target.low, target.high
        if name in SET_POINTS:
            lowest, highest = SET_POINTS[name].limits(self.session.machine)
            low, high = max(low, lowest), min(high, highest)
        return low if target.at_least is None else (low + high) / 2.0

    def wind(self, reading_mm: float) -> None:
        """Set the length stop to a reading from above, so that its play is out."""
        _, longest_mm = SET_POINTS[LENGTH_STOP].limits(self.session.machine)
        with careful(self.session, to_set(LENGTH_STOP)):
            self.session.set(LENGTH_STOP, min(reading_mm + RUN_PAST_MM, longest_mm))
            self.session.set(LENGTH_STOP, reading_mm)

    # Signals and states -------------------------------------------------------------------

    def signals(self, wanted: Mapping[str, bool]) -> None:
        """Bring wires to values: press what is a key, else bring about what shows on them."""
        for tag, live in wanted.items():
            row = BY_TAG[tag]
            if self.saw.bus.seen[tag] == live or self.session.over:
                continue
            if row.key:
                down = live != (tag in NORMALLY_CLOSED)
                (self.session.press if down else self.session.release)(row.key)
            elif tag == _BAR and live and self.state("job") not in JOB_UNDER_WAY:
                self.fresh_bar()
            elif (tag == "B53" and not live) or self.state("job") in JOB_UNDER_WAY:
                self.run(self._shows(tag, live))
            elif not live and self.state("band") in _COMES_TO_REST.get(tag, ()):
                wait_until(self.session, lambda: not self.saw.bus.seen["B1"], _MOVE_S)
            else:
                self.wish(SHOWN_BY.get((tag, live), Wish()))

    def _shows(self, tag: str, live: bool) -> Callable[[], bool]:
        return lambda: self.saw.bus.seen[tag] == live

    def state(self, machine: str) -> str:
        """Return the state of a machine of the control."""
        return self.saw.controller.machines[machine].state

    def states(self, wanted: Mapping[str, tuple[str, ...]]) -> None:
        """Bring machines to states, in the order in which they are given."""
        for machine, states in wanted.items():
            if self.state(machine) not in states and not self.session.over:
                lead = _LEADS.get(machine, PilotHands.by_key)
                lead(self, machine, states)

    def by_key(self, machine: str, states: tuple[str, ...]) -> None:
        """Lead a machine to a state by the key that leads there."""
        action = next((KEY_TO[machine, s] for s in states if (machine, s) in KEY_TO), None)
        if action is not None:
            self.press(action, lambda: self.state(machine) in states)

    def _supply(self, machine: str, states: tuple[str, ...]) -> None:
        if "OFF" in states:
            self.press("supply.reset", lambda: self.state(machine) == "OFF")
        elif "ON" in states:
            if self.session.lockout.begun:
                give_back(self.session)
            self.by_key(machine, states)
        elif "TRIPPED" in states:
            self.signals({"Q0": True} if self.state(machine) == "DEAD" else {"S1": False})
        else:
            self.signals({"Q0": False})

    def _band(self, machine: str, states: tuple[str, ...]) -> None:
        if "TRIPPED" in states:
            self.states({"band": ("RUNNING",)})
            self.signals({"F1": False})  # by the test button of the overload relay
            return
        if states == ("COASTING",):
            self.states({"band": ("RUNNING",)})
        if self.state("band") == "TRIPPED":
            self.press("supply.reset", lambda: self.state("band") == "STOPPED")
        if self.state("band") not in states:
            self.by_key(machine, states)

    def _head(self, machine: str, states: tuple[str, ...]) -> None:
        if "BETWEEN" in states:
            key = "head.lower" if self.state("head") == "UP" else "head.raise"
            self.hold(key, _BIT_S)
        else:
            self.by_key(machine, states)

    def _job(self, machine: str, states: tuple[str, ...]) -> None:
        here = self.state("job")
        if "EXECUTE" in states:
            self._begin()
        elif "IDLE" in states:
            self._idle()
        elif "HELD" in states and here == "HOLDING":
            wait_until(self.session, lambda: self.state("job") == "HELD", _MOVE_S)
        elif "STOPPED" in states:
            key = "job.clear" if here == "ABORTED" else "job.stop"
            self.press(key, lambda: self.state("job") == "STOPPED")
        elif "COMPLETE" in states:
            self.run(lambda: self.state("job") == "COMPLETE")
        elif "STOPPING" in states:  # it lasts only while there is a band to come to rest
            self.run(lambda: self.state("band") == "RUNNING")
            self.by_key(machine, states)
        elif "ABORTED" in states:
            self.signals({"S1": False})
        else:
            if here not in JOB_UNDER_WAY:
                self._begin()
            self.by_key(machine, states)

    def _idle(self) -> None:
        """Bring the job to where it can be started."""
        if self.state("job") in ("HELD", "ABORTED"):
            self.states({"job": ("STOPPED",)})
        self.press("job.reset", lambda: self.state("job") == "IDLE")

    def _begin(self) -> None:
        """Go on with a held job, or begin one as the scenario says."""
        key = "job.unhold"
        if self.state("job") != "HELD":
            key = "job.start"
            first = self.session.scenario.job.first
            if first == "straight":
                self.states({"cutting_vise": ("CLAMPED",), "shuttle_vise": ("CLAMPED",)})
            self.states({"coolant_choice": ("WITH_BAND",)})
            if self.state("job") != "IDLE":
                self._idle()
            self.session.tap(f"job.{first}")
        self.press(key, lambda: self.state("job") == "EXECUTE")

    def _mode(self, _machine: str, states: tuple[str, ...]) -> None:
        self.session.turn(states[0])

    def _cycle(self, _machine: str, states: tuple[str, ...]) -> None:
        """Let the job run to a step of the piece; the cut has begun when the head has left its stop."""
        in_cut = "LOWER_HEAD" in states
        self.run(
            lambda: self.state("cycle") in states and not (in_cut and self.saw.bus.seen["B11"])
        )

    def run(self, reached: Callable[[], bool]) -> None:
        """Let the job run until something is reached or it stands."""
        if reached():
            return
        self.before_cuts()
        if self.state("job") not in JOB_UNDER_WAY:
            self.states({"job": ("EXECUTE",)})
        wait_until(
            self.session, lambda: reached() or self.state("job") not in JOB_UNDER_WAY, _JOB_S
        )

    # Keys ---------------------------------------------------------------------------------

    def press(
        self, action: str, reached: Callable[[], bool], *, often: bool = False, cuts: bool = True
    ) -> None:
        """Press a key, and both palm keys where they are wanted, until something is reached.

        Args:
            action: The key's action.
            reached: What is waited for.
            often: Look often, for what no switch shows.
            cuts: Whether the key may lead into metal.
        """
        self._make_ready(action, cuts=cuts)
        if self.session.over:
            return
        row = ACTIONS[action]
        if row.palms and self.saw.controller.image["mode"] == "MAINTENANCE":
            self.session.press(action)  # a jog, which ends by itself
            self.session.advance(_BIT_S)
            self.session.release(action)
            return
        if not row.halt:
            (self.session.palms if row.palms else self.session.tap)(action)
            wait_until(self.session, reached, _MOVE_S)
            return
        self.session.press(action)
        if often:
            self._wait_often(reached)
        else:
            wait_until(self.session, reached, _MOVE_S)
        if not self.session.over:
            self.session.release(action)

    def hold(self, action: str, seconds: float) -> None:
        """Hold a key down for some seconds."""
        self._make_ready(action, cuts=False)
        self.session.press(action)
        self.session.advance(seconds)
        self.session.release(action)

    def _wait_often(self, reached: Callable[[], bool]) -> None:
        for _ in range(round(_MOVE_S / _SLICE_S)):
            if reached() or self.session.over:
                return
            self.session.advance(_SLICE_S)

    def fresh_bar(self) -> None:
        """Have a fresh bar laid on the saw, where the last one is used up; the job is held, or none is under way."""
        session = self.session
        session.turn("MANUAL")
        wait_until(session, lambda: not self.saw.plant.band.moves, _MOVE_S)
        self.states({"head": ("UP",), **dict.fromkeys(VISES, ("RELEASED",))})
        if session.over:
            return
        with careful(session, to_load(CRANE, session.stock.mass_kg)):
            session.load_bar(CRANE)
        self.states({"cutting_vise": ("CLAMPED",)})
        if self.state("shuttle") != "FORWARD" and not session.over:  # alone, its vise is released
            session.press("shuttle.forward")
            wait_until(session, lambda: self.state("shuttle") == "FORWARD", _MOVE_S)
            session.release("shuttle.forward")

    def _undo_slips(self, action: str) -> None:
        """Put back what keeps a key from doing anything, though no interlock asks for it."""
        row, read, supply = ACTIONS[action], self.saw.read, self.saw.plant.supply
        if not row.moves and not row.palms:
            return
        if self.session.lockout.begun:
            give_back(self.session)
        if read(_KEY) == IN_POCKET and not self.session.over:
            self.session.set(_KEY, IN_SWITCH)
        if not any(map(self.saw.plant.padlocks.on, DEVICES)):
            self._put_back(_COCK, wrong=read(_COCK) != "open")
            self._put_back(_AIR, wrong=supply.regulator_pa < self.session.machine.air_switch_pa)
        relief = _RELIEF.get(action, "")
        if relief and read(relief) == OPEN and relief not in self.kept and not self.session.over:
            self.settings({relief: SHUT})
        self._put_back(_VALVE, wrong=action == "head.lower" and read(_VALVE) == 0.0)

    def _put_back(self, name: str, *, wrong: bool) -> None:
        if wrong and name not in self.kept and not self.session.over:
            self.settings({name: CARD})

    def _make_ready(self, action: str, *, cuts: bool) -> None:
        self._undo_slips(action)
        if cuts and action in _INTO_METAL and not self.session.over:
            self.before_cuts()
        job = self.saw.controller.job
        if action == "job.unhold" and job.cut >= job.wanted and not self.session.over:
            self.session.set(_WANTED, job.cut + 1)  # or the job would not go on
        self.wish(FIRST.get(action, Wish()))
        if cuts and self.saw.plant.bar.under_band:
            self.wish(FIRST_OVER_BAR.get(action, Wish()))
        image = self.saw.controller.image
        for row in self.saw.controller.rows.needs_of(action, When.KEY):
            if row.stands(image) and not self.session.over:
                self._satisfy(row.need.subject, row.need.values)
        if self._runs_at_speed(action, image) and self.saw.plant.band.seat.fresh:
            self.states({"head": ("UP",)})
            track(self.session)
        if action in OF_PRODUCTION and image["mode"] != "PRODUCTION":
            self.session.turn("PRODUCTION")
        elif ACTIONS[action].moves and image["mode"] not in ("MANUAL", "MAINTENANCE"):
            self.session.turn("MANUAL")

    def _runs_at_speed(self, action: str, image: Mapping[str, object]) -> bool:
        """Return whether a key has the band run, and more than a jog."""
        if self.saw.plant.band.contactor:
            return False
        return action == "job.start" or (action == "band.run" and image["mode"] != "MAINTENANCE")

    def _satisfy(self, subject: str, values: tuple[object, ...]) -> None:
        """Bring about what a permissive needs, unless that leads round in a circle."""
        if self._deep >= _DEEPEST:
            return
        self._deep += 1
        if subject in BY_TAG:
            self.signals({subject: bool(values[0])})
        elif subject.startswith("latch."):
            self.press("supply.reset", lambda: True)
        else:
            self.states({subject: tuple(str(value) for value in values)})
        self._deep -= 1


_LEADS: Final[dict[str, Callable[[PilotHands, str, tuple[str, ...]], None]]] = {
    "supply": PilotHands._supply,
    "band": PilotHands._band,
    "head": PilotHands._head,
    "mode": PilotHands._mode,
    "job": PilotHands._job,
    "cycle": PilotHands._cycle,
}
