"""The saw in the round: what it shows, what it calls its parts, and that it stays where nothing moves."""

from itertools import pairwise

import numpy as np
import pygame
import pytest
from pygame import Rect, Surface

from sim.pilot import autopilot
from sim.plant.bar import Piece
from sim.plant.set_points import SET_POINTS
from sim.records.acts import Adjusted, BarLoaded, Inspected, LockoutTaken, Pressed
from sim.session.inspections import INSPECTIONS
from sim.session.opening import open_session
from sim.view.kit.palette import CALM, RED, STARK, luminance
from sim.view.pages.app import start_drawing
from sim.view.picture import stage_picture
from sim.view.picture.phase import phase
from sim.view.picture.round.camera import CABINET, OPERATOR, SIGHTS, Camera
from sim.view.picture.round.colours import CALM_PAINTS, STARK_PAINTS
from sim.view.picture.round.frame import paint_room
from sim.view.picture.round.parts import _LOOKED_AT, PARTS, part_of_act
from sim.view.picture.round.sizes import Sizes
from sim.view.picture.round.view import RoundShown, part_in, round_of

from .conftest import person_at
from .ten_scenes import SCENES

PLACE = Rect(0, 0, 1200, 320)
MOVES = {"band", "near_wheel", "far_wheel", "cover", "beam", "guides", "guard", "motor", "pivot", "bar",
         "shuttle", "shuttle_vise", "cutting_vise", "piece", "prop", "tray"}  # fmt: skip
_EDGE = 14  # px round a part, for its teeth, its shadow and its outline


@pytest.fixture(autouse=True)
def _drawing():
    start_drawing()


def seen(session, sight=OPERATOR, palette=CALM) -> RoundShown:
    return round_of(session, sight, PLACE, PLACE, palette)


def painted(session, sight=OPERATOR, palette=CALM) -> np.ndarray:
    surface = Surface(PLACE.size)
    seen(session, sight, palette).paint(surface)
    return pixels(surface)


def pixels(surface) -> np.ndarray:
    flat = pygame.image.tobytes(surface, "RGB")
    return np.frombuffer(flat, np.uint8).reshape(surface.get_height(), surface.get_width(), 3)


def begun(scenario="rail-posts"):
    session = open_session(scenario, nonce="for tests")
    autopilot.power_up(session)
    autopilot.set_up(session)
    autopilot.begin(session)
    return session


def into_the_cut(session):
    head, bar = session.saw.plant.head, session.saw.plant.bar
    while head.cutting is None or head.place.position > bar.height_m / 2:
        session.advance_us(50_000)
    return session


# Nothing moves that does not move -------------------------------------------------------


def where_things_move(person) -> list[Rect]:
    """Return where the picture may change from one frame to the next."""
    tree = {widget.name: widget for widget in person.stage.tree.walk()}
    found = [w.rect for name, w in tree.items() if name in ("cut", "phase", "captions") or not name]
    if "round" not in tree:
        return [tree["picture"].rect]
    shown = seen_by(person)
    for part, places in shown.areas():
        if part in MOVES:
            xs, ys = [x for x, _ in places], [y for _, y in places]
            box = Rect(min(xs), min(ys), max(xs) - min(xs) + 1, max(ys) - min(ys) + 1)
            found.append(box.inflate(2 * _EDGE, 2 * _EDGE))
    return found


def seen_by(person) -> RoundShown:
    widget = person.stage.by_name["round"]
    return round_of(
        person.play.session, SIGHTS[0], widget.rect, widget.rect, person.stage.kit.palette
    )


@pytest.mark.parametrize("scene", SCENES)
def test_no_pixel_changes_where_nothing_moves(scene):
    """Thirty frames in each of ten scenes: what is no part that moves keeps every pixel."""
    app = SCENES[scene]()
    app.play.paused = True
    app.stage.frame()
    area = app.stage.by_name["picture"].rect
    before = pixels(app.surface.subsurface(area))
    for _ in range(30):
        boxes = where_things_move(app)
        app.play.session.advance_us(16_667)
        built = app.stage.tree
        app.stage.frame()
        now = pixels(app.surface.subsurface(area))
        changed = (before != now).any(axis=2)
        if app.stage.tree is built and changed.any():  # else the page is another one
            for box in (*boxes, *where_things_move(app)):
                box = box.move(-area.left, -area.top).clip(Rect(0, 0, *area.size))
                changed[box.top : box.bottom, box.left : box.right] = False
            assert not changed.any(), np.argwhere(changed)[0]
        before = now


