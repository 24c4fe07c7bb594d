"""What the plant knows is seen: each state changes the picture in its own part's place, and nowhere else.

In the round and in the section of the cut; what is danger is told from what is not in grey too.
"""

from collections.abc import Iterable
from itertools import pairwise

import numpy as np
import pygame
import pytest
from pygame import Rect, Surface

from sim.pilot import autopilot
from sim.plant.kerfs import Kerf
from sim.plant.padlocks import AIR_COCK, ISOLATOR
from sim.plant.sawing import Chips
from sim.session.hands.zones import Zone
from sim.session.opening import open_session
from sim.trade.chips import Colour, Form
from sim.view.kit.palette import CALM, luminance
from sim.view.pages.app import start_drawing
from sim.view.picture.round.camera import CABINET, INFEED, OPERATOR
from sim.view.picture.round.travel import Travel
from sim.view.picture.round.view import RoundShown, round_of
from sim.words.message import quoted

from .conftest import person_at

PLACE = Rect(0, 0, 1500, 620)
EDGE = 12  # px round a part, for its outline and what hangs on it
HEAD = {"beam", "near_wheel", "far_wheel", "cover", "guides", "guard", "motor", "pivot", "band", "feed",
        "nozzle", "brush"}  # fmt: skip


@pytest.fixture(autouse=True)
def _drawing():
    start_drawing()


def at_rest(scenario="rail-posts", *, machine="harbour-saw"):
    return open_session(scenario, machine=machine, nonce="for tests")


def shown_of(session, sight=OPERATOR, place=PLACE) -> RoundShown:
    return round_of(session, sight, place, place, CALM)


def painted(session, sight=OPERATOR, place=PLACE) -> np.ndarray:
    surface = Surface(place.size)
    shown_of(session, sight, place).paint(surface)
    return pixels(surface)


def pixels(surface) -> np.ndarray:
    flat = pygame.image.tobytes(surface, "RGB")
    return np.frombuffer(flat, np.uint8).reshape(surface.get_height(), surface.get_width(), 3)


def boxes(shown, parts: Iterable[str]) -> list[Rect]:
    found = []
    for part, places in shown.areas():
        if part in parts:
            xs, ys = [x for x, _ in places], [y for _, y in places]
            box = Rect(
                int(min(xs)), int(min(ys)), int(max(xs) - min(xs)) + 1, int(max(ys) - min(ys)) + 1
            )
            found.append(box.inflate(2 * EDGE, 2 * EDGE))
    return found


def outside(changed, places) -> np.ndarray:
    """Return what has changed besides some places."""
    left = changed.copy()
    for box in places:
        box = box.clip(PLACE)
        left[box.top : box.bottom, box.left : box.right] = False
    return left


def hung(session, device):
    session.saw.plant.padlocks.hang(device, "you")


def dented(session):
    session.saw.plant.bar._dent_front_m = 0.005


def half_sawn(session):
    bar = session.saw.plant.bar
    bar.kerfs.all = (*bar.kerfs.all, Kerf(bar.length_m - 0.06, 0.0, 0.025, 0.0012, 0.0005, 1))


