"""What a bar weighs: as a steel table has it, and nothing of it is lost when it is sawn up."""

from math import pi

import pytest

from sim.units import MM

ROUND_30_KG_M = 5.55  # steel round, 30 mm: as EN 10060 has it, from memory


def test_a_fresh_bar_weighs_what_a_steel_table_gives_for_its_length(hands):
    bar = hands.saw.plant.bar

    assert bar.stock.mass_kg == pytest.approx(3 * ROUND_30_KG_M, rel=1e-3)
    assert bar.mass_kg == bar.stock.mass_kg


def test_pieces_chips_and_what_is_left_weigh_together_what_the_bar_did(hands):
    hands.begin_job("square", wanted=3)
    hands.until_job("COMPLETE")
    bar = hands.saw.plant.bar
    per_m3 = bar.stock.material.density_kg_m3
    face_m2 = pi * (15 * MM) ** 2
    pieces_kg = sum(piece.length_m for piece in bar.pieces) * face_m2 * per_m3
    chips_kg = len(hands.saw.cuts) * hands.machine.kerf_m * face_m2 * per_m3

    assert bar.mass_kg + pieces_kg + chips_kg == pytest.approx(bar.stock.mass_kg, rel=1e-9)
    assert len(bar.pieces) == len(hands.saw.cuts) == 4  # one of them the trim
