"""Force and jumper: what they do, where they may be used, and that nobody can forget them."""

import pytest

from sim.control.interlocks import PERMISSIVES, REACTIONS
from sim.debrief.debrief import debrief, finish
from sim.errors import CommandError
from sim.logic.bench.force import BY_NAME, NUMBERS, force, jumper, rows_named
from sim.pilot.autopilot import make_ready, power_up
from sim.session.opening import open_recorded, open_session
from sim.session.playback.replay import replay
from sim.session.why import against
from sim.text.typed.console import play
from sim.text.typed.language import parse


def test_a_forced_switch_is_seen_forced_whatever_the_machine_does():
    session = open_session("rail-posts")
    power_up(session)
    session.bench.force("B11", True)

    assert session.saw.bus.seen["B11"] is True
    assert session.saw.bus.driven("B11") is False
    assert not any("B11" in str(text) for text in against(session.saw, "job.start"))

    session.bench.force("B11", None)
    assert session.saw.bus.seen["B11"] is False


def test_a_force_lies_over_a_fault_and_leaves_it_there():
    session = open_session("stands-with-the-head-down")
    bus = session.saw.bus
    spoiled = [tag for tag in bus.seen if bus.spoiled(tag)]
    assert spoiled
    for tag in spoiled:
        before = bus.seen[tag]
        bus.force(tag, not before)
        assert bus.seen[tag] is not before
        assert bus.spoiled(tag)
        bus.force(tag, None)
        assert bus.seen[tag] is before


def test_a_jumper_lets_the_job_begin_with_the_head_down_and_takes_nothing_else_away():
    session = open_session("rail-posts")
    power_up(session)
    session.set("band.guard", "open")
    before = against(session.saw, "job.start")

    session.bench.jumper("I4")

    left = against(session.saw, "job.start")
    assert [str(text) for text in before if text not in left] == [
        "B11: the head is not up at its height stop. Raise the head."
    ]
    assert any("B41" in str(text) for text in left)
    session.bench.jumper("I4", on=False)
    assert against(session.saw, "job.start") == before


def test_the_banner_stays_until_the_last_thing_is_out():
    session = open_session("rail-posts")
    assert not session.bench.banner

    session.bench.force("B61", True)
    session.bench.jumper("job.start B11")
    assert "B61 is forced on" in str(session.bench.banner)
    assert "I4 in part" in str(session.bench.banner)
    session.bench.force("B61", None)
    assert "B61" not in str(session.bench.banner)
    session.bench.jumper("job.start B11", on=False)

    assert not session.bench.banner


def test_a_jumper_over_a_reaction_keeps_the_band_running_when_the_guard_opens():
    session = open_session("rail-posts")
    power_up(session)
    make_ready(session)
    session.palms("band.run")
    session.advance(3)
    session.bench.jumper("I3")

    session.set("band.guard", "open")

    assert session.saw.controller.machines["band"].state == "RUNNING"


@pytest.mark.parametrize("mode", ["drill", "assessment"])
def test_in_a_drill_it_is_refused_and_fails_the_run(mode):
    session = open_session("posts-come-out-short")
    session.scenario = session.scenario.model_copy(update={"mode": mode})

    answer = session.bench.force("B11", True)

    assert not answer.taken
    assert session.saw.bus.forced == {}
    assert not session.bench.jumper("I4").taken
    assert session.saw.controller.bypassed == set()
    found = debrief(session)
    assert found.score == 0
    assert str(answer.message) in [str(act) for act in found.critical]
    assert [row.fine for row in found.safety] == [False, False]


def test_what_is_still_in_at_the_end_stands_in_the_safety_record():
    session = open_session("rail-posts")
    session.bench.force("B61", True)

    safety = debrief(session).safety

    assert [row.fine for row in safety] == [False, False]
    assert str(safety[-1].said).startswith("At the end: WARNING: B61 is forced on")
    session.bench.force("B61", None)
    assert [row.fine for row in debrief(session).safety] == [False, True]


