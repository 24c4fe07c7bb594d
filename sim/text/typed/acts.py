"""What each word of the language does to a session, and what is answered.

One row a word, like the table of words. An answer is sentences and tables; what happened on the
machine is told by the session's own events, which the console prints.

Never here: reading lines and writing them.
"""

from collections.abc import Callable
from typing import Final

from sim.control.decision import Decision
from sim.debrief.hints import hint
from sim.errors import CommandError
from sim.faults.catalogue import EVERY
from sim.session.hands.cautions import LOCKED_OUT, before_mend
from sim.session.hands.table import locked_out_to_mend, mended_by_setting
from sim.session.kept.told import STANDS_STILL, weighs
from sim.session.playback.rewind import GO_ON, SHIFT, against
from sim.session.session import Session
from sim.session.sights.describe import look
from sim.signals import BY_KEY, Source
from sim.text import glossary
from sim.text.events import line_of
from sim.text.kinds import MODE
from sim.text.page import Part
from sim.text.points import card, points, unsound_said
from sim.text.progress import say_ahead, standing_line
from sim.text.typed import autopilot_part, lists, waiting
from sim.text.typed.language import PHASES
from sim.text.typed.reading import TypedAct
from sim.text.typed.steps import hint as step_hint
from sim.text.typed.steps import step_or_none
from sim.text.whys import why
from sim.words.fields import clock, name, part, parts, seconds
from sim.words.message import Message, Row, plain, row, sentences
from sim.words.speech import tell

Answers = tuple[Part, ...]

_WORKS_OUT: Final = plain(
    "answer.hint.works-out",
    "Working out the hint from all that could be wrong; that can take a minute ...",
)
_KEY: Final = row("answer.key", "{name}", name=name())
_PRESSED: Final = row("answer.pressed", "Pressed {keys}.", keys=parts(" and "))
_DOWN_ALREADY: Final = row(
    "answer.down-already", "Down already: {keys}; release first.", keys=parts(" and ")
)
_UP_ALREADY: Final = row(
    "answer.up-already",
    "There is nothing to release: {keys} stands untouched.",
    keys=parts(" and "),
)
_HOME_ALREADY: Final = plain("answer.home-already", "The trip line is home already.")
_RELEASED: Final = row("answer.released", "Released {keys}.", keys=parts(" and "))
_TAPPED: Final = row("answer.tapped", "Tapped {keys}.", keys=parts(" and "))
_HELD: Final = row(
    "answer.held", "Held {keys} for {time}.", keys=parts(" and "), time=seconds(None)
)
_HELD_IN_VAIN: Final = row(
    "answer.held.in-vain",
    "{keys} was refused, and holding it for {time} did nothing; what changed since is not its doing.",
    keys=parts(" and "), time=seconds(None),
)  # fmt: skip
_PALMS: Final = row("answer.palms", "Pressed {name} and both palm keys.", name=name())
_TURNED: Final = row("answer.turned", "Turned the mode switch to {mode}.", mode=name())
_LOCK_OUT_FIRST: Final = plain(
    "answer.lock-out-first", "Hands go in: lock out first, step by step with lockout."
)
_PUT_IT_RIGHT: Final = plain(
    "answer.put-it-right", "Put it right with fix, then prove it with a good piece."
)
_SET_ALREADY: Final = plain(
    "answer.set-already", "What you set can have put it right: prove it with a good piece."
)
_SWAPPED_ALREADY: Final = plain(
    "answer.swapped-already", "You have exchanged that part: prove it with a good piece."
)
_NOT_IN_MODE: Final = row(
    "answer.auto.not-here", "The autopilot does not do that in this mode, {mode}.", mode=part()
)
_SINCE_BEGIN: Final = row(
    "answer.time", "It is {now} since the session began.", now=clock(tenths=True)
)
_ONE_ORDER: Final = plain(
    "answer.no-shift", "This session is no shift: it has one order, and card shows what it asks."
)
_NOTHING_YET: Final = plain("answer.events.none", "Nothing has happened yet.")

# What a frozen machine refuses; a hand can always let go.
_HANDS: Final = frozenset({
    "press", "tap", "hold", "palms", "turn", "set", "inspect", "volts", "ohms", "wait", "diagnose", "report", "fix", "auto", "load", "force",
    "jumper",
})  # fmt: skip

