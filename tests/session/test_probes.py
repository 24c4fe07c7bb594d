"""A meter with two probes in a session: what it tells, who may, what is refused, and what a plan has of it."""

import pytest

from sim.debrief.scoring import critical_acts, was_unsafe
from sim.diagnosis.causes import lived_as, metered, singles
from sim.diagnosis.matrix_from_saw import allowed, matrix_for
from sim.errors import CommandError
from sim.faults.catalogue import EVERY
from sim.pilot.careful import careful
from sim.scenario.scenario import HiddenFault
from sim.session.before.keys import power_up, raise_head
from sim.session.hands.table import to_look
from sim.session.hands.zones import Demand, Zone
from sim.session.inspections import find
from sim.session.inspections.probes import along
from sim.session.known import check_terminals, may_look
from sim.session.opening import open_session, read, session_for
from sim.text.typed.lists import wiring
from sim.words.speech import tell

DRILL = "stands-with-the-head-down"


def with_fault(name):
    scenario, _ = read(DRILL)
    return session_for(scenario.model_copy(update={"faults": (HiddenFault(name=name),)}), nonce="")


def found(session, look):
    return tell(session.inspect(look).message)


@pytest.mark.parametrize(
    ("fault", "dead_from"),
    [
        ("b12-feed", "B12:1"), ("b12-no-contact", "B12:4"), ("head-down-wire", "X2:43"),
        ("b12-card", "A3:11"), ("b12-channel", ""),
    ],
)  # fmt: skip
def test_the_volts_along_a_wire_end_where_it_is_broken(fault, dead_from):
    session = with_fault(fault)
    session.press("supply.isolator")
    session.advance(1)
    read_at = {end: found(session, f"volts {end}") for end in ("B12:1", "B12:4", "X2:43", "A3:11")}
    dead = [end for end, said in read_at.items() if "no voltage" in said]

    assert dead[:1] == ([dead_from] if dead_from else [])
    assert all("24 V" in said for end, said in read_at.items() if end not in dead)
    assert not session.saw.bus.seen["B12"]


def test_ohms_tell_a_burnt_coil_from_a_stuck_spool_and_are_no_reading_on_what_is_live():
    session = with_fault("y12-coil-open")
    assert "not joined" in found(session, "ohms Y12:1 Y12:2")
    assert "20 ohms" in found(session, "ohms y11:1 y11:2")
    assert "20 ohms" in found(with_fault("lower-valve-shut"), "ohms Y12:1 Y12:2")
    session.press("supply.isolator")
    session.advance(1)
    assert "no reading" in found(session, "ohms B12:1 B12:3")


def test_where_no_meter_is_allowed_nothing_is_probed_and_no_terminal_is_made_up():
    session = open_session(DRILL)

    assert not open_session("posts-come-out-short").inspect("volts A3:11").taken
    assert session.inspect("volts A3:11").taken
    with pytest.raises(CommandError, match="B12:5"):
        session.inspect("volts B12:5")
    for odd in ("volts", "ohms B12:1", "volts B12", "volts A:1 B:1 C:1", ""):
        assert find(odd) is None


def test_where_a_meter_is_allowed_both_probes_reach_every_terminal_of_the_wiring():
    session = with_fault("f25-1-2")
    session.press("supply.isolator")
    session.advance(1)
    loom = session.machine.loom

    assert "24 V" in found(session, "volts F25:1")
    assert "no voltage" in found(session, "volts F25:2")
    assert "24 V" in found(session, "volts F25:1 F25:2")  # across a blown fuse
    assert "no voltage" in found(session, "volts F24:1 F24:2")  # across a whole one
    assert "400 V" in found(session, "volts F14:2 F14:4")
    for end in loom.terminals:
        look = find(f"volts {end}")
        check_terminals(loom, look)
        assert may_look(session.scenario, look), end
        place = loom.by_tag[end.partition(":")[0]].place
        # The box of the console is opened as the cabinet is; all else outside has a zone of its own.
        assert (to_look(look).zone is Zone.CABINET) is (place in ("cabinet", "console")), end


