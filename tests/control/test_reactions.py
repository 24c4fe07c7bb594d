"""What the controller does by itself when something changes, held against a list written out by hand.

The list is the design's, not read from the program. Each of its rows is tried with everything that it
asks for, and with each of these in every other state: what is fired is what the list says, in its order.
"""

import pytest

from sim.control.interlocks import REACTIONS
from sim.control.table import TABLES
from sim.signals import BY_TAG

from .test_interlocks import Bench

TURNS = ("STARTING", "RUNNING", "COASTING")
RUNS = ("STARTING", "EXECUTE", "UNHOLDING")
UNDER_WAY = (*RUNS, "HOLDING", "COMPLETING")
NOT_MAINTENANCE = ("MANUAL", "PRODUCTION", "NONE")
BY_HAND = ("MANUAL", "MAINTENANCE")
DARK = ("DEAD", "TRIPPED")
HALTS = ("cutting_vise HALT", "shuttle_vise HALT", "shuttle HALT", "head HALT")
EMERGENCY = ("supply EMERGENCY", "job ABORT")
LOST = tuple(
    f"{machine} POWER_LOST"
    for machine in (
        "band", "cutting_vise", "shuttle_vise", "shuttle", "head", "coolant", "coolant_choice",
    )
)  # fmt: skip
HELD = {
    "S20": ("cutting_vise", "CLAMPING"), "S21": ("cutting_vise", "RELEASING"),
    "S30": ("shuttle_vise", "CLAMPING"), "S31": ("shuttle_vise", "RELEASING"),
    "S40": ("shuttle", "GOING_BACK"), "S41": ("shuttle", "GOING_FORWARD"),
    "S50": ("head", "RAISING"), "S51": ("head", "LOWERING"),
}  # fmt: skip

