"""Two hands are really two keys held, within half a second, whatever the hands are on."""

from sim.records.reading import read_record
from sim.session.opening import open_recorded
from sim.session.orders import Order
from sim.session.playback.replay import replay
from sim.view.play.hands import LET_GO, MIDDLE, THROUGH
from sim.view.play.play import SPEEDS, Play
from sim.words.reader import Reader


def _ready(person):
    """Control on, head up; return the band."""
    person.power_up()
    person.key_down("y")
    person.wait(6)
    person.key_up("y")
    assert person.session.saw.bus.seen["B11"]
    person.play.paused = False
    return person.session.saw.controller.machines["band"]


def test_two_keys_of_the_keyboard_start(at_the_posts):
    band = _ready(at_the_posts)
    at_the_posts.strike("q")
    assert band.state == "STOPPED"
    at_the_posts.palms(between_s=0.49)
    assert band.state == "STARTING"


def test_mouse_and_keyboard_start(at_the_posts):
    band = _ready(at_the_posts)
    at_the_posts.strike("q")
    at_the_posts.key_down("x")
    at_the_posts.mouse_down("key.palm.right")
    assert band.state == "STARTING"


def test_the_mouse_alone_starts_for_its_other_hand_stays_half_a_second(at_the_posts):
    band = _ready(at_the_posts)
    at_the_posts.click("key.band.run")
    at_the_posts.click("key.palm.left")
    assert "palm.left" in at_the_posts.session.saw.held
    assert "half a second" in at_the_posts.app.stage.page.bubble().text
    at_the_posts.wait(0.45)
    at_the_posts.click("key.palm.right")
    assert band.state == "STARTING"
    at_the_posts.wait(0.1)
    assert not at_the_posts.session.saw.held & {"palm.left", "palm.right"}


def test_the_mouses_other_hand_does_not_stay_longer(at_the_posts):
    band = _ready(at_the_posts)
    at_the_posts.click("key.band.run")
    at_the_posts.click("key.palm.left")
    at_the_posts.wait(0.51)
    assert "palm.left" not in at_the_posts.session.saw.held
    at_the_posts.click("key.palm.right")
    assert band.state == "STOPPED"


def test_more_than_half_a_second_apart_is_refused(at_the_posts):
    band = _ready(at_the_posts)
    at_the_posts.strike("q")
    at_the_posts.palms(between_s=0.51)
    assert band.state == "STOPPED"
    assert "0.5 s" in str(at_the_posts.play.hands.refused.said)


def test_one_hand_is_asked_for_the_other(at_the_posts):
    band = _ready(at_the_posts)
    at_the_posts.strike("q")
    assert band.state == "STOPPED"
    told = at_the_posts.play.hands.refused
    assert "both palm keys" in str(told.said)
    assert not told.refusal  # nothing is wrong: it waits
    assert at_the_posts.widget("key.palm.left").face()[1]  # which is wanted now
    at_the_posts.wait(5.1)
    assert not at_the_posts.widget("key.palm.left").face()[1]


def test_while_time_stands_no_palm_key_goes_down(at_the_posts):
    _ready(at_the_posts)
    at_the_posts.strike("q")
    at_the_posts.play.paused = True
    at_the_posts.key_down("x")
    assert "palm.left" not in at_the_posts.session.saw.held
    assert "Paused" in at_the_posts.app.stage.page.bubble().text


def test_a_key_held_by_two_hands_stays_down_until_both_let_go(at_the_posts):
    held = at_the_posts.session.saw.held
    place = at_the_posts.mouse_down("key.head.raise")
    at_the_posts.key_down("y")
    at_the_posts.mouse_up(place)
    assert "head.raise" in held
    at_the_posts.key_up("y")
    assert "head.raise" not in held


def test_a_repeated_key_event_does_not_press_again(at_the_posts):
    at_the_posts.power_up()
    at_the_posts.key_down("y")
    events = len(at_the_posts.session.heard.events)
    at_the_posts.key_down("y")
    assert len(at_the_posts.session.heard.events) == events


def test_sticky_keys_start_with_one_finger_and_the_record_says_so(at_the_posts):
    band = _ready(at_the_posts)
    at_the_posts.play.hands.set_sticky(True)
    assert any(
        "Sticky keys are on" in str(event.message) for event in at_the_posts.session.heard.events
    )
    at_the_posts.click("key.palm.left")
    assert at_the_posts.play.hands.down("palm.left")
    at_the_posts.wait(5)
    at_the_posts.click("key.band.run")
    at_the_posts.wait(4)
    at_the_posts.click("key.palm.right")
    assert band.state == "STARTING"
    assert not at_the_posts.session.saw.held - {"supply.isolator"}


