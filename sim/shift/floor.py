"""The floor of a shift, where the autopilot takes order after order.

A change-over is what it takes from the end of one order until the job of the next is started: the old
bar off and the next one on, the set-up card, the band where another pitch is wanted, the bar brought
out. Nothing of it stands in a table: it is the time that the acts take at the saw as it then stands.
The seconds of a loading (`trade.handling`) include taking off what lay there.

Never here: which plan is the best, and how it is told.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import radians

from sim.pilot import autopilot
from sim.pilot.autopilot import begin, bring_bar, measure, set_up
from sim.scenario.shift import OrderWanted, Shift
from sim.session.before.bring_out import SPARE_M
from sim.session.shift.shop import LAID_M, Remnant, Served, Shop
from sim.trade.mitre import kerf_along_m, lean_m
from sim.trade.nesting import Visit
from sim.units import MM


@dataclass
class Floor(Shop):
    """A shift that the autopilot serves."""

    def serve(self, visits: Sequence[Visit]) -> None:
        """Serve one order: its visits one after the other, that of a bar that lies on the saw first."""
        for number, visit in enumerate(sorted(visits, key=lambda each: each.bar != self.on_saw)):
            if not self.session.over:
                self.visit(visit, first=number == 0)

    def visit(self, visit: Visit, *, first: bool = True) -> Served:
        """Bring a bar to the saw for an order, set up, cut, and measure the first piece of an order.

        Args:
            visit: Which bar for which order, and how many pieces.
            first: Whether it is the first of its order, whose first piece is measured.
        """
        session, order, bar = self.session, self.shift.order(visit.order), self.rack[visit.bar]
        blade = session.saw.plant.blade
        from_s, cuts = self.now_s, len(session.saw.cuts)
        stood_s = self.stood_s(from_s)
        band, used, before_m = blade.bought, blade.used, bar.length_m
        self._change_over(order, bar, visit.pieces)
        changed_s = self.now_s - from_s
        measured, measuring_s = False, 0.0
        if session.unsound:
            outcome = autopilot.not_begun(session)
        else:
            outcome = autopilot.run(session, 1 if first else None)
        if first and outcome.finished:
            began_s = self.now_s
            measured = measure(session)
            measuring_s = self.now_s - began_s
            if session.saw.controller.job.state == "HELD" and not session.over:
                session.palms("job.unhold")
            outcome = autopilot.run(session)
        on = session.saw.plant.bar
        bar.length_m, bar.end_rad = on.length_m, on.end_rad
        used_kg = (before_m - bar.length_m) * bar.kg_m
        fell = self.fell_since(cuts)
        good = sum(session.tally.is_good(cut) for cut in fell)
        served = Served(
            visit.order, visit.bar, visit.pieces, good, len(fell), first, max(stood_s, 0.0), from_s,
            changed_s, self.now_s - from_s - changed_s - measuring_s, measuring_s,
            used_kg, used_kg * bar.price_kg, good * order.length_mm * MM * bar.kg_m,
            *self.band_since(band, used), outcome.finished, measured, unsound=session.unsound,
        )  # fmt: skip
        self.served.append(served)
        return served

    def _change_over(self, order: OrderWanted, bar: Remnant, pieces: int) -> None:
        session, lies = self.session, self.on_saw == bar.name
        self.turn_to(order, bar, pieces)
        if not lies:
            bring_bar(session)
            self.on_saw = bar.name
            bar.brought = True
        if not session.over:
            set_up(session)
        if not session.over and not session.unsound:
            begin(session)


def trim_m(shift: Shift, order: OrderWanted, machine_kerf_m: float) -> float:
    """Return what one visit of a bar may cost at its front, m: the end as it is laid, or the lean of a mitre.

    A remnant may come with the end of the steepest mitre that is cut from such bars.
    """
    steepest = max(
        radians(each.mitre_deg) for each in shift.orders
        if each.section == order.section and each.material == order.material
    )  # fmt: skip
    width_m = order.section.to_section().width_m
    kerf_m = kerf_along_m(machine_kerf_m, steepest)
    lean = lean_m(width_m, steepest)
    return LAID_M + (lean + SPARE_M if steepest else 0.0) + kerf_m
