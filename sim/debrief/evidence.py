"""What a trainee could know, and when: which causes each finding left, and what each look was worth.

The trainee's acts are played again under every cause (`diagnosis.worlds`), so that a finding counts
for what it tells about that machine at that moment. What a further look could have told comes from
the scenario's dependency matrix. Nothing here knows why somebody did something.

Never here: points.
"""

from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import accumulate, takewhile
from math import fsum
from operator import sub
from typing import Final
from weakref import WeakKeyDictionary

from sim.bugs import TableError
from sim.diagnosis.causes import Names
from sim.diagnosis.dependency import NOTHING_WRONG, Cause, Matrix, faults_of
from sim.diagnosis.enough import SHARE
from sim.diagnosis.matrix_from_saw import matrix_for
from sim.diagnosis.posterior import (
    Belief,
    diagnosed,
    prior,
    still_possible,
    trail,
)
from sim.diagnosis.posterior import BeliefStep as Weighed
from sim.diagnosis.stages import NOTHING_SHOWS
from sim.diagnosis.worlds import TimedAct, Witnessed, Worlds
from sim.errors import DrycycleError
from sim.faults.catalogue import EVERY
from sim.records.acts import (
    Act,
    Diagnosed,
    Frozen,
    Hinted,
    Inspected,
    Marked,
    Noted,
    Paced,
    PutIn,
    TakenOut,
)  # fmt: skip
from sim.scenario.scenario import HiddenFault, Scenario
from sim.session import inspections
from sim.session.kept.seen import Look
from sim.session.playback.replay import broken_off, play
from sim.session.session import Session
from sim.units import US
from sim.words.fields import name, number, part, parts
from sim.words.message import NOTHING, Message, plain, quoted, row, sentences

SOUND, FAULTY, UNSURE = "sound", "faulty", "unsure"
EXPECTS: Final = {
    SOUND: plain("expect.sound", "as it should be"),
    FAULTY: plain("expect.faulty", "not as it should be"),
    UNSURE: plain("expect.unsure", "cannot tell"),
}
"""What may be expected of a look, by its word in records; any other words are kept as they are."""

_NOTHING_WRONG: Final = plain("cause.nothing-wrong", "Nothing wrong")
_FAULTS: Final = row("cause.faults", "{faults}", faults=parts(" and "))
_IN_SIGHT: Final = plain("evidence.in-sight", "In sight")
_ASKED: Final = row("evidence.asked", "Asked what blocks {action}", action=name())
_NO_BLOCK: Final = plain("evidence.no-block", "Nothing.")
_TOO_MANY: Final = row(
    "evidence.too-many-acts", "More than {most} acts are too many to weigh.", most=number()
)
_NOT_WEIGHED: Final = row("evidence.not-weighed", "The acts cannot be weighed: {why}.", why=part())
_UNKNOWN_LOOK: Final = row("evidence.unknown-look", "{look}", look=name())

_TOLD: Final = 0.01  # of the belief, which a sight must move to be worth a line of its own
MOST_ACTS: Final = 3_000  # up to the last finding; a session with more is not weighed
_ROUNDING: Final = 1e-9
_NO_PART: Final = (Frozen, Paced, Marked, Noted, Hinted)  # change nothing in a world


@dataclass(frozen=True, slots=True)
class _Now:
    """The present instant, weighed like an act that does nothing."""

    at_us: int


_Weighed = Act | _Now


@dataclass(frozen=True, slots=True)
class EvidenceStep:
    """One thing seen, looked at or asked, and how likely each cause was after it."""

    at_us: int
    title: Message
    found: Message
    look: bool  # else what the machine was seen to do
    shares: tuple[float, ...]  # belief in the causes, 0 to 1, in the order of Evidence.causes
    entropy_bits: float
    redundant: bool  # every cause that the looks before had left would have shown the same
    after_naming: bool  # every hidden cause had been named by then, so nobody is blamed for it
    asked: bool = False  # the control was asked what blocks a key