def test_sticky_keys_hold_a_key_that_moves_things(at_the_posts):
    at_the_posts.power_up()
    at_the_posts.play.hands.set_sticky(True)
    at_the_posts.click("key.head.raise")
    assert "head.raise" in at_the_posts.session.saw.held
    at_the_posts.click("key.head.raise")
    assert "head.raise" not in at_the_posts.session.saw.held


def _in_maintenance(person):
    """Return the head, in MAINTENANCE, below its stop, with nobody at the enabling device."""
    person.power_up()
    person.strike("8")
    person.wait(0.6)
    return person.session.saw.controller.machines["head"]


def test_the_enabling_device_counts_in_its_middle_and_not_pressed_through(at_the_posts):
    head = _in_maintenance(at_the_posts)
    seen, hands = at_the_posts.session.saw.bus.seen, at_the_posts.play.hands
    at_the_posts.key_down("c")
    at_the_posts.key_down("y")
    assert (head.state, hands.squeezed) == ("RAISING", MIDDLE)
    at_the_posts.key_down("v")  # pressed through, in fright
    assert (seen["S7"], hands.squeezed) == (False, THROUGH)
    assert head.state != "RAISING"
    at_the_posts.key_up("v")  # back to the middle on its way out counts for nothing
    assert (seen["S7"], hands.squeezed) == (False, THROUGH)
    at_the_posts.key_up("c")
    assert hands.squeezed == LET_GO
    at_the_posts.key_down("c")
    assert (seen["S7"], hands.squeezed) == (True, MIDDLE)
    assert head.state != "RAISING"  # a held key does not start it again
    at_the_posts.key_up("y")
    at_the_posts.key_down("y")
    assert head.state == "RAISING"


def test_the_enabling_device_and_a_key_are_held_by_the_mouse_alone(at_the_posts):
    head = _in_maintenance(at_the_posts)
    at_the_posts.click("key.enable")
    assert "enable" in at_the_posts.session.saw.held
    place = at_the_posts.mouse_down("key.head.raise")
    assert head.state == "RAISING"
    at_the_posts.mouse_up(place)
    at_the_posts.click("enable.through")
    assert "enable" not in at_the_posts.session.saw.held
    at_the_posts.click("key.enable")
    assert "enable" not in at_the_posts.session.saw.held  # it must be let go first
    at_the_posts.click("enable.let_go")
    at_the_posts.click("key.enable")
    assert "enable" in at_the_posts.session.saw.held
    at_the_posts.play.go("walk")  # whoever walks away lets go
    assert "enable" not in at_the_posts.session.saw.held


def test_time_does_not_race_while_the_palm_keys_are_waited_for(at_the_posts):
    _ready(at_the_posts)
    play = at_the_posts.play
    play.speed = SPEEDS[-1]
    assert play.pace == SPEEDS[-1]
    at_the_posts.strike("q")
    assert play.pace == 1.0
    at_the_posts.click("key.palm.left")
    assert play.pace == 0.25
    assert at_the_posts.widget("bar.pace").face() == 0.25  # the pace shown is the pace there is
    at_the_posts.wait(0.5)
    assert play.pace == 1.0
    at_the_posts.wait(5.0)
    assert play.pace == SPEEDS[-1]


def test_what_the_window_notes_is_a_message_in_the_record_and_plays_again(tmp_path):
    path = tmp_path / "run.jsonl"
    session = open_recorded("rail-posts", path)
    play = Play(session)
    play.hands.set_sticky(True)
    play.orders.enter()
    play.orders.order(Order("take-out", fault="variator-forced"))  # it is not in
    session.close()
    acts = [act for _, act in read_record(path).acts]
    noted = [act.text for act in acts if act.kind in ("note", "mark")]
    assert [each.key for each in noted] == ["window.sticky.on", "window.instructor.came"]
    assert [act.order for act in acts if act.kind == "order_refused"] == ["take-out"]
    again = replay(path).session
    assert again.heard.events[0].message == session.heard.events[0].message
    assert again.heard.events[0].message.tell(Reader("es")) == "Las teclas fijas están activadas."
