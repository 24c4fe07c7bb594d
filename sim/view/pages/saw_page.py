"""The saw: top bar with the emergency stop, the picture, the coach line, and one sheet under them.

The sheet is where the trainee stands: at the console, walking round, looking, locking out, naming the
cause. The picture and the stops stay whatever sheet is open. The strip of the hands comes and goes in
the picture's own place, so that nothing below it moves.
"""

from collections.abc import Callable, Hashable
from typing import Final

from pygame import Rect

from sim.session.session import Session
from sim.signals import BY_KEY
from sim.view.console.ask_strip import (
    FINISH,
    FINISH_IT,
    LEAVE,
    LEAVE_IT,
    Question,
    ask_height,
    ask_strip,
    wants_asking,
)
from sim.view.console.banner import banner, banner_height
from sim.view.console.coach import coach_line
from sim.view.console.hands_strip import hands_height, hands_show, hands_strip
from sim.view.console.harm_strip import harm_height, harm_strip
from sim.view.console.keys import emergency_corner
from sim.view.console.lesson_strip import lesson_height, lesson_strip
from sim.view.console.stage_banner import (
    note_height,
    note_strip,
    stands_banner,
    time_stands,
)
from sim.view.console.stop_keys import APART, ROW, stop_keys, stops_height, stops_width
from sim.view.kit.bars import bar_title, pace_keys
from sim.view.kit.bubble import Bubble, Explained
from sim.view.kit.column import Filled
from sim.view.kit.controls import Style, button, button_width
from sim.view.kit.layout import from_bottom, from_left, from_right, from_top, inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.scrolling import Scrolls
from sim.view.kit.widget import Mood, Stroke, Widget
from sim.view.pages.tabs import BY_KEY as TAB_KEYS
from sim.view.pages.tabs import SHEETS, tab_row, tabs_height
from sim.view.picture.callouts import callouts
from sim.view.picture.devices import devices
from sim.view.picture.phase import phase
from sim.view.picture.picture import picture, tag_height
from sim.view.picture.stage_picture import (
    Stand,
    in_metal,
    look_another_way,
    round_place,
    stage_line,
    stage_picture,
    strip_height,
)
from sim.view.picture.word_pictures import explained
from sim.view.picture.wreck import wreck_card
from sim.view.play.asking import told_of
from sim.view.play.back_key import BACK_KEY
from sim.view.play.console_rows import BY_LETTER, CAPS, EMERGENCY, PRESS_THROUGH, STOPS, letter_of
from sim.view.play.hands import THROUGH
from sim.view.play.key_words import acts_on_console, called
from sim.view.play.play import Play
from sim.view.play.sheet import Sheet
from sim.words.message import NOTHING, plain, quoted
from sim.words.speech import reader, say, tell

_LEAST_SHEET_EMS: Final = 7
_TAGS_EMS: Final = 6  # height of the picture, below which it has no tags
_ASK_WHICH: Final = plain("window.ask-which", "Why not? Press the letter of the key you ask about.")
_FINISH: Final = Style("raised", "ink", "white")
_NARROW_EMS: Final = 80  # below which the words of the emergency stop take two lines
_BANNER_EMS: Final = 1.5  # where time stands and there is no line to say it in
_TITLE_EMS: Final = 9  # with less room the bar has no title


