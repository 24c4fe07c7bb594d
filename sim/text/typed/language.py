"""The session language, an act at a time (`line` takes several apart). The table of words is the whole of it.

`parse` turns an act as it is typed into a `TypedAct`; nothing is done yet. Names may be shortened as `names` says. What
is typed is the same in every language of the program; what is said about it is not.

Never here: what an act does to the machine (see `acts`).
"""

import contextlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from sim.errors import CommandError
from sim.faults.catalogue import EVERY
from sim.session import lockout
from sim.session.morning import CLASSES
from sim.signals import BY_KEY
from sim.text.in_danger import is_a_cry, press_it, sounds_like_it
from sim.text.names import evened, no_such, pick
from sim.text.typed import reading
from sim.text.typed.fault_words import a_finding, one_fault
from sim.text.typed.reading import Reads, TypedAct, Word
from sim.text.typed.verbs import meant
from sim.trade.handling import WAYS
from sim.words.fields import name, number
from sim.words.message import Message, plain, row

LONGEST_LINE: Final = 500  # characters
PHASES: Final = ("power", "ready", "setup", "start", "run")

_TOO_LONG: Final = row("line.too-long", "the line has {count} characters", count=number())
_AT_MOST: Final = row("line.too-long.write", "write at most {count}", count=number())
_AS_FAULT: Final = row("word.meant.fault", "for the fault write diagnose {name}", name=name())


def _word(name: str, usage: str, does: str, read: Reads) -> Word:
    return Word(name, plain(f"word.{name}.usage", usage), plain(f"word.{name}", does), read)


def _help(word: Word, rest: Sequence[str]) -> TypedAct:
    if not rest:
        return TypedAct(word.name)
    whole = evened(rest[0])
    about = (
        whole if whole in (ALL, *TOPICS) else pick(rest[0], (*WORDS, *TOPICS), "word", word.name)
    )
    return TypedAct(word.name, (about,))


