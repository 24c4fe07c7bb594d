"""Proves a scenario before a class sees it, by running it.

Of a job and a drill it is proved that:

- the autopilot finishes the job on the sound machine without a warning;
- with the faults in, something shows that anybody would report (`symptom`);
- the machine does what is reported, with each of its faults and none fewer, and others would do so too;
  how many pieces the operator left does not tell the cause, and where they do once measured, it is said;
- no text that is read before the close, and not the file's name, names a fault;
- the allowed inspections tell the faults from every cause that the scenario does not declare alike,
  and the best plan names no other first;
- who looks at everything earns nothing for the way;
- after the remedies the machine runs well again.

Of a lesson it is proved that every step can be reached from the one before and asks for something, and
that nobody who does as asked does harm.

Each claim that fails says where in the file it is decided, and what to do. Files are shared out over
the processors.
"""

import gc
import multiprocessing
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import partial
from math import fsum
from typing import Final, TypeVar

from sim.authoring.claims import (
    ALIKE,
    ASKS,
    CURED,
    FINISHES,
    HARMLESS,
    HAS_IT,
    HIDES,
    MISLED,
    OPEN,
    PROVABLE,
    REACHED,
    REPORTED,
    SEEN,
    SEEN_WITH_ALL,
    SHOWS,
    TOLD,
    TOLD_WITH_ALL,
    UNNAMED,
    WORTH,
    Claim,
    Place,
)
from sim.authoring.given_away import FILE, given_away
from sim.authoring.round_check import round_proved
from sim.authoring.search import put_right
from sim.authoring.symptom import LISTED, symptom, trouble, waits
from sim.control.nouns import said_state
from sim.debrief.best_path import best_way
from sim.debrief.scoring import way_share
from sim.diagnosis.account import account_of, as_written, fits, likelihood
from sim.diagnosis.best_plan import plan_of
from sim.diagnosis.causes import with_faults
from sim.diagnosis.dependency import NOTHING_WRONG, Matrix, Probe, cause_of, faults_of
from sim.diagnosis.enough import told_apart
from sim.diagnosis.matrix_from_saw import for_role, matrix_for
from sim.diagnosis.stages import LOCK_OUT, SIGHT, is_late, stages_for, title_of
from sim.diagnosis.tree import leader
from sim.errors import ScenarioError
from sim.pilot.autopilot import again, as_found, whole_job
from sim.pilot.lesson_pilot import play_lesson
from sim.scenario.gate import load
from sim.scenario.scenario import Scenario
from sim.session.hands.table import last_step_to_mend, locked_out_to_mend, to_mend
from sim.session.inspections.pieces import PIECE_LOOKS
from sim.session.lessons.lesson import lesson_of
from sim.session.locking import do_all, giving_back, locking_out
from sim.session.opening import read, session_for
from sim.trade.measuring import BY_NAME as TOOLS
from sim.words.fields import count, minutes, mm, name, number, part, parts, seconds
from sim.words.message import NOTHING, Message, plain, row

_PIECES: Final = 2  # enough after a remedy: the first index and the next
_MOST_PROCESSES: Final = 8
_SELDOM: Final = (5_000, 20, 20)  # thresholds of the garbage collection
_LATE: Final = 10.0  # seconds or so where a fault sets in late
_SEVERAL: Final = 1.0  # where there are several
OUTFEED: Final = f"{SIGHT}outfeed"  # what lies there, in sight as the saw is found
# Belief in one class of causes, below which the report leaves it open: half, in the whole per cent that are told.
MOST_BY_REPORT: Final = 0.505
_MOST_TOLD: Final = 6  # names in a sentence
_STOPS_S: Final = 30.0  # longer than anything moves without power

