"""Everything that can happen to the controller: what a person does, what the machine does, time.

An act is a person's: a key pressed or let go, both palm keys, a latch, the mode switch. A plant
move is one edge of a switch; it may happen whenever it is physically possible, however unlikely.
What is driven one way does not move the other way. What is not driven may creep, leak or be moved
by hand either way. A device may fail and be put right at any time. A time that the controller waits
for may be over at any time. When a move can happen is data, so that the search and the exports read
the same rows.

Bounds keep the number of states small (`BOUNDS` says them; `Scope(together=True)` has none).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from sim.control.actions import ACTIONS, BY_NAME, Action
from sim.control.cycle import MOVING
from sim.control.nouns import MODES
from sim.control.outputs import DRIVEN
from sim.control.table import TABLES
from sim.logic.proof.memory import CAN_FAIL, DOMAINS, MATTERS_IN, Case, Fact, State, holds
from sim.signals import BY_TAG, MODE_SWITCH
from sim.words.fields import name
from sim.words.message import Message, plain, row

Edge = tuple[str, bool]


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
    first: str = ""  # what is chosen then as the way to begin, whatever was chosen before

    @property
    def chosen(self) -> tuple[Edge, ...]:
        """The edges of the key by which a hand makes that choice; none where it makes none."""
        key = _CHOOSES.get(self.first)
        return ((key, True), (key, False)) if key else ()

    def possible(self, state: State) -> bool:
        """Return whether it can happen in a state."""
        return any(holds(case, state) for case in self.cases)


@dataclass(frozen=True, slots=True)
class Scope:
    """How much may be out of order at one time."""

    modes: tuple[str, ...] = ("MANUAL", "MAINTENANCE", "PRODUCTION")  # that the switch may point to
    devices: tuple[str, ...] = CAN_FAIL
    together: bool = False  # everything at one time
    spoken_of: tuple[str, ...] = ()  # devices that may be bad in any mode, whatever a hand does


SMALLEST: Final = Scope(("MANUAL", "PRODUCTION"), ())

BOUNDS: Final = (
    plain("bound.device", "one device at a time is bad, or one latch set"),
    plain("bound.part", "in MANUAL a hand moves one part at a time"),
    plain("bound.hand-and-device",
          "while a hand moves a part, only the trip line goes bad, in MAINTENANCE a guard or cover"),
    plain(
        "bound.where-read",
        "the infeed hood is opened in PRODUCTION only, and bar, air and oil give out outside MAINTENANCE only, "
        "as no row that ships reads them elsewhere",
    ),
    plain("bound.mode",
          "the mode switch is turned with all devices sound, but for guard, cover and trip line"),
    plain("bound.coolant",
          "with the coolant off or on no other device goes bad, and nothing is done by hand"),
    plain("bound.palms", "a start's key and both palm keys are one act"),
)  # fmt: skip


# What it looks like when a device goes bad, and when it is put right.
FAILURES: Final[dict[str, tuple[Message, Message]]] = {
    tag: (BY_TAG[tag].fails, BY_TAG[tag].mends) for tag in CAN_FAIL
}

# Any edge makes the controller look at its job again, even one that means nothing.
TOUCH: Final = Move(
    "touch",
    MoveKind.ACT,
    plain("move.touch", "touch the left palm key alone"),
    (("S3", True), ("S3", False)),
    ((),),
)

_PRESS: Final = row("move.press", "press {command}", command=name())
_PRESS_BOTH: Final = row("move.press-both", "press {command}, then both palm keys", command=name())
_CHOOSE_AND_PRESS_BOTH: Final = row(
    "move.choose-and-press-both",
    "choose to begin straight, press {command}, then both palm keys",
    command=name(),
)
_HOLD: Final = row("move.hold", "press {command} and keep it down", command=name())
_LET_GO: Final = row("move.let-go", "let {command} go", command=name())
_TURN: Final = row("move.turn", "turn the mode switch to {mode}", mode=MODES)

_BETWEEN: Final = plain("move.mode-between", "leave the mode switch between two positions")
_ENABLING: Final = {
    True: plain("move.enable", "hold the enabling device in its middle position"),
    False: plain("move.enable-off", "let the enabling device go, or press it through"),
}

_CHOOSES: Final = {"SQUARE": BY_NAME["job.square"].tag, "STRAIGHT": BY_NAME["job.straight"].tag}
_T: Final = (True,)
_F: Final = (False,)
_BY_HAND: Final = ("MANUAL", "MAINTENANCE")
_WITH_BAND: Final[Fact] = ("coolant_choice", ("WITH_BAND",))
_MODE_STANDS: Final[Fact] = ("mode", ("MANUAL", "MAINTENANCE", "PRODUCTION"))
_STATES: Final = {table.name: table.states for table in TABLES}


def _rests(part: str) -> Fact:
    return part, tuple(state for state in _STATES[part] if state not in MOVING[part])


_AT_REST: Final[Case] = tuple(_rests(part) for part in MOVING)


@dataclass(frozen=True, slots=True)
class _Edge:
    """A plant's switch: its edge and when it can come."""

    tag: str
    value: bool
    clause: Message
    case: Case


