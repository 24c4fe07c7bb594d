"""The moves of a counterexample as sentences, with keys called by the words on their caps."""

from typing import Final

from sim.control.actions import BY_NAME
from sim.logic.proof.example import Stride
from sim.logic.proof.moves import Move
from sim.view.play.key_words import called
from sim.words.fields import part, parts
from sim.words.message import Message, row, sentence

_CLAUSES: Final = row("window.move.clauses", "{clauses}", clauses=parts(", "))
_PRESS: Final = row("window.move.press", "press {pressed}", pressed=part())
_PALMS: Final = row("window.move.palms", "press {pressed}, then both palm keys", pressed=part())
_LET_GO: Final = row("window.move.let-go", "let go of {pressed}", pressed=part())
_HELD: Final = row("window.move.held", "press {pressed} and keep it down", pressed=part())
# What ends the name of a move, after that of its key.
_LET_GO_NAME, _DEAD, _SLOW = " let go", " dead", " in MAINTENANCE"


def stride_sentence(stride: Stride) -> Message:
    """Return a move as a sentence, with what was turned on the counters for it."""
    return sentence(_CLAUSES(clauses=(move_clause(stride.move), *stride.turned)))


def move_clause(move: Move) -> Message:
    """Return a move as a clause."""
    name = move.name.removesuffix(_LET_GO_NAME).removesuffix(_DEAD).removesuffix(_SLOW)
    action = BY_NAME.get(name)
    if action is None:
        return move.clause
    if move.name.endswith(_LET_GO_NAME):
        said = _LET_GO
    elif move.name.endswith(_DEAD):
        said = _PRESS
    elif action.halt or move.name.endswith(_SLOW):
        said = _HELD
    else:
        said = _PALMS if action.palms else _PRESS
    return said(pressed=called(name))
