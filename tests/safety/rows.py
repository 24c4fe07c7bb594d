"""The form of a row: an unsafe act and what must follow, or a safe way that must cost nothing.

What is typed is the session language. Rows say what a safety officer would say of the act; they were
written from the standards and the trade before the code that they judge.

Sources. Nobody here has read the standards in full. `PAGE`: the sentence stands on public pages that
quote the rule. `MEMORY`: recalled, clause and all, and perhaps off by an edition. `PRACTICE`: what
shops do and teach, without a source.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

PAGE: Final = "as quoted on a public page"
MEMORY: Final = "from memory"
PRACTICE: Final = "common practice, no source"
SOURCES: Final = (PAGE, MEMORY, PRACTICE)

ZONES: Final = (
    "band", "wheels", "cutting_jaws", "shuttle_jaws", "shuttle_path", "under_head", "swing", "outfeed",
    "cabinet", "floor", "console", "outside",
)  # fmt: skip
HAZARDS: Final = (
    "moving",  # already when the hands go in
    "begins later",  # while they are in
    "live",
    "under pressure",
    "falling",
    "let loose",  # by the act itself
    "can come",  # nothing yet; nobody has made sure that it cannot
)
# How a lock-out can be incomplete, or no longer be one.
LACKS: Final = (
    "none begun", "not told", "not shut down", "isolator not locked", "air on", "air not locked",
    "head up", "prop not loaded", "bar not chocked", "oil in a vise", "oil in the lift", "spring",
    "key out", "starts kept away", "not verified", "not proved dead", "key of another", "undone",
)  # fmt: skip

Others = tuple[tuple[float, str], ...]
"""What a second person does: seconds after the act is begun, and a line; he stands at the console."""


@dataclass(frozen=True, slots=True)
class Strike:
    """Hands are hit: told as a harm that stops the run, critical, the act broken off.

    Read off the harm's kind, `struck-` and the zone: `struck-cutting-jaws`.
    """


@dataclass(frozen=True, slots=True)
class Exposure:
    """Nothing hits, and nothing keeps it from hitting: hands in the zone for at least so long.

    Read off the debrief's `exposures_s`, seconds by zone.
    """

    seconds: float


@dataclass(frozen=True, slots=True)
class Refusal:
    """The metal does not let it be done: a lock, a bolt, a padlock, a load; the saw stays as it was."""


Then = Strike | Exposure | Refusal


@dataclass(frozen=True, slots=True)
class UnsafeAct:
    """One thing that would hurt somebody, sooner or later."""

    name: str
    zone: str  # in which the hands are
    hazard: str
    state: tuple[str, ...]  # typed from the opening of the scenario on
    act: tuple[str, ...]  # the unsafe lines; the last one is judged
    then: Then
    clause: str
    source: str
    why: str
    lacks: str = ""
    scenario: str = "rail-posts"
    saw: str = ""  # another machine than the scenario's own
    role: str = "authorised"  # of the person: operator, authorised or qualified
    others: Others = ()
    other_locks: tuple[str, ...] = ()  # where a second person's padlock hangs: isolator, air cock
    machine: Mapping[str, Mapping[str, float]] = field(default_factory=dict)  # other than the file


@dataclass(frozen=True, slots=True)
class SafeWay:
    """One way of doing things that must cost neither care nor exposure."""

    name: str
    state: tuple[str, ...]
    act: tuple[str, ...]
    clause: str
    source: str
    why: str
    scenario: str = "rail-posts"
    saw: str = ""  # another machine than the scenario's own
    role: str = "authorised"
    others: Others = ()
    other_locks: tuple[str, ...] = ()
    machine: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
