"""What the metal asks of a lock-out besides its steps: the wheel cover, the sprung band, the way back."""

import re

import pytest

from sim.debrief.debrief import debrief
from sim.debrief.scoring import JOB_EXPOSED, was_unsafe
from sim.diagnosis.matrix_from_saw import for_role, matrix_for
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Who
from sim.pilot.lesson_pilot import play_lesson
from sim.scenario import library
from sim.scenario.scenario import Second
from sim.session import inspections, typed
from sim.session.hands.hazards import Opens
from sim.session.hands.table import SETS, last_step_to_mend, to_look, to_mend, to_set
from sim.session.hands.zones import Demand, Zone
from sim.session.kept import told
from sim.session.lessons.lesson import lesson_of
from sim.session.locking import Foreseen, do_all, giving_back, locking_out
from sim.session.lockout import BACK, QUALIFIED, ROLES, YOU_ARE
from sim.session.opening import read, session_for
from sim.session.sights.controller_words import supply
from sim.session.sights.energy import how_it_stands
from sim.teaching.coach import Coach
from sim.text.typed.console import play
from sim.words.reader import Reader, phrases_of
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
        assert reach.behind_cover == (
            name in ("band.teeth_per_inch", "band.teeth_face", "band.seat")
        ), name


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
    session = opened(role=QUALIFIED)
    if power:
        session.press("supply.isolator")
    work = to_mend(row) if row.name in CATALOGUE else to_look(row)
    until = last_step_to_mend(row) if row.name in CATALOGUE else "verify"
    if typing:
        lines = typed.locking_out(session, until, work=work)
        run(session, *lines)
    else:
        do_all(session, locking_out(session, until=until, work=work))
    assert session.lockout.verified
    assert session.saw.read("band.wheel_cover") == "open"
    answer = (session.put_right if row.name in CATALOGUE else session.inspect)(row.name)
    assert answer.taken, answer.message
    assert not session.over
    assert not session.hands.exposures


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
        "lining-glazed",
    }  # fmt: skip


@pytest.mark.parametrize("fault", LETS_GO, ids=lambda fault: fault.name)
def test_a_remedy_at_a_tensioned_band_strikes_as_the_set_does(session, fault):
    session.press("supply.isolator")
    session.set("band.wheel_cover", "open")
    do_all(session, locking_out(session))
    assert session.lockout.verified
    session.put_right(fault.name)
    assert [each.kind for each in session.hands.strikes] == ["struck-wheels"]


AT_THE_WHEELS = {"band.seat", "band.teeth_per_inch", "band.teeth_face"}


def test_what_the_warning_lets_pass_is_what_the_table_of_hands_lets_pass():
    """The sentence names seat, band, wheel and washers; guide inserts, brush and guide arm it lets pass."""
    assert {name for name, reach in SETS.items() if reach.opens is Opens.SPRING} == AT_THE_WHEELS
    said = str(opened().lockout.spring)
    for word in (
        "seated or taken off",
        "wheel",
        "washers",
        "looks",
        "guide inserts",
        "brush",
        "guide arm",
    ):
        assert word in said
    looks = inspections.INSPECTIONS.values()
    assert not [look.name for look in looks if to_look(look).opens is Opens.SPRING]
    for reach in (
        to_look(inspections.INSPECTIONS["guide-inserts"]), to_mend(CATALOGUE["guides-worn"]),
        to_mend(CATALOGUE["brush-worn"]), to_set("band.brush_mm"), to_set("band.guide_span_mm"),
        to_set("band.guide_lock"),
    ):  # fmt: skip
        assert (reach.zone, reach.opens) == (Zone.BAND, Opens.NOTHING)


def test_what_the_warning_lets_pass_is_done_at_full_tension_without_a_loss(session):
    do_all(session, locking_out(session))
    stress_pa = session.saw.plant.band.tension.stress_pa
    session.inspect("guide-inserts")
    session.put_right("guides-worn")
    session.set("band.brush_mm", 5.0)
    session.set("band.guide_lock", "slack")
    session.set("band.guide_span_mm", 120.0)

    assert session.saw.plant.band.tension.stress_pa == stress_pa > 0.0
    assert (session.hands.exposures, session.saw.consequences, was_unsafe(session)) == (
        [],
        [],
        False,
    )


