"""The debrief: what happened, what could be known, what it cost, and what it was worth.

Everything that a front end, a page or a class report shows of a session that is over, as values and
messages. It is worked out from the session alone, so the same record always gives the same debrief.

Never here: points (`scoring`), evidence (`evidence`), pictures and pages.
"""

from collections import Counter, deque
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from heapq import merge
from itertools import chain, islice, pairwise
from math import fsum
from operator import attrgetter
from typing import Any, Final, Literal

import sim
from sim.debrief.best_path import NO_WAYS, Leg, price_s, ways, whole_s
from sim.debrief.evidence import Evidence, EvidenceStep, Expectation, Naming, cause_title, evidence
from sim.debrief.morning_round import let_pass
from sim.debrief.played_on import played_on
from sim.debrief.progress import PASS_MARK
from sim.debrief.scoring import (
    HANDS_IN,
    Outcome,
    ScorePart,
    critical_acts,
    critical_now,
    exposures_of,
    fault_titles,
    harm_of,
    harms_of,
    is_drill,
    outcome_of,
    parts_of,
    score_of,
    strikes_of,
    taught,
    was_unsafe,
    wore_out_bands,
)
from sim.debrief.sound_way import RouteStep, best_steps, own_steps
from sim.debrief.verdict import why
from sim.diagnosis.dependency import cause_of
from sim.records.rows import Worth
from sim.session.hands.person import seconds_by_zone
from sim.session.hands.zones import STRIKES, WHERE, Demand
from sim.session.kept import told
from sim.session.kept.heard import Event, EventKind
from sim.session.lockout import BY_NAME as STEPS
from sim.session.playback.replay import Replay
from sim.session.rewinds import spent_us
from sim.session.session import Session
from sim.units import MM, US
from sim.words.fields import count, number, part, seconds
from sim.words.message import NOTHING, Message, plain, quoted, row
from sim.words.reader import ENGLISH, Reader

_CHEAPER: Final = row(
    "debrief.cheaper",
    "Your way was cheaper than the plan's: {taken}, and not {best}. The plan costs the least on "
    "average over all causes; for this one you looked in the right place early.",
    taken=seconds(), best=seconds(),
)  # fmt: skip
_IDLE: Final = row(
    "debrief.idle-looks",
    "{count} of {looks} looks told nothing new: every cause that the looks before had left would "
    "have shown the same.",
    count=count(), looks=number(),
)  # fmt: skip
_ORDERED: Final = row(
    "debrief.ordered",
    "An instructor's orders: {taken} carried out, {refused} refused; the time line has each.",
    taken=number(), refused=number(),
)  # fmt: skip
_ORDERED_IN_ASSESSMENT: Final = row(
    "debrief.ordered.assessment",
    "MARKED: an assessment with an instructor's orders on it, {taken} carried out and {refused} "
    "refused; the time line has each.",
    taken=number(), refused=number(),
)  # fmt: skip
_STEP: Final = row("debrief.safety.step", "{step}.", step=part())
_AT_THE_END: Final = row("debrief.safety.at-the-end", "At the end: {banner}", banner=part())
_EXPOSED: Final = row(
    "debrief.safety.exposed", "Hands {where} for {time}: {act}",
    where=part(), time=seconds(), act=part(),
)  # fmt: skip

_ENDS_EARLY: Final = plain(
    "verdict.unfinished",
    "The record ends early: what was named, put right and cut after that is not known, so there are no points.",
)
_CAME_TO: Final[dict[Outcome, Literal["passed", "found", "practised", "not passed"]]] = {
    Outcome.PASSED: "passed",
    Outcome.FOUND: "found",
    Outcome.PRACTISED: "practised",
    Outcome.NOT_PASSED: "not passed",
    Outcome.UNFINISHED: "not passed",
}
"""As records have it."""

