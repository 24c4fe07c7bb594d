"""`drycycle run`: the autopilot at work, and what came of it."""

import json
from pathlib import Path
from typing import Any

from sim.pilot import autopilot
from sim.pilot.autopilot import Outcome
from sim.session.opening import open_recorded, open_session
from sim.session.session import Session
from sim.text.tables import console, print_table
from sim.units import MM, US


def run_and_report(scenario: str, *, as_found: bool, record: Path | None, as_json: bool) -> int:
    """Run a scenario's job and print the report; return the exit code, 0 when it finished.

    Raises:
        ScenarioError: There is no such scenario, or its file is refused.
    """
    session = open_session(scenario) if record is None else open_recorded(scenario, record)
    outcome = _run(session, as_found=as_found)
    digest = session.close()
    report = _report(session, outcome, digest)
    if as_json:
        print_json(report)
    else:
        _print(session, report)
    return 0 if outcome.finished else 1


def _run(session: Session, *, as_found: bool) -> Outcome:
    if as_found:
        return autopilot.as_found(session, session.scenario.job.wanted)
    return autopilot.whole_job(session)


def _report(session: Session, outcome: Outcome, digest: str) -> dict[str, Any]:
    return {
        "scenario": session.source.get("scenario", ""),
        "finished": outcome.finished,
        "job_state": outcome.state,
        "waits_for": [str(said) for said in outcome.waits_for],
        "reason": str(outcome.reason),
        "wanted": session.scenario.job.wanted,
        "length_mm": session.scenario.job.length_mm,
        "tolerance_mm": session.scenario.job.tolerance_mm,
        "pieces": session.tally.pieces,
        "good": session.tally.good,
        "simulated_s": round(session.now_s, 6),
        "cuts": [
            {
                "at_s": cut.at_us / US,
                "length_mm": round(cut.length_m / MM, 4),
                "trim": cut.trim,
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
            {"at_s": e.at_us / US, "kind": e.kind, "text": str(e.message)}
            for e in session.heard.events
        ],
        "state_sha256": digest,
    }


def _print(session: Session, report: dict[str, Any]) -> None:
    rows = [
        (
            number,
            "trim" if cut["trim"] else "piece",
            f"{cut['length_mm']:.2f}",
            "" if cut["trim"] else f"{cut['length_mm'] - report['length_mm']:+.2f}",
            "" if cut["trim"] else "good" if cut["good"] else "off size",
            f"{cut['at_s']:.1f}",
        )
        for number, cut in enumerate(report["cuts"], start=1)
    ]
    heads = ("cut", "what", "length mm", "off by mm", "verdict", "at s")
    print_table(session.scenario.title, heads, rows)
    out = console()
    for consequence in report["consequences"]:
        out.print(f"{consequence['severity'].upper()}: {consequence['sentence']}", markup=False)
    for sentence in report["waits_for"]:
        out.print(f"The job stands. {sentence}", markup=False)
    if report["reason"]:
        out.print(f"Stopped or held: {report['reason']}.", markup=False)
    warnings = len(report["consequences"])
    out.print(
        f"{report['good']} good of {report['wanted']} wanted in "
        f"{report['simulated_s'] / 60:.1f} simulated minutes; "
        f"{'no warning' if not warnings else f'{warnings} warnings or damages'}.",
        markup=False,
    )


def print_json(value: object) -> None:
    """Print a value as JSON, indented, to standard output."""
    console().print(json.dumps(value, indent=2, default=str), markup=False, soft_wrap=True)
