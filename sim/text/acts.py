"""What each word of the language does to a session, and what is answered.

One row a word, like the table of words. An answer is sentences and tables; what happened on the
machine is told by the session's own events, which the console prints.

Never here: reading lines and writing them.
"""

from collections.abc import Callable
from typing import Final

from sim.control.decision import Decision
from sim.control.lamps import LAMPS, lit
from sim.debrief.hints import hint
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault
from sim.pilot import autopilot
from sim.session import lockout
from sim.session.heard import Event
from sim.session.inspections import INSPECTIONS, METER_S
from sim.session.session import STANDS_STILL, Session
from sim.session.why import against, devices_against, job_drives
from sim.signals import BY_KEY
from sim.teaching.way_out import way_out
from sim.text import waiting
from sim.text.describe import look
from sim.text.language import PHASES, WORDS, Act
from sim.text.page import Part, Table, clock
from sim.text.points import points, set_up_card
from sim.text.steps import hint as step_hint
from sim.text.steps import step_or_none

Answer = tuple[Part, ...]

ABOUT_TIME: Final = (
    "Time stands still while you read and type. It passes only with wait, hold, inspect, lockout, "
    "fix and auto."
)
ABOUT_NAMES: Final = (
    "Names may be shortened as long as only one fits: two_hand for supply.two_hand. "
    "A line that begins with # is a remark."
)
ABOUT_PLAIN: Final = "With NO_COLOR set in the environment a terminal gets tables as plain sentences, as a pipe does."

LOCK_FIRST: Final = "Under lock-out:"
LOCK_ACTS: Final = "Hands go in: lock out first, step by step with lockout. "

_TOLD_AS: Final = {
    "act": "",
    "refused": "Refused. ",
    "cut": "Cut. ",
    "consequence": "Harm. ",
    "reason": "",
    "finding": "Found. ",
    "unsafe": "UNSAFE. ",
    "note": "Note. ",
    "hint": "Hint. ",
    "instructor": "",
    "fault": "",
    "step": "",
}


# What a frozen machine refuses; a hand can always let go.
_HANDS: Final = frozenset(
    {
        "press",
        "tap",
        "hold",
        "set",
        "inspect",
        "wait",
        "diagnose",
        "fix",
        "auto",
        "load",
        "force",
        "jumper",
    }
)

# What would mend a set-up fault unseen is no part of a drill.
_AUTO_NOT_IN: Final = {"drill": ("setup",), "assessment": PHASES}
_PHASES: Final[dict[str, Callable[[Session], object]]] = {
    "power": autopilot.power_up,
    "ready": autopilot.make_ready,
    "setup": autopilot.set_up,
    "begin": autopilot.begin,
    "run": autopilot.run,
}


def perform(session: Session, act: Act) -> Answer:
    """Do an act; return what is to be read besides the session's new events.

    Raises:
        CommandError: The session does not take it, for one because the run is over.
    """
    if (act.word in _HANDS or (act.word == "lockout" and act.names)) and session.frozen:
        return (str(STANDS_STILL.message),)
    return DOES[act.word](session, act)


def told(event: Event) -> str:
    """Return one thing that happened as a line with its simulated time."""
    said = str(event.message)
    text = f"Taken: {said}." if said in BY_KEY else said
    return f"{clock(event.at_us)} {_TOLD_AS[event.kind]}{text}"


# Keys -------------------------------------------------------------------------------------


def _press(session: Session, act: Act) -> Answer:
    return _pressed(session.press(*act.names), f"Pressed {_and(act)}.")


def _release(session: Session, act: Act) -> Answer:
    return _pressed(session.release(*act.names), f"Released {_and(act)}.")


def _tap(session: Session, act: Act) -> Answer:
    return _pressed(session.tap(*act.names), f"Tapped {_and(act)}.")


def _hold(session: Session, act: Act) -> Answer:
    session.press(*act.names)
    if not session.over:
        session.advance(act.seconds)
    if not session.over:
        session.release(*act.names)
    return (f"Held {_and(act)} for {act.seconds:g} s.",)


