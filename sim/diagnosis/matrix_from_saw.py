"""The dependency matrix of a scenario, found by running its machine under every cause.

For each cause a session is opened with just that cause in it, and every allowed inspection is made
at rest, as the machine is found; then it is powered up, and every inspection is made again; then
one piece is tried and the job held, and they are made a third time (`stages`). Power-up and trial
are inspections too: what they show is how they went. What is in sight in each stage costs nothing. Nothing is typed in. Numbers are judged as
`judgement` says. A function test works the machine, so it is made on a machine of its own.

Three simplifications. A lock-out that an inspection needs, or a head that is let down for it, costs
its time and otherwise leaves the machine as it was. A lock-out is a stage beside its own, paid once,
in which the looks that want one are made, and nothing else. A trial may take half as long again as on the sound machine; then it is broken off.
And each inspection is made when its stage has just been reached, not after the inspections before it.

Only what hangs on nothing hidden is kept on this computer: the matrix of the machine with one fault,
whichever, from the start. That is kept for every scenario, so the files do not tell which ones hide
more; what more takes is run anew in each process.

Runs the saw, as `stages` and `worlds` do.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from math import fsum
from typing import Final, TypeVar

from sim.diagnosis.causes import Names, lived_as, metered, with_faults
from sim.diagnosis.dependency import Cause, Matrix, Probe, cause_of
from sim.diagnosis.halves import in_halves
from sim.diagnosis.judgement import judged
from sim.diagnosis.packed import packed, unpacked
from sim.diagnosis.prior import Prior, prior_for
from sim.diagnosis.stages import (
    LOCK_OUT,
    LOCKED,
    OVER,
    RUN,
    SIGHT,
    TRIAL,
    is_late,
    reached,
    stages_for,
)
from sim.errors import EffortError
from sim.faults.catalogue import EVERY
from sim.faults.fault import Wreck
from sim.kernel.clock import Allowance
from sim.logic.bench.meter import Meter
from sim.plant.harm.consequences import Severity
from sim.records.keep import engine, keep, kept, key_of
from sim.scenario.scenario import HiddenFault, Scenario
from sim.session import inspections, lockout
from sim.session.hands.table import locked_out_to_look, to_look
from sim.session.hands.zones import Zone
from sim.session.inspections.pieces import BAND, UNSURE
from sim.session.inspections.probes import along, told
from sim.session.lockout import QUALIFIED
from sim.session.opening import machine_for, session_for
from sim.session.session import Session
from sim.session.sights.describe import EVIDENCE, in_sight
from sim.signals import SIGNALS
from sim.trade.measuring import Ruling
from sim.words.message import Message

_TELLS_ON_IT: Final = frozenset({
    "faults", "ambiguous_with", "teaches",  # what is hidden, and what is told
    "title", "summary", "level", "skills", "brief", "report",
})  # fmt: skip
_MATTERS: Final = 0.01
"""Belief by the report, from which a cause decides what a tool is good for; chosen."""
MOST_CALLS: Final = 2_000_000  # of all clocks for one matrix; 25 times those of a shipped drill
HANDS_S: Final = 10.0  # to go to the console and press; common practice, no source
_PROPPED_S: Final = (
    110.0  # the head let down on its prop and raised again, the key out and in; as played
)
_LOCKOUT_S: Final = fsum(step.seconds for step in (*lockout.STEPS, *lockout.BACK))


def matrix_for(scenario: Scenario) -> Matrix:
    """Return the dependency matrix of a scenario, its causes as likely as the report makes them.

    Args:
        scenario: What is hidden in it matters only when it is more than one fault that the report
            does not suggest, or when it sets in later.

    Raises:
        EffortError: Too much happens on its machine, as where a fault comes and goes all the time.
    """
    return _whole(_weighed(_question(scenario)))


def causes_for(scenario: Scenario) -> tuple[Names, ...]:
    """Return the causes that are thought of, whether the machine can have them or not."""
    return tuple(_prior(_question(scenario)))


def _question(scenario: Scenario) -> "_Question":
    question = _bare(scenario)
    hidden = tuple(sorted(row.name for row in scenario.faults))
    after_him = tuple(row.name for row in scenario.faults if row.put_in and _of_pieces(scenario))
    if is_late(scenario) or after_him or (hidden and hidden not in _prior(question)):
        key = f"{question.key}/{scenario.faults}/{after_him}"
        return _Question(key, scenario, keeps=False)
    return question


def _of_pieces(scenario: Scenario) -> bool:
    """Return whether pieces of the operator's lie there, which have nothing of what was put in after him."""
    return scenario.reported is not None and scenario.reported.of_pieces


