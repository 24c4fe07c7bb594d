"""The autopilot: a good operator who works through the same verbs as everybody else."""

from collections.abc import Sequence
from contextlib import nullcontext
from typing import Final

from sim.control.table import JOB_RUNS
from sim.pilot.bandwork import IN_HAND, band_off
from sim.pilot.careful import careful
from sim.pilot.propping import down_to_stop, swing_prop_out
from sim.plant.hood import NO_HOOD
from sim.plant.set_points import Setting
from sim.session import inspections
from sim.session.before.keys import hold_until, power_up, raise_head, to_mode, wait_until
from sim.session.before.run import (
    LONGEST_PIECE_S,
    STOPPED,
    JobOutcome,
    as_found,
    at_speed,
    begin,
    clamp_bar,
    make_ready,
    run,
    set_speed,
)
from sim.session.card.setup_card import RUN_PAST_MM, Line, run_in_mm_min
from sim.session.hands.hazards import AT_HEAD, Opens
from sim.session.hands.table import to_load, to_look, to_set
from sim.session.hands.zones import Demand
from sim.session.session import Session
from sim.trade.handling import ALONE, CRANE, PAIR, too_much
from sim.trade.measuring import BY_NAME as TOOLS
from sim.trade.measuring import Ruling, Tool
from sim.words.message import NOTHING

__all__ = [
    "JobOutcome", "again", "as_found", "at_speed", "begin", "bring_bar", "clamp_bar", "clear", "clear_for_bar", "make_ready", "make_room", "measure", "not_begun",
    "power_up", "prove", "raise_head", "run", "set_speed", "set_up", "swing_prop_out", "to_mode", "wait_until", "whole_job",
]  # fmt: skip

_COVER_OPEN: Final = (("band.wheel_cover", "open"),)
_FREED_BY: Final[dict[str, tuple[tuple[str, str], ...]]] = {
    "band.guide_span_mm": (("band.guide_lock", "slack"),),
    "band.teeth_per_inch": _COVER_OPEN,
    "band.teeth_face": _COVER_OPEN,
    "head.mitre_deg": (("head.index_plunger", "out"), ("head.clamp_lever", "open")),
    "head.clamp_screw": (("head.clamp_lever", "open"),),
}
_AT_BAND: Final = (
    "band.teeth_per_inch", "band.teeth_face", "band.tension_mpa", "band.brush_mm", "band.guide_span_mm",
    "band.guide_lock",
)  # fmt: skip
"""What is done at the band in one go, where more than one of it differs."""
_STOP_NOTCH: Final = "head.stop_notch"
_HEIGHT_STOP: Final = (_STOP_NOTCH, "head.stop_plunger")
_HEAD_UP: Final = ("head.mitre_deg",)  # set with the head up only
_MOST_MEASURED: Final = 4  # pieces, one after the other, where readings decide nothing
_COOLS_S: Final = 1800.0  # longer than a relay stays hot
_JAWS_S: Final = 10.0
_BAND_STANDS_S: Final = 60.0


_WHOLE: Final = (
    ("mode.key", "in the switch"),
    ("head.oil_relief", "shut"),
    ("cutting_vise.oil_relief", "shut"),
    ("shuttle_vise.oil_relief", "shut"),
    ("infeed.bar_chock", "out"),
    ("infeed.hood", "shut"),
)


def set_up(session: Session) -> None:
    """Make the saw whole, and set everything on the card that differs as the card says it should be set.

    What is within what the card leaves alone is left. What is set at the band, under it or beside it comes first where the head still rests as it was
    found; whatever comes later there wants the head on its prop.
    """
    for name, word in _WHOLE:
        if session.saw.read(name) not in (word, NO_HOOD) and not session.over:
            session.set(name, word)
    lines = [line for line in session.card if line.name != "band.speed_m_min"]
    if session.saw.plant.head.rests:
        _set_lines(session, [line for line in lines if _set_at_rest(session, line)])
    swing_prop_out(session)
    raise_head(session)
    _set_lines(session, lines)
    if session.saw.plant.blade.fresh > 0.0:
        valve_mm_min = run_in_mm_min(session.machine, session.stock, session.order)
        _set_line(session, Line("head.feed_valve_mm_min", valve_mm_min, NOTHING))
    raise_head(session)
    down_to_stop(session)
    make_ready(session)