_EARLIER: Final = row(
    "debrief.earlier", "{count} earlier event is in the record.",
    plural="{count} earlier events are in the record.", count=count(),
)  # fmt: skip
_ASKED: Final = row(
    "debrief.hint.asked", "{hint} It was asked for {count} time.",
    plural="{hint} It was asked for {count} times.", hint=part(), count=count(),
)  # fmt: skip
_MOST_TOLD: Final = 20_000  # events of a time line

__all__ = ["PASS_MARK", "Cost", "Debrief", "ScorePart", "debrief", "finish", "json_values"]


@dataclass(frozen=True, slots=True)
class Cost:
    """What a session cost, in this workshop's invented money and otherwise."""

    minutes: float = 0.0  # simulated, of the session itself
    downtime_minutes: float = 0.0  # besides, that harm would have cost
    money: float = 0.0
    band_life: float = 0.0  # bands
    scrap_mm: float = 0.0  # of bar spoilt by harm
    bad_pieces: int = 0


@dataclass(frozen=True, slots=True)
class Safety:
    """One step of a lock-out, one unsafe act, or one force or jumper."""

    at_us: int
    said: Message
    fine: bool


@dataclass(frozen=True, slots=True)
class Exposed:
    """Hands in a zone whose row did not hold, all in all."""

    zone: str
    where: Message
    seconds: float
    head: bool = False  # for a part of it the head rested on nothing


@dataclass(frozen=True, slots=True)
class Debrief:
    """Everything a debrief shows."""

    title: Message
    score: int
    outcome: Outcome
    parts: tuple[ScorePart, ...]
    critical: tuple[Message, ...]
    causes: tuple[Message, ...]  # what was wrong, by plain names
    named: tuple[Message, ...]
    still_wrong: tuple[Message, ...]
    pieces: int
    good: int
    minutes: float  # simulated
    money: float
    timeline: tuple[Event, ...]  # with what was done behind the trainee's back
    teaches: Message
    sound_path: tuple[Message, ...]  # what a good operator would have done
    who: str = ""  # pseudonym
    scenario: str = ""
    own: Message = NOTHING  # that it was a file or a saw of somebody's own, where it was
    mode: str = ""
    engine: str = ""
    cost: Cost = Cost()
    safety: tuple[Safety, ...] = ()
    exposures: tuple[Exposed, ...] = ()
    strikes: int = 0  # times that hands were struck, but not by what an instructor put in
    causes_weighed: tuple[Message, ...] = ()  # plain names, in the order of the shares of a step
    true_cause: Message = NOTHING  # the one of them that was so, if one was
    start: tuple[float, ...] = ()  # belief before anything was seen
    steps: tuple[EvidenceStep, ...] = ()
    not_weighed: Message = NOTHING  # why there is no belief
    namings: tuple[Naming, ...] = ()
    expectations: tuple[Expectation, ...] = ()
    why: Message = NOTHING  # it came out so
    reported: Message = NOTHING  # in the operator's words
    way_taken: tuple[Leg, ...] = ()
    way_best: tuple[Leg, ...] = ()
    steps_taken: tuple[RouteStep, ...] = ()  # that way and what came after it, in words
    steps_best: tuple[RouteStep, ...] = ()
    way_exact: bool = True  # the best way is proved to belong to the best plan
    way_near: bool = True  # it is known to be near it
    hints: tuple[Message, ...] = ()
    orders: int = 0  # of an instructor, carried out
    orders_refused: int = 0  # that reached the session and were not taken
    harm: int = 0  # warnings and damages
    rewinds: int = 0  # times that something was taken back
    taken_back: tuple[Message, ...] = ()  # critical acts among it
    not_played: Message = NOTHING  # of a record: from where on it was not played, and why
    as_recorded: tuple[Event, ...] = ()  # what the record tells of the time after that

    @property
    def passed(self) -> bool:
        """Whether the session counts as passed."""
        return self.outcome is Outcome.PASSED

    @property
    def unfinished(self) -> bool:
        """Whether it is of a record that ends early, and tells only what was so up to there."""
        return self.outcome is Outcome.UNFINISHED

    @property
    def fails(self) -> tuple[Message, ...]:
        """The critical acts that were not taken back, each of which fails a session."""
        return _without(self.critical, self.taken_back)

    @property
    def weighs(self) -> bool:
        """Whether looks are weighed against causes: something was hidden, or may have been."""
        return bool(self.causes) or self.mode in ("drill", "assessment")

    @property
    def ordered(self) -> Message:
        """The sentence that an instructor's orders stand on the session, or that some were refused."""
        if not self.orders and not self.orders_refused:
            return NOTHING
        marked = _ORDERED_IN_ASSESSMENT if self.mode == "assessment" else _ORDERED
        return marked(taken=self.orders, refused=self.orders_refused)

    @property
    def cheaper(self) -> Message:
        """The sentence that the way taken was cheaper than the plan's.

        It says nothing when the way was not cheaper, when it was so only by trials that were made in
        part, or when a cause was missed or guessed.
        """
        taken_s, best_s = price_s(self.way_taken), price_s(self.way_best)
        found_out = self.causes and set(self.causes) <= set(self.named) and not self.premature
        if not found_out or not (
            self.way_best and self.way_taken and whole_s(self.way_taken) < best_s
        ):
            return NOTHING
        return _CHEAPER(taken=taken_s, best=best_s)

    @property
    def findings(self) -> tuple[EvidenceStep, ...]:
        """What was looked at, and, where looks are weighed, what was in sight and told something."""
        return tuple(step for step in self.steps if step.look or self.weighs)

    @property
    def redundant(self) -> tuple[EvidenceStep, ...]:
        """Looks that could tell nothing new: every cause still possible would have shown the same.

        Looks made after the causes had been named are left out.
        """
        if not self.weighs:
            return ()
        return tuple(s for s in self.steps if s.look and s.redundant and not s.after_naming)

    @property
    def idle(self) -> Message:
        """The sentence that looks told nothing new, where some did."""
        if not self.redundant:
            return NOTHING
        return _IDLE(count=len(self.redundant), looks=sum(step.look for step in self.steps))

    @property
    def premature(self) -> tuple[Naming, ...]:
        """Causes that were named while a look could still have ruled out others."""
        return tuple(naming for naming in self.namings if naming.premature)


