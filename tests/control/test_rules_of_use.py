"""What is refused though no interlock is against it: the whole answer, with what to do, and no tag of a device."""

import pytest

from sim.control.interlocks import PERMISSIVES

LEFT, RIGHT = "palm.left", "palm.right"
BOTH_UP = "Take both hands off, then press both palm keys together."


def start_key_alone(hands):
    hands.set_up()
    return hands.tap("band.run")


def palms_alone(hands):
    hands.set_up()
    return hands.tap(LEFT, RIGHT)


def palms_too_late(hands):
    start_key_alone(hands)
    hands.press(LEFT)
    hands.wait(1)
    return hands.press(RIGHT)


def palm_from_before(hands):
    hands.set_up()
    hands.press(LEFT)
    hands.tap("band.run")
    return hands.press(RIGHT)


def coasting(hands):
    hands.set_up()
    hands.palms("band.run")
    hands.wait(5)
    hands.tap("band.stop")
    return hands.tap("band.run")


def production(hands):
    hands.set_up()
    hands.turn("PRODUCTION")
    return hands.tap("head.raise")


def turning(hands):
    hands.set_up()
    hands.press("mode.production")
    return hands.tap("head.raise")


SAID = [
    (start_key_alone, "This start wants both palm keys. Press both palm keys together now."),
    (palms_alone, "The palm keys start nothing by themselves. Press the key of what is to start, then both palm keys."),
    (palms_too_late, f"The palm keys went down more than 0.5 s apart. {BOTH_UP}"),
    (palm_from_before, f"A palm key was still down from before. {BOTH_UP}"),
    (coasting, "The band is still coasting. Wait until it has stopped."),
    (production, "In PRODUCTION the job has all parts, and movement keys are dead. "
     "Turn the mode switch to MANUAL to move it by hand."),
    (turning, "The saw has no mode: its switch is being turned, or its key is out. Put the key in when nobody is "
     "at the saw, and leave the switch at rest for half a second."),
]  # fmt: skip


@pytest.mark.parametrize(("done", "said"), SAID, ids=[row[0].__name__ for row in SAID])
def test_a_rule_of_use_says_why_and_what_to_do(hands, done, said):
    answer = done(hands)

    assert not answer.accepted
    assert [str(each.said) for each in answer.refusals] == [said]
    assert [(each.tag, each.interlock) for each in answer.refusals] == [("", "")]


@pytest.mark.parametrize(
    ("isolator", "said"),
    [
        (False, "The isolator is off, or no voltage comes from it. Switch the isolator on when you know "
         "why it was off and nobody is at the saw."),
        (True, "The safety circuit is open. Press reset first."),
    ],
)  # fmt: skip
def test_with_its_interlock_jumpered_control_on_still_says_why_it_switches_nothing_on(
    hands, isolator, said
):
    of_i1 = (row for row in PERMISSIVES if row.number == "I1")
    hands.saw.controller.bypassed.update(of_i1)
    if isolator:
        hands.press("supply.isolator")
    before = hands.states
    answer = hands.tap("supply.control_on")

    assert not answer.accepted
    assert [str(each.said) for each in answer.refusals] == [said]
    assert hands.states == before


def test_a_key_held_from_before_is_named_with_its_wire_and_is_to_be_let_go(hands):
    hands.press("band.run")
    hands.set_up()
    (told,) = hands.saw.controller.blocks("band.run")

    assert str(told.said) == "S10: band.run is held down from before. Let go of band.run first."
