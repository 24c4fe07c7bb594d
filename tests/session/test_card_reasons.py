"""The reasons on the set-up card are true where a limit of the saw or the teeth decides."""

from dataclasses import replace

import pytest

from sim.plant.bar import Stock
from sim.scenario.machines import first_machine
from sim.session.card.setup_card import JobOrder, card, run_in_mm_min
from sim.session.opening import machine_of, materials
from sim.trade.band import runs_out_at_n, strand_force_n
from sim.trade.sections import Rectangle, Round, Section, SquareTube
from sim.trade.wander import MAGNIFIED_FROM
from sim.units import MM, MPA

ORDER = JobOrder(0.1, 1)


def line(name: str, metal: str, section: Section, order: JobOrder = ORDER, **sizes: float):
    stock = Stock(materials()[metal], section, 3.0, 12 * MM)
    machine = replace(first_machine(), **sizes)
    return next(each for each in card(machine, stock, order) if each.name == name)


def test_no_middle_is_claimed_of_a_band_speed_that_the_saw_does_not_reach():
    aluminium = line("band.speed_m_min", "EN-AW-6082", Round(50 * MM))
    steel = line("band.speed_m_min", "S275JR", Round(50 * MM))

    assert aluminium.setting == 110  # the range is 200 to 600
    assert str(aluminium.reason).startswith("As fast as this saw runs it")
    assert "200 to 600 m/min, lies above that" in str(aluminium.reason)
    assert str(steel.reason) == "The middle of the metal's range."


def test_no_middle_is_claimed_either_where_the_saw_runs_no_slower():
    stainless = line("band.speed_m_min", "X5CrNi18-10", Round(50 * MM), band_low_m_s=1.0)

    assert stainless.setting == 60
    assert str(stainless.reason).startswith("As slow as this saw runs it")


def test_no_ten_millimetres_are_claimed_of_an_arm_that_goes_no_closer():
    # DERIVED, by hand: the arms stand 40 mm apart at the least, 10 of it on the fixed side
    thin = line("band.guide_span_mm", "S275JR", Round(16 * MM))

    assert thin.setting == 40
    closest, left = (
        "The arm goes no closer, and clears the bar by 14 mm.",
        "From 40 to 50 mm it is left as it is.",
    )
    assert str(thin.reason) == f"{closest} {left}"
    assert "clears the bar by 10 mm" in str(
        line("band.guide_span_mm", "S275JR", Round(30 * MM)).reason
    )


@pytest.mark.parametrize(
    ("metal", "section", "mitre_deg", "says"),
    [
        ("X5CrNi18-10", Round(80 * MM), 0.0, "With a new band 17 mm/min"),
        ("X5CrNi18-10", Round(80 * MM), 0.0, "a cut takes 1.7 times as long"),
        ("S235JR", Rectangle(110 * MM, 35 * MM), 0.0, "a cut takes hardly longer"),
        ("S235JR", SquareTube(60 * MM, 3 * MM), 30.0, "A new band takes it, too"),
    ],
)
def test_what_a_new_band_wants_is_told_by_what_it_costs(metal, section, mitre_deg, says):
    # The valve caps a feed that the force may hold back anyway: its setting alone tells no share of the feed.
    order = JobOrder(0.1, 1, mitre_deg)
    valve = line("head.feed_valve_mm_min", metal, section, order)
    stock = Stock(materials()[metal], section, 3.0, 12 * MM)
    run_in = run_in_mm_min(first_machine(), stock, order)

    assert says in str(valve.reason)
    assert ("With a new band" in str(valve.reason)) == (run_in < valve.setting)


def test_teeth_that_band_charts_do_not_have_are_told_as_such():
    flat = line("band.teeth_per_inch", "S235JR", Rectangle(120 * MM, 30 * MM))

    assert flat.setting == 2
    assert str(flat.reason).startswith("Band charts have 3 TPI for its average width of cut")


@pytest.mark.parametrize("saw", ["harbour-saw", "quay-saw"])
@pytest.mark.parametrize("width_mm", [60, 150, 200, 240, 320])
@pytest.mark.parametrize("metal", ["S235JR", "42CrMo4", "X5CrNi18-10"])
def test_the_card_presses_no_strand_further_than_half_of_what_it_carries(saw, width_mm, metal):
    machine, stock = machine_of(saw), Stock(materials()[metal], Round(width_mm * MM), 3.0, 12 * MM)
    lines = {each.name: each.setting for each in card(machine, stock, ORDER)}
    strand_n = strand_force_n(lines["band.tension_mpa"] * MPA, machine.strip)
    carried_n = runs_out_at_n(lines["band.guide_span_mm"] * MM, strand_n, machine.strip)

    assert lines["head.feed_force_n"] <= MAGNIFIED_FROM * carried_n
