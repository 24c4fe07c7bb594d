"""Every shipped scenario is sound, and the check notices one that is not."""

import pytest

from sim.drill import library
from sim.drill.check import check, check_all


@pytest.mark.parametrize("name", library.names())
def test_every_shipped_scenario_is_sound(name):
    report = check(name)

    assert report.sound, [f for f in report.findings if not f.holds]


def _edited(tmp_path, old, new):
    path = library.find("posts-come-out-short")
    text = path.read_text(encoding="utf-8")
    assert old in text
    mine = tmp_path / "mine.yaml"
    mine.write_text(text.replace(old, new), encoding="utf-8")
    return check(str(mine))


def test_a_fault_that_nobody_could_notice_does_not_pass(tmp_path):
    report = _edited(tmp_path, "tolerance_mm: 0.1", "tolerance_mm: 0.3")

    assert [f.claim for f in report.findings if not f.holds] == ["the fault shows"]


def _looking(tmp_path, inspections, more=""):
    """Check the drill with short posts under another list of inspections."""
    text = library.find("posts-come-out-short").read_text(encoding="utf-8")
    start, end = text.index("inspections:"), text.index("teaches:")
    mine = tmp_path / "mine.yaml"
    mine.write_text(f"{text[:start]}inspections: [{inspections}]\n{more}{text[end:]}", "utf-8")
    return check(str(mine))


def test_a_fault_that_no_allowed_inspection_shows_does_not_pass(tmp_path):
    report = _looking(tmp_path, "air-gauge")

    failed = [f.claim for f in report.findings if not f.holds]
    assert failed == ["an inspection shows it", "it is told from every other cause"]


def test_a_fault_that_looks_like_another_does_not_pass_and_passes_when_that_is_declared(tmp_path):
    # Without a look at the counter, a piece short by the backlash may be short by the kerf.
    looks = "last-piece, collar-pin, stop-hole, head-switches, input-lamps, try-lift"
    silent = _looking(tmp_path, looks)
    declared = _looking(tmp_path, looks, "ambiguous_with: [length-without-kerf]\n")

    assert [(f.claim, f.detail) for f in silent.findings if not f.holds] == [
        ("it is told from every other cause", "alike: length-without-kerf")
    ]
    assert declared.sound


def test_a_fault_that_is_declared_alike_without_need_does_not_pass(tmp_path):
    report = _looking(tmp_path, "stop-play", "ambiguous_with: [oil-low]\n")

    assert [f.claim for f in report.findings if not f.holds] == ["what is declared alike is alike"]


def test_a_fault_that_the_job_cannot_have_does_not_pass(tmp_path):
    report = _edited(tmp_path, "name: counter-from-below", "name: fence-in-way")

    assert "the machine has what is hidden" in [f.claim for f in report.findings if not f.holds]


def test_several_files_are_checked_in_their_order():
    names = ["07-coolant", "13-mitre", "02-two-hand-start"]

    assert [report.name for report in check_all(names)] == names


def test_a_bar_too_short_for_the_order_does_not_pass(tmp_path):
    report = _edited(tmp_path, "length_mm: 3000", "length_mm: 900")

    assert "the job finishes on the sound machine" in [
        f.claim for f in report.findings if not f.holds
    ]
