"""No bar passes a closed jaw: it slips, is scraped, or the shuttle stalls."""

from dataclasses import replace
from math import inf, pi
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.plant.bar import Stock
from sim.scenario.machines import first_machine
from sim.trade.clamping import Gives, what_gives
from sim.trade.sections import Round
from sim.units import BAR, MM

STATES = 150  # random walks of up to eight acts each
HAIR_M = 2e-6
STEP_S = 0.1
VISES = ("cutting_vise", "shuttle_vise")

KEYS = (
    *(f"{vise}.{way}" for vise in VISES for way in ("clamp", "release")),
    "shuttle.back", "shuttle.forward",
)  # fmt: skip


def an_act(chance):
    """A key held for some time, or something set."""
    kind = chance.random()
    if kind < 0.75:
        return chance.choice(KEYS), chance.choice([0.3, 1.0, 3.0, 3.0])
    vise = chance.choice(VISES)
    return chance.choice([
        ("chock", chance.choice(["in", "out"])),
        ("stop", chance.uniform(20, 600)),
        (f"{vise}.pressure_bar", chance.uniform(5, 60)),
        (f"{vise}.jaw_gap_mm", chance.uniform(0, 12)),
    ])  # fmt: skip


def at_rest_in(plant):
    """What holds bar and jaws now, and where they are."""
    machine, bar, shuttle = plant.site.machine, plant.bar, plant.shuttle
    cutting, vise = plant.cutting_vise, plant.shuttle_vise
    rear_m = shuttle.rear_edge_m
    return {
        "cutting": (cutting.clamped, cutting.shut),
        "shuttle": (vise.clamped, vise.shut),
        "chock": plant.supports.chock,
        "front": bar.front_m,
        "rear": bar.rear_m,
        "jaws": (rear_m, rear_m + machine.jaw_length_m),
        "holds": (cutting.holding_n, vise.holding_n),
    }


def overlap_m(a_m, b_m):
    return max(0.0, min(a_m[1], b_m[1]) - max(a_m[0], b_m[0]))


def hold_to(plant, before, after):
    """Find the bar no further than jaws and chock let it."""
    moved_m = after["front"] - before["front"]
    zone_m = (-plant.site.machine.cutting_jaw_m, 0.0)
    if before["chock"] == after["chock"] == "in":
        assert abs(moved_m) <= HAIR_M
    if before["cutting"] == after["cutting"] == (False, True):
        inside = [overlap_m((at["rear"], at["front"]), zone_m) for at in (before, after)]
        assert inside[1] <= max(inside[0], HAIR_M) + HAIR_M, "through the shut cutting vise"
        if inside[0] > HAIR_M:
            assert abs(moved_m) <= HAIR_M, "pinched, and moved"
    if before["cutting"] == after["cutting"] == (True, False) and abs(moved_m) > HAIR_M:
        cutting_n, shuttle_n = before["holds"]
        assert before["shuttle"][0] or before["shuttle"][1]
        assert before["shuttle"][1] or shuttle_n > cutting_n, "dragged by what holds less"
        assert cutting_n < plant.site.machine.drive_n
    if before["shuttle"] == after["shuttle"] == (False, True):
        inside = [overlap_m((at["rear"], at["front"]), at["jaws"]) for at in (before, after)]
        assert inside[1] <= max(inside[0], HAIR_M) + HAIR_M, "through the shut shuttle vise"
        past = [at["rear"] >= at["jaws"][1] - HAIR_M for at in (before, after)]
        assert past[0] is past[1], "from one side of the shut shuttle vise to the other"


def walk(hands, away_mm, acts):
    """Do a walk of acts, and hold every step of it to what jaws and chock let."""
    plant = hands.saw.plant
    plant.shuttle.wind_to(600 * MM)
    plant.shuttle.place.put(away_mm * MM)
    for act, much in acts:
        if act == "chock":
            plant.supports.set_chock(much)
            plant.shuttle.feel()
        elif act == "stop":
            before = at_rest_in(plant)
            plant.shuttle.wind_to(much * MM)
            hold_to(plant, before, at_rest_in(plant))
        elif act.endswith("pressure_bar"):
            hands.saw.set(act, much)
        elif act.endswith("gap_mm"):
            if getattr(plant, act.partition(".")[0]).back:
                hands.saw.set(act, much)
        else:
            hands.press(act)
            for _ in range(round(much / STEP_S) + 1):
                before = at_rest_in(plant)
                hands.wait(STEP_S)
                hold_to(plant, before, at_rest_in(plant))
            hands.release(act)