_STEPS: Final = tuple(lockout.BY_NAME)
_ROWS: Final = (
    _word("look", "look", "Says how the machine stands, in words.", reading.nothing),
    _word("press", "press KEY [KEY...]", "Presses keys at the same instant and keeps the hand on them. A latch stays where it is put: press turns the isolator on, pushes an emergency stop in or pulls the trip line; release turns it off or sets it back. The wire of a stop or of the trip line is on while it is out or home.", reading.keys),
    _word("release", "release KEY [KEY...]", "Lets keys go, or turns a latch back.", reading.keys),
    _word("tap", "tap KEY [KEY...]", "Presses keys together and lets them go at once.", reading.keys),
    _word("hold", "hold KEY [KEY...] SECONDS", "Presses keys, lets so much time pass, and lets them go. A movement key moves its part for as long as it is held.", reading.keys_and_time),
    _word("palms", "palms KEY", "Presses a start key and then both palm keys together, and takes all hands off: the two-hand start of job.start, job.unhold and band.run.", reading.palms),
    _word("turn", "turn MODE", "Turns the mode switch to manual, maintenance or production, and waits the half second until the mode is taken.", reading.one_name(reading.MODES, "mode")),
    _word("set", "set NAME VALUE", "Sets a set point by hand, in its own unit. It takes its time, and your hands are at the part meanwhile: points tells what must hold first.", reading.setting),
    _word("inspect", "inspect NAME [expect WORDS], inspect meter DEVICE, or inspect TOOL PIECE", "Looks at the machine in one of the listed ways. It takes its time, and some looks put hands in: inspections tells what must hold first. What you expect is sound, faulty, unsure, or your own words; the debrief sets it beside what was found.", reading.inspection),
    _word("volts", "volts TERMINAL [TERMINAL]", "Meters the volts at a terminal against 0 V, or between two. The part may be live: a qualified person does it, and out on the saw with the saw in his own control.", reading.probed),
    _word("ohms", "ohms TERMINAL TERMINAL", "Meters the ohms between two terminals. It is done on what is dead: on what is live it is no reading.", reading.probed),
    _word("wiring", "wiring [DEVICE]", "Lists the wires on the way of a device and the others on it, with their terminals; alone, it lists the devices of the saw.", reading.maybe(reading.device)),
    _word("wait", "wait TIME, wait piece, wait job, wait still, or wait until STATE [STATE...]", "Lets time pass: so long, to the next piece, to the end or hold of the job, until everything stands still, or until machines are in states such as head.up or band.running.", reading.waiting),
    _word("why", "why KEY", "Says what blocks a key now: interlocks, the devices behind them, what changed last, and the shortest way out.", reading.one_name(tuple(BY_KEY), "key")),
    _word("force", "force DEVICE on|off|out", "Holds a wire at a value, or lets it go with out. For practice and lessons; in a drill or an assessment the attempt is refused and fails the run. Never on a real saw; and here it does not reach the safety circuit.", reading.forcing),
    _word("jumper", "jumper I4 [out], or jumper ACTION DEVICE [out]", "Has the controller overlook an interlock, or takes the jumper out. For practice and lessons; in a drill or an assessment the attempt is refused and fails the run. Never on a real saw; and here it does not reach the safety circuit.", reading.jumper),
    _word("lockout", "lockout [STEP]", "Takes one step of the lock-out or of the way back; alone, it lists the steps.", reading.maybe(reading.one_name(_STEPS, "step"))),
    _word("diagnose", "diagnose FAULT", "Names the cause, from the catalogue.", one_fault),
    _word("report", f"report FAULT as {'|'.join(CLASSES)}", "Reports a finding of a round at the start of the shift, with what it calls for: fit once it is put right, work goes on with it, or it stops the shift. The later report of the same holds.", a_finding),
    _word("fix", "fix FAULT", "Applies the remedy for a fault of the catalogue, right or wrong. It takes its time. Some put hands in: faults tells what must hold first.", one_fault),
    _word("swap", "swap [PART]", "Exchanges a part for a spare to see whether the trouble goes: a valve, a switch, a relay, or the channel of a card. It takes its time and hands go in, a part that was sound costs what a wrong name does, and only trying again tells what came of it; alone, it lists the parts with what must hold first.", reading.maybe(reading.spare)),
    _word("rewind", "rewind [TIME]", "After an accident in a lesson or in practice, goes back to do it right: to five seconds before it, or back by so much time; never to where a key was held or hands were busy. The record keeps all of it, and so do the debrief and its price; the session is practice from then on. In a drill or an assessment there is none.", reading.maybe(reading.a_time)),
    _word("step", "step", "Repeats the step that a lesson asks for, and why.", reading.nothing),
    _word("hint", "hint", "Says what is best done next, or how the step of a lesson is done. With a hint a drill is practice; in an assessment there are none.", reading.nothing),
    _word("card", "card [all or WORD]", "Shows the set-up card of the job: what is to be set, with the reasons, and the rest in short. card all has all of it, card WORD the lines with that word in their name.", reading.maybe(reading.text)),
    _word("points", "points", "Lists what can be set by hand, with limits.", reading.nothing),
    _word("keys", "keys", "Lists the keys and latches.", reading.nothing),
    _word("inspections", "inspections", "Lists the ways to look that are allowed here, and what each takes.", reading.nothing),
    _word("pieces", "pieces", "Shows the first-piece sheet: what the drawing asks, what was read on which piece with which tool, and what that decides.", reading.nothing),
    _word("faults", "faults [TEXT]", "Lists the catalogue of faults, or those with the text in them.", reading.maybe(reading.text)),
    _word("lamps", "lamps", "Reads the lamps of the console.", reading.nothing),
    _word("load", f"load [{'|'.join(WAYS)}]", "Puts a fresh bar on the saw; the band must be stopped, the head up and both vises released. Take the key of the mode switch along first. Alone and as a pair it is carried, up to what may be lifted; crane, as is load with nothing behind it, takes any bar in two slings, guided from its side. Under is with hands under the hanging bar, which is never done. Local rules and the maker's manual come first.", reading.maybe(reading.one_name(WAYS, "way"))),
    _word("what", "what [WORD]", "Explains a word of the trade, a tag such as B11, a key, a set point, a look or a state; alone, it lists the words by group. It takes no time and counts for nothing.", reading.maybe(reading.text)),
    _word("where", "where [NAME]", "Says where a key, a set point, a look or a device is, and what must hold before hands go there.", reading.maybe(reading.text)),
    _word("orders", "orders", "In a shift of orders: says what time it is, what is wanted and due, what fell so far, and what lies on the rack.", reading.nothing),
    _word("take", "take ORDER [BAR]", "In a shift of orders: takes an order, and the bar of the rack that it is cut from. Card and measuring are its own from now on, and load brings that bar; nothing on the saw moves.", reading.text),
    _word("time", "time", "Says how much simulated time has passed.", reading.nothing),
    _word("events", "events", "Repeats everything that has happened.", reading.nothing),
    _word("repeat", "repeat", "Says once more what was said last.", reading.nothing),
    _word("note", "note TEXT", "Writes a remark into the record.", reading.text),
    _word("auto", f"auto {'|'.join(PHASES)}", "Has the autopilot do a part of the work: control on; head up and band speed; all of the set-up card, in its own control or locked out where hands go in; start; run to the end. In a drill it sets nothing up, in an assessment it does nothing.", reading.one_name(PHASES, "part")),
    _word("help", "help [WORD, TOPIC or all]", "Lists the words by topic, or explains one of them, those of a topic, or all.", _help),
    _word("quit", "quit", "Ends the session and reads the debrief.", reading.nothing),
)  # fmt: skip

