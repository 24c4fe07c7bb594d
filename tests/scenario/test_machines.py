"""Machine files: every number of a saw, what is refused and where, and a site's own machine."""

import os
from dataclasses import fields, replace
from pathlib import Path

import pytest

from sim.errors import ScenarioError
from sim.plant.machine import ENTRIES, ORDERED, Machine
from sim.plant.set_points import SET_POINTS
from sim.scenario import library, machines
from sim.scenario.gate import load
from sim.scenario.machines import first_machine, read_machine, shipped_machine, whole_file
from sim.session.opening import machine_of, open_session, read
from sim.units import MINUTE, MM

SCENARIO = """\
title: On our own saw
mode: practice
machine: {machine}
stock: {{material: S275JR, section: {{shape: round, diameter_mm: 30}}, length_mm: 3000}}
job: {{length_mm: 100, wanted: 2}}
found: {{head.feed_valve_mm_min: {valve}}}
"""


def written(tmp_path, text, name="ours"):
    path = tmp_path / f"{name}.yaml"
    path.write_text(text)
    return path


def refused(tmp_path, text):
    with pytest.raises(ScenarioError) as caught:
        read_machine(written(tmp_path, text))
    error = caught.value
    return str(error.what), str(error.where), str(error.what_to_do)


# What ships ---------------------------------------------------------------------------------


def test_the_file_of_the_first_saw_tells_every_number():
    told = load(library.machine_path("harbour-saw")).value
    there = {(section, key) for section, keys in told.items() if section != "title" for key in keys}

    assert there == {(entry.section, entry.key) for entry in ENTRIES.values()}
    assert {each.name for each in fields(Machine)} == {"name", "loom", "site_rows", *ENTRIES}


def test_no_two_numbers_stand_in_one_place():
    places = [(entry.section, entry.key) for entry in ENTRIES.values()]

    assert len(set(places)) == len(places)


def test_the_two_shipped_saws_differ_in_size_and_in_what_their_head_does_without_power():
    first, other = shipped_machine("harbour-saw"), shipped_machine("quay-saw")

    assert library.machine_names() == ("harbour-saw", "quay-saw")
    assert first.head_sinks
    assert not other.head_sinks
    differ = [name for name in ENTRIES if getattr(first, name) != getattr(other, name)]
    assert len(differ) > 30


def test_the_first_saw_is_as_the_design_has_it():
    saw = first_machine()

    assert (saw.band_low_m_s, saw.band_high_m_s) == pytest.approx((20 / MINUTE, 110 / MINUTE))
    assert (saw.motor_w, saw.band_width_m, saw.band_thickness_m) == (3000, 34 * MM, 1.1 * MM)
    assert (saw.powered_stroke_m, saw.jaw_gap_m) == (10 * MM, 4 * MM)
    assert (saw.stroke_m, saw.play_m) == (600 * MM, 0.15 * MM)
    assert saw.lift_m_s == 60 * MM
    assert (saw.notches, saw.notch_step_m) == (12, 20 * MM)
    assert saw.index_deg == (0, 15, 30, 45, 60)
    assert (saw.wander_limit_m, saw.deviation_s) == (0.8 * MM, 6)


@pytest.mark.parametrize("name", library.machine_names())
@pytest.mark.parametrize("row", [row for row in SET_POINTS if not row.words], ids=lambda r: r.name)
def test_every_set_point_has_limits_on_every_saw_and_is_found_within_them(new_hands, name, row):
    hands = new_hands(machine=shipped_machine(name))
    low, high = row.limits(hands.machine)

    assert low < high
    assert low <= hands.saw.read(row.name) <= high


# What is left out, and what is refused ----------------------------------------------------


def test_what_a_file_leaves_out_is_as_on_the_first_saw(tmp_path):
    path = written(tmp_path, "title: Ours\nband: {kerf_mm: 2}\n")

    assert read_machine(path) == replace(first_machine(), name="ours", kerf_m=2 * MM)


