"""What a Spanish reader is told by the command line, where it was once English, mixed or ungrammatical."""

import pytest

from sim.session.opening import open_session
from sim.text.typed.console import play
from sim.words.reader import Reader
from sim.words.speech import read_by


@pytest.fixture
def spanish(drycycle):
    return lambda *words: drycycle("--language", "es", *words)


def _piped(*lines):
    read_by(Reader("es"))
    written = []
    play(open_session("rail-posts"), lines, written.append, interactive=False)
    return "\n".join(written).replace("\n  ", " ")


def test_a_word_that_is_set_is_told_in_spanish_and_its_name_is_not():
    text = _piped("set coolant.floor wet")

    assert "coolant.floor: mojado" in text
    assert "wet" not in text


def test_a_note_is_no_warning_and_the_coach_is_no_instructor():
    text = _piped("note hola", "tap control_on")

    assert "Nota. hola" in text
    assert "Aviso. hola" not in text
    assert "Entrenador: " in text
    assert "Instructor:" not in text


def test_units_of_set_points_are_spanish(spanish):
    for text in (_piped("points"), spanish("list", "points")[1]):
        assert "dientes/pulgada" in text
        assert "vueltas" in text
        assert "grados" in text
        assert "teeth/in" not in text


def test_a_skill_is_asked_for_as_it_is_called_here_or_by_its_name(spanish):
    code, here, _ = spanish("list", "--skill", "mantenimiento")

    assert code == 0
    assert here == spanish("list", "--skill", "maintenance")[1]


def test_numbers_in_a_help_page_have_one_decimal_mark(spanish):
    _, text, _ = spanish("calc", "overload", "--help")

    assert "por defecto: 1,5" in text
    assert "1.5" not in text


def test_a_section_is_typed_with_the_comma_of_its_reader(spanish, drycycle):
    code, _, err = spanish("calc", "pitch", "round:60,5")
    assert (code, err) == (0, "")

    code, _, err = drycycle("--language", "en", "calc", "pitch", "round:60,5")
    assert code == 2
    assert "write the decimals after a point, like round:60.5" in err


def test_one_scenario_is_one(spanish, drycycle):
    assert "1 de 1 escenario es correcto." in spanish("check", "posts-come-out-short")[1]
    assert "1 of 1 scenario is sound." in drycycle("--language", "en", "check", "rail-posts")[1]