@dataclass(frozen=True, slots=True)
class Naming:
    """One cause that was named."""

    at_us: int
    fault: str
    right: bool
    credit: float  # belief in it at the time, 0 to 1
    heard: float  # belief in it once the report was heard, before anything was seen
    told_apart: bool
    rivals: tuple[Message, ...]  # causes still possible then, the likeliest first
    mended_us: int | None = None  # when it was put right before it was named: it counts as of then
    unsaid: bool = False  # put right and never named: that it was put right stands for its name

    @property
    def premature(self) -> bool:
        """Whether it was named before it was told apart from other causes."""
        return not self.told_apart

    @property
    def worth(self) -> float:
        """What the naming counts, 0 to 1.

        It counts 1 when the cause was told apart. Else it counts by how far what was seen had raised
        the belief in it above what the report alone makes it: (belief - heard) / (1 - heard), at
        least 0.
        """
        if self.told_apart:
            return 1.0
        return max(self.credit - self.heard, 0.0) / (1.0 - self.heard)


@dataclass(frozen=True, slots=True)
class Expectation:
    """What was expected of one look, and whether that is what it showed."""

    at_us: int
    title: Message
    expected: Message
    found: Message
    held: bool | None  # None where the words cannot be judged
    elsewhere: bool = False  # not judged: a sound machine would have stood otherwise by then


@dataclass(frozen=True, slots=True)
class Evidence:
    """Everything that the acts of a session are worth as evidence."""

    causes: tuple[str, ...]  # names, the plan's way of writing them
    start: tuple[float, ...]  # belief before anything was seen
    steps: tuple[EvidenceStep, ...] = ()
    namings: tuple[Naming, ...] = ()
    expectations: tuple[Expectation, ...] = ()
    possible: tuple[str, ...] = ()  # names of the causes that are left at the end
    why_none: Message = NOTHING  # why nothing could be weighed


def cause_title(cause: str) -> Message:
    """Return the plain name of a cause: of its faults, or that nothing is wrong."""
    if cause == NOTHING_WRONG:
        return _NOTHING_WRONG
    titles = tuple(EVERY[name].title for name in faults_of(cause))
    return titles[0] if len(titles) == 1 else _FAULTS(faults=titles)


def likely(shares: Sequence[float]) -> int:
    """Return how many causes are still likely: the likeliest that together are enough to tell apart."""
    held = accumulate(sorted(shares, reverse=True))
    return 1 + sum(1 for _ in takewhile(lambda each: each < SHARE - _ROUNDING, held))


def as_hidden(session: Session, *, put_in_first: bool = False) -> Scenario:
    """Return the scenario with every fault that counted, also those an instructor put in later.

    Args:
        session: As far as it has come.
        put_in_first: Have what the instructor put in be there from the start: what a look can tell
            of it does not hang on when it came, and such a matrix is found once for all.
    """
    # A session may go on for longer than the file of a scenario may have a fault wait.
    live = tuple(
        HiddenFault.model_construct(
            name=c.fault.name, from_s=0.0 if put_in_first else (c.set_in_us or 0) / US
        ).as_put_in()
        for c in session.faults.culprits
        if c.live
    )
    kept = {row.name: row for row in (*session.scenario.faults, *live)}
    return session.scenario.model_copy(update={"faults": tuple(kept.values())})


def evidence(session: Session, *, up_to_now: bool = False) -> Evidence:
    """Return what the session's acts are worth; it runs the saw once for every cause.

    Args:
        session: As far as it has come.
        up_to_now: Weigh what the machine was seen to do up to this instant too, not only up to the
            last act that found or named something.
    """
    acts: list[_Weighed] = [*_up_to_the_last(session)]
    if up_to_now:
        acts = [
            *_that_matter(session.done.acts),
            _Now(session.saw.clock.now_us),
        ]
    if not acts:
        return Evidence((), ())
    if len(acts) > MOST_ACTS:
        return Evidence((), (), why_none=_TOO_MANY(most=MOST_ACTS))
    scenario = as_hidden(session)
    only_sound = _nothing_to_find(session, acts)
    broken = broken_off(session.done.acts)
    nothing: dict[Names, float] = {(): 1.0}
    timed = [_act(act, scenario, broken) for act in acts if not isinstance(act, _Now)]
    try:
        whole = None if only_sound else matrix_for(as_hidden(session, put_in_first=True))
        causes = nothing if whole is None else {c.faults: c.weight for c in whole.causes}
        beside = _lived(session, scenario, timed, causes)
        worlds = beside.worlds
        run, findings = (
            worlds.showed_at(session.saw.clock.now_us) if up_to_now else worlds.showed(len(timed))
        )
    except DrycycleError as fault:
        return Evidence((), (), why_none=_NOT_WEIGHED(why=fault.message))
    except TableError as fault:
        return Evidence((), (), why_none=_NOT_WEIGHED(why=quoted(str(fault))))
    if whole is None:
        nothing_more = Matrix(tuple(replace(c, outcomes=()) for c in run.causes), ())
        weighing = _Weighing(session, acts, run, findings, nothing_more, beside)
        return Evidence((), (), expectations=weighing.expectations())
    return _Weighing(session, acts, run, findings, whole, beside).evidence()


