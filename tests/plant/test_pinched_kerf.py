"""A kerf that the stress in the bar closes on the band, and what a sawyer does then."""

from dataclasses import replace

import pytest

from sim.pilot.reference_jobs import REFERENCE_JOBS
from sim.plant.bar import Stock
from sim.plant.harm.kinds import KINDS
from sim.scenario.stock import StockFound
from sim.session.opening import session_for
from sim.trade.kerf import SKIN, mouth_closed_m
from sim.trade.sections import Square
from sim.units import MM, MPA

PRESSING = 390 * MPA
USED = 0.5  # of the life of the band, and of the set that goes with it
SIDE_M = 100 * MM


@pytest.fixture
def stressed(steel):
    """A bar whose skin presses."""
    return Stock(steel, Square(SIDE_M), 3.0, 12 * MM, pressing_pa=PRESSING)


@pytest.fixture
def pinched(ready):
    """A band that has lost some of its set, started on a bar by hand, and what became of it."""

    def pinched(stock, wear=USED):
        hands = ready(stock)
        hands.saw.plant.blade.wear = wear
        hands.clamp_bar()
        hands.tap("coolant.with_band")
        down(hands)
        return hands

    return pinched


def down(hands):
    hands.palms("band.run")
    hands.wait(3)
    hands.press("head.lower")
    before = len(hands.harm)
    hands.until(lambda: bool(hands.saw.cuts) or len(hands.harm) > before, 400_000)


def up(hands):
    """Stop the band, and raise it."""
    hands.release("head.lower")
    hands.tap("band.stop")
    hands.wait(4)
    hands.press("head.raise")
    hands.until(lambda: hands.sees("B11"))
    hands.release("head.raise")


def test_a_bar_whose_skin_presses_closes_the_kerf_on_a_band_without_its_set(
    pinched, stressed, told
):
    hands = pinched(stressed)
    room_m = (1.5 - 1.1 - 0.4 * USED / 3) * MM
    depth_m = float(told(hands, "kerf-pinched").split("depth of ")[1].split(" mm")[0]) * MM
    hands.wait(1)

    assert hands.harm == ["kerf-pinched"]
    assert depth_m < SKIN * SIDE_M
    assert mouth_closed_m(PRESSING, stressed.material.young_pa, depth_m, SIDE_M) == pytest.approx(
        room_m, rel=0.03
    )
    assert hands.saw.cuts == []
    assert not hands.saw.plant.band.turning
    assert hands.state("band") == "TRIPPED"


def test_a_band_with_all_its_set_and_a_bar_without_stress_go_through(pinched, stressed):
    assert "kerf-pinched" not in pinched(stressed, wear=0.0).harm
    assert "kerf-pinched" not in pinched(replace(stressed, pressing_pa=0.0)).harm


def test_a_long_end_that_hangs_keeps_the_kerf_open(pinched, stressed):
    # A bar that just pinches with nothing past the band goes through with metres of it
    slender = replace(stressed, section=Square(50 * MM), pressing_pa=705 * MPA, length_m=6.0)
    long_ = replace(slender, front_m=2.5)

    assert "kerf-pinched" in pinched(slender).harm
    assert "kerf-pinched" not in pinched(long_).harm


def test_the_band_goes_down_its_own_kerf_again_and_through(pinched, stressed):
    hands = pinched(stressed)
    up(hands)
    assert hands.saw.plant.bar.kerf_depth_m > 0.5 * SKIN * SIDE_M
    hands.tap("supply.reset")
    down(hands)

    assert hands.harm.count("kerf-pinched") == 1
    assert "bound-in-kerf" not in hands.harm
    assert len(hands.saw.cuts) == 1


def test_it_says_what_to_do_and_that_is_what_is_done_here():
    assert "let it down running in its own kerf again" in str(KINDS["kerf-pinched"].instead)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"stress_mpa": 401}, "stress_mpa"),
        ({"stress_mpa": -1}, "stress_mpa"),
        ({"stress_mpa": 100, "bundle": {"count": 2}}, "told"),
    ],
)
def test_an_impossible_stress_is_refused_and_a_possible_one_reaches_the_bar(given, said):
    scenario = REFERENCE_JOBS["posts"].scenario()
    stock = scenario.stock.model_dump()
    with pytest.raises(ValueError, match=said):
        StockFound.model_validate(stock | given)
    stressed = StockFound.model_validate(stock | {"stress_mpa": 100})
    session = session_for(scenario.model_copy(update={"stock": stressed}), nonce="")

    assert session.saw.plant.bar.stock.pressing_pa == 100 * MPA
