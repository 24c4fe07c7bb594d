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
from sim.text.tables import PrintedNumber, print_json, print_said, print_table
from sim.words.fields import count, name, part, parts, percent
from sim.words.message import NOTHING, Message, plain, row

_TITLE: Final = plain("next.title", "What to practise next")
_PASSES: Final = row("next.passes", "{passes} of {attempts}", passes=count(), attempts=count())
_NOBODY: Final = row("next.nobody", "no finished session is of {who}", who=name())
_SHARE: Final = row("next.share", "{low} to {high}", low=percent(), high=percent())
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
    heads = ("skill", "why", "standing", "passes", "likely share", "practised", "practise with")
    cells = [
        (d.skill, _when(d), d.standing,
         _PASSES(passes=d.advice.passes, attempts=d.advice.counted),
         _SHARE(low=d.advice.share[0], high=d.advice.share[1]) if d.advice.counted else NOTHING,
         PrintedNumber(d.practised, 0), d.scenario)
        for d in rows
    ]  # fmt: skip
    print_table(_TITLE, heads, cells)
    if names:
        print_said(
            _UP_NEXT(names=tuple(_NAMED(scenario=each) for each in names)),
            _PLAY(scenario=names[0]),
            found[0].why,
        )
    print_said(*_METHODS)


def _when(row_due: Due) -> Message:
    """Return why a skill is due, and on which day where that is yet to come."""
    if row_due.advice.reason is not Reason.LATER:
        return row_due.why
    return _ON(reason=row_due.why, day=date.fromordinal(row_due.advice.due_day).isoformat())
