"""What a session says of the acts that are done in it, for the time line and as answers.

Never here: what the saw tells of itself (see `news`).
"""

from collections.abc import Mapping
from typing import Final

from sim.control.decision import Refusal
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.session.kept.deeds import Answer
from sim.trade.handling import ALONE_KG, ALONE_LONGEST_M, PAIR, PAIR_KG, too_much
from sim.words.fields import entry, kilograms, mm, name, part, parts
from sim.words.message import NOTHING, Message, plain, row, sentences

FROZEN: Final = plain("session.frozen.refused", "the instructor has frozen the machine")
WAIT: Final = plain("session.frozen.remedy", "wait until it goes on")
IS_FROZEN: Final = Refusal("", "", FROZEN, WAIT)
STANDS_STILL: Final = Answer(False, IS_FROZEN.said)
"""What every act of the trainee comes to while the instructor has frozen the machine."""

KEY_TAKEN: Final = row("session.key.taken", "{action}", action=name())
KEY_REFUSED: Final = row("session.key.refused", "{action}: {why}", action=name(), why=part())

LET_GO: Final = row(
    "session.key.let-go",
    "You let go of {action}, for you left the console: {what}",
    action=name(),
    what=part(),
)
LET_GO_TO_WORK: Final = row(
    "session.key.let-go.to-work", "You let go of {action}, for no hand was left for it: {what}",
    action=name(), what=part(),
)  # fmt: skip

SET_TO: Final = row("session.set", "Set {name} to {setting}.", name=name(), setting=entry())
SET_TO_WORD: Final = row(
    "session.set.word", "Set {name} to {setting}.", name=name(), setting=part()
)
IS_NOW_WORD: Final = row(
    "session.set.now-word", "{name} is now {setting}.", name=name(), setting=part()
)
IS_NOW: Final = row("session.set.now", "{name} is now {setting}.", name=name(), setting=entry())
_WORDED: Final = {SET_TO: SET_TO_WORD, IS_NOW: IS_NOW_WORD}
FOUND: Final = row("session.found", "{title}: {found}", title=part(), found=part())
NOT_ALLOWED: Final = plain(
    "session.inspection.not-allowed",
    "This drill does not give that look: only those that inspections lists.",
)
NEAREST_LOOK: Final = row(
    "session.inspection.nearest", "The nearest of them is {look}: {title}.", look=name(), title=part(),
)  # fmt: skip
UNSAFE: Final = row(
    "session.unsafe", "Hands in the machine without a whole lock-out: {what}", what=part()
)
IN_REACH: Final = row(
    "session.exposed",
    "Hands {where}, where others could start the saw or the head could come down: {what}",
    where=part(), what=part(),
)  # fmt: skip
STARTABLE: Final = row(
    "session.exposed.startable", "Hands {where}, where others could start the saw: {what}",
    where=part(), what=part(),
)  # fmt: skip
NOT_AT_REST: Final = row(
    "session.exposed.not-at-rest", "Hands {where}, while the saw was not at rest: {what}",
    where=part(), what=part(),
)  # fmt: skip
MOVED: Final = row(
    "session.exposed.moved", "Hands {where}, while the band or the head moved: {what}",
    where=part(), what=part(),
)  # fmt: skip
UNQUALIFIED: Final = row(
    "session.exposed.cabinet", "Hands {where}, by somebody who is not qualified for it: {what}",
    where=part(), what=part(),
)  # fmt: skip
NOT_PROVED: Final = row(
    "session.exposed.not-proved-dead", "Hands {where}, which nobody had proved dead: {what}",
    where=part(), what=part(),
)  # fmt: skip
NOT_TOLD: Final = plain(
    "session.not-told",
    "Control power was switched on before those affected were told that the locks are off.",
)
LOCKOUT_STEP: Final = row("session.lockout.step", "Lock-out: {title}.", title=part())
STEP_DONE: Final = row("session.lockout.done", "Done: {title}.", title=part())
LOADING: Final = plain("session.loading", "A fresh bar is put on the saw.")
BROKEN_OFF: Final = row("session.broken-off", "Broken off: {what}", what=part())
NOTHING_UNDER_WAY: Final = plain("session.nothing-under-way", "There is nothing to break off.")
LOADED: Final = plain("session.loaded", "A fresh bar was loaded.")
LIES_THERE: Final = row(
    "session.loaded.answer", "A fresh bar of {mass} lies on the saw.", mass=kilograms(1)
)
_NARROWER: Final = plain(
    "session.loaded.narrower",
    "It is narrower than the one before, so the jaws stand further from it: a finger fits in between.",
)
_JAW_NOW: Final = row(
    "session.loaded.jaw", "{name} is {gap} now; set it to {right} before the vise closes.",
    name=name(), gap=mm(), right=mm(),
)  # fmt: skip
_REST_ON_CARD: Final = plain("session.loaded.card", "What else is to be set, the card tells.")


