"""The ladder: every rung says what the controller does, in every state, proved by z3 and by doing."""

import itertools
import random
import re
import xml.etree.ElementTree as ElementTree
from collections import Counter

import pytest
import z3

from sim.control import outputs
from sim.control.actions import ACTIONS
from sim.control.controller import Controller
from sim.control.cycle import STEPS
from sim.control.interlocks import PERMISSIVES, THE_ROWS, When, needs_of
from sim.control.outputs import VARIATOR_KEYS as VARIATOR
from sim.control.row_file import FIRST_ROWS
from sim.control.table import TABLES
from sim.kernel.clock import Clock
from sim.logic.bench.ideal_bench import IdealBench
from sim.logic.bench.rung_drawing import svg
from sim.logic.bench.rungs import (
    Branch,
    Contact,
    Wired,
    copper,
    copper_lines,
    drawn,
    every_rung,
    flow,
    image_of,
    interlock_contacts,
    key_rungs,
    output_rungs,
    wired_as,
)
from sim.session.opening import machine_of
from sim.signals import BY_TAG, INPUTS, OUTPUTS, Bus
from tests.random_states import random_states

SITE = Wired.of(machine_of("harbour-saw"))
STATES = {table.name: table.states for table in TABLES}
OF_OUTPUTS, OF_KEYS = output_rungs(SITE), key_rungs(SITE)
OF_STATES = [rung for rung in OF_OUTPUTS if rung.coil not in VARIATOR.values()]
# Every value that the tables name for a subject that is neither a wire nor a machine.
LATCH = (False, True)
SVG = "{http://www.w3.org/2000/svg}"
SEEN = 1500  # random states
BY_KEY, BY_JOB, STAYS = "by its key", "by the job", "and it stays on"


def _domain(subject):
    return STATES.get(subject, LATCH)


def _is(subject, values):
    """A formula: the subject has one of the values."""
    name = z3.Int(subject)
    return z3.Or([name == _domain(subject).index(value) for value in values])


def _anything(subjects):
    return z3.And([
        z3.And(z3.Int(s) >= 0, z3.Int(s) < len(_domain(s))) for s in subjects
    ])  # fmt: skip


def _formula(contacts):
    return z3.And([
        z3.Or(_is(each.subject, each.values), _elsewhere(each.given)) for each in contacts
    ])  # fmt: skip


def _elsewhere(given):
    """A formula: something that is given does not hold."""
    return z3.Or([z3.Not(_is(subject, values)) for subject, values in given])


def _held(rung):
    """A formula: the rung conducts while nothing happens, so that no contact for a moment does."""
    return z3.Or([
        _formula(branch.contacts) for branch in rung.branches
        if not any(contact.moment and not contact.given for contact in branch.contacts)
    ])  # fmt: skip


def _table_formula(tag, on_in):
    """The table's rule: power, and some machine in a state that energises the tag."""
    states = [_is(machine, (state,)) for (machine, state), on in on_in.items() if tag in on]
    return z3.And(_is("supply", ("ON",)), z3.Or(states))


def _differ(left, right):
    solver = z3.Solver()
    solver.add(_anything(STATES), left != right)
    return solver.check() == z3.sat


def _branches(rung, said):
    return [branch for branch in rung.branches if str(branch.said) == said]


@pytest.mark.parametrize("rung", OF_STATES, ids=lambda rung: rung.coil)
def test_the_rung_of_an_output_holds_as_the_table_of_outputs_says_in_all_states(rung):
    assert not _differ(_held(rung), _table_formula(rung.coil, outputs.ON_IN))


@pytest.mark.parametrize("machine", outputs.OF_MACHINE)
def test_a_table_with_one_row_less_is_found_to_differ_from_its_rungs(machine):
    for row, on in outputs.ON_IN.items():
        if row[0] != machine:
            continue
        less = {key: value for key, value in outputs.ON_IN.items() if key != row}
        for tag in on:
            (rung,) = (rung for rung in OF_STATES if rung.coil == tag)
            assert _differ(_held(rung), _table_formula(tag, less))


