"""What a coach says of a selector that was turned.

What to do instead of a harm stands in the harm's row, what an action sets going in the action's, and
numbers, rules, devices, reasons and what a reaction means come from the machine and the interlock
table, never from here.
"""

from typing import Final

from sim.words.fields import part
from sim.words.message import Row, row

# A selector turned to -> what it means; a station that differs has its own row.
SELECTED: Final[dict[str, Row]] = {
    word: row(f"advice.selected.{word.replace('.', '-')}", text, station=part(capital=True))
    for word, text in (
        ("hand", "{station} obeys its own keys, and the interlocks of AUTO do not mind it."),
        ("auto", "{station} is the job's to drive, and refuses its keys."),
        ("band.auto", "{station} is started and stopped by the job; its stop key is always taken."),
        ("coolant.auto", "{station} goes with the band from now on."),
    )
}
