"""What can hurt somebody is said where the hand is about to go there: in lists, answers and the coach, by key."""

import re

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.session import locking
from sim.session.hands.cautions import IN_ZONE, OF_KEY
from sim.session.hands.table import to_look, to_mend, to_set
from sim.session.hands.zones import HARMLESS, Demand, Zone
from sim.session.inspections import INSPECTIONS
from sim.session.opening import open_session
from sim.teaching.coach import Coach
from sim.text.page import Table
from sim.text.points import points, set_up_card
from sim.text.typed import lists
from sim.text.typed.acts import DOES
from sim.text.typed.language import parse
from sim.text.whys import why
from sim.words.message import Message

POWER = ("supply.reset", "supply.control_on")


def keys(part):
    """Return the key of every message that a message, a table or a list of them is made of."""
    if isinstance(part, Message):
        return {part.row.key}.union(*(keys(value) for _, value in part.values))
    if isinstance(part, Table):
        return keys((part.title, *(cell for row in part.rows for cell in row)))
    return set().union(*map(keys, part)) if isinstance(part, tuple) else set()


def powered(machine="harbour-saw", **more):
    session = open_session("rail-posts", machine=machine, **more)
    session.press("supply.isolator")
    for key in POWER:
        session.tap(key)
    return session


# ---- before a hand goes in


def _rows_of(table):
    """Return the keys in each row of a table, by what stands first in the row."""
    return {row[0]: keys(tuple(row)) for row in table.rows}


DEMANDS = {
    (Demand.STANDS, False): "caution.short.stands",
    (Demand.OWN_CONTROL, False): "caution.short.own-control",
    (Demand.OWN_CONTROL, True): "caution.short.qualified",
    (Demand.LOCKED_OUT, False): "caution.short.locked-out",
    (Demand.LOCKED_OUT, True): "caution.short.proved-dead",
}


def _wanted(reach):
    """Return the key of what a list says of an act first, or none for what is done from outside."""
    found = DEMANDS.get((reach.demand, reach.zone is Zone.CABINET))
    return {found} if found else set()


def test_the_list_of_set_points_tells_what_must_hold_before_each_is_set():
    told = _rows_of(points(open_session("rail-posts")))
    shorts = set(DEMANDS.values())

    assert {name: told[name] & shorts for name in SET_POINTS} == {
        name: _wanted(to_set(name)) for name in SET_POINTS
    }


def test_the_card_tells_what_must_hold_before_each_line_of_it_is_set():
    session = open_session("rail-posts")
    told = _rows_of(set_up_card(session))
    names = [line.name for line in session.card if line.name in SET_POINTS]

    assert len(names) > 20
    for name in names:
        assert _wanted(to_set(name)) == told[name] & set(DEMANDS.values()), name


def test_the_list_of_looks_tells_what_must_hold_before_each():
    told = _rows_of(lists.ways_to_look(open_session("rail-posts")))

    for look in INSPECTIONS.values():
        assert _wanted(to_look(look)) == told[look.name] & set(DEMANDS.values()), look.name
    assert _wanted(to_look(INSPECTIONS["fuses"])) <= told[lists.METER]


@pytest.mark.parametrize("name", CATALOGUE)
def test_what_is_named_is_answered_with_the_caution_of_where_hands_go_to_mend_it(name):
    reach = to_mend(CATALOGUE[name])
    said = keys(DOES["diagnose"](open_session("rail-posts"), parse(f"diagnose {name}")))

    if reach.zone not in HARMLESS:
        assert IN_ZONE[reach.zone].row.key in said
    first = {
        Demand.OUTSIDE: set(),
        Demand.STANDS: {"caution.stands"},
        Demand.OWN_CONTROL: {"caution.own-control", "caution.own-control.aside", "caution.cabinet"},
        Demand.LOCKED_OUT: {"answer.lock-out-first"},
    }[reach.demand]
    assert bool(first) == bool(first & said)
    if reach.demand is Demand.LOCKED_OUT and reach.zone is Zone.CABINET:
        assert "caution.proved-dead" in said


BEWARE = {
    "band-worn": "caution.coil", "band-inside-out": "caution.coil", "belt-worn": "caution.coil",
    "lower-valve-shut": "caution.oil", "cutting-vise-leaks": "caution.oil", "air-in-the-oil": "caution.oil",
    "air-cock-shut": "caution.air-cock", "coolant-weak": "caution.coolant", "cutting-jaws-oily": "caution.solvent",
    "brush-worn": "caution.band", "phase-lost": "caution.cabinet", "rollers-stiff": "caution.shuttle",
}  # fmt: skip


@pytest.mark.parametrize(("name", "caution"), BEWARE.items())
def test_what_is_let_loose_or_bad_for_the_skin_is_told_before_it_is_touched(name, caution):
    said = DOES["diagnose"](open_session("rail-posts"), parse(f"diagnose {name}"))

    assert caution in keys(said)


@pytest.mark.parametrize(
    ("name", "wrong"),
    [("band.guide_lock", "slack"), ("cutting_vise.jaw_gap_mm", 40), ("band.brush_mm", 0)],
)
def test_the_coach_tells_with_a_slip_what_must_hold_before_a_hand_mends_it(name, wrong):
    said = {}
    for mine in (False, True):
        session = open_session("rail-posts", machine="quay-saw")  # isolator off, head on the bar
        if mine:
            for act in locking.locking_out(session):
                act.do(session)
        else:
            session.press("supply.isolator")
        coach = Coach(session)
        coach.remark()
        session.set(name, wrong)
        session.set(name, wrong)
        said[mine] = keys(coach.remark()) | keys(tuple(e.message for e in session.heard.events))
    first = {"caution.own-control", "caution.locked-out"}

    assert not said[True] & first
    assert said[False] & (first | {"coach.unsafe", "coach.exposed"})


# ---- before a key is pressed


@pytest.mark.parametrize("key", OF_KEY)
def test_why_tells_whom_to_look_for_before_a_key_that_nothing_blocks(key):
    session = open_session("rail-posts", machine="quay-saw")
    if key not in ("supply.isolator", "supply.control_on"):
        session.press("supply.isolator")
        for each in POWER:
            session.tap(each)
        session.press("head.raise")
        session.advance(20)
        session.release("head.raise")
    else:
        session.press("supply.isolator")
        session.tap("supply.reset")
        if key == "supply.isolator":
            session.release(key)
    if key.startswith("job."):
        session.turn("production")
        session.tap("job.reset")
    if key == "job.unhold":
        session.palms("job.start")
        session.advance(1)
        session.tap("job.hold")
        session.advance(40)
    said = keys(why(session, key))

    if key == "job.unhold" and "why.nothing" not in said:
        pytest.skip("the job holds for the band, which coasts")
    assert "why.nothing" in said
    assert {each.row.key for each in OF_KEY[key]} <= said


def test_a_start_that_waits_for_the_palm_keys_tells_whom_to_look_for_and_what_to_wear():
    session = powered()
    coach = Coach(session)
    session.tap("band.run")
    said = keys(coach.remark())

    assert {"caution.others", "caution.clothing"} <= said


def test_whoever_forces_or_jumpers_is_told_never_to_on_a_real_saw():
    session = powered()
    coach = Coach(session)
    for meddle in (lambda: session.bench.force("B41", True), lambda: session.bench.jumper("I4")):
        meddle()
        assert "caution.real-saw" in keys(coach.remark())
    assert {"B41", "I4"} <= {*map(str, re.findall(r"[BI]\d+", str(session.bench.banner)))}