def test_ohms_find_a_burnt_coil_of_a_main_contactor_and_a_pole_that_does_not_close():
    session = with_fault("q11-coil-open")
    assert "not joined" in found(session, "ohms Q11:A1 Q11:A2")
    assert "96 ohms" in found(session, "ohms Q12:A1 Q12:A2")
    assert "0 ohms" in found(session, "ohms F11:1 F11:2")
    assert "not joined" in found(with_fault("band-motor-fuse"), "ohms F11:1 F11:2")


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("volts F25:3", "terminals of F25 are F25:1, F25:2"), ("meter F25", "terminals of F25 are F25:1, F25:2"),
        ("meter A2", "wiring A2 lists"), ("volts B12:5", "are B12:1, B12:3, B12:4"), ("meter B1X", "there is no device called 'B1X'; the nearest name is B1"), ("volts F55:1", "nearest name is F25:1"),
    ],
)  # fmt: skip
def test_a_wrong_terminal_is_answered_with_those_of_the_device(typed, told):
    with pytest.raises(CommandError) as refused:
        open_session("rail-posts").inspect(typed)

    assert told in tell(refused.value.message) + tell(refused.value.what_to_do)


def test_a_plan_reads_at_the_fuses_and_the_supply_behind_what_it_suspects():
    scenario, _ = read(DRILL)
    loom = with_fault("b12-feed").machine.loom
    names = {row.name for row in allowed(scenario)}

    assert [each.tag for each in loom.fed_by("B12")] == ["F25", "F24", "G1"]
    assert [each.tag for each in loom.fed_by("Y12")] == ["F24", "G1"]  # by K0 and the card
    assert loom.fed_by("M1") == ()
    assert {"volts F25:1", "volts F25:2", "volts F24:2", "volts G1:+"} <= names


def test_a_drill_may_have_a_fuse_metered_and_then_its_failure_is_thought_of_and_found():
    path, _ = read("both-palms-and-a-no")
    looks = ("console-lamps", "fuses", "meter F25", "meter X28", "last-piece")
    scenario = path.model_copy(
        update={"inspections": looks, "faults": (HiddenFault(name="f25-1-2"),), "reported": None}
    )
    assert set(metered(scenario)) == {"F25", "X28"}
    matrix = matrix_for(scenario)
    rows = {cause.faults: cause.outcomes for cause in matrix.causes}
    at = {column.name: place for place, column in enumerate(matrix.inspections)}
    off = [p for p, c in enumerate(matrix.inspections) if not c.name.startswith(("volts", "ohms"))]

    assert [rows["f25-1-2",][p] for p in off] == [rows["x28-0",][p] for p in off]
    assert rows["f25-1-2",] != rows["x28-0",]
    assert any(
        rows["f25-1-2",][place] != rows["x28-0",][place]
        for name, place in at.items() if name.startswith("volts F25:2")
    )  # fmt: skip


def test_a_live_cabinet_is_a_zone_and_so_is_the_part_where_the_terminal_is():
    assert to_look(find("volts A3:11")).zone is Zone.CABINET
    assert to_look(find("volts B12:4")).zone is Zone.UNDER_HEAD
    assert to_look(find("volts B12:4")).wants_rest
    assert to_look(find("ohms Y31:1 Y31:2")).zone is Zone.CUTTING_JAWS
    assert to_look(find("volts A3:11")).demand is Demand.OWN_CONTROL


def test_the_causes_of_a_drill_are_those_of_the_wiring_that_it_has_metered():
    scenario, _ = read(DRILL)
    thought_of = {name for cause in singles(scenario) for name in cause}

    assert set(metered(scenario)) == {"B11", "B12", "Y11", "Y12"}
    assert {"b12-card", "y12-coil-open", "y11-to-24"} <= thought_of
    assert not {"b21-card", "q1-coil-open"} & thought_of
    assert metered(scenario.model_copy(update={"role": "authorised"})) == ()
    names = [row.name for row in allowed(scenario)]
    assert len(names) == len(set(names))
    assert {"volts B12:4", "ohms Y12:1 Y12:2"} <= set(names)


