"""The acts of a whole lock-out, and of the way back, from wherever a saw stands.

Hints type them, and whoever works the saw without a hand of his own does them; what is done already is
left out. In order: told, stopped, the head let down, the bar chocked and the wheel cover opened where the
work is behind it, all before any supply goes; then isolator, padlock, air, padlock, what oil is left,
stops, hood and mode key back for the try, verified, and last the band let down where it is taken off. The head is let down by its oil relief, as it
can be with any supply gone.

Never here: when a lock-out is wanted.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil
from typing import Final

from sim.plant.hood import HOOD_OPEN, HOOD_SHUT, NO_HOOD
from sim.plant.mode_key import IN_POCKET, IN_SWITCH
from sim.plant.padlocks import AIR_COCK
from sim.plant.seat import LAID_ON, SEATED
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.plant.set_points import Setting
from sim.records.acts import Adjusted
from sim.session.hands.hazards import Opens
from sim.session.hands.table import Reach
from sim.session.lockout import BACK, HOOD, STOPS, TENSION, WHOLE, ZERO_PA
from sim.session.session import Session
from sim.units import US

_RUNS: Final = ("STARTING", "EXECUTE", "HOLDING", "HELD", "UNHOLDING", "COMPLETING", "STOPPING")
_VENTS_S: Final = 20.0  # longer than the air takes
_STOPS_S: Final = 60.0
_COCK: Final = "supply.air_cock"
_CHOCK: Final = "infeed.bar_chock"
_COVER: Final = "band.wheel_cover"
_LIFT: Final = "head.oil_relief"
_SEAT: Final = "band.seat"
_LAPSES: Final = {"inspect", "clear"}  # as hands go in
_GOES_IN: Final = ("lock-isolator", "lock-air", "verify")
_KEY: Final = "mode.key"


@dataclass(frozen=True, slots=True)
class LockingAct:
    """One act, by its word in the session language."""

    word: str  # lockout, set, tap, press, release, hold, turn or wait
    name: str
    setting: str = ""

    @property
    def typed(self) -> str:
        """The act as it is typed."""
        return " ".join(filter(None, (self.word, self.name, self.setting)))

    @property
    def value(self) -> Setting:
        """What a set point is set to: a number, or one of its words."""
        return self.setting if SET_POINTS[self.name].words else float(self.setting)

    def do(self, session: Session) -> None:
        """Do it by the session's verbs."""
        if self.name == "still":
            session.advance_until(lambda: session.saw.clock.still, round(_STOPS_S * US))
        elif self.word == "wait":
            session.advance(float(self.name))
        elif self.word == "lockout":
            session.lock_out(self.name)
        elif self.word == "set":
            session.set(self.name, self.value)
        elif self.word == "hold":
            session.hold(self.name, float(self.setting))
        elif self.word == "turn":
            session.turn(self.name)
        else:
            verbs = {"tap": session.tap, "press": session.press, "release": session.release}
            verbs[self.word](self.name)


class Foreseen:
    """A saw as it will stand when the acts that were named so far are done; else as it stands now.

    Args:
        session: Whose saw it is.
    """

    def __init__(self, session: Session) -> None:
        self.session = session
        self._set: dict[str, str] = {}
        self._latch: dict[str, bool] = {}  # isolator and stops: whether it is on, or pressed in
        self._steps: set[str] = set()
        self._gone_back = False
        self._hands_in = False  # since the saw was looked over

    def will(self, act: LockingAct) -> LockingAct:
        """Take note of an act that is going to be done, and return it."""
        if act.word == "set":
            self._set[act.name] = act.setting
        elif act.word in ("press", "release"):
            self._latch[act.name] = act.word == "press"
        elif act.word == "lockout":
            self._steps.add(act.name)
            if act.name in _GOES_IN:
                self.hands_in()
            if act.name == "tell-restored":
                self._steps.clear()
                self._gone_back = True
        return act

    def hands_in(self) -> None:
        """Take note that hands will go in: it will have to be looked over and seen clear anew."""
        self._hands_in = True
        self._steps -= _LAPSES

    def read(self, name: str) -> Setting:
        """Return how a set point will stand."""
        return self._set.get(name, self.session.saw.read(name))

    @property
    def isolator_on(self) -> bool:
        """Whether the isolator will be on."""
        return self._latch.get("supply.isolator", self.session.saw.bus.driven("Q0"))

    def pressed(self, latch: str) -> bool:
        """Return whether a stop will be pressed in, or the trip line pulled."""
        return self._latch.get(latch, latch in self.session.saw.held)

    def has(self, step: str) -> bool:
        """Return whether what a step of the lock-out brings about will hold."""
        stale = self._gone_back or (self._hands_in and step in _LAPSES)
        return step in self._steps or (not stale and self.session.lockout.has(step))

    @property
    def begun(self) -> bool:
        """Whether anything of a lock-out will be there to be taken back."""
        return bool(self._steps) or (not self._gone_back and self.session.lockout.begun)

    @property
    def locked(self) -> bool:
        """Whether one's own padlock will hang on the saw."""
        return bool(self._steps & {"lock-isolator", "lock-air"}) or (
            not self._gone_back and self.session.lockout.locked
        )


