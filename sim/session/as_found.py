"""The state in which a saw is found: set up for the job or not, what the scenario left, its faults."""

from collections.abc import Sequence

from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.saw import Saw
from sim.scenario.scenario import Scenario
from sim.session.card.setup_card import RUN_PAST_MM, Line
from sim.session.hidden import Hidden
from sim.session.inspections.band import chips_left
from sim.session.morning import Morning
from sim.trade.edge import RUN_IN_M2


def leave_as_found(
    saw: Saw, scenario: Scenario, card: Sequence[Line], faults: Hidden, morning: Morning
) -> None:
    """Put a fresh saw into the state in which the trainee finds it."""
    saw.set("job.wanted", scenario.job.wanted)
    saw.plant.head.come_to_rest()
    if scenario.ready:
        for line in card:
            if line.name == "shuttle.stop_mm":
                saw.set(line.name, float(line.setting) + RUN_PAST_MM)
            if line.name in SET_POINTS or line.name.startswith("job."):
                saw.set(line.name, line.setting)
    for name, setting in scenario.found.items():
        saw.set(name, setting if isinstance(setting, str) else float(setting))
    saw.plant.blade.sawn_m2 = RUN_IN_M2  # the band that is on was run in by whoever fitted it
    faults.apply()
    faults.leave(each.fault for each in morning.found)
    saw.plant.head.sawing.found = chips_left(saw)
    saw.plant.head.come_to_rest(left_down=scenario.head_down)
    saw.bus.settle()