# (subject, what it becomes, what else must be so, what is fired)
ROWS = [
    # I1: the isolator, the stops and the safety relay take control power.
    ("Q0", True, {}, ["supply ISOLATOR_ON"]),
    ("Q0", False, {}, ["supply ISOLATOR_OFF"]),
    ("S1", False, {"supply": ("TRIPPED", "OFF", "ON")}, EMERGENCY),
    ("S9", False, {"supply": ("TRIPPED", "OFF", "ON")}, EMERGENCY),
    ("K0", False, {"supply": ("OFF", "ON")}, EMERGENCY),
    # I3: what the band needs is gone, or what closes it in is opened.
    ("S2", False, {"supply": ("ON",)}, ["band STOP", *HALTS, "job ABORT"]),
    *((tag, False, {"band": TURNS, "mode": NOT_MAINTENANCE}, ["band TRIP"]) for tag in ("B41", "B42")),
    *((tag, False, {"band": TURNS}, ["band TRIP"]) for tag in ("B51", "B54")),
    ("F1", False, {"supply": ("ON",)}, ["band TRIP"]),
    ("B1", False, {"band": ("RUNNING",)}, ["band TRIP"]),
    *((tag, False, {"job": RUNS}, ["job HOLD"]) for tag in ("B41", "B42", "B51", "B54")),
    *((tag, False, {"job": ("COMPLETING",)}, ["job STOP"]) for tag in ("B41", "B42", "B51", "B54")),
    ("band", "TRIPPED", {"F1": (True,), "job": UNDER_WAY}, ["job STOP"]),
    # I7: coolant follows its choice, and never comes without control power.
    ("B1", True, {"coolant_choice": ("WITH_BAND",), "supply": ("ON",)}, ["coolant FLOW"]),
    ("B1", False, {"coolant_choice": ("WITH_BAND",)}, ["coolant CEASE"]),
    ("coolant_choice", "WITH_BAND", {"B1": (True,), "supply": ("ON",)}, ["coolant FLOW"]),
    ("coolant_choice", "WITH_BAND", {"B1": (False,)}, ["coolant CEASE"]),
    ("coolant_choice", "ON", {"supply": ("ON",)}, ["coolant FLOW"]),
    ("coolant_choice", "OFF", {}, ["coolant CEASE"]),
    # I8: deviation stops and latches.
    ("latch.deviation", True, {}, ["band TRIP"]),
    # I9: the band stops with the job, after its run-on minutes.
    ("job", "HELD", {}, ["band STOP"]),
    ("cycle", "PARKED", {"job": ("STOPPING",)}, ["band STOP"]),
    ("job", "STOPPING", {"cycle": ("PARKED",)}, ["band STOP"]),
    ("cycle", "PARKED", {"job": ("COMPLETING",), "watch.run_on": (False,)}, ["band STOP"]),
    ("job", "COMPLETING", {"cycle": ("PARKED",), "watch.run_on": (False,)}, ["band STOP"]),
    ("watch.run_on", False, {"job": ("COMPLETING", "STOPPED", "IDLE", "COMPLETE", "ABORTED")}, ["band STOP"]),
    # I10: clamping or speed lost in the cut.
    ("B33", False, {"head": ("LOWERING",), "job": UNDER_WAY}, ["job STOP"]),
    ("B2", False, {"head": ("LOWERING",), "band": ("RUNNING",), "job": UNDER_WAY}, ["job STOP"]),
    # I11: bar, coolant, air, oil or the motor gives out.
    ("B53", False, {}, ["job HOLD"]),
    ("B63", False, {"coolant_choice": ("WITH_BAND", "ON")}, ["job HOLD"]),
    *(("coolant_choice", wet, {"B63": (False,), "job": RUNS}, ["job HOLD"]) for wet in ("WITH_BAND", "ON")),
    *((tag, False, {"head": ("LOWERING",), "job": UNDER_WAY}, ["head HALT", "band STOP"]) for tag in ("B61", "B62")),
    ("B61", False, {"head": ("RAISING",), "mode": ("PRODUCTION",)}, ["head HALT"]),
    *((tag, False, {}, ["job HOLD"]) for tag in ("B61", "B62")),
    *((tag, False, {"job": ("COMPLETING",)}, ["job STOP"]) for tag in ("B61", "B62")),
    ("band", "TRIPPED", {"F1": (False,), "head": ("LOWERING",), "job": UNDER_WAY}, ["head HALT"]),
    ("band", "TRIPPED", {"F1": (False,)}, ["job HOLD"]),
    ("band", "TRIPPED", {"F1": (False,), "job": ("COMPLETING",)}, ["job STOP"]),
    # I14: without control power every part is off and no job goes on.
    *(("supply", dark, {}, LOST) for dark in DARK),
    *(("supply", dark, {"job": (*UNDER_WAY, "HELD", "STOPPING")}, ["job ABORT"]) for dark in DARK),
    *(("supply", dark, {"job": ("IDLE", "COMPLETE", "RESETTING")}, ["job STOP"]) for dark in DARK),
    # I15: a change of mode stops what runs.
    ("mode", "NONE", {}, [*HALTS, "band STOP"]),
    ("mode", "NONE", {"job": UNDER_WAY}, ["job STOP"]),
    # I16: hold to run.
    *((tag, False, {"mode": BY_HAND, part: (state,)}, [f"{part} HALT"]) for tag, (part, state) in HELD.items()),
    # I18: the enabling device, the jog's key and the jog's time.
    ("S7", False, {"mode": ("MAINTENANCE",)}, [*HALTS, "band STOP"]),
    ("S10", False, {"mode": ("MAINTENANCE",)}, ["band STOP"]),
    ("watch.jog", False, {"mode": ("MAINTENANCE",)}, ["band STOP"]),
    # I19: the infeed hood.
    ("B43", False, {"mode": ("PRODUCTION",)}, ["shuttle HALT", "shuttle_vise HALT"]),
    ("B43", False, {"job": RUNS}, ["job HOLD"]),
    ("B43", False, {"job": ("COMPLETING",)}, ["job STOP"]),
]  # fmt: skip
STATES = {table.name: table.states for table in TABLES}


def values_of(subject):
    """Return everything that something in the image can be."""
    return STATES.get(subject, (True, False))


def fired(image, subject, value):
    """Return what the controller fires when something becomes a value and nothing else follows."""
    controller = Bench().controller
    controller.image.update(image)
    controller.image[subject] = value
    found = []
    controller.fire = lambda machine, event: found.append(f"{machine} {event}")
    controller._react(subject, value)
    return found


def said(image, subject, value):
    """Return what the list says of it."""
    return [
        event
        for of, becomes, given, events in ROWS
        if (of, becomes) == (subject, value) and all(image[s] in values for s, values in given.items())
        for event in events
    ]  # fmt: skip


def images(given):
    """Yield what fits a row, and the same with each of its conditions in every other state."""
    fits = dict(Bench().controller.image) | {
        subject: values[0] for subject, values in given.items()
    }
    yield fits
    for subject in given:
        for value in values_of(subject):
            yield fits | {subject: value}