def _bare(scenario: Scenario) -> "_Question":
    bare = scenario.sound()
    return _Question(key_for(bare), bare)


def key_for(scenario: Scenario) -> str:
    """Return the key for a scenario's matrix: engine, catalogue, machine, what the file says of the job.

    Nothing of what is hidden decides it, nor what is told about it but the report.
    """
    return _key("matrix", scenario)


def _key(kind: str, scenario: Scenario) -> str:
    machine, says = machine_for(scenario), scenario.model_dump_json(exclude=set(_TELLS_ON_IT))
    return key_of(kind, f"{engine()}/{','.join(EVERY)}/{machine}/{says}".encode())


def allowed(scenario: Scenario) -> tuple[inspections.Inspection, ...]:
    """Return the inspections that a scenario allows; metering each wire is one."""
    if scenario.inspections == "all":
        return (
            *inspections.INSPECTIONS.values(),
            *(inspections.meter(row.tag) for row in SIGNALS),
        )
    loom = machine_for(scenario).loom
    probed = (each for tag in metered(scenario) for each in along(loom, tag))
    found = (inspections.find(name) for name in dict.fromkeys((*scenario.inspections, *probed)))
    return tuple(row for row in found if row is not None)


def for_role(scenario: Scenario, matrix: Matrix) -> Matrix:
    """Return the matrix of what a plan may have the person at the saw look at: no cabinet for the unqualified."""
    if scenario.role == QUALIFIED:
        return matrix
    looks = ((column.name, inspections.find(column.look)) for column in matrix.inspections)
    names = [name for name, row in looks if row is None or not in_cabinet(row)]
    return matrix if len(names) == len(matrix.inspections) else matrix.with_only(names)


def in_cabinet(row: inspections.Inspection) -> bool:
    """Return whether a look is one into the electrical cabinet."""
    return to_look(row).zone is Zone.CABINET


def price_s(row: inspections.Inspection) -> float:
    """Return the time an inspection takes, s, with the lock-out and the way back if hands go in."""
    return row.seconds + (_LOCKOUT_S if locked_out_to_look(row) else 0.0)


def _propping_s(row: inspections.Inspection) -> float:
    """Return the time it takes to have a raised head rest for a look, s; 0 where it need not."""
    return _PROPPED_S if to_look(row).wants_rest else 0.0


@dataclass(frozen=True, slots=True)
class _Question:
    """A scenario, equal to every other with the same key."""

    key: str
    scenario: Scenario = field(compare=False)
    keeps: bool = True  # what is found may be kept on this computer


@dataclass(frozen=True, slots=True)
class _Visit:
    """What was seen on one machine in one stage."""

    trial: Message  # how getting there went
    sights: tuple[Message, ...]  # of the parts of EVIDENCE
    seconds: float  # how long it took
    harmed: bool
    rests: bool  # the head, then
    looks: tuple[Message, ...]
    hurt: frozenset[str]  # names of the looks that did harm
    # By cause that does the same to all but a meter, what the looks show with it.
    probed: Mapping[Names, tuple[Message, ...]] = field(default_factory=dict)

    def under(self, cause: Names) -> "_Visit":
        """Return what was seen with a cause that does the same to all but a meter."""
        return replace(self, looks=self.probed.get(cause, self.looks), probed={})


Found = TypeVar("Found")


def _whole(found: Found | EffortError) -> Found:
    """Return what was found; raise that it takes too long, which need not be found out twice."""
    if isinstance(found, EffortError):
        raise found
    return found