def jaws_stand_off(gaps: Mapping[str, tuple[float, float]]) -> Message:
    """Return that jaws stand too far from the bar that was just laid in; nothing where none does.

    Args:
        gaps: By the set point of each such jaw: its gap, and what the card has, m.
    """
    if not gaps:
        return NOTHING
    jaws = (_JAW_NOW(name=point, gap=gap, right=right) for point, (gap, right) in gaps.items())
    return sentences(_NARROWER, *jaws, _REST_ON_CARD)


_WEIGHS: Final = row(
    "session.loading.weighs",
    "A fresh bar weighs {mass}, {length} long. Alone one carries up to {alone} and {longest} here, two people up "
    "to {pair}; everything else hangs from the crane. Local rules and the maker's manual come first.",
    mass=kilograms(1), length=mm(), alone=kilograms(), longest=mm(), pair=kilograms(),
)  # fmt: skip
_TOO_MUCH: Final = row(
    "session.loading.too-much",
    "The bar weighs {mass}, {length} long: alone one carries up to {alone} and {longest} here, two people up to "
    "{pair}. It was set down again.",
    mass=kilograms(1), length=mm(), alone=kilograms(), longest=mm(), pair=kilograms(),
)  # fmt: skip


def weighs(mass_kg: float, length_m: float) -> Message:
    """Return what a fresh bar weighs, and who may carry how much."""
    return _WEIGHS(
        mass=mass_kg, length=length_m, alone=ALONE_KG, longest=ALONE_LONGEST_M, pair=PAIR_KG
    )


def too_heavy(mass_kg: float, length_m: float) -> Message:
    """Return what is said of a bar that was too much for who carried it."""
    return _TOO_MUCH(
        mass=mass_kg, length=length_m, alone=ALONE_KG, longest=ALONE_LONGEST_M, pair=PAIR_KG
    )


TAKE_CRANE: Final = plain(
    "session.loading.take-crane",
    "Load it by crane, as local rules and the maker's manual have it.",
)
TAKE_TWO: Final = plain(
    "session.loading.take-two",
    "Load it with a second person or by crane, as local rules and the maker's manual have it.",
)


def carry_instead(mass_kg: float, length_m: float) -> Message:
    """Return how a bar is loaded that was too much for who carried it."""
    return TAKE_CRANE if too_much(PAIR, mass_kg, length_m) else TAKE_TWO


HANGS: Final = row(
    "session.loading.hangs", "The bar of {mass} hung over the hands.", mass=kilograms(1)
)
NAMED: Final = row("session.named", "Named as the cause: {title}.", title=part())
REPORTED: Final = row(
    "session.reported", "In the book: {title}; {calls_for}.", title=part(), calls_for=part()
)
NO_ROUND: Final = plain(
    "session.no-round", "Nothing is reported here: this is no round at the start of a shift."
)
REPORT_INSTEAD: Final = plain(
    "session.report-instead",
    "In a round nothing is named as the cause: report what you find, with what it calls for.",
)
PROVE_IT: Final = row(
    "session.named.answer", "Noted: {title}. Put it right, then prove it with a good piece.",
    title=part(),
)  # fmt: skip
PROVE_SETTING: Final = row(
    "session.named.answer-set",
    "Noted: {title}. It can have been put right by what you set: prove it with a good piece.",
    title=part(),
)  # fmt: skip
PROVE_SWAPPED: Final = row(
    "session.named.answer-swapped",
    "Noted: {title}. You have exchanged that part: prove it with a good piece.",
    title=part(),
)  # fmt: skip
REMEDIED: Final = row("session.remedied", "Done: {remedy}", remedy=part())
SWAPPED: Final = row(
    "session.swapped", "Done: {swap} Whether the trouble is gone, trying again tells.", swap=part()
)

