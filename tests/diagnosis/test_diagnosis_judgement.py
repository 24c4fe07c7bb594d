"""How a finding is judged against what the sound machine shows."""

from sim.diagnosis.judgement import judged
from sim.words.fields import bar, count, mm, name, number, part, percent
from sim.words.message import quoted, row, sentences

AIR = row("test.judged.air", "The air gauge shows {pressure}.", pressure=bar(1))
VISES = row("test.judged.vises", "The cutting vise shows {cutting}, the shuttle vise {shuttle}.",
            cutting=bar(), shuttle=bar())  # fmt: skip
ABOVE = row("test.judged.above", "The band stands {by} above the bar.", by=mm())
BELOW = row("test.judged.below", "The band stands {by} below the top of the bar.", by=mm())
LIT = row("test.judged.lit", "These inputs are lit: {tags}.", tags=name())
READS = row("test.judged.reads", "It reads {off}.", off=mm(1))
TANK = row("test.judged.tank", "The tank is {full} full.", full=percent())
TEETH = row(
    "test.judged.teeth", "{count} tooth is gone.", plural="{count} teeth are gone.", count=count()
)
TURNS = row("test.judged.turns", "It takes {turns} turns.", turns=number(None))
OUTER = row("test.judged.outer", "Found: {inner}", inner=part())
RIGHT = AIR(pressure=6.0e5)


def test_a_low_reading_is_low_however_low_it_is() -> None:
    assert judged(AIR(pressure=3.1e5), RIGHT) == "The air gauge shows [lower] bar."
    assert judged(AIR(pressure=3.2e5), RIGHT) == "The air gauge shows [lower] bar."
    assert judged(AIR(pressure=9.5e5), RIGHT) == "The air gauge shows [higher] bar."


def test_no_pressure_at_all_is_told_from_too_little() -> None:
    assert judged(AIR(pressure=0.0), RIGHT) == "The air gauge shows [none] bar."


def test_the_right_reading_stays_as_it_is() -> None:
    assert judged(RIGHT, RIGHT) == "The air gauge shows 6.0 bar."


def test_a_reading_that_is_told_as_the_right_one_is_right() -> None:
    assert judged(AIR(pressure=6.04e5), AIR(pressure=5.96e5)) == "The air gauge shows 6.0 bar."
    assert judged(TURNS(turns=2.0000001), TURNS(turns=2)) == "It takes 2 turns."


def test_each_number_is_judged_by_itself() -> None:
    right = VISES(cutting=30e5, shuttle=30e5)
    found = VISES(cutting=30e5, shuttle=12e5)

    assert judged(found, right) == (
        "The cutting vise shows [as it should be] bar, the shuttle vise [lower] bar."
    )


def test_other_words_are_not_held_against_numbers() -> None:
    assert judged(BELOW(by=0.020), ABOVE(by=0.008)) == (
        "The band stands # mm below the top of the bar."
    )


def test_a_device_tag_is_no_number() -> None:
    right, found = LIT(tags="B11, B22"), LIT(tags="B11, B31")

    assert judged(found, right) == "These inputs are lit: B11, B31."


def test_a_negative_reading_is_lower_and_percent_are_numbers() -> None:
    assert judged(READS(off=-0.0005), READS(off=0.0005)) == "It reads [lower] mm."
    assert judged(TANK(full=0.09), TANK(full=0.80)) == "The tank is [lower] % full."


def test_numbers_within_a_message_in_the_message_are_judged_too() -> None:
    right = sentences(OUTER(inner=RIGHT), TANK(full=0.8))
    found = sentences(OUTER(inner=AIR(pressure=1e5)), TANK(full=0.8))

    assert judged(found, right) == (
        "Found: The air gauge shows [lower] bar. The tank is [as it should be] % full."
    )


def test_one_and_many_are_other_words() -> None:
    assert judged(TEETH(count=1), TEETH(count=3)) == "# tooth is gone."
    assert judged(TEETH(count=2), TEETH(count=3)) == "[lower] teeth are gone."


def test_a_number_that_an_author_wrote_is_a_word() -> None:
    assert judged(quoted("5 bar"), quoted("6 bar")) == "5 bar"
