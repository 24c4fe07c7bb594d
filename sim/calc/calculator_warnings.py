"""What a calculation warns of: a setting that the saw, the teeth, the metal or the tank do not allow.

Each is one message: what is wrong, and what to do. The limits are those of `trade` and of the
machine; this file has none of its own.
"""

from typing import Final

from sim.plant.machine import Machine
from sim.session.card.binding import Fed
from sim.trade import choice, teeth
from sim.trade.chips import POWDER_RUBBING
from sim.trade.coolant import Mix
from sim.trade.edge import FAIR_CHIP_M, rubs_badly
from sim.trade.life import OVERFED_M, wear_overfed
from sim.trade.materials import Material
from sim.trade.sections import Section
from sim.trade.toothed_cut import ToothedCut
from sim.units import INCH, MINUTE
from sim.words.fields import (
    Quantity,
    bar,
    degrees,
    m_min,
    micrometres,
    mm,
    mm_min,
    mpa,
    newtons,
    number,
    part,
    percent,
)
from sim.words.message import Message, plain, row

_HAIR: Final = 1e-9
_OVERFED_FROM: Final = 1.1  # of what counts as overfed; nobody sets a feed finer
_NEAR: Final = 0.0005  # of a concentration: 0.05 %, nobody reads finer

_litres: Final = Quantity("l", 1e-3, 1)

_SLOW: Final = row(
    "calc.warning.slow",
    "{speed} is below the metal's {low} to {high}: it takes longer than it need.",
    speed=m_min(None), low=m_min(bare=True), high=m_min(),
)  # fmt: skip
_FAST: Final = row(
    "calc.warning.fast",
    "{speed} is above the metal's {low} to {high}: the teeth burn off.",
    speed=m_min(None), low=m_min(bare=True), high=m_min(),
)  # fmt: skip
_NO_SPEED: Final = row(
    "calc.warning.no-speed",
    "The saw does not run its band at {speed}: give {low} to {high}.",
    speed=m_min(None), low=m_min(bare=True), high=m_min(bare=True),
)  # fmt: skip
_NO_FORCE: Final = row(
    "calc.warning.no-force",
    "The saw does not feed with {force}: its relief goes from {low} to {high}.",
    force=newtons(), low=newtons(bare=True), high=newtons(),
)  # fmt: skip
_VALVE: Final = row(
    "calc.warning.valve", "The saw's feed valve opens to {most} and no further.", most=mm_min()
)
_FEW_TEETH: Final = row(
    "calc.warning.few-teeth",
    "{teeth} teeth in the average width of cut, and three at least are wanted: take finer teeth "
    "(calc pitch).",
    teeth=number(1),
)
_STRIP: Final = row(
    "calc.warning.strip",
    "The teeth would strip: a tooth gets {strain} of what it can take (an order of magnitude). Shut "
    "the feed valve further.",
    strain=percent(),
)
_GULLETS: Final = row(
    "calc.warning.gullets",
    "The chips do not fit the gullets: {fill} of what they hold. Shut the feed valve further.",
    fill=percent(),
)
_MOTOR: Final = row(
    "calc.warning.motor",
    "The cut asks for {load} of the motor: its relay trips. Feed with less force, or shut the feed "
    "valve further.",
    load=percent(),
)
_RUBS: Final = row(
    "calc.warning.rubs",
    "The teeth rub on {share} of their way, with a mean chip of {chip}: that dulls them and hardens the metal. "
    "{do}.",
    share=percent(), chip=micrometres(1), do=part(capital=True),
)  # fmt: skip
_OVERFED: Final = row(
    "calc.warning.overfed",
    "The band is overfed: its mean chip is {chip}, and {fair} is a fair one. It wears {times} times as fast for "
    "it, and runs off square. Feed with less force, or shut the feed valve further.",
    chip=micrometres(1), fair=micrometres(1), times=number(1),
)  # fmt: skip
_NO_PITCH: Final = row(
    "calc.warning.no-pitch",
    "No pitch of the stock has three teeth in an average width of {width}: that takes {wanted} TPI, and "
    "the finest has {finest}. Feed lightly, as calc time and the set-up card have it.",
    width=mm(1), wanted=number(), finest=number(),
)  # fmt: skip
_MANY_TEETH: Final = row(
    "calc.warning.many-teeth",
    "{teeth} teeth are in the longest wall at once, and {most} are the most that {per_inch} TPI "
    "should have there: feed so lightly that the gullets do not fill.",
    teeth=number(), most=number(), per_inch=number(),
)  # fmt: skip
_NO_SWING: Final = row(
    "calc.warning.no-swing", "The saw's head swings to {most} and no further.", most=degrees()
)
_HELD: Final = plain("calc.clamping.yes", "yes")
_PLUG: Final = plain("calc.clamping.plug", "no: plug it, widen the jaws or feed lighter")
_WEAK: Final = row(
    "calc.clamping.weak", "no: the saw gives {most} at most; feed lighter", most=bar()
)
_DENTS: Final = row(
    "calc.clamping.dents", "no: the saw's least, {least}, dents it; plug it", least=bar()
)
_BOWED: Final = row(
    "calc.warning.bowed",
    "The faces of such a bar are found out of square, however hard it is clamped: load a straight bar.",
)
_TENSION: Final = row(
    "calc.warning.tension",
    "The saw's tension switch keeps the band from starting at {tension}: tension it to {low} to "
    "{high}.",
    tension=mpa(), low=mpa(bare=True), high=mpa(bare=True),
)  # fmt: skip
_BREAKS: Final = row(
    "calc.warning.breaks",
    "The band breaks: {stress} together, and its weld takes {weld}. Tension it less, or take "
    "larger wheels.",
    stress=mpa(), weld=mpa(bare=True),
)  # fmt: skip
_SPAN: Final = row(
    "calc.warning.span",
    "The saw's guides stand {low} to {high} apart, not {span}.",
    low=mm(bare=True), high=mm(), span=mm(bare=True),
)  # fmt: skip
_WEAK_MIX: Final = row(
    "calc.warning.weak-mix",
    "That does not reach {wanted}: the full tank is then at {reached}, too weak. Drain {drain} "
    "first, and calculate again.",
    wanted=percent(1), reached=percent(1), drain=_litres,
)  # fmt: skip
_STRONG_MIX: Final = row(
    "calc.warning.strong-mix",
    "That does not reach {wanted}: the full tank is then at {reached}, too strong. Drain {drain} "
    "first, and calculate again.",
    wanted=percent(1), reached=percent(1), drain=_litres,
)  # fmt: skip