def test_no_bar_passes_a_closed_jaw(new_hands, steel):
    came_to = set()
    for seed in range(STATES):
        chance = Random(seed)
        machine = replace(first_machine(), drive_n=chance.choice([600.0, 4000.0]))
        front_mm = chance.choice([-600, -300, -200, -150, -125, -110, -80, -30, 0, 12])
        length_mm = chance.choice([60, 100, 200, 300, 3000])
        hands = new_hands(Stock(steel, Round(30 * MM), length_mm * MM, front_mm * MM), machine)
        hands.set_up()
        clamped = chance.sample(VISES, chance.randrange(3))
        acts = [*((f"{vise}.clamp", 3.0) for vise in clamped), *(an_act(chance) for _ in range(6))]
        try:
            walk(hands, chance.choice([0, 40, 150, 300]), acts)
        except AssertionError as failed:
            raise AssertionError(f"seed {seed}: {failed}") from failed
        came_to.update(hands.harm)
    assert {"bar-scored", "shuttle-stalled"} <= came_to


def carried(new_hands, steel, *acts, front_mm=-300.0, **settings):
    hands = new_hands(Stock(steel, Round(30 * MM), 3.0, front_mm * MM))
    hands.set_up()
    hands.set(shuttle__stop_mm=300, **settings)
    hands.hold_down("shuttle.back", 3)
    for act in acts:
        hands.hold_down(act, 3)
    return hands


def test_a_bar_stops_with_its_end_before_shut_jaws_and_the_shuttle_jaws_slide(
    new_hands, steel, told
):
    hands = carried(
        new_hands,
        steel,
        "cutting_vise.clamp",
        "shuttle_vise.clamp",
        "shuttle.forward",
        front_mm=-200,
    )

    assert hands.saw.plant.cutting_vise.shut
    assert hands.saw.plant.bar.front_m == pytest.approx(-0.120, abs=1e-6)
    assert hands.saw.plant.shuttle.place.position == 0.0
    assert "shut jaws" in told(hands, "bar-scored")


def test_the_shuttle_stalls_where_its_jaws_hold_more_than_it_pulls(new_hands, steel, told):
    hands = carried(
        new_hands, steel, "cutting_vise.clamp", "shuttle_vise.clamp", front_mm=-200,
        shuttle_vise__pressure_bar=60,
    )  # fmt: skip
    hands.saw.plant.shuttle_vise.oil_jaws(0.3)
    hands.hold_down("shuttle.forward", 3)

    assert hands.saw.plant.bar.front_m == pytest.approx(-0.120, abs=1e-6)
    assert hands.saw.plant.shuttle.place.position > 0.1
    assert "shut jaws" in told(hands, "shuttle-stalled")


def test_the_shuttle_goes_on_when_the_jaws_before_the_bar_are_opened(new_hands, steel):
    hands = carried(
        new_hands, steel, "cutting_vise.clamp", "shuttle_vise.clamp", front_mm=-200,
        shuttle_vise__pressure_bar=60,
    )  # fmt: skip
    hands.saw.plant.shuttle_vise.oil_jaws(0.3)
    hands.hold_down("shuttle.forward", 3)
    hands.hold_down("cutting_vise.release", 3)
    hands.hold_down("shuttle.forward", 3)

    assert hands.saw.plant.bar.front_m > 0.0


def test_a_weakly_clamped_cutting_vise_lets_the_bar_be_dragged_and_scored(hands, told):
    hands.set_up()
    hands.set(cutting_vise__pressure_bar=10, shuttle_vise__pressure_bar=30)
    hands.clamp_bar()
    front_m = hands.saw.plant.bar.front_m
    hands.hold_down("shuttle.back", 0.2)

    assert hands.saw.plant.bar.front_m == pytest.approx(front_m - 0.030)
    assert "held 540 N" in told(hands, "bar-scored")


