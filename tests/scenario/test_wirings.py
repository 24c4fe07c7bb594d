"""The wiring of a machine: what ships, a site's own, and what is refused and where."""

import random
from dataclasses import replace
from functools import cache
from math import hypot
from shutil import copytree

import pytest

from sim.errors import ScenarioError
from sim.plant.copper import contradictions
from sim.plant.power import MAIN, VARIATOR
from sim.resources import shipped
from sim.scenario import library
from sim.scenario.machines import first_machine, read_machine, shipped_machine, whole_file
from sim.scenario.wirings import written
from sim.session.opening import machine_of, open_recorded, open_session
from sim.session.playback.replay import replay
from sim.signals import BY_TAG, INPUTS, OUTPUTS, SIGNALS
from sim.wiring.circuit import State, circuit, point
from sim.wiring.failures import every_failure, wounds
from sim.wiring.loom import Is, Loom, Wire, WiredContact, tag_of
from sim.wiring.network import between

SHIPPED = shipped("scenarios") / "machines" / "harbour-saw"


@pytest.fixture
def ours(tmp_path):
    """A copy of the first saw's folder, as a site makes it."""
    return copytree(SHIPPED, tmp_path / "machines" / "our-saw")


def changed(folder, old, new):
    file = folder / "wiring.yaml"
    text = file.read_text("utf-8")
    assert text.count(old) >= 1
    file.write_text(text.replace(old, new, 1), "utf-8")
    line = next(n for n, each in enumerate(file.read_text("utf-8").splitlines(), 1) if new in each)
    return line if new else 0


@pytest.mark.parametrize("name", library.machine_names())
def test_every_wire_of_the_controller_has_a_device_an_address_and_a_path_to_its_card(name):
    loom = shipped_machine(name).loom
    for row in SIGNALS:
        device = loom.by_tag[row.tag]
        terminal = loom.card_terminal(row.tag)
        hops = loom.path(row.tag)

        assert terminal in hops[0].start
        assert loom.by_tag[tag_of(hops[-1].end)].what is Is.BAR
        assert all(hop.wire.other(hop.start) == hop.end for hop in hops)
        assert device.place
    addresses = [loom.by_tag[tag].address for tag in BY_TAG]
    assert len(set(addresses)) == len(addresses)


def test_a_path_goes_through_the_contact_of_another_device_that_lies_in_it():
    loom = first_machine().loom

    assert [hop.end for hop in loom.path("Y12")] == ["X3:8", "S2:21", "Y12:1", "X39:3"]
    assert [hop.start for hop in loom.path("B12")] == ["A3:11", "X2:43", "B12:1", "B12:3"]
    assert loom.by_tag["S1"].contacts[0] == WiredContact("11", "12", closed_at_rest=True)
    assert loom.by_tag["S1"].contacts[0].form == "NC"


def test_the_second_saw_is_wired_like_the_first_but_for_two_devices():
    first, other = first_machine().loom, shipped_machine("quay-saw").loom
    differ = [d.tag for d in other.devices if d != first.by_tag[d.tag]]

    assert differ == ["B43", "B63"]
    assert first != other
    assert first == read_machine(SHIPPED / "sizes.yaml").loom


def test_there_are_hundreds_of_failures_and_each_is_told_once():
    failures = [*every_failure(first_machine().loom)]

    assert len(set(failures)) == len(failures) > 600


# A site's own -------------------------------------------------------------------------------


def test_a_copied_folder_is_a_machine_by_name_and_by_path(ours):
    changed(ours, "wire: 1432,", "wire: 9432,")
    by_name = machine_of("our-saw", ours.parent.parent)

    assert by_name == machine_of(str(ours)) == read_machine(ours / "sizes.yaml")
    assert by_name.name == "our-saw"
    assert "9432" in by_name.loom.wires
    assert replace(by_name, name="harbour-saw", loom=first_machine().loom) == first_machine()
    assert open_session("rail-posts", machine=str(ours)).machine == by_name


def test_a_folder_without_wiring_has_the_first_saws_and_one_that_is_like_another_has_that_ones(
    ours,
):
    (ours / "wiring.yaml").unlink()
    assert read_machine(ours / "sizes.yaml").loom == first_machine().loom
    (ours / "wiring.yaml").write_text("like: quay-saw\n", "utf-8")
    assert read_machine(ours / "sizes.yaml").loom == shipped_machine("quay-saw").loom