def speed_warnings(material: Material, machine: Machine, speed_m_min: float) -> list[Message]:
    """Return what is to be said of a band speed for a metal."""
    found = []
    speed = speed_m_min / MINUTE
    low, high = material.speed_low_m_s, material.speed_high_m_s
    if not low - _HAIR <= speed <= high + _HAIR:
        found.append((_SLOW if speed < low else _FAST)(speed=speed, low=low, high=high))
    low, high = machine.band_low_m_s, machine.band_high_m_s
    if not low - _HAIR <= speed <= high + _HAIR:
        found.append(_NO_SPEED(speed=speed, low=low, high=high))
    return found


def feed_warnings(
    machine: Machine, force_n: float, valve_m_s: float | None = None
) -> list[Message]:
    """Return what is to be said of a feed force, and of a feed valve, on this saw."""
    found = []
    low, high = machine.force_low_n, machine.force_high_n
    if not low <= force_n <= high:
        found.append(_NO_FORCE(force=force_n, low=low, high=high))
    if valve_m_s is not None and valve_m_s > machine.valve_high_m_s * (1 + _HAIR):
        found.append(_VALVE(most=machine.valve_high_m_s))
    return found


def cut_warnings(machine: Machine, toothed: ToothedCut, hardened: float, fed: Fed) -> list[Message]:
    """Return what is to be said of a cut as it comes out: of its teeth, gullets, band and motor.

    Args:
        machine: The saw.
        toothed: The cut.
        hardened: Hardness of a rubbed surface by that of the metal, 1 or more.
        fed: How it is fed.
    """
    found, cut = [], toothed.table
    pitch_m, widening = cut.conditions.pitch_m, cut.widening
    if choice.too_few_teeth(cut.section, pitch_m, widening):
        found.append(_FEW_TEETH(teeth=choice.teeth_in_cut(cut.section, pitch_m, widening)))
    depths_m = teeth.depths_to_look_at_m(cut.section)
    strain = max(teeth.tooth_strain_at(cut, depth_m) for depth_m in depths_m)
    if strain > 1.0:
        found.append(_STRIP(strain=strain))
    fill = max(teeth.gullet_fill_at(cut, depth_m) for depth_m in depths_m)
    if fill > 1.0:
        found.append(_GULLETS(fill=fill))
    if toothed.rubbed >= POWDER_RUBBING or rubs_badly(toothed.rubbed, hardened):
        found.append(_RUBS(share=toothed.rubbed, chip=toothed.chip_m, do=fed.bite()))
    if toothed.chip_m > OVERFED_M * _OVERFED_FROM:
        wear = wear_overfed(toothed.chip_m)
        found.append(_OVERFED(chip=toothed.chip_m, fair=FAIR_CHIP_M, times=wear))
    if cut.peak_power_w > machine.motor_w:
        found.append(_MOTOR(load=cut.peak_power_w / machine.motor_w))
    return found


