"""A band that is fed beyond the card, and one that has passed its life, cost what they cost at a saw."""

import pytest

from sim.plant.blade import CONDITIONS, SHARP, _teeth
from sim.trade.band import Band, runs_out_at_n
from sim.trade.chips import Form, chip_form
from sim.trade.cutting import CutConditions
from sim.trade.edge import EDGE_SHARP_M, starved, worn_out
from sim.trade.life import overfed, wear_by_chip, wear_overfed
from sim.trade.sections import Round
from sim.trade.teeth import gullet_fill
from sim.trade.toothed_cut import ToothEdge, toothed_cut
from sim.trade.wander import Wander, magnified
from sim.units import MM

UM = 1e-6
CUT = CutConditions(1780e6, 0.17, 6.35 * MM, 1.5 * MM, 85 / 60, 1.0)
EDGE = ToothEdge(EDGE_SHARP_M, 1.25)
BAND = Band(34 * MM, 1.1 * MM)


def _cut(force_n, valve_mm_min):
    return toothed_cut(Round(0.06), force_n, valve_mm_min * MM / 60, CUT, EDGE)


def test_a_wide_open_feed_costs_face_and_band_and_shows_in_the_chips():
    card, wide = _cut(360, 174), _cut(1500, 250)

    assert overfed(card.chip_m) == 0.0
    assert card.sideways == 1.0
    assert wide.sideways > 1.5
    assert chip_form(card.chip_m, card.rubbed) is Form.CURLS
    assert chip_form(wide.chip_m, wide.rubbed) is Form.THICK
    # teeth wear by the time in metal: more of them goes into the same bar, though it is sawn sooner
    assert wide.toil * wide.table.duration_s > 3 * card.toil * card.table.duration_s


def test_the_area_of_a_life_falls_more_than_in_proportion_to_what_the_feed_is_over():
    # trend of makers' charts, band life by cutting rate; from memory
    at = {um: um / (wear_by_chip(um * UM, 0.0, 1.25) * wear_overfed(um * UM)) for um in (6, 9, 18)}
    assert at[9] > at[6]
    assert at[18] < 0.5 * at[9]
    assert wear_overfed(18 * UM) == pytest.approx(4.0)


@pytest.mark.parametrize("wear", [0.0, 0.5, 1.0])
def test_nothing_is_added_up_to_the_end_of_a_life(wear):
    assert worn_out(wear) == 1.0


def test_past_its_life_a_band_takes_longer_and_longer_and_runs_off():
    def seconds(wear):
        teeth = _teeth(SHARP, round(wear * 100), 0)
        cut = CutConditions(1780e6 * teeth.force, 0.17, 6.35 * MM, 1.5 * MM, 85 / 60, teeth.thrust)
        return toothed_cut(Round(0.06), 360, 174 * MM / 60, cut, ToothEdge(teeth.edge_m, 1.25))

    times = [seconds(wear).table.duration_s for wear in (0.0, 1.0, 1.25, 1.5, 1.75)]
    assert times == sorted(times)
    assert times[3] > 10 * times[0]
    assert times[4] > 3 * times[3]
    sides = [_teeth(SHARP, steps, 0).side for steps in (100, 125, 150, 200)]
    assert sides == sorted(sides)
    assert sides[-1] > 5 * CONDITIONS[SHARP].side


def test_a_tooth_that_gets_too_little_is_told_of_before_one_that_is_blunt():
    assert starved(_cut(100, 250).chip_m, 1.25)
    assert not starved(_cut(360, 174).chip_m, 1.25)


def test_more_than_twenty_four_teeth_in_a_wall_pack_their_gullets():
    # public trade pages: 24 at most
    pitch_m = 25.4 * MM / 14
    alone = 2 * UM * 40 * MM * 6 / (0.5 * 0.35 * pitch_m**2)
    assert gullet_fill(2 * UM, 40 * MM, pitch_m) == pytest.approx(alone)
    assert gullet_fill(2 * UM, 60 * MM, pitch_m) > 1.5 * 1.5 * alone


def test_tension_and_a_short_span_carry_more_feed():
    at = [runs_out_at_n(span, tension, BAND)
          for span, tension in ((0.3, 4000), (0.3, 8000), (0.15, 8000), (0.08, 8000))]  # fmt: skip
    assert at == sorted(at)
    assert at[-1] > 1500


def test_the_band_gives_more_only_beyond_half_of_what_it_carries():
    assert magnified(0.2) == magnified(0.5) == 1.0
    # DERIVED: 1 / (1 - 3/4) over 1 / (1 - 1/2)
    assert magnified(0.75) == pytest.approx(2.0)
    table = _cut(360, 174).table
    firm, weak = Wander(table, 1e-7, 5000.0), Wander(table, 1e-7, 500.0)
    assert weak.most_m(0.0, 0.06) > 1.5 * firm.most_m(0.0, 0.06)
