"""Why a session came out as it did: one sentence under the verdict.

Never here: the verdict itself, and points (see `scoring`).
"""

from typing import Final

from sim.debrief.evidence import Evidence
from sim.debrief.morning_round import let_pass
from sim.debrief.scoring import (
    MOST_WRONG,
    Outcome,
    is_drill,
    needless_remedies,
    taught,
    was_unsafe,
    wore_out_bands,
    wrong_names,
)
from sim.session.session import Session
from sim.words.fields import count, number
from sim.words.message import NOTHING, Message, plain, row, sentences

_PROVED: Final = plain(
    "verdict.passed", "Told apart from other causes, put right, and proved by a good piece."
)
_UNSAFE: Final = plain("verdict.unsafe", "It was not safe, and nothing makes up for that.")
_BANDS: Final = plain(
    "verdict.bands", "More than one band was worn out, and no number of pieces makes up for that."
)
_NOT_NAMED: Final = plain("verdict.not-named", "What was wrong was not named.")
_NOT_ALL_NAMED: Final = row(
    "verdict.not-all-named", "{named} of the {count} things that were wrong were named.",
    named=number(), count=count(),
)  # fmt: skip
_EARLY: Final = plain(
    "verdict.early",
    "A cause was named or put right before what had been seen told it apart from others: that is a guess.",
)
_TOO_MANY: Final = plain(
    "verdict.too-many-wrong",
    "Of wrong names and needless remedies one is forgiven, and there were more.",
)
_NOT_MENDED: Final = plain("verdict.not-mended", "The cause is right, and it is not put right yet.")
_NOT_PROVED: Final = plain(
    "verdict.not-proved", "It is put right, and no good piece has proved it yet."
)
_HINTS: Final = plain(
    "verdict.practised", "With a hint a drill is practice: it counts when done without one."
)
_ANSWER_KNOWN: Final = plain(
    "verdict.answer-known",
    "Played after its answer was shown: practice. A drill that was not played before counts.",
)
_REHEARSED: Final = plain(
    "verdict.rehearsed",
    "Rehearsed: an earlier attempt at it broke off after something was named, or put or set right. Its answer was "
    "not shown, and this is practice all the same. A drill that was not played before counts.",
)
_TAKEN_BACK: Final = plain(
    "verdict.taken-back",
    "Something was taken back, which no real saw does: it counts when it is done without.",
)
_NOT_TAUGHT: Final = plain("verdict.steps-left", "A lesson is passed by doing all of its steps.")
_TOO_FEW: Final = row(
    "verdict.too-few-points", "It takes {points} points to pass.", points=number()
)


def why(session: Session, known: Evidence, outcome: Outcome, pass_mark: int) -> Message:
    """Return why a session came out so; nothing where a job or a lesson is passed.

    Args:
        session: As far as it has come.
        known: What its acts are worth as evidence.
        outcome: What came of it.
        pass_mark: The points that a job or a lesson takes.
    """
    said = _why(session, known, outcome, pass_mark)
    if session.origin.answer_known:
        return sentences(said, _ANSWER_KNOWN)
    return sentences(said, _REHEARSED) if session.origin.rehearsed else said


def _why(session: Session, known: Evidence, outcome: Outcome, pass_mark: int) -> Message:
    if outcome is Outcome.PASSED:
        return _PROVED if is_drill(session) else NOTHING
    if outcome is Outcome.PRACTISED:
        return sentences(
            *((_HINTS,) if session.done.hints and is_drill(session) else ()),
            *((_TAKEN_BACK,) if session.rewinds else ()),
        )
    if outcome is Outcome.FOUND:
        return _NOT_MENDED if session.faults.still_wrong() else _NOT_PROVED
    if was_unsafe(session):
        return _UNSAFE
    if passed := let_pass(session):
        return passed
    if not is_drill(session) and wore_out_bands(session):
        return _BANDS
    if not is_drill(session):
        return _TOO_FEW(points=pass_mark) if taught(session) else _NOT_TAUGHT
    return _not_found(session, known)


def _not_found(session: Session, known: Evidence) -> Message:
    hidden = [fault.name for fault in session.hidden]
    told = {*session.done.named, *(naming.fault for naming in known.namings)}
    named = sum(name in told for name in hidden)
    if named < len(hidden):
        return _NOT_ALL_NAMED(named=named, count=len(hidden)) if named else _NOT_NAMED
    if len({*wrong_names(session), *needless_remedies(session)}) > MOST_WRONG:
        return _TOO_MANY
    return _EARLY
