"""The debrief of a session in words, the verdict first.

Never here: what a session was worth (see `debrief.debrief`).
"""

from collections.abc import Sequence
from itertools import zip_longest
from math import fsum
from typing import Final

from sim.debrief.best_path import price_s
from sim.debrief.debrief import Debrief, hints_told
from sim.debrief.evidence import (
    EXPECTS,
    FAULTY,
    SOUND,
    UNSURE,
    EvidenceStep,
    Expectation,
    Naming,
    likely,
)
from sim.debrief.scoring import OUTCOMES, Outcome
from sim.debrief.sound_way import RouteStep
from sim.debrief.what_next import what_next
from sim.faults.catalogue import EVERY
from sim.text.events import line_of
from sim.text.page import Cell, Part, Table
from sim.units import MM
from sim.words.fields import Field, Quantity, clock, count, mm, name, number, part, parts, seconds
from sim.words.message import NOTHING, Message, Row, plain, row, sentences

CAUTION: Final = plain(
    "report.caution",
    "This is practice, not authorisation: the maker's manual, local codes and a qualified or "
    "authorised person come first.",
)
_MOST_SHARES: Final = 4  # causes that are told after a finding
_WORTH_TELLING: Final = 0.005

_TITLE: Final = row("report.title", "Debrief: {title}", title=part())
_VERDICT: Final = row("report.verdict", "{outcome}, {score} of 100.", outcome=part(), score=count())
_NO_POINTS: Final = row("report.verdict.no-points", "{outcome}.", outcome=part())
_OWN: Final = row("report.own", "None of the drills that ship: {which}.", which=part())
_CRITICAL_BACK: Final = row(
    "report.critical.taken-back", "Critical, and taken back; it leaves no points: {act}", act=part()
)
_CRITICAL: Final = row("report.critical", "Critical, and enough to fail: {act}", act=part())
_FAILS: Final = row(
    "report.exposed",
    "Enough to fail: for {time} hands were {where}, without what must hold there first.",
    time=seconds(), where=parts("; "),
)  # fmt: skip
_BACK: Final = row(
    "report.exposed.taken-back",
    "Taken back: for {time} hands were {where}, without what must hold there first.",
    time=seconds(), where=parts("; "),
)  # fmt: skip
_UNDER: Final = row("report.exposed.head", "{where} while the head rested on nothing", where=part())
_SCORE: Final = plain("report.score", "The score:")
_OF: Final = row("report.points-of", "{points} of {most}", points=count(), most=count())

_NOTHING: Final = plain("report.nothing", "nothing")
_TITLES: Final = row("report.titles", "{titles}", titles=parts("; "))
_REPORTED: Final = row("report.reported", "What was reported: {report}", report=part())
_WRONG: Final = row("report.wrong", "What was wrong: {causes}.", causes=part())
_NAMED: Final = row("report.named", "What you named or put right: {causes}.", causes=part())
_STILL_WRONG: Final = row("report.still-wrong", "What is still wrong: {causes}.", causes=part())

_WRONG_AT_START: Final = row(
    "report.wrong.at-start", "What was wrong at the start: {causes}.", causes=part()
)
_NAMED_SO_FAR: Final = row(
    "report.named.so-far", "What you named or put right up to there: {causes}.", causes=part()
)
_STILL_WRONG_THERE: Final = row(
    "report.still-wrong.there", "What was still wrong there: {causes}.", causes=part()
)