# What would mend a set-up fault unseen is no part of a drill.
_AUTO_NOT_IN: Final = {"drill": ("setup",), "assessment": PHASES}


def perform(session: Session, act: TypedAct) -> Answers:
    """Do an act; return what is to be read besides the session's new events.

    Raises:
        CommandError: The session does not take it, for one because the run is over.
    """
    if (act.word in _HANDS or (act.word == "lockout" and act.names)) and session.frozen:
        return (STANDS_STILL.message,)
    return DOES[act.word](session, act)


# Keys -------------------------------------------------------------------------------------


def _press(session: Session, act: TypedAct) -> Answers:
    if not session.over and session.saw.held.issuperset(act.names):
        return (_DOWN_ALREADY(keys=_keys(act)),)
    return _pressed(session.press(*act.names), _PRESSED, act)


def _release(session: Session, act: TypedAct) -> Answers:
    loose = all(BY_KEY[key].source in (Source.KEY, Source.LATCH) for key in act.names)
    if not session.over and loose and session.saw.held.isdisjoint(act.names):
        return (
            _HOME_ALREADY if act.names == ("supply.trip_line",) else _UP_ALREADY(keys=_keys(act)),
        )
    return _pressed(session.release(*act.names), _RELEASED, act)


def _tap(session: Session, act: TypedAct) -> Answers:
    return _pressed(session.tap(*act.names), _TAPPED, act)


def _hold(session: Session, act: TypedAct) -> Answers:
    answer = session.press(*act.names)
    if not session.over:
        session.advance(act.seconds)
    if not session.over:
        session.release(*act.names)
    held = _HELD if answer is None or answer.accepted else _HELD_IN_VAIN
    return (held(keys=_keys(act), time=act.seconds),)


def _palms(session: Session, act: TypedAct) -> Answers:
    answer = session.palms(act.names[0])
    return () if answer is not None else (_PALMS(name=act.names[0]),)


def _turn(session: Session, act: TypedAct) -> Answers:
    session.turn(act.names[0])
    return (_TURNED(mode=act.names[0].upper()),)


def _pressed(decision: Decision | None, otherwise: Row, act: TypedAct) -> Answers:
    return () if decision is not None else (otherwise(keys=_keys(act)),)


def _keys(act: TypedAct) -> tuple[Message, ...]:
    return tuple(_KEY(name=key) for key in act.names)


# Hands, eyes and time ---------------------------------------------------------------------


def _set(session: Session, act: TypedAct) -> Answers:
    answer = session.set(act.names[0], act.setting)
    return () if answer.taken else (answer.message,)


def _inspect(session: Session, act: TypedAct) -> Answers:
    answer = session.inspect(act.names[0], act.text)
    return () if answer.taken else (answer.message,)


def _wait(session: Session, act: TypedAct) -> Answers:
    if act.names == ("piece",):
        return (waiting.for_piece(session),)
    if act.names == ("job",):
        return (waiting.for_job(session),)
    if act.names == ("still",):
        return (waiting.for_stillness(session),)
    if act.names:
        return (waiting.for_states(session, act.names),)
    return (waiting.for_seconds(session, act.seconds),)


def _load(session: Session, act: TypedAct) -> Answers:
    return (session.load_bar(*act.names).message,)


def _force(session: Session, act: TypedAct) -> Answers:
    tag, value = act.names
    session.bench.force(tag, {"on": True, "off": False, "out": None}[value])
    return ()


def _jumper(session: Session, act: TypedAct) -> Answers:
    bypassed, way = act.names
    session.bench.jumper(bypassed, way == "in")
    return ()


def _lockout(session: Session, act: TypedAct) -> Answers:
    if not act.names:
        return lists.lockout_steps(session)
    session.lock_out(act.names[0])
    return ()


