"""The operator's run: the saw as it was found, nothing set but the band speed, and the job run on it."""

from dataclasses import dataclass
from typing import Final

from sim.session.before.bring_out import bring_out
from sim.session.before.keys import hold_until, power_up, raise_head, to_mode, wait_until
from sim.session.before.tracking import track
from sim.session.session import Session
from sim.words.message import Message

COMES_TO_REST_S: Final = 10.0  # longer than the head is raised and the band coasts
LONGEST_PIECE_S: Final = 3600.0
STOPPED: Final = ("COMPLETE", "HELD", "STOPPED", "ABORTED")
_TO_IDLE: Final = (  # what leads a job from its states to where it can be started
    (("HELD",), "job.stop", "STOPPED"),
    (("ABORTED",), "job.clear", "STOPPED"),
    (("STOPPED", "COMPLETE"), "job.reset", "IDLE"),
)


@dataclass(frozen=True, slots=True)
class JobOutcome:
    """How a run by the autopilot ended."""

    finished: bool
    state: str  # of the job
    waits_for: tuple[Message, ...]  # what the job stands waiting for, a sentence each
    reason: Message  # of the last hold or stop, a clause; or why no job was begun, in sentences


def make_ready(session: Session) -> None:
    """Raise the head, track a band that was put on, bring the band to the card's speed, and set nothing else.

    Nobody starts a band whose teeth lie on a loose bar: where the head stays there, the bar is clamped first.
    """
    raise_head(session)
    head = session.saw.plant.head
    if head.on_loose_bar:
        clamp_bar(session)
    if not head.on_loose_bar:
        track(session)
    for line in session.card:
        if line.name == "band.speed_m_min" and not session.over and not head.on_loose_bar:
            set_speed(session, float(line.setting))


def clamp_bar(session: Session) -> None:
    """Clamp both vises in MANUAL, so that a job may begin straight with a piece."""
    for key, tag in (("cutting_vise.clamp", "B33"), ("shuttle_vise.clamp", "B34")):
        seen = session.saw.bus.seen
        if not seen[tag]:
            to_mode(session, "MANUAL")
            hold_until(session, key, lambda: seen[tag], 5.0)  # noqa: B023 - at once


def at_speed(session: Session, speed_m_min: float) -> bool:
    """Return whether the dial of the band speed is close enough to a speed."""
    return abs(session.saw.plant.band.dial.position * 60 - speed_m_min) < 0.5


def set_speed(session: Session, speed_m_min: float) -> None:
    """Run the band in MANUAL, set its speed while it turns, and stop it."""
    saw = session.saw
    if at_speed(session, speed_m_min):
        return
    to_mode(session, "MANUAL")
    session.palms("band.run")
    reached = wait_until(session, lambda: saw.bus.seen["B2"], 10.0)
    if session.over:  # a band that comes to speed can walk off its wheels
        return
    if not reached:
        session.tap("band.stop")
        wait_until(session, lambda: not saw.bus.seen["B1"], 10.0)
        return
    off_m_s = speed_m_min / 60 - saw.plant.band.dial.position
    key = "band.faster" if off_m_s > 0 else "band.slower"
    session.press(key)
    session.advance(abs(off_m_s) / session.machine.variator_m_s2)
    if not session.over:
        session.release(key)
        session.tap("band.stop")
        wait_until(session, lambda: not saw.bus.seen["B1"], 10.0)


def begin(session: Session) -> None:
    """Bring the end out where the first cut wants it further out, turn to PRODUCTION, make the job idle, count anew, choose coolant and first cut, and start."""
    first = session.scenario.job.first
    if first == "straight":
        clamp_bar(session)
    bring_out(session)
    to_mode(session, "PRODUCTION")
    job = session.saw.controller.job
    for states, key, leads_to in _TO_IDLE:
        if job.state in states and not session.over:
            session.tap(key)
            wait_until(session, lambda: job.state == leads_to, COMES_TO_REST_S)  # noqa: B023 - at once
    anew = ("job.new",) if job.cut else ()
    for key in (*anew, "coolant.with_band", f"job.{first}"):
        if not session.over:
            session.tap(key)
    if not session.over:
        session.palms("job.start")


def run(session: Session, pieces: int | None = None) -> JobOutcome:
    """Run the job until it is done, it stands, or so many pieces are cut."""
    saw = session.saw
    job, image = saw.controller.job, saw.controller.image

    def ended() -> bool:  # asked at every instant
        return image["job"] in STOPPED or (pieces is not None and job.cut >= pieces)

    while not session.over:
        before = job.cut, len(saw.cuts)
        if wait_until(session, ended, LONGEST_PIECE_S) or (job.cut, len(saw.cuts)) == before:
            break
    waits = tuple(refusal.said for refusal in saw.controller.waits_for())
    enough = pieces is not None and job.cut >= pieces
    done = not saw.plant.site.wrecked and (job.state == "COMPLETE" or enough)
    return JobOutcome(done, job.state, waits, job.reason)


def as_found(session: Session, pieces: int) -> JobOutcome:
    """Run the machine as it was found, setting nothing but the band speed."""
    if not session.over:
        power_up(session)
        make_ready(session)
    if not session.over:
        begin(session)
    return run(session, pieces)