def tensioned_beside_its_guides(session, *, seat):
    """Change the band in a lock-out and tension the new one, seated first or not."""
    session.press("supply.isolator")
    session.set("band.wheel_cover", "open")
    do_all(session, locking_out(session))
    session.set("band.tension_mpa", 0.0)
    for place in ("coiled in gloves", "new coil opened in gloves"):
        assert session.set("band.seat", place).taken
    assert session.set("band.teeth_per_inch", 18.0).taken
    if seat:
        assert session.set("band.seat", "seated").taken
    assert session.set("band.tension_mpa", 225.0).taken


def test_a_band_tensioned_beside_its_guides_leaves_no_care(session):
    tensioned_beside_its_guides(session, seat=False)
    found = debrief(session)

    assert [each.kind for each in session.saw.consequences] == ["band-tight-beside-guides"]
    assert "could have sprung off its wheels" in str(found.critical[0])
    assert [part.points for part in found.parts if str(part.title) == "Care"] == [0]


def test_a_band_seated_before_it_is_tensioned_costs_nothing(session):
    tensioned_beside_its_guides(session, seat=True)
    found = debrief(session)

    assert (session.saw.consequences, found.critical) == ([], ())
    assert [part.points for part in found.parts if str(part.title) == "Care"] == [30]


def test_verify_names_the_tension_that_is_left_and_no_other(session):
    do_all(session, locking_out(session, until="lock-air"))
    for relief in ("head", "cutting_vise", "shuttle_vise"):
        session.set(f"{relief}.oil_relief", "open")
    said = str(session.lock_out("verify").message)
    stress = session.saw.plant.band.tension.stress_pa / 1e6
    assert f"The band is still a spring at {stress:.0f} MPa. Let it down before" in said
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


def test_people_are_seen_clear_only_of_a_saw_that_was_looked_over(session):
    whole_but_locked(session)
    session.set("infeed.bar_chock", "in")
    assert not session.lock_out("inspect").taken
    answer = session.lock_out("clear")
    assert not answer.taken
    assert "chock" in str(answer.message)
    session.set("infeed.bar_chock", "out")
    answer = session.lock_out("clear")
    assert not answer.taken
    assert "Look the saw over first" in str(answer.message)
    assert session.lock_out("inspect").taken
    assert session.lock_out("clear").taken


TOUCHES = {
    "the brush is set": lambda s: s.set("band.brush_mm", 3),
    "the guides are looked at": lambda s: s.inspect("guide-inserts"),
    "the chock is in and out": lambda s: [s.set("infeed.bar_chock", p) for p in ("in", "out")],
    "a relief is open and shut": lambda s: [s.set("head.oil_relief", p) for p in ("open", "shut")],
}


@pytest.mark.parametrize("touch", TOUCHES)
def test_hands_that_go_in_again_have_it_looked_over_and_seen_clear_anew(session, touch):
    whole_but_locked(session)
    session.lock_out("inspect")
    session.lock_out("clear")
    TOUCHES[touch](session)
    assert not session.lockout.goes_back
    assert not session.lock_out("unlock-isolator").taken
    typed = [act.typed for act in giving_back(session)]
    assert typed[:2] == ["lockout inspect", "lockout clear"]
    run(session, *typed)
    assert not session.lockout.begun


def test_a_look_from_outside_and_an_act_outside_leave_it_looked_over(session):
    whole_but_locked(session)
    session.lock_out("inspect")
    session.lock_out("clear")
    session.inspect("chips")
    session.set("head.feed_valve_mm_min", 30)
    assert session.lock_out("unlock-isolator").taken
    session.set("band.brush_mm", 3)
    assert session.lockout.goes_back  # a lock is off: it is no way in
    assert not session.lock_out("unlock-air").taken


