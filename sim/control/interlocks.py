"""The interlock table: what the controller refuses, and what it does by itself.

Rule 1: whatever the controller refuses or does by itself so that nobody and nothing comes to harm is
a row of `interlocks.yaml` in the folder of the saw that ships first; this file loads it. What an interlock
is, its title, rule and hazard, stands here, and what its rows say in `row_words`. Rule 2: no row knows who
reads it. The controller, the coach, why-not, the handbook, the rungs and the proofs all read these rows;
there is no second copy of a number, a rule or a hazard.

Theory. The controller keeps an image, one flat mapping: every signal by its tag, every machine's
state by its name, the latches (`latch.deviation`), and what the controller and the job remember
besides. All rows are look-ups in it. They work in two ways.

a) A permissive refuses. It says what an action needs when a key asks for it, when the job does, or
   in any case, and it may apply only where something else is `given`. All of an action's
   permissives must hold; each that does not is one refusal, told in the order of the file. With
   `keeps`, the need must go on holding while a motion lasts, or the motion is halted.
b) A reaction acts. When its subject becomes one of some values while everything `given` holds, it
   fires events at machines, which take them or not by the tables of `table`. What a machine has
   become may set off the next reaction. Two rows with the same subject act in the order of the
   file.

Neither energises anything: what a state drives is in `outputs`. An interlock without either is not
wired: it is a rule of work that is practised and checked (I12, I13), or metal carries it out (I17).

Not here: rules of use. A movement key in PRODUCTION, a missing hand and a machine that cannot take a
command now are in `rules_of_use`, a key that does not fit the job's own state in `job`. The prints
do not show those; the proofs run the code that asks them.
"""

from dataclasses import replace
from typing import Final

from sim.control.actions import BY_NAME
from sim.control.interlock import (
    Interlock,
    InterlockRow,
    Permissive,
    Reaction,
    When,
    interlock,
)
from sim.control.needs import Image, Need
from sim.control.row_file import FIRST_ROWS, TEXT, read_rows
from sim.control.row_words import row_of
from sim.control.table import MODE

__all__ = [
    "BY_NUMBER", "INTERLOCKS", "PERMISSIVES", "REACTIONS", "REACTIONS_TO", "ROWS",
    "THE_ROWS", "TOLD", "Image", "Interlock", "InterlockRow", "Need", "Permissive", "Reaction",
    "Rows", "When", "needs_of",
]  # fmt: skip

_LOCKS: Final[tuple[Interlock, ...]] = (
    interlock(
        "I1", "control power, isolator and stops",
        rule="nothing is driven without control power, which emergency stops take away and the trip line leaves on; the head may sink, so keep clear",
        hazard="a part that sets off by itself when the power comes on",
    ),
    interlock(
        "I2", "reset, and nothing restarts by itself",
        rule="neither a reset nor a release ever starts anything",
        hazard="a machine that starts by itself after a reset or a release",
    ),
    interlock(
        "I3", "what the band needs to run",
        rule="outside MAINTENANCE the band runs only guarded, and everywhere only tensioned and without a "
        "latched fault",
        hazard="touching a moving band, a band thrown off or broken, or a motor that burns",
    ),
    interlock(
        "I4", "head up before bar comes to the band",
        rule="the shuttle goes forward only with the head up",
        hazard="driving bar into the band",
    ),
    interlock(
        "I5", "one vise holds the bar while it is fed",
        rule="in PRODUCTION exactly one vise holds the bar while it is fed",
        hazard="losing hold of the bar, or dragging it through a closed vise",
    ),
    interlock(
        "I6", "bar clamped and band at speed before the cut",
        rule="in PRODUCTION the head is lowered only on clamped bar, with the band at speed",
        hazard="forcing the band on to loose bar, or on to bar while the band stands",
    ),
    interlock(
        "I7", "coolant does as it is chosen",
        rule="coolant is off, goes with the band, or is on, as it is chosen",
        hazard="a dry cut, or coolant poured over a stopped band",
    ),
    interlock(
        "I8", "the deviation stop",
        rule="a band that wanders beyond its range for too long stops the saw",
        hazard="a band that runs off its wheels, and bar cut out of square",
    ),
    interlock(
        "I9", "the band stops with the job",
        rule="the band stops when the job is held, stopped or complete, after its run-on minutes",
        hazard="a band that is left running when nobody needs it, and that a hand takes for stopped",
    ),
    interlock(
        "I10", "what stops a cut under way",
        rule="the cut ends and the head is raised when clamping or the band's speed is lost",
        hazard="a cut that goes on through loose bar, or with a band that stalls",
    ),
    interlock(
        "I11", "what a job needs, and what holds it",
        rule="the job holds when bar, air, oil, coolant or the motor gives out",
        hazard="a job that runs on without bar, air, oil or coolant",
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
    ),
    interlock(
        "I15", "a mode change stops what runs, and starts nothing",
        rule="turning the mode switch stops what runs and starts nothing",
        hazard="a part that is taken over while it moves, or that a switch sets going",
    ),
    interlock(
        "I16", "hold to run",
        rule="outside PRODUCTION a part other than the band is driven only while its key is held",
        hazard="a part that goes on moving when the hand has left its key",
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
    ),
    interlock(
        "I19", "the infeed hood shut over a job",
        rule="on a saw with an infeed hood the job moves shuttle and shuttle vise only while the hood is shut",
        hazard="a hand that the shuttle strikes or its vise closes on",
    ),
)  # fmt: skip