def _pressed(decision: Decision | None, otherwise: str) -> Answer:
    return () if decision is not None else (otherwise,)


def _and(act: Act) -> str:
    return " and ".join(act.names)


# Hands, eyes and time ---------------------------------------------------------------------


def _set(session: Session, act: Act) -> Answer:
    answer = session.set(act.names[0], act.setting)
    return () if answer.taken else (str(answer.message),)


def _inspect(session: Session, act: Act) -> Answer:
    answer = session.inspect(act.names[0], act.text)
    return () if answer.taken else (str(answer.message),)


def _wait(session: Session, act: Act) -> Answer:
    if act.names == ("piece",):
        return (waiting.for_piece(session),)
    if act.names == ("job",):
        return (waiting.for_job(session),)
    if act.names:
        return (waiting.for_states(session, act.names),)
    return (waiting.for_seconds(session, act.seconds),)


def _load(session: Session, _act: Act) -> Answer:
    return (str(session.load_bar().message),)


def _force(session: Session, act: Act) -> Answer:
    tag, value = act.names
    session.force(tag, {"on": True, "off": False, "out": None}[value])
    return ()


def _jumper(session: Session, act: Act) -> Answer:
    name, way = act.names
    session.jumper(name, way == "in")
    return ()


def _lockout(session: Session, act: Act) -> Answer:
    if act.names:
        session.lock_out(act.names[0])
        return ()
    done = session.lockout.done
    rows = tuple(
        (row.name, "done" if row.name in done else "", str(row.title), f"{row.seconds:.0f} s")
        for row in (*lockout.STEPS, *lockout.BACK)
    )
    table = Table(
        "Lock-out: six steps before hands go in, three on the way back.",
        ("step", "", "", "takes"),
        rows,
    )
    return (table, f"Next: {session.lockout.due.name}.")


def _diagnose(session: Session, act: Act) -> Answer:
    session.diagnose(act.names[0])
    lock = LOCK_ACTS if CATALOGUE[act.names[0]].reaches_in and not session.lockout.safe else ""
    return (f"{lock}Put it right with fix, then prove it with a good piece.",)


def _fix(session: Session, act: Act) -> Answer:
    session.put_right(act.names[0])
    return ()


def _auto(session: Session, act: Act) -> Answer:
    part, mode = act.names[0], session.scenario.mode
    if part in _AUTO_NOT_IN.get(mode, ()):
        return (f"The autopilot does not do that in this mode, {mode}.",)
    _PHASES[part](session)
    return (f"The autopilot has done its part; it is now {clock(session.saw.clock.now_us)}.",)


def _hint(session: Session, _act: Act) -> Answer:
    if session.scenario.steps:
        return step_hint(session, perform)
    answer = hint(session)
    return () if answer.taken else (str(answer.message),)


def _note(session: Session, act: Act) -> Answer:
    session.note(act.text)
    return ()


# Reading ----------------------------------------------------------------------------------


def _why(session: Session, act: Act) -> Answer:
    key = act.names[0]
    sentences = tuple(map(str, against(session.saw, key)))
    driven = job_drives(session.saw, key)
    by_job = (f"{driven} Turn it with {key.partition('.')[0]}.hand.",) if driven else ()
    if not sentences:
        who = "For the job nothing" if driven else "Nothing"
        return (*by_job, f"{who} stands against {key} now.")
    found = devices_against(session.saw, session.trace, key)
    devices = dict.fromkeys(str(device.sentence) for row in found for device in row.devices)
    hazards = dict.fromkeys(
        f"{row.number} keeps you from {row.hazard}." for row in found if row.hazard
    )
    return (*by_job, *sentences, *devices, *hazards, *_way_out(session, key))


