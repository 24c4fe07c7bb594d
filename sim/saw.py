"""One saw: the plant and its controller on one clock and one bus. The only place that knows both.

Order of one move: a hand or an appointment changes something; the bus delivers every edge that
follows, plant and controller in turn, until nothing changes; the clock goes to its next
appointment. Nothing is polled, so it makes no difference how often somebody looks.
"""

import hashlib
import json
from collections.abc import Callable, Sequence
from dataclasses import astuple, dataclass, field
from math import degrees as degrees_of
from math import radians
from typing import Final

from sim.control import dials
from sim.control.controller import Controller, Times
from sim.control.decision import Decision, Refusal
from sim.control.site_rows import rows_of
from sim.errors import CommandError
from sim.kernel.clock import Clock
from sim.kernel.long_list import LongList
from sim.plant import set_points
from sim.plant.bar import CORNER_SEEN_M, Piece, Stock
from sim.plant.harm.consequences import Consequence
from sim.plant.machine import Machine
from sim.plant.mode_key import IN_POCKET
from sim.plant.padlocks import ISOLATOR
from sim.plant.plant import Plant
from sim.plant.set_points import Setting
from sim.signals import BY_KEY, BY_TAG, MODE_SWITCH, Bus, Source
from sim.units import US
from sim.words.fields import degrees, mm, name, part
from sim.words.message import NOTHING, Message, plain, row

SCALE_RAD: Final = radians(
    0.5
)  # as near as the scale of the swivel is read; common practice, no source


@dataclass(frozen=True, slots=True)
class Cut(Piece):
    """One parting cut: the piece, of length 0 when only the face was skimmed, and what it was taken for.

    By hand a cut on a bar that was not fed squares its end, as it lies: no piece is wanted of that.
    """

    squaring: bool = field(kw_only=True)
    counted: bool = field(kw_only=True)  # made by the job

    @property
    def is_piece(self) -> bool:
        """Whether a piece fell that was wanted, good or not: no squared end, no mere skim."""
        return self.length_m > 0.0 and not self.squaring

    @property
    def short_m(self) -> float:
        """Length along its shorter edge, m."""
        return self.length_m - self.lost_m

    @property
    def corner_gone(self) -> bool:
        """Whether a corner is missing that anybody sees."""
        return self.corner_m > CORNER_SEEN_M

    @property
    def ends_differ(self) -> bool:
        """Whether its two ends are not at one angle, as far as the scale of the swivel shows it."""
        return abs(self.front_rad - self.rear_rad) > SCALE_RAD


