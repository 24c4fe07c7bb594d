"""What is to be proved of the controller: what must never be, and what must stay possible.

A `Never` names states that must not be reached. A `NeverStep` names moves that must not lead from
some states to some others. A `Reachable` says that from each of some states, by moves of the kinds
named, one of some others can be reached.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Final

from sim.control.actions import ACTIONS, STATIONS
from sim.control.interlocks import When
from sim.control.outputs import ON_IN
from sim.control.table import CYCLE
from sim.logic.proof.memory import State, Value
from sim.logic.proof.moves import FAILURES, TOUCH, Case, Move, MoveKind
from sim.words.message import Message, plain

_KEYS: Final = frozenset(row.name for row in ACTIONS)


def holds(case: Case, state: State) -> bool:
    """Return whether a case holds in a state."""
    return all(state[name] in values for name, values in case)


@dataclass(frozen=True, slots=True)
class Never:
    """No state in which one of the cases holds is ever reached."""

    name: str
    sentence: Message
    cases: tuple[Case, ...]

    def broken_by(self, state: State) -> bool:
        """Return whether a state breaks it."""
        return any(holds(case, state) for case in self.cases)


@dataclass(frozen=True, slots=True)
class NeverStep:
    """None of the moves leads from a state of `before` to one of `after`."""

    name: str
    sentence: Message
    moves: tuple[str, ...]  # empty for any
    before: Case
    after: Case
    changes: str = ""  # only where this variable has changed; empty: wherever

    def of(self, move: str) -> bool:
        """Return whether it is about a move.

        A key that is refused does what a touch does: nothing but have the job look again. So a
        property about any key is about the touch too.
        """
        return (
            not self.moves
            or move in self.moves
            or (move == TOUCH.name and not _KEYS.isdisjoint(self.moves))
        )

    def broken_by(self, move: str, before: State, after: State) -> bool:
        """Return whether a step breaks it."""
        changed = (
            before != after if not self.changes else before[self.changes] != after[self.changes]
        )
        return self.of(move) and changed and holds(self.before, before) and holds(self.after, after)

    def concerns(self, move: str, writes: Collection[str], values: Mapping[str, Value]) -> bool:
        """Return whether a move that may write some variables can break it.

        Args:
            move: Its name.
            writes: The variables that it may write, besides those in `values`.
            values: Some variables' values before the move.
        """
        return (
            self.of(move)
            and (not self.changes or self.changes in writes or self.changes in values)
            and all(values[name] in fit for name, fit in self.before if name in values)
        )


@dataclass(frozen=True, slots=True)
class Reachable:
    """From every state of `start`, a state of one of the `goals` can be reached by such moves."""

    name: str
    sentence: Message
    start: tuple[Case, ...]
    goals: tuple[Case, ...]
    kinds: tuple[MoveKind, ...]
    without: tuple[str, ...] = ()  # moves that may not be used
    way: tuple[str, ...] = ()  # a recipe that is tried first: these moves, over and over

    def allows(self, move: Move) -> bool:
        """Return whether a move may be used."""
        return move.kind in self.kinds and move.name not in self.without


_OFF: Final = ("supply", ("DEAD", "OFF", "EMERGENCY"))
_ON: Final = ("supply", ("ON",))
_DRIVEN: Final = ("band", ("STARTING", "RUNNING"))
_BY_JOB: Final = (When.AUTO,)
_BY_HAND: Final = (When.HAND,)
_F: Final = (False,)
_T: Final = (True,)
_TO_BLADE: Final[Case] = (("shuttle", ("TO_BLADE",)), ("origin.shuttle", _BY_JOB))
_TO_STOP: Final[Case] = (("shuttle", ("TO_STOP",)), ("origin.shuttle", _BY_JOB))
_SHUTTLE: Final = ("shuttle", ("TO_STOP", "TO_BLADE"))
_LOWERING: Final[Case] = (("head", ("LOWERING",)), ("origin.head", _BY_JOB))
_AT_REST: Final = ("job", ("COMPLETE", "HELD", "STOPPED", "IDLE", "ABORTED"))

# What a machine's state energises, besides the supply's own.
_ENERGISING: Final = {
    machine: tuple(state for owner, state in ON_IN if owner == machine) for machine in STATIONS
}
_NOT_IN_THE_CUT: Final = ("cycle", tuple(s for s in CYCLE.states if s != "LOWER_HEAD"))
# The shuttle goes back while the cut runs, as soon as another piece is wanted.
_OWN_DOING: Final[dict[str, Case]] = {
    "shuttle": (_NOT_IN_THE_CUT,), "shuttle_vise": (_NOT_IN_THE_CUT,),
}  # fmt: skip
_TRIPPING: Final = ("S2=0", "F1=0", "B41=0", "B42=0", "B51=0", "20 s")
_BEGINNING: Final = ("job.begin_on_trim", "job.begin_on_piece")
_RESTORING: Final = (
    "supply.control_on",
    "supply.reset",
    "Q0=1",
    "S1=1",
    *(f"{t}=1" for t in FAILURES),
)
_SELECTING: Final = tuple(f"{station}.{mode}" for station in STATIONS for mode in ("hand", "auto"))


def _title(machine: str) -> str:
    return machine.replace("_", " ")


def _says(name: str, sentence: str) -> Message:
    return plain(f"property.{name.replace(' ', '-')}", sentence)


def _never(name: str, sentence: str, cases: tuple[Case, ...]) -> Never:
    return Never(name, _says(name, sentence), cases)


def _never_step(
    name: str, sentence: str, moves: tuple[str, ...], before: Case, after: Case, changes: str = ""
) -> NeverStep:
    return NeverStep(name, _says(name, sentence), moves, before, after, changes)


def _reachable(
    name: str,
    sentence: str,
    start: tuple[Case, ...],
    goals: tuple[Case, ...],
    kinds: tuple[MoveKind, ...],
    without: tuple[str, ...] = (),
    way: tuple[str, ...] = (),
) -> Reachable:
    return Reachable(name, _says(name, sentence), start, goals, kinds, without, way)


SAFETY: Final[tuple[Never | NeverStep, ...]] = (
    _never("dead", "Without control power nothing is energised.",
          tuple((_OFF, (machine, states)) for machine, states in _ENERGISING.items())),
    _never("armed dead", "Without control power no job is armed or under way.",
          ((_OFF, ("job", ("RESETTING", "IDLE", "STARTING", "EXECUTE", "HOLDING", "HELD", "UNHOLDING",
                           "COMPLETING", "STOPPING"))),)),
    _never("stopped", "With the isolator off or the emergency stop in there is no control power.",
          ((_ON, ("Q0", _F)), (_ON, ("S1", _F)))),
    _never("guard", "The band is never driven with the band guard open.", ((_DRIVEN, ("B41", _F)),)),
    _never("cover", "The band is never driven with the wheel cover open.", ((_DRIVEN, ("B42", _F)),)),
    _never("tension", "The band is never driven without tension.", ((_DRIVEN, ("B51", _F)),)),
    _never("overload", "The band is never driven with the overload relay tripped.", ((_DRIVEN, ("F1", _F)),)),
    _never("drive stop", "The band is never driven while the drive stop is pressed.", ((_DRIVEN, ("S2", _F)),)),
    _never("deviation", "The band is never driven while the deviation stop is latched.",
          ((_DRIVEN, ("latch.deviation", _T)),)),
    _never("wander", "A band that wanders beyond its range is always being timed, or latched.",
          ((("B52", _F), ("watch.deviation", _F), ("latch.deviation", _F)),)),
    _never("stalled", "A band that has been at speed is not driven on at a standstill.",
          ((("band", ("RUNNING",)), ("B1", _F)),)),
    _never("into the band", "The job never drives the shuttle to the blade unless the head is up.",
          ((*_TO_BLADE, ("B11", _F)),)),
    _never("one vise", "While the job drives the shuttle, exactly the right vise holds the bar.",
          ((*_TO_BLADE, ("B34", _F)), (*_TO_BLADE, ("B33", _T)),
           (*_TO_STOP, ("B34", _T)), (*_TO_STOP, ("B33", _F)))),
    _never("loose bar", "The job never lowers the head unless the cutting vise grips.",
          ((*_LOWERING, ("B33", _F)),)),
    _never("standing band", "The job never lowers the head unless the band is at speed.",
          ((*_LOWERING, ("B2", _F)),)),
    _never("coolant", "In AUTO the coolant flows while the band turns, and only then.",
          ((("band", ("RUNNING",)), ("mode.coolant", ("AUTO",)), ("B1", _T), ("coolant", ("DRY",))),
           (_ON, ("mode.coolant", ("AUTO",)), ("B1", _F), ("coolant", ("FLOWING",))))),
    _never("band stops", "A band in AUTO is not driven while the job ends, holds or stops.",
          ((("job", ("COMPLETING", "HELD", "STOPPING")), ("mode.band", ("AUTO",)), _DRIVEN),)),
    _never("blind", "The job does not run on without air, oil or bar.",
          tuple((("job", ("STARTING", "EXECUTE", "UNHOLDING")), (tag, _F)) for tag in ("B61", "B62", "B53"))),
    _never("called stopped", "A band that turns is never called stopped.", ((("band", ("STOPPED",)), ("B1", _T)),)),
    _never("over", "When the job rests it drives neither the shuttle nor the head down.",
          ((_AT_REST, *_TO_BLADE), (_AT_REST, *_TO_STOP), (_AT_REST, *_LOWERING))),
    _never("own hand", "What a hand drives is in HAND, and what the job drives along the bar is in AUTO.",
          ((_SHUTTLE, ("origin.shuttle", _BY_HAND), ("mode.shuttle", ("AUTO",))),
           (_SHUTTLE, ("origin.shuttle", _BY_JOB), ("mode.shuttle", ("HAND",))),
           (("head", ("LOWERING", "LIFTING")), ("origin.head", _BY_HAND), ("mode.head", ("AUTO",))))),
    _never_step("begins low", "A job is not begun or gone on with while the head is down in the bar.", _BEGINNING,
              (("B11", _F),), (("job", ("STARTING", "EXECUTE", "UNHOLDING")),), "job"),
    _never_step("latches", "What trips a running band leaves its fault latched.", _TRIPPING,
              (_ON, _DRIVEN), (("band", ("STOPPED", "STARTING", "RUNNING", "COASTING")),)),
    _never_step("cleared off", "A band fault is not cleared without control power.", ("supply.reset",),
              (("band", ("TRIPPED",)), _OFF), (), "band"),
    _never_step("cleared hot", "A band fault is not cleared while the overload relay is tripped.", ("supply.reset",),
              (("band", ("TRIPPED",)), ("F1", _F)), (), "band"),
    _never_step("grip in the cut", "A job whose grip is lost in the cut does not go on.", ("B33=0",),
              (("job", ("EXECUTE", "HOLDING")), *_LOWERING), (("job", ("EXECUTE", "HOLDING", "HELD")),)),
    _never_step("speed in the cut", "A job whose band falls below its speed in the cut does not go on.", ("B2=0",),
              (("job", ("EXECUTE", "HOLDING")), *_LOWERING), (("job", ("EXECUTE", "HOLDING", "HELD")),)),
    *(
        _never_step(f"restart {_title(machine)}", f"Putting something right never starts the {_title(machine)}.",
                  (*_RESTORING, *_SELECTING),
                  _OWN_DOING.get(machine, ()), ((machine, states),), machine)
        for machine, states in _ENERGISING.items() if machine not in ("coolant", "head")
    ),
    _never_step("restart control", "Putting something right never switches control on.",
              tuple(m for m in (*_RESTORING, *_SELECTING) if m != "supply.control_on"), (), (_ON,), "supply"),
    _never_step("restart head", "Putting something right never lowers the head.",
              (*_RESTORING, *_SELECTING), (), (("head", ("LOWERING",)),), "head"),
    *(
        _never_step(f"keys of {_title(station)}", f"In AUTO the keys of the {_title(station)} move nothing.",
                  tuple(r.name for r in ACTIONS if r.machine == station and not r.any_mode),
                  ((f"mode.{station}", ("AUTO",)), *_OWN_DOING.get(station, ())), (), station)
        for station in STATIONS
    ),
    _never_step("cutting vise", "The job never frees the cutting vise unless the shuttle vise holds.", (),
              (("job", ("EXECUTE", "HELD", "IDLE", "HOLDING")), ("mode.cutting_vise", ("AUTO",))),
              (("cutting_vise", ("FREEING",)), ("B34", _F)), "cutting_vise"),
    _never_step("shuttle vise", "The job never frees the shuttle vise unless the cutting vise holds.", (),
              (("job", ("EXECUTE", "HELD", "IDLE", "HOLDING")), ("mode.shuttle_vise", ("AUTO",))),
              (("shuttle_vise", ("FREEING",)), ("B33", _F)), "shuttle_vise"),
    _never_step("rest", "The job has always done all that it can do.", ("touch",), (_NOT_IN_THE_CUT,), ()),
)  # fmt: skip

_PEOPLE: Final = (MoveKind.ACT, MoveKind.PLANT, MoveKind.DEVICE, MoveKind.TIME)
_COMPLETE: Final[tuple[Case, ...]] = ((("job", ("COMPLETE",)),),)
_POWER_ACTS: Final = ("Q0=0", "Q0=1", "S1=0", "S1=1", "supply.control_on")

# Recipes. The machine does what it is asked ...
_CUTS: Final = ("B1=1", "B2=1", "B11=0", "B12=1", "B12=0", "B11=1")
_TRIMS: Final = ("B31=0", "B33=1", *_CUTS)
_FEEDS: Final = (
    "B34=0",
    "B32=1",
    "B22=0",
    "B21=1",
    "B32=0",
    "B34=1",
    "B33=0",
    "B31=1",
    "B21=0",
    "B22=1",
    "B31=0",
    "B33=1",
)
_STANDS: Final = ("B2=0", "B1=0")
_RUNS: Final = (*_FEEDS, *_CUTS, *_STANDS)
_LETS_GO: Final = tuple(f"{row.name} let go" for row in ACTIONS if row.halt)
_PUTS_RIGHT: Final = tuple(f"{tag}=1" for tag in FAILURES)
_RELEASES: Final = (*_LETS_GO, *_PUTS_RIGHT)
# ... and people bring it back: stop, put right, let it come to rest, lift the head, begin.
_LIFTS: Final = ("head.hand", "head.lift", "B12=0", "B11=1", "head.lift let go")
_COMES_BACK: Final = (
    "band.stop",
    *_RELEASES,
    *_STANDS,
    "B11=1",
    "supply.reset",
    "job.arm",
    *_LIFTS,
    "job.arm",
    "job.begin_on_trim",
    *_TRIMS,
    *_RUNS,
)

PROGRESS: Final[tuple[Reachable, ...]] = (
    _reachable("finish", "From every state without control power a finished job can be reached.",
              ((_OFF,),), _COMPLETE, _PEOPLE,
              way=("Q0=0", "S1=1", "Q0=1", "supply.control_on", *_COMES_BACK)),
    _reachable("finish powered", "With control power on, a finished job can be reached without taking it away.",
              ((_ON,),), _COMPLETE, _PEOPLE, _POWER_ACTS, _COMES_BACK),
    _reachable("resume", "A held job can be gone on with, and keeps its place.",
              ((("job", ("HELD",)),),), ((("job", ("EXECUTE",)),),), _PEOPLE,
              (*_POWER_ACTS, "band.stop", "S2=0", "F1=0", "B41=0", "B42=0", "B51=0", "20 s"),
              ("job.arm", *_RELEASES, *_STANDS, "supply.reset", "job.arm", *_LIFTS, "job.arm",
               "job.begin_on_piece")),
    _reachable("stops", "A job that is stopping comes to a stop by itself.",
              ((("job", ("STOPPING",)),),), ((("job", ("STOPPED",)),),), (MoveKind.PLANT,), way=(*_STANDS, "B12=0", "B11=1")),
    _reachable("holds", "A job that is holding comes to be held, or stops, by itself.",
              ((("job", ("HOLDING",)),),), ((("job", ("HELD", "STOPPING", "STOPPED")),),), (MoveKind.PLANT,), way=(*_CUTS, *_STANDS)),
    _reachable("completes", "A job that is completing completes by itself.",
              ((("job", ("COMPLETING",)),),), _COMPLETE, (MoveKind.PLANT,), way=_STANDS),
    _reachable("works", "A running job with everything in order finishes by itself.",
              ((("job", ("EXECUTE",)), *((t, _T) for t in FAILURES), ("latch.deviation", _F),
                *((f"mode.{s}", ("AUTO",)) for s in STATIONS)),), _COMPLETE, (MoveKind.PLANT,), way=_RUNS),
    _reachable("released", "After an emergency stop control comes back without the isolator.",
              ((("supply", ("EMERGENCY",)),),), ((_ON,),), _PEOPLE, ("Q0=0", "Q0=1"), ("S1=1", "supply.control_on")),
    _reachable("clears", "Every band fault can be cleared without switching off.",
              ((_ON, ("band", ("TRIPPED",))),), ((("band", ("STOPPED",)),),), _PEOPLE, _POWER_ACTS,
              ("band.stop", *_STANDS, "supply.reset", *_RELEASES)),
)  # fmt: skip

PROPERTIES: Final[dict[str, Never | NeverStep | Reachable]] = {
    row.name: row for row in (*SAFETY, *PROGRESS)
}
