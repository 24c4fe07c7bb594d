"""Plays a record again: the same acts at the same times must end in the same state."""

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any, Final

import sim
from sim.bugs import TableError
from sim.errors import DrycycleError, RecordError, ScenarioError
from sim.records.acts import Act, ActKind, By, act_from, is_act
from sim.records.chain import read_chain
from sim.scenario import library
from sim.session.heard import ON_RECORD
from sim.session.journal import fault_seal
from sim.session.opening import open_session
from sim.session.session import Session


@dataclass(frozen=True, slots=True)
class Replay:
    """What came of playing a record again."""

    session: Session
    recorded: str  # digest of the state at the close; of a cut record, of what happened in it
    played: str
    cut: str = ""  # where and how the record ends early, a sentence; empty when it is whole

    @property
    def same(self) -> bool:
        """Whether both came to the same."""
        return self.recorded == self.played


_DOES: Final[dict[ActKind, Callable[[Session, Any], object]]] = {
    ActKind.PRESS: lambda s, a: s.press(*a.keys),
    ActKind.RELEASE: lambda s, a: s.release(*a.keys),
    ActKind.SET: lambda s, a: s.set(a.name, a.setting),
    ActKind.INSPECT: lambda s, a: s.inspect(a.name, a.expect),
    ActKind.LOCKOUT: lambda s, a: s.lock_out(a.step),
    ActKind.LOAD: lambda s, _: s.load_bar(),
    ActKind.DIAGNOSE: lambda s, a: s.diagnose(a.name),
    ActKind.PUT_RIGHT: lambda s, a: s.put_right(a.name),
    ActKind.FORCE: lambda s, a: s.force(a.tag, a.value),
    ActKind.JUMPER: lambda s, a: s.jumper(a.name, a.on),
    ActKind.NOTE: lambda s, a: (s.instructor if a.by is By.INSTRUCTOR else s).note(a.text),
    ActKind.HINT: lambda s, a: s.take_hint(a.message),
    ActKind.PUT_IN: lambda s, a: s.instructor.put_in(a.name),
    ActKind.TAKE_OUT: lambda s, a: s.instructor.take_out(a.name),
    ActKind.FREEZE: lambda s, a: s.instructor.freeze(a.on),
    ActKind.PACE: lambda s, a: s.instructor.pace(a.factor),
    ActKind.MARK: lambda s, a: s.instructor.mark(a.text),
}


def play(session: Session, act: Act) -> None:
    """Do an act to a session as it stands now; it raises what the act raises."""
    _DOES[act.kind](session, act)


def replay(path: Path, *, allow_cut: bool = False) -> Replay:
    """Return the replay of a record.

    Args:
        path: The record's file.
        allow_cut: Play a record whose end is missing as far as it goes. It has no last state to
            compare with, so what happened on the machine up to there is compared.

    Raises:
        RecordError: The record is missing, cut short, edited, of another engine, of a scenario
            that has changed since, or its acts cannot be played.
        ScenarioError: Its scenario is gone.
    """
    lines = read_chain(path, allow_cut=allow_cut)
    opening = next((line for line in lines if line.get("act") == "open"), None)
    cut = "cut" in lines[-1]
    closing = {} if cut else lines[-1].get("last")
    if opening is None and cut:
        raise RecordError("the record was cut before its first act", str(path), "nothing is in it")
    if opening is None or not isinstance(closing, dict) or not (cut or "state" in closing):
        raise RecordError("this is not the record of a session", str(path), "name another")
    if opening["engine"] != sim.__version__:
        raise RecordError(
            f"the record was made by version {opening['engine']}", str(path),
            f"play it with that version; this is {sim.__version__}",
        )  # fmt: skip
    who = str(opening.get("who", ""))
    scenario = scenario_of(opening, path)
    session = open_session(scenario, nonce=str(closing.get("nonce", "")), who=who)
    _same_scenario(session, opening, path)
    for number, act in acts_of(lines, str(path)):
        _play(session, act, f"{path}:{number}")
    if cut:
        return _as_far_as_it_goes(session, lines)
    session.advance_us(int(closing["at_us"]) - session.saw.clock.now_us)
    return Replay(session, str(closing["state"]), session.close())


