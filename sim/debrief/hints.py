"""A hint on request: the next thing worth doing, which makes practice of a drill.

What the trainee has found leaves some causes possible; the hint names what the best plan over those
causes does first. It never names a cause. The first time it says what to do; when the trainee asks
again and that is still the next thing, it says how, act by act. The hint is written into the record,
so that a session played again has the same hint without working it out anew.
"""

from dataclasses import dataclass
from math import fsum
from typing import Final

from sim.control.table import JOB_UNDER_WAY
from sim.debrief.evidence import as_hidden, evidence
from sim.diagnosis.best_plan import plan_for
from sim.diagnosis.dependency import Matrix
from sim.diagnosis.matrix_from_saw import for_role, matrix_for
from sim.diagnosis.stages import LOCK_OUT, POWER_UP, SWITCH_ON, is_late, title_of
from sim.errors import EffortError
from sim.records.acts import Hinted, Inspected, Mended, Pressed, Swapped
from sim.session import inspections, typed
from sim.session.hands.cautions import what_holds
from sim.session.hands.table import locked_out_to_look, to_look
from sim.session.kept import told
from sim.session.kept.deeds import Answer
from sim.session.lockout import OPERATOR
from sim.session.session import Session
from sim.words.message import Message, plain, sentences

_NO_HINTS: Final = plain("hint.none-in-assessment", "There are no hints in an assessment.")
_READY: Final = frozenset({"supply.control_on", "job.reset"})  # pressed before a job can begin
_TEETH, _NEW_BAND, _LOWERS = "band-teeth", "band.teeth_per_inch", "head.lower"
_BURIED: Final = ("started-buried", "bound-in-kerf")
_RUBBED: Final = ("teeth-rubbed", "band-rubbed")
_OF_TEETH: Final = (
    told.HINT_RUNS_BURIED, told.HINT_RUNS_BURIED_ASK, told.HINT_LIES_BURIED, told.HINT_LIES_BURIED_ASK,
)  # fmt: skip
_WITH_THE_JOB: Final = (*JOB_UNDER_WAY, "STOPPING")  # it raises the head itself
_PRACTICE: Final = plain("hint.practice", "(With a hint a drill is practice.)")


@dataclass(frozen=True, slots=True)
class Next:
    """The next thing worth doing: what it is, and the acts that do it as they are typed."""

    said: Message
    acts: tuple[str, ...] = ()


def hint(session: Session) -> Answer:
    """Give a hint and put it down; a drill with one is practice, whatever comes of it.

    Asked again for the same thing, it names the acts as they are typed.

    Raises:
        CommandError: The run is over.
    """
    if session.scenario.mode == "assessment":
        return Answer(False, _NO_HINTS)
    due = next_thing(session)
    taken = session.done.hints
    said = due.said
    if taken and due.acts and _thing(taken[-1].message) == due.said:
        said = told.HINT_WITH_ACTS(hint=due.said, acts=typed.listed(due.acts))
    session.take_hint(said)
    return Answer(True, sentences(said, _PRACTICE))


def _thing(hint: Message) -> object:
    """Return what a hint says to do, without how."""
    return hint["hint"] if hint.row is told.HINT_WITH_ACTS else hint


def next_thing(session: Session) -> Next:
    """Return what is best done next; it never names a cause that the trainee has not named."""
    safe = _made_safe(session)
    if safe is not None:
        return safe
    if session.scenario.findings is not None:
        return Next(told.HINT_ROUND)
    named = set(session.done.named)
    if session.hidden and all(fault.name in named for fault in session.hidden):
        return _after_naming(session)
    known = evidence(session, up_to_now=True)
    if known.why_none:
        return Next(told.HINT_NO_MORE, typed.NAME_IT)
    try:
        whole = for_role(session.scenario, matrix_for(as_hidden(session, put_in_first=True)))
    except EffortError:
        return Next(told.HINT_NO_MORE, typed.NAME_IT)
    left = _not_done(session, whole.among(known.possible or [c.name for c in whole.causes]))
    total = fsum(cause.weight for cause in whole.causes)
    tree = plan_for(left, _stage(session), total).tree
    if tree.inspection.startswith(LOCK_OUT):  # it is told with the look that it is for
        tree = tree.branches[0][1]
    if not tree.inspection:
        return Next(told.HINT_NAME_IT, typed.NAME_IT)
    return _told(session, left, tree.inspection)


def _made_safe(session: Session) -> Next | None:
    """Return what brings a saw to safety whose teeth are in the metal with no job under way; None where nothing must.

    What a run in the kerf has done to the teeth is looked for before anything else goes on.
    """
    saw = session.saw
    plant, hurt, may_look = saw.plant, _teeth_hurt(session), _may_look(session)
    if saw.controller.job.state in _WITH_THE_JOB or _LOWERS in saw.held:
        return None
    bar, height_m = plant.bar, plant.head.place.position
    if bar.under_band and bar.kerf_depth_m > 0.0 and height_m <= bar.work_top_m:
        if plant.band.contactor:
            said = told.HINT_RUNS_BURIED if may_look else told.HINT_RUNS_BURIED_ASK
            return Next(said, typed.out_of_the_metal(session))
        # In a lock-out that is begun the head was let down, and is not raised again before its end.
        if hurt and not session.lockout.begun:
            said = told.HINT_LIES_BURIED if may_look else told.HINT_LIES_BURIED_ASK
            return Next(said, typed.out_of_the_metal(session))
    look = inspections.find(_TEETH)
    if not hurt or look is None or not may_look:
        return None
    return Next(
        sentences(told.HINT_LOOK(look=look.title), told.HINT_LOCK_FIRST),
        typed.looking(session, look),
    )


