"""Each permissive alone blocks its action and says why; held against a list written out by hand.

The list is the design's, not read from the program: a row that vanishes from PERMISSIVES is missed
here. The controller is tested without a saw: its inputs are put on the bus as the test wants them.
"""

import pytest

from sim.control import rules_of_use
from sim.control.actions import ACTIONS, BY_NAME, STATIONS
from sim.control.controller import _LASTS, DEVIATION_LIMIT_US, Controller
from sim.control.interlocks import BY_NUMBER, INTERLOCKS, PERMISSIVES, REACTIONS, When, needs_of
from sim.control.table import TABLES
from sim.control.two_hand import LIMIT_US, TwoHand
from sim.kernel.clock import Clock
from sim.logic.proof.memory import DOMAINS
from sim.signals import BY_TAG, Bus
from sim.units import US

BEGIN_KEYS = ("job.begin_on_trim", "job.begin_on_piece")
HAND, AUTO = When.HAND, When.AUTO

# (interlock, action, subject, a value that blocks it)
ALWAYS = [
    ("I1", "supply.control_on", "Q0", False),
    ("I1", "supply.control_on", "S1", False),
    ("I1", "band.start", "supply", "OFF"),
    ("I1", "cutting_vise.grip", "supply", "OFF"),
    ("I1", "cutting_vise.free", "supply", "OFF"),
    ("I1", "shuttle_vise.grip", "supply", "OFF"),
    ("I1", "shuttle_vise.free", "supply", "OFF"),
    ("I1", "shuttle.to_stop", "supply", "OFF"),
    ("I1", "shuttle.to_blade", "supply", "OFF"),
    ("I1", "head.lift", "supply", "OFF"),
    ("I1", "head.lower", "supply", "OFF"),
    ("I1", "coolant.flow", "supply", "OFF"),
    ("I1", "supply.reset", "supply", "OFF"),
    ("I1", "job.arm", "supply", "OFF"),
    ("I2", "supply.reset", "B1", True),
    ("I2", "supply.reset", "F1", False),
    ("I3", "band.start", "B41", False),
    ("I3", "band.start", "B42", False),
    ("I3", "band.start", "B51", False),
    ("I3", "band.start", "F1", False),
    ("I3", "band.start", "band", "TRIPPED"),
    ("I3", "band.start", "latch.deviation", True),
    ("I3", "band.start", "S2", False),
]
ALWAYS += [
    (number, key, subject, bad)
    for key in BEGIN_KEYS
    for number, subject, bad in [
        ("I1", "supply", "OFF"),
        ("I3", "B41", False),
        ("I3", "B42", False),
        ("I3", "B51", False),
        ("I3", "F1", False),
        ("I3", "band", "TRIPPED"),
        ("I3", "latch.deviation", True),
        ("I3", "S2", False),
        ("I4", "B11", False),
        ("I11", "B61", False),
        ("I11", "B62", False),
        ("I11", "B53", False),
        ("I11", "mode.cutting_vise", "HAND"),
        ("I11", "mode.shuttle_vise", "HAND"),
        ("I11", "mode.shuttle", "HAND"),
        ("I11", "mode.head", "HAND"),
    ]
]
# (interlock, action, subject, a value that blocks it, whether it must go on holding)
IN_AUTO = [
    ("I4", "shuttle.to_blade", "B11", False, True),
    ("I5", "shuttle.to_blade", "B34", False, True),
    ("I5", "shuttle.to_blade", "B33", True, True),
    ("I5", "shuttle.to_stop", "B34", True, True),
    ("I5", "shuttle.to_stop", "B33", False, True),
    ("I5", "shuttle_vise.free", "B33", False, False),
    ("I5", "cutting_vise.free", "B34", False, False),
    ("I6", "head.lower", "B33", False, True),
    ("I6", "head.lower", "B2", False, True),
]
# What each action needs to see, on top of a healthy saw with the control on.
GOOD = {
    "shuttle.to_blade": {"B22": False, "B11": True, "B34": True, "B33": False},
    "shuttle.to_stop": {"B34": False, "B33": True},
    "shuttle_vise.free": {"B33": True},
    "cutting_vise.free": {"B34": True},
    "head.lower": {"B33": True, "B2": True},
}


