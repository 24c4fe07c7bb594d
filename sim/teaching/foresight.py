"""The cut that the saw would make as it is set: what it would ask of teeth, drive, guides and vise.

The same laws as in the cut itself, worked out before it; the saw is only read.
Until the band speed has been set the card's speed is taken, since nobody cuts before that.
"""

from functools import lru_cache
from typing import Final

from sim.session.card.binding import Fed
from sim.session.card.setup_card import Line, run_in_setting_m_s
from sim.session.lessons.goals import SPEED, speed_range_there
from sim.session.session import Session
from sim.trade.band import centre_compliance_m_n, runs_out_at_n, strand_force_n
from sim.trade.clamping import clamping_force_n, holding_force_n
from sim.trade.creep import skew_at
from sim.trade.crush import dent_m, first_yield_n
from sim.trade.cut_table import CutTable
from sim.trade.cutting import CutConditions
from sim.trade.edge import (
    EASY_CHIP_M,
    EDGE_SHARP_M,
    EDGE_WORN_M,
    rubs_badly,
    starved,
)
from sim.trade.teeth import (
    depths_to_look_at_m,
    gullet_fill_at,
    strain_at_most,
    tooth_strain_at,
)
from sim.trade.toothed_cut import ToothedCut, ToothEdge, toothed_cut
from sim.trade.wander import Wander, peak_pull_n
from sim.units import BAR, MINUTE, MM
from sim.words.fields import micrometres, mm_min, newtons, number, part, percent
from sim.words.message import NOTHING, Message, row

_VALVE: Final = "head.feed_valve_mm_min"
_SHUT_M_S = 1e-6  # a feed valve that lets less through is fully shut

_STRIPS: Final = row(
    "slip.cut.strips",
    "as it is set, a tooth would carry {strain} times what it can take; feed less, or take finer teeth",
    strain=number(2),
)
_PACKS: Final = row(
    "slip.cut.packs",
    "as it is set, the chips would want {fill} times the room of the gullets; feed less, or take "
    "coarser teeth",
    fill=number(1),
)
_STALLS: Final = row(
    "slip.cut.stalls",
    "the cut would want {pull} and the drive passes on {limit}; feed with less force",
    pull=newtons(), limit=newtons(),
)  # fmt: skip
_WANDERS: Final = row(
    "slip.cut.wanders",
    "as it is set, the band would wander {out} mm per 100 mm; shorten the free span, tension the band, or feed with less force",
    out=number(2),
)


_LIES_THERE: Final = row(
    "slip.lies-there",
    "{slip} (so it is with the bar that lies there, which is another than was taken)", slip=part(small=True),
)  # fmt: skip
_NOT_RUN_IN: Final = row(
    "slip.cut.not-run-in",
    "a chip of {chip} would break the new band's edges; run it in at feed valve {valve}: {left} of its first 400 cm2 is left",
    chip=micrometres(1), valve=mm_min(), left=percent(),
)  # fmt: skip
_RUBS_SAID: Final = row(
    "slip.cut.rubs",
    "with a chip of {chip} the teeth would rub on {share} of their way, harden the metal and go blunt; {do}",
    chip=micrometres(2), share=percent(), do=part(small=True),
)  # fmt: skip
_EASY: Final = 1.15  # times the chip of a new band, that nobody need mind


# One look at the whole set-up asks for the same cut many times.
_toothed = lru_cache(maxsize=4)(toothed_cut)


def cut_ahead(session: Session) -> CutTable | None:
    """Return the table of the cut as the saw is set, or None with the feed valve shut."""
    ahead = teeth_ahead(session)
    return ahead.table if ahead is not None else None