def do_all(session: Session, acts: Iterator[LockingAct]) -> None:
    """Do acts one after the other, for as long as the run goes on."""
    for act in acts:
        if session.over:
            return
        act.do(session)


def locking_out(
    session: Session,
    *,
    until: str = "verify",
    work: Reach | None = None,
    seen: Foreseen | None = None,
) -> Iterator[LockingAct]:
    """Yield the acts that are still wanting until hands may go in.

    Args:
        session: Whose saw it is.
        until: The step of the lock-out that is the last one.
        work: Where the hands then go: behind the wheel cover, it is opened first, and a band that is
            taken off is let down last. Nothing of both when left out.
        seen: What is foreseen, where other acts come before or after.
    """
    here = seen if seen is not None else Foreseen(session)
    cover = work is not None and work.behind_cover and here.read(_COVER) == "closed"
    if cover and not here.isolator_on:
        yield from giving_back(session, seen=here)
        yield here.will(LockingAct("press", "supply.isolator"))
    if not here.has(until):
        yield from _to(session, until, here, cover=cover)
    elif cover:
        yield here.will(LockingAct("set", _COVER, "open"))
    lets_down = work is not None and work.opens is Opens.SPRING
    if lets_down and session.saw.plant.band.tension.stress_pa > 0.0 and here.read(TENSION) != "0":
        yield here.will(LockingAct("set", TENSION, "0"))
    if work is not None:
        here.hands_in()


def _to(session: Session, until: str, here: Foreseen, *, cover: bool) -> Iterator[LockingAct]:
    if not here.has("tell"):
        yield here.will(LockingAct("lockout", "tell"))
    if until == "tell":
        return
    yield from _shutting_down(session, here)
    if cover:
        yield here.will(LockingAct("set", _COVER, "open"))
    yield from _isolating(until, here)
    if until in ("lock-isolator", "lock-air"):
        return
    yield from _relieving(session, here)
    if not here.has("verify"):
        yield from _for_the_try(session, here)
        yield here.will(LockingAct("lockout", "verify"))
    if until == "prove-dead":
        yield here.will(LockingAct("lockout", "prove-dead"))


def _shutting_down(session: Session, here: Foreseen) -> Iterator[LockingAct]:
    """Stop what runs, let the head down, and chock the bar."""
    saw, plant = session.saw, session.saw.plant
    if saw.controller.job.state in _RUNS:
        yield LockingAct("tap", "job.stop")
        yield LockingAct("wait", "still")
    if plant.band.turning:
        yield LockingAct("tap", "band.stop")
        yield LockingAct("wait", "still")
    if plant.bar.length_m > 0.0 and here.read(_CHOCK) == "out":
        yield here.will(LockingAct("set", _CHOCK, "in"))
    head, machine = plant.head, session.machine
    if not head.rests:
        lasts_s = (head.place.position - machine.head_bottom_m) / machine.relief_m_s
        if here.read(_LIFT) == "shut":
            yield here.will(LockingAct("set", _LIFT, "open"))
        yield LockingAct("wait", str(ceil(lasts_s)))