def make_room(session: Session) -> None:
    """Raise the head over the bar that comes next, its height stop set for that one where it is taller."""
    notch = next(line for line in session.card if line.name == _STOP_NOTCH)
    if float(session.saw.read(_STOP_NOTCH)) < float(notch.setting):
        for line in session.card:
            if line.name in _HEIGHT_STOP:
                _set_line(session, line)
    raise_head(session)


def clear_for_bar(session: Session) -> None:
    """Stop the band, raise the head over the bar that comes next, and release both vises."""
    plant = session.saw.plant
    if plant.band.moves:
        to_mode(session, "MANUAL")
        session.tap("band.stop")
        wait_until(session, lambda: not plant.band.moves, _BAND_STANDS_S)
    make_room(session)
    to_mode(session, "MANUAL")
    for name, vise in (("cutting_vise", plant.cutting_vise), ("shuttle_vise", plant.shuttle_vise)):
        if not vise.back:
            hold_until(session, f"{name}.release", lambda: vise.back, _JAWS_S)  # noqa: B023 - at once


def bring_bar(session: Session) -> None:
    """Clear the saw for the bar that comes next, and have it brought for the one in it."""
    clear_for_bar(session)
    stock = session.stock
    able = (way for way in (ALONE, PAIR, CRANE) if not too_much(way, stock.mass_kg, stock.length_m))
    # Nobody else is at this saw: what one person may not lift hangs from the crane.
    way = next((way for way in able if way != PAIR), CRANE)
    with careful(session, to_load(way, stock.mass_kg)):
        if not session.over:
            session.load_bar(way)


def _set_at_rest(session: Session, line: Line) -> bool:
    """Return whether something can be set while the head still rests as it was found."""
    reach = to_set(line.name)
    rests = reach.zone in AT_HEAD and reach.demand is not Demand.STANDS
    freed = line.name in _AT_BAND or not session.saw.blocked(line.name)
    return rests and line.name not in _HEAD_UP and freed


def _set_lines(session: Session, lines: Sequence[Line]) -> None:
    """Set what differs, line by line; at the band all of it in one go."""
    for line in lines:
        if line.name in _AT_BAND:
            _set_band(session, lines)
        _set_line(session, line)


def _set_band(session: Session, lines: Sequence[Line]) -> None:
    """Set all that differs at the band in one lock-out, or with the head on its prop once.

    One thing alone is left to `_set_line`. A cover is opened before the power goes.
    """
    wanting = [
        line
        for line in lines
        if line.name in _AT_BAND and not line.will_do(session.saw.read(line.name))
    ]
    if len(wanting) < 2 or session.over:
        return
    hardest = min(wanting, key=_how_hard)
    locked = to_set(hardest.name).demand is Demand.LOCKED_OUT
    covers = dict(_COVER_OPEN) if any(line.name in IN_HAND for line in wanting) else {}
    before = [(cover, session.saw.read(cover)) for cover in covers]
    if locked:
        _set_all(session, tuple(covers.items()))
    with careful(session, to_set(hardest.name)):
        for line in wanting:
            _set_line(session, line)
    _set_all(session, before)


def _how_hard(line: Line) -> tuple[bool, bool]:
    """Return an order in which what wants most before hands go in comes first."""
    reach = to_set(line.name)
    return reach.demand is not Demand.LOCKED_OUT, reach.opens is not Opens.SPRING


def _set_line(session: Session, line: Line) -> None:
    """Set one thing on the card, with what must hold for hands there, if it differs."""
    if session.over:
        return
    if line.name == "shuttle.stop_mm":
        with careful(session, to_set(line.name)):
            # Past the setting and back to it takes the play out.
            reading_mm = float(line.setting)
            session.set(line.name, reading_mm + RUN_PAST_MM)
            session.set(line.name, reading_mm)
    elif not line.will_do(session.saw.read(line.name)):
        _set_freed(session, line.name, line.setting)


