"""Everything that coach, slips, hints, card, cautions and steps can say, each with what sets it off.

A row is told by its key; what sets it off stands here by the beginning of the key, the longest that
fits. Which set point or key a slip is about is not written down but found: its check is a function, and
the rows that it can return are among the names that it uses. Other rows that begin with `slip.` are of
files, and nobody at the saw is told them.

Never here: the sentences themselves.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache, partial
from types import CodeType, FunctionType, ModuleType
from typing import Final

from sim.debrief import hints
from sim.session.opening import library_entries
from sim.teaching import coach, forewarning
from sim.teaching.slips import KEY_SLIPS, SLIPS
from sim.words.fields import name, number
from sim.words.message import ROWS, Message, Row, plain, row

LOADED: Final = (hints, coach, forewarning)  # for their rows

COACH, SLIP, HINT, CARD, CAUTION, STEP = "coach", "slips", "hints", "card", "cautions", "steps"
KINDS: Final = (COACH, SLIP, HINT, CARD, CAUTION, STEP)


@dataclass(frozen=True, slots=True)
class Said:
    """One thing that can be said.

    Args:
        kind: One of `KINDS`.
        key: Of its row; of a text of a lesson the lesson, the number of the step, and which of its texts it is.
        when: What sets it off.
        row: The row; None for a text of a lesson.
        text: The English of a lesson's text.
    """

    kind: str
    key: str
    when: Message
    row: Row | None = None
    text: str = ""


def _when(case: str, text: str) -> Message:
    return plain(f"said.{case}", text)


_REFUSED: Final = _when("refused", "a key that is refused, with what would free it")
_TAKEN: Final = _when("taken", "a key that is taken, and what it sets going")
_HARM: Final = _when(
    "harm",
    "an act that did this harm; in a lesson and in practice the coach adds what to do instead",
)
_STOPPED: Final = _when("stopped", "a hold or a stop that an interlock brought about")
_BY_ITSELF: Final = _when("by-itself", "what the control has just done by itself")
_LOCK_OUT: Final = _when(
    "lock-out", "a step of the lock-out or of the way back, or lockout typed alone"
)
_MODE: Final = _when("mode", "the mode switch is turned")
_HANDS: Final = _when("hands", "hands were where something could move, or energy was not off")
_PIECE: Final = _when("piece", "a piece was measured for its length")
_DIAL: Final = _when("dial", "a speed key of the band was let go, or a job is asked about")
_CARD_RIGHT: Final = _when("card-coach", "something was set that the card has a line for")
_NEXT: Final = _when("hint", "a hint is asked for in a drill")
_WANTING: Final = _when("wanting", "a hint is asked for in a lesson: what its step still wants")
_ON_CARD: Final = _when("card", "the set-up card is shown: why a line says what it says")
_BEFORE: Final = _when("caution", "hands are about to go in, or a key is about to be pressed")
_ANY_SLIP: Final = _when("slip", "something was set or looked at, and it will not do as it stands")
_BEGUN: Final = _when("begun", "a job was started while something in the set-up will not do")
_HELD: Final = _when("held-job", "a stop key or the hold key is pressed while the job is held")
_IDLE_STOP: Final = _when("idle-stop", "a stop key is pressed that has nothing to stop")
_STANDS: Final = _when("stands", "a key was taken, and its part does not move")
_RUNS_ON: Final = _when("runs-on", "a job is complete, and the band runs on")
_WITHOUT_POWER: Final = _when(
    "without-power", "control power has just gone, and the head rests on nothing"
)
_SLIP_OF: Final = row(
    "said.slip.of",
    "set, looked at, or pressed, and it will not do as it stands: {names}",
    names=name(),
)
_ASKED: Final = row(
    "said.step.asked", "step {number} of {lesson} is asked", number=number(), lesson=name()
)
_HINTED: Final = row(
    "said.step.hint",
    "a hint is asked for at step {number} of {lesson}",
    number=number(),
    lesson=name(),
)

# By the beginning of a key, of which the longest that fits counts: kind, and what sets it off.
TRIGGERS: Final[dict[str, tuple[str, Message]]] = {
    "coach.": (COACH, _TAKEN),
    "coach.harm": (COACH, _HARM),
    "coach.unsafe": (COACH, _HANDS),
    "coach.exposed": (COACH, _HANDS),
    "coach.not-proved-dead": (COACH, _HANDS),
    "coach.not-told": (COACH, _HANDS),
    "coach.slip": (COACH, _ANY_SLIP),
    "coach.before": (COACH, _BEGUN),
    "coach.reason": (COACH, _STOPPED),
    "coach.trip-line": (COACH, _STOPPED),
    "coach.head.": (COACH, _WITHOUT_POWER),
    "coach.runs-on": (COACH, _RUNS_ON),
    "coach.followed": (COACH, _BY_ITSELF),
    "coach.piece.": (COACH, _PIECE),
    "coach.dial.": (COACH, _DIAL),
    "coach.lockout.": (COACH, _LOCK_OUT),
    "coach.card.": (COACH, _CARD_RIGHT),
    "coach.stop.": (COACH, _IDLE_STOP),
    "coach.held.": (COACH, _HELD),
    "coach.stands": (COACH, _STANDS),
    "coach.refused": (COACH, _REFUSED),
    "advice.mode.": (COACH, _MODE),
    "action.": (COACH, _TAKEN),
    "need.": (COACH, _REFUSED),
    "refusal.": (COACH, _REFUSED),
    "palms.": (COACH, _REFUSED),
    "held-key.": (COACH, _REFUSED),
    "job.": (COACH, _REFUSED),
    "mode.": (COACH, _REFUSED),
    "band.": (COACH, _REFUSED),
    "supply.": (COACH, _REFUSED),
    "hazard.": (COACH, _REFUSED),
    "interlock.": (COACH, _STOPPED),
    "reason.": (COACH, _STOPPED),
    "reaction.": (COACH, _BY_ITSELF),
    "harm.": (COACH, _HARM),
    "lockout.": (COACH, _LOCK_OUT),
    "hint.": (HINT, _NEXT),
    "stage.": (HINT, _NEXT),
    "trial.": (HINT, _NEXT),
    "wanting.": (HINT, _WANTING),
    "card.": (CARD, _ON_CARD),
    "caution.": (CAUTION, _BEFORE),
}  # fmt: skip
_BY_LENGTH: Final = sorted(TRIGGERS, key=len, reverse=True)


def sentences(kinds: Iterable[str] = KINDS) -> Iterator[Said]:
    """Yield all that can be said, kind by kind.

    Args:
        kinds: Of which kinds.
    """
    for kind in kinds:
        yield from _steps() if kind == STEP else _rows(kind)


def trigger(key: str) -> tuple[str, Message] | None:
    """Return the kind of a row and what sets it off; None for a row that nobody at the saw is told."""
    if about := slips_about().get(key):
        return SLIP, _SLIP_OF(names=", ".join(about))
    begins = next((each for each in _BY_LENGTH if key.startswith(each)), None)
    return None if begins is None else TRIGGERS[begins]


def _rows(kind: str) -> Iterator[Said]:
    for key, each in ROWS.items():
        found = trigger(key)
        if found is not None and found[0] == kind:
            yield Said(kind, key, found[1], each)


def _steps() -> Iterator[Said]:
    for lesson, scenario in library_entries():
        for count, step in enumerate(scenario.steps, 1):
            asked = _ASKED(number=count, lesson=lesson)
            for which in ("ask", "why", "caution", "hint"):
                if text := getattr(step, which):
                    when = _HINTED(number=count, lesson=lesson) if which == "hint" else asked
                    yield Said(STEP, f"{lesson}.{count}.{which}", when, text=text)


# What a check can return ------------------------------------------------------------------


@cache
def slips_about() -> dict[str, tuple[str, ...]]:
    """Return by the key of a slip's row the set points and keys whose checks can return it."""
    about: dict[str, list[str]] = {}
    for name_, check in (*SLIPS.items(), *KEY_SLIPS.items()):
        for key in _keys_of(check, set()):
            about.setdefault(key, []).append(name_)
    return {key: tuple(dict.fromkeys(names)) for key, names in about.items() if key}


def _keys_of(value: object, seen: set[int]) -> Iterator[str]:
    """Yield the keys of the rows that a function uses by name, itself or through functions of this wing."""
    value = value.func if isinstance(value, partial) else getattr(value, "__wrapped__", value)
    if id(value) in seen:
        return
    seen.add(id(value))
    if isinstance(value, Row | Message):
        yield value.key
    elif isinstance(value, FunctionType) and value.__module__.startswith("sim.teaching"):
        for used in _used(value):
            yield from _keys_of(used, seen)
    elif isinstance(value, dict | tuple):
        for each in value.values() if isinstance(value, dict) else value:
            yield from _keys_of(each, seen)


def _used(function: FunctionType) -> Iterator[object]:
    names = tuple(_names(function.__code__))
    for each in names:
        found = function.__globals__.get(each)
        if isinstance(found, ModuleType):
            yield from (vars(found)[of] for of in names if of in vars(found))
        elif found is not None:
            yield found
    yield from (cell.cell_contents for cell in function.__closure__ or ())


def _names(code: CodeType) -> Iterator[str]:
    yield from code.co_names
    for each in code.co_consts:
        if isinstance(each, CodeType):
            yield from _names(each)
