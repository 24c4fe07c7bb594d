"""Lock-out on the plant: what is told, locked and verified, and what of it holds now.

Theory. The order is that of 29 CFR 1910.147: (c)(9), those affected are told; (d), shut down, isolate,
lock, take off or restrain what is stored, verify last; (e), the way back. It was read on public pages
that quote the rule; (f)(1) and (f)(3), testing with power and a lock of one's own in a group, are from
memory. ISO 14118 says the same of stored energy. Most of it is done by keys and set points and is read
off the plant here: nothing counts that the saw does not show. What is a step of its own are the acts
that no metal shows: telling, hanging a padlock, verifying, and for electrical work proving it dead.

The try of a start proves nothing where the start would not answer on a live saw either. So the stops are out
for it, the trip line home, the hood shut, the key in the mode switch and no start held down (common practice,
no source). Guard and wheel cover stay as they are: their locks open with power only, and with them open control
on and the head would answer.

Verified is never a memory: whatever comes back, a lock off, air, oil, a raised head, ends it, and it is
verified anew. Practice only: the maker's manual, local rules and a qualified or authorised person come
first.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from sim.plant.hood import HOOD_OPEN
from sim.plant.mode_key import IN_POCKET
from sim.plant.padlocks import AIR_COCK, DEVICES, ISOLATOR
from sim.plant.seat import SEATED
from sim.saw import Saw
from sim.units import BAR
from sim.words.fields import bar, mpa, name, part
from sim.words.message import NOTHING, Message, plain, row, sentences

ME: Final = "me"
COCK, CHOCK = "supply.air_cock", "infeed.bar_chock"
AIR, LIFT, CUTTING, SHUTTLE = (
    "air", "head.oil_relief", "cutting_vise.oil_relief", "shuttle_vise.oil_relief",
)  # fmt: skip
"""What a lock-out wants something of: a set point, the gauge beside it, or the air behind the cock."""
OPERATOR, AUTHORISED, QUALIFIED = "operator", "authorised", "qualified"
ROLES: Final = (OPERATOR, AUTHORISED, QUALIFIED)
YOU_ARE: Final[dict[str, Message]] = {
    OPERATOR: plain(
        "role.operator", "You are the operator: you run the saw; somebody else locks it out and opens the cabinet."
    ),
    AUTHORISED: plain(
        "role.authorised",
        "You are authorised to lock out, and not qualified to work on the wiring: the cabinet is not yours.",
    ),
    QUALIFIED: plain("role.qualified", "You are authorised to lock out, and qualified to work on the wiring."),
}  # fmt: skip
"""What the person at the saw is told of what he may do."""
_LOCKS_OFF: Final = ("unlock-air", "unlock-isolator", "ask")  # no lock hangs at first, either
ZERO_PA: Final = 0.05 * BAR  # below which a gauge stands at its stop
_STARTS: Final = (
    "supply.reset", "supply.control_on", "band.run", "palm.left", "palm.right", "head.raise",
)  # fmt: skip
HOOD: Final = "infeed.hood"

_NOT_TOLD: Final = plain(
    "lockout.not-told", "Those affected have not been told yet. Tell them first."
)
NOT_AUTHORISED: Final = plain(
    "lockout.not-authorised",
    "An operator does not lock out. Get somebody who is authorised, and keep clear until then.",
)
_NOT_ISOLATED: Final = plain(
    "lockout.not-isolated", "The isolator is still on. Switch it off first."
)
_NOT_ISOLATED_COVERED: Final = plain(
    "lockout.not-isolated.covered",
    "The isolator is still on. If the work is behind the wheel cover, open that first: without power it stays "
    "locked. Then switch the isolator off.",
)
_SPRING: Final = row(
    "lockout.spring",
    "The band is still a spring at {stress}. Let it down before the band is seated or taken off, or before work on a wheel or the washers of its tension. "
    "On this saw looks, and work at guide inserts, brush and guide arm, do not need it let down; the maker's manual comes first.",
    stress=mpa(),
)
_NOT_LOCKED: Final = plain("lockout.not-locked", "Your own padlock is not on the isolator yet.")
_AIR_OPEN: Final = plain(
    "lockout.air-open", "The air cock is open. Shut it first, when the head rests on something."
)
_AIR_NOT_LOCKED: Final = plain(
    "lockout.air-not-locked", "Your own padlock is not on the air cock yet."
)
_AIR_UP: Final = row(
    "lockout.air-up", "The air gauge still shows {air}. Wait until it is at zero.", air=bar(1)
)
_BAND_TURNS: Final = plain("lockout.band-turns", "The band still turns. Wait until it stands.")
_HEAD_UP: Final = plain(
    "lockout.head-up",
    "The head rests on nothing. Let it down on bed, bar or prop; no valve is a holding device.",
)
_OIL_IN_LIFT: Final = row(
    "lockout.oil-in-lift",
    "The gauge of the lift shows {oil}. Open its oil relief, with the head on bed, bar or prop.",
    oil=bar(1),
)  # fmt: skip
_OIL_IN_CUTTING: Final = row(
    "lockout.oil-in-cutting-vise",
    "The gauge of the cutting vise shows {oil}. Open its oil relief.", oil=bar(1),
)  # fmt: skip
_OIL_IN_SHUTTLE: Final = row(
    "lockout.oil-in-shuttle-vise",
    "The gauge of the shuttle vise shows {oil}. Open its oil relief.", oil=bar(1),
)  # fmt: skip
_NOT_CHOCKED: Final = plain(
    "lockout.not-chocked", "Nothing holds the bar on its rollers. Put the chock in."
)
_ANSWERS: Final = plain(
    "lockout.answers", "The start was tried, and the saw answered: it is not isolated."
)
_NOT_QUALIFIED: Final = plain(
    "lockout.not-qualified",
    "Only a qualified person proves it dead: a test by who cannot judge the tester proves nothing.",
)
_KEY_OUT: Final = plain(
    "lockout.key-out",
    "With the key of the mode switch out neither band nor head would answer on a live saw either, and the try proves "
    "too little. "
    "Put it in, try, and draw it again where it is wanted out.",
)
STOPS: Final[dict[str, Message]] = {
    "supply.emergency_stop": plain(
        "lockout.stop-in",
        "With the emergency stop at the console pressed in no start would answer on a live saw either, and the try "
        "proves nothing. Your padlock keeps the power off: turn the stop out, then try.",
    ),
    "supply.infeed_stop": plain(
        "lockout.infeed-stop-in",
        "With the emergency stop at the infeed pressed in no start would answer on a live saw either, and the try "
        "proves nothing. Your padlock keeps the power off: turn the stop out, then try.",
    ),
    "supply.trip_line": plain(
        "lockout.trip-line-out",
        "With the trip line pulled no start would answer on a live saw either, and the try proves nothing. Your "
        "padlock keeps the power off: set the line back, then try.",
    ),
}
"""What keeps every start away while a hand has left it so, and what is said of it before the try."""
_HOOD_OPEN: Final = plain(
    "lockout.hood-open",
    "With the infeed hood open no job would start on a live saw either, and its try proves nothing. Shut the hood, "
    "then try.",
)
_START_HELD: Final = row(
    "lockout.start-held",
    "Somebody holds {name} down, and the try of it proves nothing. Have it let go, then try.", name=name(),
)  # fmt: skip
VERIFY_IT: Final = plain("lockout.stands.verify", "Nothing is wanting; verify it.")
WANTING: Final = row("lockout.stands.wanting", "Wanting: {what}", what=part())
_VERIFIED: Final = plain(
    "lockout.stands.verified",
    "Verified: hands may go in, but never at the line side of the isolator, which stays live. Into the wiring behind it they go only when it is proved dead.",
)
_GOES_BACK: Final = plain(
    "lockout.stands.goes-back",
    "The way back is begun: keep hands out. Whoever goes in again verifies it anew.",
)
_NOT_VERIFIED: Final = plain("lockout.not-verified", "The lock-out is not verified. Verify first.")
_NO_LOCK: Final = plain("lockout.no-lock", "Your padlock does not hang there.")
_NOT_INSPECTED: Final = plain(
    "lockout.not-inspected", "Look the saw over first: tools out, covers on, machine whole."
)
_SEEN_BY: Final = {"buttons": ISOLATOR, "air-cock": AIR_COCK}
_YOURS_HANGS: Final = {
    ISOLATOR: plain("lockout.hangs.isolator.yours", "Your padlock hangs on the isolator."),
    AIR_COCK: plain("lockout.hangs.air-cock.yours", "Your padlock hangs on the air cock."),
}
_OTHERS_HANGS: Final = {
    ISOLATOR: row(
        "lockout.hangs.isolator", "A padlock of {who} hangs on the isolator.", who=name()
    ),
    AIR_COCK: row(
        "lockout.hangs.air-cock", "A padlock of {who} hangs on the air cock.", who=name()
    ),
}
TENSION: Final = "band.tension_mpa"
WHOLE: Final[dict[str, tuple[str, Message]]] = {
    "band.guard": ("closed", plain("lockout.left.guard", "The band guard stands open. Close it first.")),
    "band.wheel_cover": (
        "closed", plain("lockout.left.cover", "The wheel cover stands open. Close it first."),
    ),
    **{
        name: ("shut", plain(f"lockout.left.{name.replace('_', '-').replace('.', '-')}", said))
        for name, said in (
            ("head.oil_relief", "The oil relief of the lift is open. Shut it first."),
            ("cutting_vise.oil_relief", "The oil relief of the cutting vise is open. Shut it first."),
            ("shuttle_vise.oil_relief", "The oil relief of the shuttle vise is open. Shut it first."),
        )
    },
    "infeed.bar_chock": (
        "out", plain("lockout.left.chock", "The chock is still at the rollers. Take it out first."),
    ),
}  # fmt: skip
"""What is closed, shut and taken away on a saw that is whole again, and what is said where it is not."""
_NOT_SEATED: Final = plain(
    "lockout.left.not-seated",
    "The band is not in its guides. Seat it first, let down; then tension it.",
)
_BAND_SLACK: Final = plain(
    "lockout.left.slack", "The band is let down. Tension it first, as the card has it."
)
_NOT_CLEAR: Final = plain("lockout.not-clear", "See first that people are clear of the saw.")
_STILL_LOCKED: Final = plain("lockout.still-locked", "Your padlock still hangs. Take it off first.")
_NOT_TOLD_BACK: Final = plain(
    "lockout.not-told-back",
    "Those affected have not been told yet that the locks are off. Tell them.",
)
_NOBODY_ELSE: Final = plain("lockout.nobody-else", "Nobody else has a lock on the saw.")
_AWAY: Final = row(
    "lockout.away", "{who} is away, and the lock stays on. Ask the supervisor; never cut it.",
    who=name(),
)  # fmt: skip
_OTHERS: Final = row(
    "lockout.others", "{who} still has a lock on it. Ask for it to be taken off, and ask the supervisor when its owner is away; never cut it.",
    who=name(),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class SecondPerson:
    """Somebody else at the saw, who hangs his own padlocks when he is told and takes them off when asked."""

    name: str
    locks: tuple[str, ...] = DEVICES  # devices on which he hangs one


class Lockout:
    """What one person has told, locked and verified, and whether it holds.

    Args:
        saw: The saw.
        role: Of the person: operator, authorised or qualified.
        second: Somebody else with locks of his own, or None.
    """

    def __init__(
        self, saw: Saw, role: str = AUTHORISED, second: SecondPerson | None = None
    ) -> None:
        self.role = role
        self.told = False
        self._saw = saw
        self.second = second
        self.second_away = False
        self._second_told = False
        self._verified = False
        self._proved = False
        self._inspected = False
        self._clear = False
        self._lock_off = False  # on the way back
        saw.after_hand = self.look

    def joins(self, second: "SecondPerson") -> None:
        """Have somebody else at the saw; if a lock-out was told of already, he hears of it as he comes."""
        self.second, self._second_told = second, self.told
        self.look()

    def left_behind(self) -> None:
        """Have the second person be away, and his padlocks hang on what is off."""
        self._second_hangs()
        self.second_away = True

    def _second_hangs(self) -> None:
        """Have the second person's padlocks hang on what is off."""
        if self.second is not None:
            for device in filter(self._is_off, self.second.locks):
                self._saw.plant.padlocks.hang(device, self.second.name)

    # What holds ---------------------------------------------------------------------------

    def mine(self, device: str) -> bool:
        """Return whether one's own padlock hangs on a device."""
        return ME in self._saw.plant.padlocks.owners(device)

    @property
    def locked(self) -> bool:
        """Whether one's own padlock hangs on the saw."""
        return any(map(self.mine, DEVICES))

    @property
    def begun(self) -> bool:
        """Whether anything of it was done that is to be taken back."""
        return self.told or self.locked

    @property
    def verified(self) -> bool:
        """Whether it was verified, and nothing has come back since: hands may go in."""
        return self._verified and not self.wanting

    @property
    def proved_dead(self) -> bool:
        """Whether the part to be touched was proved dead, under a lock-out that still holds."""
        return self._proved and self.verified

    def has(self, step: str) -> bool:
        """Return whether what a step brings about holds now."""
        return {
            "tell": self.told, "lock-isolator": self.mine(ISOLATOR), "lock-air": self.mine(AIR_COCK),
            "verify": self.verified, "prove-dead": self.proved_dead, "inspect": self._inspected and not self.left,
            "clear": self._clear and not self.left, "unlock-air": not self.mine(AIR_COCK),
            "unlock-isolator": not self.mine(ISOLATOR), "tell-restored": not self.begun,
            "ask": not self.others,
        }[step]  # fmt: skip

    def counts(self, step: str) -> bool:
        """Return whether a step is shown as taken: no lock counts as taken off before the way back."""
        stays_on = step in _LOCKS_OFF and not (self._clear or self._lock_off)
        return self.begun and not stays_on and self.has(step)

    def others_on(self, device: str) -> tuple[str, ...]:
        """Who else has a padlock on a device."""
        return tuple(who for who in self._saw.plant.padlocks.owners(device) if who != ME)

    def hangs_at(self, look: str) -> Message:
        """Return whose padlocks are seen by a look at a device, or nothing."""
        device = _SEEN_BY.get(look)
        if device is None:
            return NOTHING
        yours = (_YOURS_HANGS[device],) if self.mine(device) else ()
        others = (_OTHERS_HANGS[device](who=who) for who in self.others_on(device))
        return sentences(*yours, *others)

    @property
    def others(self) -> tuple[str, ...]:
        """Who else has a padlock on the saw."""
        return tuple(sorted({who for device in DEVICES for who in self.others_on(device)}))

    @property
    def wanting(self) -> Message:
        """The first thing that is wanting before it can be verified, or nothing."""
        return next((said for _, said in self.wants() if said), NOTHING)

    @property
    def before_the_try(self) -> Message:
        """What keeps the starts from answering, so that a try of them would prove nothing, or nothing.

        It is wanting for the try alone: once the saw was tried, the key may be drawn again, and a stop pressed in.
        """
        return next(self._keeps_starts_away(), NOTHING)

    def _keeps_starts_away(self) -> Iterator[Message]:
        saw = self._saw
        yield from (said for latch, said in STOPS.items() if latch in saw.held)
        if saw.plant.hood.state == HOOD_OPEN:
            yield _HOOD_OPEN
        if saw.plant.mode_key.place == IN_POCKET:
            yield _KEY_OUT
        yield from (_START_HELD(name=key) for key in _STARTS if key in saw.held)

    @property
    def wanting_to_verify(self) -> Message:
        """The first thing that is wanting before the starts can be tried, or nothing."""
        return self.wanting or self.before_the_try

    def wants(self) -> Iterator[tuple[str, Message]]:
        """Yield all that a lock-out wants, in order: of what, and what is said where it is wanting.

        Of what is one of the names above, or empty for what is plain to see.
        """
        plant = self._saw.plant
        yield "", NOTHING if self.told else _NOT_TOLD
        yield "", self._isolator_on if self._saw.bus.driven("Q0") else NOTHING
        yield "", NOTHING if self.mine(ISOLATOR) else _NOT_LOCKED
        yield COCK, _AIR_OPEN if plant.supply.cock != "shut" else NOTHING
        yield COCK, NOTHING if self.mine(AIR_COCK) else _AIR_NOT_LOCKED
        air_pa = plant.supply.air_pa
        yield AIR, _AIR_UP(air=air_pa) if air_pa > ZERO_PA else NOTHING
        yield from self._stores()

    @property
    def goes_back(self) -> bool:
        """Whether the way back is begun, so that hands keep out of what is verified still."""
        return self._inspected or self._clear or self._lock_off

    @property
    def wanting_back(self) -> Message:
        """What the way back wants next, or nothing where it is not begun or is over."""
        if not (self.begun and self.goes_back):
            return NOTHING
        if not self.has("inspect"):
            return _NOT_INSPECTED
        if not self._clear:
            return _NOT_CLEAR
        if self.locked:
            return _STILL_LOCKED
        if self.others:
            return (_AWAY if self.second_away else _OTHERS)(who=", ".join(self.others))
        return _NOT_TOLD_BACK

    @property
    def stands(self) -> Message:
        """Whether hands may go in, or what is wanting before they may, or for the way back."""
        if self.verified:
            return _GOES_BACK if self.goes_back else sentences(_VERIFIED, self.spring)
        if self.wanting_back:
            return WANTING(what=self.wanting_back)
        return WANTING(what=wanting) if (wanting := self.wanting_to_verify) else VERIFY_IT

    @property
    def _isolator_on(self) -> Message:
        covered = bool(self._saw.plant.guard_lock.covered)
        return _NOT_ISOLATED_COVERED if covered else _NOT_ISOLATED

    @property
    def spring(self) -> Message:
        """That the band is still under tension, which no lock-out takes off; nothing when it is let down."""
        stress_pa = self._saw.plant.band.tension.stress_pa
        return _SPRING(stress=stress_pa) if stress_pa > 0.0 else NOTHING

    @property
    def left(self) -> Message:
        """The first thing that is still open, in or slack on a saw that is to go back to work, or nothing."""
        if self._saw.plant.band.seat.place != SEATED:
            return _NOT_SEATED
        if float(self._saw.read(TENSION)) <= 0.0:
            return _BAND_SLACK
        wanting = (said for name, (whole, said) in WHOLE.items() if self._saw.read(name) != whole)
        return next(wanting, NOTHING)

    def _stores(self) -> Iterator[tuple[str, Message]]:
        plant = self._saw.plant
        turns = plant.band.motor.position > 0.0 or plant.band.motor.moving
        yield "", _BAND_TURNS if turns else NOTHING
        yield "", NOTHING if plant.head.rests else _HEAD_UP
        for read, oil_pa, said in (
            (LIFT, plant.head.oil_pa, _OIL_IN_LIFT),
            (CUTTING, plant.cutting_vise.pressure_pa, _OIL_IN_CUTTING),
            (SHUTTLE, plant.shuttle_vise.pressure_pa, _OIL_IN_SHUTTLE),
        ):
            yield read, said(oil=oil_pa) if oil_pa > 0.0 else NOTHING
        loose = plant.bar.length_m > 0.0 and plant.supports.chock == "out"
        yield CHOCK, _NOT_CHOCKED if loose else NOTHING

    def _stored(self) -> Message:
        return next((said for _, said in self._stores() if said), NOTHING)

    def look(self) -> None:
        """Take note of what a hand has changed: what has come back is verified anew, what is opened looked over."""
        if self._verified and self.wanting:
            self._verified = self._proved = False
        if self._inspected and self.left:
            self.hands_in()
        if self._second_told and not self.second_away:
            self._second_hangs()

    def hands_in(self) -> None:
        """Take note that hands go in, or that something was opened: it is looked over and seen clear anew."""
        self._inspected = self._clear = False

    def _is_off(self, device: str) -> bool:
        if device == ISOLATOR:
            return not self._saw.bus.driven("Q0")
        return self._saw.plant.supply.cock == "shut"

    # The steps ----------------------------------------------------------------------------

    def take(self, step: "EnergyStep") -> Message:
        """Take a step; return why it does not count, or nothing when it does."""
        against = step.take(self)
        self.look()
        return against

    def tell(self) -> Message:
        """Tell those affected; whoever else is at the saw locks it too."""
        self.told = self._second_told = True
        return NOTHING

    def lock(self, device: str) -> Message:
        """Hang one's own padlock on a device that is off."""
        if self.role == OPERATOR:
            return NOT_AUTHORISED
        if not self._is_off(device):
            return self._isolator_on if device == ISOLATOR else _AIR_OPEN
        self._saw.plant.padlocks.hang(device, ME)
        self._lock_off = False
        self.hands_in()
        return NOTHING

    def verify(self) -> Message:
        """Look at every gauge, try every start, and put the controls back."""
        against = self.wanting_to_verify
        if not against and self._answers_a_start():
            against = _ANSWERS
        self._verified = not against
        self.hands_in()
        return against

    def _answers_a_start(self) -> bool:
        """Try the starts; return whether anything came."""
        saw = self._saw
        for key in _STARTS[:2]:
            saw.press(key)
            saw.release(key)
        for key in _STARTS[2:]:
            saw.press(key)
        came = saw.plant.supply.powered or bool(self._stored())
        for key in _STARTS[2:]:
            saw.release(key)
        return came

    def prove_dead(self) -> Message:
        """Prove the tester, test every phase to phase and to earth at the part, prove the tester again."""
        if self.role != QUALIFIED:
            return _NOT_QUALIFIED
        if not self.verified:
            return self.wanting_to_verify or _NOT_VERIFIED
        self._proved = not self._saw.plant.power.live and not self._saw.plant.power.control
        return NOTHING if self._proved else _ANSWERS

    def inspect(self) -> Message:
        """Look the saw over: tools out, covers on, machine whole."""
        left = self.left
        self._inspected = not left
        return left

    def clear(self) -> Message:
        """See that people are clear, of a saw that was looked over and not touched since."""
        against = self._not_looked_over if self.begun else NOTHING
        self._clear = not against
        return against

    def unlock(self, device: str) -> Message:
        """Take one's own padlock off a device."""
        if not self.mine(device):
            return _NO_LOCK
        if against := self._not_looked_over:
            return against
        if not self._clear:
            return _NOT_CLEAR
        self._saw.plant.padlocks.take(device, ME)
        self._lock_off = True
        return NOTHING

    @property
    def _not_looked_over(self) -> Message:
        """What is left on the saw, or that it was not looked over since hands were in; nothing when it was."""
        return self.left or (NOTHING if self._inspected else _NOT_INSPECTED)

    def tell_restored(self) -> Message:
        """Tell those affected that the locks are off."""
        if self.locked:
            return _STILL_LOCKED
        if self.others:
            return _OTHERS(who=", ".join(self.others))
        self.told = self._verified = self._proved = self._lock_off = False
        self.hands_in()
        return NOTHING

    def ask(self) -> Message:
        """Ask whoever else has a lock on the saw; his work done, he takes it off."""
        if not self.others:
            return _NOBODY_ELSE
        if self.second_away:
            return _AWAY(who=", ".join(self.others))
        self._second_told = False
        for who in self.others:
            for device in DEVICES:
                self._saw.plant.padlocks.take(device, who)
        return NOTHING