def _edge(tag: str, value: bool, clause: str, case: Case) -> _Edge:
    return _Edge(tag, value, plain(f"move.{tag.lower()}.{'on' if value else 'off'}", clause), case)


def _jaw(name: str, back: str, clamped: str) -> tuple[_Edge, ...]:
    title = name.replace("_", " ")
    return (
        _edge(back, False, f"the {title} jaw leaves its back end",
              ((back, _T), (name, ("RELEASED", "CLAMPING", "BETWEEN")))),
        _edge(back, True, f"the {title} jaw comes fully back",
              ((back, _F), (clamped, _F), (name, ("RELEASING", "BETWEEN")))),
        _edge(clamped, True, f"the {title} clamps",
              ((clamped, _F), (back, _F), (name, ("CLAMPING", "BETWEEN")))),
        _edge(clamped, False, f"the {title} lets go", ((clamped, _T),)),
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
    _edge("B1", True, "the band begins to turn", (("B1", _F), ("band", DRIVEN["band"]))),
    _edge("B1", False, "the band comes to rest", (("B1", _T), ("B2", _F))),
    _edge(
        "B2", True, "the band comes to speed", (("B2", _F), ("B1", _T), ("band", DRIVEN["band"]))
    ),
    _edge("B2", False, "the band falls below its speed", (("B2", _T),)),
    _edge(
        "B3",
        True,
        "the variator comes to its lowest speed",
        (("B3", _F), *MATTERS_IN["B3"]),
    ),
    _edge(
        "B3",
        False,
        "the variator leaves its lowest speed",
        (("B3", _T), *MATTERS_IN["B3"]),
    ),
    *_jaw("cutting_vise", "B31", "B33"),
    *_jaw("shuttle_vise", "B32", "B34"),
    *_travel("shuttle", ("B22", True), ("B21", True), ("GOING_FORWARD", "GOING_BACK")),
    *_travel("head", ("B12", True), ("B11", True), ("LOWERING", "RAISING")),
)


def moves(scope: Scope) -> tuple[Move, ...]:
    """Return everything that can happen within a scope."""
    return (
        TOUCH,
        *_supply_acts(scope),
        *_RELAY,
        *(move for action in ACTIONS for move in _acts(action, scope)),
        *_mode_acts(scope),
        *(
            Move(f"{edge.tag}={int(edge.value)}", MoveKind.PLANT, edge.clause,
                 ((edge.tag, edge.value),), (edge.case,))
            for edge in _SWITCHES
            if edge.tag != "B3" or "MAINTENANCE" in scope.modes
        ),
        *_failures(scope),
        *TIMES,
    )  # fmt: skip


TIMES: Final = (
    Move("mode rests", MoveKind.TIME,
         plain("move.mode-rests", "the mode switch has been at rest for half a second"), (),
         ((("mode", ("NONE",)),),)),
    Move("deviation time", MoveKind.TIME,
         plain("move.wandered", "the band has wandered beyond its range for too long"), (),
         ((("watch.deviation", _T),),)),
    Move("jog time", MoveKind.TIME,
         plain("move.jogged", "the time of a jog is over"), (), ((("watch.jog", _T),),)),
    Move("run-on time", MoveKind.TIME,
         plain("move.ran-on", "the run-on minutes are over"), (), ((("watch.run_on", _T),),)),
)  # fmt: skip

_SUPPLY_ACTS: Final = (
    ("Q0", True, plain("move.q0.on", "switch the isolator on")),
    ("Q0", False, plain("move.q0.off", "switch the isolator off")),
    ("S1", False, plain("move.s1.off", "press the emergency stop at the console")),
    ("S1", True, plain("move.s1.on", "turn the emergency stop at the console out")),
    ("S9", False, plain("move.s9.off", "press the emergency stop at the infeed")),
    ("S9", True, plain("move.s9.on", "turn the emergency stop at the infeed out")),
)

