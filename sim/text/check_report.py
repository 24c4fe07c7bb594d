"""`drycycle check`: proves scenarios one after the other and says what could not be proved.

Imports `drill` and `tables`.
"""

import sys
from collections.abc import Sequence

from rich.progress import track

from sim.drill import library
from sim.drill.check import Report, check
from sim.text.run_report import print_json
from sim.text.tables import console, print_table


def check_and_report(scenarios: Sequence[str], *, as_json: bool) -> int:
    """Check the scenarios, or all that ship; return 0 when all are sound, else 1.

    Raises:
        ScenarioError: A file is refused.
    """
    names = tuple(scenarios) or library.names()
    quiet = as_json or not sys.stderr.isatty()
    reports = [check(n) for n in track(names, "Checking", disable=quiet, console=None)]
    if as_json:
        print_json([_plain(report) for report in reports])
    else:
        _print(reports)
    return 0 if all(report.sound for report in reports) else 1


def _plain(report: Report) -> dict[str, object]:
    findings = [{"claim": f.claim, "holds": f.holds, "detail": f.detail} for f in report.findings]
    return {"scenario": report.name, "sound": report.sound, "findings": findings}


def _print(reports: Sequence[Report]) -> None:
    rows = [
        (report.name, "holds" if f.holds else "FAILS", f.claim, f.detail)
        for report in reports
        for f in report.findings
    ]
    print_table("Scenario check", ("scenario", "", "claim", "found"), rows)
    sound = sum(report.sound for report in reports)
    console().print(f"{sound} of {len(reports)} scenarios are sound.", markup=False)
