"""Plays a record in the window: forward with the clock, or straight to any moment of it.

A run is the same each time it is played, and playing is thousands of times faster than life, so
going back means beginning anew and playing up to the moment. A record that was cut is played as far
as it goes. Imports `records`, `opening` and the session.
"""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

import sim
from sim.drill.opening import open_session
from sim.drill.session import Session
from sim.errors import RecordError
from sim.records.chain import read_chain

Line = Mapping[str, Any]

# How each kind of line is said to the session again.
VERBS: Final[dict[str, Callable[[Session, Line], object]]] = {
    "press": lambda s, w: s.press(*w["keys"]),
    "release": lambda s, w: s.release(*w["keys"]),
    "set": lambda s, w: s.set(w["name"], w["setting"]),
    "inspect": lambda s, w: s.inspect(w["name"]),
    "lockout": lambda s, w: s.lock_out(w["step"]),
    "diagnose": lambda s, w: s.diagnose(w["name"]),
    "put_right": lambda s, w: s.put_right(w["name"]),
    "note": lambda s, w: s.note(w["text"]),
}


class Player:
    """One record and where it is played to.

    Args:
        path: The record's file.

    Raises:
        RecordError: The file is no record, was changed, or is of another version of the program.
        ScenarioError: Its scenario is gone.
    """

    def __init__(self, path: Path) -> None:
        lines = read_chain(path, allow_cut=True)
        opening = next((line for line in lines if line.get("act") == "open"), None)
        if opening is None:
            raise RecordError("this is not the record of a session", str(path), "name another")
        if opening["engine"] != sim.__version__:
            raise RecordError(
                f"the record was made by version {opening['engine']}", str(path),
                f"play it with that version; this is {sim.__version__}",
            )  # fmt: skip
        self._scenario = str(opening["path"])
        self._acts = [line for line in lines if line.get("act") in VERBS]
        last = lines[-1].get("last")
        ends = [int(line["at_us"]) for line in self._acts]
        if isinstance(last, dict) and "at_us" in last:
            ends.append(int(last["at_us"]))
        self.end_us = max(ends, default=0)
        self.nonce = str(last.get("nonce", "")) if isinstance(last, dict) else ""
        self._begin()
        if self.session.source.get("scenario_sha256") != opening["scenario_sha256"]:
            raise RecordError(
                f"the scenario {opening['scenario']} has changed since the record was made",
                str(path), "play it beside the scenario file of that time",
            )  # fmt: skip
        self._look_ahead()

    def _begin(self) -> None:
        self.session: Session = open_session(self._scenario, nonce=self.nonce)
        self._next = 0

    def _look_ahead(self) -> None:
        """Play to the end once, for the marks of the scrubber; then begin again."""
        self.seek(self.end_us)
        self.events = tuple(self.session.events)
        self._begin()

    @property
    def now_us(self) -> int:
        """Where it is played to."""
        return self.session.saw.clock.now_us

    @property
    def over(self) -> bool:
        """Whether it is played to its end."""
        return self.now_us >= self.end_us or self.session.over

    def seek(self, time_us: int) -> bool:
        """Go to a moment; return whether the session had to be begun anew."""
        time_us = min(max(time_us, 0), self.end_us)
        anew = time_us < self.now_us
        if anew:
            self._begin()
        while self._next < len(self._acts) and int(self._acts[self._next]["at_us"]) <= time_us:
            line = self._acts[self._next]
            self._next += 1
            self._wait_until(int(line["at_us"]))
            if not self.session.over:
                VERBS[line["act"]](self.session, line)
        self._wait_until(time_us)
        return anew

    def _wait_until(self, time_us: int) -> None:
        # An inspection takes its own time, and may have gone past the moment.
        if time_us > self.now_us:
            self.session.advance_us(time_us - self.now_us)
