"""What is to be proved of the controller: what must never be, and what must stay possible.

A `Never` names states that must not be reached. A `NeverStep` names moves that must not lead from
some states to some others. A `Reachable` says that from each of some states, by moves of the kinds
named, one of some others can be reached. An `Ends` names moves that must end something.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from itertools import combinations
from typing import Final

from sim.control.actions import ACTIONS, BY_NAME, PARTS
from sim.control.cycle import MOVING
from sim.control.outputs import DRIVEN
from sim.control.table import CYCLE
from sim.logic.proof.memory import Case, State, Value, holds
from sim.logic.proof.moves import (
    FAILURES,
    TOUCH,
    Move,
    MoveKind,
    Scope,
    dead,
    in_maintenance,
    let_go,
    moves,
    straight,
    turn,
)
from sim.signals import MODE_SWITCH
from sim.words.message import Message, plain

_KEYS: Final = frozenset(row.name for row in ACTIONS)


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
class Ends:
    """Each of the moves leads from every state of `before` to one that is not of `during`.

    Unlike a `NeverStep` it is broken too by a move after which everything is as it was.
    """

    name: str
    sentence: Message
    moves: tuple[str, ...]
    before: Case
    during: Case

    def broken_by(self, move: str, before: State, after: State) -> bool:
        """Return whether a move breaks it."""
        return move in self.moves and holds(self.before, before) and holds(self.during, after)


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


_F: Final = (False,)
_T: Final = (True,)
_OFF: Final = ("supply", ("DEAD", "TRIPPED", "OFF"))
_ON: Final = ("supply", ("ON",))
_DRIVEN: Final = ("band", DRIVEN["band"])
_TURNS: Final = ("band", ("STARTING", "RUNNING", "COASTING"))
_PRODUCTION: Final = ("mode", ("PRODUCTION",))
_MANUAL: Final = ("mode", ("MANUAL",))
_MAINTENANCE: Final = ("mode", ("MAINTENANCE",))
_NO_MODE: Final = ("mode", ("NONE",))
_BY_HAND: Final = ("mode", ("MANUAL", "MAINTENANCE"))
_CLOSED_IN: Final = (
    "mode",
    ("MANUAL", "PRODUCTION", "NONE"),
)  # where guard and cover must be closed
_FORWARD: Final = ("shuttle", ("GOING_FORWARD",))
_BACK: Final = ("shuttle", ("GOING_BACK",))
_LOWERING: Final = ("head", ("LOWERING",))
_RESTS: Final = ("job", ("COMPLETE", "HELD", "STOPPED", "IDLE", "ABORTED"))
_RUNS: Final = ("job", ("STARTING", "EXECUTE", "UNHOLDING"))
_UNDER_WAY: Final = ("job", ("STARTING", "EXECUTE", "UNHOLDING", "HOLDING", "COMPLETING"))

# What a machine's state energises, besides the supply's own.
_ENERGISING: Final = {part: DRIVEN[part] for part in PARTS}
_AXES: Final = {"band": DRIVEN["band"], **MOVING}
_NOT_IN_THE_CUT: Final = ("cycle", tuple(s for s in CYCLE.states if s != "LOWER_HEAD"))
# The shuttle goes back while the cut runs, as soon as another piece is wanted.
_OWN_DOING: Final[dict[str, Case]] = {
    "shuttle": (_NOT_IN_THE_CUT,), "shuttle_vise": (_NOT_IN_THE_CUT,),
}  # fmt: skip
_FED_OR_CUT: Final = (
    "RELEASE_SHUTTLE_VISE", "SHUTTLE_BACK", "CLAMP_SHUTTLE_VISE", "RELEASE_CUTTING_VISE",
    "SHUTTLE_FORWARD", "CLAMP_CUTTING_VISE",
)  # fmt: skip
_CUT: Final = ("BAND_TO_SPEED", "LOWER_HEAD", "RAISE_HEAD", "COUNT")
_TRIPPING: Final = ("F1=0", "B51=0", "B54=0", "deviation time")
_BEGINNING: Final = tuple(n for key in ("job.start", "job.unhold") for n in (key, straight(key)))
_RESTORING: Final = (
    "supply.control_on", "supply.reset", "Q0=1", "S1=1", "S9=1", "K0=1", *(f"{t}=1" for t in FAILURES),
)  # fmt: skip
_TURNING: Final = (*map(turn, Scope().modes), "mode.between", "mode rests")
_STOPPING: Final = ("band.stop", "job.stop", "coolant.off")
_CLEARING: Final = ("job.clear", "job.reset", "job.new", "job.square", "job.straight")
_HELD_KEYS: Final = tuple(row.name for row in ACTIONS if row.halt)
_EVERY_MOVE: Final = tuple(move.name for move in moves(Scope()))


def _keys_of(part: str) -> tuple[str, ...]:
    return tuple(name for name in _HELD_KEYS if BY_NAME[name].machine == part)


def _all_but_its_keys(part: str) -> tuple[str, ...]:
    own = {name for key in _keys_of(part) for name in (key, in_maintenance(key))}
    return tuple(name for name in _EVERY_MOVE if name not in own and name != TOUCH.name)


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


def _ends(name: str, sentence: str, moves: tuple[str, ...], before: Case, during: Case) -> Ends:
    return Ends(name, _says(name, sentence), moves, before, during)


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
    _never(
        "under way dead",
        "Without control power no job is under way, but that it waits for the band to stand.",
        (
            (
                _OFF,
                ("job", ("RESETTING", "IDLE", "STARTING", "EXECUTE", "HOLDING", "HELD", "UNHOLDING",
                         "COMPLETING", "COMPLETE")),
            ),
            (_OFF, ("cycle", tuple(s for s in CYCLE.states if s != "PARKED"))),
        ),
    ),
    _never("stopped", "With the isolator off, an emergency stop in or the safety relay out there is no control power.",
          ((_ON, ("Q0", _F)), (_ON, ("S1", _F)), (_ON, ("S9", _F)), (_ON, ("K0", _F)))),
    _never("guard", "Outside MAINTENANCE the band is never driven with the band guard open.",
          ((_DRIVEN, ("B41", _F), _CLOSED_IN),)),
    _never("cover", "Outside MAINTENANCE the band is never driven with the wheel cover open.",
          ((_DRIVEN, ("B42", _F), _CLOSED_IN),)),
    _never("tension", "The band is never driven too slack.", ((_DRIVEN, ("B51", _F)),)),
    _never("over tension", "The band is never driven too tight.", ((_DRIVEN, ("B54", _F)),)),
    _never("overload", "The band is never driven with the overload relay tripped.", ((_DRIVEN, ("F1", _F)),)),
    _never("trip line", "With the trip line pulled or not reset the band is not driven and the head not lowered.",
          ((_DRIVEN, ("S2", _F)), (_DRIVEN, ("latch.trip_line", _T)),
           (_LOWERING, ("S2", _F)), (_LOWERING, ("latch.trip_line", _T)))),
    _never("trip line kept", "A pulled trip line stays latched until it is reset.",
          ((("S2", _F), ("latch.trip_line", _F)),)),
    _never("deviation", "The band is never driven while the deviation stop is latched.",
          ((_DRIVEN, ("latch.deviation", _T)),)),
    _never("wander", "A band that wanders beyond its range is always being timed, or latched.",
          ((("B52", _F), ("watch.deviation", _F), ("latch.deviation", _F)),)),
    _never("stalled", "A band that has been at speed is not driven on at a standstill.",
          ((("band", ("RUNNING",)), ("B1", _F)),)),
    _never("into the band", "The shuttle never goes forward unless the head is up, in any mode.",
          ((_FORWARD, ("B11", _F)),)),
    _never("one vise", "While the job drives the shuttle, exactly the right vise holds the bar.",
          ((_PRODUCTION, _FORWARD, ("B34", _F)), (_PRODUCTION, _FORWARD, ("B33", _T)),
           (_PRODUCTION, _BACK, ("B34", _T)), (_PRODUCTION, _BACK, ("B33", _F)))),
    _never("loose bar", "The job never lowers the head unless the cutting vise is clamped.",
          ((_PRODUCTION, _LOWERING, ("B33", _F)),)),
    _never("standing band", "The job never lowers the head unless the band is at speed.",
          ((_PRODUCTION, _LOWERING, ("B2", _F)),)),
    _never("coolant", "The coolant is off, flows while the band turns, or is on, as it is chosen.",
          ((("band", ("RUNNING",)), ("coolant_choice", ("WITH_BAND",)), ("B1", _T), ("coolant", ("OFF",))),
           (("coolant_choice", ("WITH_BAND",)), ("B1", _F), ("coolant", ("FLOWING",))),
           (("coolant_choice", ("OFF",)), ("coolant", ("FLOWING",))),
           (("coolant_choice", ("ON",)), ("coolant", ("OFF",))))),
    _never("band stops", "In PRODUCTION the band is not driven while the job rests, but for its run-on minutes.",
          ((_RESTS, _PRODUCTION, _DRIVEN, ("watch.run_on", _F)), (("job", ("HELD",)), _PRODUCTION, _DRIVEN),
           (("job", ("COMPLETING",)), ("cycle", ("PARKED",)), _DRIVEN, ("watch.run_on", _F)),
           (("job", ("STOPPING",)), ("cycle", ("PARKED",)), _DRIVEN))),
    _never("run on", "Run-on minutes are counted only for a band that is driven.",
          ((("watch.run_on", _T), ("band", ("STOPPED", "COASTING", "TRIPPED"))),)),
    _never("blind", "The job does not run on without air, oil or bar, nor without the coolant that it uses.",
          (*((_RUNS, (tag, _F)) for tag in ("B61", "B62", "B53")),
           (_RUNS, ("coolant_choice", ("WITH_BAND", "ON")), ("B63", _F)))),
    _never("hood", "In PRODUCTION neither the shuttle nor its vise is driven with the infeed hood open.",
          tuple((_PRODUCTION, axis, ("B43", _F)) for axis in (_FORWARD, _BACK, ("shuttle_vise", MOVING["shuttle_vise"])))),
    _never("opened hood", "With the infeed hood open the job neither runs nor completes.",
          ((_RUNS, ("B43", _F)), (("job", ("COMPLETING",)), ("B43", _F)))),
    _never("starved", "Without air or oil the job neither lowers the head nor completes.",
          tuple(((tag, _F), *case) for tag in ("B61", "B62")
                for case in ((_UNDER_WAY, _LOWERING), (("job", ("COMPLETING",)),)))),
    _never("airless", "Without air the job does not raise the head, which would set off when the air comes back.",
          ((_PRODUCTION, ("head", ("RAISING",)), ("B61", _F)),)),
    _never("overloaded cut", "With the overload relay tripped the job does not lower the head.",
          ((("F1", _F), _UNDER_WAY, _LOWERING),)),
    _never("called stopped", "A band that turns is never called stopped.", ((("band", ("STOPPED",)), ("B1", _T)),)),
    _never("over", "When the job rests it drives neither the shuttle nor the head down.",
          tuple((_RESTS, _PRODUCTION, motion) for motion in (_FORWARD, _BACK, _LOWERING))),
    _never("aborted", "After an abort the job drives nothing on.",
          tuple((("job", ("ABORTED",)), _PRODUCTION, axis) for axis in _AXES.items())),
    _never("no mode", "While the mode changes neither the band nor any other part is driven.",
          tuple((_NO_MODE, axis) for axis in _AXES.items())),
    _never("pointed to", "A mode is in effect only while the mode switch points to it.",
          tuple((("mode", (mode,)), (tag, _F))
                for mode, tag in zip(("MANUAL", "MAINTENANCE", "PRODUCTION"), MODE_SWITCH, strict=True))),
    _never("only in production", "A job is under way in PRODUCTION only.", ((_UNDER_WAY, _BY_HAND), (_UNDER_WAY, _NO_MODE))),
    _never("enabled", "In MAINTENANCE neither the band nor any other part is driven without the enabling device.",
          tuple((_MAINTENANCE, axis, ("S7", _F)) for axis in _AXES.items())),
    _never("one part", "In MAINTENANCE one part moves at a time, and none while the band turns.",
          tuple((_MAINTENANCE, one, other) for one, other in combinations((_TURNS, *MOVING.items()), 2))),
    _never("jog", "In MAINTENANCE the drive of the band is always timed.",
          ((_MAINTENANCE, _DRIVEN, ("watch.jog", _F)),)),
    _never("straight", "A job does not begin straight, nor feed the bar, while the end must be squared.",
          ((("job.owes", _T), ("cycle", _FED_OR_CUT)),)),
    _never("begun piece", "While the end must be squared, no cut is counted as a piece.",
          ((("job.owes", _T), ("job.squaring", _F), ("cycle", _CUT)),)),
    _never("left over", "Where no piece is under way, none is half fed and none half squared.",
          ((("cycle", ("PARKED",)), ("job.fed", _T)), (("cycle", ("PARKED",)), ("job.squaring", _T)))),
    _never_step("owed", "A bar's end that must be squared is squared by a squaring cut, and by nothing else.", (),
              (("job.owes", _T), ("job.squaring", _F)), (("job.owes", _F),)),
    _never_step("owes", "A piece that was fed and not cut through leaves the bar's end to be squared.", (),
              (("job.fed", _T), ("cycle", tuple(s for s in CYCLE.states if s != "RAISE_HEAD"))),
              (("job.fed", _F), ("job.owes", _F))),
    _never_step("readied at open guards", "In MAINTENANCE no key clears the job or makes it ready.",
              ("job.reset", "job.clear"), (_MAINTENANCE,), (), "job"),
    _never_step("begins low", "A job neither begins nor goes on while the head is down in the bar.", _BEGINNING,
              (("B11", _F),), (_RUNS,), "job"),
    _never_step("begins with both hands", "A job begins and goes on only with both palm keys.",
              tuple(name for name in _EVERY_MOVE if name not in _BEGINNING), (_RESTS,), (_RUNS,), "job"),
    _never_step("runs with both hands", "Outside PRODUCTION the band starts by its own key only.",
              tuple(n for n in _EVERY_MOVE if n not in ("band.run", in_maintenance("band.run"), TOUCH.name)),
              (_BY_HAND,), (("band", ("STARTING",)),), "band"),
    _never_step("latches", "What trips a driven band leaves its fault latched.", _TRIPPING,
              (_ON, _DRIVEN), (("band", ("STOPPED", "STARTING", "RUNNING", "COASTING")),)),
    _never_step("latches open", "A guard or cover that is opened at a driven band leaves its fault latched.",
              ("B41=0", "B42=0"), (_ON, _DRIVEN, _CLOSED_IN),
              (("band", ("STOPPED", "STARTING", "RUNNING", "COASTING")),)),
    _never_step("cleared off", "A band fault is not cleared with the isolator off or an emergency stop in.", ("supply.reset",),
              (("band", ("TRIPPED",)), ("Q0", _F)), (), "band"),
    _never_step("cleared stopped", "A band fault is not cleared with an emergency stop in.", ("supply.reset",),
              (("band", ("TRIPPED",)), ("S1", _F)), (), "band"),
    _never_step("cleared hot", "A band fault is not cleared while the overload relay is tripped.", ("supply.reset",),
              (("band", ("TRIPPED",)), ("F1", _F)), (), "band"),
    _never_step("cleared turning", "A band fault is not cleared while the band turns.", ("supply.reset",),
              (("band", ("TRIPPED",)), ("B1", _T)), (), "band"),
    _never_step("cleared pulled", "A pulled trip line is not cleared, and no job after it, before it is set back.",
              ("supply.reset", "job.clear"), (("S2", _F), ("job", ("ABORTED",))), (("job", ("STOPPED", "CLEARING")),)),
    _never_step("clamping in the cut", "A job whose clamping is lost in the cut does not go on.", ("B33=0",),
              (_UNDER_WAY, _PRODUCTION, _LOWERING), (("job", (*_UNDER_WAY[1], "HELD")),)),
    _never_step("speed in the cut", "A job whose band falls below its speed in the cut does not go on.", ("B2=0",),
              (_UNDER_WAY, _PRODUCTION, _LOWERING), (("job", (*_UNDER_WAY[1], "HELD")),)),
    *(
        _never_step(f"restart {_title(machine)}", f"Putting something right never starts the {_title(machine)}.",
                  _RESTORING, _OWN_DOING.get(machine, ()), ((machine, states),), machine)
        for machine, states in _ENERGISING.items() if machine not in ("coolant", "head")
    ),
    _never_step("dead keys", "Without control power no key does anything, but for stopping, reset and control on.",
              tuple(row.name for row in ACTIONS if row.machine != "supply" and row.name not in _STOPPING),
              (_OFF,), ()),
    _never_step("restart control", "Putting something right never switches control on.",
              tuple(m for m in _RESTORING if m != "supply.control_on"), (), (_ON,), "supply"),
    _never_step("restart head", "Putting something right never lowers the head.",
              _RESTORING, (), (_LOWERING,), "head"),
    *(
        _never_step(f"mode and {_title(machine)}", f"A mode change never starts the {_title(machine)}.",
                  _TURNING, (), ((machine, states),), machine)
        for machine, states in _ENERGISING.items()
    ),
    _never_step("mode and job", "A mode change never begins a job nor goes on with one.", _TURNING, (), (_UNDER_WAY,), "job"),
    *(
        _never_step(f"clearing and {_title(machine)}", f"Clearing and resetting never start the {_title(machine)}.",
                  (*_CLEARING, "supply.reset", "supply.control_on"), _OWN_DOING.get(machine, ()),
                  ((machine, states),), machine)
        for machine, states in _ENERGISING.items()
    ),
    *(
        _never_step(f"keys of {_title(part)}", f"In PRODUCTION the movement keys of the {_title(part)} are dead.",
                  tuple(map(dead, _keys_of(part))), (_PRODUCTION, *_OWN_DOING.get(part, ())), (), part)
        for part in MOVING
    ),
    _never_step("keys of band", "In PRODUCTION the band's run key starts nothing.", ("band.run",),
              (_PRODUCTION,), (("band", ("STARTING",)),), "band"),
    *(
        _never_step(f"by hand {_title(part)}", f"By hand the {_title(part)} begins to move by its own keys only.",
                  _all_but_its_keys(part), (_BY_HAND,), ((part, states),), part)
        for part, states in MOVING.items()
    ),
    _never_step("jogs slow", "In MAINTENANCE the band is not started but at the variator's lowest speed.",
              (in_maintenance("band.run"),), (("B3", _F),), (_DRIVEN,), "band"),
    _never_step("cutting vise", "The job never releases the cutting vise unless the shuttle vise holds.", (),
              (_PRODUCTION,), (("cutting_vise", ("RELEASING",)), ("B34", _F)), "cutting_vise"),
    _never_step("shuttle vise", "The job never releases the shuttle vise unless the cutting vise holds.", (),
              (_PRODUCTION,), (("shuttle_vise", ("RELEASING",)), ("B33", _F)), "shuttle_vise"),
    _never_step("rest", "The job has always done all that it can do.", ("touch",), (_NOT_IN_THE_CUT,), ()),
)  # fmt: skip

_PEOPLE: Final = (MoveKind.ACT, MoveKind.PLANT, MoveKind.DEVICE, MoveKind.TIME)
_BY_ITSELF: Final = (MoveKind.PLANT, MoveKind.TIME)
_COMPLETE: Final[tuple[Case, ...]] = ((("job", ("COMPLETE",)),),)
_POWER_ACTS: Final = ("Q0=0", "Q0=1", "S1=0", "S1=1", "S9=0", "S9=1", "K0=0", "supply.control_on")
_ALL_SOUND: Final[Case] = (
    *((t, _T) for t in FAILURES), ("latch.deviation", _F), ("latch.trip_line", _F),
)  # fmt: skip

# Recipes. The machine does what it is asked ...
_CUTS: Final = ("B1=1", "B2=1", "B11=0", "B12=1", "B12=0", "B11=1")
_SQUARES: Final = ("B31=0", "B33=1", *_CUTS)
_FEEDS: Final = (
    "B34=0", "B32=1", "B22=0", "B21=1", "B32=0", "B34=1", "B33=0", "B31=1", "B21=0", "B22=1",
    "B31=0", "B33=1",
)  # fmt: skip
_STANDS: Final = ("B2=0", "B1=0")
_SECURES: Final = ("B31=0", "B33=1", "B32=0", "B34=1")
# Last comes to rest what coasts: a band that runs would trip by it.
_ALL_RUN: Final = (*_SQUARES, *_FEEDS, *_CUTS, *_SECURES, *_FEEDS, *_CUTS, *_STANDS)
_LETS_GO: Final = (*map(let_go, _HELD_KEYS), let_go("band.run"))
_PUTS_RIGHT: Final = tuple(f"{tag}=1" for tag in FAILURES)
_RELEASES: Final = (*_LETS_GO, *_PUTS_RIGHT)
# ... and people bring it back: stop, put right, let it come to rest, raise the head, begin.
_RAISES: Final = (
    "coolant.with_band",
    turn("MANUAL"),
    "mode rests",
    "B12=0",
    "head.raise",
    "B11=1",
    let_go("head.raise"),
)
_PRODUCES: Final = ("coolant.with_band", turn("PRODUCTION"), "mode rests")
_COMES_BACK: Final = (
    *_RELEASES, "coolant.with_band", "job.stop", *_STANDS, "B12=0", "B11=1", "supply.reset",
    "job.clear", *_RAISES, "supply.reset", *_PRODUCES, "job.clear", "job.reset", "job.start",
    *_SQUARES, *_ALL_RUN,
)  # fmt: skip

PROGRESS: Final[tuple[Reachable, ...]] = (
    _reachable("finish", "From every state without control power a finished job can be reached.",
              ((_OFF,),), _COMPLETE, _PEOPLE,
              way=("S1=1", "S9=1", "Q0=1", *_PUTS_RIGHT, *_STANDS, "supply.reset", "K0=1", "supply.control_on",
                   *_COMES_BACK)),
    _reachable("finish powered", "With control power on, a finished job can be reached without taking it away.",
              ((_ON,),), _COMPLETE, _PEOPLE, _POWER_ACTS, _COMES_BACK),
    _reachable("unhold", "A held job can go on.",
              ((("job", ("HELD",)),),), ((("job", ("EXECUTE",)),),), _PEOPLE,
              (*_POWER_ACTS, "job.stop", "band.stop", "job.start", *(f"{tag}=0" for tag in FAILURES), "deviation time"),
              (*_RELEASES, "coolant.with_band", *_STANDS, "supply.reset", *_RAISES, "supply.reset", *_PRODUCES,
               "job.unhold")),
    _reachable("stops", "A job that is stopping comes to a stop by itself.",
              ((("job", ("STOPPING",)),),), ((("job", ("STOPPED",)),),), _BY_ITSELF,
              way=("mode rests", *_STANDS, "B12=0", "B11=1", *_STANDS)),
    _reachable("holds", "A job that is holding comes to be held, or stops, by itself.",
              ((("job", ("HOLDING",)),),), ((("job", ("HELD", "STOPPING", "STOPPED")),),), _BY_ITSELF,
              way=(*_CUTS, *_FEEDS, *_STANDS)),
    _reachable("completes", "A completing job with everything in order completes by itself.",
              ((("job", ("COMPLETING",)), *_ALL_SOUND),), _COMPLETE, _BY_ITSELF,
              way=(*_SECURES, *_CUTS, *_ALL_RUN)),
    _reachable("works", "A running job with everything in order finishes by itself.",
              ((("job", ("EXECUTE",)), *_ALL_SOUND),), _COMPLETE, _BY_ITSELF, way=_ALL_RUN),
    _reachable("released", "After an emergency stop control comes back without the isolator.",
              ((("supply", ("TRIPPED",)),),), ((_ON,),), _PEOPLE, ("Q0=0", "Q0=1"),
              ("S1=1", "S9=1", *_PUTS_RIGHT, *_STANDS, "supply.reset", "K0=1", "supply.control_on")),
    _reachable("clears", "Every band fault can be cleared without switching off.",
              ((_ON, ("band", ("TRIPPED",))),), ((("band", ("STOPPED",)),),), _PEOPLE, _POWER_ACTS,
              (*_STANDS, *_RELEASES, "supply.reset")),
    _reachable("way back", "From an abort the job comes back to idle, and no part is driven for it.",
              ((("job", ("ABORTED",)),),), ((("job", ("IDLE",)),),),
              (MoveKind.ACT, MoveKind.DEVICE, MoveKind.TIME, MoveKind.PLANT),
              tuple(name for name in _EVERY_MOVE if name.startswith(("head.", "shuttle", "cutting", "band.run"))),
              ("S1=1", "S9=1", "Q0=1", *_PUTS_RIGHT, *_STANDS, "supply.reset", "K0=1", "supply.control_on",
               *_PRODUCES, "job.clear", "job.reset")),
    _reachable("mode again", "From every position of the mode switch the saw comes to a mode.",
              ((_NO_MODE,),), ((_BY_HAND,), (_PRODUCTION,)), _PEOPLE, (), (turn("MANUAL"), "mode rests")),
)  # fmt: skip

ENDING: Final[tuple[Ends, ...]] = (
    *(
        _ends(f"let go of {_title(part)}", f"By hand the {_title(part)} stops when its key is let go.",
              tuple(map(let_go, _keys_of(part))), (_BY_HAND, (part, states)), ((part, states),))
        for part, states in MOVING.items()
    ),
    _ends("let go of band", "In MAINTENANCE the band's drive ends when its key is let go.",
          (let_go("band.run"),), (_MAINTENANCE, _DRIVEN), (_DRIVEN,)),
)  # fmt: skip

Property = Never | NeverStep | Ends | Reachable

PROPERTIES: Final[dict[str, Property]] = {row.name: row for row in (*SAFETY, *ENDING, *PROGRESS)}