def test_a_file_of_sizes_alone_goes_on_working(tmp_path):
    file = tmp_path / "small.yaml"
    file.write_text("title: Small\nband: {kerf_mm: 2}\n", "utf-8")

    assert machine_of(str(file)).loom == first_machine().loom


def test_a_record_carries_the_wiring_and_plays_again_when_the_folder_is_gone(ours, tmp_path):
    changed(ours, "wire: 1432,", "wire: 9432,")
    path = tmp_path / "session.jsonl"
    session = open_recorded("rail-posts", path, machine=str(ours))
    session.press("supply.isolator")
    session.advance(2)
    session.close()
    ours.rename(tmp_path / "elsewhere")

    again = replay(path)
    assert "9432" in again.session.machine.loom.wires


@pytest.mark.parametrize("name", library.machine_names())
def test_the_whole_text_of_a_machine_tells_its_wiring(name, tmp_path):
    file = tmp_path / f"{name}.yaml"
    file.write_bytes(whole_file(library.machine_path(name)))

    assert read_machine(file) == shipped_machine(name)


@pytest.mark.parametrize(
    ("old", "new", "says", "do"),
    [
        ("from: B12:4", "from: B12:5", "no terminal 5", "B12:4"),
        ("from: B12:4", "from: B21B:4", "no device B21B", "B21"),
        ("wire: 1432,", "wire: 1433,", "1433 is there twice", "B12"),
        ("to: X2:43}", "to: B12:4}", "ends where it begins", "other end"),
        ("address: I5.3", "address: I5.2", "address of B11", "free"),
        ("address: I5.3", "address: I7.7", "none of the 16 addresses of A3", "another address"),
        ("address: I5.3", "address: Q1.7", "B12 cannot be on Q1.7", "begins with I"),
        ("address: I5.3", "adress: I5.3", "adress", "address"),
        ("address: I5.3", "address: I5", "I5", ""),
        ("{wire: 1433, from: X2:43, to: A3:11}", "{wire: 1433, from: X2:43, to: A3:15}", "no wire joins B12", "A3:11"),
        ("  B12:", "  B12A:", "knows no B12A", "B12"),
        ("  B12:", "  b12:", "b12", "B12"),
        ("is: safety-relay", "is: safty-relay", "safty-relay", "safety-relay"),
        ("is: valve\n    ohms: 20", "is: valve", "needs its ohms", "ohms"),
        ("95-96: closed", "95to96: closed", "no contact", "13-14"),
        ("  X39:", "  X38:", "no device X39", "X3"),
    ],
)  # fmt: skip
def test_a_bad_wiring_says_where_what_was_found_and_what_to_write(ours, old, new, says, do):
    changed(ours, old, new)
    with pytest.raises(ScenarioError) as caught:
        read_machine(ours / "sizes.yaml")

    file, line, column = str(caught.value.where).rsplit(":", 2)
    assert file == str(ours / "wiring.yaml")
    assert int(line) > 1
    assert int(column) >= 1
    assert says in str(caught.value.what)
    assert do in str(caught.value.what_to_do)


@pytest.mark.parametrize(
    ("text", "place", "says", "do"),
    [
        ("like: quey-saw\n", "1:7", "quey-saw", "quay-saw"),
        ("like: our-saw\n", "1:7", "like itself", "other machine"),
        ("devices: {X1: {is: bar, place: cabinet}}\n", "1:10", "needs a device", "like"),
        ("lik: quay-saw\n", "1:1", "lik", "like"),
    ],
)
def test_a_wiring_that_is_like_nothing_is_refused(ours, text, place, says, do):
    (ours / "wiring.yaml").write_text(text, "utf-8")
    with pytest.raises(ScenarioError) as caught:
        read_machine(ours / "sizes.yaml")

    assert str(caught.value.where).endswith(f"wiring.yaml:{place}")
    assert says in str(caught.value.what)
    assert do in str(caught.value.what_to_do)


def test_devices_in_both_files_of_a_folder_are_refused(ours):
    sizes = ours / "sizes.yaml"
    sizes.write_text("title: t\ndevices: {X1: {is: bar, place: cabinet}}\n", "utf-8")
    with pytest.raises(ScenarioError, match=r"wiring\.yaml beside it"):
        read_machine(sizes)


