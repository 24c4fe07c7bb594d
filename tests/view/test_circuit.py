"""The drawing of the hydraulic circuit shows what the plant's valves and lines do, and its words lie apart."""

from itertools import combinations

import pytest
from pygame import Rect

from sim.pilot import autopilot
from sim.signals import OUTPUTS
from sim.units import BAR
from sim.view.circuit.rows import STRETCHES
from sim.view.circuit.signs import SIGNS, WAYS

from .conftest import LOOKS, person_at


def _at_the_circuit(size=(1280, 720), scale=1.0, scenario="rail-posts", language="en"):
    person = person_at(size, scale, scenario, language)
    person.play.go("circuit")
    person.play.paused = True
    person.frame()
    return person


@pytest.fixture
def oil():
    """The oil of a saw with its control power on, in MANUAL."""
    person = _at_the_circuit()
    autopilot.power_up(person.session)
    person.session.advance(1.0)
    return person.play.oil


def _session(oil):
    return oil._session


# Drawing --------------------------------------------------------------------------------------


def _states(person):
    """Yield a name for the saw dead, powered, cutting and tripped, having brought it there."""
    session = person.session
    yield "dead"
    autopilot.power_up(session)
    yield "powered"
    autopilot.set_up(session)
    autopilot.begin(session)
    session.advance(20.0)
    yield "cutting"
    session.press("supply.emergency_stop")
    session.advance(1.0)
    yield "tripped"


@pytest.mark.sampled(4)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
@pytest.mark.parametrize("scenario", ["rail-posts", "posts-come-out-short"])
def test_no_words_of_the_circuit_lie_on_others_or_outside_of_their_section(
    size, scale, language, scenario
):
    tall = size[0], max(size[1], round(2400 * size[1] / 720))  # so that nothing is scrolled away
    person = _at_the_circuit(tall, scale, scenario, language)
    stage, seen = person.app.stage, 0
    for state in _states(person):
        for row in STRETCHES:
            widget = stage.by_name[f"circuit.{row.name}"]
            drawn = []
            stage.kit.letters.watcher = lambda text, _surface, drawn=drawn: drawn.append(text)
            stage._repaint(widget)
            stage.kit.letters.watcher = None
            for text in drawn:
                seen += 1
                assert not text.cut, (state, text)
                assert widget.rect.contains(text.rect), (state, row.name, text)
            for one, other in combinations(drawn, 2):
                shared = one.rect.clip(other.rect)
                assert min(shared.size) <= 0, (state, one.text, other.text)
    assert seen > 100


def test_what_stands_in_the_table_is_drawn_and_told():
    oil = _at_the_circuit().play.oil
    lines, values = oil.lines(), oil.values()
    for row in STRETCHES:
        assert {pipe.line for pipe in row.pipes} <= {*lines, ""}
        assert {sign.line for sign in row.signs} <= {*lines, ""}
        assert {sign.sign for sign in row.signs} <= set(SIGNS)
        assert {label.value for label in row.labels} <= {*values, ""}
        for spool in row.spools:
            assert set(spool.ways) <= set(WAYS)
            assert {tag for tag, _ in spool.coils} <= set(OUTPUTS)
    shown = {pipe.line for row in STRETCHES for pipe in row.pipes}
    assert set(lines) <= shown
    told = {label.value for row in STRETCHES for label in row.labels}
    assert set(values) <= told
    coils = {tag for row in STRETCHES for spool in row.spools for tag, _ in spool.coils}
    assert coils == {tag for tag in OUTPUTS if tag.startswith("Y")}


def test_the_sections_stand_beside_each_other_or_in_rows_and_never_on_each_other():
    for size, scale, language in (look.values for look in LOOKS):
        person = _at_the_circuit(size, scale, "rail-posts", language)
        places = [person.widget(f"circuit.{row.name}").rect for row in STRETCHES]
        screen = person.app.stage.surface.get_rect()
        assert all(screen.left <= place.left and place.right <= screen.right for place in places)
        assert not [1 for one, other in combinations(places, 2) if one.colliderect(other)]


def test_the_sheet_is_reached_by_mouse_and_by_keyboard():
    person = person_at(scenario="rail-posts")
    person.click("tab.circuit")
    assert person.play.tab == "circuit"
    person.play.go("log")
    person.frame()
    for _ in person.app.stage.stops():
        person.strike("tab")
        if person.app.stage.focus == "tab.circuit":
            break
    person.strike("return")
    assert person.play.tab == "circuit"


