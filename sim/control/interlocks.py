"""The interlock table: what the controller refuses, and what it does by itself.

Rule 1: whatever the controller refuses or does by itself so that nobody and nothing comes to harm is
a row of this file, whole: number, title, rule, hazard, and how it is wired. Rule 2: this file does
not know who reads it. The controller, the coach, why-not, the handbook, the rungs and the proofs all
read these rows; there is no second copy of a number, a rule or a hazard.

Theory. The controller keeps an image, one flat mapping: every signal by its tag, every machine's
state by its name, every station's selector (`mode.band`), the latch (`latch.deviation`), and what
the controller and the job remember besides. All rows are look-ups in it. They work in two ways.

a) A permissive refuses. It says what an action needs when a key asks for it (HAND), when the job
   does (AUTO), or in any case. All of an action's permissives must hold; each that does not is
   one refusal, told in the order of this table. With `keeps`, the need must go on holding while a
   motion of the job lasts, or the motion is halted.
b) A reaction acts. When its subject becomes one of some values while everything `given` holds, it
   fires events at machines, which take them or not by the tables of `table`. What a machine has
   become may set off the next reaction. Two rows with the same subject act in the order of this
   table.

Neither energises anything: what a state drives is in `outputs`. An interlock without either is not
wired: it is a rule of work that is practised and checked (I12, I13).

Not here: rules of use. A selector in the wrong position, a missing hand and a machine that cannot
take a command now are in `rules_of_use`, a key that does not fit the job's own state in `job`. The
prints do not show those; the proofs run the code that asks them.
"""

from typing import Final

from sim.control import needs
from sim.control.actions import BY_NAME, STATIONS
from sim.control.interlock import (
    Interlock,
    InterlockRow,
    Permissive,
    Reaction,
    When,
    always_needs,
    interlock,
    needs_in_auto,
    when,
)
from sim.control.needs import Image, Need
from sim.control.nouns import THE
from sim.words.fields import part
from sim.words.message import plain, row

__all__ = [
    "BY_NUMBER", "INTERLOCKS", "PERMISSIVES", "REACTIONS", "REACTIONS_TO",
    "Image", "Interlock", "InterlockRow", "Need", "Permissive", "Reaction", "When", "needs_of",
]  # fmt: skip

# The parts that rows share ----------------------------------------------------------------

_BEGINS: Final = ("job.begin_on_trim", "job.begin_on_piece")
_NEED_POWER: Final = (
    "band.start", "cutting_vise.grip", "cutting_vise.free", "shuttle_vise.grip",
    "shuttle_vise.free", "shuttle.to_stop", "shuttle.to_blade", "head.lift", "head.lower",
    "coolant.flow", "supply.reset", "job.arm", *_BEGINS,
)  # fmt: skip
_BAND_NEEDS: Final = (
    needs.GUARD, needs.COVER, needs.TENSION, needs.OVERLOAD, needs.BAND_FAULT, needs.DEVIATION,
    needs.DRIVE_STOP_RELEASED,
)  # fmt: skip

# The stations that a running job must have to itself; band and coolant may stay in HAND (I9, I7).
_OF_THE_JOB: Final = ("cutting_vise", "shuttle_vise", "shuttle", "head")
_TO_ITSELF: Final = tuple(needs.in_auto(station) for station in _OF_THE_JOB)

_MOVES: Final = ("STARTING", "RUNNING", "COASTING")  # states of the band
_RUNS: Final = ("STARTING", "EXECUTE", "UNHOLDING")  # states of the job
_UNDER_WAY: Final = (*_RUNS, "HOLDING", "HELD", "COMPLETING")
_ENDS: Final = ("COMPLETING", "HELD", "STOPPING")

_STOPPED: Final = plain("hazard.stopped", "a machine that starts while somebody has stopped it")
_CAUSE: Final = plain("hazard.cause", "a fault that is cleared while its cause is still there")
_TWO_MASTERS: Final = plain(
    "hazard.two-masters",
    "a station that the job and a hand move in turn, or that a selector starts",
)
_GUARD_OPENED: Final = plain("reason.band-guard", "the band guard was opened")
_COVER_OPENED: Final = plain("reason.wheel-cover", "the wheel cover was opened")
_SLACK: Final = plain("reason.tension", "the band lost its tension")
_WITH_THE_BAND: Final = plain(
    "reaction.job-with-band", "the job stopped with the band; find the cause, then press reset"
)
_COOLANT: Final = plain("reaction.coolant-with-band", "in AUTO the coolant goes with the band")
_TO_HAND: Final = row("reason.to-hand", "{station} was turned to HAND", station=part())

# The table --------------------------------------------------------------------------------

