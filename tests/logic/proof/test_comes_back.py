"""Nothing moves when a supply comes back: each alone and several together, on both saws, from every step.

The supplies: mains (which the isolator stands for, behind which the metal cannot tell who took it), 24 V,
air, an undervoltage that drops the safety relay, and a phase. Each set of them goes while something
moves, and comes back in both orders. A head that its own weight takes down is left out: what comes back
does not move it. By hand a key that is held down moves its part for as long as a hand is on it, and is let
go here before the supplies come back.
"""

from functools import partial
from itertools import combinations

import pytest

from sim.scenario.machines import shipped_machine
from sim.signals import OUTPUTS
from tests.control.steps import STEPS
from tests.hands import STAIR_ROD, Hands

SAWS = ("harbour-saw", "quay-saw")
GONE_S = 20.0
LOOKS_S = 30.0


def _fuse(whole):
    return lambda hands: hands.saw.plant.power.spoil(lambda power: setattr(power, "fuse_24", whole))


def _phase(lost):
    return lambda hands: hands.saw.plant.power.spoil(
        lambda power: setattr(power, "phase_lost", lost)
    )


def _air(bar):
    return lambda hands: hands.saw.plant.set_air(bar * 1e5)


SUPPLIES = {  # how it goes, and how it comes back
    "mains": (
        lambda hands: hands.release("supply.isolator"),
        lambda hands: hands.press("supply.isolator"),
    ),
    "24 V": (_fuse(False), _fuse(True)),
    "air": (_air(0.0), _air(6.0)),
    "undervoltage": (lambda hands: hands.saw.plant.power.sag(), lambda _hands: None),
    "a phase": (_phase(True), _phase(False)),
}
SETS = [
    order
    for count in (1, 2, 5)
    for each in combinations(SUPPLIES, count)
    for order in dict.fromkeys((each, each[::-1]))
    if each != ("a phase",)  # what runs goes on on two phases, watched by its relay; see below
]


def _saw(name):
    return Hands(STAIR_ROD, shipped_machine(name))


def _do(hands, act):
    act(hands)
    hands.saw.bus.settle()


def _places(hands):
    """Where everything is that a supply can move; the height of the head stands for itself."""
    plant = hands.saw.plant
    return (
        plant.shuttle.place.position, plant.cutting_vise.jaw.position, plant.shuttle_vise.jaw.position,
        plant.bar.front_m, plant.band.motor.position, plant.band.dial.position,
        plant.cutting_vise.clamped, plant.shuttle_vise.clamped, plant.coolant.flowing,
    )  # fmt: skip


def _nothing_moves_when_they_come_back(hands, names):
    for name in names:
        _do(hands, SUPPLIES[name][0])
    hands.wait(GONE_S)
    hands.release(*sorted(hands.saw.held - {"supply.isolator"}))
    for name in names:
        before, head_m = _places(hands), hands.saw.plant.head.place.position
        state = hands.job
        _do(hands, SUPPLIES[name][1])
        hands.wait(LOOKS_S)
        assert _places(hands) == before, (names, name)
        assert hands.saw.plant.head.place.position <= head_m, (names, name)
        assert hands.job == state, (names, name)


@pytest.mark.parametrize("saw", SAWS)
@pytest.mark.parametrize("step", STEPS)
def test_nothing_of_a_job_moves_when_supplies_come_back(saw, step):
    for names in SETS:
        hands = _saw(saw)
        hands.begin_and_get_to(step)
        _nothing_moves_when_they_come_back(hands, names)


def _goes_back_in_the_cut(hands):
    return hands.step == "LOWER_HEAD" and hands.sees("Y22")


@pytest.mark.parametrize("saw", SAWS)
def test_a_shuttle_on_its_way_back_in_the_cut_stays_where_it_is(saw):
    for names in SETS:
        hands = _saw(saw)
        hands.begin_job("straight", wanted=3)
        hands.until(partial(_goes_back_in_the_cut, hands))
        _nothing_moves_when_they_come_back(hands, names)


@pytest.mark.parametrize("saw", SAWS)
@pytest.mark.parametrize("stop", ["job.hold", "job.stop", "job.complete"])
@pytest.mark.parametrize("step", ["SHUTTLE_FORWARD", "LOWER_HEAD", "RAISE_HEAD"])
def test_nothing_of_a_job_that_ends_moves_when_supplies_come_back(saw, stop, step):
    for names in SETS:
        hands = _saw(saw)
        hands.begin_and_get_to(step)
        hands.tap(stop)
        _nothing_moves_when_they_come_back(hands, names)


@pytest.mark.parametrize("saw", SAWS)
@pytest.mark.parametrize(
    "key", ["shuttle.back", "cutting_vise.clamp", "shuttle_vise.release", "head.lower"]
)
def test_nothing_by_hand_moves_when_supplies_come_back(saw, key):
    for names in SETS:
        hands = _saw(saw)
        hands.set_up()
        hands.press(key)
        hands.wait(0.1)
        _nothing_moves_when_they_come_back(hands, names)


@pytest.mark.parametrize("saw", SAWS)
def test_a_motor_that_hums_on_two_phases_does_not_set_off_on_the_third(saw):
    hands = _saw(saw)
    hands.press("supply.isolator")
    _do(hands, _phase(True))
    hands.power_on()
    hands.palms("band.run")
    hands.wait(1.0)
    plant = hands.saw.plant
    assert "Q2" in plant.hums
    assert plant.band.stalled
    _do(hands, _phase(False))
    hands.wait(LOOKS_S)

    assert not plant.supply.oil
    assert not plant.band.turning


ELECTRIC = [names for names in SETS if set(names) & {"mains", "24 V", "undervoltage"}]


@pytest.mark.parametrize("saw", SAWS)
def test_no_more_does_it_with_every_output_forced_on(saw):
    """The metal alone keeps them off: K0 has dropped, and the controller has no say in that."""
    for names in ELECTRIC:
        hands = _saw(saw)
        hands.begin_and_get_to("SHUTTLE_FORWARD")
        for name in names:
            _do(hands, SUPPLIES[name][0])
        hands.wait(GONE_S)
        for tag in (*OUTPUTS, "K0", "Q0", "S1", "S9", "S5"):
            hands.saw.bus.force(tag, True)
        hands.saw.bus.settle()
        for name in names:
            before, head_m = _places(hands), hands.saw.plant.head.place.position
            _do(hands, SUPPLIES[name][1])
            hands.wait(LOOKS_S)
            assert _places(hands) == before, (names, name)
            assert hands.saw.plant.head.place.position <= head_m, (names, name)
