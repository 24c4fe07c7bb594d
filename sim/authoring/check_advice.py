"""Where in a scenario file a claim of the check is decided, and what to do when it fails.

One row a claim; `check` says which claim it was, and a step's number where it has one.
"""

from dataclasses import dataclass
from typing import Final

Place = tuple[str | int, ...]

FINISHES: Final = "the job finishes on the sound machine"
HIDES: Final = "a drill hides something"
REACHED: Final = "every step can be reached"
ASKS: Final = "every step asks for something"
HARMLESS: Final = "who does as asked harms nothing"
HAS_IT: Final = "the machine has what is hidden"
SHOWS: Final = "the fault shows"
SEEN: Final = "an inspection shows it"
TOLD: Final = "it is told from every other cause"
ALIKE: Final = "what is declared alike is alike"
CURED: Final = "after the remedy it runs well"


@dataclass(frozen=True, slots=True)
class Advice:
    """The place of a claim in the file, and what whoever wrote it can do."""

    place: Place
    what_to_do: str


ADVICE: Final = {
    FINISHES: Advice(
        ("job",),
        "without the fault the job must end with every piece good and no warning: change the job, "
        "the stock or found; drycycle run says piece by piece how it goes",
    ),
    HIDES: Advice(
        ("mode",),
        "add faults: with a name from drycycle list faults, or write mode: practice",
    ),
    REACHED: Advice(
        ("steps",), "change the goal of this step, or put a step before it that leads there"
    ),
    ASKS: Advice(
        ("steps",), "ask for something that is not so yet when the step begins, or take it out"
    ),
    HARMLESS: Advice(
        ("steps",), "put a step before the harm that prevents it, or change what is asked or found"
    ),
    HAS_IT: Advice(
        ("faults",), "choose a fault that this stock and set-up can have, or change found"
    ),
    SHOWS: Advice(
        ("faults",),
        "choose a fault that this job brings out, have it set in earlier, raise wanted so that it "
        "has the time, or narrow tolerance_mm",
    ),
    SEEN: Advice(
        ("inspections",),
        "allow an inspection that shows it (drycycle list inspections), or write inspections: all",
    ),
    TOLD: Advice(
        ("inspections",),
        "allow a look that tells them apart, write inspections: all, or declare them under "
        "ambiguous_with",
    ),
    ALIKE: Advice(("ambiguous_with",), "take out of ambiguous_with what can be told apart"),
    CURED: Advice(
        ("faults",),
        "once every fault is put right the job must run: take out of found what no remedy mends, "
        "or choose a fault that does less harm before it is found",
    ),
}