def test_a_pixel_that_changes_elsewhere_is_found():
    """The same look finds a room that is drawn otherwise: else the test above could not fail."""
    session = open_session("rail-posts", nonce="for tests")
    dry = painted(session, CABINET)
    session.saw.plant.coolant.mop("wet")
    assert (dry != painted(session, CABINET)).any()


def test_painted_again_it_is_the_same_to_the_pixel():
    session = into_the_cut(begun())
    shown = seen(session)
    first = painted(session)
    shown._whole = shown._behind = shown._head = None
    assert (first == painted(session)).all()


# What is seen ---------------------------------------------------------------------------


@pytest.mark.parametrize("machine", ["harbour-saw", "quay-saw"])
def test_each_part_of_either_saw_can_be_pointed_at_from_one_of_the_cameras(machine):
    session = open_session("rail-posts", machine=machine, nonce="for tests")
    begun_on = session.saw.plant
    begun_on.head.prop = "in"
    begun_on.supports.set_arm("up")
    begun_on.supports.set_chock("in")
    begun_on.supports.set_clamp("down")
    autopilot_pieces(session)
    if begun_on.hood.state != "none":
        begun_on.hood.put("open")
    found = set()
    for sight in SIGHTS:
        areas = seen(session, sight).areas()
        for _, places in areas:  # the middle of each area, and what is seen there
            middle = tuple(sum(place[axis] for place in places) / len(places) for axis in (0, 1))
            around = [(middle[0] + dx, middle[1] + dy) for dx in (-4, 0, 4) for dy in (-4, 0, 4)]
            found |= {part_in(areas, at) for at in around if PLACE.collidepoint(at)}
    fitted = set(PARTS) if begun_on.hood.state != "none" else set(PARTS) - {"hood"}
    assert found - {""} == fitted


def autopilot_pieces(session):
    bar = session.saw.plant.bar
    bar.shift(0.2)
    bar.part()


def test_a_larger_wheel_in_the_machine_file_is_a_larger_wheel_in_the_picture():
    harbour = open_session("rail-posts", nonce="for tests")
    quay = open_session("rail-posts", machine="quay-saw", nonce="for tests")

    def high(session):
        ys = [y for part, places in seen(session).areas() if part == "far_wheel" for _, y in places]
        return max(ys) - min(ys)

    assert high(quay) > 1.1 * high(harbour)


@pytest.mark.parametrize("sight", SIGHTS, ids=lambda sight: sight.name)
def test_what_moves_is_seen_to_move_from_every_camera(sight):
    session = open_session("rail-posts", nonce="for tests")
    plant = session.saw.plant
    looks = [painted(session, sight)]
    for act in (
        lambda: plant.shuttle.place.put(0.2), lambda: plant.head.place.put(0.12),
        lambda: plant.bar.shift(0.1), lambda: plant.padlocks.hang("isolator", "you"),
        lambda: plant.coolant.set_level(0.3),
    ):  # fmt: skip
        act()
        looks.append(painted(session, sight))
    same = [number for number, (one, other) in enumerate(pairwise(looks)) if (one == other).all()]
    tank, lock = 4, 3  # out of the picture from some
    assert set(same) <= {"operator": {tank}, "infeed": {lock, tank}, "cabinet": set()}[sight.name]


def test_wheel_and_beam_fade_only_when_the_band_is_near_the_bar():
    session = open_session("rail-posts", nonce="for tests")
    head = session.saw.plant.head
    shown = seen(session)
    head.place.put(session.stock.section.height_m + 0.2)
    assert shown.head.face()[2] == 0
    head.place.put(session.stock.section.height_m + 0.01)
    assert shown.head.face()[2] == 4