class Saw:
    """A training saw, run by keys, set points and time."""

    def __init__(self, machine: Machine, stock: Stock) -> None:
        self.clock = Clock()
        self.bus = Bus()
        self.plant = Plant(self.clock, self.bus, machine, stock)
        times = Times(
            deviation_us=round(machine.deviation_s * US),
            mode_rests_us=round(machine.mode_rest_s * US),
            jog_us=round(machine.jog_s * US),
        )
        self.controller = Controller(self.clock, self.bus, times, rows_of(machine.site_rows))
        self.cuts: LongList[Cut] = LongList()
        # What lay on the outfeed before the first of these; nothing that happens hangs on it.
        self.left: Callable[[], Sequence[Cut]] = tuple
        self.held: set[str] = set()  # keys under a hand
        self.after_moment: Callable[[], None] | None = None  # called when a moment has settled
        self.after_hand: Callable[[], None] | None = None  # called when a hand has done something
        self._answer: Decision | None = None
        self._on_cut: Callable[[Cut], None] = lambda _cut: None
        self.plant.on_piece(self._parted)
        self.controller.on_decision(self._answered)
        self.bus.settle()

    # What a person can do -----------------------------------------------------------------

    def press(self, key: str) -> Decision | None:
        """Put a hand on a key or a latch; return the controller's answer, None if it gives none.

        What a padlock or a missing key holds fast does not move, and the answer says so.

        Raises:
            CommandError: There is no such key.
        """
        return self._key(key, down=True)

    def release(self, key: str) -> Decision | None:
        """Let a key go, or turn a latch back.

        Raises:
            CommandError: There is no such key.
        """
        return self._key(key, down=False)

    def _key(self, key: str, *, down: bool) -> Decision | None:
        if key not in BY_KEY:
            raise CommandError(_NO_KEY(asked=repr(key)), where="press")
        wire = BY_KEY[key]
        stays = self._held_fast(key) if down else None
        if stays is not None:
            return Decision(key, False, (stays,))
        self._answer = None
        if wire.source is Source.SWITCH:
            if down:
                self._turn(wire.tag)
        else:
            (self.held.add if down else self.held.discard)(key)
            self.bus.drive(wire.tag, down != wire.normally_closed)
        self.bus.settle()
        self._hand_was_there()
        return self._answer

    def _held_fast(self, key: str) -> Refusal | None:
        """Return why the metal does not let a key be pressed, a latch or a switch be turned."""
        if BY_KEY[key].tag in MODE_SWITCH and self.plant.mode_key.place == IN_POCKET:
            return KEY_IN_POCKET
        locked = key == "supply.isolator" and self.plant.padlocks.on(ISOLATOR)
        return ISOLATOR_LOCKED if locked else None

    def _hand_was_there(self) -> None:
        if self.after_hand is not None:
            self.after_hand()

    def _turn(self, contact: str) -> None:
        """Turn the mode switch: the contact that it leaves opens before the other closes."""
        for tag in sorted(MODE_SWITCH, key=contact.__eq__):
            self.bus.drive(tag, tag == contact)

    def read(self, name: str) -> Setting:
        """Return a set point or a dial, in its own unit.

        Raises:
            CommandError: There is no such set point.
        """
        if name in set_points.BY_NAME:
            return set_points.BY_NAME[name].read(self.plant)
        if name in dials.BY_NAME:
            return dials.BY_NAME[name].read(self.controller.job)
        raise CommandError(_NOTHING_CALLED(asked=repr(name)), where="set")

    def blocked(self, name: str, setting: Setting | None = None) -> Message:
        """Return why a set point cannot be set now; nothing when it can.

        Args:
            name: Of the set point.
            setting: To which it is to be set; a lock may hold it against one and not against another.
        """
        point = set_points.BY_NAME.get(name)
        if point is None:
            return NOTHING
        held = point.locked(self.plant, setting) if setting is not None else NOTHING
        return point.blocked(self.plant) or held

    def set(self, name: str, setting: Setting) -> None:
        """Set a set point or a dial by hand.

        Raises:
            CommandError: No such set point, or a value outside its limits.
        """
        check_setting(name, setting, self.plant.site.machine)
        if name in set_points.BY_NAME:
            set_points.BY_NAME[name].write(self.plant, setting)
        else:
            dials.BY_NAME[name].write(self.controller.job, round(float(setting)))
        self.bus.settle()
        self._hand_was_there()

    def advance_to(self, time_us: int) -> None:
        """Let time pass; stops early at a consequence that ends the run."""
        due_us = self.clock.next_us()
        while not self.plant.site.wrecked:
            if due_us is None or due_us > time_us:
                self.clock.rest_until(time_us)
                return
            due_us = self._instant(due_us)

    def advance_until(self, reached: Callable[[], bool], time_us: int) -> bool:
        """Let time pass instant by instant until something is reached; return whether it was.

        Args:
            reached: Asked before the first instant, and when everything due at one has happened; it
                changes nothing.
            time_us: Where time stops at the latest; a wreck stops it too.
        """
        due_us = self.clock.next_us()
        while not reached():
            if due_us is None or due_us > time_us or self.plant.site.wrecked:
                self.advance_to(time_us)
                return reached()
            due_us = self._instant(due_us)
        return True

    def advance_watched(self, stops: Callable[[], bool], time_us: int) -> None:
        """Let time pass, and ask after every instant at which anything happened whether to stop there.

        Args:
            stops: Asked when everything due at an instant has happened, and at no other time.
            time_us: Where time stops at the latest; a wreck stops it too.
        """
        clock, site = self.clock, self.plant.site
        while not site.wrecked:
            due_us = clock.next_us()
            if due_us is None or due_us > time_us:
                clock.rest_until(time_us)
                return
            self._instant(due_us)
            if stops():
                return

    def _instant(self, due_us: int) -> int | None:
        """Make every call that is due at the next instant, and let follow what follows; a wreck ends it.

        Returns:
            When something is due again; None for never.
        """
        clock, bus, site = self.clock, self.bus, self.plant.site
        next_us: int | None = due_us
        while next_us == due_us:
            clock.step()
            bus.settle()
            if self.after_moment is not None:
                self.after_moment()
            if site.wrecked:
                break
            next_us = clock.next_us()
        return next_us

    # What follows -------------------------------------------------------------------------

    def on_cut(self, listener: Callable[[Cut], None]) -> None:
        """Have every parting cut told to `listener`."""
        self._on_cut = listener

    @property
    def consequences(self) -> LongList[Consequence]:
        """Everything that has come to harm, in order."""
        return self.plant.site.consequences

    def _answered(self, decision: Decision) -> None:
        self._answer = decision

    def _parted(self, piece: Piece | None) -> None:
        job = self.controller.job
        counted = job.step == "LOWER_HEAD" and job.state in ("EXECUTE", "HOLDING", "COMPLETING")
        squaring = counted and job.squaring
        if piece is None:
            cut = Cut(self.clock.now_us, 0.0, squaring=squaring, counted=counted)
        else:
            cut = Cut(
                piece.at_us, piece.length_m, piece.out_of_square, piece.dent_m, piece.scatter_m,
                piece.lost_m, piece.front_rad, piece.rear_rad, piece.corner_m, piece.half_sawn,
                piece.burr_m, piece.gap_down_m, piece.gap_across_m, piece.gapes_at_top, piece.fed,
                squaring=squaring or not (counted or piece.fed), counted=counted,
            )  # fmt: skip
            self._tell_scrap(cut)
        self.cuts.append(cut)
        self._on_cut(cut)

    def _tell_scrap(self, cut: Cut) -> None:
        """Tell of a piece that is scrap by its ends or by a kerf in it; an end that was squared off is scrap anyhow."""
        if cut.squaring:
            return
        if cut.corner_gone:
            detail = _CORNER(corner=cut.corner_m)
            self.plant.site.tell("corner-missing", detail, scrap_m=cut.length_m)
        if cut.ends_differ and cut.counted:
            detail = _DIFFER(front=degrees_of(cut.front_rad), rear=degrees_of(cut.rear_rad))
            self.plant.site.tell("ends-differ", detail, scrap_m=cut.length_m)
        if cut.half_sawn:
            self.plant.site.tell("piece-half-sawn", scrap_m=cut.length_m)

    # State --------------------------------------------------------------------------------

    def state(self) -> dict[str, object]:
        """Return everything that decides what happens next, as plain values."""
        plant = self.plant
        return {
            "time_us": self.clock.now_us,
            "signals": self.bus.seen,
            "image": {k: v for k, v in self.controller.image.items() if k not in BY_TAG},
            "job": [
                self.controller.job.wanted,
                self.controller.job.cut,
                self.controller.job.stroke,
            ],
            "held": sorted(self.held),
            "settings": self._settings(),
            "bar": [plant.bar.front_m, plant.bar.length_m, plant.bar.kerf_depth_m],
            **self._shaped(),
            **({"seat": seat} if (seat := plant.band.seat.unlike_found) else {}),
            "axes": [
                plant.shuttle.place.position,
                plant.shuttle.stop_m,
                plant.head.place.position,
                plant.band.motor.position,
                plant.band.dial.position,
                plant.band.damage,
                plant.cutting_vise.jaw.position,
                plant.shuttle_vise.jaw.position,
            ],
            **({"hook": [astuple(each) for each in plant.blade.hung]} if plant.blade.hung else {}),
            "inside": plant.inside(),
            "cuts": [[cut.at_us, cut.length_m] for cut in self.cuts],
            "consequences": [[c.at_us, c.kind] for c in self.consequences],
            **self._meddled(),
        }

    def _settings(self) -> dict[str, Setting]:
        """Return every setting but one that stands as on a saw left alone, where its row keeps that untold."""
        read = {point.name: point.read(self.plant) for point in set_points.SET_POINTS}
        untold = {point.name: point.untold for point in set_points.SET_POINTS if point.untold}
        return {name: at for name, at in read.items() if untold.get(name) != at}

    def _shaped(self) -> dict[str, object]:
        """Return what is not plain about the bar: an end at an angle, kerfs, a bow; nothing when it is plain."""
        bar = self.plant.bar
        shaped = bar.end_rad or bar.corner_m or bar.kerfs.all
        kerfs = [[k.from_rear_m, k.mitre_rad, k.depth_m, k.width_m, k.band] for k in bar.kerfs.all]
        end = [bar.end_rad, *bar.end.points]
        return {
            **({"shaped": [end, kerfs, self.plant.blade.number]} if shaped else {}),
            **({"bowed": bar.bow_m} if bar.bow_m else {}),
        }

    def _meddled(self) -> dict[str, object]:
        """Return what is forced and jumpered on the bench; nothing when nothing is."""
        jumpers = sorted(each.name for each in self.controller.bypassed)
        forced = dict(sorted(self.bus.forced.items()))
        return {
            **({"forced": forced} if forced else {}),
            **({"jumpers": jumpers} if jumpers else {}),
        }

    def digest(self) -> str:
        """Return the SHA-256 of the state, in hexadecimal."""
        text = json.dumps(self.state(), sort_keys=True, separators=(",", ":"))
        return hashlib.sha256(text.encode()).hexdigest()


