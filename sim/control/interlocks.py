"""The interlock table: what the controller refuses, and what it does by itself.

Rule 1: whatever the controller refuses or does by itself so that nobody and nothing comes to harm is
a row of this file, whole: number, title, rule, hazard, and how it is wired. Rule 2: this file does
not know who reads it. The controller, the coach, why-not, the handbook, the rungs and the proofs all
read these rows; there is no second copy of a number, a rule or a hazard.

Theory. The controller keeps an image, one flat mapping: every signal by its tag, every machine's
state by its name, the latches (`latch.deviation`), and what the controller and the job remember
besides. All rows are look-ups in it. They work in two ways.

a) A permissive refuses. It says what an action needs when a key asks for it, when the job does, or
   in any case, and it may apply only where something else is `given`. All of an action's
   permissives must hold; each that does not is one refusal, told in the order of this table. With
   `keeps`, the need must go on holding while a motion lasts, or the motion is halted.
b) A reaction acts. When its subject becomes one of some values while everything `given` holds, it
   fires events at machines, which take them or not by the tables of `table`. What a machine has
   become may set off the next reaction. Two rows with the same subject act in the order of this
   table.

Neither energises anything: what a state drives is in `outputs`. An interlock without either is not
wired: it is a rule of work that is practised and checked (I12, I13), or metal carries it out (I17).

Not here: rules of use. A movement key in PRODUCTION, a missing hand and a machine that cannot take a
command now are in `rules_of_use`, a key that does not fit the job's own state in `job`. The prints
do not show those; the proofs run the code that asks them.
"""

from collections.abc import Iterable
from typing import Final

from sim.control import needs
from sim.control.actions import BY_NAME, MOVE, PARTS
from sim.control.cycle import MOVING
from sim.control.interlock import (
    Interlock,
    InterlockRow,
    Permissive,
    Reaction,
    When,
    always_needs,
    interlock,
    job_needs,
    when,
)
from sim.control.needs import Image, Need
from sim.control.table import JOB_RUNS, JOB_UNDER_WAY, TABLES
from sim.signals import BY_KEY
from sim.words.message import NOTHING, plain

__all__ = [
    "BY_NUMBER", "INTERLOCKS", "PERMISSIVES", "REACTIONS", "REACTIONS_TO",
    "THE_ROWS", "Image", "Interlock", "InterlockRow", "Need", "Permissive", "Reaction", "Rows", "When",
    "needs_of",
]  # fmt: skip

# The parts that rows share ----------------------------------------------------------------

_STARTS: Final = ("job.start", "job.unhold")
_NEED_POWER: Final = (
    *MOVE, "coolant.with_band", "coolant.on", "job.reset", "job.clear", *_STARTS,
    "job.hold", "job.complete", "job.stop", "job.square", "job.straight",
)  # fmt: skip
_CLOSED_IN: Final = (needs.GUARD, needs.COVER)

_TURNS: Final = ("STARTING", "RUNNING", "COASTING")  # states of the band
_RESTS: Final = ("STOPPED", "IDLE", "COMPLETE", "ABORTED")
_BY_HAND: Final = ("MANUAL", "MAINTENANCE")
_NOT_MAINTENANCE: Final = ("MANUAL", "PRODUCTION", "NONE")
_WET: Final = ("WITH_BAND", "ON")
_HALTS: Final = tuple(f"{part} HALT" for part in MOVING)
_STATES: Final = {table.name: table.states for table in TABLES}


def _one_axis(part: str) -> tuple[Need, ...]:
    """Return the needs that no other part than one moves."""
    return tuple(
        needs.at_rest(other, moving, _STATES[other])
        for other, moving in {**MOVING, "band": _TURNS}.items()
        if other != part
    )