def _isolating(until: str, here: Foreseen) -> Iterator[LockingAct]:
    if here.isolator_on:
        yield here.will(LockingAct("release", "supply.isolator"))
    if not here.has("lock-isolator"):
        yield here.will(LockingAct("lockout", "lock-isolator"))
    if until == "lock-isolator":
        return
    if here.read(_COCK) == "open":
        yield here.will(LockingAct("set", _COCK, "shut"))
        yield LockingAct("wait", f"{_VENTS_S:g}")
    elif here.session.saw.read(_COCK) == "shut" and here.session.saw.plant.supply.air_pa > ZERO_PA:
        yield LockingAct("wait", f"{_VENTS_S:g}")
    if not here.has("lock-air"):
        yield here.will(LockingAct("lockout", "lock-air"))


def _relieving(session: Session, here: Foreseen) -> Iterator[LockingAct]:
    """Let out what oil is left, with the padlocks on."""
    plant = session.saw.plant
    for name, oil_pa in (
        (_LIFT, plant.head.oil_pa),
        ("cutting_vise.oil_relief", plant.cutting_vise.pressure_pa),
        ("shuttle_vise.oil_relief", plant.shuttle_vise.pressure_pa),
    ):
        if oil_pa > 0.0 and here.read(name) == "shut":
            yield here.will(LockingAct("set", name, "open"))


def _for_the_try(session: Session, here: Foreseen) -> Iterator[LockingAct]:
    """Put back what else keeps the starts away, with the padlocks on: with it the try would prove nothing."""
    for latch in STOPS:
        if here.pressed(latch):
            yield here.will(LockingAct("release", latch))
    if session.saw.plant.hood.state != NO_HOOD and here.read(HOOD) == HOOD_OPEN:
        yield here.will(LockingAct("set", HOOD, HOOD_SHUT))
    if here.read(_KEY) == IN_POCKET:
        yield here.will(LockingAct("set", _KEY, IN_SWITCH))


def giving_back(session: Session, *, seen: Foreseen | None = None) -> Iterator[LockingAct]:
    """Yield the acts that are still wanting until a lock-out is taken back and the air is on.

    Args:
        session: Whose saw it is.
        seen: What is foreseen, where other acts come before or after.
    """
    here = seen if seen is not None else Foreseen(session)
    if here.begun:
        yield from _restoring(session, here)
    elif session.saw.plant.padlocks.on(AIR_COCK):  # somebody else's
        return
    if here.read(_COCK) == "shut" and _shut_by_hand(session, here):
        yield here.will(LockingAct("set", _COCK, "open"))


def _restoring(session: Session, here: Foreseen) -> Iterator[LockingAct]:
    yield from _making_whole(session, here)
    for step in (each.name for each in BACK[:-1]) if here.locked else ():
        if not here.has(step) or (step.startswith("unlock") and here.has(f"lock{step[6:]}")):
            yield here.will(LockingAct("lockout", step))
    if session.lockout.others:
        yield LockingAct("lockout", "ask")
    yield here.will(LockingAct("lockout", "tell-restored"))


def _making_whole(session: Session, here: Foreseen) -> Iterator[LockingAct]:
    """Seat the band and tension it again as the card has it, and shut and take away what was open and in."""
    if here.read(_SEAT) != SEATED:
        if float(here.read(TENSION)) != 0.0:
            yield here.will(LockingAct("set", TENSION, "0"))
        if here.read(_SEAT) != LAID_ON:
            yield here.will(LockingAct("set", _SEAT, LAID_ON))
        yield here.will(LockingAct("set", _SEAT, SEATED))
    tension = next((line.setting for line in session.card if line.name == TENSION), None)
    if tension is not None and float(here.read(TENSION)) == 0.0:
        yield here.will(LockingAct("set", TENSION, f"{float(tension):g}"))
    for name, (whole, _) in WHOLE.items():
        if here.read(name) != whole:
            yield here.will(LockingAct("set", name, whole))


def _shut_by_hand(session: Session, here: Foreseen) -> bool:
    """Return whether it was shut in this session, and is not found shut."""
    foreseen = session.saw.read(_COCK) == "open" and here.read(_COCK) == "shut"
    shut = (act.name == _COCK and act.setting == "shut" for act in session.done.of(Adjusted))
    return foreseen or any(shut)
