"""A hint on request: the next thing worth doing, which costs points.

What the trainee has found leaves some causes open; of what can still be done, the hint names what
the best plan over those causes does first. It never names a cause. The text is written into the
record, so that a session played again has the same hint without working it out anew.

Imports `session`, `evidence`, `best_path` and `diagnosis`.
"""

from typing import Final

from sim.drill import inspections
from sim.drill.best_path import plan_for, trial_title
from sim.drill.diagnosis.dependency import Matrix
from sim.drill.diagnosis.matrix_from_saw import matrix_for
from sim.drill.diagnosis.par import par
from sim.drill.evidence import as_hidden, evidence
from sim.drill.scoring import HINT
from sim.drill.session import Answer, Session

_NO_HINTS: Final = Answer(False, "There are no hints in an assessment.")
_NAME_IT: Final = "What you have found leaves one cause. Name it."
_NO_MORE: Final = "Nothing more can be told apart by looking. Name the likeliest cause, and try it."
_NAMED: Final = "You have named what was to be found. Put it right, and prove it with a good piece."


def hint(session: Session) -> Answer:
    """Give a hint and count it; each takes 5 points off.

    Raises:
        CommandError: The run is over.
    """
    if session.scenario.mode == "assessment":
        return _NO_HINTS
    text = next_thing(session)
    session.take_hint(text)
    return Answer(True, f"{text} (This hint takes {HINT} points off.)")


def next_thing(session: Session) -> str:
    """Return in words what is best done next; it never names a cause."""
    named = set(session.named)
    if session.hidden and all(fault.name in named for fault in session.hidden):
        return _NAMED
    known = evidence(session, up_to_now=True)
    if known.why_none:
        return _NO_MORE
    whole = matrix_for(as_hidden(session))
    left = _not_done(session, whole.among(known.possible or [c.name for c in whole.causes]))
    if len(left.causes) == 1:
        return _NAME_IT
    stage = _stage(session)
    plan = plan_for(left) if stage == 0 else par(left, stage)
    return _told(left, plan.tree.inspection)


def _not_done(session: Session, matrix: Matrix) -> Matrix:
    """Return the matrix less what was looked at since the machine was last changed on purpose."""
    acts = session.journal.acts
    changed = max((i for i, line in enumerate(acts) if line["act"] == "put_right"), default=-1)
    stage = _stage(session)
    done = {line["name"] for line in acts[changed + 1 :] if line["act"] == "inspect"}
    return matrix.with_only(
        [c.name for c in matrix.inspections if c.stage != stage or not c.look or c.look not in done]
    )


def _stage(session: Session) -> int:
    """Return what the machine has been through: 0 nothing, 1 powered up, 2 a trial."""
    pressed = {
        key for line in session.journal.acts if line["act"] == "press" for key in line["keys"]
    }
    if session.saw.cuts or any(key.startswith("job.begin") for key in pressed):
        return 2
    return 1 if "supply.control_on" in pressed else 0


def _told(matrix: Matrix, name: str) -> str:
    if not name:
        return _NO_MORE
    column = matrix.inspections[matrix.column(name)]
    row = inspections.find(column.look)
    if row is None:
        return f"{trial_title(name)}, and watch what it does."
    lock = " Lock out first: hands go in." if row.reaches_in else ""
    return f"Next: {row.title}.{lock}"
