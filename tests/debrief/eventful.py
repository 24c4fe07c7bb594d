"""A drill with something for every part of a debrief's page, and few causes to weigh it with."""

from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from sim.debrief.debrief import Debrief, debrief
from sim.debrief.evidence import SOUND
from sim.debrief.hints import hint
from sim.diagnosis import causes, matrix_from_saw
from sim.faults.catalogue import CATALOGUE
from sim.pilot.autopilot import as_found, make_ready, power_up
from sim.session.locking import do_all, locking_out
from sim.session.opening import open_session
from sim.session.session import Session

FEW = ("plunger-on-the-land", "height-stop-low", "variator-forced", "stop-from-below")


@contextmanager
def few_causes(names: tuple[str, ...] = FEW) -> Iterator[None]:
    """Weigh these faults and the sound machine only, and leave nothing of it behind."""
    few = {name: CATALOGUE[name] for name in names}
    kept = (matrix_from_saw._prior_or_not, matrix_from_saw._weighed)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(causes, "CATALOGUE", few)
        for module in (causes, matrix_from_saw):  # the latter names what is kept on the disk
            patch.setattr(module, "EVERY", few)
        for each in kept:
            each.cache_clear()
        yield
    for each in kept:
        each.cache_clear()


def debrief_by_few(session: Session) -> Debrief:
    """Return the debrief of a session that weighs few causes, what is hidden among them."""
    hidden = (fault.name for fault in session.hidden)
    with few_causes(tuple(dict.fromkeys((*FEW, *hidden)))):
        return debrief(session)


def eventful():
    """A drill with something for every part of the page."""
    session = open_session("head-will-not-come-down")
    session.press("job.start")
    session.inspect("stop-plunger", SOUND)
    session.inspect("jaw-gaps", "four <millimetres> & no more")
    session.inspect("jaw-gaps")
    session.diagnose("height-stop-low")
    session.put_right("height-stop-low")
    session.note("Asked the foreman: <b>no answer</b>.")
    session.instructor.put_in("stop-from-below")
    session.instructor.mark("Looks at the wrong side.")
    power_up(session)
    make_ready(session)
    as_found(session, 1)
    hint(session)
    session.diagnose("variator-forced")
    session.tap("job.stop")  # or the band that still runs would strike, and end it here
    session.advance(30)
    session.set("band.wheel_cover", "open")
    session.inspect("pulley")
    session.lock_out("verify")
    do_all(session, locking_out(session))
    return session
