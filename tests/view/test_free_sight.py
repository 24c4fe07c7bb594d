"""The window shows for nothing what the terminal tells for nothing: in a drill neither sees more.

A drill is opened with one cause and another. Where the terminal tells the same of both, and the same came
about, every sheet of the window must show the same, to the pixel; what moves is drawn where it is, so the
picture is held to that only where everything stands at the same places.
"""

from dataclasses import dataclass

import pygame
import pytest
from pygame import Surface

from sim.diagnosis.causes import with_faults
from sim.diagnosis.stages import TRIAL, reached, stages_for
from sim.faults.catalogue import CATALOGUE
from sim.records.settings import Settings
from sim.scenario.scenario import Scenario
from sim.session.opening import open_session, session_for
from sim.session.session import Session
from sim.session.sights import describe
from sim.session.sights.energy import energy_in_sight
from sim.view.console import gauges
from sim.view.pages import tabs
from sim.view.pages.app import App, start_drawing
from sim.view.picture import drawn
from tests.view.conftest import Person

DRILLS = ("posts-come-out-short", "head-will-not-come-down", "start-does-nothing")
SAMPLE = (
    "stop-from-below", "air-regulator-low", "head-up-wire", "belt-worn", "shuttle-clamping-low",
    "coolant-out", "band-stripped", "raise-coil-wire", "relay-set-low", "guide-arm-far", "head-up-dead",
    "length-without-kerf", "index-plunger-out",
)  # fmt: skip
PICTURE = ("plan", "end view", "detail")


@dataclass
class Stand:
    """A saw at one stage: what the terminal tells, what came about, and the window."""

    told: tuple[str, ...]
    places: tuple[float, ...]
    sheets: dict[str, dict[str, bytes]]


def stands(scenario: Scenario, cause: tuple[str, ...], *, trial: bool) -> list[Stand]:
    """Return how a saw with a cause stands: as found, powered up, and after a trial if asked for."""
    session = session_for(with_faults(scenario, cause), nonce="for tests")
    person = at_window(session)
    found = []
    for number, stage in enumerate(stages_for(scenario)):
        if stage.name == TRIAL and not trial:
            break
        if number:
            reached(session, stage, None)
        events = tuple(str(event.message) for event in session.heard.events)
        energy = tuple(str(said) for _, said in energy_in_sight(session))
        told = (*map(str, describe.look(session)), *energy, *events, f"{session.now_s}")
        plant = session.saw.plant
        places = (
            plant.shuttle.place.position, plant.head.place.position, plant.bar.front_m,
            plant.cutting_vise.jaw.position, plant.shuttle_vise.jaw.position,
        )  # fmt: skip
        found.append(Stand(told, places, sheets(person)))
    return found


def at_window(session: Session) -> Person:
    """Return somebody who looks on at a session, and whose frames let no time pass."""
    start_drawing()
    app = App(Surface((1280, 720)), None, settings=Settings(), language="en")
    app.open(lambda: session)
    assert app.play is not None
    app.play.paused = True
    return Person(app, watches=True)


def sheets(person: Person) -> dict[str, dict[str, bytes]]:
    """Return the pixels of everything that is drawn, sheet by sheet."""
    shown = {}
    for sheet in tabs.TABS:
        for part in ("why", "rungs", "trace") if sheet.name == "bench" else ("",):
            person.play.tab, person.play.changed = sheet.name, True
            if part:
                person.play.show_part(part)
            person.app.stage.frame()
            shown[f"{sheet.name} {part}"] = pixels(person)
    return shown


def pixels(person: Person) -> dict[str, bytes]:
    """Return what each widget has drawn."""
    stage = person.app.stage
    screen = stage.surface.get_rect()
    drawn = {}
    for widget in stage.tree.walk():
        place = widget.rect.clip(screen)
        if widget.paint and not widget.children and place.size != (0, 0):
            drawn[widget.name] = pygame.image.tobytes(stage.surface.subsurface(place), "RGB")
    return drawn


def differing(one: Stand, other: Stand) -> set[str]:
    """Return where two windows differ, though the terminal tells the same."""
    if one.told != other.told:
        return set()
    still = one.places == other.places
    return {
        f"{sheet}: {name}"
        for sheet, drawn in one.sheets.items()
        for name in drawn | other.sheets[sheet]
        if (still or name not in PICTURE) and drawn.get(name) != other.sheets[sheet].get(name)
    }


def shown_beyond(drill: str, causes, *, trial: bool = False) -> dict[str, set[str]]:
    """Return by cause what the window shows of it beyond the terminal."""
    scenario = open_session(drill).scenario
    sound = stands(scenario, (), trial=trial)
    found: dict[str, set[str]] = {}
    for cause in causes:
        pairs = zip(sound, stands(scenario, (cause,), trial=trial), strict=True)
        if beyond := set().union(*(differing(*pair) for pair in pairs)):
            found[cause] = beyond
    return found


def test_in_a_drill_the_window_shows_no_cause_that_the_terminal_does_not_tell():
    assert shown_beyond("posts-come-out-short", SAMPLE) == {}


def test_what_is_told_apart_by_the_window_alone_is_found_by_this_test(monkeypatch):
    """A window that shows what takes a look is told on: else the tests here could not fail."""
    for module in (gauges, drawn):
        monkeypatch.setattr(module, "hides", lambda _session: False)
    found = shown_beyond("posts-come-out-short", ("shuttle-clamping-low",), trial=True)
    assert "console : shuttle_vise.reading" in found["shuttle-clamping-low"]


@pytest.mark.slow
def test_after_a_trial_too_the_window_shows_none_beyond_the_terminal():
    assert shown_beyond("posts-come-out-short", SAMPLE, trial=True) == {}


@pytest.mark.slow
@pytest.mark.parametrize("drill", DRILLS)
def test_of_the_whole_catalogue_the_window_shows_none_beyond_the_terminal(drill):
    assert shown_beyond(drill, CATALOGUE) == {}