@dataclass(frozen=True, slots=True)
class EnergyStep:
    """One step of taking energy off or putting it back."""

    name: str
    title: Message
    seconds: float
    take: Callable[[Lockout], Message]  # does it; returns why it does not count, or nothing
    source: str


def _step(
    name: str, title: str, seconds: float, take: Callable[[Lockout], Message], paragraph: str
) -> EnergyStep:
    return EnergyStep(name, plain(f"lockout.{name}.title", title), seconds, take, paragraph)


_RULE: Final = "29 CFR 1910.147"
# fmt: off
STEPS: Final = (
    _step("tell", "Tell those affected that the saw will be locked out", 45, Lockout.tell, f"{_RULE} (c)(9)"),
    _step("lock-isolator", "Hang your own padlock and tag on the isolator, when it is off", 30, lambda here: here.lock(ISOLATOR), f"{_RULE} (d)(4)"),
    _step("lock-air", "Hang your own padlock and tag on the air cock, when it is shut", 30, lambda here: here.lock(AIR_COCK), f"{_RULE} (d)(4)"),
    _step("verify", "Verify: read every gauge, try every start, put the controls back", 60, Lockout.verify, f"{_RULE} (d)(6)"),
)
ELECTRICAL: Final = (
    _step("prove-dead", "Prove it dead at the part; the tester on a known source before and after", 120, Lockout.prove_dead, "29 CFR 1910.333 (b)(2)(iv)"),
)
BACK: Final = (
    _step("inspect", "Inspect: tools out, covers on, machine whole", 60, Lockout.inspect, f"{_RULE} (e)(1)"),
    _step("clear", "Clear: see that people are away from the saw", 20, Lockout.clear, f"{_RULE} (e)(2)"),
    _step("unlock-air", "Take your own padlock off the air cock", 10, lambda here: here.unlock(AIR_COCK), f"{_RULE} (e)(3)"),
    _step("unlock-isolator", "Take your own padlock off the isolator", 10, lambda here: here.unlock(ISOLATOR), f"{_RULE} (e)(3)"),
    _step("tell-restored", "Tell those affected that the locks are off", 20, Lockout.tell_restored, f"{_RULE} (c)(9)"),
)
ASKING: Final = (
    _step("ask", "Ask whoever else has a lock on the saw to take it off", 180, Lockout.ask, f"{_RULE} (f)(3)"),
)
# fmt: on

BY_NAME: Final = {row.name: row for row in (*STEPS, *ELECTRICAL, *BACK, *ASKING)}
