"""What of the saw's energy is in sight of who locks it out: isolator, cock, locks, gauges, screws, prop.

In a drill or an assessment a cock, a screw or a gauge is told only to who has looked at it, set it by hand, hung
a padlock on it or verified; and of a gauge only whether it stands at zero. Nor is anybody told that nothing
is wanting of what he has not seen.

Never here: what a lock-out wants (see `lockout`).
"""

from typing import Final

from sim.plant.padlocks import AIR_COCK, ISOLATOR
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.session import lockout
from sim.session.lockout import Lockout
from sim.session.session import Session
from sim.session.sights.known import hides, unread
from sim.words.fields import bar, name, one_of, part
from sim.words.message import Message, plain, row

_ISOLATOR_IS: Final = row(
    "sheet.lockout.see.isolator",
    "Isolator: {state}, {locks}",
    state=one_of("on", "off"),
    locks=part(),
)
_COCK_IS: Final = row(
    "sheet.lockout.see.cock", "Air cock: {state}, {locks}", state=part(), locks=part()
)
_NO_LOCK: Final = plain("sheet.lockout.see.no-lock", "no padlock")
_LOCKS: Final = row("sheet.lockout.see.locks", "padlock of {who}", who=name())
_YOURS: Final = plain("sheet.lockout.see.yours", "your padlock")
_YOURS_TOO: Final = row(
    "sheet.lockout.see.yours-too", "your padlock, and that of {who}", who=name()
)
_GAUGE: Final = row("sheet.lockout.see.gauge", "{title}: {pressure}", title=part(), pressure=bar(1))
_AIR: Final = plain("sheet.lockout.see.air", "Air")
_OIL_LIFT: Final = plain("sheet.lockout.see.oil-lift", "Oil of the lift")
_OIL_CUTTING: Final = plain("sheet.lockout.see.oil-cutting", "Oil of the cutting vise")
_OIL_SHUTTLE: Final = plain("sheet.lockout.see.oil-shuttle", "Oil of the shuttle vise")
_SCREW: Final = row(
    "sheet.lockout.see.screw", "{title}: {state}", title=part(capital=True), state=part()
)
_RESTS: Final = plain("sheet.lockout.see.rests", "Head: it rests, and can come no further down")
_RESTS_PROP: Final = plain("sheet.lockout.see.rests-prop", "Head: it rests on its prop")
_HANGS: Final = plain("sheet.lockout.see.hangs", "Head: it rests on nothing")
_BAND_STANDS: Final = plain("sheet.lockout.see.band-stands", "Band: it stands")
_BAND_TURNS: Final = plain("sheet.lockout.see.band-turns", "Band: it turns")
_ROLE: Final = row(
    "sheet.lockout.see.role", "You are {role}.", role=one_of("operator", "authorised", "qualified")
)
_SECOND: Final = row(
    "sheet.lockout.see.second", "{who} is at the saw too, with locks of his own.", who=name()
)
_LOOK_AT: Final = row(
    "sheet.lockout.see.look", "{title}: unseen; inspect {look}", title=part(), look=name()
)
_LOOK_AT_IT: Final = row(
    "sheet.lockout.see.look-at", "{title}: unseen; inspect {look}",
    title=part(capital=True), look=name(),
)  # fmt: skip
_COCK: Final = plain("sheet.lockout.see.cock-title", "Air cock")
_COCK_FIRST: Final = plain(
    "lockout.stands.see-cock",
    "Wanting: that you see the air cock shut (look at it, or shut it yourself), and your own padlock on it.",
)
_LOOK_OR_VERIFY: Final = plain(
    "lockout.stands.look-or-verify",
    "Nothing is wanting of what you have seen. Look at the rest, or verify: that reads every gauge.",
)
_GAUGES: Final = {
    lockout.AIR: "air-gauge", lockout.LIFT: "lift-gauge", lockout.CUTTING: "clamping-gauges",
    lockout.SHUTTLE: "clamping-gauges",
}  # fmt: skip
"""The looks that read what is stored."""
_AT_ZERO: Final = row("sheet.lockout.see.zero", "{title}: no pressure", title=part())
_NOT_AT_ZERO: Final = row("sheet.lockout.see.not-zero", "{title}: under pressure", title=part())


