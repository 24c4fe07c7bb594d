"""The alarms of the console as they came: a line each, the one that came first marked.

An alarm goes when its cause is gone. The first of several stays until all of them are gone, for it is
the one that tells what began it. Nothing is taken by looking: every edge on a wire is heard.
"""

from dataclasses import dataclass

from sim.control.lamps import Lamp, lit
from sim.saw import Saw
from sim.signals import Direction


@dataclass(frozen=True, slots=True)
class Alarm:
    """One line."""

    lamp: Lamp
    at_us: int  # when it came
    first: bool  # of those that stand
    stands: bool  # else only remembered as the first


class Alarms:
    """The alarms of one saw."""

    def __init__(self, saw: Saw) -> None:
        self._saw = saw
        self._lines: list[Alarm] = []
        saw.bus.listen(Direction.INPUT, lambda _tag, _value: self._look())
        saw.controller.on_change(lambda _subject, _value: self._look())
        self._look()

    @property
    def lines(self) -> tuple[Alarm, ...]:
        """The alarms in the order they came."""
        return tuple(self._lines)

    @property
    def live(self) -> bool:
        """Whether the console has the power to show any."""
        return self._saw.controller.image["supply"] == "ON"

    @property
    def ready(self) -> bool:
        """Whether no job is under way or done, and nothing on the machine blocks the start of one."""
        return any(
            lamp.name == "ready"
            for lamp in lit(self._saw.controller.image, self._saw.controller.rows)
        )

    @property
    def waits(self) -> bool:
        """Whether a job is at rest, so that it can be asked what blocks its start."""
        return self._saw.controller.image["job"] in ("STOPPED", "IDLE", "COMPLETE", "ABORTED")

    def _look(self) -> None:
        on = [
            lamp
            for lamp in lit(self._saw.controller.image, self._saw.controller.rows)
            if lamp.name != "ready"
        ]
        if not on:
            if self._lines:
                self._lines = []
            return
        kept = [
            Alarm(line.lamp, line.at_us, line.first, line.lamp in on)
            for line in self._lines
            if line.first or line.lamp in on
        ]
        known = [line.lamp for line in kept]
        now_us = self._saw.clock.now_us
        kept += [
            Alarm(lamp, now_us, first=not kept and index == 0, stands=True)
            for index, lamp in enumerate(lamp for lamp in on if lamp not in known)
        ]
        if kept != self._lines:
            self._lines = kept
