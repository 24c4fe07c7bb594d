"""What a shift came to: time, metal, scrap, band and money, order by order and in all.

A rest that is long enough goes back on the rack and costs nothing; a shorter one is scrap of the shift,
and is borne by no order. A band costs by the share of its life that was used.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum

from sim.scenario.shift import Shift
from sim.session.shift.shop import Remnant, Served, Shop
from sim.units import MINUTE, MM
from sim.words.message import NOTHING, Message

_HOUR_S = 3600.0


@dataclass(frozen=True, slots=True)
class OrderAccount:
    """One order of a shift; times in seconds, from the start of the shift."""

    name: str
    bars: tuple[str, ...]
    wanted: int
    cut: int  # pieces that fell for it, good or not
    good: int
    from_s: float
    to_s: float
    due_s: float
    change_s: float
    cutting_s: float
    measuring_s: float
    standing_s: float
    first_good: bool  # the first piece was measured, and found good
    pieces_kg: float
    scrap_kg: float  # kerfs, trimmed ends, pieces that are not good
    wear: float
    bands: int
    cost: float
    unsound: Message  # that no plan of the card is sound for it, or nothing

    @property
    def begun(self) -> bool:
        """Whether anything was done for it."""
        return bool(self.bars)

    @property
    def late_s(self) -> float:
        """By how much it came late; an order that is not finished is as late as it is told."""
        return max(0.0, self.to_s - self.due_s)

    @property
    def piece_s(self) -> float:
        """Time a good piece, its share of the change-over with it, s; 0 where there is none."""
        all_s = self.change_s + self.cutting_s + self.measuring_s + self.standing_s
        return all_s / self.good if self.good else 0.0

    @property
    def piece_cost(self) -> float:
        """Cost of a good piece; 0 where there is none."""
        return self.cost / self.good if self.good else 0.0


@dataclass(frozen=True, slots=True)
class ShiftAccount:
    """A whole shift."""

    orders: tuple[OrderAccount, ...]
    rests: tuple[Remnant, ...]  # of bars that were brought to the saw
    short: tuple[Remnant, ...]  # those of them that are scrap
    ends_s: float
    not_first: tuple[str, ...]  # had to be done first, and something else was begun before

    @property
    def change_s(self) -> float:
        """All change-overs together."""
        return fsum(each.change_s for each in self.orders)

    @property
    def late_s(self) -> float:
        """How late all orders are together."""
        return fsum(each.late_s for each in self.orders)

    @property
    def taken_m(self) -> float:
        """Length of the bars that were taken from the rack."""
        return fsum(rest.was_m for rest in self.rests)

    @property
    def scrap_kg(self) -> float:
        """Of the orders, and rests that are too short."""
        return fsum(each.scrap_kg for each in self.orders) + self.short_kg

    @property
    def short_kg(self) -> float:
        """Rests that are too short for the rack."""
        return fsum(rest.length_m * rest.kg_m for rest in self.short)

    @property
    def wear(self) -> float:
        """Band life that was used, as a share of one band."""
        return fsum(each.wear for each in self.orders)

    @property
    def done(self) -> bool:
        """Whether every piece of every order is good."""
        return all(each.good >= each.wanted for each in self.orders)

    @property
    def cost(self) -> float:
        """Return what all of it costs, the rests that are scrap too."""
        short = fsum(rest.length_m * rest.kg_m * rest.price_kg for rest in self.short)
        return fsum(each.cost for each in self.orders) + short


def account_of(floor: Shop) -> ShiftAccount:
    """Return what a shift came to."""
    shift, costs = floor.shift, floor.shift.costs
    orders: list[OrderAccount] = []
    names = list(dict.fromkeys(each.order for each in floor.served))
    names += [order.name for order in shift.orders if order.name not in names]
    for name in names:
        order = shift.order(name)
        served = [each for each in floor.served if each.order == name]
        change_s = fsum(each.changed_s for each in served)
        cutting_s = fsum(each.cutting_s for each in served)
        measuring_s = fsum(each.measuring_s for each in served)
        standing_s = fsum(each.stood_s for each in served)
        used_kg = fsum(each.used_kg for each in served)
        wear = fsum(each.wear for each in served)
        hours = (change_s + cutting_s + measuring_s + standing_s) / _HOUR_S
        good = sum(each.good for each in served)
        orders.append(
            OrderAccount(
                name=name,
                bars=tuple(each.bar for each in served),
                wanted=order.pieces,
                cut=sum(each.cut for each in served),
                good=good,
                from_s=served[0].from_s - served[0].stood_s if served else floor.now_s,
                to_s=_finished_s(served, order.pieces, floor.now_s),
                due_s=order.due_min * MINUTE,
                change_s=change_s,
                cutting_s=cutting_s,
                measuring_s=measuring_s,
                standing_s=standing_s,
                first_good=any(each.measured_good for each in served),
                pieces_kg=fsum(each.pieces_kg for each in served),
                scrap_kg=used_kg - fsum(each.pieces_kg for each in served),
                wear=wear,
                bands=sum(each.bands for each in served),
                cost=hours * costs.wage_per_h.value
                + fsum(each.used_cost for each in served)
                + wear * costs.band.value,
                unsound=next((each.unsound for each in served if each.unsound), NOTHING),
            )
        )
    rests = tuple(rest for rest in floor.rack.values() if rest.brought)
    least_m = costs.remnant_from_mm.value * MM
    short = tuple(rest for rest in rests if rest.length_m < least_m)
    return ShiftAccount(tuple(orders), rests, short, floor.now_s, _not_first(shift, orders))


def _not_first(shift: Shift, orders: Sequence[OrderAccount]) -> tuple[str, ...]:
    """Return the orders that had to be done first and were not done when another was begun."""
    first = {order.name for order in shift.orders if order.first}
    others_s = [each.from_s for each in orders if each.begun and each.name not in first]
    return tuple(
        each.name
        for each in orders
        if each.name in first
        and any(from_s < each.to_s or each.good < each.wanted for from_s in others_s)
    )


def _finished_s(served: Sequence[Served], pieces: int, now_s: float) -> float:
    """Return when the visit ended that brought an order its last piece; now where none did."""
    good = 0
    for each in served:
        good += each.good
        if good >= pieces:
            return each.to_s
    return now_s