_NO_FAULTS: Final = plain("check.hides.no-faults", "there are no faults in it")
_GOOD_OF: Final = row(
    "check.finishes.good", "{good} good of {wanted}, {time}",
    good=number(), wanted=number(), time=minutes(1),
)  # fmt: skip
_BUT: Final = row("check.finishes.but", "{so_far}; {why}", so_far=part(), why=part())
_IT_IS: Final = row("check.finishes.state", "the job is {state}", state=part())
_GOES_ON: Final = plain("check.finishes.goes-on", "the job goes on")
_STEPS: Final = row(
    "check.reached.steps", "{done} of {wanted} steps", done=number(), wanted=number()
)
_STEPS_IN: Final = row("check.reached.time", "{steps}, {time}", steps=part(), time=minutes(1))
_STUCK: Final = row(
    "check.reached.stuck", "{steps}; step {step} wants: {wants}",
    steps=part(), step=number(), wants=parts(" "),
)  # fmt: skip
_IDLE: Final = row(
    "check.asks.idle", "step {steps} is done as soon as it is asked",
    plural="steps {steps} are done as soon as they are asked", count=count(), steps=parts(", "),
)  # fmt: skip
_NUMBER: Final = row("check.number", "{number}", number=number())
_NAME: Final = row("check.name", "{name}", name=name())
_NO_CHANGE: Final = plain("check.seen.no-change", "it changes nothing")
_LIKE_SOUND: Final = plain("check.seen.like-sound", "a machine with nothing wrong looks the same")
_LAST_LOOK: Final = row(
    "check.seen.last-look", "{count} look: {last}", plural="{count} looks, the last of them {last}",
    count=count(), last=part(),
)  # fmt: skip
_TRIAL: Final = row("check.seen.trial", '"{trial}"', trial=part())
_LOOKS: Final = row("check.seen.looks", "{count} look", plural="{count} looks", count=count())
_LATER_LOOK: Final = row("check.seen.later-look", "{look} ({stage})", look=name(), stage=part())
_NO_LOOK: Final = plain("check.seen.no-look", "no look")
_LOOKS_LIKE: Final = row("check.told.alike", "alike: {causes}", causes=part())
_DECLARED: Final = row("check.told.declared", "alike as declared: {causes}", causes=part())
_AS_DECLARED: Final = row(
    "check.told.as-declared", "{count} is alike as declared", plural="{count} are alike as declared",
    count=count(),
)  # fmt: skip
_MISLEADS: Final = row(
    "check.told.misleads", "a sound plan names first, in vain: {causes}", causes=part()
)
_ALL_LOOKS: Final = row(
    "check.worth.all", "all looks take {all}, the best way takes {best}",
    all=seconds(), best=seconds(),
)  # fmt: skip
_NOTHING_REPORTED: Final = plain("check.reported.nothing", "nothing is reported as data")
_BORNE_OUT: Final = plain("check.reported.so", "in every field")
_NOT_SO: Final = row(
    "check.reported.not-so", "it does not do so: {fields}; what it does is {shown}",
    fields=part(), shown=name(),
)  # fmt: skip
_NOT_NEEDED: Final = row("check.reported.not-needed", "it does so without: {causes}", causes=part())
_NAMED: Final = row("check.unnamed.words", "{words}: that is {fault}", words=name(), fault=name())
_FILE_NAMES: Final = row(
    "check.unnamed.file", "{words} in the file's name: that is {fault}", words=name(), fault=name()
)
_LIKELIEST: Final = row(
    "check.open.likeliest", "likeliest by the report, with {share} %: {causes}",
    share=number(), causes=part(),
)  # fmt: skip
_AT_MOST: Final = row("check.open.share", "{share} % at the most", share=number())
_BY_PIECES: Final = row(
    "check.open.pieces", "{said}; the operator's pieces alone, looked at and measured, tell it from all others",
    said=part(),
)  # fmt: skip
_BY_SIGHT: Final = row(
    "check.open.sight", "{said}; how many pieces lie there tells it from all others", said=part()
)
_FROM: Final = row("check.told.from", "from {others} others", others=number())
_MORE: Final = row("check.more", "{some} and {count} more", some=part(), count=count())
_WRECKED: Final = row("check.cured.wrecked", "{harm} before anybody could mend it", harm=part())
_CURED: Final = row(
    "check.cured.pieces", "{good} of {pieces} pieces good, {state}",
    good=number(), pieces=number(), state=part(),
)  # fmt: skip
_NO_TOOL: Final = row(
    "check.provable.no-tool", "no tool that is allowed reaches it and is sure to a quarter of {tolerance}",
    tolerance=mm(None),
)  # fmt: skip
_BY_TOOL: Final = row("check.provable.tool", "one is sure to {sure}", sure=mm(2))
_NO_FACE_TOOL: Final = plain(
    "check.provable.no-face-tool",
    "crooked faces are reported, and no tool that is allowed is sure to half of what counts as square",
)
_BY_BOTH: Final = row(
    "check.provable.both", "one is sure to {sure}, and one for the face to {face}",
    sure=mm(2), face=mm(2),
)  # fmt: skip

