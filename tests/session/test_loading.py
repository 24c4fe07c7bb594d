"""A bar is loaded by what it weighs: by hand up to a limit, by two people to another, else by crane."""

import pytest

from sim.errors import CommandError, ScenarioError
from sim.pilot.autopilot import power_up
from sim.records.acts import BarLoaded
from sim.scenario.scenario import Scenario
from sim.session.lessons.lesson import lesson_of
from sim.session.opening import open_session, read, session_for, sound_twin_of, twin_of
from sim.text.typed.acts import perform
from sim.text.typed.language import parse
from sim.trade.handling import ALONE, CRANE, PAIR, UNDER, WAYS, loading_s, too_much


def ready_to_load(**stock):
    """A session at rails whose bar is otherwise, the head up and the key in the pocket."""
    scenario, _ = read("rail-posts")
    other = scenario.stock.model_copy(update=stock)
    session = session_for(scenario.model_copy(update={"stock": other}))
    power_up(session)
    session.hold("head.raise", 8)
    session.set("mode.key", "in my pocket")
    return session


def harm(session):
    return [each.kind for each in session.saw.consequences]


LIGHT = {"length_mm": 500}  # 11 kg of 60 mm round
HEAVY = {}


def test_plain_load_is_by_crane_and_takes_any_bar():
    session = ready_to_load()
    answer = session.load_bar()

    assert answer.taken
    assert isinstance(session.done.acts[-1], BarLoaded)
    assert session.done.acts[-1].how == CRANE == BarLoaded(0).how
    assert harm(session) == []


@pytest.mark.parametrize("how", [ALONE, PAIR])
def test_a_post_of_six_metres_is_too_much_for_hands(how):
    session = ready_to_load()
    before = session.saw.plant.bar.length_m
    session.saw.plant.bar.length_m = 1.0
    answer = session.load_bar(how)

    assert not answer.taken
    assert "kg" in str(answer.message)
    assert "set down again" in str(answer.message)
    assert "by crane" in str(answer.message)
    assert harm(session) == ["lifted-too-much"]
    assert session.saw.plant.bar.length_m == 1.0 < before
    assert session.saw.consequences[0].row.critical


@pytest.mark.parametrize("how", [ALONE, PAIR, CRANE])
def test_a_light_short_bar_goes_by_any_safe_way_and_by_hand_soonest(how):
    session = ready_to_load(**LIGHT)
    assert not too_much(ALONE, session.stock.mass_kg, session.stock.length_m)
    began_s = session.now_s
    answer = session.load_bar(how)

    assert answer.taken
    assert harm(session) == []
    assert session.now_s - began_s == pytest.approx(loading_s(how, session.stock.mass_kg), abs=1e-6)


@pytest.mark.parametrize("stock", [LIGHT, HEAVY])
def test_hands_under_a_hanging_bar_end_the_run(stock):
    session = ready_to_load(**stock)
    answer = session.load_bar(UNDER)

    assert not answer.taken
    assert harm(session) == ["under-hanging-bar"]
    assert session.saw.plant.site.wrecked


def test_a_bar_whose_middle_is_beyond_the_rollers_is_not_loaded():
    session = ready_to_load(length_mm=9500)
    answer = session.load_bar()

    assert not answer.taken
    assert "would tip" in str(answer.message)


def test_behind_an_emergency_stop_all_that_is_wanted_is_told_at_once_and_does():
    session = open_session("rail-posts")
    power_up(session)
    session.hold("cutting_vise.clamp", 3)
    session.press("supply.emergency_stop")
    session.set("mode.key", "in my pocket")
    said = str(session.load_bar().message)
    wanted = (
        "Turn the emergency stop out", "press reset", "switch control on", "Put the key", "The head is in the way",
        "Release both vises", "Then take the key",
    )  # fmt: skip
    places = [said.index(each) for each in wanted]

    assert places == sorted(places)

    session.release("supply.emergency_stop")
    session.tap("supply.reset")
    session.tap("supply.control_on")
    session.set("mode.key", "in the switch")
    session.hold("head.raise", 8)
    session.hold("cutting_vise.release", 3)
    session.set("mode.key", "in my pocket")

    assert session.load_bar().taken


