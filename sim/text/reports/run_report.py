"""`drycycle run`: the autopilot at work, and what came of it."""

from math import degrees as degrees_of
from math import radians
from pathlib import Path
from typing import Any, Final

from sim.pilot import autopilot
from sim.pilot.autopilot import JobOutcome
from sim.records.ending import whole
from sim.saw import SCALE_RAD, Cut
from sim.session.kept.heard import EventKind
from sim.session.opening import open_recorded, open_session
from sim.session.session import Session
from sim.text.tables import PrintedCell, PrintedNumber, print_json, print_said, print_table
from sim.units import MM, US
from sim.words.fields import authored, count, degrees, mm, name, number, one_of, part
from sim.words.message import NOTHING, Message, plain, row

_TITLE: Final = row("run.title", "{title}", title=authored())
_SQUARING: Final = plain("run.squaring", "squaring cut")
_PIECE: Final = plain("run.piece", "piece")
_GOOD: Final = plain("run.good", "good")
_OFF_SIZE: Final = plain("run.off-size", "off size")
_SCRAPPED: Final = plain("run.scrap", "scrap")
_HEADS: Final = ("cut", "what", ("length", "mm"), ("off by", "mm"), "verdict", ("at", "s"))

_HARM: Final = row(
    "run.harm", "{severity}: {sentence}",
    severity=one_of("WARNING", "DAMAGE", "STOP"), sentence=part(),
)  # fmt: skip
_STANDS: Final = row("run.stands", "The job stands. {why}", why=part())
_STOPPED: Final = row("run.stopped", "Stopped or held: {reason}.", reason=part())
_REFUSED: Final = row("run.refused", "Refused {said}", said=part())
_OFF: Final = row(
    "run.none-good.off",
    "No piece is good: the one that fell is off by {low}, and {within} is allowed.",
    plural="No piece is good: the {count} that fell are off by {low} to {high}, and {within} is allowed.",
    count=count(), low=mm(2, sign=True), high=mm(2, sign=True), within=mm(None),
)  # fmt: skip
_ALIKE: Final = row(
    "run.none-good.alike",
    "No piece is good: all {count} that fell are off by {by}, and {within} is allowed.",
    count=number(), by=mm(2, sign=True), within=mm(None),
)  # fmt: skip
_SCRAP: Final = row(
    "run.none-good.scrap",
    "No piece is good: the one that fell is scrap by its ends or by a kerf in it, as told above.",
    plural="No piece is good: the {count} that fell are scrap by their ends or by a kerf in them, as told above.",
    count=count(),
)
_AT_WRONG_ANGLE: Final = row(
    "run.none-good.angle",
    "No piece is good: the end was cut at {angle}, and {wanted} is wanted.",
    angle=degrees(), wanted=degrees(),
)  # fmt: skip
_NO_CUT: Final = row(
    "run.none-good.no-cut", "No piece is good: nothing was cut, the job is {state}.", state=name()
)
_NO_PIECE: Final = row(
    "run.none-good.no-piece", "No piece is good: only the end was squared, and the job is {state}.",
    state=name(),
)  # fmt: skip
_NO_WARNING: Final = plain("run.warnings.none", "no warning")
_WARNINGS: Final = row("run.warnings", "{warnings} warnings or damages", warnings=count())
_OUTCOME: Final = row(
    "run.outcome",
    "{good} good of {wanted} wanted in {minutes} simulated minutes; {warnings}.",
    good=count(), wanted=count(), minutes=number(1), warnings=part(),
)  # fmt: skip

_SEED: Final = 1  # the same pieces each time


def run_and_report(
    scenario: str, machine: str = "", *, as_found: bool, record: Path | None, as_json: bool
) -> int:
    """Run a scenario's job, on its own machine or another, and print the report.

    Returns:
        The exit code, 0 when the job finished.

    Raises:
        ScenarioError: There is no such scenario or machine, or a file is refused.
    """
    session = (
        open_session(scenario, machine=machine, seed=_SEED)
        if record is None
        else open_recorded(scenario, record, machine=machine, seed=_SEED)
    )
    with whole():
        outcome = _run(session, as_found=as_found)
        digest = session.close()
    if as_json:
        print_json(_plain(session, outcome, digest))
    else:
        _print(session, outcome)
    return 0 if outcome.finished else 1


def _run(session: Session, *, as_found: bool) -> JobOutcome:
    if as_found:
        return autopilot.as_found(session, session.scenario.job.wanted)
    return autopilot.whole_job(session)


