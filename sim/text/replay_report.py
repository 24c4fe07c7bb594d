"""`drycycle replay`: plays a record again and compares the last states.

Imports `drill` and `tables`.
"""

from pathlib import Path

from sim.drill.debrief import debrief
from sim.drill.replay import replay
from sim.text.run_report import print_json
from sim.text.tables import console


def replay_and_report(record: Path, *, as_json: bool) -> int:
    """Replay a record; return 0 when it ends in the same state, else 1.

    Raises:
        RecordError: The record cannot be played.
        ScenarioError: Its scenario is gone.
    """
    played = replay(record)
    summary = debrief(played.session)
    if as_json:
        print_json({
            "same": played.same, "recorded": played.recorded, "played": played.played,
            "scenario": played.session.source.get("scenario"), "score": summary.score,
            "simulated_s": played.session.now_s,
        })  # fmt: skip
        return 0 if played.same else 1
    out = console()
    out.print(
        f"{played.session.scenario.title}: {played.session.now_s / 60:.1f} simulated minutes.",
        markup=False,
    )
    out.print(f"recorded  {played.recorded}", markup=False)
    out.print(f"played    {played.played}", markup=False)
    out.print("The same, to the last bit." if played.same else "NOT the same.", markup=False)
    out.print(f"Score {summary.score} of 100.", markup=False)
    return 0 if played.same else 1