def test_a_hint_that_has_hands_go_in_has_it_looked_over_after_them(session):
    whole_but_locked(session)
    session.lock_out("inspect")
    session.lock_out("clear")
    seen = Foreseen(session)
    there = [act.typed for act in locking_out(session, work=to_set("band.brush_mm"), seen=seen)]
    back = [act.typed for act in giving_back(session, seen=seen)]
    assert "lockout inspect" in back
    run(session, *there, "set band.brush_mm 3", *back)
    assert not session.lockout.begun


COVERED = {"band.teeth_per_inch": 4.0, "band.wheel_cover": "open", "band.guard": "open"}


@pytest.mark.parametrize("name", COVERED)
def test_a_covered_band_in_the_dark_speaks_of_a_lock_out_only_where_there_is_one(session, name):
    session.release("supply.isolator")
    free = str(session.saw.blocked(name, COVERED[name]))
    session.lock_out("tell")
    session.lock_out("lock-isolator")
    locked = str(session.saw.blocked(name, COVERED[name]))
    assert "ake the lock-out back" in locked
    assert "back" not in free
    assert "again" not in free
    assert "witch the isolator on" in free


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
    assert all(Zone.WHEELS in to_mend(row).zones for row in BEHIND if row.name in CATALOGUE)


# Told, before it is started ---------------------------------------------------------------------

ON = ("press supply.isolator", "tap supply.reset", "tap supply.control_on")
BY_HAND = ("lockout tell", "release supply.isolator", "lockout lock-isolator")


def care(session):
    part = next(part for part in debrief(session).parts if part.title.row.key == "score.part.care")
    return part.of - part.points


@pytest.mark.parametrize(
    ("before", "times"),
    [
        ((), 0),
        (("lockout tell",), 1),
        ((*BY_HAND, "lockout inspect", "lockout clear", "lockout unlock-isolator"), 1),
        (
            (
                *BY_HAND,
                "lockout inspect",
                "lockout clear",
                "lockout unlock-isolator",
                "lockout tell-restored",
            ),
            0,
        ),
    ],
)
def test_power_that_nobody_was_told_of_is_not_right_and_costs_what_an_exposure_costs(
    session, before, times
):
    coach = Coach(session)
    run(session, *before)
    coach.remark()
    run(session, *ON)
    said = coach.remark().row.key

    assert len(session.done.untold) == times
    assert (said == "coach.not-told") == bool(times)
    assert was_unsafe(session) == bool(times)  # so nobody passes with it
    wrong = [row for row in debrief(session).safety if not row.fine]
    assert [row.said.row.key for row in wrong] == ["session.not-told"] * times
    assert care(session) == JOB_EXPOSED * times


def test_a_start_that_is_tried_to_verify_is_no_power(session):
    do_all(session, locking_out(session))
    assert session.lockout.verified
    assert not session.done.untold


@pytest.mark.parametrize("step", ["inspect", "clear"])
def test_after_the_way_back_has_begun_the_coach_says_keep_out(session, step):
    whole_but_locked(session)
    coach = Coach(session)
    session.lock_out("inspect")
    if step == "clear":
        coach.remark()
        session.lock_out(step)
    assert "Keep hands out from here on" in str(coach.remark())


# The cabinet ------------------------------------------------------------------------------------

LOOKS_IN = [
    row.name for row in inspections.INSPECTIONS.values() if to_look(row).zone is Zone.CABINET
]


@pytest.mark.parametrize("power", [False, True])
@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("name", [*LOOKS_IN, "meter B11"])
def test_only_who_is_qualified_looks_into_a_cabinet_that_is_not_locked_out(name, role, power):
    session = opened(role=role)
    if power:
        run(session, *ON)
    session.inspect(name)
    assert bool(session.hands.exposures) == (role != QUALIFIED)


def test_under_a_verified_lock_out_another_may_look(session):
    do_all(session, locking_out(session))
    session.inspect("fuses")
    assert not session.hands.exposures


