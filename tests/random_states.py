"""Random states of a saw, by what people do at it, and a key that is refused there.

Never here: what becomes of the key.
"""

import contextlib

from sim.control.actions import ACTIONS
from sim.errors import CommandError
from sim.logic.bench.helpful import acts_on_nothing
from sim.pilot import autopilot
from sim.session.opening import open_session
from sim.signals import BY_KEY

IN_A_SESSION = 30  # states, before a new saw is taken
AT_THE_MACHINE = {
    "band.guard": ("closed", "open"), "band.wheel_cover": ("closed", "open"),
    "band.tension_mpa": (225.0, 225.0, 100.0, 320.0), "supply.air_bar": (6.0, 3.0),
    "supply.oil_percent": (80.0, 20.0), "coolant.level_percent": (80.0, 10.0),
    "band.relay": ("set", "tripped"), "infeed.hood": ("shut", "open"),
}  # fmt: skip
LATCHES = ("supply.emergency_stop", "supply.infeed_stop", "supply.trip_line")
HELD = [row.name for row in ACTIONS if row.halt]


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


def random_states(chance, opened=lambda: open_session("rail-posts")):
    """Yield sessions that stand somewhere, without end: now and then on a new saw."""
    while True:
        session = opened()
        if chance.random() < 0.7:
            autopilot.set_up(session)
        for _ in range(IN_A_SESSION):
            for _ in range(chance.randint(1, 5)):
                if not session.over:
                    with contextlib.suppress(CommandError):
                        anything(session, chance)
            if session.over or session.frozen:
                break
            yield session


def asked(session, chance):
    """Return a key that is refused here and has something to act on; empty where there is none."""
    controller = session.saw.controller
    blocked = [
        action.name
        for action in ACTIONS
        if controller.blocks(action.name) and not acts_on_nothing(action.name, controller.image)
    ]
    return chance.choice(blocked) if blocked else ""
