"""Proves a round at the start of the shift: every finding is there, can be seen, and is in its right class.

Never here: drills, lessons and jobs (see `check`).

Runs the saw.
"""

from collections.abc import Iterator
from typing import Final

from sim.authoring.claims import ROUND_FIT, ROUND_GOES_ON, ROUND_HAS, ROUND_SEEN, Claim
from sim.authoring.symptom import trouble
from sim.faults.fault import Who
from sim.pilot.autopilot import as_found, power_up
from sim.scenario.scenario import Findings, Scenario
from sim.session.hands.table import to_look
from sim.session.hands.zones import Zone
from sim.session.inspections import INSPECTIONS
from sim.session.known import may_look
from sim.session.lockout import QUALIFIED
from sim.session.morning import FIT, GOES_ON, Amiss, classes_of
from sim.session.opening import session_for
from sim.session.session import Session

_STOPS_TRIED: Final = ("supply.emergency_stop", "supply.infeed_stop", "supply.trip_line")
_GUARDS_TRIED: Final = ("band.guard", "band.wheel_cover")
_LOOKED: Final = 1.0  # s, in which what a hand has done shows

Missing = tuple[Claim, tuple[str, ...]]
"""A claim, and the causes of which it does not hold."""


def round_proved(scenario: Scenario) -> tuple[Missing, ...]:
    """Return each claim of a round with the causes of which it does not hold."""
    findings = scenario.findings
    if findings is None:
        return ()
    every = tuple(classes_of(findings))
    sound = _shown(_saw_with(scenario, None))
    return (
        (ROUND_HAS, _names(each for each in every if not _has(scenario, each))),
        (ROUND_SEEN, _names(each for each in every if not _seen(scenario, each, sound))),
        (
            ROUND_FIT,
            _names(e for e in every if e.calls_for == FIT and e.fault.who is not Who.OPERATOR),
        ),
        (
            ROUND_GOES_ON,
            _names(e for e in every if e.calls_for == GOES_ON and not _goes_on(scenario, e)),
        ),
    )


def _names(findings: Iterator[Amiss]) -> tuple[str, ...]:
    return tuple(each.fault.name for each in findings)


def _saw_with(scenario: Scenario, finding: Amiss | None) -> Session:
    """Return a session on the saw with one finding, or with none."""
    only = None
    if finding is not None:
        pool = {finding.calls_for.replace("-", "_"): (finding.fault.name,)}
        only = Findings.model_validate({"draw": 1, **pool})
    return session_for(scenario.model_copy(update={"findings": only}), nonce="")


def _has(scenario: Scenario, finding: Amiss) -> bool:
    session = _saw_with(scenario, finding)
    return session.faults.would_change(finding.fault) and session.faults.present(finding.fault)


def _shown(session: Session) -> tuple[dict[str, str], ...]:
    """Return what the allowed looks show: as the saw is found, with power, and with each stop and guard tried."""
    shown = [_looks(session)]
    power_up(session)
    shown.append(_looks(session))
    for key in _STOPS_TRIED:
        session.press(key)
        session.advance(_LOOKED)
        shown.append(_looks(session))
        session.release(key)
    power_up(session)
    for name in _GUARDS_TRIED:
        session.set(name, "open")
        shown.append(_looks(session))
        session.set(name, "closed")
    return tuple(shown)


def _looks(session: Session) -> dict[str, str]:
    qualified = session.scenario.role == QUALIFIED
    return {
        row.name: str(row.look(session.saw))
        for row in INSPECTIONS.values()
        if row.tool is None
        and not row.acts_s
        and not row.terminals
        and may_look(session.scenario, row)
        and (qualified or to_look(row).zone is not Zone.CABINET)
    }


def _seen(scenario: Scenario, finding: Amiss, sound: tuple[dict[str, str], ...]) -> bool:
    session = _saw_with(scenario, finding)
    if finding.calls_for == FIT:
        return _looks(session) != sound[0]
    return _shown(session) != sound


def _goes_on(scenario: Scenario, finding: Amiss) -> bool:
    session = _saw_with(scenario, finding)
    outcome = as_found(session, scenario.job.wanted)
    good = session.tally.good >= scenario.job.wanted
    return outcome.finished and good and not trouble(session)