@pytest.mark.parametrize(("subject", "becomes", "given", "events"), ROWS)
def test_each_reaction_follows_where_the_list_says_and_nowhere_else(
    subject, becomes, given, events
):
    (fits, *others) = images(given)
    assert set(events) <= set(fired(fits, subject, becomes))
    for image in (fits, *others):
        assert fired(image, subject, becomes) == said(image, subject, becomes), image


@pytest.mark.parametrize("subject", sorted({row[0] for row in ROWS}))
def test_nothing_follows_from_any_other_value(subject):
    listed = {becomes for of, becomes, *_ in ROWS if of == subject}
    busy = {
        "supply": "ON",
        "mode": "PRODUCTION",
        "job": "EXECUTE",
        "band": "RUNNING",
        "head": "LOWERING",
    }
    for value in values_of(subject):
        if value not in listed:
            assert fired(busy | {"coolant_choice": "WITH_BAND"}, subject, value) == []


def test_nothing_else_in_the_image_sets_anything_off():
    assert {row.subject for row in REACTIONS} == {row[0] for row in ROWS}
    for subject in {row[0] for row in ROWS}:
        assert subject in BY_TAG or subject in STATES or subject.startswith(("latch.", "watch."))


# What a person is told of it, in the order of the rows: the reason of a stop, or what the coach says.
WITH_BAND = "the coolant goes with the band"
CHOSEN = "the coolant does as it is chosen"
LOW = "the coolant is low"
ALL_OFF = (
    "all outputs are off; a band that ran coasts, the vises stay clamped, and the head may sink"
)
LET_GO = "the part stops where it is, because its key was let go"
JOGGED = "the jog is over, and the band stops"
JOB_STOPS, DONE = "the job stops, and the band with it", "the job is done, and the band stops"
TOLD = {
    ("Q0", True): ["the isolator feeds the cabinet, whose line side is live with it off, too; "
                   "then come reset and control on"],
    ("Q0", False): ["the voltage from the isolator went"],
    ("S1", False): ["the emergency stop at the console was pressed"],
    ("S9", False): ["the emergency stop at the infeed was pressed"],
    ("K0", False): ["the safety relay dropped out"],
    ("S2", False): ["the trip line was pulled"],
    ("B41", False): ["the band guard was opened"] * 3,
    ("B42", False): ["the wheel cover was opened"] * 3,
    ("B51", False): ["the band lost its tension"] * 3,
    ("B54", False): ["the band was tensioned too far"] * 3,
    ("F1", False): ["the overload relay tripped"],
    ("B1", True): [WITH_BAND],
    ("B1", False): ["the band lost its speed", WITH_BAND],
    ("band", "TRIPPED"): ["the job stopped with the band; find the cause, then press reset"] * 4,
    ("coolant_choice", "WITH_BAND"): [WITH_BAND, WITH_BAND, LOW],
    ("coolant_choice", "ON"): [CHOSEN, LOW],
    ("coolant_choice", "OFF"): [CHOSEN],
    ("latch.deviation", True): ["the band wandered beyond its range for too long"],
    ("job", "HELD"): ["the job is held, and the band stops"],
    ("job", "STOPPING"): [JOB_STOPS],
    ("job", "COMPLETING"): [DONE],
    ("cycle", "PARKED"): [JOB_STOPS, DONE],
    ("watch.run_on", False): ["the run-on minutes are over, and the band stops"],
    ("B33", False): ["the cutting vise lost its clamping in the cut"],
    ("B2", False): ["the band fell below its speed in the cut"],
    ("B53", False): ["the end of the bar was reached"],
    ("B63", False): [LOW],
    ("B61", False): ["the air pressure is low"] * 4,
    ("B62", False): ["the oil level is low"] * 3,
    ("supply", "DEAD"): [ALL_OFF] * 3,
    ("supply", "TRIPPED"): [ALL_OFF] * 3,
    ("mode", "NONE"): ["the mode switch was turned"] * 2,
    **{(tag, False): [LET_GO] for tag in HELD},
    ("S7", False): ["the enabling device was let go or pressed through"],
    ("S10", False): [JOGGED],
    ("watch.jog", False): [JOGGED],
    ("B43", False): ["the infeed hood was opened"] * 3,
}  # fmt: skip


def test_what_is_told_of_each_reaction():
    told = {
        (row.subject, value): []
        for row in REACTIONS
        for value in row.becomes
    }  # fmt: skip
    for row in REACTIONS:
        for value in row.becomes:
            told[row.subject, value].append(str(row.reason or row.meaning(value)))

    assert told == TOLD
