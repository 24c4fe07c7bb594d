"""How a finding is judged against what the sound machine shows."""

from sim.diagnosis.judgement import judged

RIGHT = "The air gauge shows 6.0 bar."


def test_a_low_reading_is_low_however_low_it_is() -> None:
    assert judged("The air gauge shows 3.1 bar.", RIGHT) == "The air gauge shows [lower] bar."
    assert judged("The air gauge shows 3.2 bar.", RIGHT) == "The air gauge shows [lower] bar."
    assert judged("The air gauge shows 9.5 bar.", RIGHT) == "The air gauge shows [higher] bar."


def test_no_pressure_at_all_is_told_from_too_little() -> None:
    assert judged("The air gauge shows 0.0 bar.", RIGHT) == "The air gauge shows [none] bar."


def test_the_right_reading_stays_as_it_is() -> None:
    assert judged(RIGHT, RIGHT) == RIGHT


def test_each_number_is_judged_by_itself() -> None:
    right = "The cutting vise shows 30 bar, the shuttle vise 30 bar."
    found = "The cutting vise shows 30 bar, the shuttle vise 12 bar."

    assert judged(found, right) == (
        "The cutting vise shows [as it should be] bar, the shuttle vise [lower] bar."
    )


def test_other_words_are_not_held_against_numbers() -> None:
    right = "The band stands 8 mm above the bar."

    assert judged("The band stands 20 mm below the top of the bar.", right) == (
        "The band stands # mm below the top of the bar."
    )


def test_a_device_tag_is_no_number() -> None:
    right = "These inputs are lit: B11, B22."

    assert judged("These inputs are lit: B11, B31.", right) == "These inputs are lit: B11, B31."


def test_a_negative_reading_is_lower_and_percent_are_numbers() -> None:
    assert judged("It reads -0.5 mm.", "It reads 0.5 mm.") == "It reads [lower] mm."
    assert judged("The tank is 9% full.", "The tank is 80% full.") == "The tank is [lower]% full."
