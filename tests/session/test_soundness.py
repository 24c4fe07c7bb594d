"""Where no plan of the card is sound it is said: on the card, by coach, calc and autopilot; and it is true.

True is what a search by chance bears out that shares none of the card's choices: speed, teeth, force and valve are
drawn over all that the saw has, and held to the laws of the cut alone.
"""

from dataclasses import replace
from math import cos, radians
from random import Random

import pytest

from sim.calc import calculators as calc
from sim.calc.figure import WARNING
from sim.pilot.autopilot import begin, whole_job
from sim.plant.bar import Stock
from sim.plant.blade import CONDITIONS, SHARP
from sim.scenario.machines import first_machine
from sim.scenario.scenario import Scenario
from sim.scenario.section_words import section_from
from sim.session.before.keys import power_up
from sim.session.card.setup_card import Fails, JobOrder, plan_of
from sim.session.card.soundness import unsound, unsound_bar
from sim.session.opening import materials, session_for
from sim.teaching.coach import Coach
from sim.text.typed.autopilot_part import do_part
from sim.trade.band import centre_compliance_m_n, strand_force_n
from sim.trade.choice import TEETH_PER_INCH, too_few_teeth
from sim.trade.clamping import clamping_force_n, clamping_window_pa, holding_force_n
from sim.trade.creep import skew_at
from sim.trade.edge import rubs_badly, starved
from sim.trade.sections import mitre_factor
from sim.trade.teeth import depths_to_look_at_m, gullet_fill_at, tooth_strain_at
from sim.trade.wander import most_thrust_n, peak_pull_n
from sim.units import INCH, MINUTE, MM, MPA

SAW, METALS = first_machine(), materials()
RESERVE, DRAWS, TIGHT_PA = 1.2, 500, 300 * MPA
BEYOND = [
    ("X6CrNiMoTi17-12-2", "square-tube:38.4x2.3", 15.0),
    ("X5CrNi18-10", "square-tube:41.1x2", 30.0),
    ("18CrNi8", "rectangle:172x31", 0.0),
    ("X6CrNiMoTi17-12-2", "rectangle:101.6x50.9", 60.0),
]
SOUND = [
    ("S275JR", "square-tube:60x3", 0.0),
    ("S235JR", "round:60", 0.0),
    ("42CrMo4", "round:100", 0.0),
    ("X5CrNi18-10", "round:80", 30.0),
]


def sound(metal, section, mitre_deg, setting) -> bool:
    """Whether a setting harms neither band nor bar nor face, by the laws of the cut, with a fifth in reserve."""
    cut = calc.toothed(metal, section, SAW, replace(setting, mitre_deg=mitre_deg))
    table, jaws = cut.table, SAW.cutting_jaws
    _, dents_pa = clamping_window_pa(section, metal, 1.0, jaws)
    clamping_n = clamping_force_n(
        min(dents_pa / 1.5, SAW.clamping_high_pa), jaws.cylinder_area_m2, jaws.efficiency
    )
    if skew_at(section, table.widening) * RESERVE * peak_pull_n(table) > holding_force_n(
        jaws.friction, clamping_n
    ):
        return False
    if table.peak_power_w * RESERVE > SAW.motor_w:
        return False
    if rubs_badly(cut.rubbed, metal.hardened) or starved(cut.chip_m, metal.hardened):
        return False
    for depth_m in depths_to_look_at_m(section):
        if max(tooth_strain_at(table, depth_m), gullet_fill_at(table, depth_m)) >= 1.0:
            return False
    across_m = section.width_m / cos(radians(mitre_deg))
    span_m = max(across_m + SAW.fixed_guide_m + 10 * MM, SAW.guide_low_m)
    give_m_n = centre_compliance_m_n(
        span_m, strand_force_n(TIGHT_PA, SAW.strip), SAW.strip.sideways_stiffness_n_m2
    )
    aside_m_n = give_m_n * CONDITIONS[SHARP].side
    seen = max(SAW.square_limit, SAW.square_least_m / section.height_m)
    square_n = most_thrust_n(seen, section.height_m, aside_m_n)
    return setting.force_n * cut.sideways < square_n


def draws(metal, section, mitre_deg, seed):
    """Yield settings by chance that have three teeth in the cut."""
    chance = Random(seed)
    low = max(metal.speed_low_m_s, SAW.band_low_m_s) * MINUTE
    high = min(metal.speed_high_m_s, SAW.band_high_m_s) * MINUTE
    widening = mitre_factor(radians(mitre_deg))
    while True:
        teeth = chance.choice(TEETH_PER_INCH)
        force_n = SAW.force_low_n * (SAW.force_high_n / SAW.force_low_n) ** chance.random()
        valve = 250.0 ** chance.random()
        if not too_few_teeth(section, INCH / teeth, widening):
            yield calc.CutSetting(chance.uniform(low, high), teeth, force_n, valve)


