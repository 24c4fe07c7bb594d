"""What is refused though no interlock is against it: one hand, a wrong selector, a machine that is busy.

Never here: what the machine's safety asks for (see `interlocks`), and the job's own state (`job`).
"""

from typing import Final

from sim.control.decision import Refusal
from sim.control.nouns import MODE, THE
from sim.control.two_hand import TwoHand
from sim.words.fields import part
from sim.words.message import plain, row


def _rule_of_use(device: str, key: str, fact: str, to_do: str) -> Refusal:
    said = plain(f"{key}.refused", fact), plain(f"{key}.remedy", to_do)
    return Refusal("", device, *said, of_device=False)


ONE_HAND: Final = _rule_of_use(
    "S3", "two-hand.one-hand", "this start needs both hands",
    "press the two-hand key and the start key together",
)  # fmt: skip
_BOTH_UP: Final = plain("two-hand.both-up", "let both keys go, then press them together")
TWO_HAND: Final = {
    TwoHand.TOO_LATE: Refusal(
        "",
        "S3",
        plain("two-hand.too-late", "the two keys went down more than 0.5 s apart"),
        _BOTH_UP,
        of_device=False,
    ),
    TwoHand.STALE: Refusal(
        "",
        "S3",
        plain("two-hand.stale", "a key was still down from the last attempt"),
        _BOTH_UP,
        of_device=False,
    ),
}
# Commands that some state cannot take; in any other state the thing is there or on its way.
BUSY: Final = {
    ("band.start", "COASTING"): _rule_of_use(
        "band", "band.coasting", "the band is still coasting", "wait until it stands still"
    ),
    ("supply.control_on", "DEAD"): _rule_of_use(
        "supply", "supply.dead", "the isolator is off", "switch the isolator on"
    ),
    ("supply.control_on", "EMERGENCY"): _rule_of_use(
        "supply", "supply.emergency", "the emergency stop is latched", "release it first"
    ),
}

_IS_IN: Final = row("mode.wrong.refused", "{station} is in {mode}", station=part(), mode=MODE)
_TURN: Final = row("mode.wrong.remedy", "turn {station} to {mode} first", station=part(), mode=MODE)


def in_mode(station: str, mode: str, other: str) -> Refusal:
    """Return the refusal at a station whose selector is in `mode` and would have to be in `other`."""
    the = THE[station]
    return Refusal(
        "", f"mode.{station}", _IS_IN(station=the, mode=mode), _TURN(station=the, mode=other)
    )
