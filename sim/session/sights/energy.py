"""What of the saw's energy is in sight of who locks it out: isolator, cock, locks, gauges, screws, prop.

In a drill or an assessment a gauge is told from afar only as at zero or not; its figure takes a look.

Never here: what is still wanting (see `lockout`).
"""

from typing import Final

from sim.plant.padlocks import AIR_COCK, ISOLATOR
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.session import lockout
from sim.session.lockout import Lockout
from sim.session.session import Session
from sim.session.sights.known import hides
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
_AT_ZERO: Final = row("sheet.lockout.see.zero", "{title}: no pressure", title=part())
_NOT_AT_ZERO: Final = row("sheet.lockout.see.not-zero", "{title}: under pressure", title=part())


def energy_in_sight(session: Session) -> list[tuple[bool | None, Message]]:
    """Return what can be seen of the saw, each with whether it is as a lock-out needs it.

    None goes with what is neither so nor so.
    """
    plant, here = session.saw.plant, session.lockout
    on = session.saw.bus.driven("Q0")
    shut = plant.supply.cock == "shut"
    seen: list[tuple[bool | None, Message]] = [
        (None, _ROLE(role=here.role)),
        (
            not on and here.mine(ISOLATOR),
            _ISOLATOR_IS(state="on" if on else "off", locks=_locks(here, ISOLATOR)),
        ),
        (
            shut and here.mine(AIR_COCK),
            _COCK_IS(state=_word("supply.air_cock", session), locks=_locks(here, AIR_COCK)),
        ),
        (not plant.band.moves, _BAND_TURNS if plant.band.moves else _BAND_STANDS),
        (
            plant.head.rests,
            (_RESTS_PROP if plant.head.propped else _RESTS) if plant.head.rests else _HANGS,
        ),
    ]
    seen += [
        (pressure_pa <= lockout.ZERO_PA, _pressure(session, title, pressure_pa))
        for title, pressure_pa in (
            (_AIR, plant.supply.air_pa), (_OIL_LIFT, plant.head.oil_pa),
            (_OIL_CUTTING, plant.cutting_vise.pressure_pa), (_OIL_SHUTTLE, plant.shuttle_vise.pressure_pa),
        )
    ]  # fmt: skip
    seen += [
        (None, _SCREW(title=SET_POINTS[point].title, state=_word(point, session)))
        for point in (
            "head.oil_relief", "cutting_vise.oil_relief", "shuttle_vise.oil_relief", "head.prop", "mode.key",
        )
    ]  # fmt: skip
    chocked = session.saw.read("infeed.bar_chock") == "in" or plant.bar.length_m <= 0.0
    seen.append(
        (
            chocked,
            _SCREW(
                title=SET_POINTS["infeed.bar_chock"].title, state=_word("infeed.bar_chock", session)
            ),
        )
    )
    second = here.second  # by the scenario, or by an order since
    if second is not None:
        seen.append((None, _SECOND(who=second.name)))
    return seen


def _pressure(session: Session, title: Message, pressure_pa: float) -> Message:
    """Return what a gauge is seen to show from here: in a drill only whether it stands at zero."""
    if not hides(session):
        return _GAUGE(title=title, pressure=pressure_pa)
    return (_AT_ZERO if pressure_pa <= lockout.ZERO_PA else _NOT_AT_ZERO)(title=title)


def _word(point: str, session: Session) -> Message:
    return SET_POINTS[point].told(session.saw.read(point))


def _locks(here: Lockout, device: str) -> Message:
    others = ", ".join(here.others_on(device))
    if here.mine(device):
        return _YOURS_TOO(who=others) if others else _YOURS
    return _LOCKS(who=others) if others else _NO_LOCK
