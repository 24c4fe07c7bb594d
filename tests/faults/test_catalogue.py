"""Every fault of the catalogue: it can be put in, it shows on the machine, and it can be put right."""

from collections import Counter
from itertools import combinations

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Family, Who, Wreck
from sim.faults.forms import seized, spoilt
from sim.pilot.autopilot import as_found, power_up
from sim.pilot.reference_jobs import REFERENCE_JOBS
from sim.plant.harm.consequences import KINDS
from sim.scenario.scenario import HiddenFault
from sim.session.hands.table import locked_out_to_mend
from sim.session.opening import session_for
from sim.signals import DEAD, LIVE

LEAST = 44
JOBS = tuple(REFERENCE_JOBS)
# Nothing but the catalogue's own words may tell who mends electrics, oil and guards.
NEVER_BY_THE_OPERATOR = (Family.SENSOR, Family.ACTUATOR)


def opened(job, *names):
    """Return a session on a reference job with faults in it."""
    faults = tuple(HiddenFault(name=name) for name in names)
    scenario = REFERENCE_JOBS[job].scenario()
    return session_for(scenario.model_copy(update={"faults": faults}), nonce="")


def wreck(session):
    right = {line.name: line.setting for line in session.card}
    return Wreck(session.saw.plant, session.saw.bus, right)


def jobs_that_can_have(name):
    return [job for job in JOBS if opened(job, name).faults.still_wrong()]


@pytest.mark.parametrize("vise", ["cutting", "shuttle"])
@pytest.mark.parametrize("power", [True, False])
def test_a_jaw_that_ran_out_in_vain_clamps_after_it_was_put_right(vise, power):
    name, key = f"{vise}-jaw-far", f"{vise}_vise.clamp"
    session = opened(jobs_that_can_have(f"{vise}-jaw-far")[0], name)
    power_up(session)
    session.press(key)
    session.advance(10)
    jaw = getattr(session.saw.plant, f"{vise}_vise")
    assert jaw.jaw.position > session.machine.jaw_gap_m
    assert not jaw.clamped
    if not power:
        session.release(key)
        session.release("supply.isolator")
    session.put_right(name)
    if not power:
        assert jaw.back
        power_up(session)
    session.press(key)  # whoever went to the jaw let it go
    session.advance(5)

    assert jaw.clamped
    assert jaw.jaw.position == pytest.approx(session.machine.jaw_gap_m)
    assert session.faults.still_wrong() == ()


def test_putting_a_jaw_right_that_stands_right_lets_no_bar_go():
    session = opened(JOBS[0])
    power_up(session)
    session.hold("cutting_vise.clamp", 5)
    session.put_right("cutting-jaw-far")

    assert session.saw.plant.cutting_vise.clamped


@pytest.mark.parametrize("job", JOBS)
def test_what_a_saw_cannot_have_is_never_believed_of_it(job):
    """A diagnosis tries every fault of the catalogue: one that a bar cannot have changes nothing on it."""
    never = [each.name for each in CATALOGUE.values() if not each.possible(wreck(opened(job)))]

    assert [name for name in never if opened(job, name).faults.still_wrong()] == []


def test_there_are_faults_enough_of_every_family():
    families = Counter(fault.family for fault in CATALOGUE.values())

    assert len(CATALOGUE) >= LEAST
    assert set(families) == set(Family)
    assert min(families.values()) >= 5


@pytest.mark.sampled(6)
@pytest.mark.parametrize("name", CATALOGUE)
def test_a_fault_can_be_put_in_and_put_right_on_some_job(name):
    jobs = jobs_that_can_have(name)

    assert jobs
    for job in jobs:
        session = opened(job, name)
        sound = opened(job)
        session.faults.mend(CATALOGUE[name])
        assert session.faults.still_wrong() == ()
        for setting in ("bar", "settings", "signals"):
            left, right = session.saw.state()[setting], sound.saw.state()[setting]
            assert left == right or _differ(left, right) <= {"B12", "B11"}


def _differ(left, right):
    """The names whose values differ, rounding apart."""
    pairs = left.items() if isinstance(left, dict) else enumerate(left)
    return {
        key for key, value in pairs
        if value != right[key]
        and not (isinstance(value, float) and value == pytest.approx(right[key], abs=1e-6))
    }  # fmt: skip


@pytest.mark.parametrize("name", CATALOGUE)
def test_a_sound_machine_has_no_fault_and_a_remedy_for_it_does_no_harm(name):
    for job in JOBS:
        session = opened(job)
        assert not CATALOGUE[name].present(wreck(session))
        CATALOGUE[name].mend(wreck(session))
        session.saw.bus.settle()
        outcome = as_found(session, 1)

        assert outcome.finished
        assert session.tally.good == 1
        assert session.saw.consequences == []


