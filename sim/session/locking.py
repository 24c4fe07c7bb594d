"""The acts of a whole lock-out, and of the way back, from wherever a saw stands.

Hints type them, and whoever works the saw without a hand of his own does them; what is done already is
left out. In order: told, stopped, the head let down and the bar chocked before any supply goes, then
isolator, padlock, air, padlock, what oil is left, verified. The head is let down by its oil relief, as
it can be with any supply gone.

Never here: when a lock-out is wanted.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil
from typing import Final

from sim.plant.padlocks import AIR_COCK, ISOLATOR
from sim.plant.vise import Vise
from sim.records.acts import Adjusted
from sim.session.session import Session
from sim.units import US

_RUNS: Final = ("STARTING", "EXECUTE", "HOLDING", "HELD", "UNHOLDING", "COMPLETING", "STOPPING")
_VENTS_S: Final = 20.0  # longer than the air takes
_STOPS_S: Final = 60.0
_COCK: Final = "supply.air_cock"
_LIFT: Final = "head.oil_relief"
_WHOLE: Final = {
    **dict.fromkeys((_LIFT, "cutting_vise.oil_relief", "shuttle_vise.oil_relief"), "shut"),
    "infeed.bar_chock": "out",
}


@dataclass(frozen=True, slots=True)
class LockingAct:
    """One act, by its word in the session language."""

    word: str  # lockout, set, tap, release, or wait
    name: str
    setting: str = ""

    @property
    def typed(self) -> str:
        """The act as it is typed."""
        return " ".join(filter(None, (self.word, self.name, self.setting)))

    def do(self, session: Session) -> None:
        """Do it by the session's verbs."""
        if self.name == "still":
            session.advance_until(lambda: session.saw.clock.still, round(_STOPS_S * US))
        elif self.word == "wait":
            session.advance(float(self.name))
        elif self.word == "lockout":
            session.lock_out(self.name)
        elif self.word == "set":
            session.set(self.name, self.setting)
        else:
            {"tap": session.tap, "release": session.release}[self.word](self.name)


def do_all(session: Session, acts: Iterator[LockingAct]) -> None:
    """Do acts one after the other, for as long as the run goes on."""
    for act in acts:
        if session.over:
            return
        act.do(session)


def locking_out(session: Session, *, until: str = "verify") -> Iterator[LockingAct]:
    """Yield the acts that are still wanting until hands may go in.

    Args:
        session: Whose saw it is.
        until: The step of the lock-out that is the last one.
    """
    here = session.lockout
    if here.has(until):
        return
    if not here.told:
        yield LockingAct("lockout", "tell")
        if until == "tell":
            return
    yield from _shutting_down(session)
    yield from _isolating(session, until)
    if until in ("lock-isolator", "lock-air"):
        return
    for name, vise in _vises(session).items():
        if vise.pressure_pa > 0.0:
            yield LockingAct("set", f"{name}.oil_relief", "open")
    if not here.verified:
        yield LockingAct("lockout", "verify")
    if until == "prove-dead":
        yield LockingAct("lockout", "prove-dead")


def _shutting_down(session: Session) -> Iterator[LockingAct]:
    """Stop what runs, let the head down, and chock the bar."""
    saw, plant = session.saw, session.saw.plant
    if saw.controller.job.state in _RUNS:
        yield LockingAct("tap", "job.stop")
        yield LockingAct("wait", "still")
    if plant.band.turning:
        yield LockingAct("tap", "band.stop")
        yield LockingAct("wait", "still")
    if plant.bar.length_m > 0.0 and saw.read("infeed.bar_chock") == "out":
        yield LockingAct("set", "infeed.bar_chock", "in")
    head, machine = plant.head, session.machine
    if not head.rests or head.oil_pa > 0.0:
        lasts_s = (head.place.position - machine.head_bottom_m) / machine.relief_m_s
        rested = head.rests
        if saw.read(_LIFT) == "shut":
            yield LockingAct("set", _LIFT, "open")
        if not rested:
            yield LockingAct("wait", str(ceil(lasts_s)))


def _isolating(session: Session, until: str) -> Iterator[LockingAct]:
    here, saw = session.lockout, session.saw
    if saw.bus.driven("Q0"):
        yield LockingAct("release", "supply.isolator")
    if not here.mine(ISOLATOR):
        yield LockingAct("lockout", "lock-isolator")
    if until == "lock-isolator":
        return
    if saw.read(_COCK) == "open":
        yield LockingAct("set", _COCK, "shut")
        yield LockingAct("wait", f"{_VENTS_S:g}")
    if not here.mine(AIR_COCK):
        yield LockingAct("lockout", "lock-air")


def giving_back(session: Session) -> Iterator[LockingAct]:
    """Yield the acts that are still wanting until a lock-out is taken back and the air is on."""
    here, saw = session.lockout, session.saw
    if not here.begun:
        return
    for name, whole in _WHOLE.items():
        if saw.read(name) != whole:
            yield LockingAct("set", name, whole)
    wanted = ("inspect", "clear", "unlock-air", "unlock-isolator") if here.locked else ()
    for step in wanted:
        if not here.has(step):
            yield LockingAct("lockout", step)
    if here.others:
        yield LockingAct("lockout", "ask")
    yield LockingAct("lockout", "tell-restored")
    if saw.read(_COCK) == "shut" and _shut_by_hand(session):
        yield LockingAct("set", _COCK, "open")


def _shut_by_hand(session: Session) -> bool:
    """Return whether it was shut in this session, and is not found shut."""
    return any(act.name == _COCK and act.setting == "shut" for act in session.done.of(Adjusted))


def _vises(session: Session) -> dict[str, Vise]:
    plant = session.saw.plant
    return {"cutting_vise": plant.cutting_vise, "shuttle_vise": plant.shuttle_vise}
