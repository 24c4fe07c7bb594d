"""Which rows cannot hold yet, and for what each waits; a row is played as soon as that is there."""

from typing import Final

import pytest

from sim.scenario.scenario import Scenario
from sim.session.lockout import BY_NAME as STEPS
from tests.safety.rows import SafeWay, UnsafeAct

_LOCKED_GUARDS: Final = frozenset({
    "cover-opened-for-the-teeth-while-the-band-runs", "guard-opened-while-the-band-runs",
    "cover-opened-as-the-band-coasts", "guard-opened-as-an-old-saw-coasts",
    "guard-opened-as-the-band-coasts-without-power", "guard-that-was-shut-opened-after-isolating",
})  # fmt: skip
"""Refused by guard locking, I17."""


def row_of(row: UnsafeAct | SafeWay):
    """Return a row as a parameter of a test, marked with what it waits for."""
    marks = []
    if row.name in _LOCKED_GUARDS:
        marks.append(pytest.mark.xfail(strict=True, reason="guard and cover are not locked yet"))
    missing = sorted(_steps_of(row) - set(STEPS))
    if missing:
        marks.append(pytest.mark.skip(reason=f"no step of the lock-out yet: {', '.join(missing)}"))
    if "role" not in Scenario.model_fields and row.name in _BY_ROLE:
        marks.append(pytest.mark.skip(reason="a scenario has no roles yet"))
    if "second_person" not in Scenario.model_fields and row.other_locks:
        marks.append(pytest.mark.skip(reason="a scenario has no second person yet"))
    return pytest.param(row, id=row.name, marks=marks)


_BY_ROLE: Final = frozenset({
    "fuses-looked-at-live-by-an-operator", "wire-metered-live-by-an-operator",
    "overload-relay-set-live-by-an-authorised-person",
})  # fmt: skip


def _steps_of(row: UnsafeAct | SafeWay) -> set[str]:
    lines = (*row.state, *row.act)
    return {line.split()[1] for line in lines if line.startswith("lockout ")}
