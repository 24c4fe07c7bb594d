"""A verified lock-out means no energy and no way to move: every state of what stores energy, both saws.

What stores energy is put into every combination of its states: air, the oil of both vises and of the
lift, the head at four heights and on its prop, the bar on its rollers, isolator and padlocks. Wherever the
lock-out is verified there is no energy, and wherever one thing is wanting it is not verified. Where it is
verified every key, every command of the controller, every force and every hidden cause is tried, and
nothing moves. The spring of the band and the mass of the head stay where they are: they are no motion by
themselves, and the acts that let them out ask for more (see `sim.session.hands`).
"""

from itertools import product

import pytest

from sim.control.actions import ACTIONS
from sim.control.interlocks import PERMISSIVES, REACTIONS
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Wreck
from sim.plant.padlocks import AIR_COCK, ISOLATOR, Padlocks
from sim.plant.set_points import SET_POINTS
from sim.scenario.machines import shipped_machine
from sim.session.lockout import AUTHORISED, Lockout
from sim.signals import BY_KEY, INPUTS, OUTPUTS
from tests.hands import STAIR_ROD, Hands

SAWS = ("harbour-saw", "quay-saw")
HEAD_AT = ("bed", "bar", "between", "top", "on the hand pump", "prop")
RELIEFS = tuple(product(("shut", "open"), repeat=3))  # cutting vise, shuttle vise, lift
NO_AIR_PA = 0.05e5


def _saw(name):
    return Hands(STAIR_ROD, shipped_machine(name))


def _put_head(hands, where):
    """Have the head at a height, with oil under its piston, as keys or the hand pump leave it."""
    plant, machine = hands.saw.plant, hands.machine
    head = plant.head
    height_m = {
        "bed": machine.head_bottom_m, "bar": plant.bar.work_top_m, "between": 0.1, "on the hand pump": 0.1,
        "top": head.stop_m, "prop": machine.prop_m,
    }[where]  # fmt: skip
    if where == "bed":
        plant.bar.length_m = 0.0
    head.place.put(machine.head_top_m if where == "prop" else height_m)
    if where == "prop":
        head.prop = "in"
        head.place.put(height_m)
    head.obstacles.settle()
    head.lift.filled = True
    head.lift.pumped = where == "on the hand pump"
    head.feel()


def _standing(saw, where, *, clamped):
    """Return hands at a saw that was shut down with something in each of its stores."""
    hands = _saw(saw)
    hands.set_up()
    if clamped:
        hands.clamp_bar()
    hands.release("supply.isolator")
    _put_head(hands, where)
    return hands


def energies(plant):
    """What is stored, or fed, that moves something when it is let go; empty where nothing is."""
    stored = {
        "400 V": plant.power.live,
        "24 V": plant.power.control,
        "air": plant.supply.air_pa > NO_AIR_PA,
        "oil of the pump": plant.supply.oil,
        "oil of the cutting vise": plant.cutting_vise.pressure_pa > 0.0,
        "oil of the shuttle vise": plant.shuttle_vise.pressure_pa > 0.0,
        "oil of the lift": plant.head.oil_pa > 0.0,
        "the head": not plant.head.rests or plant.head.place.moving,
        "the band": plant.band.turning or plant.band.motor.position > 0.0,
        "the bar": plant.bar.length_m > 0.0 and plant.supports.chock == "out",
    }
    return {name for name, there in stored.items() if there}


def places(plant):
    """Where everything is that can move."""
    return (
        plant.head.place.position, plant.shuttle.place.position, plant.cutting_vise.jaw.position,
        plant.shuttle_vise.jaw.position, plant.band.motor.position, plant.band.dial.position,
        plant.bar.front_m, plant.cutting_vise.clamped, plant.shuttle_vise.clamped, plant.coolant.flowing,
    )  # fmt: skip


def _locked(
    hands, reliefs, *, cock="shut", vented=True, chock="in", isolator="off", locks=(True, True)
):
    """Do of a lock-out what is asked for, and try to verify it; return it."""
    if isolator == "on":
        hands.press("supply.isolator")
    hands.saw.set("supply.air_cock", cock)
    for name, screw in zip(("cutting_vise", "shuttle_vise", "head"), reliefs, strict=True):
        hands.saw.set(f"{name}.oil_relief", screw)
    hands.saw.set("infeed.bar_chock", chock)
    if vented:
        hands.wait(600)
    lockout = Lockout(hands.saw, AUTHORISED)
    lockout.tell()
    for device, mine in zip((ISOLATOR, AIR_COCK), locks, strict=True):
        if mine:
            lockout.lock(device)
    lockout.verify()
    return lockout


WANTING = {  # one thing left out of the order, or done badly
    "nothing": {},
    "the air cock is open": {"cock": "open"},
    "the air is not out yet": {"vented": False},
    "the bar can roll": {"chock": "out"},
    "the isolator is on": {"isolator": "on"},
    "no padlock on the air cock": {"locks": (True, False)},
    "no padlock on the isolator": {"locks": (False, True)},
}
UNSEEN = {"no padlock on the air cock", "no padlock on the isolator"}  # no energy shows them


def _all_states(saw):
    """Yield every state of the stores, what is wanting, and what came of the lock-out there."""
    for where, clamped, reliefs in product(HEAD_AT, (False, True), RELIEFS):
        for wanting, how in WANTING.items():
            hands = _standing(saw, where, clamped=clamped)
            lockout = _locked(hands, reliefs, **how)
            yield (where, clamped, reliefs, wanting), lockout, energies(hands.saw.plant)