@pytest.mark.parametrize(("share", "moves"), [(0.97, False), (1.03, True)])
def test_of_two_vises_that_hold_the_bar_the_stronger_has_it_and_the_rollers_help_the_one_at_rest(
    hands, share, moves
):
    hands.set_up()
    per_bar_n = hands.machine.piston_m2 * BAR * hands.machine.jaw_efficiency
    rests_n = 2 * hands.machine.jaw_friction * 10 * per_bar_n
    rests_n += hands.machine.roller_drag * hands.saw.plant.bar.mass_kg * 9.80665
    pulls_bar = share * rests_n / (2 * hands.machine.jaw_friction * per_bar_n)
    hands.set(cutting_vise__pressure_bar=10, shuttle_vise__pressure_bar=30)
    hands.clamp_bar()
    hands.set(shuttle_vise__pressure_bar=pulls_bar)
    front_m = hands.saw.plant.bar.front_m
    hands.hold_down("shuttle.back", 0.2)

    assert (hands.saw.plant.bar.front_m < front_m) is moves
    assert hands.harm == ["bar-scored"]


@pytest.mark.parametrize(("share", "stalls"), [(0.97, False), (1.03, True)])
def test_rollers_that_drag_with_more_than_the_shuttle_pulls_stall_it(
    new_hands, steel, share, stalls
):
    hands = new_hands(Stock(steel, Round(100 * MM), 6.0, 12 * MM))
    hands.set_up()
    weight_n = 7850 * pi * (50 * MM) ** 2 * 6.0 * 9.80665
    drive_n = hands.machine.drive_n
    hands.set(shuttle_vise__pressure_bar=60)
    hands.clamp("shuttle_vise")
    hands.saw.plant.shuttle_vise.oil_jaws(1.0)
    hands.saw.plant.shuttle.drag_bar(share * drive_n / weight_n)
    hands.hold_down("shuttle.back", 0.2)

    assert (hands.harm == ["shuttle-stalled"]) is stalls
    assert (hands.saw.plant.shuttle.place.position > 0.0) is not stalls
    if stalls:
        drags_n = hands.saw.consequences[0].detail["drag"]
        assert drags_n == pytest.approx(1.03 * drive_n, rel=1e-3)


def test_a_shut_shuttle_vise_pushes_a_short_bar_by_its_end(new_hands, steel):
    hands = new_hands(Stock(steel, Round(30 * MM), 0.1, -160 * MM))  # it ends at -260
    hands.set_up()
    hands.set(shuttle__stop_mm=300)
    hands.hold_down("shuttle.back", 3)
    hands.hold_down("shuttle_vise.clamp", 3)
    hands.hold_down("shuttle.forward", 3)

    assert hands.saw.plant.shuttle_vise.shut
    assert hands.saw.plant.bar.rear_m == pytest.approx(-0.150, abs=1e-6)


def test_shut_jaws_that_are_wound_forward_push_a_bar_from_where_they_meet_its_end(new_hands, steel):
    hands = new_hands(Stock(steel, Round(30 * MM), 0.1, -160 * MM))  # it ends at -260
    hands.set_up()
    hands.set(shuttle__stop_mm=300)
    hands.hold_down("shuttle.back", 3)
    hands.hold_down("shuttle_vise.clamp", 3)
    bar, shuttle = hands.saw.plant.bar, hands.saw.plant.shuttle
    hands.set(shuttle__stop_mm=150)  # its jaws 300 mm behind the band
    assert bar.rear_m == pytest.approx(-0.260, abs=1e-6)
    hands.set(shuttle__stop_mm=80)

    assert shuttle.place.position == pytest.approx(80 * MM, abs=1e-6)
    assert bar.rear_m == pytest.approx(-(shuttle.place.position + 0.150), abs=1e-6)


@given(
    st.floats(1, 1e4),
    st.one_of(st.floats(0, 1e4), st.just(inf)),
    st.one_of(st.floats(0, 2e4), st.just(inf)),
)
def test_the_weakest_link_gives(drive_n, grip_n, held_n):
    gives = what_gives(drive_n, grip_n, held_n)
    of = {Gives.BAR: held_n, Gives.JAWS: grip_n, Gives.DRIVE: drive_n}

    assert of[gives] == min(drive_n, grip_n, held_n)