def scenario_of(opening: Mapping[str, Any], record: Path) -> str:
    """Return the scenario that a record was made of: a name, or a file here or beside the record.

    Args:
        opening: The record's opening act.
        record: The record's file.

    Raises:
        ScenarioError: Its file is in neither place.
    """
    told = str(opening.get("path", ""))
    file = library.find(told)
    beside = record.parent / file.name
    if file.is_file():
        return told
    if beside.is_file():
        return str(beside)
    raise ScenarioError(
        f"the scenario of the record, {file.name}, is not here", str(record),
        "do it in the folder where it was played, or put the scenario's file beside the record",
    )  # fmt: skip


def _as_far_as_it_goes(session: Session, lines: Sequence[Mapping[str, Any]]) -> Replay:
    """Return the replay of a record without its end."""
    last_us = max(int(line.get("at_us", 0)) for line in lines)
    session.advance_us(max(last_us - session.saw.clock.now_us, 0))
    told = [(line["event"], line["at_us"], line["message"]) for line in lines if "event" in line]
    kept = [
        (e.kind, e.at_us, e.message.plain()) for e in session.heard.events if e.kind in ON_RECORD
    ]
    whole = len(lines) - 1
    text = f"The record ends early, after line {whole}: {lines[-1]['cut']}."
    if any("seal" in line for line in lines if is_act(line)):
        text += " A fault that the instructor put in or took out is sealed for good, and left out."
    session.close()
    return Replay(session, _digest(told), _digest(kept[: len(told)]), text)


def _digest(told: list[tuple[Any, ...]]) -> str:
    return sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()


def acts_of(lines: Sequence[Mapping[str, Any]], name: str) -> list[tuple[int, Act]]:
    """Return the acts of a record that can be played, with the numbers of their lines from 1.

    The names of faults that were sealed are put back; without a closing line, which opens the
    seals, those lines are left out.

    Args:
        lines: As `read_chain` returns them.
        name: Of the record, for messages.

    Raises:
        RecordError: An act does not fit; or the closing line tells no name for a seal, or one that
            does not fit.
    """
    closing = lines[-1].get("last")
    sealed = 0
    found: list[tuple[int, Act]] = []
    for number, line in enumerate(lines, start=1):
        where = f"{name}:{number}"
        if not is_act(line):
            continue
        if "seal" not in line:
            found.append((number, act_from(line, where)))
        elif isinstance(closing, dict):
            found.append((number, act_from(_opened(line, closing, sealed, where), where)))
            sealed += 1
    return found


def _opened(
    line: Mapping[str, Any], closing: Mapping[str, Any], number: int, where: str
) -> Mapping[str, Any]:
    names = closing.get("sealed", [])
    fault = str(names[number]) if number < len(names) else ""
    if line["seal"] != fault_seal(number, fault, str(closing["nonce"])):
        raise RecordError(
            "the closing line does not open this seal", where, "the record is not sound"
        )
    return {**{key: value for key, value in line.items() if key != "seal"}, "name": fault}


def _same_scenario(session: Session, opening: Mapping[str, Any], path: Path) -> None:
    if session.source.get("scenario_sha256") != opening["scenario_sha256"]:
        raise RecordError(
            f"the scenario {opening['scenario']} has changed since the record was made", str(path),
            "play it beside the scenario file of that time",
        )  # fmt: skip


def _play(session: Session, act: Act, where: str) -> None:
    try:
        session.advance_us(act.at_us - session.saw.clock.now_us)
        play(session, act)
    except (DrycycleError, TableError) as fault:
        raise RecordError(
            f"the act cannot be played: {fault}", where, "the record is not sound"
        ) from fault