@pytest.mark.parametrize("origin", [When.KEY, When.JOB])
def test_the_interlock_contacts_of_an_action_are_its_permissives(origin):
    for action in ACTIONS:
        needs = needs_of(action.name, origin)
        contacts = interlock_contacts(action.name, origin)
        required = z3.And([
            z3.Or(_is(row.need.subject, row.need.values), _elsewhere(row.given)) for row in needs
        ])  # fmt: skip
        subjects = {row.need.subject for row in needs} | {s for row in needs for s, _ in row.given}
        solver = z3.Solver()
        solver.add(_anything(subjects), _formula(contacts) != required)

        assert solver.check() == z3.unsat
        assert [contact.number for contact in contacts] == [row.number for row in needs]


def test_every_output_has_one_rung_with_all_that_sets_it_going():
    assert sorted(rung.coil for rung in OF_OUTPUTS) == sorted(OUTPUTS)
    assert all(rung.text == BY_TAG[rung.coil].text for rung in OF_OUTPUTS)
    moved = {rung.coil: rung for rung in OF_OUTPUTS}
    for tag, key in (("Q1", "S10"), ("Y11", "S50"), ("Y12", "S51"), ("Y31", "S20"), ("Y22", "S40")):
        (by_key,) = _branches(moved[tag], BY_KEY)
        assert key in [contact.subject for contact in by_key.contacts]
        assert len(_branches(moved[tag], BY_JOB)) == len(_branches(moved[tag], STAYS)) == 1
    palms = [contact.subject for contact in _branches(moved["Q1"], BY_KEY)[0].contacts[-3:]]
    assert palms == ["S10", "S3", "S4"]


def test_every_key_of_an_action_has_one_rung_and_its_own_wire_on_it():
    assert [rung.coil for rung in OF_KEYS] == [action.name for action in ACTIONS]
    for rung, action in zip(OF_KEYS, ACTIONS, strict=True):
        assert action.tag in [contact.subject for contact in rung.branches[0].contacts]
        assert action.palms == ("S3" in rung.wires)


def _taken(saw, action):
    """Return whether the controller takes an action, all keys that it wants being pressed now, on a copy."""
    controller = IdealBench.of(saw).controller
    return controller.ask(action, When.KEY).accepted


def test_a_key_is_taken_just_where_its_rung_conducts_in_random_states():
    chance = random.Random("rungs")
    taken, refused = set(), set()
    for session in itertools.islice(random_states(chance), SEEN):
        saw = session.saw
        image = image_of(saw.controller)
        for rung in OF_KEYS:
            conducts = rung.branches[0].conducts(image, asked=True)

            assert conducts is _taken(saw, rung.coil), (rung.coil, saw.controller.blocks(rung.coil))
            (taken if conducts else refused).add(rung.coil)
    assert refused == {rung.coil for rung in OF_KEYS} - {"band.stop", "coolant.off"}
    assert len(taken) > 20


def test_an_output_is_on_just_where_its_rung_holds_and_goes_off_as_it_is_told_in_random_states():
    chance = random.Random("outputs")
    watched, on, ended = None, set(), set()
    events = {rung.coil: {each.event for each in rung.lets_go} for rung in OF_OUTPUTS}
    for session in itertools.islice(random_states(chance), SEEN):
        if session is not watched:
            watched = session
            _watch(session.saw.controller, events, ended)
        saw = session.saw
        image = image_of(saw.controller)
        for rung in OF_OUTPUTS:
            if (
                rung.coil in VARIATOR.values()
            ):  # held while power comes back it must be pressed anew
                assert rung.holds(image) or not saw.bus.driven(rung.coil)
                continue
            assert rung.holds(image) is saw.bus.driven(rung.coil), rung.coil
            on |= {rung.coil} if rung.holds(image) else set()
    assert len(on) >= 10
    assert len(ended) >= 10


def _watch(controller, events, ended):
    """Hold every step of a machine by which an output goes off to what its rung says of it."""
    was = controller.fire

    def fire(machine, event):
        before = controller.machines[machine].state
        fired = was(machine, event)
        after = outputs.ON_IN.get((machine, controller.machines[machine].state), ())
        for tag in set(outputs.ON_IN.get((machine, before), ())) - set(after) if fired else ():
            assert event in events[tag], (tag, event)
            ended.add(tag)
        return fired

    controller.fire = fire


