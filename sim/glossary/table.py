"""All words by group, in the order in which they are listed."""

from typing import Final

from sim.glossary import (
    band,
    control,
    cut,
    fluids,
    head,
    holding,
    job,
    measuring,
    safety,
    trainer,
    work,
)
from sim.glossary.term import Group, Term

GROUPS: Final[tuple[Group, ...]] = (
    band.GROUP, cut.GROUP, holding.GROUP, head.GROUP, measuring.GROUP, control.GROUP, job.GROUP,
    safety.GROUP, fluids.GROUP, work.GROUP, trainer.GROUP,
)  # fmt: skip
TERMS: Final[dict[str, Term]] = {term.name: term for group in GROUPS for term in group.terms}
