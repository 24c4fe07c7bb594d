"""Every word that the terminal says goes through the reader; what is typed stays the same."""

import pytest

from sim.session.opening import open_session
from sim.text.typed.console import play
from sim.text.typed.demonstration import demonstrate
from sim.text.typed.home import home
from sim.text.typed.language import WORDS
from sim.words.reader import PSEUDO, Reader, phrases_of
from sim.words.speech import read_by
from tests.escapes import escaped

# Between them they use every word of the session language, and every kind of answer.
SCRIPTS = {
    "posts-come-out-short": (
        "look", "help", "help set", "card", "points", "keys", "inspections", "pieces", "faults",
        "faults plunger", "faults xyz", "lamps", "time", "events", "why head.lower", "why band.run",
        "hint", "hint", "step", "press supply.isolator", "tap supply.reset", "tap control_on", "tap head.lower",
        "hold head.raise 8", "inspect stop-plunger expect faulty", "inspect stop-notch expect so-so",
        "inspect stop-notch expect sound", "inspect meter B11", "set head.feed_valve_mm_min 90",
        "set head.stop_plunger home", "auto setup", "auto ready", "auto start", "wait piece",
        "wait until head.up", "wait 2.5s", "look", "why head.raise", "tap job.hold", "look",
        "wait job", "wait still", "inspect caliper", "inspect tape 1", "inspect square", "inspect caliper 99", "pieces", "note the posts are short", "release isolator", "lockout", "lockout verify",
        "lockout tell", "lockout ask", "lockout lock-isolator", "look", "force B11 on", "jumper I4", "diagnose plunger-on-the-land",
        "fix plunger-on-the-land", "swap", "swap B12", "swap y12-channel", "diagnose air-cock-shut", "load", "press palm.left",
        "release palm.left", "palms band.run", "turn manual", "quit",
    ),
    "rail-posts": (
        "wiring", "wiring B12", "wiring K0", "inspections", "ohms Y12:1 Y12:2", "ohms X1:L1 X1:L2", "auto power",
        "volts B12:1", "volts Q1:A1 Q1:A2", "force B11 on", "jumper I4", "look", "why shuttle.forward", "what", "what kerf", "what b11", "what head.up", "what F25", "where", "where head.lower",
        "where brush_mm", "where caliper", "where F25", "repeat", "orders", "take pins", "force B11 out",
        "jumper I4 out", "auto ready", "auto setup", "inspect jaw-gaps", "auto start", "auto run",
        "wait piece", "press emergency_stop", "look", "events", "quit",
    ),
    "02-two-hand-start": (
        "step", "hint", "tap head.lower", "press supply.isolator", "tap control_on", "hint",
        "tap supply.reset", "hint", "tap control_on", "hint", "wait 3", "hold head.raise 8", "palms band.run", "wait 4",
        "inspect guide-inserts", "rewind", "wait 1", "quit",
    ),
    "the-saw-this-morning": (
        "hint", "inspect guards", "diagnose guard-open", "report guard-open as goes on", "report oil-low as fit",
        "report s2-stuck as stops", "auto power", "events", "quit",
    ),
    "head-stops-short": ("auto power", "auto ready", "auto start", "wait job", "look", "wait 1"),
}  # fmt: skip
SLIPS = (
    "volts B12", "volts", "ohms B12:1", "volts B12:9", "wiring B1Z", "inspect meter F25", "inspect meter A2", "volts zz", "swap X1", "swap B",
    "what gulet", "what head.upp", "what xyzxyz", "where zz", "repeat that", "foo", "report", "report oil-low as fine", "report oil-low as fit", "press", "press xyz", "tap raise", "set band.speed_m_min 70", "set head.stop_notch x", "turn hand", "palms raise", "palms job.arm",
    "set head.feed_valve_mm_min 4 kg", "wait soon", "wait 30h", "look here", "inspect xyz",
    "jumper I99", "force B99 on", "auto all", "stop-plunger", "plunger-on-the-land", "stop_notch",
    "head.raise", "x" * 600, "set head.mitre_deg 400",
)  # fmt: skip


def said(reader, name, *lines, interactive=False):
    read_by(reader)
    written = []
    play(open_session(name), lines, written.append, interactive=interactive)
    return written


def test_the_scripts_use_every_word_of_the_language():
    assert {line.split()[0] for lines in SCRIPTS.values() for line in lines} == set(WORDS)


@pytest.mark.parametrize("name", SCRIPTS)
def test_no_word_of_a_session_escapes_the_reader(name):
    written = said(PSEUDO, name, *SCRIPTS[name])

    assert not escapes_of(written)
    assert not any(line.startswith("[line]") for line in written), written[-12:]


def test_no_word_about_a_slip_escapes_the_reader():
    written = said(PSEUDO, "rail-posts", *SLIPS, interactive=True)

    assert not escapes_of(written)
    assert sum(len(line) > 0 for line in written) > len(SLIPS)


def test_no_word_of_home_or_of_the_demonstration_escapes_the_reader():
    read_by(PSEUDO)
    written = []

    home(written.append, ["7000", "", "quit"])
    demonstrate(written.append)

    assert not escapes_of(written)


def escapes_of(written):
    """Return the parts of what was written in which a word escapes, as a person can find them."""
    parts = "\n".join(written).replace("\n  ", " ").split("\n")
    return [(escaped(part), part) for part in parts if escaped(part)]


def test_every_label_that_was_said_has_its_spanish(unsaid):
    for name, lines in SCRIPTS.items():
        said(PSEUDO, name, *lines)

    assert unsaid() == []


@pytest.mark.parametrize("name", SCRIPTS)
def test_what_is_typed_is_the_same_in_every_language(name):
    def taken(reader):
        read_by(reader)
        session = open_session(name)
        play(session, SCRIPTS[name], [].append, interactive=False)
        return session.done.acts, session.close()

    assert taken(Reader("es", inch=True)) == taken(Reader())


def test_whatever_is_told_as_an_author_wrote_it_has_its_spanish_too(monkeypatch):
    quoted = set()
    told = Reader.authored
    monkeypatch.setattr(
        Reader, "authored", lambda reader, text: quoted.add(text) or told(reader, text)
    )
    for name, lines in SCRIPTS.items():
        said(Reader("es"), name, *lines)
    home([].append, ["quit"])
    demonstrate([].append)

    by_hand = {"so-so", "xyz", "the posts are short"}
    assert by_hand < quoted
    assert quoted - by_hand <= set(phrases_of("es"))