def test_the_job_is_answered_as_the_branch_of_the_job_conducts():
    chance = random.Random("job")
    by_job = {
        name: branch
        for rung in OF_OUTPUTS
        for branch in _branches(rung, BY_JOB)
        for name in _started_by(rung)
    }
    asked = set()

    def watch(controller):
        was = controller.ask

        def ask(action, origin):
            if origin is When.JOB:
                branch = by_job[action]
                image = image_of(controller)
                conducts = branch.conducts(image, asked=True)
                assert image["cycle"] in branch.contacts[-1].values, (action, image["cycle"])
                accepted = was(action, origin).accepted
                assert conducts is accepted
                asked.add((action, accepted))
            return was(action, origin)

        controller.ask = ask

    watched = None
    for session in itertools.islice(random_states(chance), SEEN):
        if session is not watched:
            watched = session
            watch(session.saw.controller)
    assert {step.action for step in STEPS.values()} == set(by_job)
    assert len(asked) > 4


def _started_by(rung):
    machine = next(m for m, tags in outputs.OF_MACHINE.items() if rung.coil in tags)
    return [
        action.name for action in ACTIONS
        if action.machine == machine
        and rung.coil in outputs.ON_IN.get((machine, _to(machine, action.event)), ())
    ]  # fmt: skip


def _to(machine, event):
    (table,) = (table for table in TABLES if table.name == machine)
    return next((row.to for row in table.rows if row.event == event), "")


@pytest.mark.parametrize("supply", ["OFF", "ON"])
def test_the_variator_rungs_are_what_the_controller_drives(supply):
    rungs = {rung.coil: rung for rung in OF_OUTPUTS}
    for keys in itertools.product((False, True), repeat=2):
        bus = Bus()
        controller = Controller(Clock(), bus)
        bus.drive("Q0", True)
        bus.settle()
        if supply == "ON":
            controller.fire("supply", "RESET")
            controller.fire("supply", "CONTROL_ON")
        for tag, down in zip(VARIATOR, keys, strict=True):
            bus.drive(tag, down)
        bus.settle()

        for tag in VARIATOR.values():
            assert bus.driven(tag) == rungs[tag].holds(controller.image)


def test_power_flows_as_far_as_the_first_open_contact():
    branch = Branch(
        "said", (Contact("A", (True,)), Contact("B", (False,)), Contact("C", ("X", "Z")))
    )

    assert flow(branch, {"A": False, "B": False, "C": "X"}) == 0
    assert flow(branch, {"A": True, "B": True, "C": "X"}) == 1
    assert flow(branch, {"A": True, "B": False, "C": "Z"}) == 3
    assert [str(contact.label) for contact in branch.contacts] == ["A", "/B", "C=X|Z"]


def test_a_contact_for_a_moment_conducts_only_as_it_comes_about():
    pressed = Contact("S51", (True,), moment=True)

    assert not pressed.closed({"S51": True})
    assert pressed.closed({"S51": False}, asked=True)
    assert str(pressed.label) == "S51↑"
    assert str(Contact("S5", (False,), moment=True).label) == "S5↓"


# As it is wired ---------------------------------------------------------------------------


@pytest.mark.parametrize("machine", ["harbour-saw", "quay-saw"])
def test_every_signal_on_a_rung_stands_there_with_address_terminal_form_and_wires(machine):
    site = Wired.of(machine_of(machine))
    loom, seen = site.loom, set()
    for rung in every_rung(site):
        text = drawn(site, rung)
        for tag in rung.wires:
            device, wired = loom.by_tag[tag], wired_as(loom, tag)
            assert wired.address == device.address
            assert wired.terminal == loom.card_terminal(tag)
            wires = [loom.wires[number] for number in wired.wires]
            assert wired.terminal in wires[0].ends
            assert any(end.startswith(f"{tag}:") for end in wires[-1].ends)
            own = [c for c in device.contacts if c.name in wired.contact.split()[:1]]
            if tag in INPUTS:
                assert wired.contact == f"{own[0].name} {own[0].form}"
                assert own[0].closed_at_rest is (wired.contact.endswith("NC"))
            (line,) = re.findall(
                rf"^    {tag} .*{re.escape(wired.terminal)} .*$", text, re.MULTILINE
            )
            for word in (wired.address, *wired.wires, wired.contact):
                assert word in line
            seen.add(tag)
    assert set(OUTPUTS) < seen
    assert {action.tag for action in ACTIONS} < seen


