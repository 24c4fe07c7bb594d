"""What an interlock row says: the words of its need, its hazard, its reason, and what a coach tells of it.

A row is data and has no words of its own but those that a site gives it. It finds them here by what it is
about: a need by its subject and values, a hazard by its interlock and need, a reason by interlock and change.

Never here: which rows there are (see `interlocks`).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from sim.bugs import TableError
from sim.control import needs
from sim.control.cycle import MOVING
from sim.control.interlock import InterlockRow, Permissive, Reaction, When
from sim.control.needs import Need
from sim.control.table import TABLES
from sim.signals import BY_KEY
from sim.wiring.site_rows import Facts, Told, ToldRow
from sim.words.message import NOTHING, Message, plain, quoted

# Needs -----------------------------------------------------------------------------------

_TURNS: Final = ("STARTING", "RUNNING", "COASTING")  # states of the band
_MOVING: Final = {**MOVING, "band": _TURNS}
_AT_REST: Final = tuple(
    needs.at_rest(table.name, _MOVING[table.name], table.states)
    for table in TABLES
    if table.name in _MOVING
)
_NEEDS: Final = {
    (need.subject, frozenset(need.values)): need
    for need in (*(each for each in vars(needs).values() if isinstance(each, Need)), *_AT_REST)
}


def need_of(subject: str, values: Iterable[Told]) -> Need | None:
    """Return the need for a subject to have one of some values; None where nothing says it."""
    return _NEEDS.get((subject, frozenset(values)))


# Hazards of needs, where they are others than those of their interlocks ----------------------

_STOPPED: Final = plain("hazard.stopped", "a machine that starts while somebody has stopped it")
_HANDS: Final = plain("hazard.hands", "touching a moving band")
_CAUSE: Final = plain("hazard.cause", "a fault that is cleared while its cause is still there")
_SECOND_PART: Final = plain(
    "hazard.second-part", "a second part that moves while you watch the first"
)

_HAZARDS: Final[dict[str, dict[Need, Message]]] = {
    "I1": dict.fromkeys((needs.RESET_DONE, needs.RELAY_IN, needs.TRIP_LINE_RESET), _STOPPED),
    "I2": {
        needs.ISOLATOR: plain(
            "hazard.safety-circuit", "a safety circuit that closes by itself when the power comes on"
        ),
        **dict.fromkeys((needs.STOP_OUT, needs.INFEED_STOP_OUT, needs.TRIP_LINE_HOME), _STOPPED),
        needs.STILL: plain("hazard.turning", "a band that is cleared to start while it still turns"),
        needs.OVERLOAD: _CAUSE,
        needs.TRIP_LINE_RESET: _CAUSE,
    },
    "I3": {
        needs.GUARD: _HANDS,
        needs.COVER: _HANDS,
        needs.TIGHT: plain("hazard.slack", "a slack band thrown off its wheels"),
        needs.NOT_TOO_TIGHT: plain(
            "hazard.over-tension", "a band drawn until its weld parts"
        ),
        needs.OVERLOAD: plain("hazard.overload", "a motor that is driven until it burns"),
        needs.BAND_FAULT: plain(
            "hazard.band-fault", "a band that runs again before anybody knows why it stopped"
        ),
        needs.DEVIATION: plain(
            "hazard.deviation", "a band that goes on wandering, off its wheels or out of square"
        ),
        needs.TRIP_LINE_RESET: _STOPPED,
    },
    "I18": {
        needs.ENABLED: plain(
            "hazard.unwilled", "a part that moves against your will at open guards"
        ),
        needs.LOWEST: plain("hazard.fast-band", "a band that runs fast at open guards"),
        needs.NOT_MAINTENANCE: plain(
            "hazard.job-ready", "a job that is made ready while somebody is at open guards"
        ),
        **dict.fromkeys(_AT_REST, _SECOND_PART),
    },
}  # fmt: skip

# What reactions say ------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Said:
    """Words of the rows of an interlock that follow one change."""

    number: str
    subject: str
    values: frozenset[Told]
    words: Message
    given: Facts = ()  # only where a row has all of it


def _said(
    number: str, subject: str, becomes: Told | tuple[Told, ...], words: Message, **given: Told
) -> _Said:
    values = becomes if isinstance(becomes, tuple) else (becomes,)
    held = tuple((of, (value,)) for of, value in given.items())
    return _Said(number, subject, frozenset(values), words, held)


_WITH_THE_BAND: Final = plain(
    "reaction.job-with-band", "the job stopped with the band; find the cause, then press reset"
)
_COOLANT_LOW: Final = plain("reason.coolant", "the coolant is low")
_COOLANT: Final = plain("reaction.coolant-with-band", "the coolant goes with the band")
_CHOSEN: Final = plain("reaction.coolant-chosen", "the coolant does as it is chosen")
_JOB_STOPS: Final = plain("reaction.job-stops", "the job stops, and the band with it")
_DONE: Final = plain("reaction.job-done", "the job is done, and the band stops")
_LET_GO: Final = plain("reaction.let-go", "the part stops where it is, because its key was let go")
_JOGGED: Final = plain("reaction.jogged", "the jog is over, and the band stops")

# fmt: off
_REASONS: Final = (
    _said("I1", "Q0", False, plain("reason.isolator", "the voltage from the isolator went")),
    _said("I1", "S1", False, plain("reason.emergency-stop", "the emergency stop at the console was pressed")),
    _said("I1", "S9", False, plain("reason.infeed-stop", "the emergency stop at the infeed was pressed")),
    _said("I1", "K0", False, plain("reason.safety-relay", "the safety relay dropped out")),
    _said("I3", "S2", False, plain("reason.trip-line", "the trip line was pulled")),
    _said("I3", "B41", False, plain("reason.band-guard", "the band guard was opened")),
    _said("I3", "B42", False, plain("reason.wheel-cover", "the wheel cover was opened")),
    _said("I3", "B51", False, plain("reason.tension", "the band lost its tension")),
    _said("I3", "B54", False, plain("reason.over-tension", "the band was tensioned too far")),
    _said("I3", "F1", False, plain("reason.overload", "the overload relay tripped")),
    _said("I3", "B1", False, plain("reason.standstill", "the band lost its speed")),
    _said("I8", "latch.deviation", True,
          plain("reason.deviation", "the band wandered beyond its range for too long")),
    _said("I10", "B33", False, plain("reason.clamping", "the cutting vise lost its clamping in the cut")),
    _said("I10", "B2", False, plain("reason.speed", "the band fell below its speed in the cut")),
    _said("I11", "B53", False, plain("reason.bar", "the end of the bar was reached")),
    _said("I11", "B63", False, _COOLANT_LOW),
    _said("I11", "coolant_choice", ("WITH_BAND", "ON"), _COOLANT_LOW, B63=False),
    _said("I11", "B61", False, plain("reason.air", "the air pressure is low")),
    _said("I11", "B62", False, plain("reason.oil", "the oil level is low")),
    _said("I15", "mode", "NONE", plain("reason.mode", "the mode switch was turned")),
    _said("I18", "S7", False, plain("reason.enabling", "the enabling device was let go or pressed through")),
    _said("I19", "B43", False, plain("reason.infeed-hood", "the infeed hood was opened")),
)
"""Kept and shown as the reason for a hold or a stop."""

_MEANS: Final = (
    _said("I1", "Q0", True,
          plain("reaction.isolator-on",
                "the isolator feeds the cabinet, whose line side is live with it off, too; then come reset and control on")),
    _said("I3", "band", "TRIPPED", _WITH_THE_BAND),
    _said("I7", "B1", True, _COOLANT),
    _said("I7", "B1", False, _COOLANT),
    _said("I7", "coolant_choice", "WITH_BAND", _COOLANT),
    _said("I7", "coolant_choice", "ON", _CHOSEN),
    _said("I7", "coolant_choice", "OFF", _CHOSEN),
    _said("I9", "job", "HELD", plain("reaction.job-held", "the job is held, and the band stops")),
    _said("I9", "cycle", "PARKED", _JOB_STOPS, job="STOPPING"),
    _said("I9", "job", "STOPPING", _JOB_STOPS),
    _said("I9", "cycle", "PARKED", _DONE, job="COMPLETING"),
    _said("I9", "job", "COMPLETING", _DONE),
    _said("I9", "watch.run_on", False,
          plain("reaction.run-on-over", "the run-on minutes are over, and the band stops")),
    _said("I11", "band", "TRIPPED", _WITH_THE_BAND),
    _said("I14", "supply", ("DEAD", "TRIPPED"),
          plain("reaction.all-off",
                "all outputs are off; a band that ran coasts, the vises stay clamped, and the head may sink")),
    *(_said("I16", BY_KEY[f"{part}.{verb}"].tag, False, _LET_GO)
      for part, verb in (
          ("cutting_vise", "clamp"), ("cutting_vise", "release"), ("shuttle_vise", "clamp"),
          ("shuttle_vise", "release"), ("shuttle", "back"), ("shuttle", "forward"),
          ("head", "raise"), ("head", "lower"),
      )),
    _said("I18", "S10", False, _JOGGED),
    _said("I18", "watch.jog", False, _JOGGED),
)
"""What a coach tells of a row that ships where there is no reason: it speaks of what the row does."""
# fmt: on


def _words(among: tuple[_Said, ...], told: ToldRow) -> Message:
    about = (told.interlock, told.subject, frozenset(told.values))
    for each in among:
        if (each.number, each.subject, each.values) == about and set(each.given) <= set(told.given):
            return each.words
    return NOTHING


# Rows from what is told --------------------------------------------------------------------


def row_of(told: ToldRow, against: Message, *, ships: bool = False) -> InterlockRow:
    """Return the row that a file tells.

    Args:
        told: What the file says of it.
        against: The hazard of its interlock, unless it or its need has another.
        ships: Whether it is one of the table, of whose effect a coach has something to tell.

    Raises:
        TableError: Nothing says what is told where its need does not hold, or what a coach tells of it.
    """
    if told.action:
        need = need_of(told.subject, told.values)
        hazard = _HAZARDS.get(told.interlock, {}).get(need, against) if need else against
        if need is None and not (told.said and told.to_do):
            raise TableError(f"nothing is said of {told.subject}", told.interlock)
        if need is None or told.said:
            need = Need(told.subject, told.values, quoted(told.said), quoted(told.to_do))
        return Permissive(
            told.action, When(told.asked_by), need, told.keeps, told.given,
            quoted(told.hazard) if told.hazard else hazard, told.interlock,
        )  # fmt: skip
    reason = quoted(told.said) if told.said else _words(_REASONS, told)
    means = _words(_MEANS, told) if ships and not reason else NOTHING
    if ships and not (reason or means):
        raise TableError(f"nothing is said of what follows {told.subject}", told.interlock)
    return Reaction(
        told.subject, told.values, told.given, told.fires, reason,
        (means,) * len(told.values) if means else (), told.interlock,
    )  # fmt: skip
