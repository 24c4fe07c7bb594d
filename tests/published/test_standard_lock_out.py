"""The lock-out against 29 CFR 1910.147 and what ISO 14118 says of stored energy.

FOUND, on public pages that quote the rule: paragraphs (d) and (e), whose steps "shall be done in the
following sequence", and (d)(5), that stored energy is relieved, disconnected or restrained, and that
verifying goes on where it can come back. MEMORY: (c)(9), that affected people are told before and after;
(f)(1), testing with power; (f)(3), a lock of one's own in a group. Common practice, no source: that the
starts are tried with the key in the mode switch, since with it out none answers on a live saw either.
"""

import pytest

from sim.session.opening import open_session
from tests.safety.playing import do
from tests.safety.states import LOCKED_OUT, PROVE_DEAD, RAISED, STEPS, WAY_BACK, WHOLE, locked_out

# What each step takes off or makes sure of; left out, the rest is no lock-out.
PARAGRAPHS = {
    "tell": "(c)(9)", "isolate": "(d)(3)", "lock": "(d)(4)", "vent": "(d)(3), (d)(5)",
    "lock air": "(d)(4)", "cutting": "(d)(5)", "shuttle": "(d)(5)", "lift": "(d)(5)",
    "prop": "(d)(5)", "key in": "(d)(6)", "verify": "(d)(6)",
}  # fmt: skip
CLAMPED = {"power": (*RAISED, "hold cutting_vise.clamp 4", "hold shuttle_vise.clamp 4")}


def after(lines, saw=""):
    session = open_session("rail-posts", machine=saw)
    for line in lines:
        do(session, line)
        assert not session.over, line
    return session


@pytest.mark.parametrize("saw", ["harbour-saw", "quay-saw"])
def test_all_of_it_in_order_is_a_verified_lock_out(saw):
    assert after(locked_out(instead=CLAMPED), saw).lockout.verified


@pytest.mark.parametrize("left_out", PARAGRAPHS)
def test_no_step_can_be_left_out(left_out):
    # The quay's saw: its head holds without power, so that only the prop secures it.
    without = {"prop": ("prop", "lift", "vent", "lock air")}.get(left_out, (left_out,))

    assert not after(locked_out(without=without, instead=CLAMPED), "quay-saw").lockout.verified


@pytest.mark.parametrize("left_out", sorted(set(PARAGRAPHS) - {"verify", "prop"}))
def test_a_step_that_was_left_out_can_be_made_good_and_all_is_verified_then(left_out):
    lines = [*locked_out(without=(left_out,), instead=CLAMPED)]
    if left_out == "isolate":
        lines.append("release supply.isolator")
        lines += STEPS["lock"]
    lines += STEPS[left_out]
    if left_out == "vent":
        lines += STEPS["lock air"]

    assert after([*lines, "lockout verify"]).lockout.verified


def test_energy_is_taken_off_after_the_locks_are_on_and_verified_last():
    # FOUND: (d)(5) follows (d)(4), and (d)(6) comes last: verified before, nothing is verified.
    early = (*locked_out(without=("cutting", "verify"), instead=CLAMPED), "lockout verify")
    session = after(early)
    assert not session.lockout.verified
    do(session, "set cutting_vise.oil_relief open")

    assert not session.lockout.verified
    do(session, "lockout verify")
    assert session.lockout.verified


@pytest.mark.parametrize(
    "undoes",
    [
        (*WHOLE, "lockout inspect", "lockout clear", "lockout unlock-air"),
        (
            *WHOLE,
            "lockout inspect",
            "lockout clear",
            "lockout unlock-air",
            "set supply.air_cock open",
        ),
        (
            *WHOLE,
            "lockout inspect",
            "lockout clear",
            "lockout unlock-air",
            "lockout unlock-isolator",
        ),
        ("set head.oil_relief shut", "set head.hand_pump 20"),
    ],
    ids=["air lock off", "air back", "isolator lock off", "oil pumped under the head"],
)
def test_what_comes_back_ends_it(undoes):
    # FOUND: (d)(5)(ii) where energy can come back, verifying goes on.
    assert not after((*LOCKED_OUT, *undoes)).lockout.verified


@pytest.mark.parametrize("line", ["press supply.isolator", "set supply.air_cock open"])
def test_locked_off_it_cannot_be_put_back_by_hand(line):
    # FOUND: (d)(4)(ii) the device is held in a safe or off position.
    session = after(LOCKED_OUT)
    do(session, line)

    assert session.lockout.verified
    assert not session.saw.bus.driven("Q0")
    assert session.saw.read("supply.air_cock") == "shut"


@pytest.mark.parametrize("saw", ["harbour-saw", "quay-saw"])
def test_no_start_moves_anything_under_it(saw):
    # FOUND: (d)(6) the starts are tried, and put back to neutral.
    session = after(LOCKED_OUT, saw)
    before = everything(session)
    for key in ("supply.reset", "supply.control_on", "job.reset", "job.clear"):
        session.tap(key)
    for key in ("band.run", "job.start"):
        session.palms(key)
    for key in (
        "head.raise",
        "head.lower",
        "cutting_vise.clamp",
        "shuttle_vise.release",
        "shuttle.back",
    ):
        session.hold(key, 5)
    session.advance(8 * 3600)

    assert everything(session) == before
    assert session.lockout.verified


def everything(session):
    plant = session.saw.plant
    return (
        plant.head.place.position,
        plant.shuttle.place.position,
        plant.cutting_vise.jaw.position,
        plant.shuttle_vise.jaw.position,
        plant.band.motor.position,
        plant.bar.front_m,
    )


def test_gravity_oil_and_air_are_off_as_the_gauges_show_them():
    # FOUND (ISO 14118, scope): stored energy, gravity among it.
    plant = after(locked_out(instead=CLAMPED)).saw.plant

    assert plant.head.propped
    assert plant.supply.air_pa < 0.05e5
    assert plant.cutting_vise.pressure_pa == 0
    assert plant.shuttle_vise.pressure_pa == 0


def test_the_way_back_ends_with_everybody_told_and_power_on_and_nothing_started():
    # FOUND: (e)(1) to (e)(3); MEMORY: (c)(9).
    session = after((*LOCKED_OUT, *WAY_BACK))

    assert session.saw.plant.supply.oil
    assert session.saw.plant.band.speed_m_s == 0
    assert not session.lockout.locked


@pytest.mark.parametrize("skipped", ["lockout inspect", "lockout clear"])
def test_no_lock_comes_off_before_the_saw_is_looked_over_and_people_are_clear(skipped):
    # FOUND: (e)(1) and (e)(2) come before (e)(3).
    lines = [line for line in WAY_BACK[:10] if line != skipped]

    assert after((*LOCKED_OUT, *lines)).lockout.locked


def test_after_a_test_with_power_all_of_it_is_done_again():
    # MEMORY: (f)(1).
    session = after((*LOCKED_OUT, *WAY_BACK))
    assert not session.lockout.verified
    for line in ("release supply.isolator", "lockout lock-isolator", "lockout verify"):
        do(session, line)
    assert not session.lockout.verified
    session = after((*LOCKED_OUT, *WAY_BACK, *locked_out(without=("power",))))

    assert session.lockout.verified


def test_proving_dead_belongs_to_electrical_work_and_to_who_is_qualified():
    # MEMORY: 29 CFR 1910.333(b)(2)(iv)(B); the shipped scenario's person is not qualified.
    session = after(LOCKED_OUT)
    for line in PROVE_DEAD:
        do(session, line)

    assert session.done.lockout_steps[-1].against