@pytest.mark.parametrize(
    ("text", "place", "says", "do"),
    [
        ("title: t\nband: {kerf_m: 2}\n", "2:8", "kerf_m", "kerf_mm"),
        ("title: t\nbant: {kerf_mm: 2}\n", "2:1", "bant", "band"),
        ("title: t\nband: {kerf_mm: 9}\n", "2:17", "9", "4"),
        ("title: t\nband: {kerf_mm: wide}\n", "2:17", "wide", "number"),
        ("title: t\nhead: {head_without_power: sink}\n", "2:28", "sink", "sinks"),
        ("title: t\nhead: {notches: 3.5}\n", "2:17", "3.5", "4"),
        ("band: {kerf_mm: 2}\n", "1:1", "title", "title"),
        ("title: t\nband: {low_m_min: 120}\n", "2:19", "less than", "band.high_m_min is 110"),
        ("title: t\nvises: {jaw_gap_mm: 7}\n", "2:21", "less than", "vises.finger_mm is 6"),
        ("title: t\nswivel: {index_deg: [15, 30]}\n", "2:21", "rise from 0", "begin with 0"),
        ("title: t\nswivel: {index_deg: [0, 30, 30]}\n", "2:21", "rise from 0", "once"),
        ("title: t\nhead: {notches: 20}\n", "2:17", "400 mm", "fewer notches"),
        ("title: t\nhead:\n  head_without_power:\n", "3:22", "nothing", "one of sinks, holds"),
        ("title: t\nband:\n  kerf_mm:\n", "3:11", "nothing", "as on harbour-saw"),
        ("title: t\nband: {kerf_mm: ~}\n", "2:17", "nothing", "give a value"),
        ("title: t\nband:\n", "2:6", "nothing", "leave the name out"),
        ("title: t\nswivel:\n  index_deg:\n", "3:13", "nothing", "give a value"),
        ("title: t\nhead: {head_without_power: yes}\n", "2:28", "yes", "write one of sinks, holds"),
        ("title: t\nhead: {head_without_power: true}\n", "2:28", "sinks, holds was expected", "holds"),
        ("title: t\nband: {kerf_mm: 1}\n", "2:17", "band.thickness_mm must be less", "kerf_mm is 1"),
        ("title: t\nband: {thickness_mm: 1.5}\n", "2:22", "less than band.kerf_mm", "is 1.5"),
        ("title: t\nswivel: {mitre_high_deg: 45}\n", "2:26", "45 degrees", "swivel.index_deg"),
        ("title: t\nswivel: {index_deg: [0, 75]}\n", "2:21", "75 degrees", "swivel.mitre_high_deg"),
        ("title: t\nband: {coast_s: 600}\n", "2:17", "600", "at most 120"),
        ("title: t\nhead: {mass_kg: 90000}\n", "2:17", "90000", "at most 2000"),
        ("title: t\nshuttle_mm_s: 50\n", "2:1", "shuttle_mm_s", "shuttle.speed_mm_s"),
        ("title: t\nkerf_mm: 2\n", "2:1", "kerf_mm", "in the section band"),
        ("title: t\nfound_mm: 2\n", "2:1", "found_mm", "guides or shuttle"),
    ],
)  # fmt: skip
def test_a_bad_file_says_where_what_was_found_and_what_to_write(tmp_path, text, place, says, do):
    what, where, to_do = refused(tmp_path, text)

    assert where.endswith(f"ours.yaml:{place}")
    assert says in what
    assert do in to_do


@pytest.mark.parametrize(("low", "high"), ORDERED)
def test_what_must_be_less_is_refused_when_it_is_not(tmp_path, low, high):
    one, other = ENTRIES[low], ENTRIES[high]
    saw = first_machine()
    most = getattr(saw, high) / one.si
    given = (one, most) if most <= one.high else (other, getattr(saw, low) / other.si)
    what, _, _ = refused(
        tmp_path, f"title: t\n{given[0].section}: {{{given[0].key}: {given[1]}}}\n"
    )

    assert f"{one.section}.{one.key}" in what
    assert f"{other.section}.{other.key}" in what


def test_a_machine_that_is_not_there_is_told_with_the_nearest_name(drycycle, tmp_path):
    path = written(tmp_path, SCENARIO.format(machine="quey-saw", valve=60), "job")
    code, _, errors = drycycle("check", path)

    assert code == 2
    assert "job.yaml:3:10" in errors
    assert "quey-saw" in errors
    assert "quay-saw" in errors


@pytest.mark.parametrize("name", library.machine_names())
def test_the_whole_text_of_a_machine_file_leans_on_no_other(name, monkeypatch):
    saw, text = shipped_machine(name), whole_file(library.machine_path(name))
    other = replace(first_machine(), kerf_m=2 * MM, shuttle_m_s=90 * MM, index_deg=(0.0,))
    monkeypatch.setattr(machines, "first_machine", lambda: other)

    assert read_machine(Path(f"{name}.yaml"), text) == saw
    assert read_machine(Path(f"{name}.yaml"), b"title: t\n") != saw


