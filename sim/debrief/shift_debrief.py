"""The debrief of a shift of orders: what it came to beside the best plan, and what no shift may have.

There are no points: a shift is told in minutes, metal and money. What fails any session, an unsafe act or
a wrecked saw, is told first, and with it no shift counts as done.

Never here: words about the figures, tables and pages.
"""

from dataclasses import dataclass

from sim.debrief.scoring import critical_acts
from sim.records.ending import whole
from sim.scenario.shift import Shift
from sim.session.hands.zones import WHERE
from sim.session.shift.shop import Served, Shop
from sim.shift.account import ShiftAccount, account_of
from sim.shift.best import BestOrder, Pairs, Planner
from sim.words.message import Message


@dataclass(frozen=True, slots=True)
class ShiftDebrief:
    """Everything that a debrief of a shift shows."""

    planner: Planner
    by_hand: bool
    run: ShiftAccount
    served: tuple[Served, ...]
    plan: ShiftAccount
    plan_served: tuple[Served, ...]
    best: BestOrder
    pairs: Pairs
    harm: tuple[Message, ...]
    critical: tuple[Message, ...]  # acts that fail a session whatever else was done
    exposed: tuple[tuple[Message, float], ...]  # where hands were with nothing to protect them, s

    @property
    def shift(self) -> Shift:
        """The shift."""
        return self.planner.shift

    @property
    def safe(self) -> bool:
        """Whether nobody could have been hurt, and nothing came to harm."""
        return not (self.harm or self.critical or self.exposed)

    @property
    def done(self) -> bool:
        """Whether every piece of every order is good, and it was safe."""
        return self.run.done and self.safe


def shift_debrief(shop: Shop, planner: Planner, *, by_hand: bool) -> ShiftDebrief:
    """Return the debrief of a shift; the best plan is worked out and played for it.

    Args:
        shop: The shift, all of it booked.
        planner: Of the same shift and machine.
        by_hand: Whether a trainee did it.
    """
    with whole():
        pairs = planner.pairs(planner.nested)
        best = planner.best_order(pairs)
        best_shop = planner.play(best.orders, planner.nested)
    exposed = shop.session.hands.exposures_s()
    return ShiftDebrief(
        planner,
        by_hand,
        account_of(shop),
        tuple(shop.served),
        account_of(best_shop),
        tuple(best_shop.served),
        best,
        pairs,
        shop.harm,
        critical_acts(shop.session),
        tuple((WHERE[zone], seconds) for zone, seconds in exposed.items()),
    )