STATES = {
    "the head is up": (lambda s: s.saw.plant.head.place.put(0.16), HEAD | {"bar"}),
    "the shuttle is back": (
        lambda s: s.saw.plant.shuttle.place.put(0.18), {"shuttle", "shuttle_vise"}),
    "the cutting vise holds": (
        lambda s: setattr(s.saw.plant.cutting_vise, "clamped", True), {"cutting_vise"}),
    "the brush is deep": (lambda s: s.saw.plant.brush.set_depth(0.006), {"brush", "guides"}),
    "the brush is worn away": (lambda s: setattr(s.saw.plant.brush, "wear", 1.0), {"brush"}),
    "the teeth are worn": (lambda s: setattr(s.saw.plant.blade, "wear", 1.0), {"band"}),
    "teeth are missing": (lambda s: s.saw.plant.blade.set_condition("stripped"), {"band"}),
    "the gullets are full": (lambda s: setattr(s.saw.plant.blade, "packed", 0.9), {"band"}),
    "the guard is open": (lambda s: s.saw.plant.band.guide.set_guard("open"), {"guard"}),
    "the cover is open": (
        lambda s: s.saw.plant.band.guide.set_cover("open"), {"cover", "near_wheel", "far_wheel"}),
    "the stop is latched": (lambda s: s.saw.bus.drive("S1", False), {"stop"}),
    "the trip line is pulled": (lambda s: s.saw.bus.drive("S2", False), {"trip_line"}),
    "the prop is in": (lambda s: setattr(s.saw.plant.head, "prop", "in"), {"prop"}),
    "the arm is up": (lambda s: s.saw.plant.supports.set_arm("up"), {"arm"}),
    "the chock is in": (lambda s: s.saw.plant.supports.set_chock("in"), {"chock"}),
    "the clamp is down": (lambda s: s.saw.plant.supports.set_clamp("down"), {"clamp"}),
    "the length stop is wound": (lambda s: s.saw.plant.shuttle.wind_to(0.15), {"length_stop"}),
    "the ring is set": (lambda s: s.saw.plant.head.set_ring(3, "home"), {"height_stop", *HEAD}),
    "the tube is dented": (dented, {"bar"}),
    "the bar has an old kerf": (half_sawn, {"bar"}),
    "the rail is back": (lambda s: s.saw.plant.swivel.set_rail("back"), {"rail"}),
}  # fmt: skip
OF_THE_CABINET = {
    "a padlock hangs on the isolator": (lambda s: hung(s, ISOLATOR), {"cabinet"}),
    "a padlock hangs on the cock": (lambda s: hung(s, AIR_COCK), {"air"}),
    "the coolant is low": (lambda s: s.saw.plant.coolant.set_level(0.2), {"coolant"}),
    "the oil is low": (lambda s: s.saw.plant.set_oil(0.2), {"oil"}),
}
_TUBE = {"the tube is dented": "11-thin-wall"}


def changed_by(act, parts, sight, scenario="rail-posts"):
    session = at_rest(scenario)
    bar = session.saw.plant.bar
    bar.shift(max(0.08 - bar.front_m, 0.0))
    shown = shown_of(session, sight)
    before, places = painted(session, sight), boxes(shown, parts)
    act(session)
    changed = (painted(session, sight) != before).any(axis=2)
    return changed, [*places, *boxes(shown, parts)]


@pytest.mark.parametrize("state", STATES)
def test_a_state_is_seen_at_its_part_and_nowhere_else(state):
    act, parts = STATES[state]
    changed, places = changed_by(act, parts, OPERATOR, _TUBE.get(state, "rail-posts"))
    assert changed.sum() >= 12, "nothing is seen of it"
    besides = outside(changed, places)
    assert not besides.any(), np.argwhere(besides)[0]


@pytest.mark.parametrize("state", OF_THE_CABINET)
def test_what_is_at_the_cabinet_is_seen_there(state):
    act, parts = OF_THE_CABINET[state]
    changed, places = changed_by(act, parts, CABINET)
    assert changed.sum() >= 12, "nothing is seen of it"
    assert not outside(changed, places).any()


def test_an_area_that_is_not_that_of_the_part_fails():
    """Else the tests above could not fail."""
    changed, _ = changed_by(STATES["the brush is deep"][0], {"brush"}, OPERATOR)
    assert outside(changed, [Rect(0, 0, 40, 40)]).any()


def test_a_wet_floor_is_seen_from_every_camera_and_only_on_the_floor():
    for sight in (OPERATOR, CABINET):
        session = at_rest()
        before = painted(session, sight)
        session.saw.plant.coolant.mop("wet")
        changed = (painted(session, sight) != before).any(axis=2)
        assert changed.sum() >= 200, sight.name
        saw = boxes(shown_of(session, sight), {"bar", "cutting_vise", "shuttle_vise", "band"})
        within = changed.sum() - outside(changed, saw).sum()
        assert within == 0, sight.name