def test_the_saw_is_found_and_timed_as_its_machine_file_says(new_hands):
    hands = new_hands(
        machine=replace(
            first_machine(), clamping_found_pa=25e5, stop_found_m=200 * MM, force_found_n=300.0,
            tension_found_pa=210e6, guide_found_m=90 * MM, brush_found_m=1 * MM,
            mode_rest_s=0.2, jog_s=0.1,
        )
    )  # fmt: skip
    found = {
        "cutting_vise.pressure_bar": 25, "shuttle_vise.pressure_bar": 25, "shuttle.stop_mm": 200,
        "head.feed_force_n": 300, "band.tension_mpa": 210, "band.guide_span_mm": 90,
        "band.brush_mm": 1,
    }  # fmt: skip

    assert {name: hands.saw.read(name) for name in found} == pytest.approx(found)
    times = hands.saw.controller.times
    assert (times.mode_rests_us, times.jog_us) == (200_000, 100_000)


def test_a_turned_mode_switch_rests_as_long_as_the_machine_has_it(new_hands):
    hands = new_hands(machine=replace(first_machine(), mode_rest_s=0.2))
    hands.press("mode.maintenance")
    hands.wait(0.19)
    assert hands.state("mode") == "NONE"
    hands.wait(0.02)

    assert hands.state("mode") == "MAINTENANCE"


# A site's own -------------------------------------------------------------------------------


@pytest.fixture
def site(tmp_path):
    """A folder with a scenario and, beside it, a machine of the site's own."""
    (tmp_path / "machines").mkdir()
    written(tmp_path / "machines", "title: Ours\nhead: {valve_high_mm_min: 300}\n", "our-saw")
    return written(tmp_path, SCENARIO.format(machine="our-saw", valve=290), "job")


def test_a_scenario_is_played_on_the_machine_beside_it(site):
    session = open_session(str(site))

    assert session.machine.name == "our-saw"
    assert session.machine.valve_high_m_s == 300 * MM / MINUTE
    assert session.saw.read("head.feed_valve_mm_min") == pytest.approx(290)


def test_a_setting_is_held_to_the_limits_of_the_scenarios_own_machine(site):
    site.write_text(SCENARIO.format(machine="our-saw", valve=310))
    with pytest.raises(ScenarioError, match="310"):
        read(str(site))
    site.write_text(SCENARIO.format(machine="harbour-saw", valve=290))
    with pytest.raises(ScenarioError, match="290"):
        read(str(site))


def test_a_sites_own_machine_comes_before_one_that_ships(site):
    written(site.parent / "machines", "title: Ours\nband: {kerf_mm: 3}\n", "harbour-saw")

    assert machine_of("harbour-saw", site.parent).kerf_m == 3 * MM
    assert machine_of("harbour-saw").kerf_m == 1.5 * MM


@pytest.mark.parametrize("name", library.machine_names())
def test_a_scenario_can_be_read_on_another_machine_than_its_own(name):
    scenario, _ = read("rail-posts", machine=name)

    assert scenario.machine == name


def test_a_head_that_holds_is_found_down_only_where_it_was_left_down(tmp_path):
    text = SCENARIO.format(machine="quay-saw", valve=60).replace("3000", "3000, front_mm: 12")
    held = open_session(str(written(tmp_path, text, "held")))
    left = open_session(str(written(tmp_path, f"{text}head_down: true\n", "left")))

    assert held.saw.bus.seen["B11"]
    assert not left.saw.bus.seen["B11"]
    assert left.saw.plant.head.place.position == pytest.approx(30 * MM)


def test_a_whole_job_runs_on_the_other_saw(new_hands):
    hands = new_hands(machine=shipped_machine("quay-saw"))
    hands.begin_job("straight", wanted=2)
    hands.until_job("COMPLETE")

    assert hands.lengths_mm() == [112.0, 100.0]
    assert hands.harm == []


def test_a_folder_here_that_was_given_as_a_name_is_told_with_how_it_is_written(
    drycycle, tmp_path, monkeypatch
):
    (tmp_path / "our-saw").mkdir()
    (tmp_path / "our-saw" / "sizes.yaml").write_text("title: Ours\n")
    monkeypatch.chdir(tmp_path)
    code, _, errors = drycycle("run", "rail-posts", "--machine", "our-saw")
    written_so = f".{os.sep}our-saw"

    assert code == 2
    assert f"there is a folder of that name here: write it {written_so}" in errors
    assert drycycle("print", "terminals", "Q11", "--machine", written_so)[0] == 0
