"""The session language: one line, one act. The table of words is the whole of it.

`parse` turns a line into an `Act`; nothing is done yet. Names may be shortened as `names` says.

Never here: what an act does to the machine (see `acts`).
"""

import contextlib
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from sim.control import dials
from sim.control.actions import BY_NAME as ACTIONS
from sim.control.interlocks import PERMISSIVES
from sim.control.table import TABLES
from sim.debrief.evidence import EXPECTS
from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.logic.bench.force import BY_NAME as BY_ROW
from sim.logic.bench.force import NUMBERS
from sim.plant import set_points
from sim.plant.set_points import Setting
from sim.session import inspections, lockout
from sim.signals import BY_KEY, BY_TAG
from sim.text.names import pick

LONGEST_LINE: Final = 500  # characters
LONGEST_WAIT_S: Final = 86_400.0
PHASES: Final = ("power", "ready", "setup", "begin", "run")
STATES: Final = {f"{t.name}.{state.lower()}": (t.name, state) for t in TABLES for state in t.states}
POINTS: Final = (*set_points.BY_NAME, *dials.BY_NAME)

# What looks like a set point but is set in another way.
_SET_OTHERWISE: Final = {
    "band.speed_m_min": "start the band, then hold band.faster or band.slower; see the dial in look"
}
_SECONDS_IN: Final = {"": 1.0, "s": 1.0, "m": 60.0, "min": 60.0, "h": 3600.0}
_TIME: Final = re.compile(r"([0-9]+(?:\.[0-9]+)?)\s*([a-z]*)")
_MEASURE: Final = re.compile(r"([-+]?[0-9]+(?:\.[0-9]+)?)\s*(\S*)")


@dataclass(frozen=True, slots=True)
class Act:
    """One line, understood."""

    word: str
    names: tuple[str, ...] = ()
    seconds: float = 0.0
    setting: Setting = ""
    text: str = ""


@dataclass(frozen=True, slots=True)
class Word:
    """One word of the language."""

    name: str
    usage: str
    does: str
    read: Callable[[str, Sequence[str]], Act]


# How what follows a word is read ----------------------------------------------------------


def _nothing(word: str, rest: Sequence[str]) -> Act:
    if rest:
        raise CommandError(f"nothing can follow {word}", what_to_do=f"write {word} alone")
    return Act(word)


def _keys(word: str, rest: Sequence[str]) -> Act:
    _need(word, rest)
    return Act(word, tuple(pick(each, BY_KEY, "key", word) for each in rest))


def _keys_and_time(word: str, rest: Sequence[str]) -> Act:
    _need(word, rest, 2)
    return Act(word, _keys(word, rest[:-1]).names, seconds=_seconds(word, rest[-1:]))


def _one_of(names: Sequence[str], kind: str) -> Callable[[str, Sequence[str]], Act]:
    def read(word: str, rest: Sequence[str]) -> Act:
        _need(word, rest)
        return Act(word, (pick(" ".join(rest), names, kind, word),))

    return read


def _maybe(read: Callable[[str, Sequence[str]], Act]) -> Callable[[str, Sequence[str]], Act]:
    return lambda word, rest: read(word, rest) if rest else Act(word)


def _text(word: str, rest: Sequence[str]) -> Act:
    _need(word, rest)
    return Act(word, text=" ".join(rest))


def _setting(word: str, rest: Sequence[str]) -> Act:
    _need(word, rest, 2)
    if rest[0].lower() in _SET_OTHERWISE:
        how = _SET_OTHERWISE[rest[0].lower()]
        raise CommandError(f"{rest[0].lower()} is not set by hand", word, how)
    name = pick(rest[0], POINTS, "set point", word)
    given = " ".join(rest[1:])
    row = set_points.BY_NAME.get(name)
    if row is not None and row.words:
        return Act(word, (name,), setting=pick(given, row.words, "position", name))
    unit = row.unit if row is not None else ""
    measure = _MEASURE.fullmatch(given)
    if measure is None:
        raise CommandError(f"{given!r} is not a number", name, "write it like 40 or 231.5")
    if measure[2] not in ("", unit):
        wants = f"is set in {unit}" if unit else "has no unit"
        raise CommandError(f"{given!r} will not do; it {wants}", name, "write the number alone")
    return Act(word, (name,), setting=float(measure[1]))