def _prior(question: _Question) -> Prior:
    return _whole(_prior_or_not(question))


@lru_cache(maxsize=16)
def _prior_or_not(question: _Question) -> Prior | EffortError:
    key = _key("prior", question.scenario) if question.keeps else ""
    try:
        return prior_for(question.scenario, key, Allowance(MOST_CALLS))
    except EffortError as fault:
        return fault


@lru_cache(maxsize=8)
def _weighed(question: _Question) -> Matrix | EffortError:
    try:
        if not question.keeps:  # what is kept shall not tell which scenarios hide more
            _weighed(_bare(question.scenario))
        prior, matrix = _prior(question), _kept_or_found(question)
    except EffortError as fault:
        return fault
    total = fsum(prior[cause.faults] for cause in matrix.causes)  # of those that this saw can have
    weighed = (replace(cause, weight=prior[cause.faults] / total) for cause in matrix.causes)
    return _counted_on(replace(matrix, causes=tuple(weighed)))


def _counted_on(matrix: Matrix) -> Matrix:
    """Return a matrix whose tools tell no more than they can be counted on to tell.

    Where chance decides what a tool reads under a cause that the report leaves likely, its bands are
    one to a plan; where only under others, it reads there as on a good piece.
    """
    for place, column in enumerate(matrix.inspections):
        row = inspections.find(column.look) if column.look else None
        if row is None or row.tool is None:
            continue
        kind = "gap" if row.tool.squareness else "length"
        bands = {str(said) for (of, _), said in BAND.items() if of == kind}
        good, unsure = BAND[kind, Ruling.GOOD], str(UNSURE)
        open_ = any(c.weight >= _MATTERS and c.outcomes[place] == unsure for c in matrix.causes)
        as_one = {unsure, *bands} if open_ else {unsure}
        causes = (
            replace(c, outcomes=(*c.outcomes[:place], str(good), *c.outcomes[place + 1 :]))
            if c.outcomes[place] in as_one
            else c
            for c in matrix.causes
        )
        right = good if str(column.right) in as_one else column.right
        columns = (
            *matrix.inspections[:place], replace(column, right=right), *matrix.inspections[place + 1 :],
        )  # fmt: skip
        matrix = replace(matrix, causes=tuple(causes), inspections=columns)
    return matrix


def _kept_or_found(question: _Question) -> Matrix:
    """Return the matrix as it was kept on this computer, or else find it and keep it."""
    content = kept(question.key) if question.keeps else None
    matrix = unpacked(content) if content is not None else None
    causes = tuple(_prior(question))
    if matrix is None or not _can_be(matrix, question.scenario, causes):
        matrix = found(question.scenario, causes)
        if question.keeps:
            keep(question.key, packed(matrix))
    return matrix


def _can_be(matrix: Matrix, scenario: Scenario, causes: Collection[Names]) -> bool:
    """Return whether a matrix can be that of a scenario: its causes, its columns and its sound machine."""
    rows = allowed(scenario)
    names = [cause.faults for cause in matrix.causes]
    if not set(names) <= set(causes) or len(set(names)) < len(names) or () not in names:
        return False
    sound = tuple(_visits(scenario, (), rows, None, Allowance(MOST_CALLS)))
    right = _told(scenario, sound)
    columns = map(_with_right, _columns(scenario, rows, sound, {}), right)
    unharmed = [replace(column, harms=frozenset()) for column in matrix.inspections]
    harmful = {name for column in matrix.inspections for name in column.harms}
    return (
        unharmed == list(columns)
        and matrix.causes[names.index(())].outcomes == tuple(map(judged, right, right))
        and all(cause.weight == 1.0 for cause in matrix.causes)
        and harmful <= {cause.name for cause in matrix.causes}
    )


