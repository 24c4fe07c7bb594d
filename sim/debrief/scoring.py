"""What a session is worth, part by part, each with its reason.

A critical act makes the score 0, whatever the parts say. A drill has four parts: the right cause,
told apart before it was named; the proof on the machine; the cost of the way to the cause, beside that
of the best plan; and care, which nobody earns who mended nothing. A drill is passed by what was done,
not by points (`outcome_of`). A job with nothing hidden has its pieces and care, a lesson its steps and
care, a round at the start of the shift its findings, the judgement on them, and care. With a hint a drill is practice, and so it is once its answer was told; where something was taken back
anything is, and an act that was critical leaves no points all the same. A wrong expectation takes
no points off, and neither does a look that told nothing new; the debrief lists both.

The weights are this program's own choice.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import fsum, isfinite
from typing import Final

from sim.debrief.best_path import LegKind, WaysToCause
from sim.debrief.evidence import Evidence, Naming
from sim.debrief.morning_round import (
    FOUND,
    FOUND_TITLE,
    JUDGED,
    JUDGED_TITLE,
    points_of,
    started,
)
from sim.faults.catalogue import EVERY
from sim.faults.spares import goes_with
from sim.plant.harm.consequences import Consequence, Severity
from sim.session.hands.person import Exposure
from sim.session.hands.zones import STRIKES
from sim.session.kept.deeds import Deeds
from sim.session.lessons.lesson import Lesson, lesson_of
from sim.session.session import Session
from sim.words.fields import authored, count, mm, number, part, parts, seconds
from sim.words.message import Message, plain, row, sentences

CAUSE, PROOF, WAY, CARE = 40, 20, 30, 10  # points of a drill
PIECES, JOB_CARE = 70, 30  # points of a job with nothing hidden, and of a lesson
MOST_BANDS: Final = 1.0  # worn out by harm, of a job or a lesson that is passed
WRONG_CAUSE: Final = 20  # points off, each; a needless remedy is as dear
NEEDLESS: Final = 10  # of care, each: what was sound is changed, and the saw stands meanwhile
MOST_WRONG: Final = 1  # wrong names and needless remedies, of a drill that is passed
FULL_WAY, FULL_WAY_S = 1.25, 15.0  # times the best plan's price, and s, up to which a way is full
NO_WAY: Final = 3.0  # times the best plan's price, from which it counts nothing
HARM: Final = 3
EXPOSED: Final = 5  # each act in which hands were exposed, and each start that nobody was told of
JOB_EXPOSED: Final = 10
JOB_HARM: Final = 10
_MENDED_ONLY: Final = 5  # of PROOF, where no good piece followed
_LEAST_S: Final = 1.0  # between a full way and none, so that a short plan has a slope too

_STEPS: Final = plain("score.part.steps", "Steps")
_PIECES: Final = plain("score.part.pieces", "Pieces")
_CAUSE: Final = plain("score.part.cause", "Cause")
_PROOF: Final = plain("score.part.proof", "Proof")
_WAY: Final = plain("score.part.way", "Way to the cause")
_CARE: Final = plain("score.part.care", "Care")

HANDS_IN: Final = row(
    "score.critical.hands-in",
    "Hands in the machine without the lock-out that this asks for: {act}",
    act=part(),
)
_CLAUSES: Final = row("score.clauses", "{said}.", said=parts(", "))
_STEPS_DONE: Final = row(
    "score.steps.done", "{done} of {wanted} steps done.", done=number(), wanted=number()
)
_NEXT_STEP: Final = row("score.steps.next", "The next one: {ask}", ask=authored())
_CUT: Final = row(
    "score.pieces.cut", "{good} good of {wanted} wanted, {cut} cut.",
    good=number(), wanted=number(), cut=number(),
)  # fmt: skip
_NAMED: Final = row(
    "score.cause.named", "{named} of {count} cause named",
    plural="{named} of {count} causes named", count=count(), named=number(),
)  # fmt: skip
_EARLY: Final = row(
    "score.cause.early",
    "{count} of them named or put right before it was told apart from others",
    count=count(),
)
_WRONG: Final = row(
    "score.cause.wrong", "{count} named that was not there",
    plural="{count} named that were not there", count=count(),
)  # fmt: skip
_LATE: Final = row("score.cause.late", "{count} had not set in yet", count=count())
_PROVED: Final = plain("score.proof.proved", "Put right, and proved with a good piece.")
_MENDED: Final = plain("score.proof.mended", "Put right, but not proved with a good piece.")
_TOO_FEW: Final = row(
    "score.proof.too-few",
    "Put right, but what comes and goes is proved to be gone by {count} good piece in a row.",
    plural="Put right, but what comes and goes is proved to be gone by {count} good pieces in a row.",
    count=count(),
)
_UNMEASURED: Final = plain(
    "score.proof.unmeasured", "Put right, and pieces fell; but no good one of them was measured."
)
_LENGTH_ONLY: Final = plain(
    "score.proof.length-only",
    "Put right, and a length measured; but crooked faces were reported, and no square or feeler has found one good.",
)
_FACE_ONLY: Final = plain(
    "score.proof.face-only", "Put right, and a face found square; but no length was measured good."
)
_PROVED_FACE: Final = plain(
    "score.proof.proved-face", "Put right, and proved: a good length, and a face that is square."
)
_TOO_COARSE: Final = row(
    "score.proof.too-coarse",
    "Put right, but measured too coarsely: what is sure to {sure} proves nothing by {tolerance}; a quarter of that is asked for.",
    sure=mm(2), tolerance=mm(None),
)  # fmt: skip
_NOT_MENDED: Final = plain("score.proof.not-mended", "The machine still has the fault.")
_NOT_NAMED: Final = plain("score.way.not-named", "No hidden cause was named.")
_NO_PLAN: Final = plain(
    "score.way.no-plan",
    "Not scored, so the total is reckoned from the other parts: no plan is known to be near the best here.",
)
_NOT_SCORED: Final = row(
    "score.way.not-scored",
    "Not scored, so the total is reckoned from the other parts: no plan is known to be near the best here, "
    "only one within {excess} % of a bound.",
    excess=number(),
)
_NAMED_EARLY: Final = plain(
    "score.way.early", "A cause was named or put right before it was told apart from others."
)
_TOOK: Final = {
    (True, False): row(
        "score.way.best", "Looks and trials took {taken}; the best plan takes {best}.",
        taken=seconds(), best=seconds(),
    ),
    (False, False): row(
        "score.way.good", "Looks and trials took {taken}; a good plan takes {best}.",
        taken=seconds(), best=seconds(),
    ),
    (True, True): row(
        "score.way.quicker-than-best",
        "Looks and trials took {taken}. "
        "The best plan looks for every possible cause, so it comes to this one after {best}.",
        taken=seconds(), best=seconds(),
    ),
    (False, True): row(
        "score.way.quicker-than-good",
        "Looks and trials took {taken}. "
        "A good plan looks for every possible cause, so it comes to this one after {best}.",
        taken=seconds(), best=seconds(),
    ),
}  # fmt: skip
"""By whether the plan is proved to be the best, and whether the way that was taken was cheaper."""

_NEEDLESS_REMEDIES: Final = row(
    "score.care.needless", "{count} needless remedy", plural="{count} needless remedies",
    count=count(),
)  # fmt: skip
_HARMS: Final = row(
    "score.care.harm", "{count} warning or damage", plural="{count} warnings or damages",
    count=count(),
)  # fmt: skip
_HARMS_AND_WEAR: Final = row(
    "score.care.harm-and-wear",
    "{count} warning or damage, which took {life} % of a band's life",
    plural="{count} warnings or damages, which took {life} % of a band's life",
    count=count(), life=number(),
)  # fmt: skip
_SEEN_LIFE: Final = 0.5  # %, from which it is told
_EXPOSED: Final = row(
    "score.care.exposed", "{count} time hands in reach with nothing to protect them",
    plural="{count} times hands in reach with nothing to protect them", count=count(),
)  # fmt: skip
_UNTOLD: Final = row(
    "score.care.untold", "{count} time power on before those affected were told",
    plural="{count} times power on before those affected were told", count=count(),
)  # fmt: skip
_NOTHING_MENDED: Final = plain("score.care.nothing-mended", "Nothing that was wrong was put right.")
_CAREFUL: Final = plain("score.care.full", "No needless remedy, no warning and no damage.")
_AS_PLANNED: Final = plain(
    "score.care.as-planned",
    "No needless remedy, and no warning or damage but in a trial that the best plan makes too.",
)
_NONE_LEFT: Final = plain("score.care.critical", "None is left after a critical act.")
_LEFT_IN: Final = plain("score.care.left-in", "a force or a jumper was left in")
_NO_HARM: Final = plain("score.care.no-harm", "No warning.")


class Outcome(StrEnum):
    """What came of a session."""

    PASSED = "passed"
    FOUND = "found"  # the right cause, and the saw not proved to be mended
    PRACTISED = "practised"  # with hints, after its answer was told, or with something taken back
    NOT_PASSED = "not passed"
    UNFINISHED = "not finished"  # of a record that ends early, as far as it goes


OUTCOMES: Final = {
    Outcome.PASSED: plain("outcome.passed", "Passed"),
    Outcome.FOUND: plain("outcome.found", "Found, and not proved"),
    Outcome.PRACTISED: plain("outcome.practised", "Practised"),
    Outcome.NOT_PASSED: plain("outcome.not-passed", "Not passed"),
    Outcome.UNFINISHED: plain("outcome.unfinished", "Not finished"),
}
"""What came of it, in words."""


@dataclass(frozen=True, slots=True)
class ScorePart:
    """One part of the score and its reason."""

    key: str
    title: Message
    points: int
    of: int
    reason: Message


def score_of(scored: Sequence[ScorePart], critical: Sequence[Message]) -> int:
    """Return the score, 0 to 100: the share of the points to be had, or 0 with a critical act."""
    if critical:
        return 0
    share = sum(p.points for p in scored) / sum(p.of for p in scored)
    return max(round(100 * share), 0)


def is_drill(session: Session) -> bool:
    """Return whether a session goes by what was named and proved, and not by points alone."""
    return bool(session.hidden) and session.scenario.findings is None


def critical_acts(session: Session) -> tuple[Message, ...]:
    """Return every act that fails the session whatever else was done.

    Hands that were struck by what an instructor put in meanwhile are told, and are no act of theirs.
    One that was taken back stays one, and leaves no points.
    """
    taken_back = [said for each in session.rewinds for said in _fails(each.harms, each.ordered)]
    return (
        *started(session),
        *_by_hand(session.done),
        *taken_back,
        *_fails(session.saw.consequences, session.hands.ordered),
    )


def critical_now(session: Session) -> tuple[Message, ...]:
    """Return the critical acts that stand: those that were not taken back."""
    if not session.rewinds:
        return critical_acts(session)
    return (
        *started(session),
        *_by_hand(session.done.standing),
        *_fails(session.saw.consequences, session.hands.ordered),
    )


def _by_hand(done: Deeds) -> tuple[Message, ...]:
    return (
        *(HANDS_IN(act=each.what) for each in done.unsafe),
        *(each.message for each in done.meddled if not each.allowed),
    )


def _fails(harms: Iterable[Consequence], ordered: bool) -> tuple[Message, ...]:
    """Return those of some harms that fail a session; a strike does not that an instructor brought about."""
    spared = STRIKES if ordered else frozenset()
    return tuple(
        each.sentence
        for each in harms
        if (each.row.severity is Severity.STOP and each.kind not in spared) or each.row.critical
    )


def harms_of(session: Session) -> tuple[Consequence, ...]:
    """Return everything that came to harm, also what was taken back, which comes first."""
    taken_back = (harm for each in session.rewinds for harm in each.harms)
    return (*taken_back, *session.saw.consequences)


def exposures_of(session: Session) -> tuple[Exposure, ...]:
    """Return when hands were in reach with nothing to protect them, also what was taken back."""
    taken_back = (span for each in session.rewinds for span in each.exposures)
    return (*taken_back, *session.hands.exposures)


def strikes_of(session: Session) -> tuple[Consequence, ...]:
    """Return the times that hands were struck, also those taken back, but by no order of an instructor."""
    taken_back = (harm for each in session.rewinds if not each.ordered for harm in each.harms)
    own = () if session.hands.ordered else session.hands.strikes
    return (*(harm for harm in taken_back if harm.kind in STRIKES), *own)


def parts_of(session: Session, known: Evidence, ways: WaysToCause) -> tuple[ScorePart, ...]:
    """Return the parts of the score; a hint takes nothing off them."""
    lesson = lesson_of(session)
    if lesson is not None:
        return _lesson(session, lesson)
    if session.scenario.findings is not None:
        return _round(session)
    return _drill(session, known, ways) if is_drill(session) else _job(session)


def taught(session: Session) -> bool:
    """Return whether the lesson, if there is one, was done to its end."""
    lesson = lesson_of(session)
    return lesson is None or lesson.done


def _lesson(session: Session, lesson: Lesson) -> tuple[ScorePart, ...]:
    steps = len(lesson.steps)
    reason = _STEPS_DONE(done=lesson.number, wanted=steps)
    if lesson.step is not None:
        reason = sentences(reason, _NEXT_STEP(ask=lesson.step.ask))
    return (
        ScorePart("steps", _STEPS, round(PIECES * lesson.number / steps), PIECES, reason),
        _job_care(session),
    )


def _round(session: Session) -> tuple[ScorePart, ...]:
    (found, what), (judged, why) = points_of(session)
    return (
        ScorePart("found", FOUND_TITLE, found, FOUND, what),
        ScorePart("judged", JUDGED_TITLE, judged, JUDGED, why),
        _job_care(session),
    )


def _drill(session: Session, known: Evidence, ways: WaysToCause) -> tuple[ScorePart, ...]:
    first = _first_namings(session, known)
    return (
        _cause(session, first),
        _proof(session),
        _way(session, first, ways),
        _care(session, known, ways),
    )


def _first_namings(session: Session, known: Evidence) -> dict[str, float]:
    """Return, for each hidden cause that was named or put right, what its first naming counts, 0 to 1.

    It counts 1 when the cause was told apart by then. Named earlier, it counts by how far what was
    seen had raised the belief in it above what the report made it (`Naming.worth`). In a session
    with too many acts to be weighed it counts 1.
    """
    weighed: dict[str, Naming] = {}
    for naming in known.namings:
        weighed.setdefault(naming.fault, naming)
    known_by_name = {*session.done.named, *weighed}
    hidden = [fault.name for fault in session.hidden if fault.name in known_by_name]
    return {name: weighed[name].worth if name in weighed else 1.0 for name in hidden}


def wrong_names(session: Session) -> tuple[str, ...]:
    """Return the causes that were named and never there."""
    ever = _ever_hidden(session)
    return tuple(name for name in dict.fromkeys(session.done.named) if name not in ever)


def needless_remedies(session: Session) -> tuple[str, ...]:
    """Return the remedies of what was never there and the parts exchanged with nothing wrong in them, each time."""
    ever = _ever_hidden(session)
    mended = (name for name in session.done.mended if name not in ever)
    return (*mended, *(each for each in session.done.swapped if not goes_with(each, ever)))


def was_unsafe(session: Session) -> bool:
    """Return whether somebody could have been hurt, and it was not taken back: nothing makes up for that."""
    done = session.done.standing if session.rewinds else session.done
    return bool(critical_now(session) or session.hands.exposures or done.untold)


def wore_out_bands(session: Session) -> bool:
    """Return whether more than one band was worn out by what was done wrong: no pieces make up for that."""
    return fsum(each.band_life for each in session.saw.consequences) > MOST_BANDS


def outcome_of(session: Session, known: Evidence) -> Outcome:
    """Return what came of a drill, whatever its points.

    It is passed when it was safe, every hidden cause was told apart before it was named, put right,
    and proved by a good piece, with at most one wrong name or needless remedy, without a hint, with
    nothing taken back, and by somebody to whom no earlier record had told what is hidden, and who had not rehearsed it.
    """
    if was_unsafe(session):
        return Outcome.NOT_PASSED
    first = _first_namings(session, known)
    found = len(first) == len(session.hidden) and all(worth >= 1.0 for worth in first.values())
    slips = {*wrong_names(session), *needless_remedies(session)}
    if not found or len(slips) > MOST_WRONG:
        return Outcome.NOT_PASSED
    origin = session.origin
    if session.done.hints or session.rewinds or origin.answer_known or origin.rehearsed:
        return Outcome.PRACTISED
    proved = not session.faults.still_wrong() and session.tally.proved_us is not None
    return Outcome.PASSED if proved else Outcome.FOUND


def _cause(session: Session, first: dict[str, float]) -> ScorePart:
    hidden = len(session.hidden)
    wrong, needless = wrong_names(session), needless_remedies(session)
    slips = {*wrong, *needless}  # one that was named and then put right is one slip
    points = round(CAUSE * fsum(first.values()) / hidden) - WRONG_CAUSE * len(slips)
    said = [_NAMED(count=hidden, named=len(first))]
    early = sum(worth < 1.0 for worth in first.values())
    if early:
        said.append(_EARLY(count=early))
    if wrong:
        said.append(_WRONG(count=len(wrong)))
    if needless:
        said.append(_NEEDLESS_REMEDIES(count=len(needless)))
    late = [fault for fault in session.faults.counted if fault.set_in_us is None]
    if late:
        said.append(_LATE(count=len(late)))
    return ScorePart("cause", _CAUSE, max(points, 0), CAUSE, _CLAUSES(said=tuple(said)))


def _proof(session: Session) -> ScorePart:
    if session.faults.still_wrong():
        return ScorePart("proof", _PROOF, 0, PROOF, _NOT_MENDED)
    if session.tally.proved_us is None:
        wanted = session.faults.good_to_prove
        reason = _TOO_FEW(count=wanted) if wanted > 1 else _MENDED
        if session.tally.right_length:
            reason = _LENGTH_ONLY
        elif session.tally.too_coarse is not None:
            reason = _TOO_COARSE(
                sure=session.tally.too_coarse.expanded_m, tolerance=session.measuring.tolerance_m
            )
        elif session.tally.right_face and session.measuring.face:
            reason = _FACE_ONLY
        elif session.tally.unmeasured:
            reason = _UNMEASURED
        return ScorePart("proof", _PROOF, _MENDED_ONLY, PROOF, reason)
    said = _PROVED_FACE if session.measuring.face else _PROVED
    return ScorePart("proof", _PROOF, PROOF, PROOF, said)


def _way(session: Session, first: dict[str, float], ways: WaysToCause) -> ScorePart:
    if not first:
        return ScorePart("way", _WAY, 0, WAY, _NOT_NAMED)
    if not ways.planned:
        return ScorePart("way", _WAY, 0, 0, _NO_PLAN)
    worth = fsum(first.values()) / len(session.hidden)
    points = _way_points(ways.taken_s, ways.best_s, worth)
    # What the best plan takes at least; where it hardly matters, the plan in hand stands in for it.
    least_s = ways.best_s if ways.near_best else ways.best_s / (1.0 + ways.excess)
    if _way_points(ways.taken_s, least_s, worth) != points:
        return ScorePart("way", _WAY, 0, 0, _not_scored(ways))
    found_out = all(each >= 1.0 for each in first.values())
    under = found_out and ways.quicker
    reason = _TOOK[ways.exact, under](taken=ways.taken_s, best=ways.best_s)
    if not found_out:
        reason = sentences(reason, _NAMED_EARLY)
    return ScorePart("way", _WAY, points, WAY, reason)


def _way_points(taken_s: float, best_s: float, worth: float) -> int:
    return round(WAY * way_share(taken_s, best_s) * worth)


def _not_scored(ways: WaysToCause) -> Message:
    return _NOT_SCORED(excess=100 * ways.excess) if isfinite(ways.excess) else _NO_PLAN


def way_share(taken_s: float, best_s: float) -> float:
    """Return what share of its points a way earns, 0 to 1, by its price and that of the best plan."""
    full_s = FULL_WAY * best_s + FULL_WAY_S
    none_s = max(NO_WAY * best_s, full_s + _LEAST_S)
    return min(max((none_s - taken_s) / (none_s - full_s), 0.0), 1.0)


def _care(session: Session, known: Evidence, ways: WaysToCause) -> ScorePart:
    if _ever_hidden(session).isdisjoint(session.done.put_right):
        return ScorePart("care", _CARE, 0, CARE, _NOTHING_MENDED)
    idle = len(needless_remedies(session))
    needless = (idle, _NEEDLESS_REMEDIES(count=idle), NEEDLESS)
    harms = _harms(session)
    planned_us = _planned_until_us(session, known, ways)
    own = [
        each for each in harms if each.at_us > planned_us or each not in session.saw.consequences
    ]
    wrongs = _wrongs(session, _harm_takes(own, HARM, CARE), EXPOSED)
    return _care_of(session, CARE, (needless, *wrongs), _AS_PLANNED if harms else _CAREFUL)


def _planned_until_us(session: Session, known: Evidence, ways: WaysToCause) -> int:
    """Return until when harm came of trials that the best plan makes too, before the last cause was named; else -1.

    What a hidden fault does to a piece in a trial that is worth its price is nobody's lack of care.
    """
    taken, best = (
        sum(leg.kind is LegKind.TRIAL for leg in legs) for legs in (ways.taken, ways.best)
    )
    said = [naming for naming in known.namings if naming.right and not naming.unsaid]
    named_us = {naming.fault: naming.at_us for naming in reversed(said)}
    if taken > best or len(named_us) < len(session.hidden):
        return -1
    return max(named_us.values())


def _ever_hidden(session: Session) -> frozenset[str]:
    return frozenset(culprit.fault.name for culprit in session.faults.culprits)


def _job(session: Session) -> tuple[ScorePart, ...]:
    wanted = session.scenario.job.wanted
    bars, tally = session.pieces_a_cut, session.tally
    reason = _CUT(good=tally.good * bars, wanted=wanted * bars, cut=tally.pieces * bars)
    points = round(PIECES * min(session.tally.good, wanted) / wanted)
    return (
        ScorePart("pieces", _PIECES, points, PIECES, reason),
        _job_care(session),
    )


def _job_care(session: Session) -> ScorePart:
    """Return the care of a job or a lesson: what is left forced or jumpered counts like a harm."""
    left_in = (int(bool(session.bench.banner)), _LEFT_IN, JOB_HARM)
    harm = _harm_takes(_harms(session), JOB_HARM, JOB_CARE)
    return _care_of(session, JOB_CARE, (*_wrongs(session, harm, JOB_EXPOSED), left_in), _NO_HARM)


Wrong = tuple[int, Message, float]
"""How often, how it is told, and the points that each time takes off."""


def _harm_takes(harms: Sequence[Consequence], each_takes: int, most: int) -> Wrong:
    """Return what harm takes off: a whole band's life all of a care, a share of it that share.

    Where the saw worked out what a harm wore off the band, that share is all of it, with a point at the least;
    any other harm takes so many points at the least.

    Args:
        harms: What came to harm.
        each_takes: Points that a harm takes besides wear.
        most: Points of the care.
    """
    took = [
        max(most * each.band_life, 1.0 if each.computed_life is not None else float(each_takes))
        for each in harms
    ]
    count, life = len(harms), 100.0 * fsum(each.band_life for each in harms)
    told = _HARMS_AND_WEAR(count=count, life=life) if life >= _SEEN_LIFE else _HARMS(count=count)
    return count, told, fsum(took) / max(count, 1)


def _wrongs(session: Session, harm: Wrong, exposure_takes: int) -> tuple[Wrong, ...]:
    """Return what takes points off the care of a drill and of a job alike."""
    bare, untold = exposed_acts(session), len(session.done.untold)
    return (
        harm,
        (bare, _EXPOSED(count=bare), exposure_takes),
        (untold, _UNTOLD(count=untold), exposure_takes),
    )


def _care_of(session: Session, most: int, wrongs: tuple[Wrong, ...], none: Message) -> ScorePart:
    if critical_acts(session):
        return ScorePart("care", _CARE, 0, most, _NONE_LEFT)
    said = tuple(told for count, told, _ in wrongs if count)
    points = round(most - fsum(count * takes for count, _, takes in wrongs))
    return ScorePart("care", _CARE, max(points, 0), most, _CLAUSES(said=said) if said else none)


def harm_of(session: Session) -> int:
    """Return how many times machine, band or bar came to harm.

    Struck hands, which are critical by themselves, do not count.
    """
    return len(_harms(session))


def _harms(session: Session) -> tuple[Consequence, ...]:
    return tuple(each for each in harms_of(session) if each.kind not in STRIKES)


def exposed_acts(session: Session) -> int:
    """Return in how many acts hands were in a zone whose row did not hold."""
    spans = [(each.what, each.zone) for each in exposures_of(session)]
    return len(dict.fromkeys(spans))


def fault_titles(names: Sequence[str]) -> tuple[Message, ...]:
    """Return the plain names of faults."""
    return tuple(EVERY[name].title for name in names)
