"""The sentences of the coach, as rows: what happened by a hand, and what to do instead.

Never here: when which is said (see `coach`), and what fills them from the tables (see `advice`).
"""

from typing import Final

from sim.words.fields import count, entry, m_min, mm, name, number, part, seconds
from sim.words.message import plain, row

HARM: Final = row("coach.harm", "{title}. Instead: {instead}.", title=part(), instead=part())
UNSAFE: Final = plain(
    "coach.unsafe",
    "Hands in the machine without a whole lock-out: hands go in only when every energy is off, locked and "
    "verified (29 CFR 1910.147 (d)).",
)
STARTABLE: Final = row(
    "coach.exposed.startable",
    "Hands {where} in a saw that somebody else could start. Instead: take the key of the mode switch along first, leave "
    "a stop pressed in, or switch the isolator off.",
    where=part(),
)
EXPOSED: Final = row(
    "coach.exposed",
    "Hands {where} in a saw that is not in your own control. Instead: stop the band, and lower the head or let it down on its prop. Then take the key of the mode switch along, or leave the stop pressed in.",
    where=part(),
)  # fmt: skip
NOT_AT_REST: Final = row(
    "coach.exposed.not-at-rest",
    "Hands {where} while the saw was not at rest. Instead: stop the job and the band, and wait until all stands. Then "
    "take the key of the mode switch along, or leave a stop pressed in.",
    where=part(),
)
MOVED: Final = row(
    "coach.exposed.moved",
    "Hands {where} while the band or the head moved. Instead: stop both, and wait until they stand.",
    where=part(),
)
UNQUALIFIED: Final = plain(
    "coach.exposed.cabinet",
    "The cabinet is for a qualified person: its line side stays live with the isolator off. Instead: call one.",
)
NOT_PROVED: Final = plain(
    "coach.not-proved-dead",
    "Hands in a cabinet that nobody had proved dead. Instead: have a qualified person lock out and prove it dead at the part, and only then go in (29 CFR 1910.333 (b)). The tester is tried on a known source before and after.",
)
NOT_TOLD: Final = plain(
    "coach.not-told",
    "Control power is on, and those affected still believe the saw locked out: one of them may have hands in it. "
    "Instead: inspect, see people clear, take the locks off, tell everybody, and only then switch on "
    "(29 CFR 1910.147 (e)).",
)
SLIP: Final = row("coach.slip", "{slip}.", slip=part(capital=True))
BEFORE: Final = row("coach.before", "Before you go on: {slip}.", slip=part())
REASON: Final = row(
    "coach.reason",
    "{reason}: {rule} ({number}).",
    reason=part(capital=True), rule=part(), number=name(),
)  # fmt: skip
HEAD_SINKS: Final = plain(
    "coach.head.sinks",
    "On this saw it sinks, as fast as its feed valve lets it.",
)
HEAD_HOLDS: Final = plain(
    "coach.head.holds",
    "On this saw it is built to stay up while it has air, but no valve is a holding device.",
)
LOOK_WANTS: Final = row(
    "coach.look-wants", "That look does not end the step yet. {wanting}", wanting=part()
)
RUNS_ON: Final = plain(
    "coach.runs-on",
    "The job is complete and the band runs on: stop it, or wait until it stands, before a hand goes near.",
)
FOLLOWED: Final = row(
    "coach.followed", "{what} ({number}).", what=part(capital=True), number=name()
)
GOOD: Final = row(
    "coach.piece.good", "Piece {number} reads {off} off, good by the {tolerance} of the drawing.",
    number=number(), off=mm(2, sign=True), tolerance=mm(None),
)  # fmt: skip
WRONG_ANGLE: Final = row(
    "coach.piece.wrong-angle",
    "Piece {number} reads {off} off, which is within the drawing, but its ends are not at the angle of the order.",
    number=number(), off=mm(2, sign=True),
)  # fmt: skip
SHORT: Final = row(
    "coach.piece.short",
    "Piece {number} reads {off} off, short by more than the {tolerance} of the drawing.",
    number=number(), off=mm(2, sign=True), tolerance=mm(None),
)  # fmt: skip
LONG: Final = row(
    "coach.piece.long",
    "Piece {number} reads {off} off, long by more than the {tolerance} of the drawing.",
    number=number(), off=mm(2, sign=True), tolerance=mm(None),
)  # fmt: skip
COARSE: Final = row(
    "coach.piece.coarse",
    "Piece {number} reads {off} off; a tool that is sure to {sure} only proves nothing by {tolerance}: take a finer one.",
    number=number(), off=mm(2, sign=True), tolerance=mm(None), sure=mm(2),
)  # fmt: skip
OPEN: Final = row(
    "coach.piece.open",
    "Piece {number} reads {off} off, nearer to a limit than the {sure} of the tool: that decides nothing. Measure another piece.",
    number=number(), off=mm(2, sign=True), sure=mm(2),
)  # fmt: skip
DIAL_RIGHT: Final = row(
    "coach.dial.right",
    "The dial shows {dial}, right for {metal}, which takes {low} to {high}.",
    dial=m_min(), metal=name(), low=m_min(None, bare=True), high=m_min(None, bare=True),
)  # fmt: skip
DIAL_SLOW: Final = row(
    "coach.dial.slow",
    "The dial shows {dial}, too slow for {metal}, which takes {low} to {high}: faster.",
    dial=m_min(), metal=name(), low=m_min(None, bare=True), high=m_min(None, bare=True),
)  # fmt: skip
DIAL_FAST: Final = row(
    "coach.dial.fast",
    "The dial shows {dial}, too fast for {metal}, which takes {low} to {high}: slower.",
    dial=m_min(), metal=name(), low=m_min(None, bare=True), high=m_min(None, bare=True),
)  # fmt: skip
LOCKED_OUT: Final = row(
    "coach.lockout.whole",
    "Every supply of the saw is off, locked and verified, the head rests and no oil is left ({source}). Hands may go in, but never at the line side of the isolator, which stays live. Into the wiring behind it they go only when it is proved dead.",
    source=name(),
)
PROVED_DEAD: Final = row(
    "coach.lockout.dead",
    "Locked out, and proved dead at the part ({source}): its wiring may be worked on.",
    source=name(),
)
NONE_UNDER_WAY: Final = plain(
    "coach.lockout.none",
    "No lock-out is under way: nothing hangs on the saw, and nobody was told of one.",
)
TAKEN_BACK: Final = row(
    "coach.lockout.taken-back",
    "The locks are off, and those affected are told ({source}): power may come on when it is asked for.",
    source=name(),
)
WANTING: Final = row(
    "coach.lockout.next", "Done ({source}). Next: {what}", source=name(), what=part()
)
GOING_BACK: Final = row(
    "coach.lockout.back",
    "Done ({source}). Keep hands out from here on: what comes back ends the lock-out, and whoever goes in again verifies it anew.",
    source=name(),
)
AS_CARD: Final = row("coach.card.right", "As the card says: {why}.", why=part())
WOUND_UP: Final = row(
    "coach.card.wound-up",
    "The number is the card's, and wound up to it from below the length stop stands {short} short: the play is in.",
    short=mm(2),
)  # fmt: skip
CARD: Final = row(
    "coach.card.wrong", "The card says {setting}: {why}.", setting=entry(), why=part()
)
JOG: Final = row(
    "coach.jog",
    "MAINTENANCE: the band jogs while its key and the enabling device are held, for {jog} at most. "
    "One jog moves it {way}, and {jogs} make a turn: watch its back at the flanges.",
    jog=seconds(1), way=mm(0), jogs=number(),
)  # fmt: skip
COUNT_KEPT: Final = row(
    "coach.count-kept",
    "The job is idle and waits for its start. The stop kept the count: it stands at {cut} of {wanted}, and a start "
    "goes on from there. For a new order press job.new.",
    cut=count(), wanted=count(),
)  # fmt: skip
TRIP_LINE: Final = plain(
    "coach.trip-line",
    "The trip line was pulled: the band coasts to rest, and lowering and every stroke halt. Find out why, set it back, wait until the band has stopped, then press reset. It is no emergency stop: control power stays on, and vises and shuttle may move; in danger press the emergency stop.",
)
NO_JOB: Final = plain("coach.stop.no-job", "No job is under way, so there is nothing to stop.")
BAND_STANDS: Final = plain("coach.stop.band-stands", "The band is stopped already.")
HELD_STOP: Final = plain(
    "coach.held.stop",
    "The held job is broken off. In PRODUCTION a head that is down is raised, the band is off, and a piece that is begun is scrap.",
)
HELD_HOLD: Final = plain("coach.held.hold", "The job is held already; this changes nothing.")
STANDS: Final = row(
    "coach.stands", "{action} is taken, but {part} does not move.", action=name(), part=part()
)
ABOVE_STOP: Final = plain(
    "coach.stands.above-stop",
    "The head stands above its stop already, so its key raises it no further. To raise it, set the ring at a higher notch first.",
)
HOLD_IT: Final = row(
    "coach.stands.hold",
    "{part} moves only while its key is held: keep it down.",
    part=part(capital=True),
)
STANDS_FOR: Final = row(
    "coach.stands.for", "{action} is taken, but {part} does not move: {slip}.",
    action=name(), part=part(), slip=part(),
)  # fmt: skip
REFUSED: Final = row("coach.refused", "Refused: {fact}; {to_do}.", fact=part(), to_do=part())
REFUSED_BY: Final = row(
    "coach.refused.device",
    "Refused: {fact} ({device}); {to_do}.",
    fact=part(), device=name(), to_do=part(),
)  # fmt: skip
AGAINST: Final = row(
    "coach.refused.hazard",
    "{refused} {interlock} is there against {hazard}.",
    refused=part(), interlock=name(), hazard=part(),
)  # fmt: skip
REFUSED_ONLY: Final = row("coach.refused.only", "Refused: {fact}.", fact=part())
