"""What is refused though no interlock is against it: a missing hand, the job's parts, a busy machine.

Never here: what the machine's safety asks for (see `interlocks`), and the job's own state (`job`).
"""

from typing import Final

from sim.control.decision import Refusal
from sim.control.two_hand import TwoHand
from sim.signals import BY_TAG
from sim.words.fields import name
from sim.words.message import plain, row


def _rule_of_use(device: str, key: str, fact: str, to_do: str) -> Refusal:
    said = plain(f"{key}.refused", fact), plain(f"{key}.remedy", to_do)
    return Refusal("", device, *said, of_device=False)


WANTS_PALMS: Final = _rule_of_use(
    "S3", "palms.wanted", "this start wants both palm keys", "press both palm keys together now",
)  # fmt: skip
NOTHING_ASKED: Final = _rule_of_use(
    "S3", "palms.nothing-asked", "the palm keys start nothing by themselves",
    "press the key of what is to start, then both palm keys",
)  # fmt: skip
_HELD: Final = row("held-key.refused", "{name} is held down from before", name=name())
_LET_GO: Final = row("held-key.remedy", "let go of {name} first", name=name())
_BOTH_UP: Final = plain("palms.both-up", "take both hands off, then press both palm keys together")
TWO_HAND: Final = {
    TwoHand.TOO_LATE: Refusal(
        "",
        "S3",
        plain("palms.too-late", "the palm keys went down more than 0.5 s apart"),
        _BOTH_UP,
        of_device=False,
    ),
    TwoHand.STALE: Refusal(
        "",
        "S3",
        plain("palms.stale", "a palm key was still down from before"),
        _BOTH_UP,
        of_device=False,
    ),
}


def held_down(tag: str) -> Refusal:
    """Return that a key is held from before, so that it does not go down when it is pressed."""
    key = BY_TAG[tag].key
    return Refusal("", tag, _HELD(name=key), _LET_GO(name=key))


# Who has the parts: the job in PRODUCTION, nobody while the mode changes.
TAKEN: Final = {
    "PRODUCTION": _rule_of_use(
        "mode", "mode.production", "in PRODUCTION the job has all parts, and movement keys are dead",
        "turn the mode switch to MANUAL to move it by hand",
    ),
    "NONE": _rule_of_use(
        "mode", "mode.none", "the saw has no mode: its switch is being turned, or its key is out",
        "put the key in when nobody is at the saw, and leave the switch at rest for half a second"
    ),
}  # fmt: skip

# Commands that some state cannot take; in any other state the thing is there or on its way.
BUSY: Final = {
    ("band.run", "COASTING"): _rule_of_use(
        "band", "band.coasting", "the band is still coasting", "wait until it has stopped"
    ),
    ("supply.control_on", "DEAD"): _rule_of_use(
        "supply",
        "supply.dead",
        "the isolator is off, or no voltage comes from it",
        "switch the isolator on when you know why it was off and nobody is at the saw",
    ),
    ("supply.control_on", "TRIPPED"): _rule_of_use(
        "supply", "supply.tripped", "the safety circuit is open", "press reset first"
    ),
}