@pytest.mark.slow
@pytest.mark.parametrize("job", ["posts"])
def test_any_two_faults_can_be_there_together_and_are_put_right_one_by_one(job):
    able = [name for name in CATALOGUE if opened(job, name).faults.still_wrong()]
    apart = set()
    for first, second in combinations(able, 2):
        session = opened(job, first, second)
        there = {fault.name for fault in session.faults.still_wrong()}
        if there != {first, second}:
            apart.add((first, second))
            continue
        session.faults.mend(CATALOGUE[first])
        if {fault.name for fault in session.faults.still_wrong()} - {second}:
            pytest.fail(f"{first} stays when it is mended beside {second}")

    # What sits on the same screw, wire, jaw or band cannot be wrong in two ways at once.
    assert apart == SAME_THING


SAME_THING = {
    ("stop-from-below", "length-without-kerf"),
    ("head-down-dead", "head-down-held"),
    ("tension-low", "tension-high"),
    ("clamp-lever-open", "clamp-screw-tight"),
    ("clamp-screw-loose", "clamp-screw-tight"),
    ("lower-valve-shut", "lower-valve-open"),
    ("band-worn", "band-one-sided"),
    ("band-worn", "band-stripped"),
    ("band-one-sided", "band-stripped"),
    ("coolant-weak", "coolant-strong"),
}


# Kinds of harm that a fault may lead to; none where it does not stand here. Stumps of stripped teeth,
# blunt teeth, and a head that oil carries all give chips below the least: the teeth rub; stumps run off.
CAN_COST = {
    "plunger-on-the-land": {"bar-into-band"},
    "height-stop-low": {"bar-into-band"},
    "cutting-clamping-low": {"bar-slipped", "cut-out-of-square"},
    "cutting-clamping-high": {"tube-crushed"},
    "shuttle-clamping-low": {"bar-slipped"},
    "guide-arm-far": {"cut-out-of-square"},
    "guide-arm-slack": {"arm-drifted", "band-uncovered"},
    "feed-valve-wide": {"teeth-stripped", "chips-packed", "teeth-rubbed", "cut-out-of-square"},
    "air-in-the-oil": {"descent-jerky", "chips-packed", "teeth-stripped", "cut-out-of-square"},
    "index-plunger-out": {"cut-out-of-square"},
    "clamp-lever-open": {"cut-out-of-square"},
    "clamp-screw-loose": {"cut-out-of-square"},
    "clamp-screw-tight": {"cut-out-of-square"},
    "lift-throttle-shut": {"dived-through", "teeth-stripped", "cut-out-of-square", "teeth-rubbed"},
    "cutting-jaw-far": {"finger-room"},
    "shuttle-jaw-far": {"finger-room"},
    "back-rail-in-way": {"back-rail-cut"},
    "bundle-clamp-up": {"bar-slipped", "cut-out-of-square"},
    "arm-left-up": {"arm-struck"},
    "wash-hose-open": {"coolant-poor", "spill"},
    "band-untracked": {"cut-out-of-square"},
    "brush-backed-off": {"chips-packed", "teeth-stripped", "cut-out-of-square"},
    "band-inside-out": {"band-rubbed"},
    "head-up-stuck": {"bar-into-band"},
    "cutting-release-coil-wire": {
        "bar-scored"
    },  # the shuttle is sent through a vise that does not open
    "cutting-release-valve-shut": {"bar-scored"},
    "cutting-clamped-stuck": {"bar-snatched"},
    "band-turns-wire": {"cut-dry"},
    "lower-valve-open": {"bar-snatched", "teeth-pressed"},
    "coolant-pump-jammed": {"cut-dry"},
    "variator-motor-dead": {"teeth-stripped", "cut-out-of-square", "teeth-rubbed"},
    "belt-worn": {"band-stalled"},
    "guides-worn": {"cut-out-of-square"},
    "rollers-stiff": {"bar-slipped", "bar-scored"},
    "cutting-jaws-oily": {"bar-slipped", "cut-out-of-square"},
    "nozzle-blocked": {"cut-dry"},
    "band-motor-fuse": {"overload-trip"},
    "phase-lost": {"overload-trip"},
    "relay-set-low": {"overload-trip"},
    "band-worn": {
        "cut-out-of-square",
        "teeth-rubbed",
        "teeth-stripped",  # one blunt tooth in a thin wall takes the force of the head alone
    },
    "band-one-sided": {"cut-out-of-square"},
    "band-stripped": {"cut-out-of-square", "teeth-rubbed"},
    "band-too-coarse": {"teeth-stripped", "cut-out-of-square"},
    "brush-worn": {"chips-packed", "teeth-stripped", "cut-out-of-square"},
    "coolant-weak": {"coolant-poor"},
    "coolant-strong": {"coolant-poor"},
    "coolant-out": {"cut-dry"},
    "shuttle-clamping-high": {"tube-crushed"},
    "band-turns-dead": {"cut-dry"},
    "coolant-coil-wire": {"cut-dry"},
    "lining-glazed": {"band-stalled"},
    "shuttle-jaws-oily": {"bar-slipped"},
    "shuttle-vise-leaks": {"bar-slipped"},
    "coolant-hose-split": {"coolant-poor", "spill"},
    "bar-bent": {"cut-out-of-square"},
}


