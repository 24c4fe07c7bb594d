"""What the check claims of a scenario, where in its file each claim is decided, and what to do.

One row a claim. The check says which claims fail, and a step's number where there is one.
"""

from dataclasses import dataclass
from typing import Final

from sim.words.message import Message, plain

Place = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Claim:
    """One thing to be proved, the place in the file that decides it, and what its author can do."""

    title: Message
    place: Place
    what_to_do: Message


def _claim(key: str, title: str, place: str, what_to_do: str) -> Claim:
    to_do = plain(f"claim.{key}.what-to-do", what_to_do)
    return Claim(plain(f"claim.{key}.title", title), (place,), to_do)


FINISHES: Final = _claim(
    "finishes", "the job finishes on the sound machine", "job",
    "without the fault the job must end with every piece good and no warning: change the job, the "
    "stock or found; drycycle run says piece by piece how it goes",
)  # fmt: skip
HIDES: Final = _claim(
    "hides", "a drill hides something", "mode",
    "add faults: with a name from drycycle list faults, or write mode: practice",
)  # fmt: skip
REACHED: Final = _claim(
    "reached", "every step can be reached", "steps",
    "change the goal of this step, or put a step before it that leads there",
)  # fmt: skip
ASKS: Final = _claim(
    "asks", "every step asks for something", "steps",
    "ask for something that is not so yet when the step begins, or take it out",
)  # fmt: skip
HARMLESS: Final = _claim(
    "harmless", "who does as asked harms nothing", "steps",
    "put a step before the harm that prevents it, or change what is asked or found",
)  # fmt: skip
HAS_IT: Final = _claim(
    "has-it", "the machine has what is hidden", "faults",
    "choose a fault that this stock and set-up can have, or change found",
)  # fmt: skip
SHOWS: Final = _claim(
    "shows", "the fault shows", "faults",
    "choose a fault that this job brings out, have it set in earlier, raise wanted so that it has "
    "the time, or narrow tolerance_mm",
)  # fmt: skip
REPORTED: Final = _claim(
    "reported", "the machine does as reported", "reported",
    "report what the machine with its faults does (what that is stands at the end), or name under "
    "mistaken what the operator gets wrong",
)  # fmt: skip
OPEN: Final = _claim(
    "open", "the report does not give it away", "reported",
    "report less, or choose a fault that is not the only one to do so",
)  # fmt: skip
UNNAMED: Final = _claim(
    "unnamed", "no word of it names the cause", "title",
    "say what is seen and heard, not which part is wrong, and name the file after that too",
)  # fmt: skip
WORTH: Final = _claim(
    "worth", "looking at everything does not pay", "inspections",
    "allow more looks that tell nothing here, so that it matters which are made",
)  # fmt: skip
SEEN: Final = _claim(
    "seen", "an inspection shows it", "inspections",
    "allow an inspection that shows it (drycycle list inspections), or write inspections: all",
)  # fmt: skip
TOLD: Final = _claim(
    "told", "it is told from every other cause", "inspections",
    "allow a look that tells them apart, write inspections: all, or declare them under "
    "ambiguous_with",
)  # fmt: skip
SEEN_WITH_ALL: Final = plain(
    "claim.seen.with-all.what-to-do",
    "none that this role may make shows it: hide a fault that one shows (drycycle list faults)",
)
"""What to do where all inspections are allowed already and none shows it."""
TOLD_WITH_ALL: Final = plain(
    "claim.told.with-all.what-to-do",
    "no look that this role may make tells them apart: declare what is alike under ambiguous_with",
)
"""The same where none tells it from others that are alike."""
MISLED: Final = plain(
    "claim.told.misled.what-to-do",
    "report something that speaks against what is named first, or hide a fault that is told apart from it",
)
"""What to do where the best plan names another cause first."""
ALIKE: Final = _claim(
    "alike", "what is declared alike is alike", "ambiguous_with",
    "take out of ambiguous_with what can be told apart",
)  # fmt: skip
CURED: Final = _claim(
    "cured", "after the remedy it runs well", "faults",
    "once every fault is put right the job must run: take out of found what no remedy mends, or "
    "choose a fault that does less harm before it is found",
)  # fmt: skip

PROVABLE: Final = _claim(
    "provable", "a tool can prove a good piece", "inspections",
    "allow a tool that reaches the piece and is sure to a quarter of tolerance_mm (drycycle list inspections), "
    "or widen tolerance_mm; where crooked faces are reported, allow feeler too",
)  # fmt: skip

ROUND_HAS: Final = _claim(
    "round-has", "the saw can have every finding", "findings",
    "take out what this saw with this stock cannot have",
)  # fmt: skip
ROUND_SEEN: Final = _claim(
    "round-seen", "every finding can be seen before the first cut", "findings",
    "take out what no allowed look shows: what is fit with the isolator off, the rest with power too, "
    "with each stop tried and the guard opened",
)  # fmt: skip
ROUND_FIT: Final = _claim(
    "round-fit", "what makes the saw fit is the operator's to put right", "findings",
    "put it under goes_on or stops, or take it out",
)  # fmt: skip
ROUND_GOES_ON: Final = _claim(
    "round-goes-on", "work can go on with what goes on", "findings",
    "put under stops what lets no job end well, or take it out",
)  # fmt: skip
CLAIMS: Final = (
    FINISHES, HIDES, REACHED, ASKS, HARMLESS, HAS_IT, SHOWS, REPORTED, OPEN, UNNAMED, WORTH, SEEN,
    TOLD, ALIKE, CURED, PROVABLE, ROUND_HAS, ROUND_SEEN, ROUND_FIT, ROUND_GOES_ON,
)  # fmt: skip
SHIFT_BARS: Final = _claim(
    "shift-bars", "the rack gives every piece", "rack",
    "put another bar on the rack, or ask for fewer or shorter pieces",
)  # fmt: skip
SHIFT_CUT: Final = _claim(
    "shift-cut", "every order is cut", "orders",
    "change the order that fails: every piece must be good and nothing be harmed; drycycle run says how it goes",
)  # fmt: skip

SHIFT_CLAIMS: Final = (SHIFT_BARS, SHIFT_CUT)