_AT: Final = row("report.at", "{at}", at=clock(tenths=True))
_FOUND: Final = plain("report.found", "What you found, and what was in sight:")
_WAS_IN_SIGHT: Final = plain("report.found.in-sight", "Was in sight")
_NOTHING_NEW: Final = plain("report.found.nothing-new", "told nothing new")
_BELIEF: Final = row(
    "report.belief",
    "How likely each cause was after what was seen, of {count} that was thought of (a pair counts as one):",
    plural="How likely each cause was after what was seen, of {count} that were thought of (a pair counts as one):",
    count=count(),
)
_IN_SIGHT: Final = row("report.belief.in-sight", "{title}: {found}", title=part(), found=part())
_HEARD: Final = plain("report.belief.heard", "The operator's report")
_LIKELY: Final = row(
    "report.belief.likely", "{count} cause is still likely",
    plural="{count} causes are still likely",
    count=count(),
)  # fmt: skip
_PERCENT: Final = Quantity("", 0.01)
_SHARE: Final = row("report.belief.share", "{share}% {cause}", share=_PERCENT, cause=part())
_SHARES: Final = row("report.belief.shares", "{shares}", shares=parts(", "))
_AND_MORE: Final = row("report.and-more", "{said} and {more} more", said=part(), more=count())

_EARLY: Final = row(
    "report.early",
    "Named early, at {at}: {cause}. Still to be told apart then: {rivals}.",
    at=clock(tenths=True), cause=part(), rivals=part(),
)  # fmt: skip
_MENDED_EARLY: Final = row(
    "report.mended-early",
    "Put right early, at {at}: {cause}. Still to be told apart then: {rivals}.",
    at=clock(tenths=True), cause=part(), rivals=part(),
)  # fmt: skip
_EXPECTED: Final = row(
    "report.expected", "{title}: you expected {expected}.", title=part(), expected=part()
)
_EXPECTED_AS: Final = {
    EXPECTS[SOUND].key: row(
        "report.expected.sound", "{title}: you expected to find nothing wrong.", title=part()
    ),
    EXPECTS[FAULTY].key: row(
        "report.expected.faulty", "{title}: you expected to find something wrong.", title=part()
    ),
    EXPECTS[UNSURE].key: row(
        "report.expected.unsure", "{title}: you could not tell what to expect.", title=part()
    ),
}
_SO_IT_WAS: Final = plain("report.expected.so", "So it was.")
_NOT_SO: Final = plain("report.expected.not-so", "It was not so.")
_ELSEWHERE: Final = plain(
    "report.expected.elsewhere", "Not judged: a sound saw would have stood otherwise by then."
)
_CAME_TRUE: Final = row(
    "report.came-true",
    "{held} of {count} expectation came true.",
    plural="{held} of {count} expectations came true.",
    held=count(), count=count(),
)  # fmt: skip
_HINT: Final = row("report.hint", "Hint taken: {hint}", hint=part())


_WAYS: Final = {
    True: plain(
        "report.ways.best", "Your way to the cause, and the best plan that heard the report:"
    ),
    False: plain(
        "report.ways.good", "Your way to the cause, and a good plan that heard the report:"
    ),
}
"""The head of the table, by whether the plan is proved to be the best."""
_A_WAY: Final = plain("report.ways.one", "Your way to the cause, and a plan that heard the report:")
_TOGETHER: Final = row(
    "report.way.together", "Up to the name: you {taken}, the plan {best}.",
    taken=seconds(), best=seconds(),
)  # fmt: skip
_NONE_NAMED: Final = row(
    "report.way.none-named",
    "What was wrong was not named: your looks and trials took {taken}, the plan's take {best}.",
    taken=seconds(), best=seconds(),
)  # fmt: skip
_NOT_ALL_NAMED: Final = row(
    "report.way.not-all-named",
    "Not all that was wrong was named: your looks and trials took {taken}, the plan's take {best}.",
    taken=seconds(), best=seconds(),
)  # fmt: skip
_SO_FAR: Final = row(
    "report.way.so-far", "Up to there you took {taken}; the plan takes {best} up to the name.",
    taken=seconds(), best=seconds(),
)  # fmt: skip
_STEP: Final = row("report.way.step", "{step} {cost}.", step=part(), cost=seconds())
_NUMBER: Final = row("report.way.number", "{number}", number=count())

_SAFETY: Final = plain("report.safety", "Lock-out and safety:")
_RIGHT: Final = row("report.safety.right", "{at} {said}", at=clock(tenths=True), said=part())
_NOT_RIGHT: Final = row(
    "report.safety.not-right", "{at} NOT RIGHT. {said}", at=clock(tenths=True), said=part()
)

