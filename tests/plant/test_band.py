"""The band: run-up, coasting, variator, and a pulley forced at rest."""

import pytest

from sim.plant.band import AT_SPEED, TURNS


def run(hands):
    hands.control_on()
    hands.palms("band.run")


def test_the_band_turns_and_is_at_speed_when_its_run_up_says(hands):
    run(hands)
    assert hands.until(lambda: hands.sees("B1")) == pytest.approx(TURNS * 1.2, abs=1e-6)
    assert hands.until(lambda: hands.sees("B2")) == pytest.approx(
        (AT_SPEED - TURNS) * 1.2, abs=2e-6
    )
    hands.wait(1)

    assert hands.saw.plant.band.speed_m_s == pytest.approx(20 / 60)


def test_the_band_coasts_down_and_stands(hands):
    run(hands)
    hands.wait(2)
    hands.tap("band.stop")
    assert hands.until(lambda: not hands.sees("B2")) == pytest.approx(0.2 * 3, abs=2e-6)
    assert hands.until(lambda: not hands.sees("B1")) == pytest.approx(0.75 * 3, abs=2e-6)
    hands.wait(1)

    assert hands.saw.plant.band.speed_m_s == 0.0


@pytest.mark.parametrize("damage", [0.0, 0.4])
def test_the_speed_below_which_the_monitor_is_said_to_see_rest_is_that_of_the_band_when_it_does(
    hands, damage
):
    band = hands.saw.plant.band
    band.set_damage(damage)
    run(hands)
    hands.wait(2)
    hands.tap("band.stop")
    hands.until(lambda: not hands.sees("B1"))

    assert band.speed_m_s == pytest.approx(band.monitor_m_s, rel=1e-5)
    assert 0.0 < band.monitor_m_s < band.dial.position


def test_the_variator_moves_only_while_its_key_is_down(hands):
    run(hands)
    hands.wait(2)
    hands.hold_down("band.faster", 4)
    assert hands.saw.plant.band.speed_m_s * 60 == pytest.approx(60)
    hands.wait(10)
    assert hands.saw.plant.band.speed_m_s * 60 == pytest.approx(60)
    hands.hold_down("band.slower", 1)

    assert hands.saw.plant.band.speed_m_s * 60 == pytest.approx(50)
    assert hands.harm == []


@pytest.mark.parametrize(("key", "m_min"), [("band.faster", 110), ("band.slower", 20)])
def test_the_variator_ends_at_its_limits(hands, key, m_min):
    run(hands)
    hands.wait(2)
    hands.hold_down("band.faster", 4)
    hands.hold_down(key, 60)

    assert hands.saw.plant.band.speed_m_s * 60 == pytest.approx(m_min)


def test_the_way_that_the_band_has_turned_is_the_sum_of_its_speed_over_time(hands):
    # DERIVED: added up in steps of 2 ms, over its run-up, a dial turned as it runs, and its coasting
    band, clock, summed_m = hands.saw.plant.band, hands.saw.clock, 0.0
    ways_m, sums_m = [band.way_m], [0.0]

    def go(seconds):
        nonlocal summed_m
        until_us = clock.now_us + round(seconds * 1e6)
        while clock.now_us < until_us:
            before_m_s, from_us = band.speed_m_s, clock.now_us
            hands.wait(0.002)
            summed_m += (before_m_s + band.speed_m_s) / 2.0 * (clock.now_us - from_us) / 1e6
        ways_m.append(band.way_m)
        sums_m.append(summed_m)

    run(hands)
    go(2)
    hands.press("band.faster")
    go(3)
    hands.release("band.faster")
    hands.tap("band.stop")
    go(4)

    assert band.speed_m_s == 0.0
    assert ways_m == pytest.approx(sums_m, rel=1e-9)


def test_both_keys_together_leave_the_variator_where_it_is(hands):
    run(hands)
    hands.wait(2)
    hands.press("band.faster")
    hands.wait(1)
    hands.press("band.slower")
    hands.wait(5)
    assert hands.saw.plant.band.speed_m_s * 60 == pytest.approx(30)
    hands.release("band.slower")
    hands.wait(1)

    assert hands.saw.plant.band.speed_m_s * 60 == pytest.approx(40)


@pytest.mark.parametrize("key", ["band.faster", "band.slower"])
def test_a_variator_forced_at_rest_damages_the_pulley_and_the_band_is_slower(new_hands, key):
    sound, forced = new_hands(), new_hands()
    forced.control_on()
    forced.hold_down(key, 2)
    assert forced.harm == ["pulley-damaged"]
    assert forced.saw.plant.band.dial.position * 60 == pytest.approx(20)
    forced.palms("band.run")
    run(sound)
    for hands in (sound, forced):
        hands.wait(3)

    damage = forced.saw.plant.band.damage
    assert damage > 0
    assert sound.saw.plant.band.damage == 0
    assert forced.saw.plant.band.speed_m_s == pytest.approx(
        sound.saw.plant.band.speed_m_s * (1 - damage / 2)
    )


def test_a_key_held_while_the_band_comes_to_rest_forces_the_pulley(hands):
    run(hands)
    hands.wait(2)
    hands.press("band.faster")
    hands.tap("band.stop")
    hands.wait(2)
    assert hands.harm == []
    hands.wait(2)

    assert hands.harm == ["pulley-damaged"]


def test_without_control_power_the_variator_cannot_be_forced(hands):
    hands.hold_down("band.faster", 2)

    assert hands.harm == []


def test_a_damaged_pulley_makes_the_band_late_at_speed_and_a_ruined_one_never_gets_there(new_hands):
    late = {}
    for damage in (0.0, 0.3, 0.6):
        hands = new_hands()
        hands.saw.plant.band.set_damage(damage)
        run(hands)
        hands.wait(0.5)
        hands.wait(5)
        late[damage] = hands.sees("B2")

    assert late == {0.0: True, 0.3: True, 0.6: False}


def test_a_pulley_forced_once_gets_the_band_to_its_speed_and_forced_twice_does_not(new_hands):
    at_speed = []
    for times in range(3):
        hands = new_hands()
        hands.control_on()
        for _ in range(times):
            hands.hold_down("band.faster", 2)
        hands.palms("band.run")
        hands.wait(6)
        at_speed.append(hands.sees("B2"))

    assert at_speed == [True, True, False]


def test_a_damaged_pulley_makes_the_cut_longer(new_hands):
    took_s = {}
    for damage in (0.0, 0.3):
        hands = new_hands()
        hands.begin_job("square", wanted=1)
        hands.saw.plant.band.set_damage(damage)
        hands.set(head__feed_valve_mm_min=250, head__feed_force_n=100)
        hands.until(lambda hands=hands: hands.saw.plant.head.cutting is not None)
        took_s[damage] = hands.until(lambda hands=hands: bool(hands.saw.cuts))

    assert took_s[0.3] == pytest.approx(took_s[0.0] / (1 - 0.15), rel=0.02)


def test_mending_the_pulley_gives_the_speed_back(hands):
    hands.saw.plant.band.set_damage(0.6)
    run(hands)
    hands.wait(3)
    assert not hands.sees("B2")
    hands.saw.plant.band.set_damage(0.0)
    hands.saw.bus.settle()

    assert hands.sees("B2")
    assert hands.saw.plant.band.speed_m_s == pytest.approx(20 / 60)
