"""What is said to be wanting of the goal of a lesson's step.

Never here: whether it is wanting (see `goals`).
"""

from typing import Final

from sim.control.dials import BY_NAME as DIALS
from sim.control.nouns import MODES
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.plant.set_points import Setting
from sim.scenario.steps import Limits
from sim.session.lessons.amounts import Amount
from sim.words.fields import Quantity, count, m_min, mm, name, number, part, parts
from sim.words.message import Message, plain, row

MUST_SHOW: Final = row(
    "wanting.signal.must-show", "{tag} must show that {meaning}.", tag=name(), meaning=part()
)
STILL_SHOWS: Final = row(
    "wanting.signal.still-shows", "{tag} still shows that {meaning}.", tag=name(), meaning=part()
)
LET_IT_GO: Final = plain("wanting.signal.let-go", "Let it go.")
MUST_BE: Final = row(
    "wanting.state", "It is done when {machine} is {states}; it is {here} now.",
    machine=part(), states=parts(" or "), here=part(),
)  # fmt: skip
MUST_COME_TO: Final = row(
    "wanting.state.named", "{machine} must come to the state {states}; its state is {here}.",
    machine=part(capital=True), states=parts(" or "), here=part(),
)  # fmt: skip
NAMED: Final = frozenset(["TRIPPED", "EXECUTE"])
"""States whose word says not how a machine is, so that nothing can be said to be it."""
TURN: Final = row("wanting.mode", "The mode switch must be turned to {mode}.", mode=MODES)
NO_LINE: Final = row(
    "wanting.setting.no-line", "The set-up card has no line for {set}.", set=name()
)
_SET: Final = row(
    "wanting.setting", "{title} ({set}): it must be {wanted}; it is {here}.",
    title=part(capital=True), set=name(), wanted=part(), here=part(),
)  # fmt: skip
_CORRECT: Final = row(
    "wanting.setting.measured",
    "{title} ({set}): it must be corrected by what the piece was measured to be off; it is {here}.",
    title=part(capital=True), set=name(), here=part(),
)  # fmt: skip
BACKLASH_IN: Final = plain(
    "wanting.setting.backlash",
    "The play is still in: wind the length stop past its setting and back to it.",
)
STANDS_SHORT: Final = row(
    "wanting.backlash.out", "The length stop stands {play} short of its scale.", play=mm(2)
)
STANDS_TRUE: Final = plain(
    "wanting.backlash.in",
    "The length stop stands true; wind it up to its reading from below.",
)
CHANGES: Final = plain("wanting.speed.changing", "The band speed is still changing.")
SPEED: Final = row(
    "wanting.speed", "The band speed must be {wanted}; the dial shows {here}.",
    wanted=part(), here=part(),
)  # fmt: skip
MEASURE: Final = row(
    "wanting.measure", "{title}: it must be {wanted}; it is {here}.",
    title=part(capital=True), wanted=part(), here=part(),
)  # fmt: skip
CUTS: Final = row("wanting.cuts", "{here} of {wanted} cuts are made.", here=count(), wanted=count())
PIECES: Final = row(
    "wanting.pieces", "{here} of {wanted} pieces are cut.", here=count(), wanted=count()
)
MEASURED: Final = row(
    "wanting.measured",
    "{here} of {wanted} pieces are measured with a tool that is fine enough, and found good.",
    here=count(), wanted=count(),
)  # fmt: skip
SQUARE_FACES: Final = row(
    "wanting.square-faces",
    "Faces found square, with square or feeler: {here} of the last {wanted}.",
    here=count(), wanted=count(),
)  # fmt: skip
NOT_LOOKED: Final = row(
    "wanting.inspected", "Not yet looked at: {look} ({title}).", look=name(), title=part(small=True)
)
STEP: Final = row(
    "wanting.lockout", "The step {step} of the lock-out is wanting: {title}.",
    step=name(), title=part(),
)  # fmt: skip
VERIFY: Final = plain("wanting.lockout.verify", "All energy is off; verify it.")
TAKE_BACK: Final = plain(
    "wanting.lockout.off", "The lock-out is not taken back yet: locks off, and those affected told."
)
TAKE: Final = row("wanting.taken", "{action} must be pressed and taken.", action=name())
REFUSE: Final = row("wanting.refused", "{action} must be tried once and refused.", action=name())
NOT_LOADED: Final = plain(
    "wanting.loaded",
    "The bar of this order must lie on the saw; that of the order before is still there.",
)

_COUNTED: Final = Amount("wanting.count", number())
SPEEDS: Final = Amount("wanting.speed", m_min(), here_decimals=0)
_AMOUNTS: Final = {
    each.name: Amount(f"wanting.{each.name.replace('_', '-')}", field)
    for each in SET_POINTS.values()
    if isinstance(field := each.said.fields["setting"], Quantity)
}


def not_set(point: str, target: float | str | Limits, here: Setting) -> Message:
    """Return what a set point must be, and what it is."""
    amount = _AMOUNTS.get(point, _COUNTED)

    def told(setting: float | str | Limits) -> Message:
        if isinstance(setting, Limits):
            return amount.range(setting)
        return _word(point, setting) if isinstance(setting, str) else amount.told(round(setting, 3))

    now = _word(point, here) if isinstance(here, str) else amount.here(round(here, 3))
    title = (SET_POINTS.get(point) or DIALS[point]).title
    return _SET(title=title, set=point, wanted=told(target), here=now)


def not_corrected(point: str, here: float) -> Message:
    """Return that a set point is not corrected by what was measured, and what it is."""
    now = _AMOUNTS.get(point, _COUNTED).told(round(here, 3))
    return _CORRECT(title=(SET_POINTS.get(point) or DIALS[point]).title, set=point, here=now)


def _word(point: str, setting: str) -> Message:
    return SET_POINTS[point].told(setting)
