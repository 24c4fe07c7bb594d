"""The prints of the wiring: every device and every wire of the machine's own wiring, once, with both ends."""

import csv
import io
import re
from collections import Counter

import pytest

from sim.control.row_file import FIRST_ROWS
from sim.logic.bench.prints import csv_text
from sim.logic.bench.rungs import Wired
from sim.logic.bench.wiring_prints import (
    device_list,
    io_list,
    located,
    strip_svg,
    strips,
    terminal_plan,
    wire_list,
)
from sim.session.opening import machine_of
from sim.signals import BY_TAG, SIGNALS
from sim.wiring.loom import tag_of

MACHINES = ["harbour-saw", "quay-saw"]


@pytest.fixture(params=MACHINES)
def loom(request):
    return machine_of(request.param).loom


def test_every_wire_is_in_the_list_of_wires_once_with_both_its_ends(loom):
    rows = wire_list(loom).rows

    assert Counter(row[:3] for row in rows) == Counter(
        (wire.number, wire.start, wire.end) for wire in loom.wires.values()
    )
    for number, start, end, cable, *places in rows:
        ends = [loom.by_tag[tag_of(each)] for each in (start, end)]
        assert places == [each.place for each in ends]
        assert bool(cable) is (places[0] != places[1]), number
        assert set(filter(None, cable.split(", "))) <= {each.cable for each in ends}


def test_every_end_of_every_wire_is_in_the_terminal_plan_once_with_the_other_end(loom):
    found = Counter(row[:3] for sheet in terminal_plan(loom) for row in sheet.rows)

    assert found == Counter(
        (end, wire.number, wire.other(end)) for wire in loom.wires.values() for end in wire.ends
    )


def test_every_device_is_in_the_list_of_devices_once_as_it_is_wired(loom):
    rows = {row[0]: row for row in device_list(loom).rows}

    assert len(rows) == len(device_list(loom).rows)
    assert set(rows) == set(loom.by_tag)
    for tag, device in loom.by_tag.items():
        _, _, contacts, ohms, *rest = rows[tag]
        assert rest == [device.address, device.card, device.cable, device.place]
        assert contacts.count("-") == len(device.contacts)
        assert ohms == (f"{device.ohms:g}" if device.ohms else "")


def test_every_signal_is_in_the_list_of_inputs_and_outputs_once_with_both_ends(loom):
    rows = {row[0]: row for row in io_list(loom).rows}

    assert sorted(rows) == sorted(row.tag for row in SIGNALS)
    assert len(rows) == len(io_list(loom).rows)
    for tag, row in rows.items():
        device = loom.by_tag[tag]
        _, way, address, card_end, wires, device_end, contact, cable, place, means = row
        numbers = wires.split(", ")
        assert card_end in loom.wires[numbers[0]].ends
        assert device_end in loom.wires[numbers[-1]].ends
        assert tag_of(device_end) == tag
        assert address == device.address
        assert (way, means) == (BY_TAG[tag].direction.value, str(BY_TAG[tag].text))
        assert (cable, place) == (device.cable, device.place)
        if device.contacts and way == "input":
            mark = device_end.partition(":")[2]
            (own,) = (c for c in device.contacts if mark in (c.first, c.second))
            assert contact == f"{own.name} {'NC' if own.closed_at_rest else 'NO'}"


def test_a_strip_is_drawn_with_every_wire_on_it_and_says_where_each_leads(loom):
    for device in strips(loom):
        text = strip_svg(loom, device)
        for end in loom.joined(device):
            for wire in loom.wires_at[end]:
                said = f"<title>{end}: wire {wire.number} to {wire.other(end)}</title>"
                assert text.count(said) == 1


def test_the_lists_read_back_from_comma_separated_values(loom):
    for sheet in (wire_list(loom), io_list(loom), *terminal_plan(loom)):
        heads, *rows = csv.reader(io.StringIO(csv_text(sheet)))
        assert tuple(heads) == sheet.heads
        assert tuple(map(tuple, rows)) == sheet.rows


def test_where_a_device_is_found_is_told_by_address_and_card():
    loom = machine_of("harbour-saw").loom

    assert located(loom, "B11") == "I5.2, A3:10"
    assert located(loom, "M1") == ""
    assert located(loom, "mode") == ""


def test_the_prints_of_another_machine_differ_where_its_wiring_does(drycycle):
    found = {}
    for machine in MACHINES:
        code, out, err = drycycle("print", "io", "--machine", machine)
        assert code == 0, err
        found[machine] = {line.split()[0]: line.split() for line in out.splitlines()[2:]}

    first, other = (found[machine] for machine in MACHINES)
    assert {tag for tag in first if first[tag] != other[tag]} == {"B43", "B63"}
    assert "13-14" in other["B43"]


def test_the_channel_of_one_device_is_its_row_of_the_whole_list(drycycle):
    _, every, _ = drycycle("print", "io")
    _, one, _ = drycycle("print", "io", "b53")
    code, _, err = drycycle("print", "io", "B99")

    rows = [line.split() for line in every.splitlines() if line.startswith("B53 ")]
    assert rows == [line.split() for line in one.splitlines()[2:]]
    assert code == 2
    assert "no device called 'B99'" in err


def test_the_rows_of_a_site_are_what_its_handbook_and_matrix_print(drycycle, tmp_path):
    folder = tmp_path / "our-saw"
    folder.mkdir()
    (folder / "sizes.yaml").write_text("title: Our saw\n", encoding="utf-8")
    rows = FIRST_ROWS.read_text(encoding="utf-8").replace(
        "action: job.start, needs: {B11: true}}",
        "action: shuttle.back, needs: {B11: true}, where: {mode: MANUAL}}",
    )
    (folder / "interlocks.yaml").write_text(rows, encoding="utf-8")

    _, book, err = drycycle("print", "handbook", "--machine", folder)
    assert not err
    assert "I4   taken out  I4:job.start:B11" in book
    assert "I4   put in     I4:shuttle.back:B11" in book
    _, table, _ = drycycle("print", "handbook")
    assert "taken out" not in table
    matrices = []
    for extra in ((), ("--machine", folder)):
        _, out, _ = drycycle("print", "cause-and-effect", *extra)
        matrices.append(out)
    assert "☐ B11 off, while mode MANUAL -> shuttle.back: I4" in matrices[1]
    assert "shuttle.back: I4" not in matrices[0]
    assert "job.start: I4" in matrices[0]
    assert "job.start: I4" not in matrices[1]


def test_whose_prints_they_are_stands_over_the_page(drycycle):
    _, out, _ = drycycle("print", "terminals", "--machine", "quay-saw", "--format", "html")

    assert "<h1>Terminal plan: quay-saw</h1>" in out
    assert Wired.of(machine_of("quay-saw")).name == "quay-saw"


@pytest.mark.parametrize("device", ["Q11", "k0", "B41"])
def test_a_device_that_no_rung_is_called_after_is_told_where_it_is_shown(drycycle, device):
    code, _, err = drycycle("print", "rungs", device)

    assert code == 2
    assert "nearest" not in err
    [way] = re.findall(r"drycycle (print terminals \w+)", err)
    assert drycycle(*way.split())[0] == 0
