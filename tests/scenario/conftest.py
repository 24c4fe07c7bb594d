"""Every error that these tests meet is told to the pseudo reader: no word of it escapes translation."""

import pytest

from sim.errors import DrycycleError


@pytest.fixture(autouse=True)
def _told_to_every_reader(monkeypatch, untold):
    begin = DrycycleError.__init__

    def checked(error, *words, **named):
        begin(error, *words, **named)
        assert not untold(error), error.message

    monkeypatch.setattr(DrycycleError, "__init__", checked)
