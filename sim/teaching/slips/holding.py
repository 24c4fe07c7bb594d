"""Slips at the vises, the shuttle and the job: what holds the bar and brings it to length.

Never here: what a scenario hides.
"""

from typing import Final

from sim.plant.supports import ARM_UP
from sim.plant.vise import JAW_GAPS
from sim.session.card.setup_card import strokes_for
from sim.session.lessons.goals import LENGTH_STOP, backlash_m, card_line, near
from sim.session.session import Session
from sim.teaching import foresight
from sim.teaching.slips.check import Check
from sim.units import BAR, MM
from sim.words.fields import bar, mm, newtons, number, percent
from sim.words.message import NOTHING, Message, plain, row

_JAW_FAR: Final = row(
    "slip.jaw.far",
    "the jaw is {gap} from the bar and its powered stroke is {stroke}, so it cannot clamp; slide it "
    "to {right}",
    gap=mm(None), stroke=mm(None), right=mm(None),
)  # fmt: skip
_JAW_LONG: Final = row(
    "slip.jaw.long",
    "the jaw is {gap} from the bar, and a finger fits in between; slide it to {right}",
    gap=mm(None), right=mm(None),
)  # fmt: skip
_JAW_TOUCHES: Final = plain(
    "slip.jaw.touches",
    "the jaw touches the bar and would score it; leave a millimetre or more",
)
_DENTS: Final = row(
    "slip.clamping.dents",
    "{set} would dent this bar, which takes {dents}; raise the pressure from low down, and stop short "
    "of that",
    set=bar(), dents=bar(),
)  # fmt: skip
_MARKS: Final = row(
    "slip.clamping.marks",
    "{set} could mark this bar: its walls begin to give at {dents}, though no dent is seen yet. Raise the "
    "pressure from low down, and stop short of that",
    set=bar(), dents=bar(),
)  # fmt: skip
_MOVES: Final = row(
    "slip.clamping.moves",
    "{set} holds {holds} and the cut wants {wants}, so the bar could slip; clamp harder or feed less",
    set=bar(), holds=newtons(), wants=newtons(),
)  # fmt: skip
_CLAMP: Final = row(
    "slip.bundle-clamp",
    "{bars} bars lie in the vise and the clamp is up, so the loosest gets {share} of the hold; swing "
    "the clamp down",
    bars=number(), share=percent(),
)  # fmt: skip
_SHORT: Final = row(
    "slip.length-stop.short",
    "the length stop was wound up to its reading and stands {short} short; wind it past the setting "
    "and back to it",
    short=mm(2),
)
_COME_BACK: Final = row(
    "slip.length-stop.come-back",
    "now come back down to {wanted}, which takes the play out",
    wanted=mm(None),
)
_BELOW: Final = row(
    "slip.length-stop.below",
    "the length stop stands below {wanted}; wound up from there it leaves the play in, so wind past the "
    "setting and back to it",
    wanted=mm(None),
)
_ARM: Final = plain(
    "slip.support-arm",
    "the support arm is up in the way of the shuttle; fold it away before PRODUCTION",
)
_STROKES: Final = row(
    "slip.strokes",
    "the piece takes {count} stroke of the shuttle, and the job is set to {given}",
    plural="the piece takes {count} strokes of the shuttle, and the job is set to {given}",
    count=number(), given=number(),
)  # fmt: skip
_RUN_ON: Final = row(
    "slip.run-on",
    "the band would run on for {count} minute after the job, wear, drip, and be taken for one that stands; set it to 0",
    plural="the band would run on for {count} minutes after the job, wear, drip, and be taken for one that stands; set it to 0",
    count=number(),
)
_WANTED: Final = row(
    "slip.wanted",
    "the order is for {count} piece, and the job is set to {given}",
    plural="the order is for {count} pieces, and the job is set to {given}",
    count=number(), given=number(),
)  # fmt: skip