def test_only_a_section_in_which_something_changed_is_painted_again(oil):
    person = _at_the_circuit()
    session = person.session
    autopilot.power_up(session)
    session.advance(1.0)
    person.frame()
    session.press("cutting_vise.clamp")
    session.advance(0.2)
    changed = person.app.stage.frame()
    section = {
        row.name: Rect(person.app.stage.by_name[f"circuit.{row.name}"].seen) for row in STRETCHES
    }
    assert section["cutting_vise"] in changed
    assert section["lift"] not in changed


# What it shows --------------------------------------------------------------------------------


def test_without_power_no_line_is_fed_and_a_clamped_vise_keeps_its_oil(oil):
    session = _session(oil)
    session.press("cutting_vise.clamp")
    session.advance(0.2)
    assert oil.lines()["cutting_vise.fed"]
    session.advance(2.0)  # the pressure switch makes, and the valve springs back
    session.release("cutting_vise.clamp")
    assert not oil.lines()["cutting_vise.fed"]
    session.release("supply.isolator")
    session.advance(1.0)
    pressed = {name for name, on in oil.lines().items() if on}
    assert "cutting_vise.clamp" in pressed
    assert not pressed & {"fed", "raise", "shuttle_vise.clamp", "shuttle.back"}
    vise = session.saw.plant.cutting_vise
    assert oil.values()["cutting_vise.check"] == "holds"
    assert oil.values()["cutting_vise.gauge"] == f"{vise.pressure_pa / BAR:.0f} bar"


def test_each_line_of_a_moving_part_is_under_pressure_while_its_key_is_held(oil):
    session = _session(oil)
    for key, line, way in (
        ("shuttle_vise.clamp", "shuttle_vise.clamp", "clamps"),
        ("shuttle_vise.release", "shuttle_vise.release", "releases"),
        ("head.raise", "raise", "open"),
        ("shuttle.back", "shuttle.back", "goes back"),
        ("shuttle.forward", "shuttle.forward", "goes forward"),
    ):
        value = "raise" if line == "raise" else f"{line.partition('.')[0]}.valve"
        assert oil.values()[value] == "shut"
        session.press(key)
        session.advance(0.05)
        assert oil.lines()[line], key
        assert oil.values()[value] == way
        session.advance(1.0)
        session.release(key)
        session.advance(1.0)


def test_the_way_out_of_the_lift_shows_oil_only_while_the_head_sinks_through_it(oil):
    session = _session(oil)
    session.set("head.feed_valve_mm_min", 100)
    session.press("head.raise")
    session.advance(1.0)
    session.release("head.raise")
    session.advance(1.0)
    assert oil.lines()["lift"]
    assert not oil.lines()["exhaust"]
    session.press("head.lower")
    session.advance(0.5)
    assert oil.lines()["exhaust"]
    assert oil.values()["descent"] == "100 mm/min"
    assert oil.values()["lower"] == "open"
    session.release("head.lower")
    session.release("supply.isolator")
    session.advance(0.5)
    assert oil.lines()["exhaust"] == session.machine.head_sinks
    assert oil.values()["lower"] == "no power: passes"


def test_the_creep_valve_is_shut_in_maintenance(oil):
    session = _session(oil)
    assert oil.values()["creep"] == "open: full speed"
    session.press("mode.maintenance")
    session.advance(1.0)
    assert oil.values()["creep"] == "shut: creeps"
    assert not session.saw.plant.supply.full


def test_a_seized_valve_is_shown_where_it_stands_but_in_a_drill_as_its_lamp_was_read():
    for scenario, shown in (("rail-posts", "open"), ("head-will-not-come-down", "?")):
        person = _at_the_circuit(scenario=scenario)
        autopilot.power_up(person.session)
        person.session.saw.plant.seize("Y11", True)
        assert person.play.oil.values()["raise"] == shown
        assert person.play.oil.lines()["raise"] == (shown == "open")
    person.session.inspect("output-lamps")
    assert person.play.oil.values()["raise"] == "coil off"


def test_in_a_drill_nothing_is_told_that_nobody_has_looked_at():
    person = _at_the_circuit(scenario="posts-come-out-short")
    values = person.play.oil.values()
    assert {values[name] for name in ("throttle", "feed", "relief", "air", "tank")} == {"?"}
    person.play.put("head.feed_valve_mm_min", 120)
    assert person.play.oil.values()["feed"] == "?"  # the hands are still on their way
    person.hands_back()
    assert person.play.oil.values()["feed"] == "120 mm/min"
