"""The moves of a counterexample as sentences: a key by the words on its cap, all else by its own."""

from typing import Final

from sim.control.actions import BY_NAME, Action
from sim.logic.proof.example import Stride
from sim.logic.proof.moves import Move
from sim.view.kit.words import retell, say, sentence
from sim.view.play.key_words import key_words

_LET_GO: Final = " let go"


def stride_words(stride: Stride) -> str:
    """Return a move as a sentence, with what was turned on the counters for it."""
    clauses = [move_words(stride.move), *(retell(words) for words in stride.turned)]
    return f"{sentence(', '.join(clauses))}."


def move_words(move: Move) -> str:
    """Return a move as a clause."""
    pressed = BY_NAME.get(move.name)
    if pressed is not None:
        return _press(pressed)
    let_go = BY_NAME.get(move.name.removesuffix(_LET_GO))
    if let_go is not None:
        return f"{say('let go of')} {key_words(let_go.name)}"
    return retell(move.clause)


def _press(row: Action) -> str:
    pressed = f"{say('press')} {key_words(row.name)}"
    return f"{pressed}, {say('with both hands')}" if row.two_hand else pressed