@pytest.mark.sampled(3)
@pytest.mark.parametrize("role", ROLES)
def test_the_plan_has_nobody_look_where_he_may_not(role):
    scenario = read("says-there-is-no-bar")[0].model_copy(update={"role": role})
    whole = matrix_for(scenario)
    left = for_role(scenario, whole)
    cabinet = {each.look for each in whole.inspections} & {*LOOKS_IN, "meter B53", "meter S2"}
    assert cabinet
    assert cabinet.isdisjoint(each.look for each in left.inspections) == (role != QUALIFIED)


def test_who_looks_there_by_the_plan_of_a_drill_is_qualified_or_has_other_looks():
    for name in library.names():
        scenario, _ = read(name)
        if scenario.mode not in ("drill", "assessment") or scenario.role == QUALIFIED:
            continue
        looks = [inspections.find(each) for each in scenario.inspections]
        maintenance = [row for row in scenario.faults if CATALOGUE[row.name].who is Who.MAINTENANCE]
        assert not (maintenance and any(to_look(look).zone is Zone.CABINET for look in looks)), name


@pytest.mark.parametrize("role", ROLES)
def test_the_brief_says_who_one_is(role):
    written = []
    play(opened(role=role), ["quit"], written.append, interactive=False)
    assert str(YOU_ARE[role]) in " ".join("\n".join(written).split())


# The way that hints and the debrief name --------------------------------------------------------


def test_the_way_to_prove_it_takes_the_lock_out_back_before_anything_is_started():
    session = opened(role=QUALIFIED)
    run(session, *ON)
    session.diagnose("band-worn")
    session.diagnose("contactor-dead")
    acts = list(typed.proving(session))
    back = [f"lockout {step.name}" for step in BACK]
    order = [
        "set band.wheel_cover open", "release supply.isolator", "lockout verify", "set band.tension_mpa 0",
        "fix band-worn", "set band.tension_mpa 225", "set band.wheel_cover closed", *back,
        "set supply.air_cock open", "press supply.isolator", "tap supply.control_on", "palms job.start",
    ]  # fmt: skip
    places = [acts.index(act) for act in order]
    assert places == sorted(places), acts
    assert (
        acts.index("lockout verify")
        < acts.index("lockout prove-dead")
        < acts.index("fix contactor-dead")
    )
    assert acts.index("fix contactor-dead") < acts.index("lockout inspect")


@pytest.mark.sampled(2)
@pytest.mark.parametrize("name", ["motor-hums", "first-of-the-month"])
def test_the_sound_way_of_the_debrief_proves_dead_where_due_and_comes_back(name):
    session = session_for(read(name)[0])
    keys = [said.row.key for said in debrief(session).sound_path]
    work = to_mend(session.hidden[0])
    named = keys.index("debrief.path.name")
    mended = keys.index(session.hidden[0].remedy.row.key)
    assert "debrief.path.lock-out" in keys[named:mended]
    assert ("debrief.path.prove-dead" in keys[named:mended]) == (work.zone is Zone.CABINET)
    assert ("debrief.path.cover" in keys[named:mended]) == work.behind_cover
    assert keys[mended + 1] == "debrief.path.way-back"


# What is said ------------------------------------------------------------------------------------


def test_a_padlock_is_hung_before_the_oil_is_let_out_where_the_head_rests(session):
    run(
        session,
        *ON,
        "turn manual",
        "set head.feed_valve_mm_min 250",
        "set head.stop_notch 12",
        "hold head.raise 8",
    )
    run(
        session, "set head.prop in", "hold head.lower 60", "set infeed.bar_chock in", "lockout tell"
    )
    run(session, "release supply.isolator")
    assert session.saw.plant.head.propped
    assert session.saw.plant.head.oil_pa > 0.0
    assert typed.locking_out(session, "lock-isolator") == ("lockout lock-isolator",)
    assert "set head.oil_relief open" in typed.locking_out(session)


