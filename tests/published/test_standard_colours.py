"""The colours of lamps against IEC 60073 and IEC 60204-1, table for indicator lights.

Nobody here has read the standards. FOUND on two pages about EN 60204-1: red emergency, yellow
abnormal, blue mandatory, green normal; MEMORY: white neutral.
"""

import pytest

from sim.control.lamps import LAMPS, lit

MEANING = {
    "red": "emergency",
    "yellow": "abnormal",
    "green": "normal",
    "blue": "mandatory",
    "white": "neutral",
}
WHAT_IT_SAYS = {
    "ready": "normal",
    "band fault": "abnormal",
    "band broken or slack": "abnormal",
    "trip line": "abnormal",
    "deviation": "abnormal",
    "overload": "abnormal",
    "bar end": "abnormal",
    "air low": "abnormal",
    "oil low": "abnormal",
    "coolant low": "abnormal",
}


@pytest.mark.parametrize("lamp", LAMPS, ids=lambda lamp: lamp.name)
def test_a_lamp_has_the_colour_of_what_it_says(lamp):
    assert MEANING[lamp.colour] == WHAT_IT_SAYS[str(lamp.word)]


def test_every_lamp_of_the_desk_is_there_once():
    assert [str(lamp.word) for lamp in LAMPS] == list(WHAT_IT_SAYS)


def test_colour_never_stands_alone_two_meanings_have_two_shapes():
    looks = {(lamp.colour, lamp.shape) for lamp in LAMPS}

    assert len({colour for colour, _ in looks}) == len(looks)
    assert len({shape for _, shape in looks}) == len(looks)
    assert all(str(lamp.word) for lamp in LAMPS)


def test_ready_is_lit_only_while_nothing_abnormal_is(hands):
    hands.set_up()
    hands.clamp_bar()
    hands.tap("coolant.with_band")
    hands.ready("square")
    image = hands.saw.controller.image
    assert [str(lamp.word) for lamp in lit(image)] == ["ready"]
    for tag, word in [("B53", "bar end"), ("B61", "air low"), ("B62", "oil low")]:
        hands.stick(tag, False)
        assert [str(lamp.word) for lamp in lit(image)] == [word]
        hands.mend(tag)
    hands.press("supply.trip_line")
    hands.release("supply.trip_line")
    assert [str(lamp.word) for lamp in lit(image)] == ["trip line"]
    hands.tap("supply.reset")
    assert [str(lamp.word) for lamp in lit(image)] == ["ready"]
    hands.press("supply.emergency_stop")

    assert lit(image) == ()
