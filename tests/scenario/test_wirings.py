"""The wiring of a machine: what ships, a site's own, and what is refused and where."""

from dataclasses import replace
from shutil import copytree

import pytest

from sim.errors import ScenarioError
from sim.resources import shipped
from sim.scenario import library
from sim.scenario.machines import first_machine, read_machine, shipped_machine, whole_file
from sim.session.opening import machine_of, open_recorded, open_session
from sim.session.playback.replay import replay
from sim.signals import BY_TAG, SIGNALS
from sim.wiring.failures import every_failure
from sim.wiring.loom import Is, WiredContact, tag_of

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