def energy_in_sight(session: Session) -> list[tuple[bool | None, Message]]:
    """Return what can be seen of the saw, each with whether it is as a lock-out needs it.

    None goes with what is neither so nor so.
    """
    plant, here = session.saw.plant, session.lockout
    on = session.saw.bus.driven("Q0")
    shut = plant.supply.cock == "shut"
    look = unseen(session, lockout.COCK)
    seen: list[tuple[bool | None, Message]] = [
        (None, _ROLE(role=here.role)),
        (
            not on and here.mine(ISOLATOR),
            _ISOLATOR_IS(state="on" if on else "off", locks=_locks(here, ISOLATOR)),
        ),
        (None, _LOOK_AT(title=_COCK, look=look))
        if look
        else (
            shut and here.mine(AIR_COCK),
            _COCK_IS(state=_word(lockout.COCK, session), locks=_locks(here, AIR_COCK)),
        ),
        (not plant.band.moves, _BAND_TURNS if plant.band.moves else _BAND_STANDS),
        (
            plant.head.rests,
            (_RESTS_PROP if plant.head.propped else _RESTS) if plant.head.rests else _HANGS,
        ),
    ]
    seen += [
        _pressure(session, of, title, pressure_pa)
        for of, title, pressure_pa in (
            (lockout.AIR, _AIR, plant.supply.air_pa), (lockout.LIFT, _OIL_LIFT, plant.head.oil_pa),
            (lockout.CUTTING, _OIL_CUTTING, plant.cutting_vise.pressure_pa),
            (lockout.SHUTTLE, _OIL_SHUTTLE, plant.shuttle_vise.pressure_pa),
        )
    ]  # fmt: skip
    seen += [
        (None, _screw(session, point))
        for point in (lockout.LIFT, lockout.CUTTING, lockout.SHUTTLE, "head.prop", "mode.key")
    ]
    chocked = session.saw.read(lockout.CHOCK) == "in" or plant.bar.length_m <= 0.0
    told = not unread(session, lockout.CHOCK)
    seen.append((chocked if told else None, _screw(session, lockout.CHOCK)))
    second = here.second  # by the scenario, or by an order since
    if second is not None:
        seen.append((None, _SECOND(who=second.name)))
    return seen


def unseen(session: Session, of: str) -> str:
    """Return the look that is wanting before it can be told how something stands that a lock-out wants.

    Empty where it can be told: it was looked at, set by hand, or seen in a step that was taken.

    Args:
        session: Whose lock-out it is.
        of: What a lock-out wants something of, as `lockout.Lockout.wants` has it.
    """
    here, seen = session.lockout, session.seen
    look = _GAUGES.get(of) or unread(session, of)
    if not hides(session) or not look or here.verified or seen.has(look):
        return ""
    point = lockout.COCK if of == lockout.AIR else of
    locked = point == lockout.COCK and here.mine(AIR_COCK)
    return "" if locked or point in seen.set_by_hand else look


def how_it_stands(session: Session) -> Message:
    """Return whether hands may go in, or what is wanting, as far as the trainee can know it."""
    here, unknown = session.lockout, False
    if here.verified or here.wanting_back:
        return here.stands
    for of, said in here.wants():
        look = unseen(session, of) if of else ""
        if look and of == lockout.COCK:
            return _COCK_FIRST  # what comes after it hangs on it
        if look:
            unknown = True
        elif said:
            return lockout.WANTING(what=said)
    if here.before_the_try:
        return lockout.WANTING(what=here.before_the_try)
    return _LOOK_OR_VERIFY if unknown else lockout.VERIFY_IT


def _pressure(
    session: Session, of: str, title: Message, pressure_pa: float
) -> tuple[bool | None, Message]:
    """Return a gauge, and whether it stands at zero: in a drill only that, and only once it was seen."""
    zero = pressure_pa <= lockout.ZERO_PA
    if look := unseen(session, of):
        return None, _LOOK_AT(title=title, look=look)
    if not hides(session):
        return zero, _GAUGE(title=title, pressure=pressure_pa)
    return zero, (_AT_ZERO if zero else _NOT_AT_ZERO)(title=title)


def _screw(session: Session, point: str) -> Message:
    title = SET_POINTS[point].title
    if look := unread(session, point):
        return _LOOK_AT_IT(title=title, look=look)
    return _SCREW(title=title, state=_word(point, session))


def _word(point: str, session: Session) -> Message:
    return SET_POINTS[point].told(session.saw.read(point))


def _locks(here: Lockout, device: str) -> Message:
    others = ", ".join(here.others_on(device))
    if here.mine(device):
        return _YOURS_TOO(who=others) if others else _YOURS
    return _LOCKS(who=others) if others else _NO_LOCK
