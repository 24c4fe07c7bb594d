"""The coach: one sentence after an act, what just happened and why, and what to do instead.

It speaks in lessons and in practice and is silent in drills and assessments. It looks at what has
come to pass since it last spoke: harm, refusals with the hazard that the interlock is there for,
slips of the set-up, reasons, what the control did by itself, pieces. The weightiest is said. It
never looks at what a scenario hides; with something hidden it judges nothing that was not touched.

Never here: the sentences that are the same for every saw (see `advice`) and what is a slip (see
`slips`).
"""

from collections.abc import Callable, Iterator
from typing import Final

from sim.control.actions import STATIONS
from sim.control.decision import Decision, Refusal
from sim.control.interlocks import BY_NUMBER, PERMISSIVES, REACTIONS, Reaction
from sim.plant.harm.consequences import Severity
from sim.records.acts import ActKind, Adjusted, Inspected, LockoutTaken
from sim.session import lockout
from sim.session.deeds import Deed
from sim.session.goals import asks_for, card_line, near, speed_range
from sim.session.lesson import lesson_of
from sim.session.session import Session
from sim.teaching import advice, slips
from sim.units import MINUTE, MM

SPEAKS_IN: Final = ("lesson", "practice")
_UNSAFE: Final = "hands go in only after the six steps of the lock-out (29 CFR 1910.147 (d))"
_WEIGHT: Final = (Severity.STOP, Severity.DAMAGE, Severity.WARNING)
_SPEED_KEYS: Final = ("band.faster", "band.slower")
_BEGINS: Final = ("job.arm", "job.begin_on_trim", "job.begin_on_piece")