def test_a_band_that_came_off_lies_on_the_floor():
    session, place = at_rest(), Rect(0, 0, 1570, 370)  # the stage of a window of 1600 x 900
    before = painted(session, place=place)
    session.seen.set_by_hand.add("band.teeth_per_inch")
    changed = (painted(session, place=place) != before).any(axis=2)
    assert changed[:, place.width * 3 // 4 :].any()


def cutting(scenario="rail-posts", share=0.5):
    session = at_rest(scenario)
    autopilot.power_up(session)
    autopilot.set_up(session)
    autopilot.begin(session)
    head, bar = session.saw.plant.head, session.saw.plant.bar
    while head.cutting is None or head.place.position > bar.height_m * (1 - share):
        session.advance_us(50_000)
    return session


def test_coolant_runs_from_the_nozzle_on_to_the_band_and_a_dry_nozzle_has_none():
    session = cutting()
    session.saw.plant.head.sawing.plan = None  # so that no chips fly over it
    shown = shown_of(session)
    flowing = painted(session)
    session.saw.plant.coolant.pump = False
    changed = (painted(session) != flowing).any(axis=2)
    assert changed.sum() >= 20
    assert not outside(changed, boxes(shown, {"nozzle", "band", "bar"})).any()


def test_chips_pile_up_in_the_tray_in_their_form_and_colour():
    session = cutting()
    session.saw.plant.coolant.pump = False
    looks = []
    autopilot.run(session, 1)
    session.saw.plant.head.sawing.plan = None
    for chips in (
        Chips(Form.CURLS, Colour.METAL), Chips(Form.CURLS, Colour.BLUE), Chips(Form.THICK, Colour.BLUE),
        Chips(Form.POWDER, Colour.METAL),
    ):  # fmt: skip
        session.saw.plant.head.sawing.chips = chips
        looks.append(painted(session))
    for one, other in pairwise(looks):
        changed = (one != other).any(axis=2)
        assert changed.sum() >= 20
        assert not outside(changed, boxes(shown_of(session), {"tray"})).any()


# Danger ---------------------------------------------------------------------------------


def grey(picture: np.ndarray) -> np.ndarray:
    """Return the relative luminance of every pixel."""
    table = np.array([luminance((value, value, value)) for value in range(256)])
    return (
        0.2126 * table[picture[..., 0]] + 0.7152 * table[picture[..., 1]] + 0.0722 * table[picture[..., 2]]
    )  # fmt: skip


@pytest.mark.parametrize("kind", ["band-broken", "bar-snatched", "clamping-lost", "bar-into-band"])
def test_the_mark_of_danger_stands_out_in_grey(kind, monkeypatch):
    session = cutting()
    before = grey(painted(session))
    session.saw.plant.site.tell(kind, quoted("For the tests."))
    after = grey(painted(session))
    low, high = np.minimum(before, after), np.maximum(before, after)
    strong = (high + 0.05) / (low + 0.05) >= 3.0
    assert strong.sum() >= 600
    monkeypatch.setattr("sim.view.picture.round.person.ring_mark", lambda *_: None)
    without = cutting()
    without.saw.plant.site.tell(kind, quoted("For the tests."))
    ring = after[after != grey(painted(without))]
    dark, pale = np.quantile(ring, (0.1, 0.9))
    assert ring.size >= 600
    assert (pale + 0.05) / (dark + 0.05) >= 3.0


def across(lit: np.ndarray) -> int:
    """Return how often the light changes from a pixel to the next in its row."""
    return int((np.abs(np.diff(lit, axis=1)) > 0.02).sum())


def test_hands_in_danger_are_told_in_grey_from_hands_that_are_safe(monkeypatch):
    looks = {}
    for bare in (False, True):
        session = at_rest()
        monkeypatch.setattr(
            "sim.view.picture.round.person.hand_face",
            lambda _session, bare=bare: (Zone.SHUTTLE_PATH.value, bare),
        )
        looks[bare] = grey(painted(session))
    changed = np.abs(looks[True] - looks[False]) > 0.02
    assert changed.sum() >= 300
    assert across(looks[True]) - across(looks[False]) >= 300  # the hatching


def test_a_thrown_bar_lies_elsewhere_and_dashes_show_where_it_lay(monkeypatch):
    session = cutting()
    before = painted(session)
    session.saw.plant.site.tell("bar-snatched", quoted("For the tests."))
    after = painted(session)
    shown = shown_of(session)
    x, y = (round(value) for value in shown.camera.at(-0.3, -0.03, session.stock.section.height_m))
    assert before[y, x].min() > 150  # steel
    assert after[y, x].max() < 150
    monkeypatch.setattr("sim.view.picture.round.view.dashes", lambda _places: [])
    undashed = cutting()
    undashed.saw.plant.site.tell("bar-snatched", quoted("For the tests."))
    dashed = (after != painted(undashed)).any(axis=2)
    assert dashed.sum() >= 60
    assert not outside(dashed, boxes(shown, {"bar"})).any()


# The section of the cut -----------------------------------------------------------------


def the_cut(person) -> np.ndarray:
    person.app.stage.resize(person.app.stage.surface, person.app.stage.kit)
    person.frame()
    return pixels(person.app.surface.subsurface(person.app.stage.by_name["cut"].rect))


def at_the_cut(scenario="rail-posts", size=(1600, 900)):
    person = person_at(size, scenario=scenario)
    person.play.go("console")
    session = person.session
    autopilot.power_up(session)
    autopilot.set_up(session)
    autopilot.begin(session)
    head, bar = session.saw.plant.head, session.saw.plant.bar
    while head.cutting is None or head.place.position > bar.height_m / 2:
        session.advance_us(50_000)
    person.play.paused = True
    person.frame()
    return person


CUT_STATES = {
    "worn": (lambda s: setattr(s.saw.plant.blade, "wear", 1.0), "rail-posts"),
    "stripped": (lambda s: s.saw.plant.blade.set_condition("stripped"), "rail-posts"),
    "packed": (lambda s: setattr(s.saw.plant.blade, "packed", 0.9), "rail-posts"),
    "dry": (lambda s: setattr(s.saw.plant.coolant, "pump", False), "rail-posts"),
    "let go": (lambda s: setattr(s.saw.plant.cutting_vise, "clamped", False), "rail-posts"),
    "oval": (lambda s: setattr(s.saw.plant.bar, "_dent_behind_m", 0.006), "11-thin-wall"),
}


@pytest.mark.parametrize("state", CUT_STATES)
def test_a_state_is_seen_in_the_section_of_the_cut(state):
    act, scenario = CUT_STATES[state]
    person = at_the_cut(scenario)
    before = the_cut(person)
    assert (the_cut(person) == before).all()
    act(person.session)
    assert (the_cut(person) != before).any(axis=2).sum() >= 30


@pytest.mark.parametrize("size", [(1280, 720), (1600, 900), (3840, 2160)])
def test_band_bar_and_jaws_of_the_cut_take_an_eighth_of_the_stage(size):
    """By a mask of what is neither the ground behind them nor the readings under them."""
    person = at_the_cut(size=size)
    widgets = person.app.stage.by_name
    cut, stage = widgets["cut"].rect, widgets["picture"].rect
    seen = grey(the_cut(person))
    lit = seen[: round(seen.shape[0] * 0.8)] > 0.08
    assert lit.sum() >= 0.12 * stage.width * stage.height, lit.sum() / stage.width / stage.height
    assert cut.width * cut.height > lit.sum()


# What runs ------------------------------------------------------------------------------


def test_the_band_never_seems_to_run_backwards():
    session = cutting(share=0.1)
    for pitch_m in (0.0018, 0.00635, 0.022):
        travel = Travel(session, 0.10)
        before = travel.way_m(pitch_m)
        moved = 0.0
        for frame in range(60):
            session.advance_us(16_667 if frame % 3 else 266_672)  # and at sixteen times the pace
            now = travel.way_m(pitch_m)
            assert 0.0 <= now - before < 0.5 * pitch_m
            moved, before = moved + now - before, now
        assert moved > 0.0


def test_the_band_stands_in_the_picture_when_it_stands():
    session = at_rest()
    travel = Travel(session, 0.10)
    session.advance(2.0)
    assert travel.way_m(0.006) == 0.0


def test_sixty_frames_of_a_cut_keep_what_does_not_move_and_chips_do_not_jump():
    """Chips and band run; ground, jaws, guides and the words under them keep every pixel."""
    person = at_the_cut()
    session = person.session
    before = the_cut(person)
    ever = np.zeros(before.shape[:2], bool)
    for _ in range(60):
        session.advance_us(16_667)
        if session.saw.plant.head.cutting is None:
            break
        now = the_cut(person)
        ever |= (now != before).any(axis=2)
        before = now
    high, wide = ever.shape
    assert ever.any()
    assert not ever[: high // 12, : wide // 3].any()  # beside the title, over the band
    assert ever.mean() < 0.6


def test_each_camera_has_a_nozzle_a_brush_or_a_feed_cylinder_to_point_at():
    session = at_rest()
    found = {
        part for sight in (OPERATOR, INFEED, CABINET) for part, _ in shown_of(session, sight).areas()
    }  # fmt: skip
    assert {"nozzle", "brush", "feed", "tray", "stop", "trip_line"} <= found
