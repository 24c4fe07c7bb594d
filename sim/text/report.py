"""The debrief of a session in words.

Never here: what a session was worth (see `drill.debrief`). Imports `acts`, `page` and `drill`.
"""

from typing import Final

from sim.drill.debrief import Debrief
from sim.text.acts import told
from sim.text.page import Part, Table, counted

CAUTION: Final = (
    "This is practice, not authorisation: the maker's manual, local codes and a licensed person "
    "come first."
)


def report(debrief: Debrief) -> tuple[Part, ...]:
    """Return the debrief as sentences and tables, the verdict first."""
    verdict = "Passed" if debrief.passed else "Not passed"
    return (
        f"Debrief: {debrief.title}",
        f"{verdict}, {debrief.score} of 100.",
        *(f"Critical, and enough to fail: {act}" for act in debrief.critical),
        _parts(debrief),
        *_causes(debrief),
        _work(debrief),
        *_listed("What happened:", tuple(told(event) for event in debrief.timeline)),
        *_listed("The shortest sound way:", _numbered(debrief.sound_path)),
        *((f"To remember: {debrief.teaches}",) if debrief.teaches else ()),
        CAUTION,
    )


def _parts(debrief: Debrief) -> Table:
    rows = tuple((p.title, f"{p.points} of {p.of}", p.reason) for p in debrief.parts)
    return Table("The score:", ("part", "", ""), rows)


def _causes(debrief: Debrief) -> tuple[str, ...]:
    if not debrief.causes and not debrief.named:
        return ()
    causes = "; ".join(debrief.causes) or "nothing"
    return (
        f"What was wrong: {causes}.",
        f"What you named: {'; '.join(debrief.named) or 'nothing'}.",
        f"What is still wrong: {'; '.join(debrief.still_wrong) or 'nothing'}.",
    )


def _work(debrief: Debrief) -> str:
    harm = f"Harm done: {debrief.money:.0f} in money." if debrief.money else "No harm was done."
    return (
        f"{counted(debrief.pieces, 'piece')} cut, {debrief.good} good, "
        f"in {debrief.minutes:.1f} simulated minutes. {harm}"
    )


def _numbered(steps: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(f"{number}. {step}" for number, step in enumerate(steps, start=1))


def _listed(title: str, lines: tuple[str, ...]) -> tuple[str, ...]:
    return (title, *lines) if lines else ()