def test_check_tells_what_is_wrong_with_a_folder_and_that_a_good_one_is_a_machine(drycycle, ours):
    code, out, _ = drycycle("check", ours)
    assert code == 0
    assert "in good order" in out
    changed(ours, "from: B12:4", "from: B12:5")
    code, _, errors = drycycle("check", ours)
    assert code == 2
    assert "wiring.yaml" in errors
    assert "B12:4" in errors
    code, _, errors = drycycle("check", ours.parent.parent)
    assert "B12:4" in errors


# Held to the saw ----------------------------------------------------------------------------


BRIDGED = (
    ("from: S1:12, to: S9:11", "from: S1:12, to: S9:12"),
    ("from: S1:22, to: S9:21", "from: S1:22, to: S9:22"),
)
B12_ASTRAY = (
    ("from: B12:4, to: X2:43", "from: B12:4, to: X2:42"),
    ("from: X2:43, to: A3:11", "from: X2:61, to: A3:11"),
)


@pytest.mark.parametrize(
    ("moves", "line_of", "says", "do"),
    [
        (BRIDGED, "to: S9:12}", "contact of S9 open K0:S12 still has voltage", "wire 242"),
        (BRIDGED[1:], "to: S9:22}", "contact of S9 open K0:S22 still has voltage", "wire 252"),
        ((("to: S1:21", "to: S1:11"),), "to: S1:11}\n      - {wire: 252", "K0:S11 and K0:S21 must never be joined", "wire 251"),
        (B12_ASTRAY, "from: B12:4", "contact of B11 open A3:10 still has voltage", "wire 1432"),
        ((("from: K0:S21, to: S1:21", "from: K0:S11, to: S1:21"),), "from: K0:S11, to: S1:21", "K0:S11 and K0:S22 must never be joined", "wire 251"),
        ((("from: S9:22, to: K0:S22", "from: S9:22, to: X2:99"),), "from: S9:22", "S1, S9 on and nothing else no voltage comes to K0:S22", "wire K0:S22"),
        ((("from: S5:24, to: K0:S34", "from: S5:23, to: K0:S34"),), "from: S5:23, to: K0:S34", "contact of S5 open K0:S34", "wire 237"),
        ((("from: Q11:22, to: Q12:21", "from: Q11:21, to: Q12:21"),), "from: Q11:21, to: Q12:21", "contact of Q11 open K0:Y2", "wire 234"),
        ((("from: K0:14, to: X29:0", "from: K0:13, to: X29:0"),), "from: K0:13, to: X29:0", "contact of K0 open A5:L+", "wire 207"),
        ((("from: X29:2, to: K1:13", "from: X20:22, to: K1:13"),), "from: X20:22", "contact of K0 open Q11:A1", "wire 209"),
        ((("from: K1:24, to: Q12:A1", "from: K1:23, to: Q12:A1"),), "from: K1:23, to: Q12:A1", "contact of K1 open Q12:A1", "wire 221"),
        ((("from: S2:22, to: Y12:1", "from: S2:21, to: Y12:1"),), "from: S2:21, to: Y12:1", "contact of S2 open Y12:1", "wire 5082"),
        ((("to: X3:11}", "to: X3:10}"),), "to: X3:10}\n      - {wire: 5111", "output Q1.1 off Y21", "wire 5110"),
        ((("from: X3:11, to: Y22:1", "from: X3:10, to: Y22:1"),), "to: Y22:1", "output Q1.2 off Y22 is still fed", "nothing but A5:10"),
        ((("from: Y22:2, to: X39:6", "from: Y22:2, to: X3:30"),), "from: Y22:2", "no wire joins Y22:2 to 0 V", "Y22:2"),
        ((("from: X21:2, to: B12:1", "from: X2:99, to: B12:1"),), "to: B12:1", "no wire joins B12:1 to 24 V", "B12:1"),
        ((("from: Q0:2, to: F14:1", "from: X1:L1, to: F14:1"),), "to: F14:1", "contact of Q0 open G1:L", "wire 21"),
        ((("from: Q11:2, to: Q12:1", "from: Q11:1, to: Q12:1"),), "from: Q11:1, to: Q12:1", "contact of Q11 open", "wire 14"),
        ((("from: Q1:2, to: F1:1", "from: Q1:1, to: F1:1"),), "from: Q1:1, to: F1:1", "contact of Q1 open M1:U", "wire 37"),
        ((("from: F1:2, to: M1:U", "from: Q1:2, to: M1:U"),), "from: Q1:2, to: M1:U", "contact of F1 open M1:U", "wire 71"),
        ((("from: M3:2, to: M6:V", "from: M3:2, to: M6:U"), ("from: M3:4, to: M6:U", "from: M3:4, to: M6:V")), "  M3:", "M3 turns M6 the same way as M2", "cross"),
        ((("from: Q2:2, to: M4:U", "from: Q2:2, to: M4:V"),), "wire: 41,", "X1:L1 and X1:L2 must never be joined", "wire 41"),
        ((("from: Q2:2, to: M4:U", "from: Q2:2, to: X2:99"),), "from: Q2:2, to: X2:99", "Q2 does not bring three phases to M4", "M4:U"),
        ((("address: I5.2", "address: I7.7"), ("address: I5.3", "address: I5.2"), ("address: I7.7", "address: I5.3")), "  B11:", "with B11 on and nothing else no voltage comes to A3:11", "through B11"),
        ((("from: G1:+, to: F24:1", "from: G1:+, to: F24:2"),), "from: G1:+", "contact of F24 open", "wire 201"),
        ((("{11-12: closed, 21-22", "{11-12: open, 21-22"),), "{11-12: open", "contact 11-12 of S1 is told as open, and is closed", "11-12: closed"),
        ((("  X39:", "  K7: {is: relay, ohms: 400, contacts: {13-14: open}, place: cabinet}\n  X39:"),), "  K7:", "nothing on this saw works K7", "tag"),
        ((("  K1:\n    is: relay\n", "  K1:\n    is: valve\n"), ("    contacts: {13-14: open, 23-24: open}\n    ohms: 400", "    ohms: 400"), ("from: X29:2, to: K1:13", "from: X29:2, to: K1:1"), ("from: X29:3, to: K1:23", "from: X29:3, to: K1:1"), ("from: K1:14, to: Q11", "from: K1:1, to: Q11"), ("from: K1:24, to: Q12", "from: K1:1, to: Q12"), ("to: K1:A1", "to: K1:1"), ("from: K1:A2", "from: K1:2")), "  K1:", "K1 is no valve", "give relay"),
    ],
)  # fmt: skip
def test_a_wiring_that_says_other_than_the_saw_is_refused_at_the_wire_that_lies_wrong(
    ours, moves, line_of, says, do
):
    text = (ours / "wiring.yaml").read_text("utf-8")
    for old, new in moves:
        assert old in text
        text = text.replace(old, new, 1)
    (ours / "wiring.yaml").write_text(text, "utf-8")
    with pytest.raises(ScenarioError) as caught:
        read_machine(ours / "sizes.yaml")

    line = text[: text.index(line_of)].count("\n") + 1
    assert str(caught.value.where).startswith(f"{ours / 'wiring.yaml'}:{line}:")
    assert says in str(caught.value.what)
    assert do in str(caught.value.what_to_do)


