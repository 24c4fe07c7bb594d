"""Whatever a hand sets and whatever is worn: no exception, no hang, and no bad end unexplained."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sim.plant.bar import Stock
from sim.plant.set_points import SET_POINTS
from sim.scenario.machines import first_machine
from sim.trade.sections import Bundle, Rectangle, Round, RoundTube, Square, SquareTube
from sim.units import MM

SKIPPED = {"shuttle.stop_mm"}  # the length that is asked for
SETTING = st.one_of(
    *(
        st.tuples(
            st.just(row.name.replace(".", "__", 1)),
            st.sampled_from(row.words) if row.words else st.floats(*row.limits(first_machine())),
        )
        for row in SET_POINTS
        if row.name not in SKIPPED
    )
)
BARS = st.sampled_from([
    Round(60 * MM), Square(50 * MM), Rectangle(60 * MM, 20 * MM), RoundTube(60 * MM, 3 * MM),
    SquareTube(50 * MM, 4 * MM), Bundle(Round(20 * MM), 3),
])  # fmt: skip
SPOILS = st.sampled_from([
    lambda p: None,
    lambda p: p.blade.set_condition("worn"),
    lambda p: p.blade.set_condition("one-sided"),
    lambda p: p.blade.set_condition("stripped"),
    lambda p: p.band.set_damage(0.9),
    lambda p: p.band.wear_belt(0.05),
    lambda p: p.band.relay.lose_phase(True),
    lambda p: p.band.tension.weaken(0.3),
    lambda p: p.band.guide.wear(8.0),
    lambda p: p.cutting_vise.spoil(0.2),
    lambda p: p.shuttle_vise.oil_jaws(0.03),
    lambda p: p.shuttle.drag_bar(0.6),
    lambda p: p.shuttle.throttle(0.2),
    lambda p: setattr(p.shuttle, "play_m", 3e-3),
    lambda p: p.head.leak(1e-4),
    lambda p: p.head.let_air_in(1.0),
    lambda p: p.head.ride_ring(3),
    lambda p: p.head.choke(0.2),
    lambda p: p.coolant.block(0.7),
])  # fmt: skip


@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(BARS, st.lists(SETTING, min_size=1, max_size=6), SPOILS)
def test_a_mis_set_saw_ends_with_an_explanation(mis_set, steel, bar, mis_settings, spoil):
    hands = mis_set(Stock(steel, bar, 3.0, 12 * MM), dict(mis_settings), spoil)
    saw = hands.saw

    tried = saw.controller.waits_for()
    explained = bool(hands.harm or hands.reason or tried or hands.refused)
    off = [cut for cut in saw.cuts[1:] if abs(cut.length_m - 0.1) > 0.2 * MM]
    crooked = [cut for cut in saw.cuts if cut.out_of_square > 0.01]
    assert hands.job == "COMPLETE" or explained, (hands.states, hands.step)
    assert not off or hands.harm or saw.plant.shuttle.play_m > 1e-3
    assert not crooked or hands.harm


def test_the_same_mis_set_job_ends_the_same_to_the_last_bit(mis_set, steel):
    def digest():
        settings_ = {
            "head__lift_throttle_turns": 0.1, "band__guide_lock": "slack", "band__brush_mm": 0,
            "cutting_vise__pressure_bar": 7, "coolant__wash_down": "open",
        }  # fmt: skip
        stock = Stock(steel, Round(60 * MM), 3.0, 12 * MM)
        return mis_set(stock, settings_, lambda p: p.blade.set_condition("one-sided")).saw.digest()

    assert digest() == digest()


@pytest.mark.parametrize("row", SET_POINTS, ids=lambda row: row.name)
def test_every_set_point_reads_back_what_was_set(hands, row):
    low, high = row.limits(hands.machine)
    wanted = list(row.words) if row.words else [low, (low + high) / 2, high]
    if row.name == "head.prop":
        hands.saw.plant.head.place.put(hands.machine.head_top_m)  # else it does not go in
    for setting in wanted:
        if (row.name, setting) == ("band.relay", "set"):
            continue  # hot or not, see test_relay
        if hands.saw.plant.site.wrecked:
            break  # the screw was taken as far as it goes
        hands.saw.set(row.name, setting)
        read = hands.saw.read(row.name)
        assert read == (setting if row.words else pytest.approx(setting, abs=row.step / 2 + 1e-9))
