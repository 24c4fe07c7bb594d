"""`drycycle next`: what a trainee should practise next, and why."""

from datetime import date
from pathlib import Path
from typing import Final

from sim.debrief.progress import Due, done_in, records_folder
from sim.debrief.proposals import prospect
from sim.diagnosis.mastery import Reason
from sim.errors import CommandError
from sim.records.folder import check_folder
from sim.scenario.nearest import nearest
from sim.text.tables import print_json, print_said
from sim.words.fields import count, name, part, parts, percent
from sim.words.message import NOTHING, Message, plain, row

_TITLE: Final = plain("next.title", "What to practise next")
_TRIED: Final = row(
    "next.tried", "{skill}: {why}, {standing}; {passes} of {attempts} passed, likely share {low} to {high}. Practise with {scenario}.",
    skill=part(capital=True), why=part(), standing=part(), passes=count(), attempts=count(), low=percent(), high=percent(),
    scenario=name(),
)  # fmt: skip
_PRACTISED: Final = row(
    "next.practised", "{skill}: {why}, {standing}; practised {count} time, which never counts. Practise with {scenario}.",
    plural="{skill}: {why}, {standing}; practised {count} times, which never counts. Practise with {scenario}.",
    skill=part(capital=True), why=part(), standing=part(), count=count(), scenario=name(),
)  # fmt: skip
_NEVER: Final = row(
    "next.never", "{count} skill was never tried: {skills}.",
    plural="{count} skills were never tried: {skills}.", count=count(), skills=parts(", "),
)  # fmt: skip
_NOBODY: Final = row("next.nobody", "no finished session is of {who}", who=name())
_ON: Final = row("next.on", "{reason}, {day}", reason=part(), day=name())
_UP_NEXT: Final = row(
    "next.up",
    "Next, first what was left unfinished, then what is due again, mixed, then what is new, in the order of the course: {names}.",
    names=parts(", "),
)  # fmt: skip
_PLAY: Final = row("next.play", "Begin with: drycycle play {scenario}", scenario=name())
_NAMED: Final = row("next.named", "{scenario}", scenario=name())
_METHODS: Final = (
    plain(
        "next.method.spacing",
        "When: one day after the first pass, six after the second, then each interval is the one before times "
        "2.5, more after easy passes and less after bare ones; a miss begins again at one day (SM-2, Wozniak "
        "1990).",
    ),
    plain(
        "next.method.share",
        "Likely share: between these limits the share of passes lies with 95 % (Wilson 1927), by the last 20 first tries; "
        "mastered when even the lower one is at least 80 %. Nine of ten prove 60 %.",
    ),
    plain(
        "next.method.unhelped",
        "A session with a hint, with something taken back or with its answer known is practice and never counts; "
        "neither does the same scenario once more on its day.",
    ),
)


def print_due(folder: Path | None, who: str, *, as_json: bool) -> None:
    """Print every skill, the most urgent first.

    Raises:
        RecordError: There is no such folder.
        CommandError: There is no record of that pseudonym; those that there are are told.
    """
    if folder is not None:
        check_folder(folder)
    if who:
        known = {each.who for each in done_in(folder or records_folder())} - {""}
        if who not in known:
            to_do = nearest(who, known) if known else NOTHING
            raise CommandError(_NOBODY(who=who), "--who", to_do)
    now = prospect(folder, who)
    rows, found = now.due, now.proposals
    names = [each.scenario for each in found]
    if as_json:
        print_json([
            {
                "skill": d.advice.skill, "why": d.advice.reason, "standing": d.advice.standing,
                "attempts": d.advice.attempts, "counted": d.advice.counted,
                "passes": d.advice.passes, "share": d.advice.share, "practised": d.practised,
                "due_day": date.fromordinal(d.advice.due_day).isoformat(),
                "overdue_days": d.advice.overdue_days, "scenario": d.scenario,
                "up_next": names.index(d.scenario) + 1 if d.scenario in names else None,
            }
            for d in rows
        ])  # fmt: skip
        return
    print_said(_TITLE)
    if names:
        print_said(
            _UP_NEXT(names=tuple(_NAMED(scenario=each) for each in names)),
            _PLAY(scenario=names[0]),
            found[0].why,
        )
    tried = [each for each in rows if each.advice.counted or each.practised]
    never = tuple(each.skill for each in rows if each not in tried)
    print_said(*map(_told, tried), *((_NEVER(skills=never, count=len(never)),) if never else ()))
    print_said(*(_METHODS if tried else ()))


def _told(row_due: Due) -> Message:
    """Return one skill that was tried, a line or two."""
    advice = row_due.advice
    is_told = {"skill": row_due.skill, "why": _when(row_due), "standing": row_due.standing}
    if not advice.counted:
        return _PRACTISED(**is_told, count=row_due.practised, scenario=row_due.scenario)
    low, high = advice.share
    return _TRIED(
        **is_told, passes=advice.passes, attempts=advice.counted, low=low, high=high,
        scenario=row_due.scenario,
    )  # fmt: skip


def _when(row_due: Due) -> Message:
    """Return why a skill is due, and on which day where that is yet to come."""
    if row_due.advice.reason is not Reason.LATER:
        return row_due.why
    return _ON(reason=row_due.why, day=date.fromordinal(row_due.advice.due_day).isoformat())