Item = TypeVar("Item")
Result = TypeVar("Result")


@dataclass(frozen=True, slots=True)
class Verdict:
    """What came of one claim."""

    claim: Claim
    holds: bool
    detail: Message
    place: Place = ()  # in the file, if not that of the claim
    where: str = ""  # of one that fails: path:line:column
    figures: Message = NOTHING  # the detail without a name, where it names a cause or a look
    instead: Message = NOTHING  # of one that fails: what to do, if not what the claim says

    @property
    def what_to_do(self) -> Message:
        """What its author can do where it fails."""
        return self.instead or self.claim.what_to_do

    @property
    def unnamed(self) -> Message:
        """The detail for anybody: of a claim that holds without the name of a cause or a look."""
        return self.figures if self.holds and self.figures else self.detail


@dataclass(frozen=True, slots=True)
class Report:
    """What came of one scenario."""

    name: str
    verdicts: tuple[Verdict, ...]

    @property
    def sound(self) -> bool:
        """Whether every claim holds."""
        return all(verdict.holds for verdict in self.verdicts)


def check(name_or_path: str, machine: str = "") -> Report:
    """Return what could be proved of a scenario, on its own machine or on another.

    Raises:
        ScenarioError: There is no such scenario, or its file is refused.
    """
    scenario, file = read(name_or_path, machine)
    located = load(file)
    return Report(
        file.stem,
        tuple(
            verdict if verdict.holds
            else replace(verdict, where=located.where_key(verdict.place or verdict.claim.place))
            for verdict in proved(scenario, file.stem)
        ),
    )  # fmt: skip


def proved(scenario: Scenario, called: str = "") -> tuple[Verdict, ...]:
    """Return what could be proved of a scenario that was read before.

    Args:
        scenario: With every name in it checked.
        called: The name of its file, without its ending; empty where it has none.
    """
    found = list(_teaches(scenario)) if scenario.steps else [_job_finishes(scenario)]
    if scenario.mode in ("drill", "assessment") and not scenario.faults:
        found.append(Verdict(HIDES, False, _NO_FAULTS))
    found += [
        Verdict(claim, not missing, _names(missing)) for claim, missing in round_proved(scenario)
    ]
    if scenario.faults:
        found += [
            _has_it(scenario), _shows(scenario), *_reported(scenario), _unnamed(scenario, called),
            *_isolates(scenario), _mends(scenario), _provable(scenario),
        ]  # fmt: skip
    return tuple(found)


def check_all(names: Sequence[str], machine: str = "") -> Iterator[Report]:
    """Yield the reports of scenarios in their order, as they come, from all processors.

    Args:
        names: Of the scenarios, or their paths.
        machine: The machine that they are checked on; each one's own when left out.

    Raises:
        ScenarioError: There is no such scenario, or its file is refused.
    """
    return shared_out(partial(check, machine=machine), names, partial(_work, machine=machine))


def shared_out(
    work: Callable[[Item], Result],
    items: Sequence[Item],
    much: Callable[[Item], float] = lambda _: 0.0,
) -> Iterator[Result]:
    """Yield what `work` makes of each item, in their order; with several items in processes.

    Args:
        work: To be done.
        items: To do it with.
        much: How much work an item is, against the others: the most is begun first, so that no
            process is left with it at the end.
    """
    processes = min(os.cpu_count() or 1, len(items), _MOST_PROCESSES)
    if processes < 2:
        yield from map(work, items)
        return
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(processes, context, initializer=_collect_seldom) as pool:
        dearest = sorted(enumerate(items), key=lambda each: -much(each[1]))
        begun = {place: pool.submit(work, item) for place, item in dearest}
        try:
            for place in range(len(items)):
                yield begun.pop(place).result()
        finally:
            for each in begun.values():
                each.cancel()


