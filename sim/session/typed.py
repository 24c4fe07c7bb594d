"""The acts that a hint stands for, word by word as they are typed in the terminal.

The keys and sheets of the window have the same names. What is done already is left out: a machine
under power needs no power-up. Never here: what is best done next (see `hints`).
"""

from collections.abc import Sequence
from typing import Final

from sim.faults.catalogue import CATALOGUE
from sim.session import lockout
from sim.session.session import Session

NAME_IT: Final = ("faults", "diagnose NAME")


def listed(acts: Sequence[str]) -> str:
    """Return acts as one sentence."""
    return f"Typed: {', '.join(f'`{act}`' for act in acts)}."


def looking(session: Session, name: str, *, reaches_in: bool) -> tuple[str, ...]:
    """Return the acts of an inspection, with the lock-out that it needs."""
    before = locking_out(session) if reaches_in else ()
    return (*before, f"inspect {name}")


def locking_out(session: Session) -> tuple[str, ...]:
    """Return the acts that are still wanting until hands may go in."""
    if session.lockout.safe:
        return ()
    rows = lockout.STEPS[len(session.lockout.done) :]
    acts = [f"lockout {row.name}" for row in rows]
    if session.saw.bus.driven("Q0") and "lockout isolate" in acts:
        acts.insert(acts.index("lockout isolate"), "release isolator")
    return tuple(acts)


def powering_up(session: Session) -> tuple[str, ...]:
    """Return the acts that are still wanting until control power is on."""
    acts = []
    if session.lockout.done:
        back = [row.name for row in lockout.BACK]
        acts += [f"lockout {name}" for name in back if name not in session.lockout.done]
    if not session.saw.bus.driven("Q0"):
        acts.append("press isolator")
    if session.saw.controller.image["supply"] != "ON":
        acts.append("tap two_hand control_on")
    return tuple(acts)


def cutting(session: Session) -> tuple[str, ...]:
    """Return the acts that have the job cut a piece."""
    begin = f"tap two_hand begin_on_{session.scenario.job.begin}"
    acts = [*powering_up(session), "auto ready", "tap arm", begin, "wait piece"]
    return tuple(acts)


def proving(session: Session) -> tuple[str, ...]:
    """Return the acts that put right what was named and is not mended yet, and prove it."""
    wanting = [name for name in dict.fromkeys(session.named) if name not in session.mended]
    hands_in = any(CATALOGUE[name].reaches_in for name in wanting)
    before = locking_out(session) if wanting and hands_in else ()
    return (*before, *(f"fix {name}" for name in wanting), *cutting(session))