def test_what_a_meter_would_tell_of_a_cause_that_is_alike_is_what_it_tells_when_that_is_lived():
    scenario, _ = read(DRILL)
    scenario = scenario.model_copy(
        update={"inspections": ("head-switches", "meter B12", "last-piece")}
    )
    matrix = matrix_for(scenario)
    rows = {cause.faults: cause.outcomes for cause in matrix.causes}
    at = {column.name: place for place, column in enumerate(matrix.inspections)}
    tried = 0
    for (name,) in (cause for cause in rows if len(cause) == 1):
        fault = EVERY[name]
        if fault.tag != "B12" or lived_as((name,)) == (name,):
            continue
        session = with_fault(name)
        for look in along(session.machine.loom, "B12"):
            said = tell(find(look).look(session.saw))
            assert rows[name,][at[look]] == said, (name, look)
            tried += 1
    assert tried > 20
    assert len({rows[name] for name in rows if name and EVERY[name[0]].tag == "B12"}) >= 5


def test_readings_tell_apart_what_no_lamp_can():
    scenario, _ = read(DRILL)
    matrix = matrix_for(scenario)
    rows = {cause.faults: cause.outcomes for cause in matrix.causes}
    lamps = [
        p for p, c in enumerate(matrix.inspections) if not c.name.startswith(("volts", "ohms"))
    ]
    alike = [("head-down-wire",), ("b12-card",), ("b12-no-contact",), ("b12-channel",)]

    assert len({tuple(rows[cause][p] for p in lamps) for cause in alike}) == 1
    assert len({rows[cause] for cause in alike}) == 4


@pytest.mark.parametrize(
    ("fault", "shown"), [("head-up-wire", "24 V"), ("b11-no-contact", "no voltage")]
)
def test_the_head_up_switch_is_metered_at_the_ring_with_the_head_at_its_height_stop(fault, shown):
    """On its prop the head would be off the switch, and a good contact read as a bad one."""
    session = with_fault(fault)
    power_up(session)
    raise_head(session)
    reach = to_look(find("volts B11:4"))

    with careful(session, reach):
        assert session.saw.bus.driven("B11")
        assert session.hands.safe(reach)
        assert shown in found(session, "volts B11:4")

    assert session.done.unsafe == []
    assert not session.hands.safe(reach)  # the key is in the switch again
    assert to_look(find("volts B11:1 X21:1")).zone is Zone.UNDER_HEAD


def test_at_the_ring_a_saw_that_anybody_can_start_exposes_and_a_head_that_comes_down_strikes():
    session = with_fault("head-up-wire")
    power_up(session)
    raise_head(session)
    session.inspect("volts B11:4")
    exposed = session.hands.exposures_s()
    harmless = list(session.saw.consequences)
    session.saw.clock.after(10_000_000, lambda: session.saw.press("head.lower"))
    session.inspect("volts B11:4")

    assert list(exposed) == [Zone.SWING]
    assert harmless == []
    assert [each.row.name for each in session.saw.consequences][:1] == ["struck-swing"]


def test_ohms_on_mains_voltage_fail_the_session_and_cost_its_meter():
    session = open_session("closes-on-the-bar-and-waits", nonce="")
    power_up(session)

    with careful(session, to_look(find("ohms X1:L1 X1:L2"))):
        said = found(session, "ohms X1:L1 X1:L2")
    assert "the meter may be wrecked" in said
    assert "insulated tools" in said
    assert [each.kind for each in session.saw.consequences] == ["meter-blown"]
    assert was_unsafe(session)


def test_volts_of_the_mains_are_metered_with_care_and_cost_nothing():
    session = open_session("closes-on-the-bar-and-waits", nonce="")
    power_up(session)

    with careful(session, to_look(find("volts X1:L1 X1:L2"))):
        said = found(session, "volts X1:L1 X1:L2")
        other = found(session, "volts X2:43")
    assert "400 V" in said
    assert "insulated tools" in said
    assert "insulated tools" not in other
    assert not list(session.saw.consequences)
    assert not critical_acts(session)


def test_a_wire_is_in_a_cable_only_where_it_leaves_its_place():
    table = wiring(open_session(DRILL, nonce="").machine.loom, "B53")
    cables = {row[1]: row[3] for row in table.rows}
    assert cables == {"1390": "", "1391": "", "1392": "W22", "1393": ""}