@pytest.mark.parametrize("saw", SAWS)
def test_it_is_verified_where_no_energy_is_and_nowhere_else(saw):
    verified = wanting = 0
    for state, lockout, left in _all_states(saw):
        if lockout.verified:
            assert left == set(), state
            no_bar = state[0] == "bed"
            assert state[-1] == "nothing" or (no_bar and state[-1] == "the bar can roll")
            verified += 1
        else:
            assert left or state[-1] in UNSEEN, (state, lockout.wanting)
            wanting += 1
    assert verified > 20
    assert wanting > 500


def _lied_about(saw):
    """Return the energies that are left somewhere in a lock-out that is called verified."""
    return {each for _, lockout, left in _all_states(saw) if lockout.verified for each in left}


# That the isolator is on is seen by verifying, too: the saw answers a start.
LIES = [
    ("_stores", lambda _self: iter(()), {"oil of the lift", "oil of the cutting vise", "oil of the shuttle vise", "the head", "the bar"}),
    ("wants", lambda self: self._stores(), {"air"}),
]  # fmt: skip


@pytest.mark.parametrize(("name", "lie", "left"), LIES)
def test_a_lock_out_that_overlooks_something_is_found(monkeypatch, name, lie, left):
    monkeypatch.setattr(Lockout, name, lie)

    assert left <= _lied_about("quay-saw")


def test_a_padlock_that_holds_nothing_is_found(monkeypatch):
    monkeypatch.setattr(Padlocks, "on", lambda _self, _device: False)

    with pytest.raises(AssertionError, match=r"supply\.isolator"):
        test_no_key_no_palms_no_mode_and_no_force_moves_anything("harbour-saw", "bar")


def _verified(saw, where="bar"):
    hands = _standing(saw, where, clamped=True)
    lockout = _locked(hands, ("open", "open", "open"))
    assert lockout.verified
    assert energies(hands.saw.plant) == set()
    return hands, lockout


def _is_still(hands, lockout, before, told):
    hands.saw.bus.settle()
    hands.wait(60)
    assert places(hands.saw.plant) == before, told
    assert energies(hands.saw.plant) == set(), told
    assert lockout.verified, told


@pytest.mark.parametrize("where", ["bar", "bed", "prop"])
@pytest.mark.parametrize("saw", SAWS)
def test_no_key_no_palms_no_mode_and_no_force_moves_anything(saw, where):
    hands, lockout = _verified(saw, where)
    before = places(hands.saw.plant)
    for forced in ({}, dict.fromkeys(OUTPUTS, True), dict.fromkeys(INPUTS, True), dict.fromkeys(INPUTS, False),
                   {**dict.fromkeys(INPUTS, True), **dict.fromkeys(OUTPUTS, True)}):  # fmt: skip
        for tag in (*INPUTS, *OUTPUTS):
            hands.saw.bus.force(tag, forced.get(tag))
        _is_still(hands, lockout, before, tuple(forced))
        for key in BY_KEY:
            hands.press(key)
            hands.wait(1)
            hands.release(key)
            _is_still(hands, lockout, before, (tuple(forced), key))
        for action in ACTIONS:
            if action.palms:
                hands.palms(action.name)
            _is_still(hands, lockout, before, (tuple(forced), action.name))


@pytest.mark.parametrize("saw", SAWS)
def test_each_wire_forced_alone_and_each_jumper_moves_nothing(saw):
    hands, lockout = _verified(saw)
    before = places(hands.saw.plant)
    hands.saw.controller.bypassed.update((*PERMISSIVES, *REACTIONS))
    for tag in (*INPUTS, *OUTPUTS):
        for value in (True, False):
            hands.saw.bus.force(tag, value)
            for key in ("supply.reset", "supply.control_on"):
                hands.tap(key)
            hands.palms("band.run")
            hands.palms("job.start")
            _is_still(hands, lockout, before, (tag, value))
            hands.saw.bus.force(tag, None)


@pytest.mark.parametrize("saw", SAWS)
def test_no_cause_of_the_catalogue_gives_it_energy(saw):
    """One that is a setting may take the lock-out with it, as a chock that is out does; it brings no energy."""
    for name, fault in CATALOGUE.items():
        hands, lockout = _verified(saw)
        before = places(hands.saw.plant)
        fault.apply(Wreck(hands.saw.plant, hands.saw.bus, {}))
        hands.saw.bus.settle()
        hands.saw.after_hand()
        for key in ("supply.reset", "supply.control_on"):
            hands.tap(key)
        hands.palms("band.run")
        hands.wait(60)
        moved = places(hands.saw.plant) != before
        if lockout.verified:
            assert not moved, name
            assert energies(hands.saw.plant) == set(), name
        else:
            assert energies(hands.saw.plant), name


@pytest.mark.parametrize("saw", SAWS)
@pytest.mark.parametrize("where", ["bar", "prop"])
def test_no_setting_that_brings_energy_back_leaves_it_standing(saw, where):
    ended = set()
    for point in SET_POINTS:
        limits = () if point.words else point.limits(shipped_machine(saw))
        for setting in point.words or limits:
            hands, lockout = _verified(saw, where)
            if not point.fitted(hands.machine) or hands.saw.blocked(point.name, setting):
                continue
            hands.saw.set(point.name, setting)
            hands.wait(60)
            if lockout.verified:
                assert energies(hands.saw.plant) == set(), (point.name, setting)
            else:
                ended.add(point.name)
    assert "infeed.bar_chock" in ended