def found(scenario: Scenario, causes: Collection[Names]) -> Matrix:
    """Return the dependency matrix of a scenario, run anew; some seconds of work.

    Args:
        scenario: Whose machine is run.
        causes: That are tried, the sound machine among them; one that it cannot have is left out.

    Raises:
        EffortError: As `matrix_for`.
    """
    rows, allowance = allowed(scenario), Allowance(MOST_CALLS)
    scenario = scenario.built_as(machine_for(scenario))  # its file is asked for once
    sound = tuple(_visits(scenario, (), rows, None, allowance))
    sound_s = sound[-1].seconds
    alike: dict[Names, list[Names]] = {}
    for cause in causes:
        alike.setdefault(lived_as(cause), []).append(cause)

    def visited(lived: Names) -> dict[Names, tuple[_Visit, ...]]:
        """Return what is seen under each cause that is lived through alike, if the machine can have it."""
        if not lived:
            return {lived: sound}
        same = alike[lived]
        others = tuple(each for each in same if each != lived)
        visits = tuple(_visits(scenario, lived, rows, sound_s, allowance, others))
        each = {cause: tuple(visit.under(cause) for visit in visits) for cause in same}
        return {c: own for c, own in each.items() if own != sound or _present(scenario, c)}

    every = in_halves(visited, tuple(alike), allowance)
    there = {cause: visits for each in every for cause, visits in each.items()}
    seen = {cause: there[cause] for cause in causes if cause in there}
    right = _told(scenario, seen[()])
    return Matrix(
        tuple(
            Cause(c, 1.0, tuple(map(judged, _told(scenario, v), right))) for c, v in seen.items()
        ),
        tuple(map(_with_right, _columns(scenario, rows, sound, seen), right)),
    )


def _with_right(probe: Probe, right: Message) -> Probe:
    return replace(probe, right=right)


def sound_trial_s(matrix: Matrix) -> float:
    """Return how long the last trial of a matrix takes on the sound machine, s.

    Raises:
        TableError: The matrix has no such trial.
    """
    return matrix.inspections[matrix.column(TRIAL)].cost_s - HANDS_S


def _columns(
    scenario: Scenario,
    rows: tuple[inspections.Inspection, ...],
    sound: tuple[_Visit, ...],
    seen: Mapping[Names, tuple[_Visit, ...]],
) -> Iterator[Probe]:
    locks = any(map(locked_out_to_look, rows))
    for number, stage in enumerate(stages_for(scenario)):
        place, before = 2 * number, 2 * number - 2
        if stage.name:
            harms = frozenset(
                cause_of(cause)
                for cause, visits in seen.items()
                if visits[number].harmed and not stage.risked
            )
            cost_s = HANDS_S + sound[number].seconds
            if stage.name == RUN:  # it counts as a power-up and a trial, however long it took
                cost_s = 2 * HANDS_S + sound[-2].seconds + sound[-1].seconds
            yield Probe(stage.name, cost_s, before, place, harms, until=before + 1)
        for part in EVIDENCE:
            yield Probe(f"{SIGHT}{part}{stage.suffix}", 0.0, place, place, seen=True)
        if locks:
            yield Probe(f"{LOCK_OUT}{stage.suffix}", _LOCKOUT_S, place, place + 1)
        for row in rows:
            hurt = frozenset(
                cause_of(cause) for cause, visits in seen.items() if row.name in visits[number].hurt
            )
            cost_s = row.seconds + (0.0 if sound[number].rests else _propping_s(row))
            at = place + locked_out_to_look(row)
            yield Probe(f"{row.name}{stage.suffix}", cost_s, at, at, hurt, look=row.name)


def _told(scenario: Scenario, visits: tuple[_Visit, ...]) -> tuple[Message, ...]:
    """Return what was seen, in the order of the columns."""
    locked = (LOCKED,) if any(map(locked_out_to_look, allowed(scenario))) else ()
    return tuple(
        said
        for stage, visit in zip(stages_for(scenario), visits, strict=True)
        for said in (
            *((visit.trial,) if stage.name else ()),
            *visit.sights,
            *locked,
            *visit.looks,
        )
    )


def _opened(scenario: Scenario, cause: Names, allowance: Allowance) -> Session:
    session = session_for(with_faults(scenario, cause), nonce="")
    session.saw.clock.allowance = allowance
    return session


