"""Slips of the set-up: for each set point, what would be wrong with it as it is, and what is right.

A row reads the machine and answers with one clause, or with nothing when the setting will do.
Limits are those of the machine, of the laws that the cut goes by, or of common practice.

Never here: what a scenario hides; a caller asks about what a hand has just set.
"""

from collections.abc import Collection
from typing import Final

from sim.session.session import Session
from sim.teaching.slips import band, energy, head, holding, supply
from sim.teaching.slips.check import Check
from sim.teaching.slips.keys import KEY_SLIPS
from sim.words.message import NOTHING, Message

__all__ = ["KEY_SLIPS", "SLIPS", "Check", "slip", "standing"]

SLIPS: Final[dict[str, Check]] = {
    **supply.SLIPS, **energy.SLIPS, **band.SLIPS, **head.SLIPS, **holding.SLIPS
}  # fmt: skip


def slip(session: Session, name: str) -> Message:
    """Return what is wrong with a set point as it stands, a clause; nothing when it will do."""
    check = SLIPS.get(name)
    return check(session) if check is not None else NOTHING


def standing(session: Session, besides: Collection[str] = ()) -> tuple[str, Message] | None:
    """Return the first slip in the whole set-up: its set point, and a clause; None when there is none.

    Args:
        session: Whose set-up it is.
        besides: Set points that are not looked at.
    """
    found = ((name, check(session)) for name, check in SLIPS.items() if name not in besides)
    return next(((name, slip) for name, slip in found if slip), None)