MEDDLING_REFUSED: Final = row(
    "session.meddling.refused", "Refused: {what} is no part of this run, and unsafe.", what=part()
)
FORCING: Final = row("session.meddling.forcing", "forcing {tag}", tag=name())
BYPASSING: Final = row("session.meddling.bypassing", "bypassing {interlock}", interlock=name())

STICKY_ON: Final = plain("window.sticky.on", "Sticky keys are on.")
STICKY_OFF: Final = plain("window.sticky.off", "Sticky keys are off.")
"""Notes of a window, which the record holds."""

# What a hint can say: `debrief.hints` chooses, and a record can be read without it.
HINT_NAME_IT: Final = plain("hint.name-it", "What you have found leaves one cause. Name it.")
HINT_NO_MORE: Final = plain(
    "hint.no-more", "Further looks tell nothing new. Name the likeliest cause, and try it."
)
HINT_ROUND: Final = plain(
    "hint.round",
    "Look at everything once without power, then with it; try every stop; and report what you find.",
)
HINT_NAMED: Final = plain(
    "hint.named",
    "You have named what was to be found. Put it right, and prove it with a good piece.",
)
HINT_PROVE: Final = plain(
    "hint.prove", "You have put right what you named. Prove it with a good piece."
)
HINT_FACE: Final = plain(
    "hint.face", "Crooked faces were reported: measure its length, and put the feeler to its face."
)
HINT_DONE: Final = plain(
    "hint.done", "It is put right, and proved with a good piece. Read the debrief."
)
HINT_TRY: Final = row("hint.try", "{trial}, and watch what it does.", trial=part())
HINT_RUNS_BURIED: Final = plain(
    "hint.runs-buried",
    "The band runs with its teeth in the metal, and no job feeds it. Stop the band, raise the head, and "
    "look at the teeth before it runs again.",
)
HINT_LIES_BURIED: Final = plain(
    "hint.lies-buried",
    "The teeth still lie in the metal. Raise the head, and look at the teeth before the band runs again.",
)
HINT_RUNS_BURIED_ASK: Final = plain(
    "hint.runs-buried.ask",
    "The band runs with its teeth in the metal, and no job feeds it. Stop the band and raise the head. Have "
    "somebody who may lock out look at the teeth before it runs again.",
)
HINT_LIES_BURIED_ASK: Final = plain(
    "hint.lies-buried.ask",
    "The teeth still lie in the metal. Raise the head. Have somebody who may lock out look at the teeth before the "
    "band runs again.",
)
HINT_LOOK: Final = row("hint.look", "Next: {look}.", look=part())
HINT_LOCK_FIRST: Final = plain("hint.lock-first", "Lock out first: hands go in.")
HINT_UNLOCK_FIRST: Final = plain(
    "hint.unlock-first",
    "First take the lock-out back, step by step: hands, tools and people out, then the locks off.",
)
HINT_WITH_ACTS: Final = row("hint.with-acts", "{hint} {acts}", hint=part(), acts=part())
TYPED_ACT: Final = row("typed.act", "{act}", act=name())
TYPED_ACTS: Final = row(
    "typed.listed", "Typed: {acts}.", acts=parts("; ")
)  # one line that can be pasted

TRY_SWITCH_ON: Final = plain("trial.switch-on", "Switch on, the head as it lies")
TRY_POWER_UP: Final = plain("trial.power-up", "Power up and raise the head")
TRY_ONE_PIECE: Final = plain("trial.one-piece", "Run it to one piece")
TRY_AS_REPORTED: Final = plain("trial.as-reported", "Run it as reported")

OVER: Final = plain("session.over", "the run is over")
READ_DEBRIEF: Final = plain("session.over.closed", "read the debrief")
CLOSE_IT: Final = plain("session.over.going", "close it and read the debrief")
GO_BACK: Final = plain(
    "session.over.rewind", "go back with rewind and do it right, or close it and read the debrief"
)
NO_WAIT: Final = row("session.no-wait", "{time} s is not a time to wait", time=name())
A_DAY: Final = plain("session.no-wait.to-do", "give 0 to 86400")


def in_words(said: Message) -> Message:
    """Return the message with what a set point was set to in the reader's words, where it is a word."""
    worded = _WORDED.get(said.row)
    if worded is None or not isinstance(said["setting"], str):
        return said
    point = SET_POINTS.get(str(said["name"]))
    return said if point is None else worded(name=point.name, setting=point.told(said["setting"]))