def _diagnose(session: Session, act: TypedAct) -> Answers:
    answer = session.diagnose(act.names[0])
    if not answer.taken:
        return (answer.message,)
    fault = EVERY[act.names[0]]
    if mended_by_setting(fault) & session.seen.set_by_hand:
        return (_SET_ALREADY,)
    if fault.spare in session.done.swapped:
        return (_SWAPPED_ALREADY,)
    said = [each for each in before_mend(fault) if each != LOCKED_OUT]
    if locked_out_to_mend(act.names[0]) and not session.lockout.verified:
        said.insert(0, _LOCK_OUT_FIRST)
    return (sentences(*said, _PUT_IT_RIGHT),)


def _report(session: Session, act: TypedAct) -> Answers:
    answer = session.report(*act.names)
    return () if answer.taken else (answer.message,)


def _fix(session: Session, act: TypedAct) -> Answers:
    answer = session.put_right(act.names[0])
    return () if answer.taken else (answer.message,)


def _swap(session: Session, act: TypedAct) -> Answers:
    if not act.names:
        return lists.spares(session)
    answer = session.swap(act.names[0])
    return () if answer.taken else (answer.message,)


def _auto(session: Session, act: TypedAct) -> Answers:
    phase, mode = act.names[0], session.scenario.mode
    if phase in _AUTO_NOT_IN.get(mode, ()):
        return (_NOT_IN_MODE(mode=MODE(mode=mode)),)
    return (autopilot_part.do_part(session, phase),)


def _hint(session: Session, _act: TypedAct) -> Answers:
    if session.scenario.steps:
        return step_hint(session, perform)
    if session.hidden:
        say_ahead(tell(_WORKS_OUT))
    with standing_line() as show:
        show(tell(_WORKS_OUT))
        answer = hint(session)
    return () if answer.taken else (answer.message,)


def _rewind(session: Session, act: TypedAct) -> Answers:
    """Refuse to go back: where a session may, the console goes on with another one."""
    why, to_do = against(session)
    raise CommandError(why or SHIFT, act.word, to_do or GO_ON)


def _note(session: Session, act: TypedAct) -> Answers:
    session.note(act.text)
    return ()


# Reading ----------------------------------------------------------------------------------


def _time(session: Session, _act: TypedAct) -> Answers:
    return (_SINCE_BEGIN(now=session.saw.clock.now_us),)


def _events(session: Session, _act: TypedAct) -> Answers:
    return tuple(map(line_of, session.heard.events)) or (_NOTHING_YET,)


DOES: Final[dict[str, Callable[[Session, TypedAct], Answers]]] = {
    "look": lambda session, _act: look(session),
    "press": _press,
    "release": _release,
    "tap": _tap,
    "hold": _hold,
    "palms": _palms,
    "turn": _turn,
    "set": _set,
    "inspect": _inspect,
    "volts": _inspect,
    "ohms": _inspect,
    "wait": _wait,
    "why": lambda session, act: why(session, act.names[0]),
    "force": _force,
    "jumper": _jumper,
    "load": _load,
    "lockout": _lockout,
    "diagnose": _diagnose,
    "report": _report,
    "fix": _fix,
    "swap": _swap,
    "hint": _hint,
    "rewind": _rewind,
    "step": lambda session, _act: step_or_none(session),
    "card": lambda session, act: (
        *card(session, act.text),
        *unsound_said(session),
        weighs(session.stock.mass_kg, session.stock.length_m),
    ),
    "points": lambda session, _act: (points(session), *lists.before_points()),
    "keys": lambda _session, _act: (lists.keys(),),
    "inspections": lambda session, _act: (
        lists.ways_to_look(session),
        *lists.before_looks(session),
    ),
    "pieces": lambda session, _act: lists.pieces(session),
    "wiring": lambda session, act: (lists.wiring(session.machine.loom, *act.names),),
    "faults": lambda _session, act: (lists.faults(act.text),),
    "lamps": lambda session, _act: (lists.lamps(session),),
    "what": lambda session, act: glossary.what(act.text, session.machine),
    "where": lambda session, act: (glossary.where(act.text, session.machine),),
    "orders": lambda _session, _act: (_ONE_ORDER,),
    "take": lambda _session, _act: (_ONE_ORDER,),
    "time": _time,
    "events": _events,
    "repeat": lambda _session, _act: (),  # the console says it, which alone knows it
    "note": _note,
    "auto": _auto,
    "help": lambda _session, act: lists.words(*act.names),
    "quit": lambda _session, _act: (),
}