def _collect_seldom() -> None:
    """Have a process look for garbage seldom: what it makes is nearly all let go of by itself."""
    gc.set_threshold(*_SELDOM)


def _work(name_or_path: str, machine: str = "") -> float:
    """Return how much there is to be proved of a scenario: most where what is found cannot be kept."""
    try:
        scenario, _ = read(name_or_path, machine)
    except ScenarioError:
        return 0.0  # it is told in its place
    return _LATE if is_late(scenario) else _SEVERAL if len(scenario.faults) > 1 else 0.0


def _job_finishes(scenario: Scenario) -> Verdict:
    session = session_for(scenario.sound(), nonce="")
    outcome = whole_job(session)
    harm = trouble(session)
    fine = outcome.finished and not harm and session.tally.good >= scenario.job.wanted
    so_far = _GOOD_OF(good=session.tally.good, wanted=scenario.job.wanted, time=session.now_s)
    if fine:
        return Verdict(FINISHES, True, so_far)
    job = session.saw.controller.job
    stands = NOTHING if outcome.finished else waits(session)
    why = session.unsound or harm or stands or job.reason or _state(job.state)
    return Verdict(FINISHES, False, _BUT(so_far=so_far, why=why))


def _teaches(scenario: Scenario) -> tuple[Verdict, ...]:
    session = session_for(scenario, nonce="")
    lesson = lesson_of(session)
    if lesson is None:
        return ()
    fine = play_lesson(session, lesson)
    steps = _STEPS(done=lesson.number, wanted=len(lesson.steps))
    if fine:
        reached = _STEPS_IN(steps=steps, time=session.now_s)
    else:
        wants = lesson.wanting()
        reached = _STUCK(steps=steps, step=lesson.number + 1, wants=wants)
    idle = tuple(_NUMBER(number=each) for each in lesson.idle)
    harm = trouble(session)
    return (
        Verdict(REACHED, fine, reached, ("steps", lesson.number, "goal")),
        Verdict(
            ASKS, not idle, _IDLE(count=len(idle), steps=idle) if idle else NOTHING,
            ("steps", lesson.idle[0] - 1, "goal") if idle else (),
        ),
        Verdict(HARMLESS, not harm, harm),
    )  # fmt: skip


def _has_it(scenario: Scenario) -> Verdict:
    session = session_for(scenario, nonce="")
    there = {fault.name for fault in session.faults.still_wrong()}
    missing = [fault.title for fault in session.hidden if fault.name not in there]
    return Verdict(HAS_IT, not missing, _listed(missing))


def _shows(scenario: Scenario) -> Verdict:
    found = symptom(scenario)
    return Verdict(SHOWS, bool(found.said), found.said)


