"""What the machines of the controller and their states are called in a sentence.

Never here: the words on the caps of the desk.
"""

from typing import Final

from sim.control.table import JOB, TABLES
from sim.words.fields import one_of
from sim.words.message import Message, plain, row

_WORDS: Final = {table.name: table.name.replace("_", " ") for table in TABLES}

CALLED: Final[dict[str, Message]] = {
    machine: plain(f"machine.{words.replace(' ', '-')}", words) for machine, words in _WORDS.items()
}
"""As a title."""

THE: Final[dict[str, Message]] = {
    machine: plain(f"machine.{words.replace(' ', '-')}.the", f"the {words}")
    for machine, words in _WORDS.items()
}
"""With its article, as it stands inside a sentence."""

MODES: Final = one_of("MANUAL", "MAINTENANCE", "PRODUCTION")


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
    """Return a state of a machine in lower-case words, as `going back`."""
    return _STATES[machine](state=_word(state))


# The job's states have the names of a standard; in a sentence they are said in words of the shop.
_JOB_IS: Final = {
    "RESETTING": "getting ready",
    "EXECUTE": "running",
    "HOLDING": "coming to a hold",
    "UNHOLDING": "going on after the hold",
    "COMPLETING": "coming to its end",
    "CLEARING": "being cleared",
}
_SAID: Final = row(
    "machine.job.said", "{state}",
    state=one_of(*(_JOB_IS.get(state, _word(state)) for state in JOB.states)),
)  # fmt: skip


def said_state(machine: str, state: str) -> Message:
    """Return a state as a sentence says it behind `is`: the job `is running`, not `is execute`."""
    if machine != "job":
        return state_word(machine, state)
    return _SAID(state=_JOB_IS.get(state, _word(state)))
