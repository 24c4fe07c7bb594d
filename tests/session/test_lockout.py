"""What the metal asks of a lock-out besides its steps: the wheel cover, the sprung band, the way back."""

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.session import inspections, typed
from sim.session.hands.hazards import Opens
from sim.session.hands.table import SETS, to_look, to_mend, to_set
from sim.session.hands.zones import Demand, Zone
from sim.session.locking import Foreseen, do_all, giving_back, locking_out
from sim.session.opening import read, session_for
from tests.safety.playing import do

WORN = CATALOGUE["band-worn"]
BEHIND = [
    *(fault for fault in CATALOGUE.values() if to_mend(fault).behind_cover),
    *(look for look in inspections.INSPECTIONS.values() if to_look(look).behind_cover),
]


def opened(scenario="rail-posts", *faults, **more):
    found, _ = read(scenario)
    return session_for(found.model_copy(update=more))


@pytest.fixture
def session():
    return opened()


def run(session, *lines):
    """Do lines of the session language."""
    for line in lines:
        do(session, line)


# The wheel cover ------------------------------------------------------------------------------


def test_what_is_done_behind_the_cover_is_what_is_done_at_the_wheels_under_lock_out():
    assert {row.name for row in BEHIND} >= {
        "band-worn", "washers-weak", "variator-forced", "belt-worn", "band-teeth", "pulley", "washers",
    }  # fmt: skip
    assert not to_set("band.tension_mpa").behind_cover  # its screw is outside
    for name, reach in SETS.items():
        assert reach.behind_cover == (name in ("band.teeth_per_inch", "band.teeth_face")), name


@pytest.mark.parametrize("row", BEHIND, ids=lambda row: row.name)
def test_a_closed_cover_refuses_it_and_says_how_to_get_there(session, row):
    do_all(session, locking_out(session))
    do = session.put_right if row.name in CATALOGUE else session.inspect
    answer = do(row.name)
    assert not answer.taken
    assert str(answer.message) == (
        "The wheel cover is closed, and without power it stays locked. Take the lock-out back, switch the "
        "isolator on, open the cover, and begin the lock-out again."
    )
    assert not session.done.unsafe
    assert not session.seen.looks
    assert not session.done.mended


def test_with_power_the_refusal_says_to_open_it_now(session):
    session.press("supply.isolator")
    said = str(session.inspect("band-teeth").message)
    assert (
        said
        == "The wheel cover is closed. Open it while there is power and the band stands; then lock out."
    )


@pytest.mark.parametrize("power", [False, True])
@pytest.mark.parametrize("typing", [False, True])
@pytest.mark.parametrize("row", BEHIND, ids=lambda row: row.name)
def test_the_way_in_opens_it_before_the_isolator_goes_off(row, typing, power):
    session = opened()
    if power:
        session.press("supply.isolator")
    work = to_mend(row) if row.name in CATALOGUE else to_look(row)
    if typing:
        lines = typed.locking_out(session, work=work)
        run(session, *lines)
    else:
        do_all(session, locking_out(session, work=work))
    assert session.lockout.verified
    assert session.saw.read("band.wheel_cover") == "open"
    answer = (session.put_right if row.name in CATALOGUE else session.inspect)(row.name)
    assert answer.taken and not session.over and not session.hands.exposures, answer.message


def test_a_lock_out_with_the_cover_shut_is_taken_back_for_work_behind_it(session):
    do_all(session, locking_out(session))
    lines = typed.locking_out(session, work=to_mend(WORN))
    assert lines[-1] == "set band.tension_mpa 0"
    shut, opens = lines.index("press supply.isolator"), lines.index("set band.wheel_cover open")
    assert (
        lines.index("lockout tell-restored") < shut < opens < lines.index("release supply.isolator")
    )
    run(session, *lines, "fix band-worn")
    assert session.done.mended == ["band-worn"]
    assert not session.hands.exposures
    assert not session.over


def test_the_isolator_wants_a_word_of_the_cover_only_while_it_is_shut(session):
    session.press("supply.isolator")
    session.lock_out("tell")
    assert "behind the wheel cover, open that first" in str(session.lockout.wanting)
    session.set("band.wheel_cover", "open")
    assert str(session.lockout.wanting) == "The isolator is still on. Switch it off first."


