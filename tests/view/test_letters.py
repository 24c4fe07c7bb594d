"""Every text can be read: enough contrast with what lies under it, and a glyph for every character."""

from pathlib import Path

import pygame
import pytest

from sim.resources import shipped
from sim.view.kit.palette import CALM, CALM_APART, STARK, STARK_APART, contrast

from .conftest import all_seen, every_page, pixels_in, stands_out


def test_text_on_a_control_stands_out_under_the_pointer_too():
    controls = 0
    for page, person in every_page((1280, 720), 1.0, "en"):
        person.frame()
        stage = person.app.stage
        for widget in stage.active:
            if min(widget.seen.size) < 8:
                continue
            stage._hover = widget.name
            controls += 1

            def watch(drawn, surface, widget=widget, page=page):
                seen = drawn.rect.clip(widget.seen)
                if min(seen.size) > 0:
                    under = pixels_in(surface, seen)
                    assert stands_out(drawn.colour, under), (page, widget.name, drawn)

            stage.kit.letters.watcher = watch
            stage._repaint(widget)
            stage.kit.letters.watcher = None
        stage._hover = ""
    assert controls > 500


def test_the_palette_keeps_text_and_graphics_apart_from_their_grounds():
    for palette in (CALM, STARK, CALM_APART, STARK_APART):
        for ground in (palette.ground, palette.panel, palette.sunk, palette.paper, palette.raised):
            assert contrast(palette.ink, ground) >= 4.5
            assert contrast(palette.soft, ground) >= 4.5
        for ground in (palette.ground, palette.panel, palette.paper):
            assert contrast(palette.edge, ground) >= 3.0
            assert contrast(palette.focus, ground) >= 3.0
            for lamp in (palette.red, palette.yellow, palette.green, palette.blue, palette.white):
                assert contrast(lamp, ground) >= 3.0
        for lamp in (palette.red, palette.yellow, palette.green, palette.blue, palette.white):
            assert contrast(palette.dark, lamp) >= 4.5


def test_contrast_is_that_of_the_published_formula():
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21.0)
    # 4.54 for #767676 on white is the example that every contrast checker is tried with.
    assert contrast((0x76, 0x76, 0x76), (255, 255, 255)) == pytest.approx(4.54, abs=0.01)


def _picture(font: pygame.font.Font, character: str) -> bytes:
    return pygame.image.tobytes(font.render(character, True, "white", "black"), "RGB")


@pytest.mark.parametrize(
    "file", ["AtkinsonHyperlegible-Regular.ttf", "AtkinsonHyperlegible-Bold.ttf"]
)
def test_the_font_has_every_character_that_is_drawn(file):
    drawn = {
        c for page in all_seen((1280, 720), 1.0) for text in page.texts for c in text.drawn.text
    }
    assert len(drawn) > 50
    font = pygame.font.Font(str(shipped("art") / "fonts" / file), 20)
    box = _picture(font, chr(0xE000))
    assert _picture(font, "→") == box  # the test does see a glyph that is missing
    assert not {c for c in drawn if _picture(font, c) == box}


def test_the_font_comes_with_its_licence():
    fonts: Path = shipped("art") / "fonts"
    assert "SIL Open Font License" in (fonts / "OFL.txt").read_text(encoding="utf-8")
