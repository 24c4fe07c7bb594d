"""No widget leaves the window or lies on another, and every text stands out, on any page, at any size."""

from itertools import combinations

import pytest

from .conftest import LOOKS, MORE_LOOKS, all_seen, every_page, look, seen_page, stands_out

_LEAST_PX = 24  # to hit with a mouse


def _leaves_the_window(page):
    for widget in page.widgets:
        hidden = min(widget.seen.size) <= 0
        assert hidden or page.screen.contains(widget.seen), (page.page, widget.name)
        assert page.screen.left <= widget.rect.left, (page.page, widget.name)
        assert widget.rect.right <= page.screen.right, (page.page, widget.name)


def _collisions(page, widgets):
    shown = [widget for widget in widgets if min(widget.seen.size) > 1]
    for one, other in combinations(shown, 2):
        shared = one.seen.clip(other.seen)
        if shared.width > 1 and shared.height > 1:
            yield page.page, one.name, other.name


def _lies_on_something_else(page):
    lying = [w for w in page.leaves if not w.floats]
    assert not list(_collisions(page, lying))


def _floats_over_a_control(page):
    over = [w for w in page.leaves if w.act or (w.floats and w.name != "wreck")]
    assert not list(_collisions(page, over))


def _is_shortened(page):
    for text in page.texts:
        assert not text.drawn.cut, (page.page, text.drawn.text)


def _runs_out_of_its_place(page):
    for text in page.texts:
        drawn = text.drawn
        assert drawn.bounds.left <= drawn.rect.left + 1, (page.page, drawn.text)
        assert drawn.rect.right <= drawn.bounds.right + 1, (page.page, drawn.text)
        scrolls = any(p.most and p.window.colliderect(text.window) for p in page.panes)
        if not scrolls:
            assert text.window.contains(drawn.rect), (page.page, drawn, text.window)


def _is_too_small_to_hit(page):
    for widget in page.widgets:
        if widget.act and not widget.name.endswith(".bar"):  # the wheel scrolls too
            assert min(widget.rect.size) >= _LEAST_PX, (page.page, widget.name, widget.rect)


def _is_out_of_reach_of_tab(page):
    for name, rect, seen in page.revealed:
        assert seen.width == rect.width, (page.page, name)
        assert seen.height >= min(rect.height, 3 * _LEAST_PX) - 1, (page.page, name)


def _leaves_too_little_picture(page):
    """Hold the picture, with the strips that come and go in its place, to a third of the window."""
    places = [
        w.rect
        for w in page.widgets
        if w.name in ("picture", "ask", "harm", "note", "hands", "stands")
    ]
    if any(w.name == "picture" for w in page.widgets):
        whole = places[0].unionall(places[1:])
        assert whole.height >= page.screen.height / 3 - 1, page.page


_BAD = (
    _leaves_the_window, _lies_on_something_else, _floats_over_a_control, _is_shortened, _runs_out_of_its_place,
    _is_too_small_to_hit, _is_out_of_reach_of_tab, _leaves_too_little_picture,
)  # fmt: skip


@pytest.mark.sampled(3)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
def test_no_page_is_laid_out_badly(size, scale, language):
    for page in all_seen(size, scale, language):
        for bad in _BAD:
            bad(page)


@pytest.mark.sampled(3)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
def test_every_text_stands_out_from_the_pixels_under_it(size, scale, language):
    seen = 0
    for page in all_seen(size, scale, language):
        for text in page.texts:
            seen += bool(text.under)
            assert stands_out(text.drawn.colour, text.under), (page.page, text.drawn)
    assert seen > 200


@pytest.mark.sampled(7)
@pytest.mark.parametrize(("size", "scale", "language"), MORE_LOOKS)
def test_no_page_is_laid_out_badly_in_another_size_and_language(size, scale, language):
    pages = stops = 0
    for page, person in every_page(size, scale, language):
        seen = look(page, person)
        pages, stops = pages + 1, stops + len(seen.revealed)
        for bad in _BAD:
            bad(seen)
        for text in seen.texts:
            assert stands_out(text.drawn.colour, text.under), (page, text.drawn)
    assert pages > 30
    assert stops > 20 * pages


def test_at_plain_text_the_picture_and_the_whole_console_are_in_sight_together():
    for size in ((1280, 720), (1600, 900), (3840, 2160)):
        console = seen_page("console", size, 1.0, "en")
        assert not any(w.name == "sheet.console.bar" for w in console.widgets)  # nothing to scroll
        picture = next(w for w in console.widgets if w.name == "picture")
        assert picture.rect.height >= 0.45 * console.screen.height


def test_every_tab_says_the_name_of_its_sheet():
    for size, scale, language in (each.values for each in LOOKS):
        page = seen_page("console", size, scale, language)
        drawn = [text.drawn for text in page.texts]
        for widget in page.widgets:
            if widget.name.startswith("tab.") and widget.name != "tab.instructor":
                inside = [each.text for each in drawn if widget.rect.contains(each.rect)]
                assert widget.label in inside, widget.name