_CUT: Final = row(
    "report.cut",
    "{count} piece cut, {good} good, in {minutes} simulated minutes.",
    plural="{count} pieces cut, {good} good, in {minutes} simulated minutes.",
    count=count(), good=count(), minutes=number(1),
)  # fmt: skip
_NO_HARM: Final = plain("report.harm.none", "No harm was done.")
_NO_HARM_SO_FAR: Final = plain("report.harm.none.so-far", "No harm was done up to there.")
_EXPOSED: Final = plain(
    "report.harm.exposed",
    "Saw, band and bar are whole, but hands were where nothing protected them.",
)
_HARM: Final = row("report.harm", "Harm done: {harm}.", harm=parts(", "))


def _harm(key: str, english: str, field: Field) -> Row:
    return row(f"report.harm.{key}", english, cost=field)


_MONEY: Final = _harm("money", "{cost} units of money (invented)", number())
_DOWNTIME: Final = _harm("downtime", "{cost} minutes of downtime", number())
_BAND_LIFE: Final = _harm("band-life", "{cost}% of a band's life", _PERCENT)
_SCRAP: Final = _harm("scrap", "{cost} of bar", mm())

_HAPPENED: Final = plain("report.happened", "What happened:")
_AS_RECORDED: Final = plain("report.as-recorded", "As recorded, not played again:")
_SOUND_WAY: Final = plain("report.sound-way", "A sound way:")
_NUMBERED: Final = row("report.numbered", "{number}. {step}", number=count(), step=part())
_REMEMBER: Final = row("report.remember", "To remember: {lesson}", lesson=part())
_NEXT: Final = row(
    "report.next", "Next: {title}. Type drycycle play {scenario}.", title=part(), scenario=name()
)
_NEXT_AGAIN: Final = row(
    "report.next.again", "Next: the same once more, {title}. Type drycycle play {scenario}.",
    title=part(), scenario=name(),
)  # fmt: skip
_DUE: Final = plain("report.next.due", "Or drycycle next: what is due by all that you have done.")
_NEXT_DUE: Final = plain(
    "report.next.only-due",
    "Next: type drycycle next, which tells what is due by all that you have done.",
)


def _exposed(debrief: Debrief) -> tuple[Message, ...]:
    time_s = fsum(each.seconds for each in debrief.exposures)
    where = tuple(_UNDER(where=e.where) if e.head else e.where for e in debrief.exposures)
    practised = debrief.outcome is Outcome.PRACTISED and debrief.rewinds
    said = _BACK if practised else _FAILS
    return (said(time=time_s, where=where),) if time_s > 0.0 else ()


def report(debrief: Debrief) -> tuple[Part, ...]:
    """Return the debrief as sentences and tables, the verdict first."""
    return (
        _TITLE(title=debrief.title),
        *((_OWN(which=debrief.own),) if debrief.own else ()),
        *((debrief.not_played,) if debrief.not_played else ()),
        _verdict(debrief),
        *((debrief.why,) if debrief.why else ()),
        *((debrief.ordered,) if debrief.ordered else ()),
        *(_CRITICAL(act=act) for act in debrief.fails),
        *(_CRITICAL_BACK(act=act) for act in debrief.taken_back),
        *_exposed(debrief),
        *_causes(debrief),
        *_ways(debrief),
        *((_REMEMBER(lesson=debrief.teaches),) if debrief.teaches else ()),
        *((_parts(debrief),) if debrief.parts else ()),
        *_findings(debrief),
        *_apart(debrief),
        *_belief(debrief),
        *_safety(debrief),
        _work(debrief),
        *_listed(_HAPPENED, tuple(map(line_of, debrief.timeline))),
        *_listed(_AS_RECORDED, tuple(map(line_of, debrief.as_recorded))),
        CAUTION,
        _next(debrief),
    )


