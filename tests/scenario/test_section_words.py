"""A section that is typed as a word: what it means, and what is said where it means nothing."""

import pytest

from sim.errors import CommandError
from sim.scenario.section_words import SHAPES, section_from
from sim.words.reader import Reader


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("sqare:50", "the nearest name is square"),
        ("hexagon:50", "there is no section 'hexagon'"),
        ("round:50x3", "round takes diameter;"),
        ("i-beam:50", "i-beam takes height x width x web x flange"),
        ("round:thick", "'thick' is not sizes in mm"),
        ("0*round:5", "'0' is not a number of bars"),
        ("round:-5", "diameter of round:-5: -5 was found, and it must be at least 1"),
        ("round-tube:50x40", "section: round-tube:50x40: a thickness of 40 mm leaves nothing open"),
        ("round:900", "give at most 250; write it like"),
        ("round:nan", "nan was found"),
    ],
)
def test_a_word_that_is_no_section_is_told_in_the_readers_language(word, says, untold):
    with pytest.raises(CommandError) as caught:
        section_from(word)
    assert says in str(caught.value)
    assert not untold(caught.value)


def test_the_sizes_of_a_shape_are_named_in_spanish():
    with pytest.raises(CommandError) as caught:
        section_from("i-beam:50")
    assert "i-beam lleva altura x anchura x alma x ala" in caught.value.tell(Reader("es"))


def test_every_shape_is_a_section_with_sizes_that_fit():
    for shape, fields in SHAPES.items():
        sizes = {"wall_mm": "5", "thickness_mm": "5", "web_mm": "5", "flange_mm": "5"}
        word = f"{shape}:{'x'.join(sizes.get(field, '60') for field in fields)}"
        assert section_from(word).area_m2 > 0.0