ISOLATOR_LOCKED: Final = Refusal(
    "", "Q0", plain("saw.isolator-locked", "a padlock hangs on the isolator"),
    plain("saw.isolator-locked.to-do", "leave it off: it comes off by whoever put it on"),
)  # fmt: skip
KEY_IN_POCKET: Final = Refusal(
    "", "mode", plain("saw.key-in-pocket", "the mode switch does not turn without its key"),
    plain("saw.key-in-pocket.to-do", "put the key in when nobody is at the saw"),
)  # fmt: skip
_CORNER: Final = row(
    "harm.corner-missing.detail", "What is missing is {corner} long.", corner=mm(1)
)
_DIFFER: Final = row(
    "harm.ends-differ.detail", "One end is at {front}, the other at {rear}.",
    front=degrees(), rear=degrees(),
)  # fmt: skip
_NO_KEY: Final = row("saw.no-key", "there is no key called {asked}", asked=name())
_NOTHING_CALLED: Final = row(
    "saw.nothing-to-set", "there is nothing to set called {asked}", asked=name()
)
_NONE_OF: Final = row("saw.none-of", "{given} is none of {words}", given=name(), words=name())
_NO_NUMBER: Final = row("saw.no-number", "{given} is not a number", given=name())
_NOT_FITTED: Final = row("saw.not-fitted", "this saw has no {title}", title=part())
_GIVE: Final = row("saw.give", "give {low} to {high}", low=name(), high=name())
_OUTSIDE: Final = row(
    "saw.outside", "{given} is outside {low} to {high}", given=name(), low=name(), high=name()
)