def test_a_way_that_there_is_not_is_refused_with_the_nearest():
    session = open_session("rail-posts")
    with pytest.raises(CommandError, match="no bar is loaded like this"):
        session.load_bar("crain")


@pytest.mark.parametrize("how", WAYS)
def test_typed_it_is_the_same_act(how):
    session = ready_to_load(**LIGHT)
    perform(session, parse(f"load {how}"))

    assert session.done.acts[-1].how == how


def test_the_card_says_what_a_bar_weighs_and_who_may_carry_it():
    session = open_session("rail-posts")
    said = " ".join(str(each) for each in perform(session, parse("card")))

    assert "weighs 133.2 kg" in said
    assert "14 kg" in said


# ---- another bar than the one that lies there

TUBE = {"material": "S235JR", "section": {"shape": "square-tube", "side_mm": 40.0, "wall_mm": 4.0}}
ROUND = {"material": "S275JR", "section": {"shape": "round", "diameter_mm": 60.0}}


def after(old, new):
    """A session on a lesson whose old bar lies on the saw, ready to load."""
    scenario = Scenario.model_validate({
        "title": "drawn", "mode": "lesson", "job": {"length_mm": 200.0, "wanted": 1},
        "stock": {**new, "length_mm": 2000.0}, "old_bar": {**old, "length_mm": 700.0},
        "found": {"head.stop_notch": 12},
        "steps": [{"ask": "Load.", "why": "It is next.", "goal": {"loaded": "stock"}}],
    }, strict=False)  # fmt: skip
    session = session_for(scenario)
    power_up(session)
    session.hold("head.raise", 8)
    session.set("mode.key", "in my pocket")
    return session


def test_what_an_order_before_left_lies_on_the_saw_and_the_card_is_of_the_next():
    session = after(ROUND, TUBE)
    bar = session.saw.plant.bar
    assert (bar.length_m, bar.stock.material.name) == (pytest.approx(0.7), "S275JR")
    assert session.stock.material.name == "S235JR"
    assert [str(each) for each in lesson_of(session).wanting()] == [
        "The bar of this order must lie on the saw; that of the order before is still there."
    ]

    assert session.load_bar().taken
    assert (bar.length_m, bar.stock.material.name) == (pytest.approx(2.0), "S235JR")
    assert lesson_of(session).done


@pytest.mark.parametrize(("old", "new", "gap_mm"), [(ROUND, TUBE, 24.0), (TUBE, ROUND, 4.0)])
def test_jaws_stay_where_they_are_for_a_narrower_bar_and_are_slid_back_for_a_wider_one(
    old, new, gap_mm
):
    session = after(old, new)
    assert session.load_bar().taken

    for vise in ("cutting_vise", "shuttle_vise"):
        assert session.saw.read(f"{vise}.jaw_gap_mm") == pytest.approx(gap_mm)


def test_twins_of_a_session_have_the_old_bar_too():
    session = after(ROUND, TUBE)

    for twin in (twin_of(session), sound_twin_of(session)):
        assert twin.saw.plant.bar.stock == session.saw.plant.bar.stock


def test_an_old_bar_is_of_a_lesson_only(tmp_path):
    path = tmp_path / "mine.yaml"
    path.write_text(
        "title: Mine\nmode: practice\n"
        "stock: {material: S275JR, section: {shape: round, diameter_mm: 60}, length_mm: 3000}\n"
        "old_bar: {material: S275JR, section: {shape: round, diameter_mm: 60}, length_mm: 900}\n"
        "job: {length_mm: 230, wanted: 2}\n",
        encoding="utf-8",
    )
    with pytest.raises(ScenarioError, match="in a lesson only") as caught:
        read(str(path))
    assert str(caught.value.where).startswith(f"{path}:4:")
