"""Chance: equal seeds give equal streams, and one purpose leaves another alone."""

from sim.kernel.streams import stream


def draws(seed, purpose):
    source = stream(seed, purpose)
    return [source.random() for _ in range(5)]


def test_the_same_seed_and_purpose_give_the_same_stream():
    assert draws(7, "wear") == draws(7, "wear")


def test_another_seed_or_purpose_gives_another_stream():
    assert draws(7, "wear") != draws(8, "wear")
    assert draws(7, "wear") != draws(7, "length")


def test_drawing_from_one_stream_leaves_another_as_it_was():
    first, other = stream(7, "wear"), stream(7, "length")
    first.random()

    assert [other.random() for _ in range(5)] == draws(7, "length")
