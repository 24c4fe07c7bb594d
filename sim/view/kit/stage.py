"""The stage: keeps the page's tree of widgets, paints what changed, and brings hands to widgets.

Static widgets are painted once into a backdrop; the others are painted again only when their face
or their mood changed. Mouse and keyboard arrive as presses and releases with a source, so that two
keys can really be held at once. What came under the resting pointer by itself takes no click for
half a second. Never here: what a page is about.
"""

from collections.abc import Hashable
from math import dist
from typing import Final

from pygame import Rect, Surface

from sim.kernel.pacing import wall_s
from sim.view.kit.bubble import Bubble, as_fits, paint_bubble
from sim.view.kit.guide import ghost_on, ring_of_dots
from sim.view.kit.page import Page
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Stroke, Widget
from sim.view.kit.words import TermSpot

MOUSE = "mouse"
_SLIPPED_S: Final = 0.5
_RESTED_S: Final = 0.3  # that the pointer rests on a word before it is explained
_NEXT_WORD: Final = "insert"
_RESTS_EMS: Final = 1.5  # what the pointer moves by while it still rests
_NOWHERE: Final = (-10_000, -10_000)
_ARROWS = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}


class Stage:
    """One surface and the page on it."""

    def __init__(self, surface: Surface, kit: Kit, page: Page) -> None:
        self.page = page
        self.focus = ""
        self._hover = ""
        self._mouse: Widget | None = None
        self._mouse_from = (0, 0)
        self._keys: dict[str, Widget] = {}  # keyboard keys that press a widget
        self._pointer = _NOWHERE
        self._slipped_s = 0.0  # when another widget came under it by itself
        self._slipped_at = _NOWHERE
        self._word: TermSpot | None = None  # that is pointed at, or was gone to by its key
        self._word_of = ""  # the widget in which it stands
        self._word_s = 0.0  # from when on it is explained
        self.active: list[Widget] = []
        self.resize(surface, kit)

    def resize(self, surface: Surface, kit: Kit) -> None:
        """Go on with another surface or another kit."""
        self.surface = surface
        self.kit = kit
        self.pen = Pen(surface, kit)
        self._build()

    def show(self, page: Page) -> None:
        """Put another page on."""
        self._drop_hands()
        self.page = page
        self.focus = ""
        self._build()

    def _build(self) -> None:
        scrolled = self.page.scrolls.moved  # by a hand, who sees that
        under = self.at(self._pointer)
        self.page.stale()
        self._lay_out()
        claim = self.page.claim()
        wanted = next((w for w in self.stops() if claim and w.name.startswith(claim)), None)
        if wanted is not None:
            self.go_to(wanted)
        if self.page.scrolls.moved:  # by that: no frame shows it elsewhere first
            self.page.scrolls.moved = False
            self._lay_out()
        now = self.at(self._pointer)
        if not scrolled and (under and under.name) != (now and now.name):
            self._slipped_s, self._slipped_at = wall_s(), self._pointer

    def _lay_out(self) -> None:
        """Have the page's tree as the page is now."""
        area = self.surface.get_rect()
        self.page.scrolls.begin()
        self.tree = self.page.build(self.kit, area)
        widgets = list(self.tree.walk())
        self.static = [w for w in widgets if w.paint and not w.act and w.face is None]
        self.live = [w for w in widgets if w.paint and (w.act or w.face is not None)]
        self.active = [w for w in widgets if w.act]
        self._worded = [w for w in widgets if w.terms]
        self.pen.explains = self.page.explains
        self.by_name = {w.name: w for w in widgets}
        self._faces: list[Hashable] = []
        self._lit = self.page.lights()
        self._bubble: Bubble | None = None
        self._bubble_rect: Rect | None = None

    @property
    def looked_at(self) -> str:
        """The name of the widget that the pointer is on; where it is on none, that of the keyboard's."""
        return self._hover or self.focus

    # Painting -----------------------------------------------------------------------------

    def frame(self) -> list[Rect]:
        """Paint what changed since the last frame; return where."""
        scrolled = self.page.scrolls.moved
        if self.page.stale():
            self.page.scrolls.moved = scrolled
            self._build()
        if not self._faces:
            return self._paint_all()
        dirty: list[Rect] = []
        self._lit = self.page.lights()
        bubble = self.page.bubble() or self._explanation()
        if bubble != self._bubble:
            dirty += self._clear_bubble()
            self._bubble = bubble
        for index, widget in enumerate(self.live):
            face = self._face(widget)
            under = widget.floats and widget.seen.collidelist(dirty) >= 0
            if face != self._faces[index] or under:
                self._faces[index] = face
                dirty.append(self._repaint(widget, clear=not under))
        return dirty + self._paint_bubble(dirty)

    def _paint_all(self) -> list[Rect]:
        surface = self.surface
        surface.set_clip(None)
        surface.fill(self.kit.palette.ground)
        for widget in self.static:
            self._paint(widget)
        surface.set_clip(None)
        self.backdrop = surface.copy()
        self._faces = [self._face(widget) for widget in self.live]
        for widget in self.live:
            self._paint(widget)
        surface.set_clip(None)
        self._bubble = self.page.bubble() or self._explanation()
        self._paint_bubble([surface.get_rect()])
        return [surface.get_rect()]

    def _face(self, widget: Widget) -> Hashable:
        return (widget.face() if widget.face else None, self._mood(widget))

    def _mood(self, widget: Widget) -> Mood:
        if widget.act is None:
            return _INDIFFERENT
        held = widget is self._mouse or (bool(self._keys) and widget in self._keys.values())
        focused, hovered = widget.name == self.focus, widget.name == self._hover
        lit = widget.name in self._lit
        some = focused or hovered or held or lit
        ghost = lit and self.page.by_ghost
        return Mood(focused, hovered, held, lit, ghost) if some else _INDIFFERENT

    def _paint(self, widget: Widget) -> None:
        seen = widget.seen
        if widget.paint and seen.width > 0 and seen.height > 0:
            self.surface.set_clip(seen)
            mood = self._mood(widget)
            widget.paint(self.pen, widget.rect, mood)
            if mood.lit:
                ring_of_dots(self.pen, widget.rect)
            if mood.ghost:
                ghost_on(self.pen, widget.rect)

    def _repaint(self, widget: Widget, *, clear: bool = True) -> Rect:
        seen = widget.seen
        self.surface.set_clip(None)
        if clear and not widget.covers:
            self.surface.blit(self.backdrop, seen, seen)
        self._paint(widget)
        self.surface.set_clip(None)
        return seen

    def notice(self, text: str) -> None:
        """Paint a sentence over the middle of the page, now; the next frame paints all anew."""
        kit, screen = self.kit, self.surface.get_rect()
        width = min(kit.letters.width(text, "lead", True) + kit.px(3), screen.width)
        place = Rect(0, 0, width, kit.letters.line("lead") + kit.px(2))
        place.center = screen.center
        self.surface.set_clip(None)
        self.pen.box(place, kit.palette.panel, kit.palette.focus, radius=0.5, width=3)
        self.pen.text(text, place, role="lead", bold=True, align="centre")
        self._faces = []

    # Bubble -------------------------------------------------------------------------------

    def _clear_bubble(self) -> list[Rect]:
        if self._bubble_rect is None:
            return []
        gone, self._bubble_rect = self._bubble_rect, None
        self.surface.blit(self.backdrop, gone, gone)
        for widget in self.live:
            if widget.seen.colliderect(gone):
                self._repaint(widget)
        return [gone]

    def _paint_bubble(self, dirty: list[Rect]) -> list[Rect]:
        bubble = self._bubble
        if bubble is None or bubble.anchor not in self.by_name:
            return []
        if self._bubble_rect is not None and self._bubble_rect.collidelist(dirty) < 0:
            return []
        anchor = Rect(bubble.word[1]) if bubble.word else self.by_name[bubble.anchor].seen
        spared = [
            self.by_name[n].seen for n in (bubble.spares, *self.page.spared) if n in self.by_name
        ]
        bubble, place = as_fits(self.kit, bubble, anchor, self.surface.get_rect(), spared)
        paint_bubble(self.pen, bubble, anchor, place)
        reach = self.kit.px(0.8)
        self._bubble_rect = place.inflate(reach, reach).clip(self.surface.get_rect())
        return [self._bubble_rect]

    # Words of the trade -------------------------------------------------------------------

    def words(self) -> list[tuple[str, TermSpot]]:
        """Return every word in sight that is explained, each with the widget that it stands in."""
        return [
            (widget.name, spot)
            for widget in self._worded
            for spot in self._spots(widget)
            if widget.seen.contains(spot.rect)
        ]

    def _spots(self, widget: Widget) -> tuple[TermSpot, ...]:
        return widget.terms(self.pen, widget.rect) if widget.terms else ()

    def _point_at_word(self, place: tuple[int, int]) -> None:
        """Have the word at a place be explained after a moment."""
        found = None
        over = self.at(place)
        for widget in reversed(self._worded):
            if widget.seen.collidepoint(place):
                covered = (
                    over is not None and over is not widget and not over.rect.contains(widget.rect)
                )
                spots = () if covered else self._spots(widget)
                found = next(((widget.name, s) for s in spots if s.rect.collidepoint(place)), None)
                break
        self._go_to_word(found, _RESTED_S)

    def _go_to_word(self, found: tuple[str, TermSpot] | None, after_s: float) -> None:
        word = found[1] if found is not None else None
        if word != self._word:
            self._word, self._word_of = word, found[0] if found is not None else ""
            self._word_s = wall_s() + after_s

    def next_word(self, step: int) -> None:
        """Explain the next word in sight, or the one before: first that of the widget where the keyboard is."""
        words = self.words()
        if not words:
            return
        spots = [spot for _, spot in words]
        if self._word in spots:
            here = spots.index(self._word) + step
        else:
            here = next((i for i, (name, _) in enumerate(words) if name == self.focus), 0)
        self._word = None
        self._go_to_word(words[here % len(words)], 0.0)

    def _explanation(self) -> Bubble | None:
        """Return what the word means that is pointed at, once it has been for a moment."""
        spot = self._word
        if spot is None or wall_s() < self._word_s:
            return None
        widget = self.by_name.get(self._word_of)
        if widget is None or spot not in self._spots(widget):  # another text stands there now
            self._word = None
            self._point_at_word(self._pointer)
            return None
        explained = self.page.explained(spot.term)
        if explained is None:
            return None
        x, y, wide, high = spot.rect
        place = x, y, wide, high
        return Bubble(self._word_of, explained.text, spares="stops", word=(explained, place))

    # Hands --------------------------------------------------------------------------------

    def at(self, place: tuple[int, int]) -> Widget | None:
        """Return the topmost widget that does something at a place."""
        for widget in reversed(self.active):
            if widget.seen.collidepoint(place):
                return widget
        return None

    def _slipped(self) -> bool:
        """Return whether something else was under the pointer when it came to rest."""
        return self._slipped_at != _NOWHERE and wall_s() - self._slipped_s < _SLIPPED_S

    def _point(self, place: tuple[int, int]) -> None:
        """Have the pointer at a place; moved there, it was chosen by what is seen."""
        self._pointer = place
        if dist(place, self._slipped_at) > self.kit.px(_RESTS_EMS):
            self._slipped_at = _NOWHERE

    def mouse_down(self, place: tuple[int, int]) -> None:
        """Press the left button."""
        self._point(place)
        self._word = None
        widget = self.at(place)
        if self.page.interrupt() and not (widget and widget.act and widget.act.at_once):
            return
        if widget is not None and widget.act and not widget.act.at_once and self._slipped():
            widget = None
        self._mouse, self._mouse_from = widget, place
        if widget is None or widget.act is None:
            return
        if widget.act.focus:
            self.focus = widget.name
        if widget.act.press:
            widget.act.press(MOUSE)
        if widget.act.point:
            widget.act.point(place)

    def ask(self, place: tuple[int, int]) -> None:
        """Press the right button: ask what stands against what is there."""
        if self.page.interrupt():
            return
        widget = self.at(place)
        if widget is not None:
            self.page.why(widget.name)

    def mouse_up(self, place: tuple[int, int]) -> None:
        """Let the left button go."""
        widget, self._mouse = self._mouse, None
        if widget is None or widget.act is None:
            return
        if widget.act.release:
            widget.act.release(MOUSE)
        if widget.act.click and widget.seen.collidepoint(place):
            widget.act.click()

    def mouse_move(self, place: tuple[int, int]) -> None:
        """Move the pointer."""
        self._point(place)
        if self._mouse is not None and self._mouse.act and self._mouse.act.drag:
            self._mouse.act.drag(place[0] - self._mouse_from[0])
        found = self.at(place)
        left = self.by_name.get(self._hover)
        if left is not None and left is not found and left.act and left.act.hover:
            left.act.hover(None)
        if found is not None and found.act and found.act.hover:
            found.act.hover(place)
        self._hover = found.name if found is not None else ""
        self._point_at_word(place)

    def wheel(self, place: tuple[int, int], notches: int) -> None:
        """Turn the wheel; positive is away from the hand. It scrolls, and sets nothing."""
        self.page.scrolls.wheel(place, -notches * self.kit.px(3))

    def key_down(self, stroke: Stroke) -> None:
        """Press a key of the keyboard."""
        if self.page.interrupt() and not self.page.acts_at_once(stroke):
            return
        if stroke.name == _NEXT_WORD:
            self.next_word(-1 if stroke.shift else 1)
            return
        self._word = None
        widget = self.by_name.get(self.focus)
        act = widget.act if widget is not None else None
        if act and act.stroke and act.stroke(stroke):
            return
        if stroke.name == "tab":
            self.move_focus(-1 if stroke.shift else 1)
        elif stroke.name == "return" and widget is not None and act:
            self._keys[stroke.name] = widget
            if act.press:
                act.press(f"key {stroke.name}")
        elif stroke.text == "?":
            self.page.why(self.focus)
        elif self.page.stroke(stroke):
            pass
        elif stroke.name in _ARROWS:
            self.steer(*_ARROWS[stroke.name])

    def key_up(self, name: str) -> None:
        """Let a key of the keyboard go."""
        widget = self._keys.pop(name, None)
        if widget is not None and widget.act:
            if widget.act.release:
                widget.act.release(f"key {name}")
            if widget.act.click:
                widget.act.click()
            return
        self.page.unstroke(name)

    def let_go(self) -> None:
        """Take all hands off."""
        self._drop_hands()
        self.page.let_go()

    def _drop_hands(self) -> None:
        for source, widget in [
            (MOUSE, self._mouse),
            *((f"key {k}", w) for k, w in self._keys.items()),
        ]:
            if widget is not None and widget.act and widget.act.release:
                widget.act.release(source)
        self._mouse = None
        self._keys.clear()

    # Focus --------------------------------------------------------------------------------

    def stops(self) -> list[Widget]:
        """Return the widgets that the tab key visits, in order."""
        return [w for w in self.active if w.act and w.act.focus]

    def move_focus(self, step: int) -> None:
        """Go to the next widget in reading order, or the one before."""
        stops = self.stops()
        if not stops:
            return
        names = [w.name for w in stops]
        here = names.index(self.focus) if self.focus in names else (-1 if step > 0 else 0)
        self.go_to(stops[(here + step) % len(stops)])

    def steer(self, x: int, y: int) -> None:
        """Go to the nearest widget in a direction."""
        here = self.by_name.get(self.focus)
        if here is None:
            self.move_focus(1)
            return
        best: tuple[float, Widget] | None = None
        for widget in self.stops():
            dx = widget.rect.centerx - here.rect.centerx
            dy = widget.rect.centery - here.rect.centery
            ahead, aside = (dx * x, abs(dy)) if x else (dy * y, abs(dx))
            if widget is here or ahead <= 2:
                continue
            far = ahead + 2.5 * aside
            if best is None or far < best[0]:
                best = far, widget
        if best is not None:
            self.go_to(best[1])

    def go_to(self, widget: Widget) -> None:
        """Put the keyboard on a widget and bring it into sight."""
        self.focus = widget.name
        self.page.scrolls.reveal(widget)


_INDIFFERENT = Mood()