def teeth_ahead(session: Session) -> ToothedCut | None:
    """Return the cut as the saw is set, or None with the feed valve shut."""
    plant, machine = session.saw.plant, session.machine
    metal, teeth = session.lying.material, plant.blade.condition
    if plant.head.valve_m_s <= _SHUT_M_S:
        return None
    conditions = CutConditions(
        kc11_pa=metal.kc11_pa * teeth.force,
        mc=metal.mc,
        pitch_m=plant.blade.pitch_m,
        kerf_m=machine.kerf_m,
        band_speed_m_s=_speed_m_s(session),
        thrust_ratio=machine.thrust_ratio * teeth.thrust,
    )
    return _toothed(
        session.lying.section,
        plant.head.force_n,
        plant.head.valve_m_s,
        conditions,
        ToothEdge(teeth.edge_m, metal.hardened),
        plant.swivel.mitre_rad,
    )


def _speed_m_s(session: Session) -> float:
    dial_m_s = session.saw.plant.band.dial.position
    line = _line_there(session, SPEED)
    if line is None or speed_range_there(session).holds(dial_m_s * MINUTE):
        return dial_m_s
    return float(line.setting) / MINUTE


def amiss(session: Session) -> Message:
    """Return what would be too much in the cut as the saw is set, a clause; nothing when all is well."""
    table = cut_ahead(session)
    if table is None:
        return NOTHING
    found = next((found for look in _LOOKS if (found := look(session, table))), NOTHING)
    return of_lying(session, found)


def of_lying(session: Session, slip: Message) -> Message:
    """Return a slip that hangs on the bar, saying so where another lies there than was taken; nothing of nothing."""
    return _LIES_THERE(slip=slip) if slip and session.lies_other else slip


def _line_there(session: Session, name: str) -> Line | None:
    return next((line for line in session.card_there if line.name == name), None)


def _strips(session: Session, table: CutTable) -> Message:
    packed = session.saw.plant.blade.packed
    if strain_at_most(table, packed=packed) <= 1.0:
        return NOTHING
    depths_m = depths_to_look_at_m(session.lying.section)
    strain = max(tooth_strain_at(table, depth_m, packed=packed) for depth_m in depths_m)
    return _STRIPS(strain=strain) if strain > 1.0 else NOTHING


def _packs(session: Session, table: CutTable) -> Message:
    packed = session.saw.plant.blade.packed
    if strain_at_most(table, packed=packed) <= 1.0:
        return NOTHING
    depths_m = depths_to_look_at_m(session.lying.section)
    fill = max(gullet_fill_at(table, depth_m, packed=packed) for depth_m in depths_m)
    return _PACKS(fill=fill) if fill > 1.0 else NOTHING


def _stalls(session: Session, table: CutTable) -> Message:
    if _let_down(session):
        return NOTHING  # nobody cuts with it, and what it passes on is yet to be set
    pull_n, limit_n = peak_pull_n(table), session.saw.plant.band.pull_limit_n
    return _STALLS(pull=pull_n, limit=limit_n) if pull_n > limit_n else NOTHING


def _let_down(session: Session) -> bool:
    """Return whether the band has no tension: it is let down, or off its wheels."""
    return session.saw.plant.band.tension.cold_pa <= 0.0


def _wanders(session: Session, table: CutTable) -> Message:
    if _let_down(session):
        return NOTHING
    band, machine = session.saw.plant.band, session.machine
    strip = band.tension.strip
    span_m, strand_n = band.guide.span_m, strand_force_n(band.tension.cold_pa, strip)
    give_m_n = centre_compliance_m_n(span_m, strand_n, strip.sideways_stiffness_n_m2)
    ahead = teeth_ahead(session)
    sideways = ahead.sideways if ahead is not None else 1.0
    wander = Wander(
        table,
        session.saw.plant.blade.condition.side * sideways * give_m_n,
        runs_out_at_n(span_m, strand_n, strip),
    )
    section = session.lying.section
    out = wander.most_m(0.0, section.height_m) / section.height_m
    face_m = out * section.height_m  # the band wanders on its way down
    return _WANDERS(out=out * 100) if machine.leans(out, face_m) else NOTHING


