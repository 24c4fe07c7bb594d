"""Plays a record again: the same acts at the same times must end in the same state.

Imports `opening`, `records` and `session`.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import sim
from sim.drill.opening import open_session
from sim.drill.session import Session
from sim.errors import DrycycleError, RecordError
from sim.records.chain import read_chain


@dataclass(frozen=True, slots=True)
class Replay:
    """What came of playing a record again."""

    session: Session
    recorded: str  # digest of the state at the close
    played: str

    @property
    def same(self) -> bool:
        """Whether both ended in the same state."""
        return self.recorded == self.played


_ACTS: dict[str, Callable[[Session, Mapping[str, Any]], object]] = {
    "press": lambda s, w: s.press(*w["keys"]),
    "release": lambda s, w: s.release(*w["keys"]),
    "set": lambda s, w: s.set(w["name"], w["setting"]),
    "inspect": lambda s, w: s.inspect(w["name"]),
    "lockout": lambda s, w: s.lock_out(w["step"]),
    "diagnose": lambda s, w: s.diagnose(w["name"]),
    "put_right": lambda s, w: s.put_right(w["name"]),
    "note": lambda s, w: s.note(w["text"]),
}


def replay(path: Path) -> Replay:
    """Return the replay of a record.

    Raises:
        RecordError: The record is missing, cut short, edited, of another engine, of a scenario
            that has changed since, or its acts cannot be played.
        ScenarioError: Its scenario is gone.
    """
    lines = read_chain(path)
    opening = next((line for line in lines if line.get("act") == "open"), None)
    closing = lines[-1].get("last")
    if opening is None or not isinstance(closing, dict) or "state" not in closing:
        raise RecordError("this is not the record of a session", str(path), "name another")
    if opening["engine"] != sim.__version__:
        raise RecordError(
            f"the record was made by version {opening['engine']}", str(path),
            f"play it with that version; this is {sim.__version__}",
        )  # fmt: skip
    session = open_session(str(opening["path"]), nonce=str(closing["nonce"]))
    _same_scenario(session, opening, path)
    for number, line in enumerate(lines, start=1):
        act = _ACTS.get(str(line.get("act")))
        if act is not None:
            _play(session, act, line, f"{path}:{number}")
    session.advance_us(int(closing["at_us"]) - session.saw.clock.now_us)
    return Replay(session, str(closing["state"]), session.close())


def _same_scenario(session: Session, opening: Mapping[str, Any], path: Path) -> None:
    if session.source.get("scenario_sha256") != opening["scenario_sha256"]:
        raise RecordError(
            f"the scenario {opening['scenario']} has changed since the record was made", str(path),
            "play it beside the scenario file of that time",
        )  # fmt: skip


def _play(
    session: Session,
    act: Callable[[Session, Mapping[str, Any]], object],
    line: Mapping[str, Any],
    where: str,
) -> None:
    try:
        session.advance_us(int(line["at_us"]) - session.saw.clock.now_us)
        act(session, line)
    except (DrycycleError, KeyError, TypeError, ValueError) as fault:
        raise RecordError(
            f"the act cannot be played: {fault}", where, "the record is not sound"
        ) from fault
