"""Whether the set-up card has a sound plan for a bar at all, and if not, what fails and what would help.

No plan is sound where with every band on the shelf, a tight band and only a fifth in reserve, teeth would strip or
rub, the face run off square or the bar turn in the jaws. What is said to help was planned anew before it is said.
"""

from dataclasses import replace
from functools import lru_cache
from typing import Final

from sim.plant.bar import Stock
from sim.plant.machine import Machine
from sim.session.card.binding import Fed
from sim.session.card.card_reasons import Bound
from sim.session.card.setup_card import ANY_M, Fails, JobOrder, card_cut, plan_of
from sim.trade.crush import is_hollow
from sim.trade.materials import Material
from sim.trade.sections import Rectangle, RectangularTube, Section
from sim.units import INCH, MM
from sim.words.fields import mm, newtons, number, part, parts, percent
from sim.words.message import NOTHING, Message, plain, row, sentences

_UNSOUND: Final = plain(
    "card.unsound",
    "With the bands of the stock the card has no setting that cuts this bar well and keeps a margin.",
)
_EVEN_THEN: Final = row(
    "card.unsound.even-then", "{teeth} TPI and {force} do the least harm, and even then {fails}.",
    teeth=number(), force=newtons(), fails=parts(", "),
)  # fmt: skip
_FAILS: Final = {
    Fails.STRIPS: plain("card.unsound.strips", "teeth would break"),
    Fails.TURNS: plain("card.unsound.turns", "the bar would turn in the jaws"),
    Fails.RUNS_OFF: plain("card.unsound.runs-off", "the face would run off square"),
}
_RUBS: Final = row(
    "card.unsound.rubs", "the teeth would rub on {share} of their way and go blunt", share=percent()
)
_BARRED: Final = row("card.unsound.barred", "More feed is barred by {limit}.", limit=part())
_PLUG: Final = plain(
    "card.unsound.plug",
    "A plug in the tube where the jaws press would let them hold it harder; then it can be cut.",
)
_SQUARE: Final = plain("card.unsound.square", "Cut square it would go.")
_ON_SIDE: Final = row(
    "card.unsound.on-side", "Laid {wide} wide and {high} high it would go.", wide=mm(1), high=mm(1)
)
_OTHER_SAW: Final = plain(
    "card.unsound.other-saw",
    "Do not run it: have it cut on another saw or in another way, and tell whoever gave the order.",
)


@lru_cache(maxsize=64)
def unsound(machine: Machine, stock: Stock, order: JobOrder) -> Message:
    """Return that no plan of the card is sound, what fails and what would help; nothing where one is.

    Args:
        machine: The saw.
        stock: The bar.
        order: What is cut from it.
    """
    plan = plan_of(machine, stock, order)
    if not plan.fails:
        return NOTHING
    cut = card_cut(machine, stock, order, plan)
    fails = tuple(
        _RUBS(share=cut.rubbed) if each is Fails.RUBS else _FAILS[each] for each in plan.fails
    )
    said = _EVEN_THEN(teeth=round(INCH / plan.pitch_m), force=plan.force_n, fails=fails)
    barred = NOTHING
    if Fails.RUBS in plan.fails and plan.force_by is not Bound.LEAST:
        fed = Fed(
            machine, stock.material, stock.section, cut.table, plan.force_n,
            plan.valve_mm_min * MM / 60, order.mitre_deg,
        )  # fmt: skip
        barred = _BARRED(limit=fed.limit(plan.force_by))
    return sentences(_UNSOUND, said, barred, _helps(machine, stock, order))


def unsound_bar(
    machine: Machine, material: Material, section: Section, mitre_deg: float = 0.0
) -> Message:
    """Return what `unsound` does, of a bar and an angle alone.

    Args:
        machine: The saw.
        material: The metal.
        section: The bar as it lies.
        mitre_deg: Swivel of the head from the square cut, degrees.
    """
    return unsound(machine, Stock(material, section, ANY_M, 0.0), JobOrder(ANY_M, 1, mitre_deg))


def _helps(machine: Machine, stock: Stock, order: JobOrder) -> Message:
    """Return what makes a plan sound, the least trouble first; or that this saw is not the one."""
    section, square = stock.section, replace(order, mitre_deg=0.0)
    if is_hollow(section) and not plan_of(machine, stock, order, plugged=True).fails:
        return _PLUG
    if isinstance(section, Rectangle | RectangularTube) and not order.mitre_deg:
        turned = replace(section, width_m=section.height_m, height_m=section.width_m)
        fits = turned.height_m <= machine.head_top_m
        if fits and not plan_of(machine, replace(stock, section=turned), order).fails:
            return _ON_SIDE(wide=turned.width_m, high=turned.height_m)
    if order.mitre_deg and not plan_of(machine, stock, square).fails:
        return sentences(_SQUARE, _OTHER_SAW)
    return _OTHER_SAW