def _may_look(session: Session) -> bool:
    """Return whether the teeth can be looked at here, and by this person."""
    there = session.scenario.inspections
    return session.lockout.role != OPERATOR and (there == "all" or _TEETH in there)


def _teeth_hurt(session: Session) -> bool:
    """Return whether the teeth were run to their harm, or a hint has said so, and neither looked at nor changed since.

    That a cut rubbed can come of what a drill hides: there the plan says whether the teeth are worth a look.
    """
    kinds = _BURIED if session.hidden else (*_BURIED, *_RUBBED)
    hurt_us = [harm.at_us for harm in session.saw.consequences if harm.kind in kinds]
    taken = (deed.act for deed in session.done.all if isinstance(deed.act, Hinted))
    hurt_us += [taken_at.at_us for taken_at in taken if _thing(taken_at.message) in _OF_TEETH]
    if not hurt_us:
        return False
    since = [
        deed.act
        for deed in session.done.all
        if deed.answer is not None and deed.answer.taken and deed.act.at_us >= max(hurt_us)
    ]
    return not any(
        isinstance(act, Mended | Swapped) or getattr(act, "name", "") in (_TEETH, _NEW_BAND)
        for act in since
    )


def _after_naming(session: Session) -> Next:
    """Return what is next for who has named everything: put it right, prove it, and nothing more."""
    if session.tally.proved_us is not None:
        return Next(told.HINT_DONE, typed.END_IT)
    mended = set(session.done.put_right)
    left = [name for name in session.done.named if name not in mended]
    said = told.HINT_NAMED if left else told.HINT_PROVE
    if session.measuring.face:
        said = sentences(said, told.HINT_FACE)
    return Next(said, typed.proving(session))


def _not_done(session: Session, matrix: Matrix) -> Matrix:
    """Return the matrix without the looks made since the machine was last changed on purpose."""
    acts = session.done.acts
    changed = max(
        (i for i, act in enumerate(acts) if isinstance(act, Mended | Swapped)), default=-1
    )
    stage = _stage(session) // 2
    done = {act.name for act in acts[changed + 1 :] if isinstance(act, Inspected)}
    return matrix.with_only(
        [
            c.name
            for c in matrix.inspections
            if c.stage // 2 != stage or not (c.seen or c.look in done)
        ]
    )


def _stage(session: Session) -> int:
    """Return the matrix's stage, as found, powered up or after a trial; one more when locked out."""
    locked = int(session.lockout.verified)
    pressed = {key for act in session.done.of(Pressed) for key in act.keys}
    begun = any("job.start" in deed.accepted for deed in session.done.all)
    if is_late(as_hidden(session, put_in_first=True)):
        # The first job is the run as reported. What is looked at after it has power, and a job that was
        # tried once more, begun or not, is the trial.
        tried = sum("job.start" in deed.accepted | deed.refused for deed in session.done.all)
        return 2 * min(tried + 1, 3) * begun + locked
    switched_on = 2 * session.scenario.head_down  # a stage of its own, where the head lies
    if session.saw.cuts or begun or _refused_when_ready(session):
        return 4 + switched_on + locked
    if "supply.control_on" not in pressed:
        return locked
    return 2 + switched_on * ("head.raise" in pressed) + locked


def _refused_when_ready(session: Session) -> bool:
    """Return whether a job was refused on a saw with power and reset for it: that is the trial, too."""
    pressed: set[str] = set()
    for deed in session.done.all:
        if isinstance(deed.act, Pressed):
            if "job.start" in deed.refused and pressed >= _READY:
                return True
            pressed.update(deed.keys)
    return False


def _told(session: Session, matrix: Matrix, name: str) -> Next:
    if not name:
        return Next(told.HINT_NO_MORE, typed.NAME_IT)
    column = matrix.inspections[matrix.column(name)]
    look = inspections.find(column.look)
    if look is None:
        ways = {SWITCH_ON: typed.powering_up, POWER_UP: typed.raising}
        acts = ways.get(name, typed.cutting)(session)
        unlock = (told.HINT_UNLOCK_FIRST,) if session.lockout.locked else ()
        return Next(sentences(*unlock, told.HINT_TRY(trial=title_of(name))), acts)
    acts = typed.looking(session, look)
    reach = to_look(look)
    first = (told.HINT_LOCK_FIRST,) if locked_out_to_look(look) else what_holds(reach)
    return Next(sentences(told.HINT_LOOK(look=look.title), *first), acts)
