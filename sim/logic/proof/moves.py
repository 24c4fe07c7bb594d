"""Everything that can happen to the controller: what a person does, what the machine does, time.

An act is a person's: a key pressed or let go, a latch, a selector. A plant move is one edge of a
switch; it may happen whenever it is physically possible, however unlikely. What is driven one way
does not move the other way. What is not driven may creep, leak or be moved by hand either way. A
device may fail and be put right at any time. When a move can happen is data, so that the search and
the exports read the same rows.

Three bounds keep the number of states small. Once the job has been armed, one station at a time is
turned away from AUTO. One device at a time is bad. And a person runs one axis by hand at a time,
since it takes a hand to hold its key. `Scope` says which stations and devices that may be.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from sim.control.actions import ACTIONS, SELECTORS, STATIONS, Action
from sim.control.interlocks import When
from sim.control.nouns import MODE, THE
from sim.logic.proof.memory import CAN_FAIL, DOMAINS, MOVING, State, Value
from sim.signals import BY_TAG
from sim.words.fields import name, part
from sim.words.message import Message, plain, row

Edge = tuple[str, bool]
Fact = tuple[str, tuple[Value, ...]]  # the variable has one of the values
Case = tuple[Fact, ...]  # all of them


class MoveKind(StrEnum):
    """Who makes the move."""

    ACT = "act"
    PLANT = "plant"
    DEVICE = "device"
    TIME = "time"


@dataclass(frozen=True, slots=True)
class Move:
    """One thing that can happen: edges on wires, in order, and when it is possible."""

    name: str
    kind: MoveKind
    clause: Message
    edges: tuple[Edge, ...]
    cases: tuple[Case, ...]  # possible when any of them holds; an empty case always does

    def possible(self, state: State) -> bool:
        """Return whether it can happen in a state."""
        return any(all(state[name] in values for name, values in case) for case in self.cases)


@dataclass(frozen=True, slots=True)
class Scope:
    """What may be out of order.

    Once the job is armed, one station at a time is away from AUTO. One device at a time is bad. Both
    at once only where `together` says so.
    """

    stations: tuple[str, ...] = STATIONS  # that may be turned away from AUTO
    devices: tuple[str, ...] = CAN_FAIL
    together: bool = False  # a station out of AUTO and a bad device at one time


# What it looks like when a device goes bad, and when it is put right.
FAILURES: Final[dict[str, tuple[Message, Message]]] = {
    tag: (BY_TAG[tag].fails, BY_TAG[tag].mends) for tag in CAN_FAIL
}

# Any edge makes the controller look at its job again, even one that means nothing.
TOUCH: Final = Move(
    "touch",
    MoveKind.ACT,
    plain("move.touch", "touch the two-hand key alone"),
    (("S3", True), ("S3", False)),
    ((),),
)

_PRESS: Final = row("move.press", "press {command}", command=name())
_PRESS_BOTH: Final = row("move.press-both", "press {command} with both hands", command=name())
_LET_GO: Final = row("move.let-go", "let {command} go", command=name())
_TURN: Final = row("move.turn", "turn {station} to {mode}", station=part(), mode=MODE)
_WANDERED: Final = plain("move.wandered", "the band has wandered for more than 20 s")

_T: Final = (True,)
_F: Final = (False,)
_ALL_HAND: Final[Case] = tuple((f"mode.{station}", ("HAND",)) for station in STATIONS)
_ALL_AUTO: Final[Case] = tuple((f"mode.{station}", ("AUTO",)) for station in STATIONS)
_DRIVEN: Final = ("STARTING", "RUNNING")


@dataclass(frozen=True, slots=True)
class _Edge:
    """A plant's switch: its edge and when it can come."""

    tag: str
    value: bool
    clause: Message
    case: Case


def _edge(tag: str, value: bool, clause: str, case: Case) -> _Edge:
    return _Edge(tag, value, plain(f"move.{tag.lower()}.{'on' if value else 'off'}", clause), case)


def _jaw(name: str, back: str, gripped: str) -> tuple[_Edge, ...]:
    title = name.replace("_", " ")
    return (
        _edge(back, False, f"the {title} jaw leaves its back end",
              ((back, _T), (name, ("OPEN", "GRIPPING", "BETWEEN")))),
        _edge(back, True, f"the {title} jaw comes fully back",
              ((back, _F), (gripped, _F), (name, ("FREEING", "BETWEEN")))),
        _edge(gripped, True, f"the {title} grips",
              ((gripped, _F), (back, _F), (name, ("GRIPPING", "BETWEEN")))),
        _edge(gripped, False, f"the {title} lets go", ((gripped, _T),)),
    )  # fmt: skip


