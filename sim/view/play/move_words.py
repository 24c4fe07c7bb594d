"""The moves of a counterexample as sentences, with keys called by the words on their caps."""

from typing import Final

from sim.control.actions import BY_NAME
from sim.logic.proof.example import Stride
from sim.logic.proof.moves import Move
from sim.view.play.key_words import called
from sim.words.fields import part, parts
from sim.words.message import Message, row

_CLAUSES: Final = row("window.move.clauses", "{clauses}", clauses=parts(", "))
_SENTENCE: Final = row("window.move", "{clauses}.", clauses=part(capital=True))
_PRESS: Final = row("window.move.press", "press {pressed}", pressed=part())
_PALMS: Final = row("window.move.palms", "press {pressed}, then both palm keys", pressed=part())
_LET_GO: Final = row("window.move.let-go", "let go of {pressed}", pressed=part())
_LET_GO_NAME: Final = " let go"  # ends the name of such a move


def stride_sentence(stride: Stride) -> Message:
    """Return a move as a sentence, with what was turned on the counters for it."""
    return _SENTENCE(clauses=_CLAUSES(clauses=(move_clause(stride.move), *stride.turned)))


def move_clause(move: Move) -> Message:
    """Return a move as a clause."""
    pressed = BY_NAME.get(move.name)
    if pressed is not None:
        return (_PALMS if pressed.palms else _PRESS)(pressed=called(pressed.name))
    let_go = BY_NAME.get(move.name.removesuffix(_LET_GO_NAME))
    return move.clause if let_go is None else _LET_GO(pressed=called(let_go.name))
