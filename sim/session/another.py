"""Another person at the saw: named, with padlocks of his own, who works it when he is told to.

The scenario or the instructor tells him. He sees the console and not your hands: what he starts strikes
whoever is not locked out. A padlock holds against him as against everybody. His own comes off when he is
asked, and not while he is away: then the supervisor is asked, and no lock is cut.

Never here: how an order gets here (see `instructor`), and what it does to hands (see `hands`).
"""

from collections.abc import Callable
from functools import partial
from typing import Final

from sim.errors import CommandError
from sim.saw import Saw, check_setting
from sim.scenario.second_does import Does
from sim.session.kept import told
from sim.session.lockout import Lockout, SecondPerson
from sim.units import US
from sim.words.fields import name, part
from sim.words.message import Message, plain, row

_PRESSES: Final = row("another.presses", "{who} presses {pressed}.", who=name(), pressed=name())
_LETS_GO: Final = row("another.lets-go", "{who} lets {pressed} go.", who=name(), pressed=name())
_SETS: Final = row("another.sets", "{who}: {set_it}", who=name(), set_it=part(capital=True))
_CANNOT: Final = row("another.cannot", "{who} cannot: {why}", who=name(), why=part())
_COMES: Final = row(
    "another.comes", "{who} is at the saw too, with a padlock of his own.", who=name()
)
_LEAVES: Final = row(
    "another.leaves", "{who} goes away; a padlock of his stays where it hangs.", who=name()
)
_RETURNS: Final = row("another.returns", "{who} is back.", who=name())
_NOBODY: Final = plain("another.nobody", "nobody else is at the saw")
_HAVE_COME: Final = plain("another.nobody.what-to-do", "order second comes NAME first")
_HERE: Final = row("another.here", "{who} is at the saw already", who=name())
_ONE: Final = plain("another.here.what-to-do", "tell him what to do")
_AWAY: Final = row("another.away", "{who} is away", who=name())
_HAVE_RETURN: Final = plain("another.away.what-to-do", "order second returns first")


class Another:
    """The other person at one saw.

    Args:
        saw: Where he is.
        lockout: That knows of his padlocks.
        tells: Is given what he does, as he does it.
    """

    def __init__(self, saw: Saw, lockout: Lockout, tells: Callable[[Message], None]) -> None:
        self.held: set[str] = set()  # keys under his hands
        self._saw = saw
        self._lockout = lockout
        self._tells = tells

    @property
    def who(self) -> str:
        """His name; empty while nobody else is at the saw."""
        second = self._lockout.second
        return second.name if second is not None else ""

    def comes(self, who: str) -> Message:
        """Have him come to the saw, with padlocks for both devices.

        Raises:
            CommandError: Somebody is there already.
        """
        self.check_told(None, "comes")
        self._lockout.joins(SecondPerson(who))
        return self._told(_COMES(who=who))

    def leaves(self) -> Message:
        """Have him go away; his padlocks stay, and what he held down he lets go."""
        self.check_here()
        for key in sorted(self.held):
            self._lets_go(key)
        self._lockout.second_away = True
        return self._told(_LEAVES(who=self.who))

    def returns(self) -> Message:
        """Have him come back."""
        self.check_told(None, "returns")
        self._lockout.second_away = False
        return self._told(_RETURNS(who=self.who))

    def check_here(self) -> None:
        """Raise CommandError if nobody is there to be told anything."""
        if not self.who:
            raise CommandError(_NOBODY, "second", _HAVE_COME)
        if self._lockout.second_away:
            raise CommandError(_AWAY(who=self.who), "second", _HAVE_RETURN)

    def check_told(self, does: Does | None, verb: str) -> None:
        """Raise CommandError if he cannot be told that now; nothing is changed to find out.

        Args:
            does: What he shall do; None where he comes, leaves or returns.
            verb: Its first word.
        """
        if does is not None:
            self.check_here()
            self._check_setting(does)
        elif verb == "comes":
            if self.who:
                raise CommandError(_HERE(who=self.who), "second", _ONE)
        elif verb == "leaves":
            self.check_here()
        elif not self.who:
            raise CommandError(_NOBODY, "second", _HAVE_COME)

    def _check_setting(self, does: Does) -> None:
        if does.verb == "set":
            check_setting(does.name, does.setting, self._saw.plant.site.machine)

    def will_do(self, does: Does, from_us: int) -> None:
        """Have him do something so many seconds after an instant; nobody waits for it.

        Raises:
            CommandError: There is no such setting.
        """
        self._check_setting(does)
        clock = self._saw.clock
        due_us = max(from_us + round(does.after_s * US), clock.now_us)
        clock.at(due_us, partial(self._does, does), slow=True)

    def _does(self, does: Does) -> None:
        if self._lockout.second_away:
            return
        if does.verb == "press":
            self._presses(does.name)
        elif does.verb == "release":
            self._lets_go(does.name)
        else:
            self._sets(does.name, does.setting)

    def _presses(self, key: str) -> None:
        answer = self._saw.press(key)
        if key in self._saw.held:
            self.held.add(key)
        if answer is not None and not answer.accepted:
            self._told(_CANNOT(who=self.who, why=answer.sentence))
        else:
            self._told(_PRESSES(who=self.who, pressed=key))

    def _lets_go(self, key: str) -> None:
        self.held.discard(key)
        self._saw.release(key)
        self._told(_LETS_GO(who=self.who, pressed=key))

    def _sets(self, point: str, setting: str) -> None:
        blocked = self._saw.blocked(point, setting)
        if blocked:
            self._told(_CANNOT(who=self.who, why=blocked))
            return
        self._saw.set(point, setting)
        set_it = told.in_words(told.SET_TO(name=point, setting=self._saw.read(point)))
        self._told(_SETS(who=self.who, set_it=set_it))

    def _told(self, said: Message) -> Message:
        self._tells(said)
        return said
