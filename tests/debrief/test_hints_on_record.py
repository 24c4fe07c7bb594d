"""A record is whole for who plays it with the session alone: no wing above it has to be loaded."""

import json
import subprocess
import sys

import pytest

from sim.debrief.hints import hint
from sim.records.acts import Hinted, Noted
from sim.session.opening import open_recorded
from sim.text.typed.acts import perform
from sim.text.typed.language import parse
from sim.view.play.hands import Hands

PLAYED_ALONE = """
import json, sys
from pathlib import Path
from sim.session.playback.replay import replay
played = replay(Path(sys.argv[1]))
above = [n for n in sys.modules if n.startswith(("sim.debrief", "sim.diagnosis", "sim.view", "sim.text"))]
said = [[act.kind.value, (act.message if act.kind == "hint" else act.text).plain()]
        for act in played.session.done.acts if act.kind in ("hint", "note")]
print(json.dumps([played.same, [str(each.message) for each in played.left_out], above, said]))
"""


def follow_hints(session):
    """Do what the hints say, asking twice for each, until they say to name the cause."""
    while not session.over:
        hint(session)
        hint(session)
        acts = [str(act["act"]) for act in session.done.hints[-1].message["acts"]["acts"]]
        if "diagnose NAME" in acts:
            return
        for line in acts:
            perform(session, parse(line))


@pytest.mark.slow
@pytest.mark.parametrize("name", ["posts-come-out-short", "motor-hums", "two-good-ones-and-then"])
def test_hints_and_notes_of_a_window_are_read_without_the_wings_that_gave_them(tmp_path, name):
    path = tmp_path / "one.jsonl"
    session = open_recorded(name, path)
    Hands(session).set_sticky(True)
    follow_hints(session)
    session.diagnose(session.hidden[0].name)
    hint(session)
    hint(session)
    session.close()
    said = [
        [act.kind.value, (act.message if isinstance(act, Hinted) else act.text).plain()]
        for act in session.done.acts
        if isinstance(act, Hinted | Noted)
    ]

    done = subprocess.run(
        [sys.executable, "-c", PLAYED_ALONE, str(path)], capture_output=True, text=True, check=True
    )

    assert len(said) >= 5
    assert json.loads(done.stdout) == [True, [], [], said]
