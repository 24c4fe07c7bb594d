"""What a person does in a function test: presses a key by hand, keeps it down, and watches."""

from collections.abc import Callable
from typing import Final

from sim.control.decision import Decision
from sim.saw import Saw
from sim.units import US
from sim.words.fields import part
from sim.words.message import NOTHING, Message, row

REFUSED: Final = row("inspection.refused", "Refused. {why}", why=part())


class TryingHands:
    """A person trying one station of a saw in HAND."""

    def __init__(self, saw: Saw) -> None:
        self.saw = saw

    def to_hand(self, station: str) -> None:
        """Turn a station to HAND."""
        self.tap(f"{station}.hand")

    def tap(self, *keys: str) -> Decision | None:
        """Press keys together and let them go; return the last answer."""
        answers = [self.saw.press(key) for key in keys]
        for key in keys:
            self.saw.release(key)
        return next((answer for answer in reversed(answers) if answer is not None), None)

    def wait(self, seconds: float) -> None:
        """Watch for so long."""
        self.saw.advance_to(self.saw.clock.now_us + round(seconds * US))

    def hold(
        self, key: str, seconds: float, watch: Callable[[], None], at_s: float = 0.3
    ) -> Decision | None:
        """Hold a key down for so long, and look once soon after it went down."""
        answer = self.saw.press(key)
        self.wait(at_s)
        watch()
        self.wait(seconds - at_s)
        self.saw.release(key)
        return answer

    def start(self, key: str) -> Decision | None:
        """Press a start with both hands."""
        return self.tap("supply.two_hand", key)


def refusal(answer: Decision | None) -> Message:
    """Return that and why a key was refused; nothing when it was taken or gave no answer."""
    if answer is None or answer.accepted:
        return NOTHING
    return REFUSED(why=answer.sentence)