def _way_out(session: Session, key: str) -> Answer:
    way = way_out(session, key)
    if way is None:
        return ()
    steps = [f"{number}. {words}" for number, words in enumerate(way.words, start=1)]
    if way.verified:
        return ("The shortest way, tried on a copy of this saw:", *steps)
    return (f"The shortest way by the tables ({str(way.stuck_at).rstrip('.')}):", *steps)


def _keys(_session: Session, _act: Act) -> Answer:
    rows = tuple((key, row.tag, row.source.value) for key, row in BY_KEY.items())
    return (Table("Keys and latches.", ("key", "device", ""), rows),)


def _inspections(session: Session, _act: Act) -> Answer:
    allowed = session.scenario.inspections
    rows = [
        (
            row.name,
            f"{row.seconds:.0f} s",
            "lock-out first" if row.reaches_in else "",
            str(row.title),
        )
        for row in INSPECTIONS.values()
        if allowed == "all" or row.name in allowed
    ]
    if allowed == "all":
        rows.append(("meter DEVICE", f"{METER_S:.0f} s", "", "Put a meter on one wire: meter B11"))
    else:
        rows += [(name, f"{METER_S:.0f} s", "", "Put a meter on that wire")
                 for name in allowed if name.startswith("meter ")]  # fmt: skip
    return (Table("Ways to look.", ("inspection", "takes", "", ""), tuple(rows)),)


def _faults(_session: Session, act: Act) -> Answer:
    found = [fault for fault in CATALOGUE.values() if _speaks_of(fault, act.text.lower())]
    if not found:
        return (f"No fault of the catalogue speaks of {act.text!r}.",)
    rows = tuple(
        (f.name, str(f.title), f.family.value, f"{f.who.value} in {f.minutes:g} min", _remedy(f))
        for f in found
    )
    return (Table("Catalogue of faults.", ("fault", "", "", "put right by", "remedy"), rows),)


def _remedy(fault: Fault) -> str:
    return f"{LOCK_FIRST} {fault.remedy}" if fault.reaches_in else str(fault.remedy)


def _speaks_of(fault: Fault, text: str) -> bool:
    return text in f"{fault.name} {fault.title} {fault.family} {fault.changes}".lower()


def _lamps(session: Session, _act: Act) -> Answer:
    on = lit(session.saw.controller.image)
    rows = tuple(
        (str(lamp.word), "lit" if lamp in on else "dark", f"{lamp.colour} {lamp.shape}")
        for lamp in LAMPS
    )
    return (Table("Lamps of the desk.", ("lamp", "", ""), rows),)


def _time(session: Session, _act: Act) -> Answer:
    return (f"It is {clock(session.saw.clock.now_us)} since the session began.",)


def _events(session: Session, _act: Act) -> Answer:
    return tuple(told(event) for event in session.heard.events) or ("Nothing has happened yet.",)


def _help(_session: Session, act: Act) -> Answer:
    if act.names:
        row = WORDS[act.names[0]]
        return (f"{row.usage}. {row.does}",)
    rows = tuple((row.usage, row.does) for row in WORDS.values())
    return (Table("The words.", ("word", ""), rows), ABOUT_TIME, ABOUT_NAMES, ABOUT_PLAIN)


DOES: Final[dict[str, Callable[[Session, Act], Answer]]] = {
    "look": lambda session, _act: look(session),
    "press": _press,
    "release": _release,
    "tap": _tap,
    "hold": _hold,
    "set": _set,
    "inspect": _inspect,
    "wait": _wait,
    "why": _why,
    "force": _force,
    "jumper": _jumper,
    "load": _load,
    "lockout": _lockout,
    "diagnose": _diagnose,
    "fix": _fix,
    "hint": _hint,
    "step": lambda session, _act: step_or_none(session),
    "card": lambda session, _act: (set_up_card(session),),
    "points": lambda session, _act: (points(session),),
    "keys": _keys,
    "inspections": _inspections,
    "faults": _faults,
    "lamps": _lamps,
    "time": _time,
    "events": _events,
    "note": _note,
    "auto": _auto,
    "help": _help,
    "quit": lambda _session, _act: (),
}
