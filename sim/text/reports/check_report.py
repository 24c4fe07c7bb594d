"""`drycycle check`: proves scenarios, or judges the catalogue, and says what could not be proved.

Of a claim that holds figures are told, and no cause and no look: whoever plays the drill can check it too.
"""

from collections.abc import Sequence
from dataclasses import asdict
from itertools import chain
from pathlib import Path
from typing import Final

from sim.authoring.catalogue_check import JobTestability, Testability, catalogue_testability
from sim.authoring.check import Report, Verdict, check_all
from sim.authoring.files import shifts_in, sorted_out
from sim.authoring.shift_check import check_shift
from sim.errors import BAD_INPUT, ScenarioError
from sim.scenario import library
from sim.scenario.machines import IS_MACHINE
from sim.session.shift.opening import read_shift_at
from sim.shift.reading import shift_file
from sim.text.complaint import complain
from sim.text.progress import tracked
from sim.text.tables import PrintedCell, print_json, print_said, print_table
from sim.words.fields import Quantity, count, name, part, parts
from sim.words.message import Message, plain, row
from sim.words.speech import tell

_CHECKING: Final = plain("check.checking", "Checking")
_TITLE: Final = plain("check.title", "Scenario check")
_HOLDS: Final = plain("check.holds", "holds")
_FAILS: Final = plain("check.fails", "FAILS")
_FAILED: Final = row(
    "check.failed", "{where}: \"{claim}\" fails. What to do: {what_to_do}.",
    where=name(), claim=part(), what_to_do=part(),
)  # fmt: skip
_FAILED_BECAUSE: Final = row(
    "check.failed-because", "{where}: \"{claim}\" fails. What to do: {what_to_do}. Found: {why}",
    where=name(), claim=part(), why=part(), what_to_do=part(),
)  # fmt: skip
_SOUND: Final = row(
    "check.sound",
    "{sound} of {count} scenario is sound.",
    plural="{sound} of {count} scenarios are sound.",
    sound=count(), count=count(),
)  # fmt: skip
_SOUND_OF_READ: Final = row(
    "check.sound-of-read",
    "{sound} of {count} scenario is sound, {unread} could not be read.",
    plural="{sound} of {count} scenarios are sound, {unread} could not be read.",
    sound=count(), count=count(), unread=count(),
)  # fmt: skip

_CATALOGUE: Final = plain(
    "check.catalogue.title", "Testability of the catalogue (IEEE 1522), every fault alike"
)
_CATALOGUE_HEADS: Final = (
    "job", "faults", "looks", "detected", "isolated to 1", "alike", "cut is",
)  # fmt: skip
_PERCENT: Final = Quantity("", 0.01, 1)
_SHARE: Final = row("check.catalogue.share", "{share}%", share=_PERCENT)
_ALIKE: Final = row("check.catalogue.alike", "{groups}", groups=parts("; "))
_GROUP: Final = row("check.catalogue.group", "{names}", names=name())
_UNSEEN: Final = row("check.catalogue.unseen", "unseen {name}", name=name())
_IN_ALL: Final = row(
    "check.catalogue.all",
    "{detected} of {faults} faults detected ({share}%), {isolated} of those isolated to one fault "
    "({isolated_share}%).",
    detected=count(), faults=count(), share=_PERCENT, isolated=count(), isolated_share=_PERCENT,
)  # fmt: skip