class _Beside:
    """The worlds beside a session, and what its findings did to the belief, as far as it has come."""

    def __init__(self, worlds: Worlds) -> None:
        self.worlds = worlds
        self._trails: dict[str, tuple[Weighed, ...]] = {}

    def weighed(
        self, which: str, run: Matrix, findings: Sequence[Witnessed], lasting: int
    ) -> tuple[Weighed, ...]:
        """Return what findings did to the belief; those that were weighed before are not weighed again.

        Args:
            which: The name of a choice of findings.
            run: What the worlds showed.
            findings: Of that choice, in order.
            lasting: How many acts will still have been done when more is asked.
        """
        observed = [each.observed for each in findings]
        begun = self._trails.get(which, ())[: len(observed)]
        steps = trail(run, observed, begun=begun)
        last = sum(each.act <= lasting for each in findings)
        if last > len(begun):
            self._trails[which] = steps[:last]
        return steps


_BESIDE: Final[WeakKeyDictionary[Session, _Beside]] = WeakKeyDictionary()


def _lived(
    session: Session, scenario: Scenario, acts: Sequence[TimedAct], causes: Mapping[Names, float]
) -> _Beside:
    """Return what is beside a session, once the worlds have lived through its acts."""
    beside = _BESIDE.get(session)
    if beside is None or not beside.worlds.can_go_on_to(scenario, acts, causes):
        beside = _BESIDE[session] = _Beside(Worlds(scenario, causes, session.origin.seed))
    beside.worlds.live(acts)
    return beside


def _nothing_to_find(session: Session, acts: Sequence[_Weighed]) -> bool:
    """Return whether this is a lesson on a sound saw, and nobody took it for anything else, or a round."""
    named = any(isinstance(act, Diagnosed) for act in acts)
    shown = session.scenario.steps or session.scenario.findings
    return bool(shown) and not session.faults.culprits and not named


def _up_to_the_last(session: Session) -> list[Act]:
    """Return the acts that matter up to the last that found, named or put right something hidden."""
    kept, hidden = _that_matter(session.done.acts), {fault.name for fault in session.hidden}
    cured = {deed.act for deed in session.done.all if not hidden.isdisjoint(deed.put_right)}
    told = [
        i for i, act in enumerate(kept) if isinstance(act, Inspected | Diagnosed) or act in cured
    ]
    return kept[: told[-1] + 1] if told else []


def _that_matter(acts: Sequence[Act]) -> list[Act]:
    """Return the acts that can differ from world to world; faults put in are part of the world."""
    return [act for act in acts if not isinstance(act, (*_NO_PART, PutIn))]


def _act(act: Act, scenario: Scenario, broken: frozenset[Act]) -> TimedAct:
    """Return an act for any world; what the instructor took out goes in every one of them.

    What was broken off is only begun, and is broken off by an act of its own.
    """
    if isinstance(act, TakenOut):
        place = [row.name for row in scenario.faults].index(act.name)
        return TimedAct(act.at_us, partial(_take_out, place=place), (act, place))
    wait = act not in broken
    return TimedAct(act.at_us, lambda session: play(session, act, wait=wait), (act, wait))


def _take_out(session: Session, place: int) -> None:
    for fault in session.hidden[place : place + 1]:
        session.instructor.take_out(fault.name)


