"""What the machines of the controller and their states are called in a sentence.

Never here: the words on the caps of the desk.
"""

from typing import Final

from sim.control.table import TABLES
from sim.words.fields import one_of
from sim.words.message import Message, plain, row

# With its article, as it stands inside a sentence.
THE: Final[dict[str, Message]] = {
    "supply": plain("machine.supply.the", "the supply"),
    "band": plain("machine.band.the", "the band"),
    "cutting_vise": plain("machine.cutting-vise.the", "the cutting vise"),
    "shuttle_vise": plain("machine.shuttle-vise.the", "the shuttle vise"),
    "shuttle": plain("machine.shuttle.the", "the shuttle"),
    "head": plain("machine.head.the", "the head"),
    "coolant": plain("machine.coolant.the", "the coolant"),
    "job": plain("machine.job.the", "the job"),
    "cycle": plain("machine.cycle.the", "the cycle"),
}

MODE: Final = one_of("HAND", "AUTO")


def _word(state: str) -> str:
    return state.replace("_", " ").lower()


# A row for each machine, so that its states agree with its gender.
_STATES: Final = {
    table.name: row(
        f"machine.{table.name.replace('_', '-')}.state",
        "{state}",
        state=one_of(*map(_word, table.states)),
    )
    for table in TABLES
}


def state_word(machine: str, state: str) -> Message:
    """Return a state of a machine in lower-case words, as `to blade`."""
    return _STATES[machine](state=_word(state))