def test_a_record_with_forces_and_jumpers_plays_again_to_the_last_bit(tmp_path):
    path = tmp_path / "r.jsonl"
    session = open_recorded("rail-posts", path)
    power_up(session)
    session.bench.force("B11", True)
    session.bench.jumper("head.lower B33")
    session.advance(2)
    session.bench.force("B53", False)
    finish(session)

    played = replay(path)

    assert played.same
    assert session.bench.banner
    assert played.session.bench.banner == session.bench.banner


def test_two_saws_that_differ_by_a_jumper_do_not_have_one_digest():
    plain, jumpered = open_session("rail-posts"), open_session("rail-posts")
    jumpered.bench.jumper("I4")

    assert plain.saw.digest() != jumpered.saw.digest()


def test_the_terminal_takes_force_and_jumper_and_shows_the_banner():
    told: list[str] = []
    script = ["force b11 on", "jumper i4", "look", "force B11 out", "jumper I4 out", "look"]

    code = play(open_session("rail-posts"), script, told.append, interactive=False)

    text = " ".join(line.strip() for line in told)
    assert code == 0
    assert "Now: WARNING: B11 is forced on." in text
    assert text.count("WARNING: B11 is forced on; a jumper is over I4.") >= 2
    assert text.rindex("The jumper over I4 is out") > text.rindex("jumper is over I4")


def test_every_row_has_a_name_of_its_own_and_every_number_names_its_rows():
    assert set(BY_NAME.values()) == {*PERMISSIVES, *REACTIONS}
    assert len(BY_NAME) == len(PERMISSIVES) + len(REACTIONS)
    assert sum(len(rows_named(number)) for number in NUMBERS) == len(BY_NAME)
    for name, row in BY_NAME.items():
        assert rows_named(name) == (row,)


@pytest.mark.parametrize("name", ["I99", "head.lower", "head.lower B99", ""])
def test_a_name_that_is_none_is_refused_with_what_to_give(name):
    with pytest.raises(CommandError, match="no interlock is called"):
        open_session("rail-posts").bench.jumper(name)


# The power path ---------------------------------------------------------------------------------

PATH_WIRES = ["Q0", "S1", "S9", "S2", "S5", "K0", "Q1", "Q2", "Q3", "Y12"]


@pytest.mark.parametrize("tag", PATH_WIRES)
@pytest.mark.parametrize("value", [True, False])
def test_a_force_beside_the_power_path_says_that_it_feeds_nothing(tag, value):
    session = open_session("rail-posts")

    assert "this feeds nothing that it does not feed" in str(force(session.saw, tag, value))


def test_a_force_elsewhere_does_not_say_so():
    assert "power path" not in str(force(open_session("rail-posts").saw, "B11", True))


@pytest.mark.parametrize("word", ["force {} on", "jumper {}"])
@pytest.mark.parametrize("part", ["Q11", "q12", "G1", "F24", "F11"])
def test_what_is_on_no_wire_of_the_controller_is_neither_forced_nor_jumpered(word, part):
    with pytest.raises(CommandError, match="part of the power path, which is metal"):
        parse(word.format(part))


@pytest.mark.parametrize("part", ["Q0", "S1", "S9", "K0", "Q1"])
def test_a_jumper_over_a_part_of_the_power_path_is_refused_with_why(part):
    session = open_session("rail-posts")
    for jumpering in (lambda: parse(f"jumper {part}"), lambda: session.bench.jumper(part)):
        with pytest.raises(CommandError, match="takes rows out of the table of interlocks"):
            jumpering()


def test_an_interlock_of_metal_has_no_row_to_take_out():
    with pytest.raises(CommandError, match="I17 is carried out by locks and contacts"):
        parse("jumper I17")


@pytest.mark.parametrize(("name", "says"), [("I1", True), ("I2", True), ("supply.control_on K0", True), ("I4", False)])  # fmt: skip
def test_a_jumper_over_rows_of_the_supply_says_that_it_feeds_nothing(name, says):
    said = str(jumper(open_session("rail-posts").saw, name, on=True))

    assert ("this feeds nothing" in said) is says
