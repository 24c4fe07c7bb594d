"""What stands against a key of the console now: why it is drawn hollow, and what is said when it is asked.

Never here: an interlock or a rule of use; the controller is asked.
"""

from typing import Final

from sim.control.actions import BY_NAME as ACTIONS
from sim.control.interlocks import When
from sim.control.rules_of_use import BUSY, NOTHING_ASKED
from sim.session.hands.cautions import before_key
from sim.session.session import Session
from sim.session.sights.known import hides
from sim.session.why import VARIATOR, still_taken, there_already, to_heed
from sim.session.why import against as blocked_by
from sim.teaching.forewarning import forewarning
from sim.view.play.console_rows import STOPS
from sim.view.play.hands import ENABLE, PALMS
from sim.words.fields import name
from sim.words.message import Message, plain, row, sentences

NOTHING_AGAINST: Final = plain("window.nothing-blocks", "Nothing blocks it.")
_MAINTENANCE_ONLY: Final = plain(
    "window.enable.elsewhere",
    "The enabling device counts in MAINTENANCE only. Turn the mode switch to MAINTENANCE.",
)
_EVERYWHERE: Final = row(
    "window.stop.everywhere",
    "This stop acts on every sheet; while something is typed, with {keys}.", keys=name(),
)  # fmt: skip


def against(session: Session, key: str) -> tuple[Message, ...]:
    """Return what stands against a key now, a sentence or two each; empty when nothing does."""
    saw = session.saw
    controller = saw.controller
    if key in ACTIONS or key in VARIATOR or key == "supply.isolator":
        return blocked_by(saw, key)
    if key in PALMS and not controller.asked:
        return (NOTHING_ASKED.said,)
    if key == ENABLE and controller.image["mode"] != "MAINTENANCE":
        return (_MAINTENANCE_ONLY,)
    return ()


def may(session: Session, key: str) -> bool:
    """Return whether a key does something now; it is drawn hollow when it does not.

    In a drill no key is hollow: what is refused is found out by asking or by pressing, as in the terminal.
    """
    if key not in ACTIONS:
        return not against(session, key)
    if hides(session):
        return True
    controller = session.saw.controller
    state = str(controller.image[ACTIONS[key].machine])
    return (key, state) not in BUSY and next(controller.against(key, When.KEY), None) is None


def told_of(session: Session, key: str, keys: str = "") -> Message:
    """Return what is said when a key is asked about before it is pressed; it is asked on the record.

    Args:
        session: Whose console it is.
        key: The key.
        keys: What presses it while something is typed, where it is a stop.
    """
    if key in ACTIONS and not session.closed:
        session.ask(key)
    said = against(session, key)
    if said:
        return sentences(*said)
    if key in STOPS and keys:
        return sentences(NOTHING_AGAINST, _EVERYWHERE(keys=keys))
    notes = (
        *there_already(session.saw, key), *forewarning(session, key), *to_heed(session.saw, key),
        *still_taken(session.saw, key), *before_key(key),
    )  # fmt: skip
    return sentences(NOTHING_AGAINST, *notes)