class SawPage:
    """The page of one session."""

    name = "saw"
    explains = True
    spared: tuple[str, ...] = (f"key.{EMERGENCY.key}",)

    def __init__(
        self,
        play: Play,
        leave: Callable[[], None],
        finish: Callable[[], None],
        settings: Callable[[], None],
        go_back: Callable[[], None],
    ) -> None:
        self.play = play
        self.scrolls = Scrolls()
        self._leave = leave
        self._finish = finish
        self._settings = settings
        self._go_back = go_back
        self._harm: Hashable = None  # what stood on the page of what came to harm
        self._events = 0
        self._claim = ""
        self._over = False
        self._busy = ""
        self._sawing = False  # the band was in metal when the page was built
        self._stood = "", 0  # how time stood, and how many notes were unread
        self._banner = NOTHING
        self._apart = False  # the console scrolls, and the stops stand above it as well
        self._question: Question | None = None  # before the session is left in its midst
        self._asking = False  # the next letter asks why, and presses nothing
        self._kit: Kit | None = None
        self._round: Rect | None = None  # where the saw in the round is, with what lies before it
        self._word: tuple[Hashable, Explained | None] | None = None  # that was explained last
        self._lit: frozenset[str] = frozenset()  # what was brought into sight last

    def stale(self) -> bool:
        """Return whether the tree must be built anew; true once."""
        play = self.play
        play.guide.tick()
        events = len(play.session.heard.events)
        grown = events != self._events and not self._sheet.live
        ended = play.session.over != self._over
        moved = self._sheet.moved(play)
        warned = play.session.bench.banner != self._banner
        busy = hands_show(play)
        handed, self._busy = busy != self._busy, busy
        stands = time_stands(play), len(play.notes.unread)
        stood, self._stood = stands != self._stood, stands
        sawing = in_metal(play.session)
        begun, self._sawing = sawing != self._sawing, sawing
        harm = play.aftermath.face
        harmed, self._harm = harm != self._harm, harm
        if harmed and play.aftermath.card:
            self._claim = "wreck."
        stale = (
            begun
            or harmed
            or stood
            or play.changed
            or self.scrolls.moved
            or grown
            or ended
            or moved
            or warned
            or handed
        )
        self._banner = play.session.bench.banner
        self._events = events
        self._over = play.session.over
        play.changed = self.scrolls.moved = False
        return stale

    # Building -----------------------------------------------------------------------------

    def build(self, kit: Kit, area: Rect) -> Widget:
        """Return the tree for an area."""
        self._kit, self._word = kit, None
        gap = kit.px(0.4)
        narrow = area.width < kit.px(_NARROW_EMS)
        bar, rest = from_top(area, max(kit.px(3.0 if narrow else 2.6), 32))
        inner = inset(rest, kit.px(0.8), gap)
        play = self.play
        coach_high = max(2 * kit.letters.line("small") + kit.px(0.3), kit.px(2.3))
        tabs_high = tabs_height(kit, inner.width)
        least = max(-(-area.height // 3), kit.px(7))
        step_high = lesson_height(kit, inner.width, play)
        warn_high = banner_height(kit, inner.width, play.session.bench)
        strips = sum(high + gap for high in (step_high, warn_high) if high)
        wanted = self._sheet_height(kit, inner.width)
        fixed = coach_high + tabs_high + 3 * gap
        self._apart = play.tab == "console" and fixed + strips + wanted + least > inner.height
        if play.tab != "console" or self._apart:  # else all stops are in sight, at their parts
            coach_high = max(coach_high, stops_height(kit, inner.width))
            fixed = coach_high + tabs_high + 3 * gap
        cramped = inner.height - fixed - strips - least < kit.px(_LEAST_SHEET_EMS)
        if cramped:  # the step scrolls with the sheet, and the warning has one line
            warn_high = banner_height(kit, inner.width, play.session.bench, lines=1)
            step_high = 0
            strips = warn_high + gap if warn_high else 0
        high = max(inner.height - fixed - strips - wanted, least)
        shown, below = from_top(inner, high, gap)
        whole = shown.height
        over, shown = self._come_and_go(kit, shown, gap)
        under = whole - shown.height
        if warn_high:
            strip, below = from_top(below, warn_high, gap)
            over.append(banner(kit, strip, play.session.bench, self._to_meddling))
        if step_high:
            strip, below = from_top(below, step_high, gap)
            over.append(lesson_strip(kit, strip, play))
        line, below = from_top(below, coach_high, gap)
        tabs, sheet = from_top(below, tabs_high, gap)
        stops: list[Widget] = []
        if play.tab != "console" or self._apart:
            wide = stops_width(kit, line.width)
            spot, line = from_right(line, wide, kit.px(0.6))
            named = APART if self._apart else "key"
            stops.append(stop_keys(kit, spot, play.session, play.hands, named))
        pane = self._pane(kit, sheet, with_step=cramped)
        self._bring_into_sight(pane)
        return Widget(
            "page",
            area,
            children=[
                self._bar(kit, bar),
                self._picture(kit, shown, under),
                *over,
                coach_line(kit, line, self.play),
                *stops,
                tab_row(kit, tabs, self.play),
                pane,
            ],
        )

    def _bring_into_sight(self, pane: Widget) -> None:
        """Scroll to what is lit on the sheet that is open; once, so that whoever scrolls on is left in peace."""
        lights = self.lights()
        if lights != self._lit:
            self._lit = lights
            for widget in pane.walk():
                if widget.name in lights and widget.seen != widget.rect:
                    self.scrolls.reveal(widget)
                    break

    def explained(self, term: str) -> Explained | None:
        """Return what a word of the trade means, and its picture: a part as it is seen now, else a drawing."""
        play, kit = self.play, self._kit
        if kit is None:
            return None
        place = tuple(self._round) if self._round is not None else None
        key = term, reader(), place, play.outlook.camera, kit.em
        if self._word is None or self._word[0] != key:
            found = explained(term, play.session, play.outlook.camera, self._round, kit.palette)
            self._word = key, found
        return self._word[1]

    def interrupt(self) -> bool:
        """End what is shown on a copy."""
        shown = self.play.on_copy.running
        self.play.on_copy.end()
        return shown

    def acts_at_once(self, stroke: Stroke) -> bool:
        """Return whether a key is a stop."""
        return BY_LETTER.get(stroke.name) in STOPS

    @property
    def by_ghost(self) -> bool:
        """Whether what is lit is done on a copy."""
        return self.play.on_copy.running

    def lights(self) -> frozenset[str]:
        """Return what the step of a lesson lights: where its next act is done, and the tab of that sheet."""
        play = self.play
        light = play.on_copy.light if play.on_copy.running else play.guide.light
        if light is None:
            return frozenset()
        found = {
            *light.names,
            *(f"{APART}.{name[4:]}" for name in light.names if name[:4] == "key."),
        }
        if light.sheet != play.tab and not any(n.startswith(f"{play.tab}.") for n in light.names):
            found.add(f"tab.{light.sheet}")
        return frozenset(found)

    def _come_and_go(self, kit: Kit, area: Rect, gap: int) -> tuple[list[Widget], Rect]:
        """Return the strips under the picture that are there now, in its place, and what is left of that."""
        play, question = self.play, self._question
        found: list[Widget] = []
        if question is not None:
            high = min(ask_height(kit, area.width, question), area.height)
            strip, area = from_bottom(area, high, gap)
            found.append(ask_strip(kit, strip, question, self._stay))
        if play.aftermath.strip is not None:
            high = min(harm_height(kit, area.width, play), area.height)
            strip, area = from_bottom(area, high, gap)
            found.append(harm_strip(kit, strip, play, self._go_back))
        for height, strip_of in ((note_height, note_strip), (hands_height, hands_strip)):
            high = min(height(kit, area.width, play), area.height)
            if (
                question is not None
                and strip_of is note_strip
                and area.height - high < kit.px(_TAGS_EMS)
            ):
                continue  # it stands again when the question is answered
            if high:
                strip, area = from_bottom(area, high, gap)
                found.append(strip_of(kit, strip, play))
        return found, area

    def _picture(self, kit: Kit, area: Rect, under: int) -> Widget:
        play = self.play
        stand = Stand(
            play.session, play.outlook, play.refresh, self._pick, play.points, play.guide,
            play.ears.captions if play.captions else None, play.aftermath,
        )  # fmt: skip
        copy = play.on_copy.copy
        if copy is not None:
            stand = Stand(copy, play.outlook, play.refresh, on_copy=play.on_copy)
        drawn = play.outlook.drawing or self._sheet.tags == "devices"
        drawn = drawn and copy is None  # which is shown in the round
        drawn = drawn and not play.aftermath.playing  # which is shown in the round
        banners: list[Widget] = []
        seen_high = area.height if drawn else area.height + under  # by which the picture has a line
        if time_stands(play) and not strip_height(kit, seen_high):
            place, area = from_top(area, max(kit.px(_BANNER_EMS), 26))
            banners.append(stands_banner(kit, place, play, ""))
        shown = (
            self._drawing(kit, area, stand)
            if drawn
            else stage_picture(kit, area, stand, under=under)
        )
        self._round = None if drawn else round_place(shown, under)
        if play.aftermath.card:
            shown.children += wreck_card(
                kit, area, play.session, self._finish, self._go_back, aside=not drawn
            )
        if time_stands(play):
            _say_that_it_stands(kit, shown, play, stand.session)
        shown.children += banners
        return shown

    def _drawing(self, kit: Kit, area: Rect, stand: Stand) -> Widget:
        """Return plan and end view, under the line of words."""
        high = strip_height(kit, area.height)
        strip, rest = from_top(area, high)
        line = stage_line(kit, strip, stand) if high else []
        shown = self._views(kit, rest)
        return Widget("picture", area, children=[*line, shown], label=shown.label)

    def _views(self, kit: Kit, area: Rect) -> Widget:
        play = self.play
        if play.session.saw.plant.site.wrecked or area.height < kit.px(_TAGS_EMS):
            return picture(kit, area, play.session, (), wanted=False, name="drawing")
        if self._sheet.tags == "devices":
            tags = devices(kit, play.session, self._pick_device)
        else:
            tags = callouts(kit, play.points, self._pick, tag_height(kit, area.height))
        wanted = bool(self._sheet.tags)
        return picture(kit, area, play.session, tags, wanted=wanted, name="drawing")

    def _sheet_height(self, kit: Kit, width: int) -> int:
        """Return how high the sheet would be: a tall one takes all it can get, the others the console's."""
        if self._sheet.tall:
            return kit.px(100)
        return SHEETS["console"].fill(kit, Rect(0, 0, width, 0), self.play)[1]

    @property
    def _sheet(self) -> Sheet:
        return SHEETS[self.play.tab]

    def _pane(self, kit: Kit, area: Rect, *, with_step: bool) -> Widget:
        play = self.play

        def content(place: Rect) -> Filled:
            return self._sheet.fill(kit, place, play)

        def step_and_content(place: Rect) -> Filled:
            high = lesson_height(kit, place.width, play)
            if not high:
                return content(place)
            strip, rest = from_top(place, high, kit.px(0.4))
            widgets, height = content(rest)
            return [lesson_strip(kit, strip, play), *widgets], height + rest.top - place.top

        part = self._sheet.part(play)
        name = f"sheet.{play.tab}.{part}" if part else f"sheet.{play.tab}"
        return self.scrolls.pane(kit, name, area, step_and_content if with_step else content)

    def _to_meddling(self) -> None:
        self.play.go("bench")
        self.play.show_part("meddle")

    def _bar(self, kit: Kit, area: Rect) -> Widget:
        play = self.play
        inner = inset(area, kit.px(0.8), kit.px(0.2))
        gap = kit.px(0.4)
        stop, inner = emergency_corner(kit, inner, play.hands)
        children: list[Widget] = []
        place, inner = from_left(inner, button_width(kit, "", mark="home"), gap)
        children.append(button("bar.home", place, "", self._ask_to_leave, mark="home"))
        place, inner = from_right(inner, button_width(kit, "", mark="gear"), gap)
        children.append(button("bar.settings", place, "", self._settings, mark="gear"))
        words = say("Finish")
        place, inner = from_right(inner, button_width(kit, words) + kit.px(0.6), gap)
        children.append(button("bar.finish", place, words, self._ask_to_finish, style=_FINISH))
        keys, inner = pace_keys(kit, "bar", inner, play)
        children += keys
        place, inner = from_right(inner, kit.px(5), gap)
        children.append(_clock(place, play))
        if inner.width >= kit.px(_TITLE_EMS):
            title = tell(quoted(play.session.scenario.title))
            children.append(bar_title("bar.title", inner, title))
        children.append(stop)
        return Widget("bar", area, _bar_paint, children=children)

    def _ask_to_finish(self) -> None:
        self._ask_first(Question(FINISH, FINISH_IT, self._finish))

    def _ask_to_leave(self) -> None:
        self._ask_first(Question(LEAVE, LEAVE_IT, self._leave))

    def _ask_first(self, question: Question) -> None:
        if wants_asking(self.play.session, finishing=question.asks is FINISH):
            self._question, self._claim = question, "ask.no"
            self.play.refresh()
        else:
            question.do()

    def _stay(self) -> None:
        self._question = None
        self.play.refresh()

    def _pick(self, name: str) -> None:
        self.play.go("walk")
        self._claim = f"walk.{name}."

    def _pick_device(self, tag: str) -> None:
        self.play.show_signal(tag)
        self._claim = f"signal.{tag}"

    def claim(self) -> str:
        """Return how the widget is called that the keyboard is to go to; once."""
        claim, self._claim = self._claim, ""
        return claim

    # Hands --------------------------------------------------------------------------------

    def stroke(self, stroke: Stroke) -> bool:
        """Take a key that no widget wanted."""
        play = self.play
        if stroke.name == "f10":
            self._settings()
        elif stroke.name in TAB_KEYS:
            play.go(TAB_KEYS[stroke.name])
        elif self._of_time(stroke):
            pass
        elif stroke.name == "escape":
            self._escape()
        elif self._asking and stroke.name in BY_LETTER:
            self._asking = False
            self.why(f"key.{BY_LETTER[stroke.name]}")
        elif BY_LETTER.get(stroke.name) in STOPS or (play.tab == "console" and _is_key(stroke)):
            play.hands.press(f"key {stroke.name}", BY_LETTER[stroke.name])
        elif play.tab == "console" and stroke.name == PRESS_THROUGH:
            play.hands.squeeze(f"key {stroke.name}", THROUGH)
        elif _is_key(stroke):
            play.say(acts_on_console(called(BY_LETTER[stroke.name])))
        else:
            return self._look(stroke)
        return True

    def _of_time(self, stroke: Stroke) -> bool:
        """Have time stand, go on, go faster or go back, if the key is one of those."""
        play = self.play
        if stroke.name == "space":
            play.toggle_pause()
        elif stroke.name in (",", "."):
            play.change_speed(1 if stroke.name == "." else -1)
        elif stroke.name == BACK_KEY and play.aftermath.offers:
            self._go_back()
        else:
            return False
        return True

    def _look(self, stroke: Stroke) -> bool:
        """Look at the saw another way, if the key is one of those."""
        looked = look_another_way(self.play.outlook, stroke.name)
        if looked:
            self.play.refresh()
        return looked

    def refresh(self) -> None:
        """Have the page built anew."""
        self.play.refresh()

    def _escape(self) -> None:
        """Break off what the hands do; with them free, take back a question, or go to the console."""
        if self._question is not None and self.play.busy is None:
            self._stay()
        else:
            self.play.escape()

    def why(self, name: str) -> None:
        """Say beside a key of the console what stands against it, before it is pressed.

        Where the keyboard is on no key, the next letter says which is meant.
        """
        kind, _, key = name.partition(".")
        if kind in ("key", APART) and key in BY_KEY:
            letter = letter_of(CAPS[key])
            keys = letter if key == EMERGENCY.key else f"Ctrl {letter}"
            self.play.hands.tell(key, told_of(self.play.session, key, keys))
        else:
            self._asking = True
            self.play.say(_ASK_WHICH)

    def unstroke(self, name: str) -> None:
        """Take a key coming up."""
        self.play.hands.release(f"key {name}")

    def let_go(self) -> None:
        """Take every hand off."""
        self.play.on_copy.end()
        self.play.hands.let_go()

    def bubble(self) -> Bubble | None:
        """Return why the last key was refused, beside it, for a while."""
        refused = self.play.hands.refused
        if refused is None or refused.stale:
            return None
        kind = APART if self._apart and refused.key in ROW else "key"
        beside, said = f"{kind}.{refused.key}", tell(refused.said)
        return Bubble(beside, said, refusal=refused.refusal, spares="hands")


def _say_that_it_stands(kit: Kit, shown: Widget, play: Play, session: Session) -> None:
    """Have the banner in place of what the line over the picture says and what is heard."""
    line = [w for w in shown.children if w.name in ("phase", "captions")]
    if line:
        place = line[0].rect.unionall([w.rect for w in line])
        keys = [w.rect.left for w in shown.children if w.name.startswith("stage.")]
        place.width = min([shown.rect.right, *(left - kit.px(0.5) for left in keys)]) - place.left
        shown.children = [w for w in shown.children if w not in line]
        shown.children.append(stands_banner(kit, place, play, tell(phase(session))))


def _is_key(stroke: Stroke) -> bool:
    return stroke.name in BY_LETTER and not stroke.ctrl


def _bar_paint(pen: Pen, place: Rect, _mood: Mood) -> None:
    pen.fill(place, pen.palette.panel)
    edge, _ = from_bottom(place, pen.hairline)
    pen.fill(edge, pen.palette.hair)


def _clock(rect: Rect, play: Play) -> Widget:
    session = play.session

    def words() -> str:
        return reader().clock(session.saw.clock.now_us, tenths=True)

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        pen.figures(words(), place, role="lead")

    return Widget("bar.clock", rect, paint, words, label=say("time"))