def _inspection(word: str, rest: Sequence[str]) -> Act:
    _need(word, rest)
    at = next((i for i, each in enumerate(rest) if i and each.lower() == "expect"), len(rest))
    rest, expect = rest[:at], expected(" ".join(rest[at + 1 :]))
    if rest[0].lower() == "meter":
        _need(word, rest, 2)
        return Act(word, (f"meter {pick(rest[1], BY_TAG, 'device', word)}",), text=expect)
    name = pick(" ".join(rest), inspections.INSPECTIONS, "inspection", word)
    return Act(word, (name,), text=expect)


def expected(text: str) -> str:
    """Return what a person expects of a look: one of EXPECTS for its word, else their own words."""
    text = " ".join(text.split())
    return text.lower() if text.lower() in EXPECTS else text


def _wait(word: str, rest: Sequence[str]) -> Act:
    _need(word, rest)
    first = rest[0].lower()
    if first in ("piece", "job") and len(rest) == 1:
        return Act(word, (first,))
    if first == "until":
        _need(word, rest, 2)
        return Act(word, tuple(pick(each, STATES, "state", word) for each in rest[1:]))
    return Act(word, seconds=_seconds(word, rest))


def _seconds(word: str, rest: Sequence[str]) -> float:
    given = " ".join(rest).lower()
    found = _TIME.fullmatch(given)
    if found is None or found[2] not in _SECONDS_IN:
        raise CommandError(f"{given!r} is not a time", word, "write it like 10, 2.5s, 2m or 1h")
    seconds = float(found[1]) * _SECONDS_IN[found[2]]
    if seconds > LONGEST_WAIT_S:
        raise CommandError(f"{given} is longer than a day", word, "give at most 24h")
    return seconds


def _force(word: str, rest: Sequence[str]) -> Act:
    _need(word, rest, 2)
    tag = pick(rest[0], BY_TAG, "device", word)
    return Act(word, (tag, pick(" ".join(rest[1:]), ("on", "off", "out"), "value", word)))


def _jumper(word: str, rest: Sequence[str]) -> Act:
    _need(word, rest)
    out = len(rest) > 1 and rest[-1].lower() == "out"
    given = rest[:-1] if out else rest
    if given[0].upper() in NUMBERS and len(given) == 1:
        name = given[0].upper()
    elif given[0] in BY_ROW:
        name = given[0]
    else:
        _need(word, given, 2)
        action = pick(given[0], ACTIONS, "action", word)
        subjects = {row.need.subject for row in PERMISSIVES if row.action == action}
        name = f"{action} {pick(given[1], tuple(sorted(subjects)), 'device', action)}"
    return Act(word, (name, "out" if out else "in"))


def _need(word: str, rest: Sequence[str], count: int = 1) -> None:
    if len(rest) < count:
        usage = WORDS[word].usage
        raise CommandError(f"{word} needs more than that", what_to_do=f"write it as: {usage}")


def _help(word: str, rest: Sequence[str]) -> Act:
    return Act(word, (pick(rest[0], WORDS, "word", word),)) if rest else Act(word)


# The words --------------------------------------------------------------------------------