# Nothing but a reset pulls it in, and that has made the supply OFF; it may drop at any time.
_RELAY: Final = (
    Move("K0=1", MoveKind.PLANT, plain("move.k0.on", "the safety relay pulls in"), (("K0", True),),
         ((("K0", _F), ("supply", ("OFF",))),)),
    Move("K0=0", MoveKind.DEVICE, plain("move.k0.off", "the safety relay drops out"), (("K0", False),),
         ((("K0", _T), *MATTERS_IN["K0"]),)),
)  # fmt: skip


def _supply_acts(scope: Scope) -> Iterator[Move]:
    sound: Case = () if scope.together else (*_sound(scope), ("S1", _T), *_AT_REST)
    for tag, on, clause in _SUPPLY_ACTS:
        only = sound if (tag, on) == ("S9", False) else ()
        possible: Case = ((tag, (not on,)), *only)
        yield Move(f"{tag}={int(on)}", MoveKind.ACT, clause, ((tag, on),), (possible,))


def _acts(action: Action, scope: Scope) -> Iterator[Move]:
    down, up = (action.tag, True), (action.tag, False)
    if action.halt:
        yield from _held(action, action.name, ("MANUAL",), scope)
        yield from _jogged(action, scope)
        yield Move(
            dead(action.name), MoveKind.ACT, _PRESS(command=action.name), (down, up),
            ((("mode", ("PRODUCTION", "NONE")),),),
        )  # fmt: skip
        yield Move(
            let_go(action.name), MoveKind.ACT, _LET_GO(command=action.name), (up,),
            (((action.machine, tuple(_moved(action))), ("mode", _BY_HAND)),),
        )  # fmt: skip
    elif action.palms:
        both = (("S3", True), ("S4", True), ("S4", False), ("S3", False))
        if action.name != "band.run":
            yield from _begun(action, (down, up, *both))
            return
        case: Case = (("mode", ("MANUAL", "PRODUCTION", "NONE")),)
        clause = _PRESS_BOTH(command=action.name)
        yield Move(action.name, MoveKind.ACT, clause, (down, up, *both), (case,))
        if "MAINTENANCE" in scope.modes:
            yield from _jogged(action, scope)
            yield Move(
                let_go(action.name), MoveKind.ACT, _LET_GO(command=action.name), (up,),
                ((("band", DRIVEN["band"]), ("mode", ("MAINTENANCE",))),),
            )  # fmt: skip
    else:
        chooses = action.machine == "coolant_choice" and action.event != "CHOOSE_WITH_BAND"
        only: Case = ()
        if chooses and not scope.together:
            only = (
                *_sound(scope, but=("B63", *scope.spoken_of)),
                *_AT_REST,
                ("mode", ("MANUAL", "PRODUCTION")),
            )
        yield Move(action.name, MoveKind.ACT, _PRESS(command=action.name), (down, up), (only,))


def _begun(action: Action, edges: tuple[Edge, ...]) -> Iterator[Move]:
    """Yield how a job is begun or gone on with: squaring the end first, or straight.

    What was chosen may have been chosen at any time, so it is no variable of its own. Where a piece
    is under way it makes no difference.
    """
    clause = _PRESS_BOTH(command=action.name)
    yield Move(action.name, MoveKind.ACT, clause, edges, ((),), "SQUARE")
    clause = _CHOOSE_AND_PRESS_BOTH(command=action.name)
    parked: Case = (("cycle", ("PARKED",)),)
    yield Move(straight(action.name), MoveKind.ACT, clause, edges, (parked,), "STRAIGHT")


def straight(action: str) -> str:
    """Return the name of the move of beginning straight."""
    return f"{action} straight"


def _moved(action: Action) -> Iterator[str]:
    """Yield the states into which a key's event leads its machine."""
    table = next(table for table in TABLES if table.name == action.machine)
    return (
        to for to in table.states if any(r.event == action.event and r.to == to for r in table.rows)
    )


def _jogged(action: Action, scope: Scope) -> Iterator[Move]:
    """Yield the press of a movement key in MAINTENANCE."""
    if "MAINTENANCE" in scope.modes:
        yield from _held(action, in_maintenance(action.name), ("MAINTENANCE",), scope)


