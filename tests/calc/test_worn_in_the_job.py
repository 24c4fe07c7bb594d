"""`calc job` wears and runs in the band cut by cut, as the saw does: jobs by chance, on bands that soon go blunt."""

from dataclasses import replace
from random import Random

import pytest

from sim.calc import quantities as q
from sim.calc.job_estimate import cuts_of, job_figures
from sim.errors import CommandError
from sim.pilot.autopilot import begin, power_up, run, set_up
from sim.scenario.machines import first_machine
from sim.scenario.scenario import Scenario
from sim.session.before.bring_out import bring_out
from sim.session.opening import session_for
from sim.trade.edge import RUN_IN_M2
from sim.units import US

JOBS = 24
CUT_S = 6e-3


def a_session(number):
    """Return a session on a job by chance, its saw set up, and how many cuts it is to make."""
    chance = Random(f"worn/{number}")
    section = chance.choice([
        {"shape": "round", "diameter_mm": chance.randint(25, 80)},
        {"shape": "square", "side_mm": chance.randint(25, 60)},
        {"shape": "square-tube", "side_mm": chance.randint(40, 60), "wall_mm": 4},
    ])  # fmt: skip
    wanted, first = chance.randint(3, 6), chance.choice(["square", "straight"])
    scenario = Scenario.model_validate({
        "title": "drawn", "mode": "practice", "ready": True,
        "stock": {"material": chance.choice(["S235JR", "C45", "42CrMo4"]), "section": section,
                  "length_mm": 3000, "front_mm": 12.0},
        "job": {"length_mm": chance.randint(20, 90), "wanted": wanted, "first": first},
    })  # fmt: skip
    machine = replace(first_machine(), band_life_s=chance.choice([3600.0, 7200.0, 28800.0]))
    session = session_for(scenario.built_as(machine), nonce="")
    power_up(session)
    set_up(session)
    bring_out(session)
    blade = session.saw.plant.blade
    blade.wear = chance.choice([0.0, chance.uniform(0.0, 0.6)])
    blade.sawn_m2 = chance.choice([RUN_IN_M2, chance.uniform(0.0, RUN_IN_M2)])
    session.saw.plant.site.cut_changed()
    return session, wanted + (first == "square")


@pytest.mark.parametrize("number", range(JOBS))
def test_each_cut_takes_the_time_and_the_life_that_calc_says(number):
    session, count = a_session(number)
    plant = session.saw.plant
    cuts, worn = cuts_of(plant, session.saw.controller.job.strokes, count)
    wear, began, spans = plant.blade.wear, [], []
    begins, parts = plant.head.sawing.begin, plant.head.sawing.part

    def at_begin(plan):
        began.append(session.saw.clock.now_us)
        begins(plan)

    def at_part():
        spans.append((session.saw.clock.now_us - began[-1]) / US)
        return parts()

    plant.head.sawing.begin, plant.head.sawing.part = at_begin, at_part
    begin(session)
    run(session)

    assert len(spans) == count
    assert spans == [pytest.approx(each.cut_s, abs=CUT_S, rel=2e-3) for each in cuts]
    assert plant.blade.wear - wear == pytest.approx(worn, rel=0.01, abs=1e-4)


def test_the_jobs_by_chance_hold_cuts_that_get_slower_and_cuts_that_get_quicker():
    # A worn band is slower from cut to cut; else nothing above would tell this from a sharp one throughout
    first_to_last = []
    for number in range(JOBS):
        session, count = a_session(number)
        cuts, _ = cuts_of(session.saw.plant, session.saw.controller.job.strokes, count)
        first_to_last.append(cuts[-1].cut_s / cuts[0].cut_s)

    assert sum(each > 1.01 for each in first_to_last) >= 5


def test_the_estimate_of_a_job_is_the_simulators_but_for_starts_and_stops():
    told = {each.quantity: each.value for each in job_figures("rail-posts")}

    # 25 cuts; with the band taken as sharp throughout it would be 5.7 s more
    assert told[q.JOB_RUN] - told[q.JOB] == pytest.approx(1.1, abs=0.5)
    assert told[q.LAST_CUT] > told[q.CUT]
    assert told[q.USED_UP] > 1.0


def test_a_job_that_cuts_nothing_is_told_as_such():
    with pytest.raises(CommandError, match="cuts nothing"):
        job_figures("19-change-of-order")