# Their rows -------------------------------------------------------------------------------

TOLD: Final = read_rows(TEXT, FIRST_ROWS, [lock.number for lock in _LOCKS])
"""The rows that ship as the file tells them, in its order."""
_AGAINST: Final = {lock.number: lock.hazard for lock in _LOCKS}
ROWS: Final = tuple(row_of(told, _AGAINST[told.interlock], ships=True) for told in TOLD)
"""The same as rows."""
PERMISSIVES: Final = tuple(row for row in ROWS if isinstance(row, Permissive))
REACTIONS: Final = tuple(row for row in ROWS if isinstance(row, Reaction))
INTERLOCKS: Final = tuple(
    replace(
        lock,
        permissives=tuple(row for row in PERMISSIVES if row.number == lock.number),
        reactions=tuple(row for row in REACTIONS if row.number == lock.number),
    )
    for lock in _LOCKS
)
BY_NUMBER: Final = {lock.number: lock for lock in INTERLOCKS}


def _not_ruled_out(needs: tuple[Permissive, ...], mode: str) -> tuple[Permissive, ...]:
    """Return the rows that may apply in a mode, by what they are given of it."""
    return tuple(
        row for row in needs
        if all(mode in values for subject, values in row.given if subject == "mode")
    )  # fmt: skip


class Rows:
    """The rows that a controller walks, by what is looked up: the table's, or a site's own.

    Args:
        permissives: What actions need, in the order in which it is told.
        reactions: What follows by itself; two with the same subject act in this order.

    Attributes:
        follows: What follows when a subject changes, by the subject; without those that nothing follows.
        following: The same by the subject and what it becomes.
        kept: Those of `needs_of` that must go on holding while an action lasts, by action and who asked.
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
        self._in_mode: dict[tuple[str, When], dict[object, tuple[Permissive, ...]]] = {
            asked: {mode: _not_ruled_out(needs, mode) for mode in MODE.states}
            for asked, needs in self._needs.items()
            if any(subject == "mode" for row in needs for subject, _ in row.given)
        }
        self.kept: Final = {
            asked: tuple(row for row in needs if row.keeps) for asked, needs in self._needs.items()
        }
        self.follows: Final = {
            subject: tuple(row for row in reactions if row.subject == subject)
            for subject in dict.fromkeys(row.subject for row in reactions)
        }
        self.following: Final = {
            (subject, value): tuple(row for row in rows if value in row.becomes)
            for subject, rows in self.follows.items()
            for value in dict.fromkeys(value for row in rows for value in row.becomes)
        }

    def needs_of(self, action: str, origin: When) -> tuple[Permissive, ...]:
        """Return the permissives that apply to the action when `origin` asks for it."""
        return self._needs[(action, origin)]

    def judging(self, action: str, origin: When, image: Image) -> tuple[Permissive, ...]:
        """Return those of `needs_of` that the mode does not rule out by itself."""
        asked = action, origin
        if asked in self._in_mode:
            return self._in_mode[asked][image["mode"]]
        return self._needs[asked]

    def reactions_to(self, subject: str) -> tuple[Reaction, ...]:
        """Return what follows when the subject changes."""
        return self.follows.get(subject, ())


THE_ROWS: Final = Rows(PERMISSIVES, REACTIONS)
needs_of: Final = THE_ROWS.needs_of
REACTIONS_TO: Final[dict[str, tuple[Reaction, ...]]] = {
    subject: THE_ROWS.reactions_to(subject)
    for subject in dict.fromkeys(reaction.subject for reaction in REACTIONS)
}