def _next(debrief: Debrief) -> Message:
    """Return what to do next, and the command for it."""
    following = what_next(debrief)
    if not following.scenario:
        return _NEXT_DUE
    said = _NEXT_AGAIN if following.again else _NEXT
    return sentences(said(scenario=following.scenario, title=following.title), _DUE)


def _verdict(debrief: Debrief) -> Message:
    outcome = OUTCOMES[debrief.outcome]
    if debrief.unfinished:
        return _NO_POINTS(outcome=outcome)
    return _VERDICT(outcome=outcome, score=debrief.score)


def _parts(debrief: Debrief) -> Table:
    rows = tuple(
        (
            p.title,
            _OF(points=p.points, most=p.of) if p.of else "",
            p.reason,
        )
        for p in debrief.parts
    )
    return Table(_SCORE, ("part", "", ""), rows)


def _causes(debrief: Debrief) -> tuple[Message, ...]:
    if not debrief.causes and not debrief.named:
        return ()
    reported = (_REPORTED(report=debrief.reported),) if debrief.reported else ()
    if debrief.unfinished:
        # Where a fault is still sealed nobody knows what was wrong after that.
        known, there = _joined(debrief.causes), _joined(debrief.still_wrong)
        return (
            *reported,
            (_WRONG_AT_START if debrief.not_played else _WRONG)(causes=known),
            _NAMED_SO_FAR(causes=_joined(debrief.named)),
            *(() if debrief.not_played else (_STILL_WRONG_THERE(causes=there),)),
        )
    return (
        *reported,
        _WRONG(causes=_joined(debrief.causes)),
        _NAMED(causes=_joined(debrief.named)),
        _STILL_WRONG(causes=_joined(debrief.still_wrong)),
    )


def _joined(titles: Sequence[Message]) -> Message:
    return _TITLES(titles=tuple(titles)) if titles else _NOTHING


def _findings(debrief: Debrief) -> tuple[Part, ...]:
    told_nothing = debrief.redundant
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (
            _AT(at=step.at_us), step.title if step.look else _WAS_IN_SIGHT, step.found,
            _NOTHING_NEW if step in told_nothing else "",
        )
        for step in debrief.findings
    )  # fmt: skip
    return (Table(_FOUND, ("at", "", "", ""), rows),) if rows else ()


def _belief(debrief: Debrief) -> tuple[Part, ...]:
    if not debrief.weighs:
        return ()
    if debrief.not_weighed:
        return (debrief.not_weighed,)
    if not debrief.steps:
        return ()
    heard = (
        _AT(at=0),
        _HEARD,
        _shares(debrief, debrief.start),
        _LIKELY(count=likely(debrief.start)),
    )
    rows = tuple(
        (
            _AT(at=step.at_us), _seen(step), _shares(debrief, step.shares),
            _LIKELY(count=likely(step.shares)),
        )
        for step in debrief.steps
    )  # fmt: skip
    rows = (heard, *rows)
    return (Table(_BELIEF(count=len(debrief.causes_weighed)), ("at", "", "then", ""), rows),)


def _seen(step: EvidenceStep) -> Message:
    """Return what was looked at, or what was in sight, and what that was."""
    return step.title if step.look else _IN_SIGHT(title=step.title, found=step.found)


def _shares(debrief: Debrief, shares: Sequence[float]) -> Message:
    likely = sorted(
        zip(shares, debrief.causes_weighed, strict=True),
        key=lambda each: (each[0], str(each[1])),
        reverse=True,
    )
    worth = [_SHARE(share=share, cause=cause) for share, cause in likely if share >= _WORTH_TELLING]
    return _some_of(_SHARES(shares=tuple(worth[:_MOST_SHARES])), len(worth) - _MOST_SHARES)


def _some_of(told: Message, more: int) -> Message:
    return _AND_MORE(said=told, more=more) if more > 0 else told


