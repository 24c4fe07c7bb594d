"""No more is promised about a hazard than holds, and every lesson says what can hurt where the hand goes there.

What the program says is known by its keys and told by what the saw does; what an author wrote is found
by words of its own, in each language, and the step at which it belongs by what the step asks for.
"""

import importlib
import pkgutil
import re

import pytest

import sim
from sim.pilot import autopilot
from sim.scenario import library
from sim.session import locking
from sim.session.hands.cautions import before_set
from sim.session.opening import open_session, read
from sim.teaching.coach import Coach
from sim.text.typed import lists
from sim.words.message import ROWS
from sim.words.reader import Reader

from .test_cautions import keys, powered

MACHINES = ("harbour-saw", "quay-saw")
READERS = {"en": Reader(), "es": Reader("es")}
LESSONS = [name for name in library.names() if read(name)[0].mode == "lesson"]


def _rows():
    for module in pkgutil.walk_packages(sim.__path__, "sim."):
        if "__main__" not in module.name:
            importlib.import_module(module.name)
    return [row for key, row in ROWS.items() if not key.startswith("test.")]


def _of(scenario):
    """Yield every text of a scenario that its author wrote."""
    yield from (scenario.title, scenario.summary, scenario.brief, scenario.report, scenario.teaches)
    for step in scenario.steps:
        yield from (step.ask, step.why, step.caution, step.hint)


def _everything():
    """Yield all that can be said and where: rows, scenarios."""
    for row in _rows():
        yield from ((row.key, each) for each in (row.template, row.plural) if each)
    for name in library.names():
        yield from ((name, each) for each in _of(read(name)[0]) if each)


NOTHING_MOVES = {
    "en": r"nothing (will )?moves?\b|nothing can move",
    "es": r"nada se (mueve|moverá)",
}


@pytest.mark.parametrize("language", READERS)
def test_nobody_is_told_that_nothing_moves(language):
    """What nothing drives can sink, coast or roll."""
    reader = READERS[language]
    said = [
        (where, text)
        for where, text in _everything()
        if re.search(NOTHING_MOVES[language], reader.authored(text), re.IGNORECASE)
    ]
    assert not said


# ---- lock-out


@pytest.mark.parametrize("machine", MACHINES)
def test_locked_out_is_said_when_no_energy_is_left_and_never_before(machine):
    session = powered(machine)
    session.press("head.raise")
    session.advance(20)
    session.release("head.raise")
    coach = Coach(session)
    whole = {"coach.lockout.whole", "lockout.stands.verified"}
    told_at = []
    acts = list(locking.locking_out(session))
    for count, act in enumerate(acts):
        act.do(session)
        plant = session.saw.plant
        left = (
            plant.power.live, plant.supply.air_pa > 0.05e5, plant.head.oil_pa > 0,
            plant.cutting_vise.pressure_pa > 0, plant.shuttle_vise.pressure_pa > 0, not plant.head.rests,
        )  # fmt: skip
        said = keys((coach.remark(), *lists.lockout_steps(session)))
        if said & whole:
            told_at.append(count)
            assert not any(left)
    assert told_at == [len(acts) - 1]


@pytest.mark.parametrize(
    ("point", "back"),
    [("supply.air_cock", "open"), ("head.oil_relief", "shut"), ("infeed.bar_chock", "out")],
)
def test_locked_out_is_no_longer_said_when_something_comes_back(point, back):
    session = powered()
    for act in locking.locking_out(session):
        act.do(session)
    assert "lockout.stands.verified" in keys(lists.lockout_steps(session))
    if point == "supply.air_cock":  # my own padlock keeps it shut
        for act in locking.giving_back(session):
            act.do(session)
            if act.name == "unlock-air":
                break
    session.set(point, back)
    plant = session.saw.plant
    verified = "lockout.stands.verified" in keys(lists.lockout_steps(session))

    assert verified == (point == "head.oil_relief" and plant.head.oil_pa == 0.0)


# ---- the head, the band


@pytest.mark.parametrize("machine", MACHINES)
@pytest.mark.parametrize("stop", ["supply.emergency_stop", "supply.infeed_stop"])
def test_an_emergency_stop_tells_what_the_head_of_this_saw_does_and_the_head_does_it(machine, stop):
    session = powered(machine)
    session.press("head.raise")
    session.advance(20)
    session.release("head.raise")
    coach = Coach(session)
    coach.remark()
    high_m = session.saw.plant.head.place.position
    session.press(stop)
    said = keys(coach.remark())
    session.advance(5)
    sank = session.saw.plant.head.place.position < high_m

    assert said & {"coach.head.sinks", "coach.head.holds"} == {
        "coach.head.sinks" if sank else "coach.head.holds"
    }
    assert sank == (machine == "harbour-saw")


