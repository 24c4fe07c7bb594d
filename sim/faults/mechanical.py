"""Faults of the mechanics: worn, leaking, blocked or bent parts of the machine itself."""

from typing import Final

from sim.faults.fault import Family, Who, Wreck, fault
from sim.faults.forms import worn
from sim.plant.coolant import DRY
from sim.units import MM

_F, _O, _M = Family.MECHANICAL, Who.OPERATOR, Who.MAINTENANCE
_LEAK_M_S: Final = 0.5 * MM


def _fit_hose(wreck: Wreck) -> None:
    wreck.plant.coolant.split_hose(False)
    wreck.plant.coolant.mop(DRY)


MECHANICAL_ROWS: Final = (
    fault(
        "variator-forced", "Variator pulley forced at rest", _F,
        "the variator pulley is damaged and slips, because the speed was changed at rest",
        "With the wheel cover open, fit new pulley halves and a belt.",
        _M, 45,
        apply=lambda w: w.plant.band.set_damage(0.6),
        present=lambda w: w.plant.band.damage > 0.0,
        mend=lambda w: w.plant.band.set_damage(0.0),
    ),
    fault(
        "belt-worn", "Variator belt worn", _F,
        "the belt of the variator is worn thin and passes on only part of its pull",
        "With the wheel cover open, fit a new belt.",
        _M, 30,
        **worn(lambda w: w.plant.band.belt, lambda w, v: w.plant.band.wear_belt(float(v)), good=1.0, bad=0.04),
    ),
    fault(
        "lining-glazed", "Lining of the drive wheel glazed with oil", _F,
        "oil has glazed the lining of the drive wheel, so it passes on only part of its pull to the band",
        "With the wheel cover open and the band let down, fit a new lining to the drive wheel.",
        _M, 60,
        **worn(
            lambda w: w.plant.band.lining, lambda w, v: w.plant.band.glaze_lining(float(v)),
            good=1.0, bad=0.04,
        ),
    ),
    fault(
        "washers-weak", "Spring washers of the tension broken", _F,
        "spring washers are broken, so the screw no longer passes all its tension to the band",
        "With the wheel cover open and the band let down, fit a new set of washers.",
        _M, 30,
        **worn(
            lambda w: w.plant.band.tension.slack, lambda w, v: w.plant.band.tension.weaken(float(v)),
            good=0.0, bad=0.5,
        ),
    ),
    fault(
        "guides-worn", "Guide inserts worn", _F,
        "the inserts of the band guides are worn, so the band gives sideways between them",
        "Fit new guide inserts.",
        _M, 25,
        **worn(lambda w: w.plant.band.guide.play, lambda w, v: w.plant.band.guide.wear(float(v)), good=1.0, bad=6.0),
    ),
    fault(
        "head-cylinder-leaks", "Head cylinder leaks past its piston", _F,
        "oil leaks past the piston of the head cylinder, so the head sinks slowly by itself",
        "Lower the head on to bed, bar or prop, relieve the lift, and fit new seals to its cylinder.",
        _M, 60,
        **worn(lambda w: w.plant.head.lift.leak_m_s, lambda w, v: w.plant.head.leak(float(v)), good=0.0, bad=_LEAK_M_S),
    ),
    fault(
        "lift-filter-clogged", "Filter of the head lift clogged", _F,
        "the filter before the raise valve is clogged, so the head comes up at a crawl",
        "Lower the head on to bed, bar or prop, relieve the lift, and fit a new filter.",
        _M, 20,
        **worn(lambda w: w.plant.head.lift.passes, lambda w, v: w.plant.head.choke(float(v)), good=1.0, bad=0.05),
    ),
    fault(
        "air-in-the-oil", "Air in the oil of the lift", _F,
        "there is air in the oil of the lift, so the head sticks and slips on its way down",
        "Lower the head on to bed, bar or prop, bleed out the trapped air until the oil comes clear, and close the bleeder again.",
        _M, 10,
        **worn(lambda w: w.plant.head.lift.air, lambda w, v: w.plant.head.let_air_in(float(v)), good=0.0, bad=1.0),
    ),
    fault(
        "shuttle-throttle-shut", "Throttle of the shuttle almost shut", _F,
        "the throttle in the line of the shuttle is almost shut, so the shuttle crawls",
        "Open the throttle to its mark.",
        _M, 10,
        **worn(lambda w: w.plant.shuttle.pace, lambda w, v: w.plant.shuttle.throttle(float(v)), good=1.0, bad=0.04),
    ),
    fault(
        "rollers-stiff", "Side roller of the infeed tight", _F,
        "a side roller of the infeed is screwed hard against the bar and does not turn, so the bar drags on it",
        "Chock the bar, back the side roller off, fit a new bearing, and set the roller to touch the bar and no more.",
        _M, 30,
        apply=lambda w: w.plant.shuttle.drag_bar(6.0),
        present=lambda w: w.plant.shuttle.drag != w.plant.site.machine.roller_drag,
        mend=lambda w: w.plant.shuttle.drag_bar(w.plant.site.machine.roller_drag),
    ),
    fault(
        "cutting-jaws-oily", "Jaws of the cutting vise oily", _F,
        "there is oil on the jaws of the cutting vise, so they hold by little friction",
        "Wipe the jaws with solvent.",
        _O, 5,
        apply=lambda w: w.plant.cutting_vise.oil_jaws(0.02),
        present=lambda w: w.plant.cutting_vise.friction != w.plant.site.machine.jaw_friction,
        mend=lambda w: w.plant.cutting_vise.oil_jaws(w.plant.site.machine.jaw_friction),
    ),
    fault(
        "shuttle-jaws-oily", "Jaws of the shuttle vise oily", _F,
        "there is oil on the jaws of the shuttle vise, so they pull the bar by little friction",
        "Wipe the jaws with solvent.",
        _O, 5,
        apply=lambda w: w.plant.shuttle_vise.oil_jaws(0.02),
        present=lambda w: w.plant.shuttle_vise.friction != w.plant.site.machine.jaw_friction,
        mend=lambda w: w.plant.shuttle_vise.oil_jaws(w.plant.site.machine.jaw_friction),
    ),
    fault(
        "shuttle-vise-leaks", "Shuttle vise loses its pressure", _F,
        "a seal in the shuttle vise leaks, so little of the set pressure reaches the jaw",
        "Relieve the hydraulic pressure, and fit new seals to the shuttle vise.",
        _M, 40,
        **worn(lambda w: w.plant.shuttle_vise.leak, lambda w, v: w.plant.shuttle_vise.spoil(float(v)), good=1.0, bad=0.1),
    ),
    fault(
        "cutting-vise-leaks", "Cutting vise loses its pressure", _F,
        "a seal in the cutting vise leaks, so little of the set pressure reaches the jaw",
        "Relieve the hydraulic pressure, and fit new seals to the cutting vise.",
        _M, 40,
        **worn(lambda w: w.plant.cutting_vise.leak, lambda w, v: w.plant.cutting_vise.spoil(float(v)), good=1.0, bad=0.05),
    ),
    fault(
        "coolant-hose-split", "Hose to the coolant nozzle split", _F,
        "the hose to the coolant nozzle is split, and most of the coolant runs on to the floor",
        "Fit a new hose to the nozzle, and mop the floor.",
        _M, 10,
        apply=lambda w: w.plant.coolant.split_hose(True),
        present=lambda w: w.plant.coolant.split,
        mend=_fit_hose,
    ),
    fault(
        "nozzle-blocked", "Coolant nozzle blocked", _F,
        "chips block the nozzle of the coolant",
        "Clear the nozzle.",
        _O, 4,
        **worn(lambda w: w.plant.coolant.blocked, lambda w, v: w.plant.coolant.block(float(v)), good=0.0, bad=1.0),
    ),
)  # fmt: skip