@pytest.mark.parametrize(
    ("devices", "line", "says"),
    [
        # A stop bridged at its own terminals, all else as on the other saw.
        (
            "  S9:\n    is: switch\n    contacts: {11-12: closed, 21-22: closed, 31-32: closed}\n    address: I0.4\n"
            "    card: A1\n    place: infeed\n    wires:\n      - {wire: 1040, from: X27:1, to: S9:31}\n"
            "      - {wire: 1041, from: S9:32, to: X2:4}\n      - {wire: 1042, from: X2:4, to: A1:4}\n"
            "      - {wire: 9000, from: S9:11, to: S9:12}\n",
            13, "contact of S9 open K0:S12 still has voltage",
        ),
        # What the fault shows at is told elsewhere: the whole of what this file tells.
        ("  X29: {is: bar, place: cabinet}\n", 3, "with K0 on and nothing else no voltage comes to A5:L+"),
        ("  G1: {is: bar, place: cabinet}\n", 3, "no device is a supply"),
    ],
)  # fmt: skip
def test_a_wiring_that_is_like_another_is_held_to_the_saw_too(ours, devices, line, says):
    file = ours / "wiring.yaml"
    file.write_text(f"like: quay-saw\ndevices:\n{devices}", "utf-8")
    with pytest.raises(ScenarioError) as caught:
        read_machine(ours / "sizes.yaml")

    assert str(caught.value.where).startswith(f"{file}:{line}:")
    assert says in str(caught.value.what)