def _held(action: Action, called: str, modes: tuple[str, ...], scope: Scope) -> Iterator[Move]:
    case: Case = (("mode", modes),)
    if not scope.together:
        slow = modes == ("MAINTENANCE",)  # where what else moves is refused by a row
        others = tuple(_rests(part) for part in MOVING if part != action.machine and not slow)
        open_too = (*(("B41", "B42", "S2") if slow else ("S2",)), *scope.spoken_of)
        case = (*case, *others, *_sound(scope, but=open_too), _WITH_BAND)
    yield Move(called, MoveKind.ACT, _HOLD(command=action.name), ((action.tag, True),), (case,))


def let_go(action: str) -> str:
    """Return the name of the move of letting a movement key go."""
    return f"{action} let go"


def in_maintenance(action: str) -> str:
    """Return the name of the move of pressing a movement key in MAINTENANCE."""
    return f"{action} in MAINTENANCE"


def dead(action: str) -> str:
    """Return the name of the move of pressing a movement key where it is dead."""
    return f"{action} dead"


def _sound(scope: Scope, *, but: tuple[str, ...] = ()) -> Case:
    """Return the case that all devices are sound, the stop at the infeed out, and no latch set.

    Where the trip line may be pulled, its latch may be set.
    """
    tags = (*(tag for tag in scope.devices if tag not in but), "S9")
    latches = ["latch.deviation", *(["latch.trip_line"] if "S2" not in but else [])]
    return (*((tag, _T) for tag in tags), *((latch, _F) for latch in latches))


def turn(mode: str) -> str:
    """Return the name of the move of turning the mode switch."""
    return f"mode.{mode.lower()}"


def _mode_acts(scope: Scope) -> Iterator[Move]:
    at = dict(zip(("MANUAL", "MAINTENANCE", "PRODUCTION"), MODE_SWITCH, strict=True))
    for mode in scope.modes:
        edges = (*((tag, False) for tag in MODE_SWITCH if tag != at[mode]), (at[mode], True))
        only: Case = ()
        if not scope.together:
            only = (*_sound(scope, but=("B41", "B42", "S2", *scope.spoken_of)), _WITH_BAND)
        yield Move(turn(mode), MoveKind.ACT, _TURN(mode=mode), edges, (((at[mode], _F), *only),))
    if scope.together:
        yield Move(
            "mode.between", MoveKind.ACT, _BETWEEN, tuple((tag, False) for tag in MODE_SWITCH),
            tuple(((tag, _T),) for tag in MODE_SWITCH),
        )  # fmt: skip
    if "MAINTENANCE" in scope.modes:
        for on, clause in _ENABLING.items():
            case: Case = (("S7", (not on,)), *MATTERS_IN["S7"])
            yield Move(f"S7={int(on)}", MoveKind.ACT, clause, (("S7", on),), (case,))


def _failures(scope: Scope) -> Iterator[Move]:
    for tag in scope.devices:
        bad, good = FAILURES[tag]
        cases: tuple[Case, ...] = (((tag, _T),),)
        if not scope.together:
            cases = tuple(
                ((tag, _T), *_sound(scope, but=(tag,)), *way) for way in _ways_bad(tag, scope)
            )
        yield Move(f"{tag}=0", MoveKind.DEVICE, bad, ((tag, False),), cases)
        yield Move(f"{tag}=1", MoveKind.DEVICE, good, ((tag, True),), (((tag, _F),),))


def _ways_bad(tag: str, scope: Scope) -> tuple[Case, ...]:
    """Return when a device may go bad, all others being sound."""
    if tag in scope.spoken_of:
        return ((),)
    if tag == "B63":
        return ((*_AT_REST, _MODE_STANDS), (("mode", ("PRODUCTION",)),))
    if tag == "S2":
        return ((_WITH_BAND,),)
    if tag == "B43":  # by hand no row looks at the infeed hood
        return ((_WITH_BAND, ("mode", ("PRODUCTION",))),)
    # In MAINTENANCE no row looks at bar, air or oil.
    modes = ("MANUAL", "PRODUCTION") if tag in ("B53", "B61", "B62") else _MODE_STANDS[1]
    ways: tuple[Case, ...] = (
        (_WITH_BAND, *_AT_REST, ("mode", modes)), (_WITH_BAND, ("mode", ("PRODUCTION",))),
    )  # fmt: skip
    if tag in ("B41", "B42"):
        return (*ways, (_WITH_BAND, ("mode", ("MAINTENANCE", "NONE"))))
    return ways