def test_only_faults_of_the_catalogue_are_expected_to_cost_anything():
    assert set(CAN_COST) <= set(CATALOGUE)


@pytest.mark.parametrize("name", CATALOGUE)
def test_a_fault_costs_what_it_is_expected_to_cost_and_no_more(name):
    can_cost = CAN_COST.get(name, set())
    assert can_cost <= set(KINDS)
    for job in jobs_that_can_have(name):
        session = opened(job, name)
        as_found(session, 3)
        harm = {c.kind for c in session.saw.consequences}
        assert harm <= can_cost, job


@pytest.mark.parametrize("name", CATALOGUE)
def test_a_row_says_in_whole_words_what_is_wrong_and_what_to_do(name):
    fault = CATALOGUE[name]

    assert str(fault.title)[0].isupper()
    assert str(fault.changes)[0].islower()
    assert str(fault.remedy)[0].isupper()
    assert not str(fault.title).endswith(".")
    assert not str(fault.changes).endswith(".")
    assert str(fault.remedy).endswith(".")
    assert 0 < fault.minutes <= 60
    assert "lock out" not in str(fault.remedy).lower()  # done by acts of its own, before the remedy
    if fault.family in NEVER_BY_THE_OPERATOR:
        assert fault.who is Who.MAINTENANCE
        assert locked_out_to_mend(fault)


def test_a_broken_wire_and_a_stuck_valve_differ_at_the_coil():
    wire, valve = opened("posts", "raise-coil-wire"), opened("posts", "lower-valve-shut")
    for session in (wire, valve):
        session.press("supply.isolator")
        for key in ("supply.reset", "supply.control_on"):
            session.press(key)
            session.release(key)
    wire.press("head.raise")
    valve.press("head.lower")

    assert (wire.saw.bus.driven("Y11"), wire.saw.bus.seen["Y11"]) == (True, False)
    assert (valve.saw.bus.driven("Y12"), valve.saw.bus.seen["Y12"]) == (True, True)


def test_mending_a_wire_leaves_another_fault_on_the_same_wire_alone():
    session = opened("posts")
    there = wreck(session)
    dead, live = spoilt("B11", DEAD), spoilt("B11", LIVE)
    dead["apply"](there)
    live["mend"](there)

    assert dead["present"](there)
    assert not live["present"](there)


def test_a_valve_that_comes_loose_follows_its_wire_at_once():
    session = opened("posts")
    power_up(session)  # no pump turns that is not fed
    there = wreck(session)
    stuck = seized("Q3", at=False)
    stuck["apply"](there)
    session.saw.bus.drive("Q3", True)
    session.saw.bus.settle()
    dry = session.saw.plant.coolant.pump
    stuck["mend"](there)

    assert (dry, session.saw.plant.coolant.pump) == (False, True)


@pytest.mark.parametrize(
    ("wire", "dead", "tag"),
    [
        ("cutting-back-wire", "cutting-back-dead", "B31"),
        ("bar-sensor-wire", "bar-sensor-dead", "B53"),
        ("deviation-wire", "deviation-dead", "B52"),
    ],
)
def test_a_switch_that_is_dead_itself_shows_no_lamp_and_one_with_a_broken_wire_does(
    wire, dead, tag
):
    broken, itself = opened("posts", wire).saw.bus, opened("posts", dead).saw.bus

    assert not broken.seen[tag]
    assert not itself.seen[tag]
    assert broken.driven(tag)
    assert not itself.driven(tag)


def test_a_scale_that_was_zeroed_wrong_reads_right_and_cuts_short_by_a_kerf():
    session = opened("posts", "scale-zeroed-wrong")
    kerf_m = session.machine.kerf_m
    as_found(session, 2)
    pieces = [cut for cut in session.saw.cuts if not cut.squaring]

    assert pieces
    for cut in pieces:
        assert cut.length_m == pytest.approx(session.order.piece_m - kerf_m)
    assert session.saw.read("shuttle.stop_mm") == pytest.approx(
        1000.0 * (session.order.piece_m + kerf_m)
    )

    session.faults.mend(CATALOGUE["scale-zeroed-wrong"])

    assert session.saw.plant.shuttle.stop_m == pytest.approx(session.order.piece_m + kerf_m)