_STOPPED: Final = plain("hazard.stopped", "a machine that starts while somebody has stopped it")
_BAND_NEEDS: Final = {
    needs.TIGHT: plain("hazard.slack", "a slack band thrown off its wheels"),
    needs.NOT_TOO_TIGHT: plain("hazard.over-tension", "a band drawn until its weld parts"),
    needs.OVERLOAD: plain("hazard.overload", "a motor that is driven until it burns"),
    needs.BAND_FAULT: plain("hazard.band-fault", "a band that runs again before anybody knows why it stopped"),
    needs.DEVIATION: plain("hazard.deviation", "a band that goes on wandering, off its wheels or out of square"),
    needs.TRIP_LINE_RESET: _STOPPED,
}  # fmt: skip
_HANDS: Final = plain("hazard.hands", "touching a moving band")
_CAUSE: Final = plain("hazard.cause", "a fault that is cleared while its cause is still there")
_CLOSES: Final = plain(
    "hazard.safety-circuit", "a safety circuit that closes by itself when the power comes on"
)
_TURNING: Final = plain("hazard.turning", "a band that is cleared to start while it still turns")
_UNWILLED: Final = plain("hazard.unwilled", "a part that moves against your will at open guards")
_FAST_BAND: Final = plain("hazard.fast-band", "a band that runs fast at open guards")
_SECOND_PART: Final = plain(
    "hazard.second-part", "a second part that moves while you watch the first"
)
_JOB_READY: Final = plain(
    "hazard.job-ready", "a job that is made ready while somebody is at open guards"
)
_GUARD_OPENED: Final = plain("reason.band-guard", "the band guard was opened")
_HOOD_OPENED: Final = plain("reason.infeed-hood", "the infeed hood was opened")
_COVER_OPENED: Final = plain("reason.wheel-cover", "the wheel cover was opened")
_SLACK: Final = plain("reason.tension", "the band lost its tension")
_TOO_TIGHT: Final = plain("reason.over-tension", "the band was tensioned too far")
_AIR: Final = plain("reason.air", "the air pressure is low")
_OIL: Final = plain("reason.oil", "the oil level is low")
_TURNED: Final = plain("reason.mode", "the mode switch was turned")
_ALL_OFF: Final = plain(
    "reaction.all-off",
    "all outputs are off; a band that ran coasts, the vises stay clamped, and the head may sink",
)
_COOLANT_LOW: Final = plain("reason.coolant", "the coolant is low")
_WITH_THE_BAND: Final = plain(
    "reaction.job-with-band", "the job stopped with the band; find the cause, then press reset"
)
_JOB_STOPS: Final = plain("reaction.job-stops", "the job stops, and the band with it")
_DONE: Final = plain("reaction.job-done", "the job is done, and the band stops")
_COOLANT: Final = plain("reaction.coolant-with-band", "the coolant goes with the band")
_LET_GO: Final = plain("reaction.let-go", "the part stops where it is, because its key was let go")
_JOGGED: Final = plain("reaction.jogged", "the jog is over, and the band stops")
_CHOSEN: Final = plain("reaction.coolant-chosen", "the coolant does as it is chosen")

# The table --------------------------------------------------------------------------------