_STEPS: Final = tuple(lockout.BY_NAME)
_ROWS: Final = (
    Word("look", "look", "Says how the machine stands, in words.", _nothing),
    Word("press", "press KEY [KEY...]", "Presses keys at the same instant and keeps the hand on them. A latch stays where it is put: press turns it on, release turns it back.", _keys),
    Word("release", "release KEY [KEY...]", "Lets keys go, or turns a latch back.", _keys),
    Word("tap", "tap KEY [KEY...]", "Presses keys together and lets them go at once. A two-hand start is tap two_hand and the start key.", _keys),
    Word("hold", "hold KEY [KEY...] SECONDS", "Presses keys, lets so much time pass, and lets them go.", _keys_and_time),
    Word("set", "set NAME VALUE", "Sets a set point by hand, in its own unit.", _setting),
    Word("inspect", "inspect NAME [expect WORDS], or inspect meter DEVICE", "Looks at the machine in one of the listed ways. It takes its time. What you expect is sound, faulty, unsure, or your own words; the debrief sets it beside what was found.", _inspection),
    Word("wait", "wait TIME, wait piece, wait job, or wait until STATE [STATE...]", "Lets time pass: so long, to the next piece, to the end or hold of the job, or until machines are in states such as head.up or band.running.", _wait),
    Word("why", "why KEY", "Says what stands against a key now: interlocks, the devices behind them, what changed last, and the shortest way out.", _one_of(tuple(BY_KEY), "key")),
    Word("force", "force DEVICE on|off|out", "Holds a wire at a value, or lets it go with out. For practice and lessons; in a drill or an assessment the attempt is refused and fails the run.", _force),
    Word("jumper", "jumper I4 [out], or jumper ACTION DEVICE [out]", "Has the controller overlook an interlock, or takes the jumper out. For practice and lessons; in a drill or an assessment the attempt is refused and fails the run.", _jumper),
    Word("lockout", "lockout [STEP]", "Takes one step of the lock-out or of the way back; alone, it lists the steps.", _maybe(_one_of(_STEPS, "step"))),
    Word("diagnose", "diagnose FAULT", "Names the cause, from the catalogue.", _one_of(tuple(CATALOGUE), "fault")),
    Word("fix", "fix FAULT", "Applies the remedy for a fault of the catalogue, right or wrong. It takes its time.", _one_of(tuple(CATALOGUE), "fault")),
    Word("step", "step", "Repeats the step that a lesson asks for, and why.", _nothing),
    Word("hint", "hint", "Says what is best done next, or how the step of a lesson is done. In a drill each hint takes points off; in an assessment there are none.", _nothing),
    Word("card", "card", "Shows the set-up card of the job, with the reasons.", _nothing),
    Word("points", "points", "Lists what can be set by hand, with limits.", _nothing),
    Word("keys", "keys", "Lists the keys and latches.", _nothing),
    Word("inspections", "inspections", "Lists the ways to look that are allowed here, and what each takes.", _nothing),
    Word("faults", "faults [TEXT]", "Lists the catalogue of faults, or those with the text in them.", _maybe(_text)),
    Word("lamps", "lamps", "Reads the lamps of the desk.", _nothing),
    Word("load", "load", "Puts a fresh bar on the saw; the band stands, the head is up, both vises are free.", _nothing),
    Word("time", "time", "Says how much simulated time has passed.", _nothing),
    Word("events", "events", "Repeats everything that has happened.", _nothing),
    Word("note", "note TEXT", "Writes a remark into the record.", _text),
    Word("auto", f"auto {'|'.join(PHASES)}", "Has the autopilot do a part of the work: control on; head up and band speed; all of the set-up card; begin; run to the end. In a drill it sets nothing up, in an assessment it does nothing.", _one_of(PHASES, "part")),
    Word("help", "help [WORD]", "Explains the words, or one of them.", _help),
    Word("quit", "quit", "Ends the session and reads the debrief.", _nothing),
)  # fmt: skip

WORDS: Final = {row.name: row for row in _ROWS}


def _meant(name: str) -> str:
    """Return how a name is used that was typed without its word; empty when it is none."""
    uses = (
        (BY_KEY, "key", "tap {0}, or hold {0} 2"),
        (inspections.INSPECTIONS, "inspection", "inspect {0}"),
        (POINTS, "set point", "set {0} VALUE"),
        (CATALOGUE, "fault", "diagnose {0}"),
    )
    for names, kind, use in uses:
        with contextlib.suppress(CommandError):
            return f"for the {kind} write {use.format(pick(name, names, kind, ''))}"
    return ""


def parse(line: str) -> Act | None:
    """Return the act that a line asks for; None for an empty line or a remark after `#`.

    Raises:
        CommandError: The line is not understood; the nearest name is told.
    """
    if len(line) > LONGEST_LINE:
        raise CommandError(
            f"the line has {len(line)} characters", what_to_do=f"write at most {LONGEST_LINE}"
        )
    printable = "".join(sign if sign.isprintable() else " " for sign in line)
    words = printable.split()
    if not words or words[0].startswith("#"):
        return None
    try:
        word = pick(words[0], WORDS, "word", "")
    except CommandError as fault:
        raise CommandError(fault.what, fault.where, _meant(words[0]) or fault.what_to_do) from None
    return WORDS[word].read(word, words[1:])
