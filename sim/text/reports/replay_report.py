"""`drycycle replay`: plays a record again and compares the last states.

A record that ends early, by a pulled plug or a killed program, is played as far as it goes, and a
note on standard error says so; one that was changed is refused.
"""

import sys
from pathlib import Path

from sim.debrief.debrief import debrief
from sim.session.replay import Replay, replay
from sim.text.reports.run_report import print_json
from sim.text.tables import console


def replay_and_report(record: Path, *, as_json: bool) -> int:
    """Replay a record; return 0 when it ends in the same state, else 1.

    Raises:
        RecordError: The record cannot be played.
        ScenarioError: Its scenario is gone.
    """
    played = replay(record, allow_cut=True)
    tell_cut(played)
    summary = debrief(played.session)
    if as_json:
        print_json({
            "same": played.same, "ends_early": played.cut, "recorded": played.recorded, "played": played.played,
            "scenario": played.session.source.get("scenario"), "score": summary.score,
            "simulated_s": played.session.now_s,
        })  # fmt: skip
        return 0 if played.same else 1
    out = console()
    out.print(
        f"{played.session.scenario.title}: {played.session.now_s / 60:.1f} simulated minutes.",
        markup=False,
    )
    if played.cut:
        out.print("It has no last state; compared is what happened up to there.", markup=False)
    out.print(f"recorded  {played.recorded}", markup=False)
    out.print(f"played    {played.played}", markup=False)
    out.print(verdict(played), markup=False)
    out.print(f"Score {summary.score} of 100.", markup=False)
    return 0 if played.same else 1


def tell_cut(played: Replay) -> None:
    """Say on standard error that a record ends early, when it does."""
    if played.cut:
        sys.stderr.write(f"drycycle: {played.cut}\n")


def verdict(played: Replay) -> str:
    """Return in words whether a replay came to the same."""
    if not played.same:
        return "NOT the same."
    return "The same, as far as it goes." if played.cut else "The same, to the last bit."