def debrief(session: Session) -> Debrief:
    """Return the debrief of a session as it stands."""
    known = evidence(session)
    both = ways(session) if session.hidden else NO_WAYS
    critical = critical_acts(session)
    bare = exposures_of(session)
    exposures = tuple(
        Exposed(
            zone.value,
            WHERE[zone],
            round(seconds_in, 3),
            any(each.head for each in bare if each.zone is zone),
        )
        for zone, seconds_in in seconds_by_zone(bare).items()
    )
    parts = parts_of(session, known, both)
    score = score_of(parts, critical)
    outcome = _outcome(session, known, score_of(parts, critical_now(session)))
    best = best_steps(both.best, session.hidden, face=session.measuring.face)
    harms = harms_of(session)
    minutes = (session.going.now_us + spent_us(session.rewinds)) / US / 60
    on = played_on(session.origin)
    true_cause = cause_of(sorted(fault.name for fault in session.hidden))
    return Debrief(
        title=quoted(session.scenario.title),
        score=score,
        outcome=outcome,
        reported=quoted(session.scenario.report),
        why=why(session, known, outcome, PASS_MARK),
        parts=parts,
        critical=critical,
        causes=tuple(fault.title for fault in session.hidden),
        named=fault_titles((*session.done.named, *(n.fault for n in known.namings if n.unsaid))),
        still_wrong=tuple(fault.title for fault in session.faults.still_wrong()),
        pieces=session.tally.pieces * session.pieces_a_cut,
        good=session.tally.good * session.pieces_a_cut,
        minutes=minutes,
        money=fsum(c.money for c in harms),
        timeline=_timeline(session),
        teaches=quoted(session.scenario.teaches),
        sound_path=tuple(said for step in best for said in step.said),
        who=session.origin.who,
        scenario=on.scenario,
        own=on.title if on.digest and not on.counts else NOTHING,
        mode=session.scenario.mode,
        engine=sim.__version__,
        cost=Cost(
            minutes,
            fsum(c.minutes for c in harms),
            fsum(c.money for c in harms),
            fsum(c.band_life for c in harms),
            fsum(c.scrap_m for c in harms) / MM,
            session.pieces_a_cut
            * (
                session.tally.pieces
                - session.tally.good
                + sum(r.bad_pieces for r in session.rewinds)
            ),
        ),
        safety=_safety(session),
        exposures=exposures,
        strikes=len(strikes_of(session)),
        causes_weighed=tuple(map(cause_title, known.causes)),
        true_cause=cause_title(true_cause) if true_cause in known.causes else NOTHING,
        start=known.start,
        steps=known.steps,
        not_weighed=known.why_none,
        namings=known.namings,
        expectations=known.expectations,
        way_taken=both.taken,
        way_best=both.best,
        steps_taken=own_steps(session, both.taken, known.namings),
        steps_best=best,
        way_exact=both.exact,
        way_near=both.near_best,
        hints=tuple(hint.message for hint in session.done.hints),
        orders=session.done.orders,
        orders_refused=session.done.orders_refused,
        harm=harm_of(session),
        rewinds=len(session.rewinds),
        taken_back=_without(critical, critical_now(session)),
    )


