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
    """A person trying one part of a saw in MANUAL."""

    def __init__(self, saw: Saw) -> None:
        self.saw = saw

    def to_manual(self) -> None:
        """Turn the mode switch to MANUAL, if it is elsewhere, and wait until that has taken effect."""
        if self.saw.controller.image["mode"] != "MANUAL":
            self.saw.press("mode.manual")
            self.wait(self.saw.controller.times.mode_rests_us / US)

    def tap(self, key: str) -> Decision | None:
        """Press a key and let it go; return the answer."""
        answer = self.saw.press(key)
        self.saw.release(key)
        return answer

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
        """Press a start and then both palm keys; return the last answer about the start."""
        keys = (key, "palm.left", "palm.right")
        answers = [answer for each in keys if (answer := self.saw.press(each)) is not None]
        for each in keys:
            self.saw.release(each)
        return next((answer for answer in reversed(answers) if answer.action == key), None)


def refusal(answer: Decision | None) -> Message:
    """Return that and why a key was refused; nothing when it was taken or gave no answer."""
    if answer is None or answer.accepted:
        return NOTHING
    return REFUSED(why=answer.sentence)