def _isolates(scenario: Scenario) -> tuple[Verdict, ...]:
    cause = cause_of(sorted(fault.name for fault in scenario.faults))
    matrix, plan = plan_of(scenario)
    if cause not in {each.name for each in matrix.causes}:
        return (Verdict(SEEN, False, _NO_CHANGE, ("faults",)),)
    way = best_way(matrix, cause, plan)
    true = matrix.causes[matrix.row(cause)]
    alike = [each.name for each in matrix.causes if each.outcomes == true.outcomes]
    own = {fault.name for fault in scenario.faults}
    allowed = own | set(scenario.ambiguous_with)
    others = [each for each in alike if each not in (cause, NOTHING_WRONG)]
    open_ = [each for each in others if not allowed.issuperset(faults_of(each))]
    met = {fault for each in others for fault in faults_of(each)}
    idle = [fault for fault in scenario.ambiguous_with if fault not in met]
    looks = [c for name in way.columns if not (c := matrix.inspections[matrix.column(name)]).seen]
    many = _LOOKS(count=len(looks)) if looks else _NO_LOOK
    last = _LAST_LOOK(count=len(looks), last=_look(scenario, looks[-1])) if looks else _NO_LOOK
    sound = matrix.causes[matrix.row(NOTHING_WRONG)]
    like_sound = not any(
        column.look and bad != good
        for column, bad, good in zip(matrix.inspections, true.outcomes, sound.outcomes, strict=True)
    )  # what only a trial or a sight shows, no inspection shows
    bare = NOTHING
    if open_:
        told = _LOOKS_LIKE(causes=_few(open_))
    elif way.misled:
        told = _MISLEADS(causes=_names(way.misled))
    elif others:
        told, bare = _DECLARED(causes=_names(others)), _AS_DECLARED(count=len(others))
    else:
        told = _FROM(others=len(matrix.causes) - 1)
    has_all = scenario.inspections == "all"
    apart = TOLD_WITH_ALL if has_all else NOTHING
    return (
        Verdict(
            SEEN,
            not like_sound,
            _LIKE_SOUND if like_sound else last,
            figures=many,
            instead=SEEN_WITH_ALL if has_all else NOTHING,
        ),
        Verdict(
            TOLD,
            way.told_apart and not open_ and not way.misled,
            told,
            figures=bare,
            instead=apart if open_ else MISLED if way.misled else NOTHING,
        ),
        *([Verdict(ALIKE, False, _names(idle))] if idle else []),
        _worth(matrix, fsum(column.cost_s for column in looks)),
    )


def _worth(matrix: Matrix, best_s: float) -> Verdict:
    """Return whether looking at everything costs so much more that it earns nothing for the way."""
    looks = {column.look: column.cost_s for column in matrix.inspections if column.look}
    gates = [column.cost_s for column in matrix.inspections if column.name == LOCK_OUT]
    all_s = fsum(looks.values()) + fsum(gates)
    said = _ALL_LOOKS(all=all_s, best=best_s)
    return Verdict(WORTH, way_share(all_s, best_s) == 0.0, said)


def _reported(scenario: Scenario) -> tuple[Verdict, ...]:
    """Return whether the faults do what is reported, each of them is needed, and others may do it too."""
    told = scenario.reported
    if told is None or not told.borne_out:
        place = ("report",) if told is None else ("reported",)
        return (Verdict(REPORTED, False, _NOTHING_REPORTED, place),)
    names = tuple(sorted(fault.name for fault in scenario.faults))
    sound = account_of(scenario.sound(), told)
    account = account_of(scenario, told)
    missing = set(told.borne_out) - fits(told, account, sound)
    first = Verdict(REPORTED, not missing, _BORNE_OUT)
    if missing:
        first = Verdict(
            REPORTED, False,
            _NOT_SO(
                fields=_names(sorted(missing)),
                shown=", ".join(as_written(field, account, sound) for field in sorted(missing)),
            ),
            ("reported", sorted(missing)[0]),
        )  # fmt: skip
    for one in names if len(names) > 1 else ():
        alone = account_of(with_faults(scenario, (one,)), told)
        if not missing and likelihood(told, alone, sound) > 0.0:
            rest = [each for each in names if each != one]
            first = Verdict(REPORTED, False, _NOT_NEEDED(causes=_names(rest)))
    matrix = for_role(scenario, matrix_for(scenario))
    ahead = leader(matrix, [each.name for each in matrix.causes])
    share = fsum(matrix.causes[matrix.row(each)].weight for each in ahead)
    said = _LIKELIEST(causes=_few(ahead), share=100 * share)
    bare = _AT_MOST(share=100 * share)
    cause = cause_of(names)
    by_sight = told.of_pieces and _told_by(matrix, cause, (OUTFEED,))
    if by_sight:
        said, bare = _BY_SIGHT(said=said), _BY_SIGHT(said=bare)
    elif told.of_pieces and _told_by(matrix, cause, (OUTFEED, *_of_pieces(matrix))):
        said, bare = _BY_PIECES(said=said), _BY_PIECES(said=bare)
    return (first, Verdict(OPEN, share < MOST_BY_REPORT and not by_sight, said, figures=bare))


def _of_pieces(matrix: Matrix) -> tuple[str, ...]:
    """Return the looks at the pieces that lie there when the saw is found, by the names of their columns."""
    looks = {row.name for row in PIECE_LOOKS}
    return tuple(each.name for each in matrix.inspections if each.name == each.look in looks)


