"""A part exchanged for a spare on trial: what goes with the old part, what it costs, and what is told of it."""

import pytest

from sim.diagnosis.matrix_from_saw import with_faults
from sim.errors import CommandError
from sim.faults.catalogue import EVERY
from sim.faults.spares import SPARES
from sim.pilot.careful import careful
from sim.pilot.locking import lock_out
from sim.records.acts import Swapped
from sim.scenario.scenario import HiddenFault
from sim.session.hands.hazards import Opens
from sim.session.hands.table import last_step_to_mend, to_mend, to_swap
from sim.session.hands.zones import Demand, Zone
from sim.session.opening import open_recorded, open_session, read, session_for
from sim.session.playback.replay import play, replay
from sim.text.typed.acts import perform
from sim.text.typed.language import parse
from sim.wiring.loom import Is
from sim.words.speech import tell

DRILL = "stands-with-the-head-down"


def with_fault(*names):
    scenario, _ = read(DRILL)
    return session_for(
        scenario.model_copy(update={"faults": tuple(HiddenFault(name=each) for each in names)}),
        nonce="",
    )


def swap(session, part):
    with careful(session, to_swap(SPARES[part])):
        return session.swap(part)


def locked(session, part):
    """Lock out as the remedy of the part's longest work asks for."""
    spare = SPARES[part]
    lock_out(session, last_step_to_mend(spare.faults[0]), to_swap(spare))


@pytest.mark.parametrize(
    ("part", "goes", "stays"),
    [
        ("B12", "b12-no-contact", "head-down-wire"), ("B12", "head-down-dead", "head-down-held"),
        ("Y12", "lower-valve-shut", "y12-coil"), ("Y12", "y12-coil-open", "y12-channel"),
        ("B12-channel", "b12-channel", "b12-no-contact"), ("Q1", "q1-welded", "q1-back"),
        ("G1", "control-supply-weak", "g1-plus"), ("S3", "s3-stuck", "palm-key-wire"),
    ],
)  # fmt: skip
def test_what_was_wrong_in_the_old_part_goes_and_nothing_beside_it(part, goes, stays):
    said = []
    for name in (goes, stays):
        session = with_fault(name)
        assert session.faults.present(EVERY[name])
        said.append(swap(session, part).message)
        assert session.faults.present(EVERY[name]) is (name == stays)
        assert session.done.all[-1].put_right == () or name == goes
        assert [deed.cured for deed in session.done.all if deed.cured] == (
            [(goes,)] if name == goes else []
        )

    assert said[0] == said[1]  # only trying again tells
    assert "trying again tells" in tell(said[0])


@pytest.mark.parametrize("name", [name for name, fault in EVERY.items() if fault.spare in SPARES])
def test_every_fault_that_a_spare_stands_in_for_goes_with_it(name):
    session = open_session("rail-posts")
    fault = EVERY[name]
    session.faults.put_in(fault)
    if not session.faults.present(fault):
        pytest.skip("this machine cannot have it")

    assert session.faults.mend_all(SPARES[fault.spare].faults) == (name,)
    assert not session.faults.present(fault)


def test_every_valve_switch_relay_and_contactor_can_be_exchanged_and_the_isolator_never():
    loom = open_session("rail-posts").machine.loom
    kinds = (Is.VALVE, Is.SWITCH, Is.SENSOR, Is.RELAY, Is.CONTACTOR, Is.SUPPLY, Is.SAFETY_RELAY)

    assert {each.tag for each in loom.devices if each.what in kinds} <= set(SPARES)
    assert "Q0" not in SPARES  # its line side stays live
    for spare in SPARES.values():
        reach = to_swap(spare)
        assert reach.demand is Demand.LOCKED_OUT
        assert reach.seconds >= max(fault.minutes for fault in spare.faults) * 60
        assert {to_mend(fault).zone for fault in spare.faults} == {reach.zone}
        in_oil = loom.by_tag[spare.tag].what is Is.VALVE and not spare.channel
        if in_oil:
            assert reach.opens not in (Opens.NOTHING, Opens.SPRING), spare.name
            assert reach.seconds >= 1800
        assert not spare.channel or reach.zone is Zone.CABINET


def test_it_takes_its_time_and_exposes_who_is_not_locked_out():
    session = with_fault("y12-coil-open")
    before = session.now_s
    session.swap("Y12")

    assert session.hands.exposures or session.saw.consequences

    session = with_fault("y12-coil-open")
    locked(session, "Y12")
    before = session.now_s
    assert session.swap("Y12").taken
    assert session.now_s - before == pytest.approx(1800)
    assert not session.hands.exposures
    assert not session.saw.consequences


def test_a_channel_is_moved_by_a_qualified_person_in_a_cabinet_that_is_proved_dead():
    scenario, _ = read(DRILL)
    session = session_for(scenario.model_copy(update={"role": "authorised"}), nonce="")
    lock_out(session, "verify", to_swap(SPARES["B12-channel"]))
    session.swap("B12-channel")

    assert list(session.hands.exposures_s()) == [Zone.CABINET]


def test_what_comes_and_goes_stays_away_once_its_part_was_exchanged():
    scenario, _ = read(DRILL)
    comes = {"name": "b12-no-contact", "intermittent": {"period_s": 100.0, "share": 0.2, "seed": 3}}
    session = session_for(
        scenario.model_copy(update={"faults": (HiddenFault.model_validate(comes),)}), nonce=""
    )
    session.advance(150)
    swap(session, "B12")

    assert session.faults.still_wrong() == ()


def test_a_part_that_the_saw_does_not_have_is_refused_with_the_nearest():
    session = open_session(DRILL)
    with pytest.raises(CommandError, match="Y12"):
        session.swap("Y112")
    assert session.done.swapped == []


def test_an_exchange_is_on_the_record_and_plays_again(tmp_path):
    path = tmp_path / "swap.jsonl"
    session = open_recorded(DRILL, path)
    swap(session, "B12")
    swap(session, "B12-channel")
    session.close()
    played = replay(path)

    assert b'"act":"swap"' in path.read_bytes()
    assert played.same
    assert played.session.done.swapped == ["B12", "B12-channel"]


@pytest.mark.parametrize(("cause", "left"), [("b12-no-contact", 0), ("b12-feed", 1)])
def test_it_is_lived_through_under_every_cause(cause, left):
    scenario, _ = read(DRILL)
    session = session_for(with_faults(scenario, (cause,)), nonce="")
    locked(session, "B12")
    play(session, Swapped(session.saw.clock.now_us, "B12"))

    assert len(session.faults.still_wrong()) == left


@pytest.mark.parametrize("cause", ["b12-no-contact", "head-down-wire"])
def test_who_names_a_part_that_was_exchanged_is_not_sent_to_mend_it(cause):
    session = with_fault(cause)  # whether it was the cause or not, the same is said
    assert "Hands go in" in str(perform(session, parse("diagnose b12-no-contact"))[0])
    swap(session, "B12")

    assert "Put it right" not in str(session.diagnose("b12-no-contact").message)
    said = str(perform(session, parse("diagnose b12-no-contact"))[0])
    assert said == "You have exchanged that part: prove it with a good piece."
    assert "fix" in str(perform(session, parse("diagnose b12-card"))[0])
