"""Every shipped scenario is sound, and the check notices one that is not."""

from concurrent.futures import Future
from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import ClassVar

import pytest

from sim.authoring import check as check_module
from sim.authoring import claims
from sim.authoring.check import check, check_all, proved
from sim.authoring.claims import (
    ASKS,
    CLAIMS,
    FINISHES,
    HAS_IT,
    HIDES,
    OPEN,
    PROVABLE,
    REACHED,
    REPORTED,
    SEEN,
    SHIFT_CLAIMS,
    SHOWS,
    TOLD,
    UNNAMED,
    WORTH,
    Claim,
)
from sim.diagnosis.dependency import Matrix
from sim.diagnosis.greedy import greedy
from sim.diagnosis.matrix_from_saw import matrix_for
from sim.diagnosis.tree import leaves
from sim.faults.catalogue import EVERY
from sim.faults.fault import Family
from sim.scenario import library
from sim.scenario.scenario import HiddenFault
from sim.session.opening import library_entries, read
from sim.trade.measuring import fit_tool


def not_told_apart(scenario):
    """Return the verdict that it is not told apart, or nothing where it is."""
    return next((v for v in proved(scenario) if v.claim is TOLD and not v.holds), None)


@pytest.mark.parametrize(
    "sets_in",
    [
        pytest.param({}, id="at once"),
        pytest.param({"from_piece": 2}, id="late", marks=pytest.mark.slow),
    ],
)
def test_who_does_as_the_check_says_has_a_fault_that_is_told_apart(sets_in):
    fault = HiddenFault(name="stop-channel-wire", **sets_in)
    shipped = read("posts-come-out-short")[0]
    mine = shipped.model_copy(update={"inspections": "all", "faults": (fault,)})

    failed = not_told_apart(mine)

    assert failed is not None
    assert "inspections: all" not in str(failed.what_to_do)  # which is what it has
    assert str(failed.what_to_do).endswith("declare what is alike under ambiguous_with")
    alike = str(failed.detail).removeprefix("alike: ").replace(" + ", ", ").split(", ")
    assert not_told_apart(mine.model_copy(update={"ambiguous_with": tuple(alike)})) is None


# A sample; `drycycle check` proves every scenario on both saws where everything is run.
@pytest.mark.parametrize(
    "name",
    [
        "rail-posts", "19-change-of-order", "posts-come-out-short", "trips-while-it-stands",
        "through-the-bar-and-no-further", "channels-differ-and-both-are-lit",
    ],
)  # fmt: skip
def test_a_shipped_scenario_is_sound(name):
    report = check(name)

    assert report.sound, [f for f in report.verdicts if not f.holds]


@pytest.mark.parametrize(
    "name",
    [
        "01-power-up-and-stops", "02-two-hand-start", "05-head-height-feed-and-force",
        "newels-short-and-uneven",
    ],
)  # fmt: skip
def test_a_scenario_is_sound_on_a_machine_that_is_not_its_own(name):
    report = check(name, "quay-saw")

    assert report.sound, [f for f in report.verdicts if not f.holds]


@cache
def _edited(old, new):
    """Return the report on an edited drill, with its path and lines; checked once for all tests of it."""
    text = library.find("posts-come-out-short").read_text(encoding="utf-8")
    assert old in text
    edited = text.replace(old, new)
    with TemporaryDirectory() as folder:
        mine = Path(folder) / "mine.yaml"
        mine.write_text(edited, encoding="utf-8")
        return check(str(mine)), str(mine), edited.splitlines()


def test_a_fault_that_nobody_could_notice_does_not_pass():
    report, *_ = _edited("tolerance_mm: 0.1", "tolerance_mm: 0.3")

    assert [str(f.claim.title) for f in report.verdicts if not f.holds] == ["the fault shows"]


def _looking(tmp_path, name, looks, more=""):
    """Check a drill under another list of inspections."""
    text = library.find(name).read_text(encoding="utf-8")
    start, end = text.index("inspections:"), text.index("teaches:")
    mine = tmp_path / "mine.yaml"
    listed = ", ".join(looks)
    mine.write_text(f"{text[:start]}inspections: [{listed}]\n{more}{text[end:]}", "utf-8")
    return check(str(mine))