def test_an_output_is_led_in_copper_through_every_contact_that_can_open_it():
    for rung in OF_OUTPUTS:
        tag = rung.coil
        way = copper(SITE.loom, tag)
        assert way[0].hop.start == SITE.loom.card_terminal(tag)
        assert SITE.loom.by_tag[tag].coil[0] in [each.hop.end for each in way]
        contacts = {(e.device.tag, e.contact.name) for e in way if e.contact is not None}
        assert contacts == (
            {("S2", "21-22")} if tag == "Y12" else {("S2", "11-12")} if tag == "Q1" else set()
        )
        assert "K0:13 NO K0:14" in copper_lines(SITE.loom, tag)[1]


def test_rungs_of_a_site_are_its_own_rows_and_its_own_wires(tmp_path):
    site = _a_site(tmp_path)
    (rung,) = (rung for rung in every_rung(site) if rung.coil == "shuttle.back")
    (table,) = (rung for rung in every_rung(SITE) if rung.coil == "shuttle.back")

    assert "B11" in rung.wires
    assert "B11" not in table.wires
    assert wired_as(site.loom, "S40").contact == "23-24 NO"
    assert wired_as(SITE.loom, "S40").contact == "13-14 NO"
    assert site.rows is not THE_ROWS
    assert {row.number for row in PERMISSIVES} == {row.number for row in site.rows.permissives}


def _a_site(tmp_path):
    folder = tmp_path / "our-saw"
    folder.mkdir()
    (folder / "sizes.yaml").write_text("title: Our saw\n", encoding="utf-8")
    (folder / "wiring.yaml").write_text(
        "like: harbour-saw\ndevices:\n  S40:\n    is: switch\n    contacts: {23-24: open}\n"
        "    address: I4.2\n    card: A3\n    place: console\n    cable: W26\n    wires:\n"
        "      - {wire: 1340, from: X26:18, to: S40:23}\n"
        "      - {wire: 1341, from: S40:24, to: X2:34}\n"
        "      - {wire: 1342, from: X2:34, to: A3:2}\n",
        encoding="utf-8",
    )
    own = "  - {interlock: I4, action: shuttle.back, needs: {B11: true}}\n"
    (folder / "interlocks.yaml").write_text(
        FIRST_ROWS.read_text(encoding="utf-8") + own, encoding="utf-8"
    )
    return Wired.of(machine_of(str(folder)))


# As it is drawn ---------------------------------------------------------------------------

A4_MM = (186.0, 250.0)  # within its margins, as the style of the pages has it
_SIZES = {"h": 12, "i": 9, "s": 9.5, "n": 8.2, "e": 8.2, "m": 8, "t": 8.3, "f": 8.3}
_ANCHOR = {"s": 0.5, "n": 0.5, "m": 0.5, "e": 1.0}


@pytest.mark.parametrize("rung", every_rung(SITE), ids=lambda rung: rung.coil)
def test_a_rung_fits_a_page_and_nothing_on_it_lies_outside(rung):
    root = ElementTree.fromstring(svg(SITE, rung))
    width, height = float(root.get("width")), float(root.get("height"))
    for text in root.iter(f"{SVG}text"):
        x, y, kind = float(text.get("x")), float(text.get("y")), text.get("class")
        long = 0.6 * _SIZES[kind] * len(text.text)
        left = x - _ANCHOR.get(kind, 0.0) * long
        assert left >= 0
        assert left + long <= width, text.text
        assert 0 < y < height

    assert height / width * A4_MM[0] <= A4_MM[1]


@pytest.mark.parametrize("rung", every_rung(SITE), ids=lambda rung: rung.coil)
def test_every_contact_is_drawn_once_in_each_branch_and_says_what_it_is(rung):
    root = ElementTree.fromstring(svg(SITE, rung))
    titles = [each.text for each in root.iter(f"{SVG}title")]

    for label, number in Counter(
        str(contact.label) for branch in rung.branches for contact in branch.contacts
    ).items():
        said = [title for title in titles if title == label or title.startswith(f"{label}: ")]
        own = rung.output and label == rung.coil
        assert len(said) >= number + own
