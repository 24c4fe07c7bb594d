"""`drycycle check`: proves scenarios, or judges the catalogue, and says what could not be proved."""

import sys
from collections.abc import Sequence
from dataclasses import asdict

from rich.progress import track

from sim.authoring.catalogue_check import Testability, catalogue_testability
from sim.authoring.check import Report, check_all
from sim.scenario import library
from sim.text.reports.run_report import print_json
from sim.text.tables import console, print_table


def check_and_report(scenarios: Sequence[str], *, as_json: bool) -> int:
    """Check the scenarios, or all that ship; return 0 when all are sound, else 1.

    Raises:
        ScenarioError: A file is refused.
    """
    names = tuple(scenarios) or library.names()
    quiet = as_json or not sys.stderr.isatty()
    found = track(check_all(names), "Checking", total=len(names), disable=quiet)
    reports = list(found)
    if as_json:
        print_json([_plain(report) for report in reports])
    else:
        _print(reports)
    return 0 if all(report.sound for report in reports) else 1


def check_catalogue(*, as_json: bool) -> int:
    """Judge the catalogue of faults; return 0 when every fault can be found, else 1."""
    found = catalogue_testability()
    if as_json:
        print_json({
            **asdict(found),
            "jobs": [{**asdict(job), "what": str(job.what)} for job in found.jobs],
            "fraction_detected": found.fraction_detected,
            "fraction_isolated_to_1": found.fraction_isolated,
        })  # fmt: skip
    else:
        _print_testability(found)
    return 0 if found.detected == found.faults else 1


def _print_testability(found: Testability) -> None:
    rows = [
        (j.job, j.faults, j.looks, f"{j.detected:.1%}", f"{j.isolated:.1%}",
         "; ".join([*(" = ".join(group) for group in j.groups), *(f"unseen {n}" for n in j.undetected)]),
         j.what)
        for j in found.jobs
    ]  # fmt: skip
    heads = ("job", "faults", "looks", "detected", "isolated to 1", "alike", "cut is")
    print_table("Testability of the catalogue (IEEE 1522), every fault alike", heads, rows)
    console().print(
        f"{found.detected} of {found.faults} faults detected ({found.fraction_detected:.1%}), "
        f"{found.isolated} of those isolated to one fault ({found.fraction_isolated:.1%}).",
        markup=False,
    )


def _plain(report: Report) -> dict[str, object]:
    findings = [
        {"claim": str(f.claim.title), "holds": f.holds, "detail": str(f.detail), "where": f.where,
         "what_to_do": "" if f.holds else str(f.claim.what_to_do)}
        for f in report.verdicts
    ]  # fmt: skip
    return {"scenario": report.name, "sound": report.sound, "findings": findings}


def _print(reports: Sequence[Report]) -> None:
    rows = [
        (report.name, "holds" if f.holds else "FAILS", str(f.claim.title), str(f.detail))
        for report in reports
        for f in report.verdicts
    ]
    print_table("Scenario check", ("scenario", "", "claim", "found"), rows)
    out = console()
    for failed in (f for report in reports for f in report.verdicts if not f.holds):
        out.print(
            f'{failed.where}: "{failed.claim.title}" fails{_because(str(failed.detail))}. '
            f"What to do: {failed.claim.what_to_do}.",
            markup=False, soft_wrap=True,
        )  # fmt: skip
    sound = sum(report.sound for report in reports)
    out.print(f"{sound} of {len(reports)} scenarios are sound.", markup=False)


def _because(detail: str) -> str:
    return f": {detail.rstrip('.')}" if detail else ""