def test_a_fault_that_no_allowed_inspection_shows_does_not_pass(tmp_path):
    report = _looking(tmp_path, "posts-come-out-short", ["air-gauge"])

    failed = [f.claim for f in report.verdicts if not f.holds]
    assert failed == [OPEN, SEEN, TOLD, WORTH, PROVABLE]


def test_a_fault_that_looks_like_another_does_not_pass_unless_that_is_declared(tmp_path):
    # Nobody looks at the sensor's own lamp or meters it, so it may be the wire or the sensor itself. The two are one
    # class then, and the report leaves little else.
    name = "says-there-is-no-bar"
    allowed = sorted(set(read(name)[0].inspections) - {"shuttle-switches", "meter B53"})
    silent = _looking(tmp_path, name, allowed)
    declared = _looking(tmp_path, name, allowed, "ambiguous_with: [bar-sensor-dead]\n")

    failed = {f.claim: str(f.detail) for f in silent.verdicts if not f.holds}
    assert list(failed) == [OPEN, TOLD]
    assert failed[TOLD] == "alike: bar-sensor-dead"
    assert [f.claim for f in declared.verdicts if not f.holds] == [OPEN]


def test_a_report_that_is_not_borne_out_is_told_with_what_the_machine_does():
    report, *_ = _edited("all_are: short", "all_are: long")
    (found,) = [f for f in report.verdicts if f.claim == REPORTED]

    assert not found.holds
    assert (
        str(found.detail) == "it does not do so: length; what it does is length: {all_are: short}"
    )


def test_a_fault_that_is_declared_alike_without_need_does_not_pass(tmp_path):
    name = "posts-come-out-short"
    report = _looking(tmp_path, name, read(name)[0].inspections, "ambiguous_with: [oil-low]\n")

    assert [str(f.claim.title) for f in report.verdicts if not f.holds] == [
        "what is declared alike is alike"
    ]


def test_a_fault_that_the_job_cannot_have_does_not_pass():
    report, *_ = _edited("name: stop-from-below", "name: back-rail-in-way")

    assert "the machine has what is hidden" in [
        str(f.claim.title) for f in report.verdicts if not f.holds
    ]


def test_several_files_are_checked_in_their_order():
    names = ["07-coolant", "13-mitre", "02-two-hand-start"]

    assert [report.name for report in check_all(names)] == names


class _Pool:
    """A pool of processes in this one, which notes what it is given."""

    begun: ClassVar[list[str]] = []

    def __init__(self, *_, **__):
        self.begun.clear()

    def __enter__(self):
        return self

    def __exit__(self, *_):
        return None

    def submit(self, _work, item):
        """Note an item; it comes back as it is."""
        self.begun.append(item)
        done = Future()
        done.set_result(item)
        return done


def test_what_takes_longest_is_begun_first_and_told_in_its_place(monkeypatch):
    monkeypatch.setattr(check_module, "ProcessPoolExecutor", _Pool)
    monkeypatch.setattr(check_module.os, "cpu_count", lambda: 2)
    names = [
        "rail-posts",
        "no-such-file",
        "loose-at-both-ends",
        "posts-come-out-short",
        "wet-at-first",
    ]

    assert list(check_all(names)) == names
    assert _Pool.begun == [
        "wet-at-first", "loose-at-both-ends", "rail-posts", "no-such-file", "posts-come-out-short",
    ]  # fmt: skip


def test_a_bar_too_short_for_the_order_does_not_pass():
    report, *_ = _edited("length_mm: 3000", "length_mm: 900")

    assert "the job finishes on the sound machine" in [
        str(f.claim.title) for f in report.verdicts if not f.holds
    ]


UNSOUND = {
    FINISHES: ("length_mm: 3000", "length_mm: 900"),
    HIDES: ("faults: [{name: stop-from-below}]\n", ""),
    HAS_IT: ("name: stop-from-below", "name: back-rail-in-way"),
    SHOWS: ("tolerance_mm: 0.1", "tolerance_mm: 0.3"),
    REPORTED: ("all_are: short", "all_are: long"),
    UNNAMED: ("title: Every post comes out a little short", "title: The stop is set from below"),
    OPEN: ("[stop-play, length-stop, last-piece,", "[last-piece,"),
    PROVABLE: ("tape, caliper,", "tape,"),
}


