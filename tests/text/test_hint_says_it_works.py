"""A hint of a drill takes long the first time; that it is being worked out is said at once."""

from sim.session.kept.deeds import Answer
from sim.session.opening import open_session
from sim.text.typed import acts
from sim.text.typed.language import parse
from sim.words.message import NOTHING


def test_a_hint_that_is_worked_out_says_so_before_it_is_there(monkeypatch, capsys):
    said = []

    def hint(_session):
        said.append(capsys.readouterr().err)
        return Answer(True, NOTHING)

    monkeypatch.setattr(acts, "hint", hint)
    acts.perform(open_session("twice-the-time"), parse("hint"))

    assert said[0].startswith("Working out the hint")
