"""The stage: the saw in the round, beside it the cut while the band is in metal, and one line of words.

The drawing is `picture.picture`; which of the two is shown, and from where, is the outlook's.
"""

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from pygame import Rect

from sim.records.acts import Pressed, Released
from sim.session.session import Session
from sim.session.sights.known import hides
from sim.view.kit.controls import QUIET, button, button_width, focus_ring
from sim.view.kit.layout import from_left, from_right, from_top
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Stroke, Widget
from sim.view.picture.naming import (
    middle_of,
    paint_ghosts,
    paint_halo,
    paint_light,
    paint_names,
    paint_plate,
)
from sim.view.picture.phase import phase
from sim.view.picture.round.camera import SIGHTS, Sight
from sim.view.picture.round.closeup import close_to
from sim.view.picture.round.colours import paints
from sim.view.picture.round.cut import cut_of, foot_height
from sim.view.picture.round.frame import PALMS
from sim.view.picture.round.parts import PARTS, part_of_act
from sim.view.picture.round.view import Areas, RoundShown, round_of
from sim.view.play.aftermath import Aftermath
from sim.view.play.guide import StepGuide
from sim.view.play.motion import running_us
from sim.view.play.on_copy import OnCopy
from sim.view.play.outlook import Outlook
from sim.view.play.points import Points
from sim.words.message import plain
from sim.words.speech import say, tell

_STRIP_EMS: Final = 1.7
_LEAST_EMS: Final = 8  # of height, with which there is a line of words
_WORDS_EMS: Final = 31  # that the phase takes of the line
_SHOWS: Final = plain("phase.shows", "In slow motion: what comes of it.")
_AT_HAND: Final = (
    "cabinet",
    "trip_line",
    "stop",
    "air",
)  # parts whose keys are on them, not on the console
_GHOST_STEPS: Final = 60  # of ghost hands on their way
_RUNS_US: Final = 16_000  # what runs is drawn anew this often
_KEYS: Final = {
    "home": Outlook.turn, "end": Outlook.toggle_drawing, "delete": Outlook.toggle_names,
}  # fmt: skip


def look_another_way(outlook: Outlook, key: str) -> bool:
    """Take a key of the keyboard, if it is one by which the saw is looked at another way."""
    if key not in _KEYS:
        return False
    _KEYS[key](outlook)
    return True


def strip_height(kit: Kit, high: int) -> int:
    """Return how high the line of words is over a picture of a height, px; 0 where there is no room."""
    return max(kit.px(_STRIP_EMS), 26) if high >= kit.px(_LEAST_EMS) else 0


@dataclass(frozen=True)
class Stand:
    """Where somebody stands before the stage.

    Attributes:
        session: Whose saw it is.
        outlook: From where it is looked at, and with what names.
        refresh: Has the page built anew, after another choice.
        pick: Called with the first set-up point of a part that was clicked; None where nothing is set.
        points: What may be read of them; None where nothing is set.
        guide: Which part the step of a lesson lights.
        captions: Returns what is heard, in words; None for no captions.
        aftermath: What is shown of what came to harm; None where nothing is.
        on_copy: What is shown on a copy, where `session` is that.
    """

    session: Session
    outlook: Outlook
    refresh: Callable[[], None]
    pick: Callable[[str], None] | None = None
    points: Points | None = None
    guide: StepGuide | None = None
    captions: Callable[[], tuple[str, ...]] | None = None
    aftermath: Aftermath | None = None
    on_copy: OnCopy | None = None

    @property
    def shows(self) -> bool:
        """Whether it is shown just now how it would have gone on."""
        return self.aftermath is not None and self.aftermath.playing

    @property
    def sight(self) -> Sight:
        """From where the saw is looked at now."""
        after = self.aftermath
        if self.shows and after is not None and after.harm is not None:
            return close_to(after.harm.kind)
        return SIGHTS[self.outlook.camera]