def _present(scenario: Scenario, cause: Names) -> bool:
    """Return whether the machine of the scenario can have a cause at all."""
    at_once = tuple(HiddenFault(name=name) for name in cause)
    session = session_for(scenario.model_copy(update={"faults": at_once}), nonce="")
    return len(session.faults.still_wrong()) == len(cause)


def _visits(
    scenario: Scenario,
    cause: Names,
    rows: tuple[inspections.Inspection, ...],
    sound_s: float | None,
    allowance: Allowance,
    alike: tuple[Names, ...] = (),
) -> Iterator[_Visit]:
    """Yield what is seen stage by stage.

    What is `alike` does the same to all but a meter, so it is not lived through again.

    A function test has a session of its own; the last one of all takes the one that is left.
    """
    session = _opened(scenario, cause, allowance)
    stages = stages_for(scenario)
    for place, stage in enumerate(stages):
        start_s, harms = session.now_s, len(session.saw.consequences)
        trial = reached(session, stage, sound_s)
        seconds = session.now_s - start_s
        harmed, rests = _wrecked(session, harms), session.saw.plant.head.rests
        sights = in_sight(session)
        probes = [row for row in rows if row.terminals] if alike and not session.over else []
        probed = {each: probed_under(session, each, probes) for each in alike}
        looks, tests = _shown_now(session, rows)
        hurt = set()
        for row in tests:
            if stage is stages[-1] and row is tests[-1]:
                spare = session
            else:
                spare = _opened(scenario, cause, allowance)
                for before in stages[: place + 1]:
                    if not spare.over:
                        before.reach(spare, sound_s)
            harms = len(spare.saw.consequences)
            looks[row.name] = row.look(spare.saw)
            if _wrecked(spare, harms):
                hurt.add(row.name)
        yield _Visit(
            trial, sights, seconds, harmed, rests, tuple(looks[row.name] for row in rows),
            frozenset(hurt),
            {
                each: tuple(found.get(row.name, looks[row.name]) for row in rows)
                for each, found in probed.items()
            },
        )  # fmt: skip


def _shown_now(
    session: Session, rows: tuple[inspections.Inspection, ...]
) -> tuple[dict[str, Message], list[inspections.Inspection]]:
    """Return what looks show as a machine stands, by their names, and those that work it and are to be made."""
    looks: dict[str, Message] = {}
    tests = []
    meter = Meter(session.saw) if any(row.terminals for row in rows) else None
    for row in rows:
        if session.over:
            looks[row.name] = OVER
        elif row.terminals and meter is not None:
            looks[row.name] = told(row, meter)
        elif row.acts_on(session.saw):
            tests.append(row)
        else:
            looks[row.name] = _looked(session, row)
    return looks, tests


def _looked(session: Session, row: inspections.Inspection) -> Message:
    """Return what a look shows; of a piece that is measured, the band that can be counted on."""
    return row.look(session.saw) if row.tool is None else session.measuring.expected(row)


def probed_under(
    session: Session, cause: Names, probes: Iterable[inspections.Inspection]
) -> dict[str, Message]:
    """Return what looks with a meter would show on a machine if another cause, which is alike, were in it.

    Args:
        session: Where the one is lived that is alike; while that has not set in, neither has the other.
        cause: The other.
        probes: The looks.
    """
    harness = session.saw.plant.harness
    loom, lived = harness.loom, EVERY[lived_as(cause)[0]]
    wreck = Wreck(session.saw.plant, session.saw.bus, {})
    if not lived.present(wreck):
        return {}
    own = lived.fails(loom) if lived.fails is not None else None
    other = EVERY[cause[0]].fails
    failure = other(loom) if other is not None else None
    rest = tuple(each for each in harness.failures if each != own)
    before = harness.lend(rest if failure is None else (*rest, failure))
    meter = Meter(session.saw)
    harness.lend(before)
    return {row.name: told(row, meter) for row in probes}


def _wrecked(session: Session, harms: int) -> bool:
    """Return whether the run was wrecked since there were so many consequences."""
    return any(c.row.severity is Severity.STOP for c in session.saw.consequences[harms:])