def test_looks_say_whose_padlock_hangs_where():
    session = opened(second_person=Second(name="Ines", locks=("air cock",)))
    session.set("infeed.bar_chock", "in")
    run(session, "lockout tell", "lockout lock-isolator", "set supply.air_cock shut", "wait 60")
    assert "Your padlock hangs on the isolator." in str(session.inspect("buttons").message)
    cock = str(session.inspect("air-cock").message)
    assert "A padlock of Ines hangs on the air cock." in cock
    assert "Your padlock" not in cock
    assert "a lock of Ines is on the air cock" in str(supply(session))


def test_a_prop_that_the_height_stop_keeps_out_says_to_set_its_ring(session):
    run(session, *ON, "turn manual", "set head.stop_notch 1", "hold head.raise 8")
    assert "Set the stop ring to its topmost notch" in str(session.set("head.prop", "in").message)
    run(session, "set head.stop_notch 12")
    assert str(session.set("head.prop", "in").message).endswith("Raise the head above it first.")


@pytest.mark.parametrize("vise", ["cutting_vise", "shuttle_vise"])
def test_oil_let_out_of_a_vise_with_the_bar_unchocked_is_a_slip(session, vise):
    coach = Coach(session)
    session.set(f"{vise}.oil_relief", "open")
    assert "chock the bar first" in str(coach.remark())
    session.set(f"{vise}.oil_relief", "shut")
    session.set("infeed.bar_chock", "in")
    coach.remark()
    session.set(f"{vise}.oil_relief", "open")
    assert "chock the bar first" not in str(coach.remark())


def test_the_hint_of_lesson_14_lowers_the_head_no_longer_than_it_takes():
    session = session_for(read("14-shut-down")[0])
    lesson = lesson_of(session)
    assert play_lesson(session, lesson, 3)
    before = session.now_s
    assert play_lesson(session, lesson, 4)
    assert session.saw.plant.head.propped
    assert session.now_s - before < 120


SPANISH = phrases_of("es")


def test_in_spanish_a_lock_out_has_one_name_and_a_setting_no_preposition_twice():
    said = told.in_words(told.SET_TO(name="mode.key", setting="in my pocket")).tell(Reader("es"))
    assert "en en" not in said
    for english, spanish in SPANISH.items():
        if re.search(r"lock-?out|locked out", str(english), re.IGNORECASE):
            assert "bloqueo" not in str(spanish).lower(), english


def test_on_the_way_back_nobody_is_told_that_hands_may_go_in_until_it_is_verified_anew():
    session = opened()
    do_all(session, locking_out(session))
    before = str(session.lockout.stands)
    whole_but_locked(session)
    session.lock_out("inspect")
    session.lock_out("clear")
    told_back = str(session.lockout.stands)
    session.set("infeed.bar_chock", "in")
    session.lock_out("verify")

    assert before.startswith(
        "Verified: hands may go in, but never at the line side of the isolator"
    )
    assert "hands may go in" not in told_back
    assert str(session.lockout.stands) == before
    assert not session.lockout.has("clear")


def test_with_your_locks_off_and_another_on_the_other_is_named():
    session = opened(second_person=Second(name="Ines", locks=("isolator",)))
    do_all(session, locking_out(session))
    run(
        session,
        "set head.oil_relief shut",
        "set cutting_vise.oil_relief shut",
        "set shuttle_vise.oil_relief shut",
    )
    run(
        session,
        "set infeed.bar_chock out",
        "lockout inspect",
        "lockout clear",
        "lockout unlock-air",
    )
    assert str(how_it_stands(session)) == "Wanting: Your padlock still hangs. Take it off first."
    run(session, "lockout unlock-isolator")
    assert "Wanting: Ines still has a lock on it." in str(how_it_stands(session))
    run(session, "lockout ask")
    assert "not been told yet that the locks are off" in str(how_it_stands(session))
    run(session, "lockout tell-restored")
    assert (
        str(how_it_stands(session))
        == "Wanting: Those affected have not been told yet. Tell them first."
    )