def _without(said: Sequence[Message], others: Iterable[Message]) -> tuple[Message, ...]:
    """Return what is left of some sentences without others, each once."""
    left = list(said)
    for each in others:
        left.remove(each)
    return tuple(left)


def _outcome(session: Session, known: Evidence, score: int) -> Outcome:
    """Return what came of a session: a drill by what was done, a job or a lesson by its points.

    Args:
        session: As far as it has come.
        known: What its acts are worth as evidence.
        score: The points without what critical acts took off that were taken back.
    """
    if is_drill(session):
        return outcome_of(session, known)
    kept = not was_unsafe(session) and not wore_out_bands(session)
    passed = kept and score >= PASS_MARK and taught(session) and not let_pass(session)
    if not passed:
        return Outcome.NOT_PASSED
    return Outcome.PRACTISED if session.rewinds else Outcome.PASSED


def as_far_as_played(found: Debrief, played: Replay) -> Debrief:
    """Return the debrief of a record that was played again; one that ends early comes to nothing yet."""
    ends_early = played.cut or played.not_played
    return replace(
        found,
        not_played=played.not_played,
        as_recorded=played.as_recorded,
        outcome=Outcome.UNFINISHED if ends_early else found.outcome,
        parts=() if ends_early else found.parts,
        why=_ENDS_EARLY if ends_early else found.why,
    )


def finish(session: Session) -> Debrief:
    """Close a session and return its debrief; the record's closing line says what it was worth."""
    try:
        found = debrief(session)
    except BaseException:
        session.close()  # whatever happened, the record gets its closing line
        raise
    session.close(summary(found), kept_values(found))
    return found


def summary(found: Debrief) -> Worth:
    """Return what a record keeps of a debrief in figures, for the class report."""
    return Worth(
        score=found.score,
        passed=found.passed,
        minutes=round(found.minutes, 3),
        critical=len(found.critical),
        hints=len(found.hints),
        good=found.good,
        pieces=found.pieces,
        exposed_s=round(fsum(each.seconds for each in found.exposures), 3),
        strikes=found.strikes,
        outcome=_CAME_TO[found.outcome],
    )


def json_values(found: Debrief, reader: Reader = ENGLISH) -> dict[str, Any]:
    """Return a debrief as values that JSON has; messages as text for a reader."""
    return _values(found, lambda said: said.tell(reader))