class _Weighing:
    """One session's findings against what every cause would have shown."""

    def __init__(
        self,
        session: Session,
        acts: Sequence[_Weighed],
        run: Matrix,
        findings: tuple[Witnessed, ...],
        whole: Matrix,
        beside: _Beside,
    ) -> None:
        self._session = session
        self._beside = beside
        self._lasting = sum(not isinstance(act, _Now) for act in acts)
        self._acts = acts
        rest = {cause.name: cause for cause in whole.causes}
        rows = [cause for cause in run.causes if cause.name in rest]
        # What was found, beside everything that could have been.
        self._all = Matrix(
            tuple(replace(c, outcomes=c.outcomes + rest[c.name].outcomes) for c in rows),
            run.inspections + whole.inspections,
        )
        self._run = run.among([cause.name for cause in rows])
        self._findings = findings
        self._by_column = {each.observed.inspection: each for each in findings}
        # Struck, or broken off.
        self._undone = {deed.act for deed in session.done.all if not deed.done}
        deeds = [deed for deed in session.done.all if deed.put_right or deed.undid]
        self._put_right = {deed.act: deed.put_right for deed in deeds}
        self._undid = {deed.act: deed.undid for deed in deeds}

    def evidence(self) -> Evidence:
        """Return the whole of it."""
        weighed = self._beside.weighed("all", self._run, self._findings, self._lasting)
        belief = weighed[-1].belief if weighed else prior(self._run)
        return Evidence(
            tuple(cause.name for cause in self._run.causes),
            prior(self._run),
            self._steps(weighed),
            self._namings(weighed),
            self.expectations(),
            still_possible(self._run, belief),
        )

    def _of(self, step: Weighed) -> Witnessed:
        return self._by_column[step.finding.inspection]

    def _act_of(self, finding: Witnessed) -> _Weighed:
        return self._acts[finding.act - 1]

    def _steps(self, weighed: Sequence[Weighed]) -> tuple[EvidenceStep, ...]:
        looks = [each for each in self._findings if each.look]
        idle = {
            step.finding.inspection: step.redundant and step.explained
            for step in self._beside.weighed("looks", self._run, looks, self._lasting)
        }
        known_us = self._known_us()
        steps: list[EvidenceStep] = []
        before = prior(self._run)
        silent_us: int | None = None  # of a sight in which nothing had happened
        for step in weighed:
            finding, act = self._of(step), self._act_of(self._of(step))
            done = finding.look or finding.key
            if not done and _moved(before, step.belief) < _TOLD:
                # It told next to nothing; but where something was told by what did not come, what
                # stood in sight is all that there is to say.
                if silent_us == finding.at_us:
                    steps[-1] = replace(steps[-1], found=_sights(steps[-1], finding.said))
                continue
            before = step.belief
            at_us, title, said = finding.at_us, _IN_SIGHT, finding.said
            if finding.key:
                title, said = _ASKED(action=finding.key), finding.said or _NO_BLOCK
            elif (look := self._look(act) if finding.look else None) is not None:
                at_us, title, said = look.at_us, _title(look), look.found
            elif not finding.look and _is_sight_of(steps, at_us):
                said = _sights(steps.pop(), said)
            silent_us = at_us if said == NOTHING_SHOWS else None
            steps.append(
                EvidenceStep(
                    at_us,
                    title,
                    said,
                    bool(finding.look),
                    step.belief,
                    step.entropy_bits,
                    idle.get(step.finding.inspection, False),
                    act.at_us >= known_us,
                    asked=bool(finding.key),
                )
            )
        return tuple(steps)

    def _known_us(self) -> float:
        """Return when the last hidden cause was named, or put right before anybody named it."""
        missing = {fault.name for fault in self._session.hidden}
        for act in self._acts:
            names = (act.name,) if isinstance(act, Diagnosed) else self._mended_by(act)
            missing.difference_update(names)
            if names and not missing:
                return float(act.at_us)
        return float("inf")

    def _mended_by(self, act: _Weighed) -> tuple[str, ...]:
        """Return the faults whose remedy an act was, or that setting something cured."""
        return () if isinstance(act, _Now) else self._put_right.get(act, ())

    def _look(self, act: _Weighed) -> Look | None:
        """Return the look that an act made; None of the last one, if it was broken off."""
        before = self._acts[: self._acts.index(act)]
        undone = self._undone
        number = sum(1 for each in before if isinstance(each, Inspected) and each not in undone)
        looks = self._session.seen.looks
        return looks[number] if number < len(looks) else None

    def _namings(self, weighed: Sequence[Weighed]) -> tuple[Naming, ...]:
        """Return what each naming counts, by what was known when the cause was named or put right.

        A remedy or a setting that put a hidden cause right and was never followed by its name is a naming too.
        """
        ever = {culprit.fault.name for culprit in self._session.faults.culprits}
        start = prior(self._run)
        known_at: dict[str, Belief] = {}
        mended_us: dict[str, int] = {}  # of what was put right before it was named
        namings = []
        known: Belief = start
        steps = deque(weighed)
        for k, act in enumerate(self._acts, start=1):
            # What a remedy does is seen after it.
            for fault in self._mended_by(act):
                if fault not in known_at:
                    known_at[fault], mended_us[fault] = known, act.at_us
            # Set, and set wrong again before anybody named it: that was a trial.
            for fault in () if isinstance(act, _Now) else self._undid.get(act, ()):
                if fault in mended_us and fault not in self._session.done.mended:
                    del known_at[fault], mended_us[fault]
            while steps and self._of(steps[0]).act <= k:
                known = steps.popleft().belief
            if isinstance(act, Diagnosed) and act not in self._undone:
                worth = diagnosed(self._all, known_at.setdefault(act.name, known), act.name)
                namings.append(
                    Naming(
                        act.at_us, act.name, act.name in ever, worth.credit, worth.before,
                        worth.told_apart, tuple(cause_title(name) for name in worth.rivals),
                        mended_us.get(act.name),
                    )
                )  # fmt: skip
        named = {naming.fault for naming in namings}
        for fault, at_us in self._session.done.told_by_doing.items():
            if fault in ever and fault not in named and fault in known_at:
                worth = diagnosed(self._all, known_at[fault], fault)
                namings.append(
                    Naming(
                        at_us, fault, True, worth.credit, worth.before, worth.told_apart,
                        tuple(cause_title(name) for name in worth.rivals), at_us, unsaid=True,
                    )
                )  # fmt: skip
        return tuple(sorted(namings, key=lambda naming: naming.at_us))

    def expectations(self) -> tuple[Expectation, ...]:
        """Return what was expected of the looks, and whether it came so."""
        sound: Cause | None = self._run.sound
        told = []
        for finding in self._findings:
            act = self._act_of(finding)
            if not finding.look or not isinstance(act, Inspected) or not act.expect:
                continue
            look = self._look(act)
            if look is None:
                continue
            held: bool | None = None
            # A sound machine that the same acts have taken elsewhere by then says nothing of this one.
            if sound is not None and finding.comparable and act.expect in (SOUND, FAULTY):
                right = sound.outcomes[self._run.column(finding.observed.inspection)]
                well = finding.observed.outcome == right
                # A saw that was put right has come another way than one that was sound all along:
                # where its job is, or its head, may differ, and that is no fault.
                if well or not self._mended_before(act):
                    held = well == (act.expect == SOUND)
            elsewhere = act.expect in (SOUND, FAULTY) and not finding.comparable
            expected = _expected(look.expected)
            told.append(
                Expectation(look.at_us, _title(look), expected, look.found, held, elsewhere)
            )
        return tuple(told)

    def _mended_before(self, act: Inspected) -> bool:
        """Return whether all that was wrong had been put right before a look."""
        faults = self._session.faults
        missing = {culprit.fault.name for culprit in faults.culprits}
        before = self._acts[: self._acts.index(act)]
        mended = {name for each in before for name in self._mended_by(each)}
        return bool(missing) and missing <= mended and not faults.still_wrong()


def _moved(before: Belief, now: Belief) -> float:
    """Return what share of the belief went from some causes to others, 0 to 1."""
    return fsum(map(abs, map(sub, now, before))) / 2.0


def _is_sight_of(steps: Sequence[EvidenceStep], at_us: int) -> bool:
    """Return whether the last step is what was in sight at an instant."""
    return bool(steps) and not (steps[-1].look or steps[-1].asked) and steps[-1].at_us == at_us


def _sights(before: EvidenceStep, seen: Message) -> Message:
    """Return what was in sight, with what else was in sight at that instant."""
    both = [said for said in (before.found, seen) if said != NOTHING_SHOWS]
    return sentences(*both) if both else seen


def _expected(words: str) -> Message:
    """Return what a person expected: one of the choices, or their own words."""
    return EXPECTS.get(words) or quoted(words)


def _title(look: Look) -> Message:
    row = inspections.find(look.name)
    return row.title if row is not None else _UNKNOWN_LOOK(look=look.name)
