"""How the autopilot sets up: what will do is left alone, and hands go to the band once."""

from math import cos, radians

import pytest

from sim.pilot.autopilot import begin, power_up, raise_head, run, set_up, whole_job
from sim.plant.bar import Stock
from sim.records.acts import Adjusted, LockoutTaken
from sim.scenario.machines import first_machine
from sim.session.card.setup_card import TENSION_MPA, JobOrder, card, plan_of
from sim.session.opening import materials, open_session, read, session_for
from sim.teaching.slips.band import SLIPS
from sim.trade.band import centre_compliance_m_n, runs_out_at_n, strand_force_n
from sim.trade.life import LEAN, RICH
from sim.trade.sections import Rectangle, Round
from sim.trade.wander import MAGNIFIED_FROM
from sim.units import MM, MPA

OIL, LEVEL = "supply.oil_percent", "coolant.level_percent"
STRENGTH, TEETH = "coolant.concentration_percent", "band.teeth_per_inch"
BRUSH, TENSION, SPAN = "band.brush_mm", "band.tension_mpa", "band.guide_span_mm"


def found(*, up=False, **settings):
    """Return a session that is set up for its job but for some settings, its control on, its head on the bar or up."""
    session = open_session("rail-posts")
    for name, setting in settings.items():
        session.saw.set(name.replace("__", "."), setting)
    power_up(session)
    if up:
        raise_head(session)
    return session


def set_by(session, name):
    """Return what the autopilot sets something to as it sets up."""
    before = len(session.done.all)
    set_up(session)
    acts = [deed.act for deed in session.done.all[before:]]
    return [act.setting for act in acts if isinstance(act, Adjusted) and act.name == name]


def line_of(session, name):
    return next(line for line in session.card if line.name == name)


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [(OIL, 60.0, 100.0), (LEVEL, 40.0, 100.0), (STRENGTH, 100 * LEAN, 100 * RICH)],
)
def test_what_is_within_the_band_on_the_card_is_left_as_it_is(name, low, high):
    for there in (low, (low + high) / 2, high):
        session = found(**{name.replace(".", "__"): there})
        assert set_by(session, name) == []
        assert session.saw.read(name) == pytest.approx(there)
    out = (low - 1.0, high + 1.0) if high < 100.0 else (low - 1.0,)
    for there in out:
        session = found(**{name.replace(".", "__"): there})
        assert set_by(session, name) == [line_of(session, name).setting]


def test_the_band_on_the_card_is_well_above_where_the_switches_let_go_and_the_reason_says_it():
    session = open_session("rail-posts")
    for name, low in ((OIL, session.machine.oil_low), (LEVEL, session.machine.coolant_low)):
        line = line_of(session, name)
        assert line.within[0] == pytest.approx(200 * low)
        assert f"{line.within[0]:.0f} %" in str(line.why)
    assert "5 to 10 %" in str(line_of(session, STRENGTH).why)


def lock_outs(session):
    """Return how often a lock-out was begun."""
    acts = (deed.act for deed in session.done.all)
    return sum(isinstance(act, LockoutTaken) and act.step == "tell" for act in acts)


def prop_ins(session):
    acts = (deed.act for deed in session.done.all)
    return sum(
        isinstance(act, Adjusted) and (act.name, act.setting) == ("head.prop", "in") for act in acts
    )


def assert_as_on_the_card(session):
    for name in (TEETH, BRUSH, TENSION, SPAN, "band.teeth_face", "band.guide_lock"):
        assert session.saw.read(name) == line_of(session, name).setting, name
    assert session.saw.plant.band.seat.place == "seated"
    assert session.saw.read("band.wheel_cover") == "closed"
    assert not session.lockout.begun
    assert session.done.unsafe == []
    assert not session.hands.exposures
    assert not session.saw.consequences


@pytest.mark.parametrize("up", [False, True])
def test_band_and_brush_are_changed_in_one_lock_out(up):
    session = found(
        up=up, band__teeth_per_inch=10, band__brush_mm=1.0, band__tension_mpa=250, band__guide_span_mm=120
    )  # fmt: skip
    set_up(session)

    assert lock_outs(session) == 1
    assert prop_ins(session) == up
    assert_as_on_the_card(session)
    begin(session)
    assert run(session).finished


@pytest.mark.parametrize(
    "settings",
    [
        {"band__brush_mm": 1.0},
        {"band__teeth_per_inch": 10},
        {"band__brush_mm": 1.0, "band__tension_mpa": 250},
        {"band__teeth_face": "inside out", "band__brush_mm": 1.0, "band__guide_lock": "slack"},
    ],
)
def test_whatever_of_it_differs_it_is_one_lock_out_with_the_band_as_it_was_tensioned(settings):
    session = found(**settings)
    set_up(session)

    assert lock_outs(session) == 1
    assert_as_on_the_card(session)


def test_what_needs_no_lock_out_at_the_band_is_set_under_the_head_on_its_prop_once():
    session = found(up=True, band__tension_mpa=250, band__guide_span_mm=120)
    set_up(session)

    assert lock_outs(session) == 0
    assert prop_ins(session) == 1
    assert_as_on_the_card(session)


