"""What is told of a shift of orders: its tables, its sentences, and the same as JSON has it."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any, Final

from sim import extras
from sim.debrief.shift_debrief import ShiftDebrief
from sim.scenario.shift import Shift
from sim.session.opening import materials
from sim.shift.account import OrderAccount, ShiftAccount
from sim.shift.best import Bars
from sim.text.tables import PrintedCell, PrintedHead, PrintedNumber
from sim.trade.cut_list import NO_SOLVER
from sim.units import MINUTE, MM
from sim.words.fields import authored, count, metres, minutes, name, number, part, parts, seconds
from sim.words.message import Message, plain, row, sentences

_TITLE: Final = row("shift.title", "{title}", title=authored())
_LINE_HEADS: Final = (
    "order", "bars", ("from", "min"), ("to", "min"), ("due", "min"), ("change-over", "min"), ("cutting", "min"),
    ("measuring", "min"), ("standing", "min"), ("late", "min"),
)  # fmt: skip
_COSTS: Final = row(
    "shift.costs", "What each order came to, money in {currency}", currency=authored()
)
_COST_HEADS: Final = (
    "order", "good", "wanted", "first piece", ("a piece", "min"), "cost a piece", ("pieces", "kg"), ("scrap", "kg"),
    ("band life used", "%"), "bands fitted",
)  # fmt: skip
_RESTS: Final = plain("shift.rests", "What is left of the bars")
_REST_HEADS: Final = ("bar", ("was", "mm"), ("left", "mm"), "goes")
_TO_RACK: Final = plain("shift.to-rack", "back on the rack")
_TO_SCRAP: Final = plain("shift.to-scrap", "scrap")
_FIRST_GOOD: Final = plain("shift.first.good", "measured good")
_NONE_FELL: Final = plain("shift.first.none", "no piece fell")
_NOT_BEGUN: Final = plain("shift.first.not-begun", "not begun")
_FIRST_NOT: Final = plain("shift.first.not", "not proved good")
_BESIDE: Final = plain("shift.beside", "Beside the best plan")
_BESIDE_HEADS: Final = ("figure", "this shift", "best plan", "no plan below")
_ENDS: Final = plain("shift.figure.ends", "ends after, min")
_CHANGES: Final = plain("shift.figure.changes", "change-overs, min")
_LATE: Final = plain("shift.figure.late", "late, all orders, min")
_TAKEN: Final = plain("shift.figure.taken", "bars taken from the rack, mm")
_SCRAP: Final = plain("shift.figure.scrap", "scrap, kg")
_WEAR: Final = plain("shift.figure.wear", "band life used, %")
_COST: Final = row("shift.figure.cost", "cost, {currency}", currency=authored())
_ORDER: Final = row("shift.best.order", "Best order: {orders}.", orders=name())
_CUT: Final = row("shift.best.cut", "{order} from {bars}", order=name(), bars=name())
_BARS: Final = row("shift.best.bars", "Best bars: {cuts}.", cuts=parts("; "))
_SEARCHED: Final = row(
    "shift.best.searched",
    "There is {count} order. Played alone it foretold {foretold}; played in full it took {played}.",
    plural="Every sequence of the {count} orders was weighed, with these bars and with change-overs that were played "
    "in pairs: none is less late, and of those none is shorter. No sequence has less of change-overs than the "
    "shortest one to each order. The pairs foretold {foretold}; played in full it took {played}.",
    count=count(), foretold=minutes(1), played=minutes(1),
)  # fmt: skip
_PROVED: Final = row(
    "shift.bars.proved", "No plan takes less than {least} of bar from the rack.", least=metres(2)
)
_OPEN: Final = row(
    "shift.bars.open",
    "This plan takes {taken} of bar from the rack; no plan takes less than {least}. {how}.",
    taken=metres(2), least=metres(2), how=part(capital=True),
)  # fmt: skip
_MISSING: Final = row(
    "shift.missing", "The rack has no room for {pieces} of {order}.", pieces=number(), order=name()
)
_SOURCES: Final = row(
    "shift.sources",
    "Wage {wage} an hour ({wage_source}), a band {band} ({band_source}); a rest goes back on the rack from {rest} mm "
    "on ({rest_source}).",
    wage=number(2), wage_source=authored(), band=number(2), band_source=authored(), rest=number(0),
    rest_source=authored(),
)  # fmt: skip
_ONE_PRICE: Final = row(
    "shift.one-price", "Bar of any metal {price} a kg ({source}).",
    price=number(2), source=authored(),
)  # fmt: skip
_PRICES: Final = row(
    "shift.prices", "Bar a kg, invented for training, from memory: {prices}.", prices=parts(", ")
)
_PRICE: Final = row("shift.price", "{metal} {price}", metal=name(), price=number(2))
_OPEN_WITH_SOLVER: Final = row(
    "shift.bars.open.solver",
    "This plan takes {taken} of bar from the rack; no plan takes less than {least}.",
    taken=metres(2), least=metres(2),
)  # fmt: skip
_HARM: Final = row("shift.harm", "{sentence}", sentence=part())
_CRITICAL: Final = row(
    "shift.critical", "Critical, and enough to fail any session: {act}", act=part()
)
_EXPOSED: Final = row(
    "shift.exposed",
    "Enough to fail any session: for {time} hands were {where}, without what must hold there first.",
    time=seconds(), where=part(),
)  # fmt: skip
_WANTING: Final = row(
    "shift.wanting", "{order} is not finished: {good} of {wanted} are good.",
    order=name(), good=number(), wanted=number(),
)  # fmt: skip
_OTHER_BAR: Final = row(
    "shift.other-bar",
    "{count} piece for {order} does not count: it was cut from the bar that lay there, not from {bar}.",
    plural="{count} pieces for {order} do not count: they were cut from the bar that lay there, not from {bar}.",
    count=count(), order=name(), bar=name(),
)  # fmt: skip
_NEVER_BEGUN: Final = row(
    "shift.never-begun", "{order} was not begun: 0 of {wanted} are good.",
    order=name(), wanted=number(),
)  # fmt: skip
_NOT_FIRST: Final = row(
    "shift.not-first",
    "The cut list has {orders} done first, and another order was begun before. The plan keeps to that, so its times "
    "do not compare.",
    orders=name(),
)  # fmt: skip
_COME_FIRST: Final = row(
    "shift.best.first",
    "Sequences that do not begin with {orders} were left out, as the cut list has it. With them the pairs foretell "
    "{freely} for the best one.",
    orders=name(), freely=minutes(1),
)  # fmt: skip
_NOT_BESIDE: Final = plain(
    "shift.not-beside",
    "Not every order is finished, so time, metal and money of this shift do not compare with those of the plan.",
)
_BEATS: Final = plain(
    "shift.beats",
    "This shift was quicker than the best plan: that one is the best of all sequences as the autopilot does the "
    "work, and you did some of the work better.",
)


@dataclass(frozen=True, slots=True)
class ShiftTable:
    """A table of a debrief."""

    title: Message
    heads: tuple[PrintedHead, ...]
    rows: Sequence[Sequence[PrintedCell]]


def tables(found: ShiftDebrief) -> tuple[ShiftTable, ...]:
    """Return what is told in tables: the time line, what each order came to, rests, beside the best plan."""
    shift, run = found.shift, found.run
    rests = [
        (
            rest.name,
            PrintedNumber(rest.was_m / MM, 0, "mm"),
            PrintedNumber(rest.length_m / MM, 0, "mm"),
            _TO_SCRAP if rest in run.short else _TO_RACK,
        )
        for rest in run.rests
    ]
    return (
        ShiftTable(_TITLE(title=shift.title), _LINE_HEADS, [_line(each) for each in run.orders]),
        ShiftTable(
            _COSTS(currency=shift.costs.currency), _COST_HEADS, [_cost(each) for each in run.orders]
        ),
        ShiftTable(_RESTS, _REST_HEADS, rests),
        ShiftTable(_BESIDE, _BESIDE_HEADS, _beside(found)),
    )


def against(found: ShiftDebrief) -> tuple[Message, ...]:
    """Return what fails any session: critical acts, hands with nothing to protect them, and harm."""
    told = tuple(_CRITICAL(act=each) for each in found.critical)
    hands = tuple(_EXPOSED(where=where, time=seconds) for where, seconds in found.exposed)
    besides = (each for each in found.harm if each not in found.critical)
    return (*told, *hands, *(_HARM(sentence=each) for each in besides))


def about(found: ShiftDebrief) -> tuple[Message, ...]:
    """Return what is told in sentences: what is wanting, the best plan, how sure it is, and the sources."""
    run, plan, best, bars = found.run, found.plan, found.best, found.planner.nested
    cuts = tuple(_CUT(order=order, bars=_bars_of(bars, order)) for order in best.orders)
    costs = found.shift.costs
    kept = run.done and not run.not_first
    short = kept and (run.late_s, run.ends_s) < (plan.late_s, plan.ends_s)
    first = ", ".join(order.name for order in found.shift.orders if order.first)
    return (
        *(_wanting(each) for each in run.orders if each.good < each.wanted),
        *(
            _OTHER_BAR(count=each.wrong, order=each.order, bar=each.bar)
            for each in found.served
            if each.wrong
        ),
        *((_NOT_BESIDE,) if not run.done else ()),
        *((_NOT_FIRST(orders=", ".join(run.not_first)),) if run.not_first else ()),
        *_missing(bars if found.by_hand else found.planner.first_fit),
        *((_BEATS,) if short else ()),
        _ORDER(orders=", ".join(best.orders)),
        _BARS(cuts=cuts),
        _SEARCHED(count=len(best.orders), foretold=best.ends_s, played=plan.ends_s),
        *((_COME_FIRST(orders=first, freely=best.freely_s),) if first else ()),
        _said_of(bars),
        _priced(found.shift),
        _SOURCES(
            wage=costs.wage_per_h.value, wage_source=costs.wage_per_h.source, band=costs.band.value,
            band_source=costs.band.source, rest=costs.remnant_from_mm.value, rest_source=costs.remnant_from_mm.source,
        ),
    )  # fmt: skip


def _priced(shift: Shift) -> Message:
    """Return what a kilogram of bar costs, and who says so."""
    one = shift.costs.bar_per_kg
    if one is not None:
        return _ONE_PRICE(price=one.value, source=one.source)
    metals = dict.fromkeys(bar.material for bar in shift.rack)
    return _PRICES(prices=tuple(_PRICE(metal=m, price=materials()[m].price_kg) for m in metals))


def _wanting(of: OrderAccount) -> Message:
    if not of.begun:
        return _NEVER_BEGUN(order=of.name, wanted=of.wanted)
    return sentences(_WANTING(order=of.name, good=of.good, wanted=of.wanted), of.unsound)


def first_piece(of: OrderAccount) -> Message:
    """Return how the first piece of an order stands."""
    if not of.begun:
        return _NOT_BEGUN
    if not of.cut:
        return _NONE_FELL
    return _FIRST_GOOD if of.first_good else _FIRST_NOT


def _bars_of(bars: Bars, order: str) -> str:
    return " + ".join(f"{visit.bar} x {visit.pieces}" for visit in bars.of(order))


def _said_of(bars: Bars) -> Message:
    if bars.proved:
        return _PROVED(least=bars.least_m)
    if extras.there(extras.SOLVER[0]):  # it found no plan for all of the pieces
        return _OPEN_WITH_SOLVER(taken=bars.taken_m, least=bars.least_m)
    return _OPEN(taken=bars.taken_m, least=bars.least_m, how=NO_SOLVER)


def _missing(bars: Bars) -> tuple[Message, ...]:
    return tuple(_MISSING(pieces=n, order=order) for order, n in bars.missing.items())


def _min(seconds: float) -> PrintedNumber:
    return PrintedNumber(seconds / MINUTE, 1, "min")


def _line(of: OrderAccount) -> tuple[PrintedCell, ...]:
    if not of.begun:
        return of.name, "", "", "", _min(of.due_s), "", "", "", "", _min(of.late_s)
    return (
        of.name, " + ".join(of.bars), _min(of.from_s), _min(of.to_s), _min(of.due_s), _min(of.change_s),
        _min(of.cutting_s), _min(of.measuring_s), _min(of.standing_s), _min(of.late_s),
    )  # fmt: skip


def _cost(of: OrderAccount) -> tuple[PrintedCell, ...]:
    if not of.begun:
        return of.name, of.good, of.wanted, _NOT_BEGUN, "", "", "", "", "", ""
    a_piece = (_min(of.piece_s), PrintedNumber(of.piece_cost, 2)) if of.good else ("", "")
    return (
        of.name, of.good, of.wanted, first_piece(of), *a_piece, PrintedNumber(of.pieces_kg, 1, "kg"), PrintedNumber(of.scrap_kg, 2, "kg"),
        PrintedNumber(of.wear * 100.0, 1, "%"), of.bands,
    )  # fmt: skip


def _beside(found: ShiftDebrief) -> list[tuple[PrintedCell, ...]]:
    shift, run, plan = found.shift, found.run, found.plan
    bars, best = found.planner.nested, found.best

    def of(
        figure: Message, here: float, there: float, decimals: int, least: PrintedCell = ""
    ) -> tuple[PrintedCell, ...]:
        return figure, PrintedNumber(here, decimals), PrintedNumber(there, decimals), least

    return [
        of(_ENDS, run.ends_s / MINUTE, plan.ends_s / MINUTE, 1),
        of(_CHANGES, run.change_s / MINUTE, plan.change_s / MINUTE, 1,
           PrintedNumber(best.changes_least_s / MINUTE, 1)),
        of(_LATE, run.late_s / MINUTE, plan.late_s / MINUTE, 1),
        of(_TAKEN, run.taken_m / MM, plan.taken_m / MM, 0, PrintedNumber(bars.least_m / MM, 0)),
        of(_SCRAP, run.scrap_kg, plan.scrap_kg, 2),
        of(_WEAR, run.wear * 100.0, plan.wear * 100.0, 1),
        of(_COST(currency=shift.costs.currency), run.cost, plan.cost, 2),
    ]  # fmt: skip


def values(found: ShiftDebrief) -> dict[str, Any]:
    """Return the debrief as JSON has it: keys and English, the same for every reader."""
    bars, best = found.planner.nested, found.best
    return {
        "machine": found.planner.machine,
        "by_hand": found.by_hand,
        "run": _account(found.run),
        "best_plan": {
            **_account(found.plan),
            "visits": [asdict(visit) for order in best.orders for visit in bars.of(order)],
            "foretold_s": best.ends_s,
            "changes_least_s": best.changes_least_s,
            "foretold_without_first_s": best.freely_s,
            "bar_least_m": bars.least_m,
            "proved": bars.proved,
            "solver": bars.solved,
        },
        "change_overs_s": {
            f"{a or 'start'} > {b}": round(s, 3) for (a, b), s in found.pairs.change_s.items()
        },
        "missing": found.planner.first_fit.missing,
        "consequences": [str(each) for each in found.harm],
        "critical": [str(each) for each in found.critical],
        "exposed_s": [[str(where), round(seconds, 3)] for where, seconds in found.exposed],
    }


def _account(of: ShiftAccount) -> dict[str, Any]:
    return {
        "orders": [
            {**asdict(each), "unsound": str(each.unsound), "begun": each.begun, "late_s": each.late_s, "piece_s": each.piece_s, "piece_cost": each.piece_cost}
            for each in of.orders
        ],
        "rests": [{**asdict(each), "scrap": each in of.short} for each in of.rests],
        "ends_s": of.ends_s,
        "change_s": of.change_s,
        "late_s": of.late_s,
        "taken_m": of.taken_m,
        "scrap_kg": of.scrap_kg,
        "band_life": of.wear,
        "cost": of.cost,
        "done": of.done,
        "not_first": of.not_first,
    }  # fmt: skip