INTERLOCKS: Final[tuple[Interlock, ...]] = (
    interlock(
        "I1", "control power, isolator and stops",
        rule="nothing is driven without control power; the head may sink, so keep clear",
        hazard="movement without control power",
        permissives=(
            *always_needs("supply.control_on", needs.ISOLATOR),
            *always_needs("supply.control_on", needs.STOP_RELEASED, hazard=_STOPPED),
            *always_needs(_NEED_POWER, needs.POWER),
        ),
        reactions=(
            when("Q0", True, "supply ISOLATOR_ON",
                 means=plain("reaction.isolator-on",
                             "the isolator feeds the cabinet; control power is a second act, "
                             "with both hands")),
            when("Q0", False, "supply ISOLATOR_OFF",
                 plain("reason.isolator", "the isolator was switched off")),
            when("S1", False, "supply EMERGENCY_PRESSED",
                 plain("reason.emergency-stop", "the emergency stop was pressed")),
        ),
    ),
    interlock(
        "I2", "reset, and nothing restarts by itself",
        rule="neither a reset nor a release ever starts anything",
        hazard="a band that is cleared to start while it still turns",
        permissives=(
            *always_needs("supply.reset", needs.STILL),
            *always_needs("supply.reset", needs.OVERLOAD, hazard=_CAUSE),
        ),
        reactions=(
            when("S1", True, "supply EMERGENCY_RELEASED",
                 means=plain("reaction.released",
                             "the emergency stop is released, and control power stays off until "
                             "it is asked for")),
            when("supply", "ON", "job CLEAR",
                 means=plain("reaction.power-back",
                             "control power is back and the job that was broken off is cleared; "
                             "nothing goes on by itself")),
        ),
    ),
    interlock(
        "I3", "what the band needs to run",
        rule="the band runs only closed in, tensioned and without a latched fault",
        hazard="hands at a moving band, or a slack band thrown off its wheels",
        permissives=always_needs(("band.start", *_BEGINS), *_BAND_NEEDS),
        reactions=(
            # What stops the band, besides its own stop key.
            when("S2", False, "band TRIP",
                 plain("reason.drive-stop", "the drive stop was pressed"), supply="ON"),
            when("B41", False, "band TRIP", _GUARD_OPENED, band=_MOVES),
            when("B42", False, "band TRIP", _COVER_OPENED, band=_MOVES),
            when("B51", False, "band TRIP", _SLACK, band=_MOVES),
            when("F1", False, "band TRIP",
                 plain("reason.overload", "the overload relay tripped"), supply="ON"),
            when("B1", False, "band TRIP",
                 plain("reason.standstill", "the band lost its speed"), band="RUNNING"),
            # A guard that is opened while the band stands must not start it when it is closed again.
            when("B41", False, "job HOLD", _GUARD_OPENED, job=_RUNS),
            when("B42", False, "job HOLD", _COVER_OPENED, job=_RUNS),
            when("B51", False, "job HOLD", _SLACK, job=_RUNS),
            when("band", "TRIPPED", "job STOP", means=_WITH_THE_BAND, F1=True),
        ),
    ),
    interlock(
        "I4", "head up before bar comes to the blade",
        rule="in AUTO the shuttle moves the bar only with the head up",
        hazard="bar driven into the band",
        permissives=(
            *needs_in_auto("shuttle.to_blade", needs.HEAD_UP, keeps=True),
            *always_needs(_BEGINS, needs.HEAD_UP),
        ),
    ),
    interlock(
        "I5", "one vise always holds the bar",
        rule="while the bar is carried exactly one vise holds it",
        hazard="bar held by no vise, or dragged through a closed one",
        permissives=(
            *needs_in_auto("shuttle.to_blade", needs.SHUTTLE_GRIPPED, needs.CUTTING_NOT_GRIPPED, keeps=True),
            *needs_in_auto("shuttle.to_stop", needs.SHUTTLE_NOT_GRIPPED, needs.CUTTING_GRIPPED, keeps=True),
            *needs_in_auto("shuttle_vise.free", needs.CUTTING_GRIPPED),
            *needs_in_auto("cutting_vise.free", needs.SHUTTLE_GRIPPED),
        ),
    ),
    interlock(
        "I6", "bar gripped and band at speed before the cut",
        rule="in AUTO the head comes down only on gripped bar, with the band at speed",
        hazard="a band forced on to loose bar, or on to bar with the band stopped",
        permissives=needs_in_auto("head.lower", needs.CUTTING_GRIPPED, needs.AT_SPEED, keeps=True),
    ),
    interlock(
        "I7", "coolant goes with the band",
        rule="in AUTO the coolant goes with the band",
        hazard="a dry cut, or coolant poured over a band that stands",
        reactions=(
            when("B1", True, "coolant FLOW", mode__coolant="AUTO", supply="ON",
                 means=plain("reaction.coolant-came",
                             "the coolant came with the band, because it is in AUTO")),
            when("B1", False, "coolant DRY", mode__coolant="AUTO",
                 means=plain("reaction.coolant-stopped",
                             "the coolant stopped with the band, because it is in AUTO")),
            when("mode.coolant", "AUTO", "coolant FLOW", B1=True, supply="ON", means=_COOLANT),
            when("mode.coolant", "AUTO", "coolant DRY", B1=False, means=_COOLANT),
        ),
    ),
    interlock(
        "I8", "the deviation stop",
        rule="a band that wanders for more than 20 s stops the saw",
        hazard="a band that runs off its wheels",
        reactions=(
            when("latch.deviation", True, "band TRIP",
                 plain("reason.deviation",
                       "the band wandered beyond its range for more than 20 s")),
        ),
    ),
    interlock(
        "I9", "the band stops with the job",
        rule="in AUTO the band stops with the job, in HAND it runs on",
        hazard="a band that is left running when nobody needs it",
        reactions=(
            when("job", _ENDS, "band STOP", mode__band="AUTO", means=(
                plain("reaction.job-done",
                      "the job is done, and the band stops by itself because it is in AUTO"),
                plain("reaction.job-held",
                      "the job is held, and the band stops by itself because it is in AUTO"),
                plain("reaction.job-stops",
                      "the job stops, and the band with it because it is in AUTO"),
            )),
            when("mode.band", "AUTO", "band STOP", job=_ENDS,
                 means=plain("reaction.band-with-job",
                             "in AUTO the band stops with the job")),
            when("mode.band", "AUTO", "job HOLD",
                 plain("reason.band-to-auto", "the band was turned to AUTO"), job=_RUNS),
        ),
    ),
    interlock(
        "I10", "what stops a cut under way",
        rule="a cut is left at once when the grip or the band's speed is lost",
        hazard="a cut that goes on through loose bar, or with a band that stalls",
        reactions=(
            when("B33", False, "job STOP",
                 plain("reason.grip", "the cutting vise lost its grip in the cut"),
                 head="LOWERING", job=_UNDER_WAY),
            when("B2", False, "job STOP",
                 plain("reason.speed", "the band fell below its speed in the cut"),
                 head="LOWERING", band="RUNNING", job=_UNDER_WAY),
        ),
    ),
    interlock(
        "I11", "what a job needs, and what holds it",
        rule="the job holds when bar, air or oil runs out, or a station is taken out of AUTO",
        hazard="a job that runs on without bar, air or oil",
        permissives=(
            *always_needs(_BEGINS, needs.AIR, needs.OIL, needs.BAR),
            *always_needs(_BEGINS, *_TO_ITSELF, hazard=_TWO_MASTERS),
        ),
        reactions=(
            when("band", "TRIPPED", "job HOLD", means=_WITH_THE_BAND, F1=False),
            when("B61", False, "job HOLD", plain("reason.air", "the air pressure is low")),
            when("B62", False, "job HOLD", plain("reason.oil", "the oil level is low")),
            when("B53", False, "job HOLD", plain("reason.bar", "the end of the bar was reached")),
            *(when(f"mode.{station}", "HAND", "job HOLD", _TO_HAND(station=THE[station]))
              for station in _OF_THE_JOB),
        ),
    ),
    interlock(
        "I12", "the head is swung at rest",
        rule="swing for a mitre only with the band stopped and the head up",
        hazard="a running band swung about, or the head swung into the bar",
    ),
    interlock(
        "I13", "the band speed is changed in motion",
        rule="change the band speed only while the band turns",
        hazard="pulley halves forced against a belt that does not move",
    ),
    interlock(
        "I14", "nothing stays on without power",
        rule="without control power every output is off, and none comes back by itself",
        hazard="a motion that goes on, or comes back, when the power fails",
        # The reason shown is that of the isolator or the emergency stop (I1).
        reactions=(
            when("supply", ("DEAD", "EMERGENCY"),
                 (*(f"{machine} POWER_LOST" for machine in STATIONS), "job ABORT"),
                 means=plain("reaction.all-off",
                             "all outputs are off; the vises keep their grip, and the head sinks "
                             "if its valve is open")),
        ),
    ),
)  # fmt: skip

# The same rows by what is looked up -------------------------------------------------------

BY_NUMBER: Final = {lock.number: lock for lock in INTERLOCKS}
PERMISSIVES: Final = tuple(permissive for lock in INTERLOCKS for permissive in lock.permissives)
REACTIONS: Final = tuple(reaction for lock in INTERLOCKS for reaction in lock.reactions)


def needs_of(action: str, origin: When) -> tuple[Permissive, ...]:
    """Return the permissives that apply to the action when `origin` asks for it."""
    return _NEEDS[(action, origin)]


_NEEDS: Final = {
    (action, origin): tuple(
        permissive
        for permissive in PERMISSIVES
        if permissive.action == action and permissive.when in (origin, When.ANY)
    )
    for action in BY_NAME
    for origin in (When.HAND, When.AUTO)
}

REACTIONS_TO: Final[dict[str, tuple[Reaction, ...]]] = {
    subject: tuple(reaction for reaction in REACTIONS if reaction.subject == subject)
    for subject in dict.fromkeys(reaction.subject for reaction in REACTIONS)
}