# The band is a spring -------------------------------------------------------------------------

LETS_GO = [fault for fault in CATALOGUE.values() if to_mend(fault).opens is Opens.SPRING]


def test_whatever_takes_the_band_off_lets_a_spring_loose():
    assert {fault.name for fault in LETS_GO} == {
        "band-inside-out", "band-worn", "band-one-sided", "band-stripped", "band-too-coarse", "washers-weak",
    }  # fmt: skip


@pytest.mark.parametrize("fault", LETS_GO, ids=lambda fault: fault.name)
def test_a_remedy_at_a_tensioned_band_strikes_as_the_set_does(session, fault):
    session.press("supply.isolator")
    session.set("band.wheel_cover", "open")
    do_all(session, locking_out(session))
    assert session.lockout.verified
    session.put_right(fault.name)
    assert [each.kind for each in session.hands.strikes] == ["struck-wheels"]


def test_verify_names_the_tension_that_is_left_and_no_other(session):
    do_all(session, locking_out(session, until="lock-air"))
    for relief in ("head", "cutting_vise", "shuttle_vise"):
        session.set(f"{relief}.oil_relief", "open")
    said = str(session.lock_out("verify").message)
    stress = session.saw.plant.band.tension.stress_pa / 1e6
    assert f"The band is still a spring at {stress:.0f} MPa: let it down before" in said
    session.set("band.tension_mpa", 0.0)
    assert "spring" not in str(session.lock_out("verify").message)


# The way back ---------------------------------------------------------------------------------

LEFT = {
    "band.guard": ("open", "guard"),
    "band.wheel_cover": ("open", "cover"),
    "head.oil_relief": ("open", "lift"),
    "cutting_vise.oil_relief": ("open", "cutting vise"),
    "shuttle_vise.oil_relief": ("open", "shuttle vise"),
    "infeed.bar_chock": ("in", "chock"),
    "band.tension_mpa": (0.0, "let down"),
}


def whole_but_locked(session):
    session.press("supply.isolator")
    session.set("band.guard", "open")
    session.set("band.wheel_cover", "open")
    do_all(session, locking_out(session))
    for act in giving_back(session):
        if act.word == "lockout":
            return
        act.do(session)


@pytest.mark.parametrize("name", LEFT)
def test_inspect_says_what_is_left(session, name):
    setting, word = LEFT[name]
    whole_but_locked(session)
    session.saw.set(name, setting)
    answer = session.lock_out("inspect")
    assert not answer.taken
    assert word in str(answer.message)
    session.lock_out("clear")
    assert not session.lock_out("unlock-air").taken


def test_a_saw_that_is_whole_passes_and_what_is_opened_after_it_does_not(session):
    whole_but_locked(session)
    assert session.lock_out("inspect").taken
    assert session.lock_out("clear").taken
    session.set("infeed.bar_chock", "in")
    answer = session.lock_out("unlock-air")
    assert not answer.taken
    assert "chock" in str(answer.message)


def test_the_way_back_as_foreseen_is_the_way_that_is_gone(session):
    work, seen = to_mend(WORN), Foreseen(session)
    there = [act.typed for act in locking_out(session, work=work, seen=seen)]
    back = [act.typed for act in giving_back(session, seen=seen)]
    gone = []
    for act in locking_out(session, work=work):
        gone.append(act.typed)
        act.do(session)
    assert there == gone
    gone.clear()
    for act in giving_back(session):
        gone.append(act.typed)
        act.do(session)
    assert back == gone
    assert not session.lockout.begun
    assert session.saw.plant.band.tension.stress_pa > 0.0


def test_nothing_is_behind_the_cover_in_reach_of_a_free_hand():
    assert all(
        to_look(row).demand is Demand.LOCKED_OUT for row in BEHIND if row.name not in CATALOGUE
    )
    assert all(to_mend(row).zone is Zone.WHEELS for row in BEHIND if row.name in CATALOGUE)
