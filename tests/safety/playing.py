"""Plays a row: through the session's verbs, and through the terminal's reader; and reads what followed.

This is the one place in `tests/safety` that knows how a session is asked for a role, a second person,
strikes and exposures. Lines typed are the same in both ways; what differs is who carries them out.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import yaml

from sim.debrief.debrief import Debrief, debrief, json_values
from sim.pilot import autopilot
from sim.plant.harm.kinds import Severity
from sim.scenario.scenario import Second
from sim.session.opening import read, session_for
from sim.session.session import Session
from sim.text.typed import waiting
from sim.text.typed.console import play
from sim.text.typed.language import parse
from sim.text.typed.reading import TypedAct
from tests.safety.rows import SafeWay, UnsafeAct
from tests.safety.window import AtTheWindow

Row = UnsafeAct | SafeWay
_AUTO = {
    "power": autopilot.power_up, "ready": autopilot.make_ready, "setup": autopilot.set_up,
    "start": autopilot.begin, "run": autopilot.run,
}  # fmt: skip
FEW = 4  # pieces, so that a bar on which a cut was broken off is still long enough
_ASKS = ("look", "why", "points", "card", "lamps")


@dataclass(frozen=True)
class Outcome:
    """What came of a row."""

    session: Session
    found: Debrief
    before: dict[str, Any]  # what could be read of the saw before the last line of the act
    after: dict[str, Any]

    @property
    def strikes(self) -> list[str]:
        """The zones in which hands were struck, in order."""
        kinds = (c.kind for c in self.session.saw.consequences if c.row.severity is Severity.STOP)
        return [kind[7:].replace("-", "_") for kind in kinds if kind.startswith("struck-")]

    @property
    def exposures(self) -> dict[str, float]:
        """Seconds of hands in a zone whose row did not hold, by zone, as the debrief has them."""
        return dict(json_values(self.found)["exposures_s"])

    @property
    def care(self) -> tuple[int, int]:
        """Points for care, and how many there were to have."""
        part = next(part for part in self.found.parts if part.title.row.key == "score.part.care")
        return part.points, part.of

    @property
    def refused(self) -> bool:
        """Whether the last deed was refused, and everything that can be read of the saw is as before."""
        deed = self.session.done.all[-1]
        said = deed.answer is not None and not deed.answer.taken
        said = said or (deed.decision is not None and not deed.decision.accepted)
        return said and self.after == self.before


def open_row(row: Row, folder) -> Session:
    """Return a session on the scenario and saw of a row, with its people."""
    machine = getattr(row, "saw", "")
    if row.machine:
        file = folder / "old-saw.yaml"
        file.write_text(yaml.safe_dump({"title": "An old saw", **_plain(row.machine)}), "utf-8")
        machine = str(file)
    scenario, _ = read(row.scenario, machine)
    few = scenario.job.model_copy(update={"wanted": min(scenario.job.wanted, FEW)})
    people: dict[str, object] = {"role": row.role}
    if row.others or row.other_locks:
        people["second_person"] = Second(name="Ada", locks=row.other_locks)
    return session_for(scenario.model_copy(update={"job": few, **people}))


def _plain(numbers):
    return {part: dict(each) for part, each in numbers.items()}


def by_session(row: Row, folder, *, acts: bool = True, to_the_end: bool = False) -> Outcome:
    """Play a row through the verbs of the session.

    Args:
        row: What is played.
        folder: For a machine file.
        acts: Whether the act itself is done; without it the rest shows what the act alone costs.
        to_the_end: Whether the job is then brought to its end, as a careful person does it.
    """
    session = open_row(row, folder)
    seen: list[dict[str, Any]] = []
    for line in lines_of(row, session, seen, acts=acts, to_the_end=to_the_end):
        if session.over:
            break
        do(session, line)
    seen.append(standing(session))
    return Outcome(session, debrief(session), seen[0], seen[1])


def by_terminal(row: Row, folder, *, acts: bool = True, to_the_end: bool = False) -> Outcome:
    """Play a row as lines in a pipe, to the report that a pipe ends with."""
    session = open_row(row, folder)
    seen: list[dict[str, Any]] = []
    lines = lines_of(row, session, seen, acts=acts, to_the_end=to_the_end)
    written: list[str] = []
    code = play(session, lines, written.append, interactive=False)
    assert code == 0, "\n".join(written[-6:])
    seen.append(standing(session))  # the lines end where the run does
    return Outcome(session, debrief(session), seen[0], seen[1])


def by_window(row: Row, folder, *, acts: bool = True, to_the_end: bool = False) -> Outcome:
    """Play a row whose act is done by mouse and keyboard in the window.

    The state before the act, and what comes after it, are brought about by the session's verbs.
    """
    session = open_row(row, folder)
    window = AtTheWindow(session)
    seen: list[dict[str, Any]] = []
    begin = len(row.state)
    last = begin + (len(row.act) if acts else 0)
    lines = lines_of(row, session, seen, acts=acts, to_the_end=to_the_end)
    for number, line in enumerate(lines):
        if session.over:
            break
        if not (begin <= number < last and window.do(line)):
            do(session, line)
    seen.append(standing(session))
    return Outcome(session, debrief(session), seen[0], seen[1])


def lines_of(row: Row, session: Session, seen, *, acts: bool, to_the_end: bool) -> Iterator[str]:
    """Yield the lines of a row one by one, and have the second person do his share in time.

    Before the last line of the act, and after it, what can be read of the saw goes into `seen`.
    """
    yield from row.state
    act = row.act if acts else ()
    yield from act[:-1]
    seen.append(standing(session))
    for after_s, line in row.others if acts else ():
        session.instructor.second(f"{line} in {after_s:g}")
    yield from act[-1:]
    seen.append(standing(session))
    if to_the_end:
        if row.other_locks:
            yield from _ASK
        yield from back_to_work(session)


def standing(session: Session) -> dict[str, Any]:
    """Return what a hand has set and switched on the saw, and whether it is locked out."""
    saw = session.saw
    points = saw.state()["settings"]
    latches = {tag: saw.bus.driven(tag) for tag in ("Q0", "S1", "S2", "S9", "S6A", "S6B", "S6C")}
    return {**points, **latches, "verified": session.lockout.verified}


# From anywhere to the end of the job, as a careful person goes ------------------------------

_WHOLE = {
    "band.guide_lock": "tight", "band.guard": "closed", "band.wheel_cover": "closed",
    "infeed.bar_chock": "out", "head.oil_relief": "shut", "cutting_vise.oil_relief": "shut",
    "shuttle_vise.oil_relief": "shut", "head.clamp_lever": "closed",
}  # fmt: skip
_POWER = ("press supply.isolator", "tap supply.reset", "tap supply.control_on")
_OFF = ("lockout inspect", "lockout clear", "lockout unlock-air", "lockout unlock-isolator", "lockout tell-restored")  # fmt: skip
_ASK = ("lockout ask",)  # whoever else has a lock on it
_CARRIED = (
    "turn manual", "set head.feed_valve_mm_min 250", "set head.stop_notch 12", "hold head.raise 8",
    "set head.prop in", "hold head.lower 60", "set mode.key in my pocket",
)  # fmt: skip


def back_to_work(session: Session) -> Iterator[str]:
    """Yield lines that make the saw whole, take it back from a lock-out, and run the job to its end."""
    saw = session.saw
    yield "set mode.key in the switch"
    if saw.bus.driven("Q0"):
        yield from ("release supply.trip_line", "release supply.emergency_stop")
        yield from ("tap band.stop", "tap job.stop", "wait still", *_POWER[1:])
        if _unfit(session):
            yield from _CARRIED
    elif not saw.plant.head.propped:
        yield "wait 300"
    for name, word in _unfit(session).items():
        yield f"set {name} {word}"
    yield from _OFF
    if saw.read("supply.air_cock") == "shut":
        yield from ("set supply.air_cock open", "wait 60")
    for tag in tuple(saw.bus.forced):
        yield f"force {tag} out"
    yield from (
        "set mode.key in the switch",
        *_POWER,
        "tap job.clear",
        "turn manual",
        "hold head.raise 8",
    )
    if saw.read("head.prop") == "in":
        yield "set head.prop out"
    yield from ("auto setup", "auto start", "auto run")


def _unfit(session: Session) -> dict[str, str]:
    return {name: word for name, word in _WHOLE.items() if session.saw.read(name) != word}


# Lines, done by the verbs of a session -----------------------------------------------------


def do(session: Session, line: str) -> None:
    """Do one line of the language by the verbs of the session."""
    act = parse(line)
    assert act is not None, line
    if act.word not in _ASKS:
        _VERBS[act.word](session, act)


def _hold(session: Session, act: TypedAct) -> None:
    session.press(*act.names)
    if not session.over:
        session.advance(act.seconds)
    if not session.over:
        session.release(*act.names)


def _wait(session: Session, act: TypedAct) -> None:
    if act.names == ("still",):
        waiting.for_stillness(session)
    elif act.names:
        waiting.for_states(session, act.names)
    else:
        session.advance(act.seconds)


_FORCE = {"on": True, "off": False, "out": None}
_VERBS: dict[str, Callable[[Session, TypedAct], object]] = {
    "press": lambda session, act: session.press(*act.names),
    "release": lambda session, act: session.release(*act.names),
    "tap": lambda session, act: session.tap(*act.names),
    "hold": _hold,
    "palms": lambda session, act: session.palms(act.names[0]),
    "turn": lambda session, act: session.turn(act.names[0]),
    "set": lambda session, act: session.set(act.names[0], act.setting),
    "inspect": lambda session, act: session.inspect(act.names[0]),
    "wait": _wait,
    "force": lambda session, act: session.bench.force(act.names[0], _FORCE[act.names[1]]),
    "lockout": lambda session, act: session.lock_out(act.names[0]),
    "fix": lambda session, act: session.put_right(act.names[0]),
    "swap": lambda session, act: session.swap(act.names[0]),
    "load": lambda session, act: session.load_bar(*act.names),
    "auto": lambda session, act: _AUTO[act.names[0]](session),
}
