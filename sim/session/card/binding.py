"""Which limit holds the feed of a cut, and what helps teeth that rub: card, coach and calc say it from here.

Where the force holds the feed a valve that is opened further does nothing, and where the card has no more
force to give, more of it is what vise, band, motor or a square face forbid: then another band has to help.
"""

from dataclasses import dataclass
from enum import Enum
from functools import cached_property
from typing import Final

from sim.plant.machine import Machine
from sim.session.card.card_reasons import FORCE_LIMITS, Bound
from sim.session.card.setup_card import CardFeed, feed_of
from sim.trade.binding import valve_share
from sim.trade.cut_table import CutTable
from sim.trade.materials import Material
from sim.trade.sections import Section
from sim.units import INCH
from sim.words.fields import mm_min, newtons, number, part, percent
from sim.words.message import Message, plain, row

_NEARLY: Final = 0.05  # of the time, that nobody counts
_LESS: Final = 0.98  # of the card's feed, under which more can be given; a scale is read no finer
_OTHER: Final = 0.01  # of a pitch

_OPEN_VALVE: Final = row(
    "binding.open-valve",
    "open the feed valve to {valve}, for the force would take it", valve=mm_min(),
)  # fmt: skip
_MORE_FORCE: Final = row(
    "binding.more-force",
    "feed with {force}, for the valve would let more through", force=newtons(),
)  # fmt: skip
_OTHER_BAND: Final = row(
    "binding.other-band",
    "feeding more is barred by {limit}, so fit a sharp band of {teeth} TPI", limit=part(), teeth=number(),
)  # fmt: skip
_SHARP_BAND: Final = row(
    "binding.sharp-band", "feeding more is barred by {limit}, so fit a sharp band", limit=part()
)
_NO_BAND: Final = row(
    "binding.no-band",
    "feeding more is barred by {limit}, and no pitch of the stock bites better in this bar",
    limit=part(),
)
_TEETH_LIMIT: Final = plain("binding.limit.teeth", "what teeth and gullets take")
_VALVE_LIMIT: Final = plain("binding.limit.valve", "the most that the feed valve lets through")
_FORCE_HOLDS: Final = row(
    "binding.force-holds",
    "The force limit holds the feed: {force}, where the valve would let {valve} through.",
    force=newtons(), valve=mm_min(),
)  # fmt: skip
_VALVE_HOLDS: Final = row(
    "binding.valve-holds",
    "The feed valve holds the feed at {valve}: the force of {force} would press the band down faster.",
    force=newtons(), valve=mm_min(),
)  # fmt: skip
_BOTH_HOLD: Final = row(
    "binding.both-hold",
    "The feed valve holds the feed, {valve}, for {share} of the cut, and the force limit, {force}, for the rest.",
    force=newtons(), valve=mm_min(), share=percent(),
)  # fmt: skip


class Holds(Enum):
    """What holds the feed of a cut."""

    FORCE = "force"
    VALVE = "valve"
    BOTH = "both"


@dataclass(frozen=True)
class Fed:
    """A cut as it is fed, and the saw and bar that it is made on.

    Args:
        machine: The saw.
        material: The metal.
        section: The bar as it lies.
        table: The cut.
        force_n: Feed force, N.
        valve_m_s: Fastest descent that the feed valve allows, m/s.
        mitre_deg: Swivel of the head from the square cut, degrees.
    """

    machine: Machine
    material: Material
    section: Section
    table: CutTable
    force_n: float
    valve_m_s: float
    mitre_deg: float = 0.0

    @cached_property
    def valve_share(self) -> float:
        """Share of the cut's time in which the valve holds the feed, and not the force."""
        return valve_share(self.table, self.valve_m_s)

    @property
    def holds(self) -> Holds:
        """What holds the feed."""
        if self.valve_share < _NEARLY:
            return Holds.FORCE
        return Holds.VALVE if self.valve_share > 1.0 - _NEARLY else Holds.BOTH

    @property
    def by_valve(self) -> bool:
        """Whether the valve holds the feed for most of the cut."""
        return self.valve_share > 1.0 / 2.0

    @property
    def said(self) -> Message:
        """What holds the feed, a sentence."""
        if self.holds is Holds.BOTH:
            share = self.valve_share
            return _BOTH_HOLD(force=self.force_n, valve=self.valve_m_s, share=share)
        row_ = _FORCE_HOLDS if self.holds is Holds.FORCE else _VALVE_HOLDS
        return row_(force=self.force_n, valve=self.valve_m_s)

    def card(self) -> CardFeed:
        """Return how the card feeds a band of this pitch into this bar."""
        own = self.own_card()
        pitch_m = self.table.conditions.pitch_m
        if _same(own.pitch_m, pitch_m):
            return own
        return feed_of(self.machine, self.material, self.section, self.mitre_deg, pitch_m)

    def own_card(self) -> CardFeed:
        """Return how the card feeds the band that it has for this bar."""
        return feed_of(self.machine, self.material, self.section, self.mitre_deg)

    def bite(self, *, sharp: bool = True, most_valve_m_s: float | None = None) -> Message:
        """Return what gives teeth that rub a better bite, a clause: more feed only where more can be had.

        Args:
            sharp: Whether the band's teeth are.
            most_valve_m_s: The valve that a new band is run in with, m/s; None for one that is run in.
        """
        card = self.card()
        most_m_s = card.valve_m_s if most_valve_m_s is None else most_valve_m_s
        if self.holds is not Holds.FORCE and self.valve_m_s < most_m_s * _LESS:
            return _OPEN_VALVE(valve=most_m_s)
        if self.holds is not Holds.VALVE and self.force_n < card.force_n * _LESS:
            return _MORE_FORCE(force=card.force_n)
        own_m, limit = self.own_card().pitch_m, self.limit(card.force_by)
        if not _same(own_m, self.table.conditions.pitch_m):
            return _OTHER_BAND(limit=limit, teeth=INCH / own_m)
        return (_NO_BAND if sharp else _SHARP_BAND)(limit=limit)

    def limit(self, force_by: Bound) -> Message:
        """Return the limit that bars more feed, a clause.

        Args:
            force_by: What sets the card's feed force.
        """
        if self.holds is not Holds.VALVE:
            return FORCE_LIMITS[force_by]
        high_m_s = self.machine.valve_high_m_s
        return _VALVE_LIMIT if self.valve_m_s >= high_m_s * _LESS else _TEETH_LIMIT


def _same(one_m: float, other_m: float) -> bool:
    return abs(one_m - other_m) <= _OTHER * other_m