def test_what_holds_and_what_does_not_is_told_apart_in_grey():
    for paints in (CALM_PAINTS, STARK_PAINTS):
        dark = tuple(round(channel * 0.65) for channel in paints.jaw)
        assert abs(luminance(paints.hold) - luminance(dark)) > 0.02
        assert abs(luminance(RED) - luminance(paints.table)) > 0.02


def test_strong_contrast_has_colours_of_its_own():
    session = open_session("rail-posts", nonce="for tests")
    assert (painted(session) != painted(session, palette=STARK)).any()


# The stage ------------------------------------------------------------------------------


def test_half_of_the_stage_is_the_cut_while_the_band_is_in_metal_and_only_then():
    person = person_at((1600, 900), scenario="rail-posts")
    person.play.go("console")
    person.frame()
    assert "cut" not in person.app.stage.by_name
    session = person.session
    autopilot.power_up(session)
    autopilot.set_up(session)
    autopilot.begin(session)
    into_the_cut(session)
    person.frame()
    widgets = person.app.stage.by_name
    cut, stage = widgets["cut"].rect, widgets["picture"].rect
    assert cut.width * cut.height >= 0.40 * stage.width * stage.height
    while session.saw.plant.head.cutting is not None:
        session.advance_us(50_000)
    person.frame()
    assert "cut" not in person.app.stage.by_name


def test_the_keys_of_the_outlook_lead_from_camera_to_camera_and_to_the_drawing_and_back(
    at_the_posts,
):
    person = at_the_posts
    assert "round" in person.app.stage.by_name
    looks = [painted_by(person)]
    for _ in SIGHTS:
        person.strike("home")
        looks.append(painted_by(person))
    assert looks[0] == looks[-1]
    assert len(set(looks)) == len(SIGHTS)
    person.strike("end")
    assert {"plan", "end view"} <= set(person.app.stage.by_name)
    person.strike("home")  # from the drawing, back to the same camera
    assert "round" in person.app.stage.by_name
    person.strike("delete")
    assert person.play.outlook.names


def painted_by(person) -> bytes:
    widget = person.widget("round")
    return pygame.image.tobytes(person.app.surface.subsurface(widget.rect), "RGB")


def test_no_outline_is_drawn_through_a_name(at_the_posts, monkeypatch):
    person = at_the_posts
    person.play.outlook.names = True
    drawn = []
    for name in ("paint_light", "paint_halo", "paint_names", "paint_plate"):
        paint = getattr(stage_picture, name)
        monkeypatch.setattr(
            stage_picture,
            name,
            lambda *of, name=name, paint=paint: drawn.append(name) or paint(*of),
        )
    person.play.outlook.lit = "beam"
    person.frame()
    assert drawn == ["paint_light", "paint_halo", "paint_names", "paint_plate"]


def test_pointing_at_a_part_names_it_and_a_click_leads_to_what_is_set_on_it(at_the_posts):
    person = at_the_posts
    widget = person.widget("round")
    shown = round_of(person.session, OPERATOR, widget.rect, widget.rect, CALM)
    areas = shown.areas()
    spot = next(
        (x, y)
        for x in range(widget.rect.left, widget.rect.right, 6)
        for y in range(widget.rect.top, widget.rect.bottom, 6)
        if part_in(areas, (x, y)) == "length_stop"
    )
    person._send(pygame.MOUSEMOTION, pos=spot, rel=(0, 0), buttons=(0, 0, 0))
    assert person.play.outlook.lit == "length_stop"
    said = []
    person.app.stage.kit.letters.watcher = lambda drawn, _surface: said.append(drawn.text)
    person.frame()
    person.app.stage.kit.letters.watcher = None
    assert "Length stop" in said
    person._send(pygame.MOUSEBUTTONDOWN, pos=spot, button=1)
    person._send(pygame.MOUSEBUTTONUP, pos=spot, button=1)
    person.frame()
    assert person.play.tab == "walk"
    assert person.app.stage.focus.startswith("walk.shuttle.stop_mm.")