def _told_by(matrix: Matrix, cause: str, columns: Iterable[str]) -> bool:
    """Return whether some columns alone tell a cause, and what is like it, from all others."""
    there = {each.name: each for each in matrix.causes}
    if cause not in there:
        return False
    true, places = there[cause], [matrix.column(name) for name in columns]
    own = fsum(each.weight for each in matrix.causes if each.outcomes == true.outcomes)
    left = fsum(
        each.weight
        for each in matrix.causes
        if all(each.outcomes[place] == true.outcomes[place] for place in places)
    )
    return told_apart(own / fsum(each.weight for each in matrix.causes), own / left)


def _unnamed(scenario: Scenario, called: str) -> Verdict:
    """Return whether no text that is read before the close names what is hidden."""
    found = given_away(scenario, called)
    if not found:
        return Verdict(UNNAMED, True, NOTHING)
    first = found[0]
    row = _FILE_NAMES if first.field == FILE else _NAMED
    said = row(words=", ".join(first.words), fault=first.fault)
    return Verdict(UNNAMED, False, said, ("title" if first.field == FILE else first.field,))


def _look(scenario: Scenario, probe: Probe) -> Message:
    """Return a look by the name it has in the file, with the stage in which it is made."""
    if not probe.look:
        return _TRIAL(trial=title_of(probe.name))
    stage = stages_for(scenario)[probe.stage // 2]
    if not stage.after:
        return _NAME(name=probe.look)
    return _LATER_LOOK(look=probe.look, stage=stage.after)


def _listed(items: Iterable[Message]) -> Message:
    kept = tuple(items)
    return LISTED(items=kept) if kept else NOTHING


def _names(names: Iterable[str]) -> Message:
    return _listed(_NAME(name=each) for each in names)


def _few(names: Sequence[str]) -> Message:
    some, more = _names(names[:_MOST_TOLD]), len(names) - _MOST_TOLD
    return _MORE(some=some, count=more) if more > 0 else some


def _mends(scenario: Scenario) -> Verdict:
    session = session_for(scenario, nonce="")
    if not all(fault.from_the_start for fault in scenario.faults):
        as_found(session, scenario.job.wanted)
        if session.over:
            return Verdict(CURED, False, _WRECKED(harm=trouble(session)))
        session.release("supply.isolator")
        session.advance(_STOPS_S)
    before = len(session.saw.consequences), session.tally.pieces, session.tally.good
    for fault in session.hidden:
        if fault.fresh_bar or fault.jogged:
            put_right(session, fault.name)
            continue
        if locked_out_to_mend(fault):
            until, work = last_step_to_mend(fault), to_mend(fault)
            do_all(session, locking_out(session, until=until, work=work))
        session.put_right(fault.name)
    do_all(session, giving_back(session))
    outcome = again(session, _PIECES)
    harm = trouble(session, before[0])
    pieces, good = session.tally.pieces - before[1], session.tally.good - before[2]
    fine = outcome.finished and not harm and 0 < good == pieces
    so_far = _CURED(good=good, pieces=pieces, state=_state(outcome.state))
    return Verdict(CURED, fine, harm or so_far)


def _provable(scenario: Scenario) -> Verdict:
    allowed = scenario.inspections
    there = TOOLS if allowed == "all" else allowed
    measuring = session_for(scenario, nonce="").measuring
    length = measuring.fit_tool(there)
    if length is None:
        return Verdict(PROVABLE, False, _NO_TOOL(tolerance=measuring.tolerance_m))
    if not measuring.face:
        return Verdict(PROVABLE, True, _BY_TOOL(sure=length.expanded_m))
    tools = measuring.proof_tools(there)
    if not tools:
        return Verdict(PROVABLE, False, _NO_FACE_TOOL)
    return Verdict(PROVABLE, True, _BY_BOTH(sure=length.expanded_m, face=tools[-1].expanded_m))


def _state(state: str) -> Message:
    """Return what has become of the job, a clause."""
    return _GOES_ON if state == "EXECUTE" else _IT_IS(state=said_state("job", state))
