"""A sample of the odd scenario and machine files; `odd_scenarios` tries as many as one likes."""

from tests.reliability.odd_scenarios import odd_file, sources, tried


def test_odd_files_are_read_or_refused_in_a_sentence_with_a_place():
    found = tried(1, iter(range(600)))

    assert found.failures == []
    assert found.refused > 300
    assert found.read > 30
    assert len(found.sentences) > 30  # they are refused for what is wrong with them


def test_a_number_always_makes_the_same_file():
    known = sources()

    assert odd_file(1, 7, known) == odd_file(1, 7, known)
    assert odd_file(1, 7, known) != odd_file(2, 7, known)