def test_with_the_keyboard_on_the_picture_the_arrows_go_from_part_to_part(at_the_posts):
    person = at_the_posts
    person.app.stage.focus = "round"
    met = set()
    for _ in range(40):
        person.strike("right")
        met.add(person.play.outlook.lit)
    assert len(met) >= 15
    last = person.play.outlook.lit
    person.strike("left")
    assert person.play.outlook.lit != last


def test_a_step_of_a_lesson_lights_its_part():
    assert part_of_act(Adjusted(0, "band.guide_span_mm", 80.0)) == "guides"
    assert part_of_act(Adjusted(0, "job.wanted", 3.0)) == "console"
    assert part_of_act(Pressed(0, ("head.raise",))) == "beam"
    assert part_of_act(LockoutTaken(0, "lock-isolator")) == "cabinet"
    assert part_of_act(LockoutTaken(0, "lock-air")) == "air"
    assert part_of_act(Inspected(0, "stop-notch")) == "height_stop"
    assert part_of_act(Inspected(0, "caliper 2")) == "piece"
    assert part_of_act(BarLoaded(0)) == "bar"


def test_the_bar_that_lies_there_is_drawn_and_not_the_one_on_order():
    session = open_session("19-change-of-order", nonce="for tests")
    old, drawn = session.saw.plant.bar.stock.section, seen(session)
    assert drawn.sizes.section == old != session.stock.section
    before = painted(session)

    session.saw.plant.load(session.stock)
    assert seen(session).sizes.section == session.stock.section
    assert (painted(session) != before).any()


def test_what_a_part_is_looked_at_by_is_a_look_that_there_is():
    assert set(_LOOKED_AT) <= set(INSPECTIONS)
    assert {point for part in PARTS.values() for point in part.points} == {
        row.name for row in SET_POINTS
    }


# The line of words ----------------------------------------------------------------------


def test_the_line_goes_through_the_phases_of_a_cycle():
    session = begun()
    autopilot.run(session, 1)
    said = []
    while len(session.saw.cuts) < 3:
        session.advance_us(100_000)
        now = phase(session).key
        if not said or said[-1] != now:
            said.append(now)
    wanted = ["phase.clamp-shuttle-vise", "phase.release-cutting-vise",
              "phase.shuttle-forward", "phase.clamp-cutting-vise", "phase.lower-head", "phase.cuts"]  # fmt: skip
    at = -1
    for key in wanted:
        assert key in said[at + 1 :], (key, said)
        at = said.index(key, at + 1)


def test_the_line_says_of_no_part_that_stands_that_it_moves():
    session = begun()
    autopilot.run(session, 1)
    job = session.saw.controller.job
    while job.step != "SHUTTLE_FORWARD" or session.saw.plant.shuttle.place.rate == 0.0:
        session.advance_us(20_000)
    assert phase(session).key == "phase.shuttle-forward"
    session.saw.plant.shuttle.place.stop()
    assert phase(session).key in ("phase.waits", "phase.runs")


def test_of_pieces_out_of_sight_no_picture_is_kept():
    session = begun()
    shown = seen(session)
    for number in range(60):
        length_m = 0.1 + number * 1e-3
        session.saw.plant.bar.pieces.append(Piece(session.saw.clock.now_us, length_m))
        shown.paint(Surface(PLACE.size))

    assert 0 < len(shown._pieces) == len(shown._lying()) < 60


def test_rooms_that_differ_in_anything_that_is_seen_are_kept_apart():
    session = open_session("rail-posts")
    sizes = Sizes(session.machine, session.saw.plant.bar.stock.section)
    pictures = set()
    for area in (PLACE, Rect(0, 0, 1200, 300), Rect(0, 0, 1200, 320)):
        for clear in (area, Rect(0, 40, 900, 260)):
            for wet, pulled in ((False, False), (True, False), (False, True)):
                surface = Surface(area.size)
                paint_room(surface, Camera(OPERATOR, area, clear), sizes, CALM_PAINTS, wet=wet, pulled=pulled)  # fmt: skip
                pictures.add((area.height, clear.top, wet, pulled, pixels(surface).tobytes()))
    assert len(pictures) == 12
    assert len({each[-1] for each in pictures}) == 12