@pytest.mark.parametrize("claim", UNSOUND)
def test_what_fails_says_where_in_the_file_it_is_decided_and_what_to_do(claim):
    report, checked, lines = _edited(*UNSOUND[claim])

    [failed] = [f for f in report.verdicts if f.claim is claim]
    path, line, _ = failed.where.rsplit(":", 2)

    assert not failed.holds
    assert path == checked
    assert lines[int(line) - 1].startswith(claim.place[0])
    assert failed.claim.what_to_do


@pytest.mark.parametrize(
    ("told", "begins"), [("reported: {}", "reported:"), ("reported:", "report:"), ("", "report:")]
)
def test_a_drill_that_reports_nothing_as_data_does_not_pass(told, begins):
    report, _, lines = _edited("reported: {length: {all_are: short}}", told)

    [failed] = [f for f in report.verdicts if f.claim is REPORTED]

    assert str(failed.detail) == "nothing is reported as data"
    assert not failed.holds
    assert lines[int(failed.where.rsplit(":", 2)[1]) - 1].startswith(begins)


def test_a_fault_that_the_report_does_not_need_does_not_pass():
    report, *_ = _edited(
        "[{name: stop-from-below}]", "[{name: stop-from-below}, {name: coolant-weak}]"
    )

    [failed] = [f for f in report.verdicts if f.claim is REPORTED]

    assert not failed.holds
    assert str(failed.detail) == "it does so without: coolant-weak"


def test_a_lesson_that_cannot_be_done_points_at_the_step(tmp_path):
    text = library.find("01-power-up-and-stops").read_text(encoding="utf-8")
    steps = text.count("- ask:")
    mine = tmp_path / "mine.yaml"
    more = "  - ask: Twice.\n    why: It is so.\n    goal: {state: {head: [UP]}}\n"
    at = text.index("teaches:")
    mine.write_text(f"{text[:at]}{more * 2}{text[at:]}", encoding="utf-8")
    lines = mine.read_text(encoding="utf-8").splitlines()

    failed = [f for f in check(str(mine)).verdicts if not f.holds]
    told = {f.claim.title: lines[int(f.where.rsplit(":", 2)[1]) - 1] for f in failed}

    assert steps > 2
    assert ASKS.title in told or REACHED.title in told
    assert all("goal:" in line for line in told.values())


def test_every_claim_has_a_place_and_something_to_do():
    rows = [value for value in vars(claims).values() if isinstance(value, Claim)]

    assert rows == [*CLAIMS, *SHIFT_CLAIMS]
    assert all(claim.title and claim.place and claim.what_to_do for claim in rows)


METERED = ("meter ", "volts ", "ohms ")  # a device, or the terminals of its wiring
MAINTENANCE = [name for name, sc in library_entries() if "maintenance" in sc.skills]


def test_there_are_eight_drills_at_least_for_the_maintenance_tech_all_on_wiring_and_valves():
    assert len(MAINTENANCE) >= 8
    for name in MAINTENANCE:
        families = {EVERY[row.name].family for row in read(name)[0].faults}
        assert families <= {Family.SENSOR, Family.ACTUATOR}, name


@pytest.mark.sampled(9)
@pytest.mark.parametrize("name", MAINTENANCE)
def test_meter_lamps_switches_and_trying_by_hand_solve_a_maintenance_drill(name):
    # Whether a switch is dead or its wire is broken can only be told at the switch.
    scenario, _ = read(name)
    matrix = matrix_for(scenario)
    kept = [
        place
        for place, column in enumerate(matrix.inspections)
        if column.look.startswith((*METERED, "try-"))
        or column.look.endswith("-switches")
        or column.look in ("", "input-lamps", "output-lamps")
    ]
    means = Matrix(
        tuple(replace(c, outcomes=tuple(c.outcomes[k] for k in kept)) for c in matrix.causes),
        tuple(matrix.inspections[k] for k in kept),
    )
    cause = " + ".join(sorted(row.name for row in scenario.faults))
    alike = next(group for group in leaves(greedy(means)) if cause in group)

    assert any(c.look.startswith(METERED) or c.look.endswith("-lamps") for c in means.inspections)
    assert set(alike) <= {cause, *scenario.ambiguous_with}


def test_wherever_a_good_piece_is_the_proof_the_last_piece_may_be_measured():
    for name, scenario in library_entries():
        if scenario.faults and scenario.inspections != "all":
            assert "last-piece" in scenario.inspections, name
            job = scenario.job
            assert fit_tool(job.length_mm * 1e-3, job.tolerance_mm * 1e-3, scenario.inspections), (
                name
            )