def pitch_warnings(section: Section, pitch_m: float) -> list[Message]:
    """Return what is to be said of the tooth pitch that was chosen for a section."""
    found = []
    width_m = choice.counted_width_m(section)
    if choice.too_few_teeth(section, pitch_m):
        wanted = choice.LEAST_TEETH * INCH / width_m
        finest = max(choice.TEETH_PER_INCH)
        found.append(_NO_PITCH(width=width_m, wanted=wanted, finest=finest))
    most = choice.longest_wall_m(section) / pitch_m
    if most > choice.MOST_TEETH:
        per_inch = round(INCH / pitch_m)
        found.append(_MANY_TEETH(teeth=most, most=choice.MOST_TEETH, per_inch=per_inch))
    return found


def mitre_warnings(machine: Machine, mitre_deg: float) -> list[Message]:
    """Return what is to be said of an angle that the saw does not have."""
    if mitre_deg <= machine.mitre_high_deg + _HAIR:
        return []
    return [_NO_SWING(most=machine.mitre_high_deg)]


def bow_warnings(machine: Machine, lean: float, width_m: float) -> list[Message]:
    """Return what is to be said of a face that leans by a bow, m a m, over the width of a bar, m."""
    return [_BOWED()] if machine.leans(lean, lean * width_m) else []


def clamping_verdict(machine: Machine, least_pa: float, most_pa: float) -> Message:
    """Return whether a bar can be held, and if not what to do."""
    if least_pa > most_pa:
        return _PLUG
    if least_pa > machine.clamping_high_pa:
        return _WEAK(most=machine.clamping_high_pa)
    return _DENTS(least=machine.clamping_low_pa) if most_pa < machine.clamping_low_pa else _HELD


def band_warnings(
    machine: Machine, tension_pa: float, span_m: float | None = None, bending_pa: float = 0.0
) -> list[Message]:
    """Return what is to be said of a band tension, and of a span between the guides."""
    found = []
    low, high = machine.tension_low_pa, machine.tension_high_pa
    if not low - _HAIR * low <= tension_pa <= high + _HAIR * high:
        found.append(_TENSION(tension=tension_pa, low=low, high=high))
    if tension_pa + bending_pa > machine.band_strength_pa:
        found.append(_BREAKS(stress=tension_pa + bending_pa, weld=machine.band_strength_pa))
    low, high = machine.guide_low_m, machine.guide_high_m
    if span_m is not None and not low <= span_m <= high:
        found.append(_SPAN(low=low, high=high, span=span_m))
    return found


def mix_warnings(
    volume_m3: float, present: float, full_m3: float, wanted: float, pour: Mix
) -> list[Message]:
    """Return what is to be said of a top-up that does not reach what is wanted."""
    reached = (volume_m3 * present + pour.concentrate_m3) / full_m3
    if abs(reached - wanted) <= _NEAR:
        return []
    if reached < wanted:
        room_m3 = full_m3 - volume_m3
        drain_m3 = (full_m3 * wanted - volume_m3 * present - room_m3) / (1.0 - present)
        return [_WEAK_MIX(wanted=wanted, reached=reached, drain=drain_m3)]
    drain_m3 = volume_m3 - full_m3 * wanted / present
    return [_STRONG_MIX(wanted=wanted, reached=reached, drain=drain_m3)]
