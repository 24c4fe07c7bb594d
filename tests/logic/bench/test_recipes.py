"""From random states of the saw, each recipe of why-not is followed literally, in words of the terminal.

What is random is what people do: keys, palms, modes, latches, hands at the machine, jobs that are set
going, and time. In CI it is done from as many states as take seconds; `RECIPES=10000` asks for more.
"""

import contextlib
import os
from collections import Counter
from random import Random

import pytest

from sim.control.actions import ACTIONS, BY_NAME
from sim.control.decision import Decision
from sim.control.interlocks import When
from sim.control.switches import ALREADY
from sim.control.table import TABLES
from sim.errors import CommandError
from sim.logic.bench.freeing import search
from sim.pilot import autopilot
from sim.session.opening import open_session
from sim.signals import BY_KEY
from sim.text.typed.acts import perform
from sim.text.typed.language import parse

STATES = int(os.environ.get("RECIPES", "400"))
GROUPS = 4
IN_A_SESSION = 30  # states, before a new saw is taken
AT_THE_MACHINE = {
    "band.guard": ("closed", "open"), "band.wheel_cover": ("closed", "open"),
    "band.tension_mpa": (225.0, 225.0, 100.0, 320.0), "supply.air_bar": (6.0, 3.0),
    "supply.oil_percent": (80.0, 20.0), "coolant.level_percent": (80.0, 10.0),
    "band.relay": ("set", "tripped"),
}  # fmt: skip
LATCHES = ("supply.emergency_stop", "supply.infeed_stop", "supply.trip_line")
HELD = [row.name for row in ACTIONS if row.halt]
# Nothing that a hand can do brings these about: there must be a job that runs, is held or was aborted.
OF_A_JOB = {
    "job.hold",
    "job.complete",
    "job.unhold",
    "job.clear",
    "job.straight",
    "job.square",
    "job.new",
}


def _press_or_release(session, chance, key, often):
    (session.press if chance.random() < often else session.release)(key)


def _a_job(session, chance):
    for errand in (autopilot.power_up, autopilot.make_ready, autopilot.begin):
        if not session.over:
            errand(session)
    session.advance(chance.choice([1, 5, 20]))


def _at_the_machine(session, chance):
    name = chance.choice(sorted(AT_THE_MACHINE))
    session.set(name, chance.choice(AT_THE_MACHINE[name]))


# What a person may do, and how often beside the others.
ANYTHING = (
    (30, lambda s, c: s.tap(c.choice(sorted(BY_KEY)))),
    (12, lambda s, c: s.turn(c.choice(["manual", "maintenance", "production"]))),
    (10, lambda s, c: s.palms(c.choice(["band.run", "job.start", "job.unhold"]))),
    (8, lambda s, c: s.hold(c.choice(HELD), c.choice([0.2, 1, 8]))),
    (8, _at_the_machine),
    (8, lambda s, c: _press_or_release(s, c, c.choice(LATCHES), 0.4)),
    (4, lambda s, c: _press_or_release(s, c, "supply.isolator", 0.8)),
    (4, _a_job),
    (16, lambda s, c: s.advance(c.choice([0.05, 0.3, 2, 10]))),
)


def anything(session, chance):
    """Do something that a person may do."""
    ((_, act),) = chance.choices(ANYTHING, [often for often, _ in ANYTHING])
    act(session, chance)


def lines(step):
    """Return one step of a recipe as it is typed."""
    act = step.act
    if act.verb == "tap":
        palms = len(act.names) > 1
        return [f"palms {act.names[0]}" if palms else f"tap {act.names[0]}"]
    if act.verb == "hold":
        (key,) = act.names
        return [f"press {key}", f"wait until {there(key)}", f"release {key}"]
    if act.verb == "turn":
        return [f"turn {act.names[0].removeprefix('mode.')}"]
    if act.verb == "set":
        return [f"set {name} {setting}" for name, setting in act.settings]
    if act.verb == "wait":
        return ["wait 120"]
    return [f"{act.verb} {name}" for name in act.names]


def there(key):
    """Return the state in which the part is where its key brings it."""
    action = BY_NAME[key]
    (table,) = (table for table in TABLES if table.name == action.machine)
    moving = next(row.to for row in table.rows if row.event == action.event)
    event = ALREADY[(action.machine, moving)][2]
    end = next(row.to for row in table.rows if (row.state, row.event) == (moving, event))
    return f"{action.machine}.{end.lower()}"


def followed(session, steps):
    """Type a recipe; return the answer to its last key, or what the terminal refused."""
    answers: list[Decision] = []
    session.saw.controller.on_decision(answers.append)
    for step in steps:
        answers.clear()
        for line in lines(step):
            act = parse(line)
            assert act is not None
            try:
                perform(session, act)
            except CommandError as refused:
                return f"{line}: {refused}"
        if answers and not answers[-1].accepted:
            return f"{lines(step)}: {answers[-1].sentence}"
    return answers[-1]


@pytest.mark.parametrize("group", range(GROUPS))
def test_from_random_states_every_recipe_followed_literally_works(group):
    chance = Random(f"recipes/{group}")
    found: Counter[str] = Counter()
    while sum(found.values()) < STATES // GROUPS:
        session = open_session("rail-posts")
        for _ in range(IN_A_SESSION):
            for _ in range(chance.randint(1, 5)):
                if not session.over:
                    with contextlib.suppress(CommandError):
                        anything(session, chance)
            if session.over or session.frozen or session.saw.plant.site.wrecked:
                break
            controller = session.saw.controller
            refused = [a.name for a in ACTIONS if controller.refusals(a.name, When.KEY)]
            if not refused:
                continue
            action = chance.choice(refused)
            before = {name: machine.state for name, machine in controller.machines.items()}
            steps = search(session.saw, action)
            if steps is None:
                assert action in OF_A_JOB, (action, before)
                found["none"] += 1
                continue
            answer = followed(session, steps)
            if session.over or session.saw.plant.site.wrecked:
                found["over"] += 1
                break
            assert isinstance(answer, Decision), (action, answer, before)
            assert answer.accepted, (action, answer, before)
            assert answer.action == action
            found["works"] += 1
    assert found["works"] > found["over"] * 20
    assert found["works"] > found["none"]
