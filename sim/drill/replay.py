"""Plays a record again: the same acts at the same times must end in the same state.

Imports `opening`, `records` and `session`.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import sim
from sim.drill.journal import fault_seal
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


ACTS: Final[dict[str, Callable[[Session, Mapping[str, Any]], object]]] = {
    "press": lambda s, w: s.press(*w["keys"]),
    "release": lambda s, w: s.release(*w["keys"]),
    "set": lambda s, w: s.set(w["name"], w["setting"]),
    "inspect": lambda s, w: s.inspect(w["name"], w.get("expect", "")),
    "lockout": lambda s, w: s.lock_out(w["step"]),
    "load": lambda s, _w: s.load_bar(),
    "diagnose": lambda s, w: s.diagnose(w["name"]),
    "put_right": lambda s, w: s.put_right(w["name"]),
    "force": lambda s, w: s.force(w["tag"], w["value"]),
    "jumper": lambda s, w: s.jumper(w["name"], w["on"]),
    "note": lambda s, w: (s.instructor if "by" in w else s).note(w["text"]),
    "hint": lambda s, w: s.take_hint(w["text"]),
    "put_in": lambda s, w: s.instructor.put_in(w["name"]),
    "take_out": lambda s, w: s.instructor.take_out(w["name"]),
    "freeze": lambda s, w: s.instructor.freeze(w["on"]),
    "pace": lambda s, w: s.instructor.pace(w["factor"]),
    "mark": lambda s, w: s.instructor.mark(w["text"]),
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
    who = str(opening.get("who", ""))
    session = open_session(str(opening["path"]), nonce=str(closing["nonce"]), who=who)
    _same_scenario(session, opening, path)
    named = _Unsealed(closing)
    for number, line in enumerate(lines, start=1):
        act = ACTS.get(str(line.get("act")))
        if act is not None:
            where = f"{path}:{number}"
            _play(session, act, named.line(line, where) if "seal" in line else line, where)
    session.advance_us(int(closing["at_us"]) - session.saw.clock.now_us)
    return Replay(session, str(closing["state"]), session.close())


class _Unsealed:
    """Puts the names back that were sealed, in their order."""

    def __init__(self, closing: Mapping[str, Any]) -> None:
        self._names = [str(name) for name in closing.get("sealed", ())]
        self._nonce = str(closing["nonce"])
        self._taken = 0

    def line(self, line: Mapping[str, Any], where: str) -> Mapping[str, Any]:
        """Return a line with the name that its seal stands for.

        Raises:
            RecordError: The closing line tells no name for it, or one that does not fit.
        """
        number = self._taken
        self._taken += 1
        name = self._names[number] if number < len(self._names) else ""
        if line["seal"] != fault_seal(number, name, self._nonce):
            raise RecordError(
                "the closing line does not open this seal", where, "the record is not sound"
            )
        return {**line, "name": name}


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