def test_an_emergency_stop_tells_nothing_of_a_head_that_rests():
    session = powered()
    coach = Coach(session)
    coach.remark()
    session.press("supply.emergency_stop")

    assert not keys(coach.remark()) & {"coach.head.sinks", "coach.head.holds"}


@pytest.mark.parametrize(
    ("mpa", "right", "wrong"), [(320, "over-tension", "tension"), (120, "tension", "over-tension")]
)
def test_a_band_that_is_too_tight_is_to_be_slackened_and_a_slack_one_tensioned(mpa, right, wrong):
    session = open_session("rail-posts")
    session.set("band.tension_mpa", mpa)
    session.press("supply.isolator")
    for key in ("supply.reset", "supply.control_on"):
        session.tap(key)
    coach = Coach(session)
    session.palms("band.run")
    said = keys(coach.remark())

    assert f"need.{right}.remedy" in said
    assert f"need.{wrong}.remedy" not in said
    assert {"caution.own-control"} <= said  # the tension screw is at the wheels


# ---- what an author wrote


def _starts(goal):
    return (goal.state or {}).get("band") == ("RUNNING",) or goal.speed_m_min is not None


def _runs_job(goal):
    return (goal.state or {}).get("job") in (("EXECUTE",), ("COMPLETE",))


def _sets(*names):
    return lambda goal: bool(set(goal.setting or ()) & set(names))


def _looks(*names):
    return lambda goal: goal.inspected in names


# A caution, the words by which it is known in each language, and the goal of the step that has it.
BELONGS = {
    "eyes and ears": (r"[Gg]lasses and ear", r"[Gg]afas y protección de oídos", _starts),
    "no gloves at a running band": (r"no gloves at a running band", r"nada de guantes", _starts),
    "nothing loose": (r"nothing loose: sleeves, hair", r"nada suelto: mangas, pelo", _starts),
    "gloves for a band that is taken off": (r"[Gg]loves and glasses", r"[Gg]uantes y gafas", _sets("band.seat")),
    "gloves at a coiled band": (r"[Gg]loves.*coiled band springs", r"[Gg]uantes.*enrollada", _sets("band.teeth_per_inch")),
    "chips": (r"hot and sharp: brush and hook", r"cepillo y gancho", _sets("band.brush_mm")),
    "burrs": (r"burr", r"rebaba", _looks("last-piece")),
    "teeth cut at rest": (r"teeth cut at rest", r"cortan también", _sets("band.guide_span_mm")),
    "lock-out is practice": (r"maker's manual.*qualified or authorised", r"manual del fabricante.*(cualificada|autorizada)",
                             lambda goal: goal.lockout in ("verified", "lock-isolator")),
    "the head that sinks": (r"[Kk]eep clear of the head", r"apartado del cabezal",
                            lambda goal: (goal.signal or {}).get("S1") is False or "head.over_prop_mm" in (goal.measure or {})),
    "the stop is no lock-out": (r"no lock-out", r"no es (una |ninguna )?consignación|no consigna",
                                lambda goal: (goal.signal or {}).get("S1") is False),
    "oil through the skin": (r"through the skin", r"piel", _sets("head.oil_relief")),
    "the live cabinet": (r"[Oo]nly qualified people open it", r"(personal|personas?) cualificad",
                         lambda goal: (goal.signal or {}).get("Q0") is True),
}  # fmt: skip


def _steps_of(goal_is):
    for name in LESSONS:
        for number, step in enumerate(read(name)[0].steps, start=1):
            if goal_is(step.goal):
                yield name, number, step


@pytest.mark.parametrize("caution", BELONGS)
@pytest.mark.parametrize("language", READERS)
def test_each_lesson_says_a_caution_at_its_first_step_where_it_belongs(caution, language):
    english, spanish, goal_is = BELONGS[caution]
    words = english if language == "en" else spanish
    first = {}
    for name, number, step in _steps_of(goal_is):
        first.setdefault(name, (number, step))
    assert first
    without = [
        (name, number)
        for name, (number, step) in first.items()
        if not re.search(
            words, " ".join(READERS[language].authored(t) for t in (step.why, step.caution) if t)
        )
    ]
    assert not without


