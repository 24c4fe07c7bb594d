"""The way that `why` tells, typed to the letter: no hand comes to harm, none is exposed, the key is free.

Hands go in first where own control holds already, and else with the acts that bring it about around them.
"""

import os
from collections import Counter
from random import Random

import pytest

from sim.plant.harm.consequences import Severity
from sim.session.hands.table import to_set
from sim.session.opening import open_session
from sim.session.typed import own_control
from sim.teaching.way_out import way_out
from sim.text.typed.acts import perform
from sim.text.typed.language import parse
from sim.text.way_lines import lines_of
from sim.text.whys import why
from tests.random_states import asked, random_states

GROUPS = 8
STATES = int(os.environ.get("WAYS", "320"))
SLACK = "set band.tension_mpa 100"
ON = ("press supply.isolator", "tap supply.reset", "tap supply.control_on")
RAISED = (*ON, "press head.raise", "wait until head.up", "release head.raise")
LOCKED = "Where own control cannot be had, lock it out. Typed: "


def typed(session, *lines):
    for line in lines:
        perform(session, parse(line))
    return session


def lines_told(session, key, mark="Typed: "):
    """Return the lines that the last line of `why` says to type, none where it says none."""
    told = str(why(session, key)[-1])
    if mark not in told or (LOCKED in told and mark != LOCKED):
        return []
    return told.partition(mark)[2].removesuffix(".").split("; ")


def worse(session):
    return [c for c in session.saw.consequences if c.row.severity is not Severity.WARNING]


class Unharmed:
    """What had come to anybody or anything before, and whether anything has since."""

    def __init__(self, session):
        self.session = session
        self.before = self.now

    @property
    def now(self):
        hands = self.session.hands
        return (
            len(worse(self.session)),
            len(hands.strikes),
            len(hands.exposures),
            len(self.session.done.unsafe),
        )

    def holds(self):
        return self.now == self.before


def follow(session, key, lines):
    """Type lines; return what is wrong with what came, or nothing."""
    unharmed = Unharmed(session)
    answer = None
    for number, line in enumerate(lines):
        seen = len(session.done.all)
        typed(session, line)
        answers = [each for deed in session.done.all[seen:] for each in deed.decisions]
        if not unharmed.holds():
            return f"{line}: {unharmed.before} {unharmed.now}"
        if answers:
            answer = answers[-1]
            if not answer.accepted and number < len(lines) - 1:
                return f"{line}: {answer.sentence}"
    return "" if answer is not None and answer.accepted and answer.action == key else f"{answer}"


@pytest.mark.parametrize(
    ("before", "first"),
    [
        ((), f"{SLACK[:-3]}225"),  # the isolator is off, and the head rests
        (ON, "set mode.key in my pocket"),
        ((*ON, "press supply.emergency_stop"), f"{SLACK[:-3]}225"),
        ((*ON, "press supply.infeed_stop"), f"{SLACK[:-3]}225"),
        ((*ON, "set mode.key in my pocket"), f"{SLACK[:-3]}225"),
        (RAISED, "set head.stop_notch 12"),
        ((*RAISED, "press supply.emergency_stop"), "release supply.emergency_stop"),
        ((*RAISED, "release supply.isolator"), "press supply.isolator"),
    ],
    ids=["off", "on", "stop", "infeed stop", "key", "raised", "raised and stopped", "raised and off"],
)  # fmt: skip
def test_hands_at_the_tension_go_in_before_what_keeps_the_saw_still_is_given_up(before, first):
    session = typed(open_session("rail-posts"), SLACK, *before)
    lines = lines_told(session, "band.run")

    assert lines[0] == first
    assert lines.count("set band.tension_mpa 225") == 1
    assert follow(session, "band.run", lines) == ""


def test_on_a_raised_head_the_way_props_it_and_has_the_key_out_around_the_hands():
    session = typed(open_session("rail-posts"), SLACK, *RAISED)
    lines = lines_told(session, "band.run")
    hands = lines.index("set band.tension_mpa 225")

    assert lines[hands - 1] == "set mode.key in my pocket"
    assert lines[hands + 1] == "set mode.key in the switch"
    assert lines.index("set head.prop in") < hands < lines.index("set head.prop out")
    assert lines[-2:] == [
        f"set head.stop_notch {session.saw.read('head.stop_notch'):g}",
        "palms band.run",
    ]