INTERLOCKS: Final[tuple[Interlock, ...]] = (
    interlock(
        "I1", "control power, isolator and stops",
        rule="nothing is driven without control power, which the emergency stops take away and the trip line, "
        "no emergency stop, leaves on; the head may sink, so keep clear",
        hazard="a part that sets off by itself when the power comes on",
        permissives=(
            *always_needs("supply.control_on", needs.ISOLATOR),
            *always_needs("supply.control_on", needs.RESET_DONE, hazard=_STOPPED),
            *always_needs("supply.control_on", needs.RELAY_IN, hazard=_STOPPED, supply="OFF"),
            *always_needs(_NEED_POWER, needs.POWER),
            *always_needs("head.lower", needs.TRIP_LINE_RESET, hazard=_STOPPED),
        ),
        reactions=(
            when("Q0", True, "supply ISOLATOR_ON",
                 means=plain("reaction.isolator-on",
                             "the isolator feeds the cabinet, whose line side is live with it off, too; then come reset and control on")),
            when("Q0", False, "supply ISOLATOR_OFF",
                 plain("reason.isolator", "the voltage from the isolator went")),
            when("S1", False, ("supply EMERGENCY", "job ABORT"),
                 plain("reason.emergency-stop", "the emergency stop at the console was pressed"),
                 supply=("TRIPPED", "OFF", "ON")),
            when("S9", False, ("supply EMERGENCY", "job ABORT"),
                 plain("reason.infeed-stop", "the emergency stop at the infeed was pressed"),
                 supply=("TRIPPED", "OFF", "ON")),
            when("K0", False, ("supply EMERGENCY", "job ABORT"),
                 plain("reason.safety-relay", "the safety relay dropped out"), supply=("OFF", "ON")),
        ),
    ),
    interlock(
        "I2", "reset, and nothing restarts by itself",
        rule="neither a reset nor a release ever starts anything",
        hazard="a machine that starts by itself after a reset or a release",
        permissives=(
            *always_needs("supply.reset", needs.ISOLATOR, hazard=_CLOSES),
            *always_needs("supply.reset", needs.STOP_OUT, needs.INFEED_STOP_OUT,
                          needs.TRIP_LINE_HOME, hazard=_STOPPED),
            *always_needs("supply.reset", needs.STILL, hazard=_TURNING),
            *always_needs("supply.reset", needs.OVERLOAD, hazard=_CAUSE),
            *always_needs("job.clear", needs.TRIP_LINE_RESET, hazard=_CAUSE),
        ),
    ),
    interlock(
        "I3", "what the band needs to run",
        rule="outside MAINTENANCE the band runs only guarded, and everywhere only tensioned and without a "
        "latched fault",
        hazard="touching a moving band, a band thrown off or broken, or a motor that burns",
        permissives=(
            *always_needs(("band.run", *_STARTS), *_CLOSED_IN, hazard=_HANDS, mode=_NOT_MAINTENANCE),
            *(
                row
                for need, hazard in _BAND_NEEDS.items()
                for row in always_needs(("band.run", *_STARTS), need, hazard=hazard)
            ),
        ),
        reactions=(
            # What stops the band, besides its own stop key.
            when("S2", False, ("band STOP", *_HALTS, "job ABORT"),
                 plain("reason.trip-line", "the trip line was pulled"), supply="ON"),
            when("B41", False, "band TRIP", _GUARD_OPENED, band=_TURNS, mode=_NOT_MAINTENANCE),
            when("B42", False, "band TRIP", _COVER_OPENED, band=_TURNS, mode=_NOT_MAINTENANCE),
            when("B51", False, "band TRIP", _SLACK, band=_TURNS),
            when("B54", False, "band TRIP", _TOO_TIGHT, band=_TURNS),
            when("F1", False, "band TRIP",
                 plain("reason.overload", "the overload relay tripped"), supply="ON"),
            when("B1", False, "band TRIP",
                 plain("reason.standstill", "the band lost its speed"), band="RUNNING"),
            # A guard that is opened while the band stands must not start it when it is closed again.
            when("B41", False, "job HOLD", _GUARD_OPENED, job=JOB_RUNS),
            when("B42", False, "job HOLD", _COVER_OPENED, job=JOB_RUNS),
            when("B51", False, "job HOLD", _SLACK, job=JOB_RUNS),
            when("B54", False, "job HOLD", _TOO_TIGHT, job=JOB_RUNS),
            when("B41", False, "job STOP", _GUARD_OPENED, job="COMPLETING"),
            when("B42", False, "job STOP", _COVER_OPENED, job="COMPLETING"),
            when("B51", False, "job STOP", _SLACK, job="COMPLETING"),
            when("B54", False, "job STOP", _TOO_TIGHT, job="COMPLETING"),
            when("band", "TRIPPED", "job STOP", means=_WITH_THE_BAND, F1=True, job=JOB_UNDER_WAY),
        ),
    ),
    interlock(
        "I4", "head up before bar comes to the band",
        rule="the shuttle goes forward only with the head up",
        hazard="driving bar into the band",
        permissives=(
            *always_needs("shuttle.forward", needs.HEAD_UP, keeps=True),
            *always_needs(_STARTS, needs.HEAD_UP),
        ),
    ),
    interlock(
        "I5", "one vise holds the bar while it is fed",
        rule="in PRODUCTION exactly one vise holds the bar while it is fed",
        hazard="losing hold of the bar, or dragging it through a closed vise",
        permissives=(
            *job_needs("shuttle.forward", needs.SHUTTLE_CLAMPED, needs.CUTTING_RELEASED, keeps=True),
            *job_needs("shuttle.back", needs.SHUTTLE_RELEASED, needs.CUTTING_CLAMPED, keeps=True),
            *job_needs("shuttle_vise.release", needs.CUTTING_CLAMPED),
            *job_needs("cutting_vise.release", needs.SHUTTLE_CLAMPED),
        ),
    ),
    interlock(
        "I6", "bar clamped and band at speed before the cut",
        rule="in PRODUCTION the head is lowered only on clamped bar, with the band at speed",
        hazard="forcing the band on to loose bar, or on to bar while the band stands",
        permissives=job_needs("head.lower", needs.CUTTING_CLAMPED, needs.AT_SPEED, keeps=True),
    ),
    interlock(
        "I7", "coolant does as it is chosen",
        rule="coolant is off, goes with the band, or is on, as it is chosen",
        hazard="a dry cut, or coolant poured over a stopped band",
        reactions=(
            when("B1", True, "coolant FLOW", coolant_choice="WITH_BAND", supply="ON", means=_COOLANT),
            when("B1", False, "coolant CEASE", coolant_choice="WITH_BAND", means=_COOLANT),
            when("coolant_choice", "WITH_BAND", "coolant FLOW", B1=True, supply="ON", means=_COOLANT),
            when("coolant_choice", "WITH_BAND", "coolant CEASE", B1=False, means=_COOLANT),
            when("coolant_choice", "ON", "coolant FLOW", supply="ON", means=_CHOSEN),
            when("coolant_choice", "OFF", "coolant CEASE", means=_CHOSEN),
        ),
    ),
    interlock(
        "I8", "the deviation stop",
        rule="a band that wanders beyond its range for too long stops the saw",
        hazard="a band that runs off its wheels, and bar cut out of square",
        reactions=(
            when("latch.deviation", True, "band TRIP",
                 plain("reason.deviation", "the band wandered beyond its range for too long")),
        ),
    ),
    interlock(
        "I9", "the band stops with the job",
        rule="the band stops when the job is held, stopped or complete, after its run-on minutes",
        hazard="a band that is left running when nobody needs it, and that a hand takes for stopped",
        reactions=(
            when("job", "HELD", "band STOP",
                 means=plain("reaction.job-held", "the job is held, and the band stops")),
            when("cycle", "PARKED", "band STOP", job="STOPPING", means=_JOB_STOPS),
            when("job", "STOPPING", "band STOP", cycle="PARKED", means=_JOB_STOPS),
            when("cycle", "PARKED", "band STOP", job="COMPLETING", watch__run_on=False, means=_DONE),
            when("job", "COMPLETING", "band STOP", cycle="PARKED", watch__run_on=False, means=_DONE),
            when("watch.run_on", False, "band STOP", job=("COMPLETING", *_RESTS),
                 means=plain("reaction.run-on-over", "the run-on minutes are over, and the band stops")),
        ),
    ),
    interlock(
        "I10", "what stops a cut under way",
        rule="the cut ends and the head is raised when clamping or the band's speed is lost",
        hazard="a cut that goes on through loose bar, or with a band that stalls",
        reactions=(
            when("B33", False, "job STOP",
                 plain("reason.clamping", "the cutting vise lost its clamping in the cut"),
                 head="LOWERING", job=JOB_UNDER_WAY),
            when("B2", False, "job STOP",
                 plain("reason.speed", "the band fell below its speed in the cut"),
                 head="LOWERING", band="RUNNING", job=JOB_UNDER_WAY),
        ),
    ),
    interlock(
        "I11", "what a job needs, and what holds it",
        rule="the job holds when bar, air, oil, coolant or the motor gives out",
        hazard="a job that runs on without bar, air, oil or coolant",
        permissives=(
            *always_needs(_STARTS, needs.AIR, needs.OIL, needs.BAR),
            *always_needs(_STARTS, needs.COOLANT, coolant_choice=_WET),
        ),
        reactions=(
            # Bar and coolant: the step under way is ended. The others: lowering and band at once.
            when("B53", False, "job HOLD", plain("reason.bar", "the end of the bar was reached")),
            when("B63", False, "job HOLD", _COOLANT_LOW, coolant_choice=_WET),
            when("coolant_choice", _WET, "job HOLD", _COOLANT_LOW, B63=False, job=JOB_RUNS),
            when("B61", False, ("head HALT", "band STOP"), _AIR, head="LOWERING", job=JOB_UNDER_WAY),
            when("B62", False, ("head HALT", "band STOP"), _OIL, head="LOWERING", job=JOB_UNDER_WAY),
            # A head that stands for want of air would go up by itself when the air comes back.
            when("B61", False, "head HALT", _AIR, head="RAISING", mode="PRODUCTION"),
            when("B61", False, "job HOLD", _AIR),
            when("B62", False, "job HOLD", _OIL),
            when("B61", False, "job STOP", _AIR, job="COMPLETING"),
            when("B62", False, "job STOP", _OIL, job="COMPLETING"),
            when("band", "TRIPPED", "head HALT", F1=False, head="LOWERING", job=JOB_UNDER_WAY,
                 means=_WITH_THE_BAND),
            when("band", "TRIPPED", "job HOLD", F1=False, means=_WITH_THE_BAND),
            when("band", "TRIPPED", "job STOP", F1=False, job="COMPLETING", means=_WITH_THE_BAND),
        ),
    ),
    interlock(
        "I12", "the head is swung at rest",
        rule="swing for a mitre only with the band stopped and the head up",
        hazard="swinging a running band about with hands at its lever, or the head into the bar",
    ),
    interlock(
        "I13", "the band speed is changed in motion",
        rule="change the band speed only while the band turns",
        hazard="forcing the pulley halves against a belt that does not move",
    ),
    interlock(
        "I14", "no output stays on without power",
        rule="without control power every output is off, and none comes back by itself; pressure stays, and the head may sink",
        hazard="a motion that goes on, or comes back, when the power fails",
        # The reason shown is that of the isolator or the emergency stop (I1).
        reactions=(
            when("supply", ("DEAD", "TRIPPED"),
                 (*(f"{part} POWER_LOST" for part in PARTS), "coolant_choice POWER_LOST"),
                 means=_ALL_OFF),
            when("supply", ("DEAD", "TRIPPED"), "job ABORT", means=_ALL_OFF,
                 job=(*JOB_UNDER_WAY, "HELD", "STOPPING")),
            when("supply", ("DEAD", "TRIPPED"), "job STOP", means=_ALL_OFF,
                 job=("IDLE", "COMPLETE", "RESETTING")),
        ),
    ),
    interlock(
        "I15", "a mode change stops what runs, and starts nothing",
        rule="turning the mode switch stops what runs and starts nothing",
        hazard="a part that is taken over while it moves, or that a switch sets going",
        reactions=(
            when("mode", "NONE", (*_HALTS, "band STOP"), _TURNED),
            when("mode", "NONE", "job STOP", _TURNED, job=JOB_UNDER_WAY),
        ),
    ),
    interlock(
        "I16", "hold to run",
        rule="outside PRODUCTION a part other than the band is driven only while its key is held",
        hazard="a part that goes on moving when the hand has left its key",
        reactions=tuple(
            when(BY_KEY[name].tag, False, f"{part} HALT", NOTHING, means=_LET_GO, mode=_BY_HAND, **{part: state})
            for name, part, state in (
                ("cutting_vise.clamp", "cutting_vise", "CLAMPING"),
                ("cutting_vise.release", "cutting_vise", "RELEASING"),
                ("shuttle_vise.clamp", "shuttle_vise", "CLAMPING"),
                ("shuttle_vise.release", "shuttle_vise", "RELEASING"),
                ("shuttle.back", "shuttle", "GOING_BACK"),
                ("shuttle.forward", "shuttle", "GOING_FORWARD"),
                ("head.raise", "head", "RAISING"),
                ("head.lower", "head", "LOWERING"),
            )
        ),
    ),
    interlock(
        "I17", "guard and cover locked until the band stands",
        rule="a closed guard or cover stays locked while the band moves and while there is no power; only the "
        "standstill relay unlocks it",
        hazard="reaching a band that still coasts",
        metal=True,
    ),
    interlock(
        "I18", "one part at a time, enabled and slow, in MAINTENANCE",
        rule="in MAINTENANCE one part creeps or jogs, and only while the enabling device is held",
        hazard="a part that moves unasked or fast while somebody is at open guards",
        permissives=(
            *always_needs(MOVE, needs.ENABLED, hazard=_UNWILLED, mode="MAINTENANCE"),
            *always_needs("band.run", needs.LOWEST, hazard=_FAST_BAND, mode="MAINTENANCE"),
            *(
                row
                for name in MOVE
                for row in always_needs(
                    name, *_one_axis(BY_NAME[name].machine), hazard=_SECOND_PART, mode="MAINTENANCE"
                )
            ),
            *always_needs(("job.reset", "job.clear"), needs.NOT_MAINTENANCE, hazard=_JOB_READY),
        ),
        reactions=(
            when("S7", False, (*_HALTS, "band STOP"), mode="MAINTENANCE",
                 reason=plain("reason.enabling", "the enabling device was let go or pressed through")),
            when("S10", False, "band STOP", mode="MAINTENANCE", means=_JOGGED),
            when("watch.jog", False, "band STOP", mode="MAINTENANCE", means=_JOGGED),
        ),
    ),
    interlock(
        "I19", "the infeed hood shut over a job",
        rule="on a saw with an infeed hood the job moves shuttle and shuttle vise only while the hood is shut",
        hazard="a hand that the shuttle strikes or its vise closes on",
        permissives=always_needs(_STARTS, needs.HOOD),
        reactions=(
            when("B43", False, ("shuttle HALT", "shuttle_vise HALT"), _HOOD_OPENED, mode="PRODUCTION"),
            # What is halted goes on only by unhold, and that needs it shut: to shut it starts nothing.
            when("B43", False, "job HOLD", _HOOD_OPENED, job=JOB_RUNS),
            when("B43", False, "job STOP", _HOOD_OPENED, job="COMPLETING"),
        ),
    ),
)  # fmt: skip