class Bench:
    """A controller with nothing behind its wires but the test."""

    def __init__(self):
        self.clock = Clock()
        self.bus = Bus()
        self.controller = Controller(self.clock, self.bus)
        self.answers = []
        self.controller.on_decision(self.answers.append)

    def see(self, tag, value):
        self.bus.drive(tag, value)
        self.bus.settle()

    def tap(self, *tags):
        for tag in tags:
            self.see(tag, True)
        for tag in tags:
            self.see(tag, False)

    @property
    def frozen(self):
        states = {name: machine.state for name, machine in self.controller.machines.items()}
        return states, {tag: self.bus.seen[tag] for tag in self.bus.seen if tag[0] in "KQMY"}


def ready(action, origin):
    """Return a bench on which nothing stands against the action."""
    bench = Bench()
    bench.see("Q0", True)
    if action != "supply.control_on":
        bench.tap("S3", "S4")
    station = action.partition(".")[0]
    if station == "job" and action != "job.arm":
        bench.tap("S70")
    for tag, value in GOOD.get(action, {}).items():
        bench.see(tag, value)
    if origin is AUTO and station in STATIONS:
        bench.controller.image[f"mode.{station}"] = "AUTO"
    return bench


def row_of(action, subject):
    (row,) = (p for p in PERMISSIVES if p.action == action and p.need.subject == subject)
    return row


def spoil(bench, subject, value):
    """Make one thing bad in the image alone, so that nothing else follows from it."""
    bench.controller.image[subject] = value


def origins(action):
    station = action.partition(".")[0]
    return (HAND,) if station in ("job", "supply") else (HAND, AUTO)


# Interlocks that came after the design: what each is for is proved (`tests/logic/proof`).
NUMBERS = [f"I{n}" for n in range(1, 15)]
LATER = [row for row in PERMISSIVES if row.number not in NUMBERS]


def bad_for(row):
    """Return a value that the subject of a later row can have and its action does not take."""
    return next(value for value in DOMAINS[row.need.subject] if value not in row.need.values)


EVERY = [(*row, origin) for row in ALWAYS for origin in origins(row[1])]
EVERY += [(*row[:4], AUTO) for row in IN_AUTO]
EVERY += [
    (row.number, row.action, row.need.subject, bad_for(row), origin)
    for row in LATER
    for origin in origins(row.action)
    if row.when in (origin, When.ANY)
]


@pytest.mark.parametrize(("number", "action", "subject", "bad", "origin"), EVERY)
def test_each_permissive_alone_blocks_its_action_and_says_why(number, action, subject, bad, origin):
    bench = ready(action, origin)
    assert bench.controller.refusals(action, origin) == ()
    spoil(bench, subject, bad)
    before = bench.frozen
    decision = bench.controller.ask(action, origin)
    bench.bus.settle()

    assert not decision.accepted
    (refusal,) = decision.refusals
    assert (refusal.interlock, refusal.device) == (number, subject)
    assert str(refusal.sentence).endswith(".")
    assert str(refusal.remedy).endswith(".")
    assert str(refusal.sentence) in str(decision.sentence)
    assert str(refusal.remedy) in str(decision.sentence)
    assert bench.frozen == before


@pytest.mark.parametrize(("action", "origin"), sorted({(row[1], row[4]) for row in EVERY}))
def test_with_nothing_against_it_the_action_is_taken(action, origin):
    bench = ready(action, origin)

    assert bench.controller.ask(action, origin).accepted


@pytest.mark.parametrize(("number", "action", "subject", "bad", "keeps"), IN_AUTO)
def test_what_holds_in_auto_only_does_not_stand_against_a_hand(number, action, subject, bad, keeps):
    bench = ready(action, HAND)
    spoil(bench, subject, bad)

    assert bench.controller.refusals(action, HAND) == ()