@pytest.mark.parametrize(("name", "bar", "mitre_deg"), BEYOND)
def test_what_is_declared_unsound_no_setting_by_chance_cuts_soundly(name, bar, mitre_deg):
    metal, section = METALS[name], section_from(bar)
    drawn = draws(metal, section, mitre_deg, f"{name} {bar}")

    assert unsound_bar(SAW, metal, section, mitre_deg)
    assert not [
        s for s, _ in zip(drawn, range(DRAWS), strict=False) if sound(metal, section, mitre_deg, s)
    ]


@pytest.mark.parametrize(("name", "bar", "mitre_deg"), SOUND)
def test_what_is_not_declared_unsound_the_cards_own_setting_cuts_soundly(name, bar, mitre_deg):
    metal, section = METALS[name], section_from(bar)
    setting = calc.setting_of(metal, section, SAW, mitre_deg=mitre_deg)

    assert not unsound_bar(SAW, metal, section, mitre_deg)
    assert sound(metal, section, mitre_deg, setting)


def said(name, bar, mitre_deg=0.0):
    return str(unsound_bar(SAW, METALS[name], section_from(bar), mitre_deg))


def test_it_names_the_limit_that_bars_more_feed_and_what_would_help():
    tube = said("X6CrNiMoTi17-12-2", "square-tube:38.4x2.3", 15.0)

    assert "the teeth would rub" in tube
    assert "More feed is barred by what the vise holds." in tube
    assert "A plug in the tube" in tube
    assert "Laid 31.0 mm wide and 172.0 mm high it would go." in said("18CrNi8", "rectangle:172x31")
    assert "Cut square it would go." in said("X6CrNiMoTi17-12-2", "rectangle:101.6x50.9", 60.0)


def test_what_is_said_to_help_helps():
    metal, order = METALS["18CrNi8"], JobOrder(0.1, 1)
    flat, on_side = (
        Stock(metal, section_from(bar), 3.0, 0.0)
        for bar in ("rectangle:172x31", "rectangle:31x172")
    )

    assert unsound(SAW, flat, order)
    assert not unsound(SAW, on_side, order)
    tube = Stock(METALS["X6CrNiMoTi17-12-2"], section_from("square-tube:38.4x2.3"), 3.0, 0.0)
    assert plan_of(SAW, tube, JobOrder(0.1, 1, 15.0)).fails == (Fails.RUBS,)
    assert not plan_of(SAW, tube, JobOrder(0.1, 1, 15.0), plugged=True).fails
    # A plug is taken as walls that do not give: so a vise that presses with all it has then holds it.
    assert (
        plan_of(SAW, tube, JobOrder(0.1, 1, 15.0), plugged=True).clamping_pa == SAW.clamping_high_pa
    )


def the_tube():
    section = {"shape": "square-tube", "side_mm": 38.4, "wall_mm": 2.3}
    stock = {"material": "X6CrNiMoTi17-12-2", "section": section, "length_mm": 1300, "front_mm": 12}
    job = {"length_mm": 39.4, "wanted": 2, "first": "square", "mitre_deg": 15.0}
    drawn = {"title": "drawn", "mode": "practice", "ready": True, "stock": stock, "job": job}
    return session_for(Scenario.model_validate(drawn), nonce="")


def test_the_autopilot_begins_no_unsound_job_and_says_why():
    session = the_tube()

    assert whole_job(session).reason == session.unsound
    assert not session.saw.cuts
    power_up(session)
    assert str(session.unsound) in str(do_part(session, "start"))
    assert session.saw.controller.job.state not in ("EXECUTE", "STARTING")


def test_the_coach_says_it_of_a_start():
    session = the_tube()
    coach = Coach(session)
    for part in ("power", "setup"):
        do_part(session, part)
    coach.remark()
    begin(session)  # as somebody does who heeds no card

    assert str(session.unsound) in str(coach.remark())


def test_calc_warns_of_the_cards_own_setting_alone():
    metal, section = METALS["18CrNi8"], section_from("rectangle:172x31")
    card = calc.setting_of(metal, section, SAW)
    own = calc.setting_of(metal, section, SAW, force_n=200.0, valve_mm_min=20.0)
    warned = [
        {
            each.value.key
            for each in calc.time(metal, section, SAW, setting)
            if each.quantity == WARNING
        }
        for setting in (card, own)
    ]
    text = str(unsound_bar(SAW, metal, section))

    figures = calc.time(metal, section, SAW, card)
    assert text in [str(each.value) for each in figures if each.quantity == WARNING]
    assert warned[0] - warned[1] == {unsound_bar(SAW, metal, section).key}
