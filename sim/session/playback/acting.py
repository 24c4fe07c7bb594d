"""Does an act of a record to a session, as it stands now.

Never here: at what time it is done (see `replay` and `rewind`).
"""

from collections.abc import Callable, Sequence
from typing import Any, Final

from sim.errors import CommandError
from sim.records.acts import Act, ActKind, Asked, BrokenOff, Hinted, Noted, is_order
from sim.records.kinds import By
from sim.session.session import Session, ShiftBooks
from sim.words.message import plain

_NO_SHIFT: Final = plain("acting.no-shift", "the session is no shift of orders")

_WITH_HANDS: Final[dict[ActKind, Callable[[Session, Any, bool], object]]] = {
    ActKind.SET: lambda s, a, wait: s.set(a.name, a.setting, wait=wait),
    ActKind.INSPECT: lambda s, a, wait: s.inspect(a.name, a.expect, wait=wait),
    ActKind.LOCKOUT: lambda s, a, wait: s.lock_out(a.step, wait=wait),
    ActKind.LOAD: lambda s, a, wait: s.load_bar(a.how, wait=wait),
    ActKind.PUT_RIGHT: lambda s, a, wait: s.put_right(a.name, wait=wait),
    ActKind.SWAP: lambda s, a, wait: s.swap(a.name, wait=wait),
}
_DOES: Final[dict[ActKind, Callable[[Session, Any], object]]] = {
    ActKind.PRESS: lambda s, a: s.press(*a.keys),
    ActKind.RELEASE: lambda s, a: s.release(*a.keys),
    ActKind.ASK: lambda s, a: s.ask(a.name),
    ActKind.DIAGNOSE: lambda s, a: s.diagnose(a.name),
    ActKind.REPORT: lambda s, a: s.report(a.name, a.calls_for),
    ActKind.BREAK_OFF: lambda s, _: s.break_off(),
    ActKind.FORCE: lambda s, a: s.bench.force(a.tag, a.value),
    ActKind.JUMPER: lambda s, a: s.bench.jumper(a.name, a.on),
    ActKind.NOTE: lambda s, a: (s.instructor if a.by is By.INSTRUCTOR else s).note(a.text),
    ActKind.HINT: lambda s, a: s.take_hint(a.message),
    ActKind.PUT_IN: lambda s, a: s.instructor.put_in(a.name),
    ActKind.TAKE_OUT: lambda s, a: s.instructor.take_out(a.name),
    ActKind.SECOND: lambda s, a: s.instructor.second(a.told),
    ActKind.FREEZE: lambda s, a: s.instructor.freeze(a.on),
    ActKind.PACE: lambda s, a: s.instructor.pace(a.factor),
    ActKind.MARK: lambda s, a: s.instructor.mark(a.text),
    ActKind.ORDER_REFUSED: lambda s, a: s.instructor.refused(a.order, a.why),
    ActKind.BEGIN_SHIFT: lambda s, _: _shop(s).begun(),
    ActKind.TAKE: lambda s, a: _shop(s).take(a.order, a.bar),
}


def _shop(session: Session) -> ShiftBooks:
    if session.shop is None:
        raise CommandError(_NO_SHIFT)
    return session.shop


def play(session: Session, act: Act, *, wait: bool = True) -> None:
    """Do an act to a session as it stands now; it raises what the act raises.

    Args:
        session: Whose saw it is.
        act: What is done.
        wait: Whether an act with hands is over when it returns; else it goes on as time passes, and what
            somebody does meanwhile, or breaking it off, comes in its own time.
    """
    if act.kind in _WITH_HANDS:
        _WITH_HANDS[act.kind](session, act, wait)
    else:
        _DOES[act.kind](session, act)


def broken_off(acts: Sequence[Act]) -> frozenset[Act]:
    """Return those of a run's acts that were broken off before they were done."""
    broken: set[Act] = set()
    busy: Act | None = None
    for act in acts:
        if act.kind in _WITH_HANDS:
            busy = act
        elif isinstance(act, BrokenOff) and busy is not None:
            broken.add(busy)
    return frozenset(broken)


def meanwhile(act: Act) -> bool:
    """Return whether an act can be done while the trainee is busy with another."""
    return isinstance(act, Asked | BrokenOff | Noted | Hinted) or is_order(act)