def _set_freed(session: Session, name: str, setting: Setting) -> None:
    """Set something that a lock holds in use: free the lock, set it, and lock it again."""
    locks = [(lock, session.saw.read(lock), word) for lock, word in _FREED_BY.get(name, ())]
    covers = to_set(name).demand is Demand.LOCKED_OUT  # a cover is opened before the power goes
    if covers:
        _set_all(session, [(lock, word) for lock, _, word in locks])
    with careful(session, to_set(name)):
        if not covers:
            _set_all(session, [(lock, word) for lock, _, word in locks])
        with band_off(session, name) if name in IN_HAND else nullcontext():
            session.set(name, setting)
        if not covers:
            _set_all(session, [(lock, before) for lock, before, _ in reversed(locks)])
    if covers:
        _set_all(session, [(lock, before) for lock, before, _ in reversed(locks)])


def _set_all(session: Session, settings: Sequence[tuple[str, Setting]]) -> None:
    for name, setting in settings:
        if session.over or session.saw.read(name) == setting:
            continue
        with careful(session, to_set(name)):
            session.set(name, setting)


def again(session: Session, pieces: int) -> JobOutcome:
    """Run the machine after a remedy: reset what has latched, and set nothing but the band speed.

    Where the channels of the safety relay differed before, a stop is pressed and let out, so that it
    sees both open together.
    """
    session.press("supply.isolator")
    if session.saw.plant.power.relay.disagreed and not session.over:
        session.press("supply.emergency_stop")
        session.release("supply.emergency_stop")
    power_up(session)
    clear(session)
    if not session.over:
        make_ready(session)
    if not session.over:
        begin(session)
    return run(session, pieces)


def measure(session: Session) -> bool:
    """Bring the job to rest and measure its last piece; return whether that proves it good.

    It takes the quickest tools that there are and that are fine enough, and the next piece where a reading
    decides nothing; with no such tools nothing is measured.
    """
    there = session.scenario.inspections
    tools = session.measuring.proof_tools(TOOLS if there == "all" else there)
    return bool(tools) and all(_measure_with(session, tool) for tool in tools)


def _measure_with(session: Session, tool: Tool) -> bool:
    row, job = inspections.find(tool.name), session.saw.controller.job
    for _ in range(_MOST_MEASURED):
        if row is None or session.over or not session.measuring.own:
            return False
        if job.state in JOB_RUNS:
            session.tap("job.hold")
            wait_until(session, lambda: job.state in STOPPED, LONGEST_PIECE_S)
        before = len(session.measuring.readings)
        with careful(session, to_look(row)):
            session.inspect(row.name)
        read = session.measuring.readings[before:]
        if not read or read[0].verdict is not Ruling.OPEN or job.state != "HELD":
            return bool(read) and read[0].verdict is Ruling.GOOD
        session.palms("job.unhold")
        run(session, job.cut + 1)
    return False


def prove(session: Session) -> JobOutcome:
    """Run the machine to one piece after a remedy, and measure it."""
    outcome = again(session, 1)
    measure(session)
    return outcome


def clear(session: Session) -> None:
    """Reset the overload relay once it is cool, and the latched faults of band and deviation."""
    relay = session.saw.plant.band.relay
    if relay.tripped:
        wait_until(session, lambda: relay.too_hot_s <= 0.0, _COOLS_S)
        session.set("band.relay", "set")
    session.tap("supply.reset")


def not_begun(session: Session) -> JobOutcome:
    """Return the outcome of a job that is not begun, since no plan of the card is sound for its bar."""
    return JobOutcome(False, session.saw.controller.job.state, (), session.unsound)


def whole_job(session: Session) -> JobOutcome:
    """Power up, set up from the card, and run the job; touch nothing where no plan of the card is sound."""
    if session.unsound:
        return not_begun(session)
    if not session.over:  # a band may break on the wheels that it is found on
        power_up(session)
        set_up(session)
    if not session.over:
        begin(session)
    return run(session)