def _plain(session: Session, outcome: JobOutcome, digest: str) -> dict[str, Any]:
    """Return the report as JSON has it: keys and English, the same for every reader."""
    return {
        "scenario": session.origin.scenario,
        "finished": outcome.finished,
        "job_state": outcome.state,
        "waits_for": [str(said) for said in _waits_for(session)],
        "reason": str(outcome.reason),
        "wanted": session.scenario.job.wanted,
        "length_mm": session.scenario.job.length_mm,
        "tolerance_mm": session.scenario.job.tolerance_mm,
        "pieces": session.tally.pieces,
        "good": session.tally.good,
        "refused": [str(said) for said in _refused(session)],
        "why_none_is_good": str(_why_none_is_good(session)),
        "simulated_s": round(session.now_s, 6),
        "cuts": [
            {
                "at_s": cut.at_us / US,
                "length_mm": round(cut.length_m / MM, 4),
                "short_mm": round(cut.short_m / MM, 4),
                "front_deg": round(degrees_of(cut.front_rad), 4),
                "rear_deg": round(degrees_of(cut.rear_rad), 4),
                "corner_missing_mm": round(cut.corner_m / MM, 4),
                "half_sawn": cut.half_sawn,
                "squaring": cut.squaring,
                "good": session.tally.is_good(cut),
            }
            for cut in session.saw.cuts
        ],
        "consequences": [
            {
                "at_s": c.at_us / US,
                "kind": c.kind,
                "severity": c.row.severity,
                "place": c.row.place,
                "sentence": str(c.sentence),
            }
            for c in session.saw.consequences
        ],
        "events": [
            {"at_s": e.at_us / US, "kind": e.kind, "text": str(e.message), **e.message.plain()}
            for e in session.heard.events
        ],
        "state_sha256": digest,
    }


def _waits_for(session: Session) -> tuple[Message, ...]:
    """Return what the job stands waiting for, a sentence each."""
    return tuple(refusal.said for refusal in session.saw.controller.waits_for())


def _refused(session: Session) -> tuple[Message, ...]:
    """Return what was refused in a run in which nothing was cut, each once; nothing of another run."""
    if session.saw.cuts:
        return ()
    told = [e.message for e in session.heard.events if e.kind == EventKind.REFUSED]
    return tuple({str(said): said for said in told}.values())


def _why_none_is_good(session: Session) -> Message:
    """Return why no piece is good, by what can be measured or seen; nothing where one is."""
    if session.tally.good:
        return NOTHING
    job, state = session.scenario.job, session.saw.controller.job.state
    pieces = [cut for cut in session.saw.cuts if not cut.squaring]
    if not pieces:
        return (_NO_PIECE if session.saw.cuts else _NO_CUT)(state=state)
    if all(cut.corner_gone or cut.ends_differ or cut.half_sawn for cut in pieces):
        return _SCRAP(count=len(pieces))
    angle_deg = degrees_of(pieces[-1].rear_rad)
    if abs(pieces[-1].rear_rad - radians(job.mitre_deg)) > SCALE_RAD:
        return _AT_WRONG_ANGLE(angle=angle_deg, wanted=job.mitre_deg)
    off = [round(cut.length_m / MM, 4) - job.length_mm for cut in pieces]
    if len(off) > 1 and f"{min(off):.2f}" == f"{max(off):.2f}":
        return _ALIKE(count=len(off), by=off[0] * MM, within=job.tolerance_mm * MM)
    return _OFF(count=len(off), low=min(off) * MM, high=max(off) * MM, within=job.tolerance_mm * MM)


def _print(session: Session, outcome: JobOutcome) -> None:
    rows = [_row(session, number, cut) for number, cut in enumerate(session.saw.cuts, start=1)]
    print_table(_TITLE(title=session.scenario.title), _HEADS, rows)
    harm = session.saw.consequences
    for each in harm:
        print_said(_HARM(severity=each.row.severity.upper(), sentence=each.sentence))
    print_said(*(_STANDS(why=said) for said in _waits_for(session)))
    if outcome.reason and outcome.reason == session.unsound:
        print_said(outcome.reason)
    reason = session.saw.controller.job.reason
    if reason:
        print_said(_STOPPED(reason=reason))
    print_said(*(_REFUSED(said=said) for said in _refused(session)))
    none_good = _why_none_is_good(session)
    if none_good:
        print_said(none_good)
    print_said(
        _OUTCOME(
            good=session.tally.good, wanted=session.scenario.job.wanted,
            minutes=session.now_s / 60,
            warnings=_WARNINGS(warnings=len(harm)) if harm else _NO_WARNING,
        )
    )  # fmt: skip


def _row(session: Session, index: int, cut: Cut) -> tuple[PrintedCell, ...]:
    length_mm = round(cut.length_m / MM, 4)
    length, at = PrintedNumber(length_mm, 2, "mm"), PrintedNumber(cut.at_us / US, 1, "s")
    if cut.squaring:
        return index, _SQUARING, length, "", "", at
    off = PrintedNumber(length_mm - session.scenario.job.length_mm, 2, "mm", sign=True)
    bad = _SCRAPPED if cut.corner_gone or cut.ends_differ or cut.half_sawn else _OFF_SIZE
    return index, _PIECE, length, off, _GOOD if session.tally.is_good(cut) else bad, at
