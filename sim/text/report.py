"""The debrief of a session in words, the verdict first.

Never here: what a session was worth (see `drill.debrief`).
"""

from collections.abc import Sequence
from typing import Final

from sim.debrief.best_path import Leg, price_s
from sim.debrief.debrief import Debrief
from sim.debrief.evidence import EvidenceStep
from sim.faults.catalogue import CATALOGUE
from sim.text.acts import told
from sim.text.page import Part, Table, clock, counted
from sim.words.message import Message

CAUTION: Final = (
    "This is practice, not authorisation: the maker's manual, local codes and a licensed person "
    "come first."
)
_MOST_SHARES: Final = 4  # causes that are told after a finding
_WORTH_TELLING: Final = 0.005


def report(debrief: Debrief) -> tuple[Part, ...]:
    """Return the debrief as sentences and tables, the verdict first."""
    verdict = "Passed" if debrief.passed else "Not passed"
    return (
        f"Debrief: {debrief.title}",
        f"{verdict}, {debrief.score} of 100.",
        *(f"Critical, and enough to fail: {act}" for act in debrief.critical),
        _parts(debrief),
        *_causes(debrief),
        *_findings(debrief),
        *_belief(debrief),
        *_apart(debrief),
        *_ways(debrief),
        *_safety(debrief),
        _work(debrief),
        *_listed("What happened:", tuple(told(event) for event in debrief.timeline)),
        *_listed("The shortest sound way:", _numbered(tuple(map(str, debrief.sound_path)))),
        *((f"To remember: {debrief.teaches}",) if debrief.teaches else ()),
        CAUTION,
    )


def _joined(titles: Sequence[Message]) -> str:
    return "; ".join(map(str, titles))


def _parts(debrief: Debrief) -> Table:
    rows = tuple(
        (str(p.title), f"{p.points} of {p.of}" if p.of else f"{p.points}", str(p.reason))
        for p in debrief.parts
    )
    return Table("The score:", ("part", "", ""), rows)


def _causes(debrief: Debrief) -> tuple[str, ...]:
    if not debrief.causes and not debrief.named:
        return ()
    causes = _joined(debrief.causes) or "nothing"
    return (
        f"What was wrong: {causes}.",
        f"What you named: {_joined(debrief.named) or 'nothing'}.",
        f"What is still wrong: {_joined(debrief.still_wrong) or 'nothing'}.",
    )


def _findings(debrief: Debrief) -> tuple[Part, ...]:
    told_nothing = debrief.redundant
    rows = tuple(
        (
            clock(step.at_us),
            str(step.title),
            str(step.found),
            "told nothing new" if step in told_nothing else "",
        )
        for step in debrief.steps
        if step.look
    )
    return (Table("What you found:", ("at", "", "", ""), rows),) if rows else ()


def _belief(debrief: Debrief) -> tuple[Part, ...]:
    if not debrief.weighs:
        return ()
    if debrief.not_weighed:
        return (str(debrief.not_weighed),)
    if not debrief.steps:
        return ()
    rows = tuple(
        (
            clock(step.at_us),
            str(step.title),
            _shares(debrief, step),
            f"{step.entropy_bits:.1f} bits open",
        )
        for step in debrief.steps
    )
    count = counted(len(debrief.causes_weighed), "cause")
    title = f"What was to be believed, of {count} that were alike at the start:"
    return (Table(title, ("at", "", "then", ""), rows),)


def _shares(debrief: Debrief, step: EvidenceStep) -> str:
    named = sorted(zip(step.shares, map(str, debrief.causes_weighed), strict=True), reverse=True)
    worth = [f"{share:.0%} {cause}" for share, cause in named if share >= _WORTH_TELLING]
    more = len(worth) - _MOST_SHARES
    return ", ".join(worth[:_MOST_SHARES]) + (f" and {more} more" if more > 0 else "")


def _apart(debrief: Debrief) -> tuple[str, ...]:
    """Tell what is scored apart: needless looks, early names, expectations, hints."""
    judged = [each for each in debrief.expectations if each.held is not None]
    held = sum(each.held is True for each in judged)
    return (
        *(
            f"That told nothing new: {step.title}. Every cause still open would have shown the same."
            for step in debrief.redundant
        ),
        *(
            f"Named early, at {clock(each.at_us)}: {CATALOGUE[each.fault].title}. "
            f"Still to be told apart then: {_count(each.rivals)}."
            for each in debrief.premature
        ),
        *(
            f"{each.title}: you expected {each.expected}."
            + ("" if each.held is None else " So it was." if each.held else " It was not so.")
            for each in debrief.expectations
        ),
        *((f"{held} of {counted(len(judged), 'expectation')} came true.",) if judged else ()),
        *(f"Hint taken: {text}" for text in debrief.hints),
    )


def _count(rivals: Sequence[Message]) -> str:
    if len(rivals) <= _MOST_SHARES:
        return _joined(rivals)
    return f"{_joined(rivals[:_MOST_SHARES])} and {len(rivals) - _MOST_SHARES} more"


def _ways(debrief: Debrief) -> tuple[str, ...]:
    if not debrief.way_best:
        return ()
    best = "The best plan takes" if debrief.way_exact else "A good plan takes"
    return (
        f"Your way to the cause: {_legs(debrief.way_taken)}, {price_s(debrief.way_taken):.0f} s.",
        f"{best}: {_legs(debrief.way_best)}, {price_s(debrief.way_best):.0f} s. "
        "Lock-outs are not counted.",
        *((str(debrief.cheaper),) if debrief.cheaper else ()),
    )


def _legs(legs: Sequence[Leg]) -> str:
    return "; ".join(f"{leg.title} ({leg.cost_s:.0f} s)" for leg in legs) or "no look and no trial"


def _safety(debrief: Debrief) -> tuple[str, ...]:
    lines = tuple(
        f"{clock(row.at_us)} {'' if row.fine else 'NOT RIGHT. '}{row.said}"
        for row in debrief.safety
    )
    return _listed("Lock-out and safety:", lines)


def _work(debrief: Debrief) -> str:
    cost = debrief.cost
    harm = [
        f"{cost.money:.0f} in money" if cost.money else "",
        f"{cost.downtime_minutes:.0f} minutes of stand-still" if cost.downtime_minutes else "",
        f"{cost.band_life:.0%} of a band's life" if cost.band_life else "",
        f"{cost.scrap_mm:.0f} mm of bar" if cost.scrap_mm else "",
    ]
    said = ", ".join(filter(None, harm))
    done = f"Harm done: {said or f'{debrief.money:.0f} in money'}." if said or debrief.money else ""
    return (
        f"{counted(debrief.pieces, 'piece')} cut, {debrief.good} good, "
        f"in {debrief.minutes:.1f} simulated minutes. {done or 'No harm was done.'}"
    )


def _numbered(steps: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(f"{number}. {step}" for number, step in enumerate(steps, start=1))


def _listed(title: str, lines: tuple[str, ...]) -> tuple[str, ...]:
    return (title, *lines) if lines else ()
