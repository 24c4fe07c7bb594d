"""Two-hand start is really two keys held, within half a second, whatever the hands are on."""

from sim.records.reading import read_record
from sim.session.opening import open_recorded
from sim.session.orders import Order
from sim.session.playback.replay import replay
from sim.view.play.play import SPEEDS, Play
from sim.words.reader import Reader


def _on(person):
    person.click("key.supply.isolator")
    return person.session.saw.controller.machines["supply"]


def test_two_keyboard_keys_start(at_the_posts):
    supply = _on(at_the_posts)
    at_the_posts.key_down("space")
    at_the_posts.wait(0.3)
    at_the_posts.key_down("2")
    assert supply.state == "ON"


def test_mouse_and_keyboard_start(at_the_posts):
    supply = _on(at_the_posts)
    at_the_posts.key_down("space")
    at_the_posts.mouse_down("key.supply.control_on")
    assert supply.state == "ON"


def test_the_mouse_on_the_two_hand_key_and_a_letter_start(at_the_posts):
    supply = _on(at_the_posts)
    at_the_posts.mouse_down("key.supply.two_hand")
    at_the_posts.key_down("2")
    assert supply.state == "ON"


def test_more_than_half_a_second_apart_is_refused(at_the_posts):
    supply = _on(at_the_posts)
    at_the_posts.key_down("space")
    at_the_posts.wait(0.6)
    at_the_posts.key_down("2")
    assert supply.state == "OFF"
    assert "0.5 s" in str(at_the_posts.play.hands.refused.said)


def test_one_hand_is_refused(at_the_posts):
    supply = _on(at_the_posts)
    at_the_posts.strike("2")
    assert supply.state == "OFF"
    assert "both hands" in str(at_the_posts.play.hands.refused.said)


def test_a_key_held_by_two_hands_stays_down_until_both_let_go(at_the_posts):
    held = at_the_posts.session.saw.held
    place = at_the_posts.mouse_down("key.head.lift")
    at_the_posts.key_down("y")
    at_the_posts.mouse_up(place)
    assert "head.lift" in held
    at_the_posts.key_up("y")
    assert "head.lift" not in held


def test_a_repeated_key_event_does_not_press_again(at_the_posts):
    _on(at_the_posts)
    at_the_posts.key_down("y")
    events = len(at_the_posts.session.heard.events)
    at_the_posts.key_down("y")
    assert len(at_the_posts.session.heard.events) == events


def test_sticky_keys_start_with_one_finger_and_the_record_says_so(at_the_posts):
    supply = _on(at_the_posts)
    at_the_posts.play.hands.set_sticky(True)
    assert any(
        "Sticky keys are on" in str(event.message) for event in at_the_posts.session.heard.events
    )
    at_the_posts.click("key.supply.two_hand")
    assert at_the_posts.play.hands.down("supply.two_hand")
    at_the_posts.wait(5)
    at_the_posts.click("key.supply.control_on")
    assert supply.state == "ON"
    assert not at_the_posts.session.saw.held - {"supply.isolator"}


def test_sticky_keys_hold_a_key_that_moves_things(at_the_posts):
    _on(at_the_posts)
    at_the_posts.play.hands.set_sticky(True)
    at_the_posts.click("key.head.lift")
    assert "head.lift" in at_the_posts.session.saw.held
    at_the_posts.click("key.head.lift")
    assert "head.lift" not in at_the_posts.session.saw.held


def test_time_does_not_race_while_a_hand_is_on_a_two_hand_key(at_the_posts):
    play = at_the_posts.play
    play.speed = SPEEDS[-1]
    play.tick()
    assert play._pacer.speed == SPEEDS[-1]
    at_the_posts.key_down("space")
    play.tick()
    assert play._pacer.speed == 1.0


def test_what_the_window_notes_is_a_message_in_the_record_and_plays_again(tmp_path):
    path = tmp_path / "run.jsonl"
    session = open_recorded("rail-posts", path)
    play = Play(session)
    play.hands.set_sticky(True)
    play.orders.enter()
    play.orders.order(Order("take-out", fault="variator-forced"))  # it is not in
    session.close()
    noted = [act.text for _, act in read_record(path).acts if act.kind in ("note", "mark")]
    assert [each.key for each in noted] == [
        "window.sticky.on", "window.instructor.came", "window.instructor.refused",
    ]  # fmt: skip
    again = replay(path).session
    assert again.heard.events[0].message == session.heard.events[0].message
    assert again.heard.events[0].message.tell(Reader("es")) == "Las teclas fijas están activadas."
