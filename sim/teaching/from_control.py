"""What the control did, told by the coach: why it refused, for what reason it stopped, what it did besides.

Never here: what a hand did.
"""

from collections.abc import Iterator, Mapping
from typing import Final

from sim.control.decision import Decision, Refusal
from sim.control.interlocks import BY_NUMBER, PERMISSIVES, REACTIONS, Reaction
from sim.teaching import remarks
from sim.words.message import NOTHING, Message

_ROW_OF: Final[dict[object, Reaction]] = {each.reason: each for each in REACTIONS if each.reason}


def why_refused(decision: Decision) -> Message:
    """Return why a command was refused, what would satisfy it, and what that guards against."""
    first = decision.refusals[0]
    said = _refused(first)
    hazard = _hazard(decision.action, first)
    if not hazard:
        return said
    return remarks.AGAINST(refused=said, interlock=first.interlock, hazard=hazard)


def why_only(decision: Decision) -> Message:
    """Return why a command was refused that was to be refused, and nothing besides."""
    return remarks.REFUSED_ONLY(fact=decision.refusals[0].fact)


def _refused(refusal: Refusal) -> Message:
    fact, to_do = refusal.fact, refusal.to_do
    if not to_do:
        return remarks.REFUSED_ONLY(fact=fact)
    if refusal.tag:
        return remarks.REFUSED_BY(fact=fact, device=refusal.tag, to_do=to_do)
    return remarks.REFUSED(fact=fact, to_do=to_do)


def _hazard(action: str, against: Refusal) -> Message:
    return next(
        (
            row.hazard
            for row in PERMISSIVES
            if row.action == action
            and row.number == against.interlock
            and row.need.subject == against.device
        ),
        NOTHING,
    )


def why_stopped(reason: object) -> Message:
    """Return the reason for a hold or a stop with the rule behind it; nothing if it is no interlock's."""
    row = _ROW_OF.get(reason)
    if row is None:
        return NOTHING
    if row.subject == "S2":  # its way back is worth more than the rule
        return remarks.TRIP_LINE
    return remarks.REASON(reason=row.reason, rule=BY_NUMBER[row.number].rule, number=row.number)


def followed(before: Mapping[str, object], after: Mapping[str, object]) -> Iterator[Message]:
    """Yield what the control did by itself between two of its images, where it is told of."""
    for row in _reactions(before, after):
        if what := row.meaning(after[row.subject]):
            yield remarks.FOLLOWED(what=what, number=row.number)


def _reactions(before: Mapping[str, object], after: Mapping[str, object]) -> tuple[Reaction, ...]:
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