def _not_run_in(session: Session, _table: CutTable) -> Message:
    blade, ahead = session.saw.plant.blade, teeth_ahead(session)
    if ahead is None or blade.fresh <= 0.0 or ahead.chip_m <= EASY_CHIP_M * _EASY:
        return NOTHING
    return _NOT_RUN_IN(chip=ahead.chip_m, valve=_run_in_m_s(session), left=blade.fresh)


def _run_in_m_s(session: Session) -> float:
    """Return the feed valve that the band that is on is run in with, m/s, as the card has it for its own."""
    line = _line_there(session, _VALVE)
    most_mm_min = session.machine.valve_high_m_s / MM * MINUTE if line is None else line.setting
    pitch_m = session.saw.plant.blade.pitch_m
    return run_in_setting_m_s(pitch_m, _speed_m_s(session), float(most_mm_min))


def _rubs(session: Session, _table: CutTable) -> Message:
    ahead = teeth_ahead(session)
    hardened = session.lying.material.hardened
    if ahead is None:
        return NOTHING
    if not rubs_badly(ahead.rubbed, hardened) and not starved(ahead.chip_m, hardened):
        return NOTHING
    plant = session.saw.plant
    blade, head, stock = plant.blade, plant.head, session.lying
    fed = Fed(
        session.machine, stock.material, stock.section, ahead.table, head.force_n, head.valve_m_s,
        plant.swivel.mitre_deg,
    )  # fmt: skip
    run_in_m_s = _run_in_m_s(session) if blade.fresh > 0.0 else None
    sharp = blade.condition.edge_m < (EDGE_SHARP_M + EDGE_WORN_M) / 2.0
    do = fed.bite(sharp=sharp, most_valve_m_s=run_in_m_s)
    return _RUBS_SAID(chip=ahead.chip_m, share=ahead.rubbed, do=do)


_LOOKS: Final = (_strips, _packs, _stalls, _wanders, _rubs, _not_run_in)


def wanted_hold_n(session: Session) -> float:
    """Return the hold along the jaws that the cut wants, so that the bar does not turn, N."""
    table = cut_ahead(session)
    if table is None:
        return 0.0
    return skew_at(session.lying.section, table.widening) * peak_pull_n(table)


def hold_n(session: Session) -> float:
    """Return what the cutting vise would hold along its jaws at the pressure it is set to, N."""
    plant, machine = session.saw.plant, session.machine
    press_n = clamping_force_n(
        plant.cutting_vise.set_pressure_pa, machine.piston_m2, machine.jaw_efficiency
    )
    return holding_force_n(machine.jaw_friction, press_n) * plant.supports.held_share


def _jaw_m(session: Session, vise: str) -> float:
    machine = session.machine
    return machine.cutting_jaw_m if vise == "cutting_vise" else machine.jaw_length_m


def would_dent(session: Session, vise: str) -> bool:
    """Return whether a vise leaves a dent that is found, at the pressure and gap that it is set to."""
    plant, machine, stock = session.saw.plant, session.machine, session.lying
    part = plant.vise(vise)
    press_n = clamping_force_n(part.set_pressure_pa, machine.piston_m2, machine.jaw_efficiency)
    deep_m = dent_m(
        stock.section, stock.material, press_n, _jaw_m(session, vise), part.stroke_left_m
    )
    return deep_m > machine.dent_seen_m


def dents_from_bar(session: Session, vise: str) -> float:
    """Return the pressure from which the bar's walls give for good, bar; `vise` as its part is called."""
    machine, stock = session.machine, session.lying
    yields_n = first_yield_n(stock.section, stock.material, _jaw_m(session, vise))
    return yields_n / clamping_force_n(BAR, machine.piston_m2, machine.jaw_efficiency)


def clear_m(session: Session) -> float:
    """Return how far the guide arm is clear of the bar, m; below zero it stands over it."""
    plant = session.saw.plant
    across_m = session.lying.section.width_m * plant.swivel.widening
    return plant.band.guide.clear_m(across_m)