def test_a_whole_job_on_a_saw_that_is_not_set_up_takes_one_lock_out():
    session = open_session("rail-posts")
    for name, setting in ((TEETH, 14), (BRUSH, 1.0)):
        session.saw.set(name, setting)
    outcome = whole_job(session)

    assert outcome.finished
    assert lock_outs(session) == 1
    assert not session.hands.exposures


@pytest.mark.parametrize(("material", "slow"), [("X5CrNi18-10", True), ("S275JR", False)])
def test_a_head_far_above_its_ring_is_brought_down_to_it_where_the_feed_is_slow(material, slow):
    """Else the first cut begins at the feed of the cut from the top of the lift: four minutes of air in stainless."""
    scenario, _ = read("rail-posts")
    stock = scenario.stock.model_copy(update={"material": material})
    session = session_for(scenario.model_copy(update={"stock": stock}))
    session.saw.set("head.stop_notch", session.machine.notches)
    power_up(session)
    raise_head(session)
    set_up(session)
    head = session.saw.plant.head
    valve_mm_min = float(line_of(session, "head.feed_valve_mm_min").setting)

    assert (head.place.position == pytest.approx(head.stop_m, abs=1e-3)) is slow
    assert session.saw.read("head.feed_valve_mm_min") == pytest.approx(valve_mm_min)
    assert session.saw.bus.seen["B11"]
    assert not session.saw.consequences


NOBODYS_JOB = {BRUSH: 0.5, TENSION: 5.0, SPAN: 10.0}


def test_what_nobody_would_lay_a_hand_on_costs_no_lock_out():
    """Half a mm of brush, a span a graduation too wide, and 5 MPa that nobody reads on the gauge."""
    session = open_session("rail-posts")
    for name, off in NOBODYS_JOB.items():
        session.saw.set(name, line_of(session, name).setting + off)
    there = {name: session.saw.read(name) for name in NOBODYS_JOB}
    power_up(session)
    set_up(session)

    assert lock_outs(session) == 0
    assert {name: session.saw.read(name) for name in NOBODYS_JOB} == there
    begin(session)
    assert run(session).finished
    assert not session.saw.consequences


@pytest.mark.parametrize(
    ("name", "off"), [(BRUSH, -1.0), (TENSION, -20.0), (SPAN, -5.0), (SPAN, 15.0)]
)
def test_what_is_further_off_than_that_is_set(name, off):
    session = open_session("rail-posts")
    setting = line_of(session, name).setting
    session.saw.set(name, setting + off)
    power_up(session)

    assert set_by(session, name) == [setting]


@pytest.mark.parametrize("name", [BRUSH, TENSION, SPAN])
def test_the_slips_have_nothing_against_what_the_card_leaves_alone(name):
    for end in (0, 1):
        session = open_session("rail-posts")
        line = line_of(session, name)
        session.saw.set(name, line.within[end])
        assert line.will_do(line.within[end])
        assert not SLIPS[name](session), (name, line.within)


@pytest.mark.parametrize("metal", ["S235JR", "E295", "X5CrNi18-10", "EN-AW-6082"])
@pytest.mark.parametrize("deg", [0.0, 45.0])
def test_no_tension_or_span_is_left_alone_with_which_a_face_runs_off_square(metal, deg):
    machine = first_machine()
    for size_mm in (5, 12, 30, 60, 110, 250):
        for section in (
            Round(size_mm * MM),
            Rectangle(size_mm * MM, 12 * MM),
            Rectangle(20 * MM, size_mm * MM),
        ):
            stock, order = Stock(materials()[metal], section, 3.0, 12 * MM), JobOrder(0.1, 1, deg)
            plan = plan_of(machine, stock, order)
            tension, span = (
                next(each for each in card(machine, stock, order) if each.name == name).within for name in (TENSION, SPAN)
            )  # fmt: skip
            clear_mm = (
                span[0] - machine.fixed_guide_m / MM - section.width_m / MM / cos(radians(deg))
            )
            assert clear_mm >= 10.0 - 1e-6 or span[0] == machine.guide_high_m / MM
            assert (
                machine.tension_low_pa
                <= tension[0] * MPA
                <= tension[1] * MPA
                <= machine.tension_high_pa
            )
            assert clear_mm + span[1] - span[0] <= 25.0 + 1e-6 or span[1] == span[0]
            if plan.tension_mpa > TENSION_MPA:  # a last resort
                assert (tension[0], span[1]) == (plan.tension_mpa, span[0])
            if (tension[0], span[1]) == (plan.tension_mpa, span[0]):
                continue  # nothing is left
            strip = machine.strip
            worst_n, as_set_n = (
                strand_force_n(mpa * MPA, strip) for mpa in (tension[0], plan.tension_mpa)
            )
            carried_n = runs_out_at_n(span[1] * MM, worst_n, strip)
            assert plan.force_n <= MAGNIFIED_FROM * carried_n
            stiff = strip.sideways_stiffness_n_m2
            wanders = centre_compliance_m_n(span[1] * MM, worst_n, stiff)
            wanders /= centre_compliance_m_n(plan.span_m, as_set_n, stiff)
            assert plan.square * wanders < 0.9