AT_THE_TEETH = {  # what has hands or eyes beside the teeth with nothing before them, and whether gloves are said
    "gloves": (r"[Gg]loves", r"[Gg]uantes", lambda goal: goal.inspected in ("band-teeth", "guide-inserts") or any(
        _sets(name)(goal) for name in ("band.seat", "band.teeth_per_inch", "band.brush_mm"))),
    "teeth": (r"teeth cut at rest", r"cortan también", lambda goal: goal.inspected in (
        "band-teeth", "guide-inserts", "tooth-pitch", "arm-lock", "guide-arm") or any(
        _sets(name)(goal) for name in ("band.guide_span_mm", "band.guide_lock", "band.brush_mm"))),
}  # fmt: skip


@pytest.mark.parametrize("language", READERS)
@pytest.mark.parametrize("said", AT_THE_TEETH)
def test_every_step_at_the_teeth_has_its_caution(said, language):
    english, spanish, goal_is = AT_THE_TEETH[said]
    steps = [(name, number, step.caution) for name, number, step in _steps_of(goal_is)]
    assert len(steps) > 5
    without = [
        (name, number)
        for name, number, caution in steps
        if not caution
        or not re.search(
            english if language == "en" else spanish, READERS[language].authored(caution)
        )
    ]
    assert not without


@pytest.mark.parametrize("language", READERS)
def test_every_lesson_that_has_the_job_run_says_that_the_saw_moves_by_itself(language):
    words = {
        "en": r"moves? by itself|without a further word|[Nn]ever reach",
        "es": r"por sí sola|sin más aviso|[Nn]unca alcance|se mueven? sol",
    }
    for name, number, _ in _steps_of(_runs_job):
        earlier = read(name)[0].steps[:number]
        said = " ".join(
            READERS[language].authored(t) for s in earlier for t in (s.why, s.caution) if t
        )
        assert re.search(words[language], said), (name, number)


DRILLS = [
    name
    for name in library.names()
    if read(name)[0].mode == "drill" and name != "posts-come-out-short"
]


@pytest.mark.parametrize("name", DRILLS)
def test_the_brief_of_a_drill_says_when_hands_go_in(name):
    """The first drill's brief stands in the README, whose table of words says it."""
    brief = read(name)[0].brief

    assert "Hands go in only with the saw in your own control, or locked out" in brief
    assert "Las manos entran solo con la sierra bajo su propio control, o consignada" in READERS[
        "es"
    ].authored(brief)


@pytest.mark.parametrize("machine", MACHINES)
@pytest.mark.parametrize("valve", ["open", "shut"])
def test_without_air_and_control_power_a_raised_head_comes_down_as_is_said_of_the_cock(
    machine, valve
):
    session = powered(machine)
    session.press("head.raise")
    session.advance(20)
    session.release("head.raise")
    if valve == "shut":
        session.set("head.feed_valve_mm_min", 0)
    high_m = session.saw.plant.head.place.position
    assert "caution.air-cock" in {each.row.key for each in before_set("supply.air_cock")}
    session.set("supply.air_cock", "shut")
    session.advance(30)
    assert session.saw.plant.head.place.position == high_m  # control power keeps its valve shut
    session.release("supply.isolator")
    session.advance(30)

    assert session.saw.plant.head.place.position < high_m
    assert ("head-dropped" in {c.kind for c in session.saw.consequences}) == (valve == "shut")


# ---- run-on, and the hand pump


@pytest.mark.parametrize("minutes", [0, 2])
def test_a_job_that_is_complete_with_its_band_running_is_not_taken_for_one_that_stands(minutes):
    session = open_session("rail-posts")
    autopilot.power_up(session)
    autopilot.set_up(session)
    session.set("job.wanted", 1)
    session.set("job.run_on_min", minutes)
    coach = Coach(session)
    for act in ("coolant.with_band", "job.square"):
        session.tap(act)
    session.turn("production")
    session.tap("job.reset")
    session.palms("job.start")
    said = set()
    for _ in range(600):
        session.advance(1)
        said |= keys(coach.remark())
        if session.saw.controller.image["job"] == "COMPLETE":
            break

    assert session.saw.controller.image["job"] == "COMPLETE"
    assert (
        ("coach.runs-on" in said)
        == (session.saw.controller.image["band"] == "RUNNING")
        == (minutes > 0)
    )


@pytest.mark.parametrize("machine", MACHINES)
def test_the_hand_pump_raises_the_head_without_any_power_as_is_said_of_it(machine):
    session = open_session("rail-posts", machine=machine)
    low_m = session.saw.plant.head.place.position
    assert "caution.trapped" in {each.row.key for each in before_set("head.hand_pump")}

    assert session.set("head.hand_pump", 60).taken
    assert not session.saw.bus.driven("Q0")
    assert session.saw.plant.head.place.position > low_m