_CUTS: Final = row(
    "slip.wanted.cuts",
    "the order's {pieces} pieces take {count} cut of {bars} bars, and the job is set to {given}",
    plural="the order's {pieces} pieces take {count} cuts of {bars} bars, and the job is set to {given}",
    count=number(), pieces=number(), bars=number(), given=number(),
)  # fmt: skip


def _jaw(vise: str) -> Check:
    def says(session: Session) -> Message:
        at, machine = session.saw.plant.vise(vise), session.machine
        gap_m = at.gap_m
        if gap_m > machine.powered_stroke_m:
            return _JAW_FAR(gap=gap_m, stroke=machine.powered_stroke_m, right=machine.jaw_gap_m)
        if at.finger_fits:
            return _JAW_LONG(gap=gap_m, right=machine.jaw_gap_m)
        return _JAW_TOUCHES if gap_m < machine.jaw_touch_m else NOTHING

    return says


def pressure(vise: str) -> Check:
    """Return the check of a vise's clamping pressure: against dents, and against a bar that moves."""

    def says(session: Session) -> Message:
        set_pa = session.saw.plant.vise(vise).set_pressure_pa
        dents_pa = foresight.dents_from_bar(session, vise) * BAR
        if set_pa > dents_pa:
            row_of = _DENTS if foresight.would_dent(session, vise) else _MARKS
            return foresight.of_lying(session, row_of(set=set_pa, dents=dents_pa))
        wanted_n, holds_n = foresight.wanted_hold_n(session), foresight.hold_n(session)
        if vise == "cutting_vise" and holds_n < wanted_n:
            moves = _MOVES(set=set_pa, holds=holds_n, wants=wanted_n)
            return foresight.of_lying(session, moves)
        return NOTHING

    return says


def _clamp(session: Session) -> Message:
    supports = session.saw.plant.supports
    if supports.held_share < 1.0:
        return _CLAMP(bars=supports.bars, share=supports.held_share)
    return NOTHING


def _length_stop(session: Session) -> Message:
    line = card_line(session, LENGTH_STOP)
    wanted_mm = float(line.setting) if line else 0.0
    reading_mm, short_m = session.saw.plant.shuttle.reading_m / MM, backlash_m(session)
    if near(LENGTH_STOP, wanted_mm).holds(reading_mm):
        slight = short_m < 0.5 * session.machine.play_m
        return NOTHING if slight else _SHORT(short=short_m)
    return (_COME_BACK if reading_mm > wanted_mm else _BELOW)(wanted=wanted_mm * MM)


def _support_arm(session: Session) -> Message:
    return _ARM if session.saw.plant.supports.arm == ARM_UP else NOTHING


def _strokes(session: Session) -> Message:
    strokes = strokes_for(session.machine, session.order)
    given = session.saw.controller.job.strokes
    return _STROKES(count=strokes, given=given) if given != strokes else NOTHING


def _run_on(session: Session) -> Message:
    minutes = session.saw.controller.job.run_on_min
    return _RUN_ON(count=minutes) if minutes else NOTHING


def _wanted(session: Session) -> Message:
    wanted, given = session.order.wanted, session.saw.controller.job.wanted
    if given == wanted:
        return NOTHING
    bars = session.pieces_a_cut
    if bars > 1:
        return _CUTS(count=wanted, pieces=wanted * bars, bars=bars, given=given)
    return _WANTED(count=wanted, given=given)


SLIPS: Final[dict[str, Check]] = {
    **{point: _jaw(vise) for vise, point in JAW_GAPS.items()},
    "cutting_vise.pressure_bar": pressure("cutting_vise"),
    "shuttle_vise.pressure_bar": pressure("shuttle_vise"),
    "cutting_vise.bundle_clamp": _clamp,
    "shuttle.stop_mm": _length_stop,
    "cutting_vise.support_arm": _support_arm,
    "job.strokes": _strokes,
    "job.wanted": _wanted,
    "job.run_on_min": _run_on,
}
