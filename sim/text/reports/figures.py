"""The lines of a calculation as a table, with its notes and warnings below."""

from collections.abc import Sequence
from typing import Final

from sim.calc.figure import NOTE, WARNING, Figure
from sim.text.page import head_text
from sim.text.tables import print_said, print_told
from sim.words.fields import part
from sim.words.message import Message, row
from sim.words.speech import reader, tell

_HEADS: Final = ("quantity", "value", "unit", "how")
_WARNING: Final = row("calc.warned", "Warning: {sentence}", sentence=part())


def print_figures(title: Message, figures: Sequence[Figure]) -> None:
    """Print the lines of a calculation."""
    rows = [each.cells(reader()) for each in figures if each.quantity not in (NOTE, WARNING)]
    print_told(tell(title), list(map(head_text, _HEADS)), rows)
    for each in figures:
        if isinstance(each.value, Message) and each.quantity == NOTE:
            print_said(each.value, whole=True)
    for each in figures:
        if isinstance(each.value, Message) and each.quantity == WARNING:
            print_said(_WARNING(sentence=each.value), whole=True)