# The same rows by what is looked up -------------------------------------------------------

BY_NUMBER: Final = {lock.number: lock for lock in INTERLOCKS}
PERMISSIVES: Final = tuple(permissive for lock in INTERLOCKS for permissive in lock.permissives)
REACTIONS: Final = tuple(reaction for lock in INTERLOCKS for reaction in lock.reactions)


class Rows:
    """The rows that a controller walks, by what is looked up: the table's, or a site's own.

    Args:
        permissives: What actions need, in the order in which it is told.
        reactions: What follows by itself; two with the same subject act in this order.
    """

    def __init__(
        self, permissives: tuple[Permissive, ...], reactions: tuple[Reaction, ...]
    ) -> None:
        self.permissives = permissives
        self.reactions = reactions
        self._needs = {
            (action, origin): tuple(
                row
                for row in permissives
                if row.action == action and row.when in (origin, When.ANY)
            )
            for action in BY_NAME
            for origin in (When.KEY, When.JOB)
        }
        self._to = {
            subject: tuple(row for row in reactions if row.subject == subject)
            for subject in dict.fromkeys(row.subject for row in reactions)
        }

    def needs_of(self, action: str, origin: When) -> tuple[Permissive, ...]:
        """Return the permissives that apply to the action when `origin` asks for it."""
        return self._needs[(action, origin)]

    def reactions_to(self, subject: str) -> tuple[Reaction, ...]:
        """Return what follows when the subject changes."""
        return self._to.get(subject, ())

    def changed(self, without: Iterable[InterlockRow], also: Iterable[InterlockRow]) -> "Rows":
        """Return these rows without some and with others, which come last."""
        out, more = set(without), tuple(also)
        return Rows(
            (
                *(row for row in self.permissives if row not in out),
                *(row for row in more if isinstance(row, Permissive)),
            ),
            (
                *(row for row in self.reactions if row not in out),
                *(row for row in more if isinstance(row, Reaction)),
            ),
        )


THE_ROWS: Final = Rows(PERMISSIVES, REACTIONS)
needs_of: Final = THE_ROWS.needs_of
REACTIONS_TO: Final[dict[str, tuple[Reaction, ...]]] = {
    subject: THE_ROWS.reactions_to(subject)
    for subject in dict.fromkeys(reaction.subject for reaction in REACTIONS)
}