def stage_picture(kit: Kit, area: Rect, stand: Stand, *, under: int = 0) -> Widget:
    """Return the stage in the given area.

    Args:
        kit: Letters and colours.
        area: Where it goes.
        stand: Whose saw, and from where it is looked at.
        under: How many px more it would have if nothing lay below it for a while: the saw keeps its place.
    """
    session = stand.session
    high = strip_height(kit, area.height + under)
    strip, shown = from_top(area, high)
    children: list[Widget] = []
    if high:
        children += stage_line(kit, strip, stand)
    if in_metal(session) and not stand.shows:
        place, shown = from_right(shown, shown.width // 2, max(kit.px(0.3), 4))
        children.append(_cut(kit, place, session))
    whole = Rect(shown.left, shown.top, shown.width, shown.height + under)
    seen = round_of(session, stand.sight, whole, whole, kit.palette)
    children.append(_Shown(seen, stand).widget(shown))
    return Widget("picture", area, _ground, children=children, label=say("the machine"))


def round_place(picture: Widget, under: int) -> Rect | None:
    """Return where the saw in the round is drawn on a stage, with what lies before its lower edge."""
    found = next((each for each in picture.walk() if each.name == "round"), None)
    if found is None:
        return None
    return Rect(found.rect.left, found.rect.top, found.rect.width, found.rect.height + under)


def in_metal(session: Session) -> bool:
    """Whether the band is in metal, so that half of the stage is the cut."""
    plant = session.saw.plant
    return plant.head.cutting is not None and not plant.site.wrecked


def _cut(kit: Kit, area: Rect, session: Session) -> Widget:
    told = area.height >= kit.px(_LEAST_EMS) and not hides(session)
    foot = foot_height(kit.em) if told else 0
    seen = cut_of(session, area, foot, paints(kit.palette))

    def face() -> Hashable:
        return running_us(session) // _RUNS_US, seen.face()

    def paint(pen: Pen, _place: Rect, _mood: Mood) -> None:
        seen.paint(pen)

    return Widget("cut", area, paint, face, label=say("the cut"), covers=True)


def _ground(pen: Pen, place: Rect, _mood: Mood) -> None:
    pen.fill(place, pen.palette.paper)


class _Shown:
    """The picture in the round as a widget: what it shows, and what pointer and arrows do on it."""

    def __init__(self, seen: RoundShown, stand: "Stand") -> None:
        self._seen, self._stand = seen, stand

    def widget(self, area: Rect) -> Widget:
        """Return it in its place; once the run has ended its card lies over it, and it takes no hand."""
        over = self._stand.session.saw.plant.site.wrecked
        act = Act(click=self._click, hover=self._hover, stroke=self._stroke)
        label = say("the saw in the round")
        return Widget(
            "round", area, self._paint, self._face, None if over else act, label=label, covers=True
        )

    def _asked(self) -> str:
        guide = self._stand.on_copy or self._stand.guide
        light = guide.light if guide is not None else None
        return part_of_act(light.act) if light is not None else ""

    def _reads(self) -> tuple[Hashable, ...]:
        lit, points = self._stand.outlook.lit, self._stand.points
        if not lit or points is None:
            return ()
        return tuple(points.face(row) for row in points.rows if row.name in PARTS[lit].points)

    def _run_reel(self) -> None:
        """Have the picture show what would have happened, as far as that is."""
        after = self._stand.aftermath
        if after is not None and after.playing and after.harm is not None:
            self._seen.reel.run(after.harm.kind, after.share)
        else:
            self._seen.reel.run("", 1.0)

    def _face(self) -> Hashable:
        self._run_reel()
        seen, outlook = self._seen, self._stand.outlook
        tick = running_us(self._stand.session) // _RUNS_US if seen.runs() else 0
        return (
            tick,
            seen.face(),
            self._ghosts(),
            seen.reel.face,
            outlook.lit,
            self._reads(),
            outlook.names,
            self._asked(),
        )

    def _paint(self, pen: Pen, place: Rect, mood: Mood) -> None:
        self._run_reel()
        seen, outlook = self._seen, self._stand.outlook
        seen.paint(pen.surface)
        asked, lit = self._asked(), outlook.lit
        if asked or lit or outlook.names or self._stand.on_copy is not None:
            areas = seen.areas()
            paint_light(pen, place, areas, asked)
            self._paint_ghosts(pen, place, areas, asked)
            if lit:  # words lie over every line
                paint_halo(pen, place, areas, frozenset((lit,)), pen.palette.white, 3)
            if outlook.names:
                paint_names(pen, place, areas)
            if lit:
                paint_plate(pen, place, seen, areas, lit, self._stand.points)
        focus_ring(pen, place, mood)

    def _ghosts(self) -> Hashable:
        """Return where ghost hands are, in as many steps as they are drawn in."""
        shown = self._stand.on_copy
        return None if shown is None else (shown.act, round(shown.share * _GHOST_STEPS))

    def _paint_ghosts(self, pen: Pen, place: Rect, areas: Areas, asked: str) -> None:
        """Draw ghost hands on their way from the console to the part where the act is done."""
        shown = self._stand.on_copy
        if shown is not None:
            there = asked if asked in _AT_HAND or not _is_keyed(shown.act) else "console"
            at = middle_of(areas, there, place) if there else None
            rests = [self._seen.camera.at(*spot) for spot in PALMS]
            paint_ghosts(pen, place, rests, at, shown.share)

    def _hover(self, place: tuple[int, int] | None) -> None:
        self._stand.outlook.lit = self._seen.part_at(place) if place is not None else ""

    def _click(self) -> None:
        lit = self._stand.outlook.lit
        if lit and PARTS[lit].points and self._stand.pick is not None:
            self._stand.pick(PARTS[lit].points[0])

    def _stroke(self, stroke: Stroke) -> bool:
        step = {"left": -1, "right": 1}.get(stroke.name)
        if step is None:
            return False
        outlook = self._stand.outlook
        outlook.lit = _next(self._seen, outlook.lit, step)
        return True


def _is_keyed(act: object) -> bool:
    """Return whether an act is done with a key: hands are then at the console, and not at what it moves."""
    return isinstance(act, Pressed | Released)


def _next(seen: RoundShown, lit: str, step: int) -> str:
    """Return the part beside another, from left to right as they are seen."""
    middles: dict[str, float] = {}
    for name, places in seen.areas():
        if seen.camera.area.collidepoint(places[0]):
            middles.setdefault(name, sum(x for x, _ in places) / len(places))
    names = sorted(middles, key=lambda name: middles[name])
    here = names.index(lit) if lit in names else (-1 if step > 0 else 0)
    return names[(here + step) % len(names)] if names else ""


def stage_line(kit: Kit, strip: Rect, stand: Stand) -> list[Widget]:
    """Return the line over the picture: what the saw does, what is heard, and the keys of the outlook."""
    session, captions = stand.session, stand.captions
    keys, rest = _keys(kit, strip, stand.outlook, stand.refresh)
    words, heard = from_left(rest, min(kit.px(_WORDS_EMS), rest.width), kit.px(0.8))

    def said() -> str:
        return tell(_SHOWS if stand.shows else phase(session))

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        pen.fill(place, pen.palette.paper)
        inner = place.inflate(-2 * pen.px(0.5), 0)
        pen.fitted(said(), inner, ("body", "small", "fine"), bold=True)

    children = [Widget("phase", words, paint, said, label=say("what the saw does")), *keys]
    if captions is not None and heard.width >= kit.px(9):
        children.append(_captions(kit, heard, captions))
    return children


def _keys(
    kit: Kit, strip: Rect, outlook: Outlook, refresh: Callable[[], None]
) -> tuple[list[Widget], Rect]:
    """Return the keys of the outlook at the right of the line, as many as there is room for, and what is left."""

    def then(change: Callable[[], None]) -> Callable[[], None]:
        def click() -> None:
            change()
            refresh()

        return click

    rows = (
        ("stage.names", say("Names"), say("Del", "key"), then(outlook.toggle_names), lambda: outlook.names),
        ("stage.drawing", say("Drawing"), say("End", "key"), then(outlook.toggle_drawing), lambda: outlook.drawing),
        ("stage.camera", tell(SIGHTS[outlook.camera].title), say("Home", "key"), then(outlook.turn), None),
    )  # fmt: skip
    rest, found = strip, []
    place_high = max(strip.height - kit.px(0.2), 24)
    for name, words, hint, click, chosen in rows:
        wide = button_width(kit, words, hint=hint, role="small") + kit.px(0.4)
        if rest.width - wide < kit.px(10):
            break
        place, rest = from_right(rest, wide, kit.px(0.3))
        place = Rect(place.left, strip.top, wide, place_high)
        found.append(button(name, place, words, click, hint=hint, style=_KEY, chosen=chosen))
    return found, rest


_KEY: Final = replace(QUIET, role="small")


def _as_many(pen: Pen, words: Sequence[str], width: int) -> str:
    """Return as many of the captions as go on one line."""
    for count in range(len(words), 0, -1):
        said = " · ".join(words[:count])
        if pen.letters.width(said, "small") <= width:
            return said
    return ""


def _captions(kit: Kit, place: Rect, heard: Callable[[], tuple[str, ...]]) -> Widget:
    def paint(pen: Pen, at: Rect, _mood: Mood) -> None:
        words = heard()
        if not words:
            return
        mark, rest = from_left(at, pen.px(0.9), pen.px(0.4))
        said = _as_many(pen, words, rest.width)
        symbol(pen, "speaker", square_in(mark, pen.px(0.8)), pen.palette.soft)
        pen.text(said, rest, pen.palette.soft, role="small")

    return Widget("captions", place, paint, heard, label=say("captions"))