@pytest.mark.parametrize("row", [row for row in IN_AUTO if row[4]])
def test_a_motion_of_the_job_halts_when_its_permissive_goes(row):
    _, action, subject, bad, _ = row
    bench = ready(action, AUTO)
    assert bench.controller.ask(action, AUTO).accepted
    bench.bus.settle()
    output = {"shuttle.to_blade": "Y21", "shuttle.to_stop": "Y22", "head.lower": "Y12"}[action]
    assert bench.bus.seen[output]
    bench.see(subject, bad)

    assert not bench.bus.seen[output]


@pytest.mark.parametrize("row", [row for row in IN_AUTO if row[4]])
def test_the_same_motion_by_hand_goes_on(row):
    _, action, subject, bad, _ = row
    bench = ready(action, HAND)
    bench.controller.ask(action, HAND)
    bench.see(subject, bad)
    output = {"shuttle.to_blade": "Y21", "shuttle.to_stop": "Y22", "head.lower": "Y12"}[action]

    assert bench.bus.seen[output]


@pytest.mark.parametrize(("number", "action", "subject", "bad", "keeps"), IN_AUTO)
def test_a_jumper_takes_one_permissive_away_and_no_other(number, action, subject, bad, keeps):
    bench = ready(action, AUTO)
    bench.controller.bypassed.add(row_of(action, subject))
    spoil(bench, subject, bad)
    assert bench.controller.ask(action, AUTO).accepted
    bench.bus.settle()
    spoil(bench, "supply", "OFF")

    assert [r.device for r in bench.controller.refusals(action, AUTO)] == ["supply"]


def test_a_jumpered_motion_goes_on_without_its_permissive():
    bench = ready("head.lower", AUTO)
    bench.controller.bypassed.add(row_of("head.lower", "B2"))
    bench.controller.ask("head.lower", AUTO)
    bench.see("B2", False)

    assert bench.bus.seen["Y12"]


def test_a_jumpered_reaction_does_not_follow():
    bench = ready("band.start", HAND)
    bench.controller.ask("band.start", HAND)
    (row,) = (r for r in REACTIONS if r.subject == "B41" and r.fires == (("band", "TRIP"),))
    bench.controller.bypassed.add(row)
    bench.see("B41", False)
    assert bench.bus.seen["Q1"]
    bench.see("B42", False)

    assert not bench.bus.seen["Q1"]


def test_the_table_has_these_rows_and_no_others():
    designed = [row for row in PERMISSIVES if row not in LATER]
    rows = {(p.number, p.action, p.need.subject, p.when, p.keeps) for p in designed}
    expected = {(n, a, s, When.ANY, False) for n, a, s, _ in ALWAYS}
    expected |= {(n, a, s, AUTO, keeps) for n, a, s, _, keeps in IN_AUTO}

    assert rows == expected
    assert len(designed) == len(expected)


def test_every_permissive_names_a_hazard_and_something_the_image_has():
    image = Bench().controller.image
    for row in PERMISSIVES:
        assert row.hazard
        assert row.need.subject in image
        assert row.action in BY_NAME
        assert row.need.values


def test_the_times_that_the_words_name_are_those_of_the_controller():
    (reaction,) = BY_NUMBER["I8"].reactions
    for said in (BY_NUMBER["I8"].rule, reaction.reason):
        assert f"for more than {DEVIATION_LIMIT_US / US:g} s" in str(said)
    too_late = rules_of_use.TWO_HAND[TwoHand.TOO_LATE].sentence
    assert f"more than {LIMIT_US / US:g} s apart" in str(too_late)


def test_what_must_keep_its_needs_is_a_motion_that_can_be_halted():
    for row in PERMISSIVES:
        if row.keeps:
            assert BY_NAME[row.action].halt, row.name
    assert _LASTS == {
        "shuttle.to_blade": ("shuttle", "TO_BLADE"),
        "shuttle.to_stop": ("shuttle", "TO_STOP"),
        "head.lower": ("head", "LOWERING"),
    }