class Coach:
    """Goes along with one session and is asked for its word after every act."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._lesson = lesson_of(session)
        self._judged = self._steps = 0
        self._slips: dict[str, str] = {}  # what was slipped at, and what is said to it
        self._note()
        if self.speaks:
            session.follow(self)

    @property
    def speaks(self) -> bool:
        """Whether there is a coach in this mode at all."""
        return self._session.scenario.mode in SPEAKS_IN

    def remark(self) -> str:
        """Return a sentence about what has come to pass since the last call, or nothing."""
        if not self.speaks:
            return ""
        said = next((text for judge in _JUDGES for text in judge(self)), "")
        self._note()
        return said

    def _note(self) -> None:
        """Remember how things stand, for the next remark."""
        session = self._session
        self._deeds, self._events = len(session.done.all), len(session.heard.events)
        self._harm = len(session.saw.consequences)
        self._image = dict(session.saw.controller.image)
        self._judged, self._steps = self._deeds, self._steps_done
        self._slips = {}

    def update(self) -> None:
        """Judge what has just been done, as long as the machine still stands as it was done."""
        for deed in self._session.done.all[self._judged :]:
            for at, text in self._slips_of(deed):
                self._slips.pop(at, None)  # what is put right in the same breath is no slip
                if text:
                    self._slips[at] = text
        self._judged, self._steps = len(self._session.done.all), self._steps_done

    @property
    def _steps_done(self) -> int:
        return self._lesson.number if self._lesson is not None else 0

    # What is new --------------------------------------------------------------------------

    @property
    def _new(self) -> list[Deed]:
        return self._session.done.all[self._deeds :]

    def _told(self, kind: str) -> Iterator[str]:
        return (
            str(e.message) for e in self._session.heard.events[self._events :] if e.kind == kind
        )

    def _slips_of(self, deed: Deed) -> Iterator[tuple[str, str]]:
        """Yield what the deed touched, and what is said to it; empty when it will do."""
        if self._steps_done != self._steps:
            return  # what a lesson asks for is no slip
        session = self._session
        for name in self._looked_at(deed):
            yield name, "" if self._asked_for(name) else slips.slip(session, name)
        for key in deed.keys if deed.kind is ActKind.PRESS else ():
            if key in slips.KEY_SLIPS:
                yield key, slips.KEY_SLIPS[key](session)
        begins = deed.accepted.intersection(_BEGINS) and not session.hidden
        if begins and (text := slips.standing(session)):
            yield "begin", f"Before you go on: {_lower(text)}"

    def _looked_at(self, deed: Deed) -> tuple[str, ...]:
        if isinstance(deed.act, Adjusted):
            return (deed.act.name,)
        if isinstance(deed.act, Inspected) and not self._session.hidden:
            return advice.SHOWS.get(deed.act.name, ())
        return ()

    def _asked_for(self, name: str) -> bool:
        """Whether the lesson wants a set point as it stands now."""
        step = self._lesson.step if self._lesson is not None else None
        return step is not None and asks_for(self._session, step.goal, name)

    # Judges, each yielding what it has to say ---------------------------------------------

    def _of_harm(self) -> Iterator[str]:
        new = self._session.saw.consequences[self._harm :]
        for severity in _WEIGHT:
            for harm in new:
                if harm.row.severity is severity:
                    yield f"{harm.row.title}. Instead: {advice.INSTEAD[harm.kind]}."

    def _of_danger(self) -> Iterator[str]:
        for text in self._told("unsafe"):
            yield f"{text.rstrip('.')}: {_UNSAFE}."

    def _of_refusal(self) -> Iterator[str]:
        for deed in self._new:
            for decision in deed.decisions:
                if decision.action in deed.refused:
                    yield why_refused(decision)
            if deed.answer is not None and not deed.answer.taken:
                yield str(deed.answer.message)

    def _of_slip(self) -> Iterator[str]:
        yield from reversed(self._slips.values())

    def _of_reason(self) -> Iterator[str]:
        for text in self._told("reason"):
            row = _ROW_OF.get(text)
            if row is not None:
                yield f"{_upper(str(row.reason))}: {BY_NUMBER[row.number].rule} ({row.number})."

    def _of_reaction(self) -> Iterator[str]:
        for row in followed(self._image, self._session.saw.controller.image):
            value = self._session.saw.controller.image[row.subject]
            if text := advice.FOLLOWS.get((row.subject, value)):
                yield f"{text[:-1]} ({row.number})."

    def _of_piece(self) -> Iterator[str]:
        session = self._session
        for _ in self._told("cut"):
            cut = session.saw.cuts[-1]
            off_mm = round((cut.length_m - session.order.piece_m) / MM, 2) + 0.0  # no minus nought
            if cut.length_m <= 0.0 or cut.trim or not cut.counted:
                continue
            within = f"{session.scenario.job.tolerance_mm:g} mm of the order"
            if session.tally.is_good(cut):
                yield f"Piece {session.tally.pieces} is {off_mm:+.2f} mm off, within the {within}."
            else:
                yield f"Piece {session.tally.pieces} is {off_mm:+.2f} mm off, beyond the {within}."

    def _of_act(self) -> Iterator[str]:
        for deed in reversed(self._new):
            for action in sorted(deed.accepted):
                yield advice.SETS_GOING[action]
            if isinstance(deed.act, Adjusted):
                yield from self._of_setting(deed.act.name)
            elif isinstance(deed.act, LockoutTaken):
                yield from self._of_lockout(deed.act.step)
            else:
                yield from self._of_keys(deed)

    def _of_keys(self, deed: Deed) -> Iterator[str]:
        for key in deed.keys:
            station, _, word = key.partition(".")
            if deed.kind is ActKind.PRESS and station in STATIONS and word in advice.SELECTED:
                means = advice.SELECTED.get(key, advice.SELECTED[word])
                yield f"The {station.replace('_', ' ')} {means}."
            if deed.kind is ActKind.RELEASE and key in _SPEED_KEYS:
                dial = self._session.saw.plant.band.dial.position * MINUTE
                right = speed_range(self._session)
                fits = "right" if right.holds(dial) else "not yet right"
                metal = self._session.stock.material.name
                yield f"The dial shows {dial:.0f} m/min, {fits} for {metal}, which takes {right}."

    def _of_lockout(self, step: str) -> Iterator[str]:
        here = self._session.lockout
        source = f"29 CFR 1910.147 {lockout.BY_NAME[step].paragraph}"
        if here.safe:
            yield f"All six steps are done in order ({source}): hands may go in."
        elif not here.done:
            yield f"The lock-out is taken back ({source}): power may come on when it is asked for."
        else:
            yield f"Done in order ({source}); the next step is {here.due.name}."

    def _of_setting(self, name: str) -> Iterator[str]:
        line = card_line(self._session, name)
        here = self._session.saw.read(name)
        if line is None:
            return
        if isinstance(here, str) or isinstance(line.setting, str):
            right = here == line.setting
        else:
            right = near(name, line.setting).holds(here)
        reason = _lower(str(line.reason))
        if right:
            yield f"As the card says: {reason}"
        elif not self._asked_for(name) and not any(self._told("step")):
            yield f"The card says {line.setting}: {reason}"


_JUDGES: Final[tuple[Callable[[Coach], Iterator[str]], ...]] = (
    Coach._of_harm,
    Coach._of_danger,
    Coach._of_refusal,
    Coach._of_slip,
    Coach._of_reason,
    Coach._of_piece,
    Coach._of_reaction,
    Coach._of_act,
)


# Refusals and reactions -------------------------------------------------------------------


def why_refused(decision: Decision) -> str:
    """Return why a command was refused, what would satisfy it, and what that guards against."""
    first = decision.refusals[0]
    device = f" ({first.tag})" if first.tag else ""
    said = f"Refused: {first.fact}{device}; {first.to_do}."
    hazard = _hazard(decision.action, first)
    return f"{said} {first.interlock} is there against {hazard}." if hazard else said


def _hazard(action: str, against: Refusal) -> str:
    return next(
        (
            str(row.hazard)
            for row in PERMISSIVES
            if row.action == action
            and row.number == against.interlock
            and row.need.subject == against.device
        ),
        "",
    )


def followed(before: dict[str, object], after: dict[str, object]) -> tuple[Reaction, ...]:
    """Return the reactions of the control that lie between two of its images.

    A row counts when its subject has become what sets it off, and a machine that it steps has
    changed; what came and went between the two images is not seen.
    """
    return tuple(
        row
        for row in REACTIONS
        if before[row.subject] != after[row.subject]
        and after[row.subject] in row.becomes
        and all(after[s] in values or before[s] in values for s, values in row.given)
        and any(before[machine] != after[machine] for machine, _ in row.fires)
    )


_ROW_OF: Final = {f"Stopped or held: {row.reason}.": row for row in REACTIONS if row.reason}


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def _lower(text: str) -> str:
    """Return a sentence as a clause; names of devices keep their capitals."""
    return text if text[1:2].isupper() or text[1:2].isdigit() else text[:1].lower() + text[1:]
