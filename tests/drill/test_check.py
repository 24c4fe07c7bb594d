"""Every shipped scenario is sound, and the check notices one that is not."""

import pytest

from sim.drill import library
from sim.drill.check import check


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


def test_a_fault_that_no_allowed_inspection_shows_does_not_pass(tmp_path):
    report = _edited(tmp_path, "faults:", "inspections: [air-gauge]\nfaults:")

    failed = [f.claim for f in report.findings if not f.holds]
    assert failed == ["an inspection shows it", "it is told from every other cause"]


def test_a_bar_too_short_for_the_order_does_not_pass(tmp_path):
    report = _edited(tmp_path, "length_mm: 3000", "length_mm: 900")

    assert "the job finishes on the sound machine" in [
        f.claim for f in report.findings if not f.holds
    ]