def _apart(debrief: Debrief) -> tuple[Message, ...]:
    """Tell what takes no points: idle looks, early names, expectations, hints."""
    judged = [each for each in debrief.expectations if each.held is not None]
    held = sum(each.held is True for each in judged)
    return (
        *((debrief.idle,) if debrief.idle else ()),
        *(
            _early(each)
            for each in debrief.premature
        ),
        *(
            sentences(_expected(each), _came_true(each))
            for each in debrief.expectations
        ),
        *((_CAME_TRUE(held=held, count=len(judged)),) if judged else ()),
        *(_HINT(hint=hint) for hint in hints_told(debrief.hints)),
    )  # fmt: skip


def _early(each: Naming) -> Message:
    """Tell what was named, or put right, before it was told apart, and when."""
    rivals = _some_of(_joined(each.rivals[:_MOST_SHARES]), len(each.rivals) - _MOST_SHARES)
    cause = EVERY[each.fault].title
    if each.mended_us is not None:
        return _MENDED_EARLY(at=each.mended_us, cause=cause, rivals=rivals)
    return _EARLY(at=each.at_us, cause=cause, rivals=rivals)


def _expected(each: Expectation) -> Message:
    said = _EXPECTED_AS.get(each.expected.key)
    if said is not None:
        return said(title=each.title)
    return _EXPECTED(title=each.title, expected=each.expected)


def _came_true(each: Expectation) -> Message:
    if each.held is None:
        return _ELSEWHERE if each.elsewhere else NOTHING
    return _SO_IT_WAS if each.held else _NOT_SO


def _ways(debrief: Debrief) -> tuple[Part, ...]:
    """Return both ways side by side, step by step; without a plan, what a sound way is."""
    if not debrief.way_best:
        return _listed(_SOUND_WAY, _numbered(debrief.sound_path))
    both = zip_longest(debrief.steps_taken, debrief.steps_best)
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (_NUMBER(number=number), _step(mine), _step(plan))
        for number, (mine, plan) in enumerate(both, start=1)
    )
    title = _WAYS[debrief.way_exact] if debrief.way_near else _A_WAY
    taken, best = (price_s(legs) for legs in (debrief.way_taken, debrief.way_best))
    return (
        Table(title, ("", "you", "the plan"), rows),
        _together(debrief)(taken=taken, best=best),
        *((debrief.cheaper,) if debrief.cheaper else ()),
    )


def _together(debrief: Debrief) -> Row:
    """Return how what both ways took is told: up to the name, where there was one."""
    missing = set(debrief.causes) - set(debrief.named)
    if not missing:
        return _TOGETHER
    if debrief.unfinished:
        return _SO_FAR
    return _NONE_NAMED if len(missing) == len(set(debrief.causes)) else _NOT_ALL_NAMED


def _step(step: RouteStep | None) -> Cell:
    if step is None:
        return ""
    said = step.message
    return _STEP(step=said, cost=step.cost_s) if step.cost_s is not None else said


def _safety(debrief: Debrief) -> tuple[Message, ...]:
    return _listed(
        _SAFETY,
        tuple(
            (_RIGHT if each.fine else _NOT_RIGHT)(at=each.at_us, said=each.said)
            for each in debrief.safety
        ),
    )


def _work(debrief: Debrief) -> Message:
    cost = debrief.cost
    costs = (
        (_MONEY, cost.money),
        (_DOWNTIME, cost.downtime_minutes),
        (_BAND_LIFE, cost.band_life),
        (_SCRAP, cost.scrap_mm * MM),
    )
    harm = tuple(told(cost=amount) for told, amount in costs if amount)
    if not harm and debrief.money:
        harm = (_MONEY(cost=debrief.money),)
    cut = _CUT(count=debrief.pieces, good=debrief.good, minutes=debrief.minutes)
    none = _NO_HARM_SO_FAR if debrief.unfinished else _NO_HARM
    none = _EXPOSED if debrief.exposures else none
    return sentences(cut, _HARM(harm=harm) if harm else none)


def _numbered(steps: Sequence[Message]) -> tuple[Message, ...]:
    return tuple(_NUMBERED(number=number, step=step) for number, step in enumerate(steps, start=1))


def _listed(title: Message, lines: tuple[Message, ...]) -> tuple[Message, ...]:
    return (title, *lines) if lines else ()
