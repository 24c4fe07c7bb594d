"""The bench in another language: no word of a print, a why-not or a way stays as it stands in the code."""

import itertools
import re
from html import unescape

import pytest

from sim.control.actions import ACTIONS
from sim.control.interlocks import PERMISSIVES, REACTIONS, When
from sim.control.nouns import state_word
from sim.control.table import TABLES
from sim.logic.bench import force
from sim.logic.bench.bench_page import whole_bench
from sim.logic.bench.diagrams import svg
from sim.logic.bench.freeing import free
from sim.logic.bench.prints import (
    cause_and_effect,
    csv_text,
    handbook,
    matrix_text,
    sheet_text,
    signal_list,
)
from sim.logic.bench.rung_drawing import svg as rung_svg
from sim.logic.bench.rungs import Wired, drawn, every_rung
from sim.logic.bench.why_not import why_not
from sim.logic.bench.wiring_prints import (
    device_list,
    io_list,
    strip_svg,
    strips,
    terminal_plan,
    wire_list,
)
from sim.pilot.autopilot import power_up
from sim.session.opening import machine_of, open_session
from sim.signals import INPUTS, SIGNALS
from sim.teaching.way_out import fresh_saw
from sim.words.reader import ENGLISH, PSEUDO, Reader
from sim.words.speech import read_by, tell

SITE = Wired.of(machine_of("harbour-saw"))
_NAMED = re.compile(r"«[^»]*»|\[[^\]]*\]|\d s\b")
_LETTERS = re.compile(r"[^\W\d_]+")
_TAGS = re.compile(r"<style>.*?</style>|<[^>]*>", re.DOTALL)


def _escaped(text):
    """Return the words that went past the reader."""
    return _LETTERS.findall(_NAMED.sub(" ", text))


@pytest.fixture
def reader():
    """Sets who reads, and gives the reading back afterwards."""
    yield read_by
    read_by(ENGLISH)


def _prints():
    yield from (sheet_text(sheet) for sheet in handbook())
    yield csv_text(signal_list())
    yield from (matrix_text(matrix) for matrix in cause_and_effect())
    for rung in every_rung(SITE):
        yield drawn(SITE, rung)
        yield unescape(_TAGS.sub(" ", rung_svg(SITE, rung)))
    loom = SITE.loom
    for sheet in (device_list(loom), *terminal_plan(loom), wire_list(loom), io_list(loom)):
        yield sheet_text(sheet)
    yield from (unescape(_TAGS.sub(" ", strip_svg(loom, each))) for each in strips(loom))
    yield from (_TAGS.sub(" ", svg(table)) for table in TABLES)
    yield from re.findall(r'aria-label="([^"]*)"', "".join(map(svg, TABLES)))
    yield unescape(_TAGS.sub(" ", whole_bench(SITE)))


def test_a_word_that_went_past_the_reader_is_seen():
    assert _escaped("[Close] the «B41» 12.5 s") == ["the"]


def test_every_word_of_the_prints_goes_by_the_reader(reader):
    english = list(_prints())
    reader(PSEUDO)

    for before, text in zip(english, _prints(), strict=True):
        assert not _escaped(text), set(_escaped(text))
        assert text != before
    assert f'lang="{PSEUDO.language}"' in whole_bench(SITE)


def test_the_prints_are_spanish_for_who_reads_spanish(reader):
    reader(Reader("es"))

    text = whole_bench(SITE)

    assert '<html lang="es">' in text
    assert "B11: el cabezal no está arriba" in text
    assert "<td>salida</td>" in text
    assert not re.search(r"\b(the|while|with|key|what|or|not|and)\b", _TAGS.sub(" ", text))


def _everything_refused():
    """Yield saws on which, between them, everything that can stand against an action does."""
    yield open_session("rail-posts")
    powered = open_session("rail-posts")
    power_up(powered)
    yield powered
    for shown, mode in itertools.product((True, False), ("manual", "maintenance", "production")):
        session = open_session("rail-posts")
        power_up(session)
        session.tap("coolant.on" if shown else "coolant.with_band")
        session.press("supply.emergency_stop")
        session.press("supply.infeed_stop")
        session.press("supply.trip_line")
        for tag in INPUTS:
            if tag[0] in "BF":
                session.saw.bus.force(tag, shown)
        session.saw.controller.latch_deviation()
        session.saw.bus.settle()
        session.turn(mode)
        yield session

    no_relay = open_session("rail-posts")
    no_relay.saw.bus.force("K0", False)
    no_relay.press("supply.isolator")
    no_relay.tap("supply.reset")
    yield no_relay

    for key in (
        "band.run",
        "cutting_vise.clamp",
        "shuttle_vise.clamp",
        "shuttle.back",
        "head.raise",
    ):
        session = open_session("rail-posts")
        power_up(session)
        session.turn("maintenance")
        session.press("enable", key)  # and then another part
        yield session


def _why_not():
    for session in _everything_refused():
        for action in ACTIONS:
            for row in why_not(session.saw, session.trace, action.name):
                yield from (row.sentence, row.remedy, row.hazard)
                yield from (device.sentence for device in row.devices)


def test_every_word_of_every_why_not_goes_by_the_reader(reader):
    said = list(_why_not())
    needs = {str(row.need.sentence) for row in PERMISSIVES if row.when is not When.JOB}
    reader(PSEUDO)

    assert needs <= {str(message) for message in said}
    for message in said:
        assert not _escaped(tell(message)), tell(message)


def test_every_word_of_the_interlock_table_goes_by_the_reader(reader):
    reader(PSEUDO)

    for row in PERMISSIVES:
        for message in (row.need.sentence, row.need.remedy, row.hazard):
            assert tell(message)
            assert not _escaped(tell(message))
    for row in REACTIONS:
        assert not _escaped(tell(row.reason))


def test_every_word_of_a_way_out_goes_by_the_reader(reader):
    reader(PSEUDO)
    said = []
    for session in _everything_refused():
        for action in ACTIONS:
            way = free(lambda session=session: fresh_saw(session), action.name)
            if way is not None:
                said += [*way.words, way.stuck_at]

    assert len(said) > 40
    for message in said:
        assert not _escaped(tell(message)), tell(message)


def test_every_word_of_force_and_jumper_goes_by_the_reader(reader):
    reader(PSEUDO)
    saw = open_session("rail-posts").saw
    for row in SIGNALS:
        for value in (True, False):
            assert not _escaped(tell(force.force(saw, row.tag, value)))
    for number in force.NUMBERS:
        assert not _escaped(tell(force.jumper(saw, number, on=True)))
    force.jumper(saw, "I4", on=False)
    assert not _escaped(tell(force.jumper(saw, "shuttle.forward B11", on=True)))
    assert not _escaped(tell(force.banner(saw)))
    assert "«I4»" in tell(force.banner(saw))
    assert not _escaped(tell(force.force(saw, "B11", None)))


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_a_spanish_reader_finds_each_state_by_its_name_and_in_words(table, reader):
    reader(Reader("es"))
    drawn = svg(table)

    for state in table.states:
        words = tell(state_word(table.name, state))
        assert f">{state}</text>" in drawn
        assert words.upper() == state or f">{words}</text>" in drawn


def test_a_drawing_says_a_state_once_in_english():
    assert svg(TABLES[0]).count(">TRIPPED</text>") == 1
    assert ">tripped</text>" not in svg(TABLES[0])
