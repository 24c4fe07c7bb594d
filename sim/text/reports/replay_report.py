"""`drycycle replay`: plays a record again and compares the last states.

A record that ends early, by a pulled plug or a killed program, is played as far as it goes, and a
note on standard error says so; one that was changed is refused.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Final

from sim.debrief.debrief import debrief
from sim.session.playback.replay import Replay, replay_of
from sim.session.who_may import record_to_tell
from sim.text.complaint import write_error
from sim.text.tables import print_json, print_said
from sim.words.fields import authored, count, name, number, part
from sim.words.message import Message, plain, row

_TOOK: Final = row(
    "replay.took", "{title}: {minutes} simulated minutes.", title=authored(), minutes=number(1)
)
_NO_LAST_STATE: Final = plain(
    "replay.no-last-state", "It has no last state, so what happened up to there was compared."
)
_RECORDED: Final = row("replay.recorded", "recorded  {digest}", digest=name())
_PLAYED: Final = row("replay.played", "played    {digest}", digest=name())
_SCORE: Final = row("replay.score", "Score {score} of 100.", score=count())
_ENDS_EARLY: Final = row("replay.ends-early", "drycycle: {how}", how=part())
_OTHERWISE: Final = plain("replay.otherwise", "NOT the same.")
_SAME_SO_FAR: Final = plain("replay.same-so-far", "The same, as far as it goes.")
_OTHERWISE_CUT: Final = plain(
    "debrief.otherwise", "Played again, it comes to something else than the record tells."
)
_ENDS_OTHERWISE: Final = plain(
    "debrief.ends-otherwise", "The record does not end in the state it tells."
)
_SAME: Final = plain("replay.same", "The same, to the last bit.")


def replay_and_report(record: Path, code: Callable[[], str], *, as_json: bool) -> int:
    """Replay a record; return 0 when it ends in the same state, else 1.

    Args:
        record: Its file.
        code: Asks for the instructor's code, where only that opens it.
        as_json: Print JSON.

    Raises:
        RecordError: The record cannot be played, or who asks may not be told of it.
        ScenarioError: Its scenario is gone.
    """
    played = replay_of(record_to_tell(record, code))
    tell_cut(played)
    no_points = played.cut or played.not_played or played.session.shop is not None
    score = None if no_points else debrief(played.session).score
    if as_json:
        print_json({
            "same": played.same, "ends_early": str(played.cut), "not_played": str(played.not_played), "recorded": played.recorded, "played": played.played,
            "scenario": played.session.origin.scenario, "score": score,
            "simulated_s": played.session.now_s,
        })  # fmt: skip
        return 0 if played.same else 1
    session = played.session
    print_said(_TOOK(title=session.scenario.title, minutes=session.now_s / 60))
    if played.not_played:
        print_said(played.not_played)
    if played.cut:
        print_said(_NO_LAST_STATE)
    print_said(
        _RECORDED(digest=played.recorded),
        _PLAYED(digest=played.played),
        verdict(played),
        *(() if score is None else (_SCORE(score=score),)),
    )
    return 0 if played.same else 1


def tell_cut(played: Replay) -> None:
    """Say on standard error that a record ends early, and which lines of it do not fit."""
    for said in (played.cut, *(each.message for each in played.left_out)):
        if said:
            write_error(_ENDS_EARLY(how=said))


def verdict(played: Replay) -> Message:
    """Return whether a replay came to the same."""
    if not played.same:
        return _OTHERWISE
    return _SAME_SO_FAR if played.cut else _SAME


def otherwise(played: Replay) -> Message:
    """Return, of a replay that came to something else, what that is said to be in a debrief."""
    return _OTHERWISE_CUT if played.cut else _ENDS_OTHERWISE