def kept_values(found: Debrief) -> dict[str, Any]:
    """Return a debrief as values that JSON has, for the record; messages by key and fields."""
    return _values(found, Message.plain)


def _values(found: Debrief, told: Callable[[Message], object]) -> dict[str, Any]:
    values: dict[str, Any] = _json(found, told)
    values["exposures_s"] = {each.zone: each.seconds for each in found.exposures}
    shown = {
        "passed": found.passed, "cheaper": found.cheaper, "redundant": found.redundant,
        "premature": found.premature,
    }  # fmt: skip
    values |= {name: _json(each, told) for name, each in shown.items()}
    return values | {"score": None} if found.unfinished else values


def _json(value: Any, told: Callable[[Message], object]) -> Any:
    if isinstance(value, Message):
        return told(value)
    if is_dataclass(value):
        return {each.name: _json(getattr(value, each.name), told) for each in fields(value)}
    return [_json(each, told) for each in value] if isinstance(value, tuple) else value


def hints_told(hints: Iterable[Message]) -> tuple[Message, ...]:
    """Return the hints that were taken, each once, with how often where that is more than once."""
    times = Counter(hints)
    return tuple(
        _ASKED(hint=hint, count=count) if count > 1 else hint for hint, count in times.items()
    )


def _timeline(session: Session) -> tuple[Event, ...]:
    """Return everything in the order in which it was lived; of one instant, what was told to the trainee first.

    Of a session of weeks it is the last that happened, and how much came before.
    """
    heard = session.heard
    ends = (*heard.went_back, (len(heard.events), len(heard.behind)))
    merged = (
        merge(_between(heard.events, seen), _between(heard.behind, behind), key=attrgetter("at_us"))
        for seen, behind in zip(*map(pairwise, zip((0, 0), *ends, strict=True)), strict=True)
    )
    told = deque(chain.from_iterable(merged), maxlen=_MOST_TOLD)
    earlier = len(heard.events) + len(heard.behind) - len(told)
    pairs = zip((None, *told), told, strict=False)
    told = deque(each for before, each in pairs if not _same_hint(before, each))
    if earlier:
        told.appendleft(Event(told[0].at_us, EventKind.NOTE, _EARLIER(count=earlier)))
    return tuple(told)


def _same_hint(before: Event | None, event: Event) -> bool:
    """Return whether an event is the hint before it, asked for once more at the same instant."""
    return event.kind is EventKind.HINT and event == before


def _between(events: Iterable[Event], places: tuple[int, int]) -> Iterable[Event]:
    return islice(events, *places)


def _safety(session: Session) -> tuple[Safety, ...]:
    steps = [
        Safety(
            each.at_us, each.against or _STEP(step=STEPS[each.name].title), fine=not each.against
        )
        for each in session.done.lockout_steps
    ]
    acts = [Safety(each.at_us, HANDS_IN(act=each.what), fine=False) for each in session.done.unsafe]
    acts += [
        Safety(
            each.from_us,
            _EXPOSED(where=WHERE[each.zone], time=(each.to_us - each.from_us) / US, act=each.what),
            fine=False,
        )
        for each in exposures_of(session)
        if each.demand is not Demand.LOCKED_OUT  # those are told as acts without a lock-out
    ]
    acts += [Safety(at_us, told.NOT_TOLD, fine=False) for at_us in session.done.untold]
    struck = [each for each in harms_of(session) if each.kind in STRIKES]
    acts += [Safety(each.at_us, each.sentence, fine=False) for each in struck]
    meddled = [Safety(each.at_us, each.message, fine=each.out) for each in session.done.meddled]
    if session.bench.banner:
        said = _AT_THE_END(banner=session.bench.banner)
        meddled.append(Safety(session.saw.clock.now_us, said, fine=False))
    return tuple(sorted((*steps, *acts, *meddled), key=lambda row: row.at_us))
