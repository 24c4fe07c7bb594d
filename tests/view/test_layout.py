"""No widget leaves the window or lies on another, on any page, at any size."""

from itertools import combinations

import pytest

from .conftest import LOOKS, all_seen

_LEAST_PX = 24  # to hit with a mouse


@pytest.mark.sampled(3)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
def test_nothing_leaves_the_window(size, scale, language):
    for page in all_seen(size, scale, language):
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


@pytest.mark.sampled(3)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
def test_nothing_lies_on_something_else(size, scale, language):
    for page in all_seen(size, scale, language):
        lying = [w for w in page.leaves if not w.floats]
        assert not list(_collisions(page, lying))


@pytest.mark.sampled(3)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
def test_what_floats_over_the_picture_covers_no_other_control(size, scale, language):
    for page in all_seen(size, scale, language):
        assert not list(
            _collisions(page, [w for w in page.leaves if w.act or (w.floats and w.name != "wreck")])
        )


@pytest.mark.sampled(3)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
def test_no_text_is_shortened(size, scale, language):
    for page in all_seen(size, scale, language):
        for text in page.texts:
            assert not text.drawn.cut, (page.page, text.drawn.text)


@pytest.mark.sampled(3)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
def test_no_text_runs_out_of_its_place(size, scale, language):
    for page in all_seen(size, scale, language):
        for text in page.texts:
            drawn = text.drawn
            assert drawn.bounds.left <= drawn.rect.left + 1, (page.page, drawn.text)
            assert drawn.rect.right <= drawn.bounds.right + 1, (page.page, drawn.text)
            scrolls = any(p.most and p.window.colliderect(text.window) for p in page.panes)
            if not scrolls:
                assert text.window.contains(drawn.rect), (page.page, drawn, text.window)


@pytest.mark.sampled(3)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
def test_every_control_is_large_enough_to_hit(size, scale, language):
    for page in all_seen(size, scale, language):
        for widget in page.widgets:
            if widget.act and not widget.name.endswith(".bar"):  # the wheel scrolls too
                assert min(widget.rect.size) >= _LEAST_PX, (page.page, widget.name, widget.rect)


@pytest.mark.sampled(3)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
def test_the_tab_key_brings_every_control_into_sight(size, scale, language):
    for page in all_seen(size, scale, language):
        for name, rect, seen in page.revealed:
            assert seen.width == rect.width, (page.page, name)
            assert seen.height >= min(rect.height, 3 * _LEAST_PX) - 1, (page.page, name)


@pytest.mark.sampled(3)
@pytest.mark.parametrize(("size", "scale", "language"), LOOKS)
def test_the_picture_is_a_third_of_the_window_at_least(size, scale, language):
    for page in all_seen(size, scale, language):
        for widget in page.widgets:
            if widget.name == "picture":
                assert widget.rect.height >= page.screen.height / 3 - 1


def test_at_plain_text_the_picture_and_the_whole_console_are_in_sight_together():
    for size in ((1280, 720), (1600, 900), (3840, 2160)):
        console = next(p for p in all_seen(size, 1.0, "en") if p.page == "console")
        assert not any(w.name == "sheet.console.bar" for w in console.widgets)  # nothing to scroll
        picture = next(w for w in console.widgets if w.name == "picture")
        assert picture.rect.height >= 0.45 * console.screen.height


def test_every_tab_says_the_name_of_its_sheet():
    for size, scale, language in (look.values for look in LOOKS):
        page = next(p for p in all_seen(size, scale, language) if p.page == "console")
        drawn = [text.drawn for text in page.texts]
        for widget in page.widgets:
            if widget.name.startswith("tab.") and widget.name != "tab.instructor":
                inside = [each.text for each in drawn if widget.rect.contains(each.rect)]
                assert widget.label in inside, widget.name
