"""A row is called redundant only where a live controller never takes what the row would refuse."""

import random

import pytest

from sim.control.actions import ACTIONS
from sim.control.controller import Controller
from sim.control.interlocks import THE_ROWS, When
from sim.control.site_rows import rows_of
from sim.kernel.clock import Clock
from sim.logic.proof.each import reached_within
from sim.logic.proof.likeness import differences
from sim.logic.proof.memory import DOMAINS
from sim.logic.proof.moves import SMALLEST
from sim.logic.proof.site_changes import RowVerdict, changes
from sim.signals import BY_TAG, Bus
from sim.wiring.site_rows import SiteRows, ToldRow

SUBJECTS = ("B43", "B53", "B11", "B41", "B61", "S1", "S2", "K0", "band", "mode", "job")
GOOD = {"band": ("STOPPED",), "mode": ("MANUAL",), "job": ("IDLE", "HELD")}


def needs(action: str, subject: str) -> ToldRow:
    """Return the row that an action needs a subject to be as it should."""
    values = GOOD.get(subject, (True,))
    return ToldRow("I1", subject, values, action=action, said="it is not so", to_do="make it so")


# Each action with every twelfth subject or so; and those
# that were called redundant once, because the search does not go there.
ROWS = [
    needs(action.name, subject)
    for i, action in enumerate(ACTIONS)
    for k, subject in enumerate(SUBJECTS)
    if (i + k) % 12 == 0 or (action.name, subject) in (("coolant.on", "B53"), ("head.raise", "B53"))
]


def controllers(row):
    """Return a live controller with the rows that ship, and one with a row more."""
    return tuple(
        Controller(Clock(), Bus(), rows=rows) for rows in (THE_ROWS, rows_of(SiteRows(also=(row,))))
    )


def put_in(controller, state):
    """Have a live controller remember a state."""
    controller.image.update(state)
    for name, machine in controller.machines.items():
        machine.state = state[name]


@pytest.fixture(scope="module")
def states():
    """Some hundred states that the saw reaches; any of its devices may then be bad."""
    explorer, reached = reached_within(SMALLEST)
    chance = random.Random(1)
    some = [
        explorer.frame.state(int(layer[chance.randrange(layer.size)]))
        for layer in reached.layers
        for _ in range(12)
    ]
    return [*some, *gone_bad(some)]


def gone_bad(states):
    """Yield what a live controller remembers once a device has gone bad in each of some states."""
    devices = [subject for subject in SUBJECTS if subject in BY_TAG]
    for at, state in enumerate(states):
        controller = Controller(Clock(), Bus())
        put_in(controller, state)
        tag = devices[at % len(devices)]
        controller.take(tag, False)
        controller.keep()
        controller.job.pursue()
        yield {name: controller.image[name] for name in DOMAINS}


def refused_but_taken(row, states):
    """Return a state in which the saw as it ships takes what a row more refuses; None when there is none."""
    ships, ours = controllers(row)
    for state in states:
        for controller in (ships, ours):
            put_in(controller, state)
        takes = not ships.refusals(row.action, When.KEY)
        if takes and ours.refusals(row.action, When.KEY):
            return state
    return None


@pytest.mark.slow
def test_no_row_is_called_alike_where_a_live_controller_tells_it_apart(states):
    apart = 0
    for row in ROWS:
        state = refused_but_taken(row, states)
        alike = not differences(rows_of(SiteRows(also=(row,))))
        assert not (alike and state), (row, state)
        apart += state is not None
    assert apart > len(ROWS) / 4  # else the states are too few to show anything


@pytest.mark.slow
@pytest.mark.parametrize("row", [needs("coolant.on", "B43"), needs("band.run", "B43")])
def test_what_only_a_bad_device_brings_about_is_no_redundant_row(row, states):
    assert refused_but_taken(row, states)
    (found,) = changes(SiteRows(also=(row,)))
    assert found.verdict is RowVerdict.HARMLESS


def test_a_row_that_says_what_another_says_is_alike_and_one_that_keeps_a_motion_is_not():
    twice = needs("job.start", "B53")
    assert not differences(rows_of(SiteRows(also=(twice,))))
    keeps = ToldRow("I4", "B33", (False,), action="shuttle.forward", asked_by="job")
    assert not differences(rows_of(SiteRows(also=(keeps,))))
    keeps = ToldRow("I1", "B62", (True,), action="shuttle.forward", asked_by="job", keeps=True)
    assert differences(rows_of(SiteRows(also=(keeps,))))


def test_a_reaction_that_does_what_no_row_does_is_not_alike():
    for row in (
        ToldRow("I9", "S7", (True,), fires=(("band", "STOP"),)),
        ToldRow("I9", "B43", (False,), given=(("mode", ("MANUAL",)),), fires=(("band", "STOP"),)),
    ):
        assert differences(rows_of(SiteRows(also=(row,))))


@pytest.mark.slow
def test_where_no_difference_is_met_nothing_is_claimed_but_that():
    held = (("coolant_choice", ("WITH_BAND", "ON")),)
    again = ToldRow("I9", "B63", (False,), given=held, fires=(("job", "HOLD"),))
    (found,) = changes(SiteRows(also=(again,)))
    assert found.verdict is RowVerdict.UNMET


def test_a_row_that_harms_only_by_hand_is_found_though_no_row_of_the_table_looks_there():
    opened = (("mode", ("MANUAL",)), ("supply", ("ON",)))
    row = ToldRow("I9", "B43", (False,), given=opened, fires=(("shuttle", "GO_FORWARD"),))
    (found,) = changes(SiteRows(also=(row,)))
    assert found.verdict is RowVerdict.FATAL
    assert found.broken.example.last["mode"] == "MANUAL"
