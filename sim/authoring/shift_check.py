"""Proves a shift of orders: the rack gives every piece, and the autopilot cuts every order, on each saw.

Never here: whether it can be done in time; that is what the shift is about.
"""

from pathlib import Path
from typing import Final

from sim.authoring.check import Report, Verdict
from sim.authoring.claims import SHIFT_BARS, SHIFT_CUT
from sim.scenario.gate import load
from sim.scenario.library import machine_names
from sim.scenario.located import Located
from sim.session.shift.opening import read_shift_at
from sim.shift.account import account_of
from sim.shift.best import Planner
from sim.units import MINUTE
from sim.words.fields import metres, name, number, part, parts
from sim.words.message import Message, row

_BARS: Final = row(
    "shift-check.bars", "{machine}: the plan takes {taken} of bar from the rack; no plan takes less than {least}",
    machine=name(), taken=metres(2), least=metres(2),
)  # fmt: skip
_NO_ROOM: Final = row(
    "shift-check.no-room",
    "{machine}: no bar has room for {orders}",
    machine=name(),
    orders=parts(", "),
)
_PIECES: Final = row("shift-check.pieces", "{pieces} of {order}", pieces=number(), order=name())
_CUT: Final = row(
    "shift-check.cut", "{machine}: {pieces} good pieces in {minutes} simulated minutes",
    machine=name(), pieces=number(), minutes=number(0),
)  # fmt: skip
_NOT_CUT: Final = row(
    "shift-check.not-cut",
    "{machine}: not good or not cut: {orders}",
    machine=name(),
    orders=parts(", "),
)
_HARM: Final = row("shift-check.harm", "{machine}: {sentence}", machine=name(), sentence=part())


def check_shift(file: Path, machine: str = "") -> Report:
    """Return what could be proved of a shift, on one machine or on every one that ships.

    Raises:
        ScenarioError: The file or the machine is refused.
    """
    read_shift_at(file, machine)
    located = load(file)
    verdicts: list[Verdict] = []
    for saw in (machine,) if machine else machine_names():
        planner = Planner(read_shift_at(file, saw), saw)
        verdicts += _bars(planner, located), _cut(planner, located)
    return Report(file.stem, tuple(verdicts))


def _bars(planner: Planner, located: Located) -> Verdict:
    bars = planner.nested
    if not bars.missing:
        said = _BARS(machine=planner.machine, taken=bars.taken_m, least=bars.least_m)
        return Verdict(SHIFT_BARS, True, said)
    orders = tuple(_PIECES(pieces=n, order=order) for order, n in bars.missing.items())
    said = _NO_ROOM(machine=planner.machine, orders=orders)
    return Verdict(SHIFT_BARS, False, said, where=located.where_key(SHIFT_BARS.place))


def _cut(planner: Planner, located: Located) -> Verdict:
    """Play the orders as they are listed, by the plan that `run` calls the best bars."""
    floor = planner.play([order.name for order in planner.shift.in_turn], planner.nested)
    account = account_of(floor)
    for harm in floor.session.saw.consequences:
        return _fails(_HARM(machine=planner.machine, sentence=harm.sentence), located)
    lacking = tuple(
        _PIECES(pieces=each.wanted - each.good, order=each.name)
        for each in account.orders
        if each.good < each.wanted
    )
    if lacking:
        return _fails(_NOT_CUT(machine=planner.machine, orders=lacking), located)
    pieces = sum(each.good for each in account.orders)
    said = _CUT(machine=planner.machine, pieces=pieces, minutes=account.ends_s / MINUTE)
    return Verdict(SHIFT_CUT, True, said)


def _fails(said: Message, located: Located) -> Verdict:
    return Verdict(SHIFT_CUT, False, said, where=located.where_key(SHIFT_CUT.place))