def _travel(name: str, low: Edge, high: Edge, to: tuple[str, str]) -> tuple[_Edge, ...]:
    """Two switches at the ends of a travel; `to` are the states that drive it there."""
    (low_tag, _), (high_tag, _) = low, high
    not_up = tuple(state for state in DOMAINS[name] if state != to[1])
    not_down = tuple(state for state in DOMAINS[name] if state != to[0])
    return (
        _edge(low_tag, False, f"the {name} leaves {BY_TAG[low_tag].tag}", ((low_tag, _T), (name, not_down))),
        _Edge(low_tag, True, BY_TAG[low_tag].text, ((low_tag, _F), (high_tag, _F), (name, not_up))),
        _edge(high_tag, False, f"the {name} leaves {BY_TAG[high_tag].tag}", ((high_tag, _T), (name, not_up))),
        _Edge(high_tag, True, BY_TAG[high_tag].text, ((high_tag, _F), (low_tag, _F), (name, not_down))),
    )  # fmt: skip


_SWITCHES: Final[tuple[_Edge, ...]] = (
    _edge("B1", True, "the band begins to turn", (("B1", _F), ("band", _DRIVEN))),
    _edge("B1", False, "the band comes to rest", (("B1", _T), ("B2", _F))),
    _edge("B2", True, "the band comes to speed", (("B2", _F), ("B1", _T), ("band", _DRIVEN))),
    _edge("B2", False, "the band falls below its speed", (("B2", _T),)),
    *_jaw("cutting_vise", "B31", "B33"),
    *_jaw("shuttle_vise", "B32", "B34"),
    *_travel("shuttle", ("B22", True), ("B21", True), ("TO_BLADE", "TO_STOP")),
    *_travel("head", ("B12", True), ("B11", True), ("LOWERING", "LIFTING")),
)


def moves(scope: Scope) -> tuple[Move, ...]:
    """Return everything that can happen within a scope."""
    return (
        TOUCH,
        *_supply_acts(),
        *(_act(action) for action in ACTIONS),
        *(_let_go(action) for action in ACTIONS if action.halt),
        *_selector_acts(scope),
        *(
            Move(f"{edge.tag}={int(edge.value)}", MoveKind.PLANT, edge.clause,
                 ((edge.tag, edge.value),), (edge.case,))
            for edge in _SWITCHES
        ),
        *_failures(scope),
        Move("20 s", MoveKind.TIME, _WANDERED, (),
             ((("watch.deviation", _T),),)),
    )  # fmt: skip


_SUPPLY_ACTS: Final = (
    ("Q0", True, plain("move.q0.on", "switch the isolator on")),
    ("Q0", False, plain("move.q0.off", "switch the isolator off")),
    ("S1", False, plain("move.s1.off", "press the emergency stop")),
    ("S1", True, plain("move.s1.on", "release the emergency stop")),
)


def _supply_acts() -> Iterator[Move]:
    for tag, on, clause in _SUPPLY_ACTS:
        possible: Case = ((tag, (not on,)),)
        yield Move(f"{tag}={int(on)}", MoveKind.ACT, clause, ((tag, on),), (possible,))


def _act(action: Action) -> Move:
    clause = (_PRESS_BOTH if action.two_hand else _PRESS)(command=action.name)
    cases: tuple[Case, ...] = ((),)
    edges: tuple[Edge, ...] = ((action.tag, True), (action.tag, False))
    if action.two_hand:
        edges = (("S3", True), *edges, ("S3", False))
    elif action.halt:
        edges = ((action.tag, True),)
        other = "head" if action.machine == "shuttle" else "shuttle"
        rest = tuple(state for state in DOMAINS[other] if state not in MOVING[other])
        cases = (((other, rest),), ((f"origin.{other}", (When.AUTO,)),))
    return Move(action.name, MoveKind.ACT, clause, edges, cases)


def _let_go(action: Action) -> Move:
    machine = action.machine
    by_hand: Case = ((machine, MOVING[machine]), (f"origin.{machine}", (When.HAND,)))
    clause = _LET_GO(command=action.name)
    return Move(f"{action.name} let go", MoveKind.ACT, clause, ((action.tag, False),), (by_hand,))


def _others(case: Case, name: str) -> Case:
    return tuple(fact for fact in case if fact[0] != name)


def _selector_acts(scope: Scope) -> Iterator[Move]:
    healthy: Case = () if scope.together else tuple((tag, _T) for tag in scope.devices)
    for tag, (station, mode) in SELECTORS.items():
        if station not in scope.stations:
            continue
        subject = f"mode.{station}"
        was = "AUTO" if mode == "HAND" else "HAND"
        case = ((subject, (was,)), *_others(_ALL_AUTO, subject))
        if mode == "HAND":
            case = (*case, *healthy)
        yield Move(
            f"{station}.{mode.lower()}", MoveKind.ACT, _TURN(station=THE[station], mode=mode),
            ((tag, True), (tag, False)), (case,),
        )  # fmt: skip


def _failures(scope: Scope) -> Iterator[Move]:
    for tag in scope.devices:
        bad, good = FAILURES[tag]
        others: Case = tuple((other, _T) for other in scope.devices if other != tag)
        ways: tuple[Case, ...] = ((),) if scope.together else (_ALL_AUTO, _ALL_HAND)
        cases = tuple(((tag, _T), *others, *way) for way in ways)
        yield Move(f"{tag}=0", MoveKind.DEVICE, bad, ((tag, False),), cases)
        yield Move(f"{tag}=1", MoveKind.DEVICE, good, ((tag, True),), (((tag, _F),),))