def test_every_action_that_energises_something_needs_control_power():
    moving = {row.name for row in ACTIONS} - {
        "supply.control_on",
        "band.stop",
        "coolant.dry",
        "job.hold",
    }
    for name in moving:
        for origin in (HAND, AUTO):
            assert "supply" in {row.need.subject for row in needs_of(name, origin)}, name


def test_every_refusal_against_an_action_is_given_at_once():
    bench = ready("band.start", HAND)
    for tag in ("B41", "B42", "B51"):
        spoil(bench, tag, False)
    answer = bench.controller.ask("band.start", HAND)

    assert [refusal.device for refusal in answer.refusals] == ["B41", "B42", "B51"]


@pytest.mark.parametrize(
    ("action", "station"),
    [(row.name, row.machine) for row in ACTIONS if not row.any_mode],
)
def test_a_station_in_auto_refuses_hands_and_one_in_hand_refuses_the_job(action, station):
    bench = ready(action, AUTO)
    by_hand = bench.controller.refusals(action, HAND)
    assert [refusal.device for refusal in by_hand] == [f"mode.{station}"]
    assert "in AUTO" in str(by_hand[0].sentence)

    bench.controller.image[f"mode.{station}"] = "HAND"
    takes = bench.controller.machines[station].takes(BY_NAME[action].event)
    by_job = bench.controller.refusals(action, AUTO)
    assert [refusal.device for refusal in by_job] == ([f"mode.{station}"] if takes else [])


def test_every_reaction_names_subjects_and_events_that_there_are():
    image = Bench().controller.image
    events = {table.name: table.events for table in TABLES}
    for row in REACTIONS:
        assert row.subject in image
        assert all(subject in image for subject, _ in row.given)
        for machine, event in row.fires:
            assert event in events[machine]


def test_every_interlock_of_the_saw_has_a_row_or_is_practised():
    wired = {row.number for row in PERMISSIVES} | {row.number for row in REACTIONS}

    practised = {lock.number for lock in INTERLOCKS if not lock.wired}
    assert not wired & practised
    later = [f"I{n}" for n in range(15, len(INTERLOCKS) + 1)]
    assert [lock.number for lock in INTERLOCKS] == [*NUMBERS, *later]
    assert wired | practised == set(BY_NUMBER)


def test_every_interlock_has_a_title_a_rule_and_a_hazard_that_read_as_parts_of_a_sentence():
    for lock in INTERLOCKS:
        for said in map(str, (lock.title, lock.rule, lock.hazard)):
            assert said
            assert not said.endswith(".")
            assert said[0].islower() or said.startswith("in AUTO")
        assert str(lock.sentence)[0].isupper()
        assert all(row.number == lock.number for row in (*lock.permissives, *lock.reactions))


def test_a_cut_sensor_wire_reads_as_the_unsafe_side():
    """A wire that falls to False must block or stop; True at rest is the healthy side."""
    for _, action, subject, bad in ALWAYS:
        if bad is False and subject in BY_TAG:
            assert BY_TAG[subject].at_rest is (subject != "Q0"), (action, subject)


@pytest.mark.parametrize("key", ["S12", "S13"])
def test_the_variator_is_driven_by_its_keys_with_control_power_only(key):
    output = {"S12": "M3", "S13": "M2"}[key]
    bench = Bench()
    bench.see("Q0", True)
    bench.see(key, True)
    assert not bench.bus.seen[output]
    bench.tap("S3", "S4")
    assert not bench.bus.seen[output]
    bench.see(key, False)
    bench.see(key, True)
    assert bench.bus.seen[output]
    bench.see("S1", False)
    assert not bench.bus.seen[output]


def test_both_variator_keys_together_drive_nothing_and_one_let_go_leaves_the_other():
    bench = ready("band.start", HAND)
    bench.see("S12", True)
    bench.see("S13", True)
    assert not bench.bus.seen["M2"]
    assert not bench.bus.seen["M3"]
    bench.see("S12", False)

    assert bench.bus.seen["M2"]
    assert not bench.bus.seen["M3"]