@pytest.mark.parametrize("name", library.machine_names())
def test_the_copper_of_a_saw_that_ships_says_what_the_saw_does(name):
    assert not contradictions(shipped_machine(name).loom)


def rewired(loom, end):
    """Return a wiring with other numbers, and with other terminals as `end` tells them."""
    return Loom(tuple(
        replace(
            device,
            contacts=tuple(
                WiredContact(*(end(device.at(m)).partition(":")[2] for m in (c.first, c.second)), c.closed_at_rest)
                for c in device.contacts
            ),
            wires=tuple(Wire(str(int(w.number) + 20_000), end(w.start), end(w.end)) for w in device.wires),
        )
        for device in loom.devices
    ))  # fmt: skip


def renumbered(end):
    """Return what a terminal of the first saw is on one that is wired alike, with all its strips filled otherwise."""
    tag, mark = end.split(":")
    kind = first_machine().loom.by_tag[tag].what
    if kind in (Is.BAR, Is.STRIP):
        return f"{tag}:{int(mark) + 100}"
    if tag in ("S1", "S9", "S2") and mark[0] in "12":  # the channels over each other's contacts
        return f"{tag}:{'21'[int(mark[0]) - 1]}{mark[1]}"
    return f"{tag}:{int(mark) + 30}" if kind is Is.SWITCH else end


@pytest.mark.parametrize("name", library.machine_names())
def test_a_wiring_with_other_numbers_and_terminals_that_hangs_together_alike_is_taken(
    name, tmp_path
):
    other = rewired(shipped_machine(name).loom, renumbered)
    folder = copytree(SHIPPED, tmp_path / "other-saw")
    (folder / "wiring.yaml").write_text("\n".join(written(other)) + "\n", "utf-8")

    found = read_machine(folder / "sizes.yaml").loom
    assert found == other
    assert not {*found.wires} & {*first_machine().loom.wires}


SPOTS = (
    "K0:A1",
    "K0:S12",
    "K0:S22",
    "K0:S34",
    "K0:Y2",
    "A5:L+",
    "M1:U",
    "M4:V",
    "M5:W",
    "M6:U",
    "G1:L",
    "G1:N",
)


@cache
def state(number):
    """A state of every device, its contacts with it, and of every output; the variator turns no two ways."""
    chance = random.Random(number)
    share = (0.1, 0.5, 0.9, 1.0)[number % 4]
    on = {tag: chance.random() < share for tag in (*INPUTS, *OUTPUTS, *MAIN)}
    on |= {"Q0": number % 8 != 6, VARIATOR[number % 2]: False}

    def closed(device, contact):
        if device.what in (Is.CONTACTOR, Is.RELAY, Is.SAFETY_RELAY):
            return on[device.tag] is not contact.closed_at_rest
        return device.what is Is.FUSE or device.heats(contact) or on[device.tag]

    return State(closed, on.__getitem__)


def reads(loom, number):
    """Return what a meter reads at every input, across every coil and winding, and at what the power path is of."""
    volts = circuit(loom, state(number), wounds(loom, ())).potentials()

    def across(one, other):
        ends = (volts.get(point(loom, end)) for end in (one, other))
        return round(hypot(*between(*ends)) / 8)

    return (
        [across(loom.card_terminal(tag), "G1:-") for tag in INPUTS],
        [across(*device.coil) for device in loom.devices if device.coil],
        [across(spot, "G1:-") for spot in SPOTS],
    )


def test_a_wire_that_is_moved_is_refused_or_reads_the_same_everywhere():
    loom, chance = first_machine().loom, random.Random(7)
    whole = {number: reads(loom, number) for number in range(8)}
    moved = chance.sample([*loom.wires.values()], 200)
    taken = 0
    for wire in moved:
        at, to = chance.choice(("start", "end")), chance.choice(loom.terminals)
        if chance.random() < 0.2:  # to another terminal of the same device, which most mistakes are
            to = chance.choice(
                [t for t in loom.terminals if tag_of(t) == tag_of(getattr(wire, at))]
            )
        if to in wire.ends:
            continue
        new = replace(wire, **{at: to})
        other = Loom(tuple(
            replace(each, wires=tuple(new if w == wire else w for w in each.wires)) for each in loom.devices
        ))  # fmt: skip
        if not contradictions(other):
            taken += 1
            for number, told in whole.items():
                assert reads(other, number) == told, (new, number)
    assert 5 < taken < len(moved) / 2