WORDS: Final = {row.name: row for row in _ROWS}
ALL: Final = "all"


@dataclass(frozen=True, slots=True)
class Topic:
    """Words of one purpose."""

    title: Message
    words: tuple[str, ...]


TOPICS: Final = {
    "moving": Topic(
        plain("topic.moving", "keys of the console, and time"),
        ("press", "release", "tap", "hold", "palms", "turn", "wait", "auto"),
    ),
    "hands": Topic(
        plain("topic.hands", "what hands do at the saw"), ("set", "load", "lockout", "fix", "swap")
    ),
    "looking": Topic(
        plain("topic.looking", "what eyes and tools find"),
        ("look", "inspect", "pieces", "lamps", "volts", "ohms", "wiring"),
    ),
    "trouble": Topic(
        plain("topic.trouble", "why it will not go, and what is wrong"),
        ("why", "diagnose", "report", "force", "jumper"),
    ),
    "lists": Topic(
        plain("topic.lists", "what there is, and what it means"),
        ("card", "points", "keys", "inspections", "faults", "what", "where"),
    ),
    "learning": Topic(plain("topic.learning", "what is asked next"), ("step", "hint", "rewind")),
    "shift": Topic(plain("topic.shift", "a shift of orders"), ("orders", "take")),
    "session": Topic(
        plain("topic.session", "the session itself"),
        ("time", "events", "repeat", "note", "help", "quit"),
    ),
}
"""Every word once, by what one wants of it."""


def _meant(line: str) -> Message:
    """Return how something is written that was typed without its word; nothing when it is none."""
    first = line.split(maxsplit=1)[0]
    if sounds_like_it(first):
        return press_it()
    said = meant(line)
    if not said:
        with contextlib.suppress(CommandError):
            return _AS_FAULT(name=pick(first, EVERY, "fault", ""))
    return said


_ASK_ONLY: Final = (
    "look", "why", "step", "orders", "card", "points", "keys", "inspections", "pieces", "faults", "lamps", "time", "events",
    "help", "wiring", "what", "where", "repeat",
)  # fmt: skip


def asks_only(line: str) -> bool:
    """Return whether the word that a line begins with only asks, so that the saw stands as before."""
    first = line.split()[:1]
    with contextlib.suppress(CommandError):
        return bool(first) and pick(first[0], WORDS, "word", "") in _ASK_ONLY
    return False


def parse(line: str) -> TypedAct | None:
    """Return the act that a line asks for; None for an empty line or a remark after `#`.

    Raises:
        CommandError: The line is not understood; the nearest name is told.
    """
    if len(line) > LONGEST_LINE:
        raise CommandError(_TOO_LONG(count=len(line)), what_to_do=_AT_MOST(count=LONGEST_LINE))
    printable = "".join(sign if sign.isprintable() else " " for sign in line)
    words = printable.split()
    if not words or words[0].startswith("#"):
        return None
    if is_a_cry(printable):
        fault = no_such(printable.strip(), WORDS, "word", "")
        raise CommandError(fault.what, fault.where, press_it())
    try:
        word = WORDS[pick(words[0], WORDS, "word", "")]
    except CommandError as fault:
        raise CommandError(fault.what, fault.where, _meant(printable) or fault.what_to_do) from None
    return word.read(word, words[1:])