def check_and_report(
    scenarios: Sequence[str], machine: str = "", *, names: bool = False, as_json: bool
) -> int:
    """Check the scenarios, or all that ship; return 0 when all are sound, 1 when one is not.

    A file that is refused does not keep the others from being checked: each is told, and 2 returned. The folder of
    a machine in good order is told to be that, and refuses nothing.

    Args:
        scenarios: Names and files; of a folder the scenario files in it.
        machine: The machine that they are checked on; each one's own when left out.
        names: Name causes and looks of claims that hold too, for the author.
        as_json: Print JSON.

    Raises:
        ScenarioError: The only one is refused, or a folder has no scenario file.
    """
    asked = scenarios or (*library.names(), *(name for name, _ in library.shifts()))
    shifts = list(dict.fromkeys(each for some in asked for each in shifts_in(some)))
    others_asked = [each for each in asked if each not in shifts]
    files, unread, others = sorted_out(others_asked, machine) if others_asked else ((), {}, ())
    for shift in tuple(shifts):
        try:
            read_shift_at(_file(shift), machine)
        except ScenarioError as fault:
            unread[shift] = fault
            shifts.remove(shift)
    # A folder that is a machine is no scenario, and nothing is wrong with it.
    machines = [
        unread.pop(each)
        for each in tuple(unread)
        if unread[each].what == IS_MACHINE and Path(each).is_dir()
    ]
    # One bad machine refuses every scenario alike, and is told of once.
    refused = list({str(each): each for each in (*unread.values(), *others)}.values())
    if not files and not shifts and len(refused) == 1:
        raise refused[0]
    checked = chain(
        check_all(files, machine), (check_shift(_file(each), machine) for each in shifts)
    )
    every = len(files) + len(shifts)
    reports = list(tracked(checked, tell(_CHECKING), every, quiet=as_json))
    if as_json:
        plain_ = [_plain(report, names=names) for report in reports]
        print_json([*plain_, *map(_unread, unread, unread.values())])
    else:
        if reports or unread or not machines:
            _print(reports, len(unread), names=names)
        print_said(*(each.message for each in machines))
    for each in refused:
        complain(each.message)
    if refused:
        return BAD_INPUT
    return 0 if all(report.sound for report in reports) else 1


def _file(shift: str) -> Path:
    found = shift_file(shift)
    assert found is not None  # it was one when it was sorted out
    return found


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
    print_table(_CATALOGUE, _CATALOGUE_HEADS, map(_job_row, found.jobs))
    print_said(
        _IN_ALL(
            detected=found.detected, faults=found.faults, share=found.fraction_detected,
            isolated=found.isolated, isolated_share=found.fraction_isolated,
        )
    )  # fmt: skip


def _job_row(job: JobTestability) -> tuple[PrintedCell, ...]:
    groups = (
        *(_GROUP(names=" = ".join(group)) for group in job.groups),
        *(_UNSEEN(name=each) for each in job.undetected),
    )
    return (
        job.job, job.faults, job.looks, _SHARE(share=job.detected), _SHARE(share=job.isolated),
        _ALIKE(groups=groups), job.what,
    )  # fmt: skip


def _found(verdict: Verdict, *, names: bool) -> Message:
    return verdict.detail if names else verdict.unnamed


def _plain(report: Report, *, names: bool) -> dict[str, object]:
    findings = [
        {"claim": str(f.claim.title), "holds": f.holds, "detail": str(_found(f, names=names)),
         "where": f.where, "what_to_do": "" if f.holds else str(f.what_to_do)}
        for f in report.verdicts
    ]  # fmt: skip
    return {
        "scenario": report.name, "sound": report.sound, "findings": findings, "not_read": "",
    }  # fmt: skip


def _unread(asked: str, why: ScenarioError) -> dict[str, object]:
    name_ = Path(asked).stem
    return {"scenario": name_, "sound": False, "findings": [], "not_read": str(why.message)}


def _print(reports: Sequence[Report], unread: int, *, names: bool) -> None:
    rows = [
        (report.name, _HOLDS if f.holds else _FAILS, f.claim.title, _found(f, names=names))
        for report in reports
        for f in report.verdicts
    ]
    print_table(_TITLE, ("scenario", "", "claim", "found"), rows)
    failed = [f for report in reports for f in report.verdicts if not f.holds]
    print_said(*map(_failed, failed), whole=True)
    sound = sum(report.sound for report in reports)
    if unread:
        print_said(_SOUND_OF_READ(sound=sound, count=len(reports) + unread, unread=unread))
    else:
        print_said(_SOUND(sound=sound, count=len(reports)))


def _failed(verdict: Verdict) -> Message:
    claim, what_to_do = verdict.claim.title, verdict.what_to_do
    if not verdict.detail:
        return _FAILED(where=verdict.where, claim=claim, what_to_do=what_to_do)
    return _FAILED_BECAUSE(
        where=verdict.where, claim=claim, why=verdict.detail, what_to_do=what_to_do
    )