def test_what_to_beware_of_is_said_though_the_way_brings_own_control_itself():
    session = typed(open_session("rail-posts"), SLACK, *ON)
    said = str(why(session, "band.run")[-1])

    assert "Own control first" not in said
    assert "A band under tension is a spring" in said


def test_in_a_drill_hands_go_first_where_the_key_is_all_that_is_wanting():
    session = typed(open_session("posts-come-out-short"), SLACK, *ON)
    lines = lines_told(session, "band.run")

    assert lines[:3] == [
        "set mode.key in my pocket",
        "set band.tension_mpa 225",
        "set mode.key in the switch",
    ]
    assert follow(session, "band.run", lines) == ""


def test_in_a_drill_that_wants_more_the_lock_out_is_named_act_by_act_and_verifies():
    session = typed(open_session("posts-come-out-short"), SLACK, *RAISED)
    assert lines_told(session, "band.run") == []
    assert "Own control first" in str(why(session, "band.run")[-1])
    unharmed = Unharmed(session)
    typed(session, *lines_told(session, "band.run", LOCKED))

    assert session.lockout.verified
    typed(session, "set band.tension_mpa 225")
    assert unharmed.holds()


def test_who_may_not_lock_out_is_sent_to_somebody_who_may():
    opened = open_session("posts-come-out-short")
    opened.lockout.role = "operator"
    session = typed(opened, SLACK, *RAISED)

    assert "An operator does not lock out." in str(why(session, "band.run")[-1])


@pytest.mark.parametrize("key", ["job.start", "job.unhold"])
def test_a_jaw_out_of_reach_is_set_in_own_control_by_the_lines_told(key):
    session = typed(open_session("rail-posts"), *RAISED, "set cutting_vise.jaw_gap_mm 30")
    typed(session, "turn production", "tap job.reset", "palms job.start", "wait still")
    if key == "job.unhold":
        typed(session, "tap job.hold", "wait still")
    lines = lines_told(session, key)

    assert "set cutting_vise.jaw_gap_mm 4" in lines
    assert follow(session, "job.start", lines) == ""


def _at_random(session, chance):
    """Return a key that is refused here, and whose way has hands in it more often than not."""
    if chance.random() < 0.6 and session.saw.clock.still:
        session.set("band.tension_mpa", chance.choice([100.0, 320.0]))
    return "" if session.over else asked(session, chance)


@pytest.mark.parametrize(
    "group", [pytest.param(n, marks=pytest.mark.slow if n else ()) for n in range(GROUPS)]
)
@pytest.mark.parametrize("name", ["rail-posts", "02-two-hand-start"])
def test_from_random_states_every_line_of_every_way_is_typed_without_harm_or_exposure(name, group):
    chance = Random(f"hands/{name}/{group}")
    found: Counter[str] = Counter()
    for session in random_states(chance, lambda: open_session(name)):
        if found.total() >= STATES // GROUPS:
            break
        if not (key := _at_random(session, chance)):
            continue
        if (way := way_out(session, key)) is None or way.harm or not way.verified:
            continue
        hands = any("tension" in line or line == "load" for line in lines_of(way))
        if not way.in_control:
            found["not in control"] += 1
            continue
        assert lines_told(session, key) == list(lines_of(way))
        came = follow(session, key, lines_of(way))
        assert came == "", (key, lines_of(way), came)
        found["hands" if hands else "keys"] += 1
    print(found)
    assert found["hands"] > 0
    assert found["hands"] > found["not in control"]


@pytest.mark.parametrize("saw", ["harbour-saw", "quay-saw"])
def test_without_power_own_control_has_a_raised_head_come_to_rest_first(saw):
    session = typed(open_session("rail-posts", machine=saw), *RAISED, "release supply.isolator")
    before, after = own_control(session, to_set("band.tension_mpa"))
    unharmed = Unharmed(session)
    typed(session, *before, "set band.tension_mpa 225", *after)

    assert ("set head.oil_relief open" in before) is not session.machine.head_sinks
    assert unharmed.holds()
