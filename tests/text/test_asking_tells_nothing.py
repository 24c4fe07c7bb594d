"""In an assessment nothing that is asked of a saw as it is found tells what is hidden in it.

Every word of the language that only asks is asked, `why` of every key and `wiring` of every device; causes that are plain to see, as an
open guard, are left to `tests/view/test_free_sight.py`.
"""

import pytest

from sim.control.actions import BY_NAME as ACTIONS
from sim.diagnosis.causes import with_faults
from sim.faults.catalogue import CATALOGUE
from sim.session.opening import open_session, session_for
from sim.session.sights import describe
from sim.text.page import Printer
from sim.text.typed.acts import perform
from sim.text.typed.language import _ASK_ONLY, parse

SAMPLE = (
    "stop-from-below", "variator-forced", "head-up-wire", "raise-coil-wire", "belt-worn", "coolant-out",
    "shuttle-clamping-low", "relay-set-low", "guard-wire", "trip-line-wire", "control-fuse-blown", "oil-low", "back-limit-dead",
    "air-cock-shut", "air-regulator-low", "head-cylinder-leaks",
)  # fmt: skip


def asked(cause):
    """Return all that a saw with a cause answers, and what is in sight of it."""
    scenario = open_session("posts-come-out-short").scenario
    scenario = scenario.model_copy(update={"mode": "assessment", "inspections": "all"})
    session = session_for(with_faults(scenario, cause), nonce="for tests")
    lines = [word for word in sorted(_ASK_ONLY) if word not in {"why", "wiring"}]
    lines += [f"why {key}" for key in ACTIONS]
    lines += ["wiring"] + [f"wiring {tag}" for tag in session.machine.loom.by_tag]
    told = {}
    for line in lines:
        written = []
        Printer(written.append, drawn=False).put(*perform(session, parse(line)))
        told[line] = written
    return tuple(map(str, describe.look(session))), told


def tells(causes):
    """Return by cause the words that answer otherwise than on a sound saw, though nothing else is in sight."""
    in_sight, sound = asked(())
    found = {}
    for cause in causes:
        seen, told = asked((cause,))
        odd = [line for line in told if told[line] != sound[line]]
        if seen == in_sight and odd:
            found[cause] = odd
    return found


def test_no_word_that_asks_tells_what_is_hidden():
    assert tells(SAMPLE) == {}


@pytest.mark.slow
def test_no_word_that_asks_tells_any_cause_of_the_catalogue():
    assert tells(CATALOGUE) == {}
