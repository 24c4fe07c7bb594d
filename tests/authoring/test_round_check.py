"""The check of a round notices a finding that is not there, that nothing shows, or that is in the wrong class."""

import pytest

from sim.authoring.check import check
from sim.authoring.claims import ROUND_FIT, ROUND_GOES_ON, ROUND_HAS, ROUND_SEEN
from sim.scenario import library

MORNING = "the-saw-this-morning"


@pytest.mark.parametrize("machine", ["harbour-saw", "quay-saw"])
def test_the_shipped_round_is_sound_on_both_saws(machine):
    report = check(MORNING, machine=machine)

    assert report.sound
    assert {ROUND_FIT, ROUND_GOES_ON, ROUND_HAS, ROUND_SEEN} < {v.claim for v in report.verdicts}


def test_a_scenario_without_findings_is_asked_nothing_of_a_round():
    assert not {v.claim for v in check("rail-posts").verdicts} & {ROUND_FIT, ROUND_HAS}


@pytest.mark.parametrize(
    ("cause", "pool", "claim"),
    [
        ("bundle-clamp-up", "fit", ROUND_HAS),  # means nothing to one bar
        ("contactor-dead", "stops", ROUND_SEEN),
        ("scale-zeroed-wrong", "fit", ROUND_SEEN),
        ("relay-set-low", "fit", ROUND_FIT),
        ("control-fuse-blown", "goes_on", ROUND_GOES_ON),
    ],
)
def test_a_finding_that_does_not_belong_is_told_by_its_claim(tmp_path, cause, pool, claim):
    text = library.find(MORNING).read_text(encoding="utf-8")
    start, end = text.index("findings:"), text.index("teaches:")
    mine = tmp_path / "mine.yaml"
    only = f"findings:\n  draw: 1\n  fit: [guard-open]\n  {pool}: [{cause}]\n"
    if pool == "fit":
        only = f"findings:\n  draw: 1\n  fit: [guard-open, {cause}]\n"
    mine.write_text(text[:start] + only + text[end:], encoding="utf-8")
    line = text[:start].count("\n") + 1

    failed = {v.claim: v for v in check(str(mine)).verdicts if not v.holds}

    assert claim in failed
    assert str(failed[claim].detail) == cause
    assert failed[claim].where.endswith(f"mine.yaml:{line}:1")
    assert failed[claim].what_to_do