def check_setting(name: str, setting: Setting, machine: Machine) -> None:
    """Hold a setting to its row on a machine.

    Raises:
        CommandError: No such set point, not a number, not one of its words, or out of limits.
    """
    point = set_points.BY_NAME.get(name) or dials.BY_NAME.get(name)
    if point is None:
        raise CommandError(_NOTHING_CALLED(asked=repr(name)), where="set")
    if isinstance(point, set_points.SetPoint):
        if not point.fitted(machine):
            raise CommandError(_NOT_FITTED(title=point.title), where=name)
        words, unit, (low, high) = point.words, point.unit, point.limits(machine)
    else:
        words, unit, (low, high) = (), "", (float(point.low), float(point.high))
    if words:
        if setting not in words:
            raise CommandError(_NONE_OF(given=repr(setting), words=", ".join(words)), where=name)
        return
    try:
        number = float(setting)
    except ValueError:
        limits = _GIVE(low=f"{low:g}", high=f"{high:g}")
        raise CommandError(_NO_NUMBER(given=repr(setting)), name, limits) from None
    if not low <= number <= high:
        given = f"{setting} {unit}".strip()
        raise CommandError(_OUTSIDE(given=given, low=f"{low:g}", high=f"{high:g}"), where=name)


def latches() -> tuple[str, ...]:
    """Return the keys that stay where the hand leaves them."""
    return tuple(key for key, wire in BY_KEY.items() if wire.source is Source.LATCH)
