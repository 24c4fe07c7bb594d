"""Faults of the power path: contactors, safety relay and its channels, mains, 24 V, fuses of branches."""

from typing import Final

from sim.faults.fault import Acts, Family, Fault, Who, fault
from sim.faults.forms import spoilt
from sim.plant.power import Power
from sim.signals import DEAD

_F, _M = Family.SUPPLY, Who.MAINTENANCE


def _is_so(name: str, bad: object, good: object) -> Acts:
    """Return the acts of one thing in the path that is bad or good."""
    return Acts(
        apply=lambda w: w.plant.power.spoil(lambda power: setattr(power, name, bad)),
        present=lambda w: getattr(w.plant.power, name) == bad,
        mend=lambda w: w.plant.power.spoil(lambda power: setattr(power, name, good)),
    )


def _one_of(name: str, tag: str) -> Acts:
    """Return the acts of one of several like things in the path."""

    def these(power: Power) -> set[str]:
        among: set[str] = getattr(power, name)
        return among

    return Acts(
        apply=lambda w: w.plant.power.spoil(lambda power: these(power).add(tag)),
        present=lambda w: tag in these(w.plant.power),
        mend=lambda w: w.plant.power.spoil(lambda power: these(power).discard(tag)),
    )


def _earthed(tag: str) -> Acts:
    """Return the acts of a wire to a coil that touches earth, and takes the control fuse with it."""
    return Acts(
        apply=lambda w: w.plant.power.spoil(lambda p: setattr(p, "grounded", tag)),
        present=lambda w: w.plant.power.grounded == tag,
        mend=lambda w: w.plant.power.spoil(lambda p: p.make_good(tag)),
    )


def _contact(stop: str, channel: int, *, closed: bool) -> Acts:
    """Return the acts of one contact of an emergency stop that stays closed, or open.

    Nobody sees one that stays closed before its stop is pressed; a saw that is found with it, K0 out, was
    last stopped there, and K0 keeps in mind that its channels differed.
    """
    contact = (stop, channel)

    def fails(power: Power) -> None:
        power.relay.spoilt[contact] = closed
        power.relay.disagreed |= closed and not power.relay.closed

    return Acts(
        apply=lambda w: w.plant.power.spoil(fails),
        present=lambda w: w.plant.power.relay.spoilt.get(contact) is closed,
        mend=lambda w: w.plant.power.spoil(lambda p: p.relay.spoilt.pop(contact, None)),
    )


def _row(name: str, title: str, changes: str, remedy: str, minutes: float, acts: Acts) -> Fault:
    return fault(name, title, _F, changes, remedy, _M, minutes, **acts)


POWER_ROWS: Final = (
    _row("main-contactor-q11-welded", "Main contactor Q11: contacts welded",
         "the contacts of main contactor Q11 are welded together and do not open",
         "Fit a new main contactor Q11.", 40, _one_of("welded", "Q11")),
    _row("main-contactor-q12-welded", "Main contactor Q12: contacts welded",
         "the contacts of main contactor Q12 are welded together and do not open",
         "Fit a new main contactor Q12.", 40, _one_of("welded", "Q12")),
    _row("main-contactor-wire", "Main contactor Q12: wire to the coil broken",
         "no current reaches the coil of main contactor Q12",
         "Find the break in the wire to the coil, and make it good.", 20, _one_of("dead_coils", "Q12")),
    _row("stop-contact-stuck", "Emergency stop S1: a contact of channel 2 does not open",
         "one of the two contacts of the emergency stop at the console stays closed",
         "Fit a new contact block to the emergency stop.", 20, _contact("S1", 2, closed=True)),
    _row("stop-channel-wire", "Emergency stop S9: wire of channel 1 broken",
         "the wire of channel 1 through the emergency stop at the infeed is broken",
         "Find the break in the wire, and make it good.", 20, _contact("S9", 1, closed=False)),
    _row("feedback-wire", "Safety relay K0: feedback loop broken",
         "the wire from the mirror contacts of the main contactors to the safety relay is broken",
         "Find the break in the wire, and make it good.", 20, _is_so("loop_broken", True, False)),
    _row("relay-message-wire", "Safety relay K0: wire to the controller broken",
         "the wire that tells the controller of the safety relay is broken",
         "Find the break in the wire, and make it good.", 15, spoilt("K0", DEAD)),
    _row("mains-weak", "Mains too weak for the start of the band",
         "a bad joint in the mains lets the voltage fall when the motor of the band starts",
         "Have a qualified electrician find and make good the joint, with its own supply locked off: the isolator of the saw does not make the mains dead.", 45, _is_so("weak_mains", True, False)),
    _row("control-supply-weak", "Control supply G1: gives too little current",
         "the aged 24 V supply no longer gives its current, so its voltage falls under load",
         "Fit a new 24 V supply.", 30, _is_so("weak_24", True, False)),
    _row("valve-return-lost", "Valves: common 0 V wire off",
         "the common 0 V wire of the valve coils has come off its terminal",
         "Put the 0 V wire back on its terminal, and tighten it.", 15, _is_so("no_return", True, False)),
    _row("valve-wire-earthed", "Shuttle back valve Y22: wire touches earth",
         "the wire to the coil of the valve Y22 has chafed through and touches earth",
         "Make the wire good, lay it where nothing chafes it, and fit a new control fuse.", 30,
         _earthed("Y22")),
    _row("clamp-wire-earthed", "Cutting vise clamp valve Y31: wire touches earth",
         "the wire to the coil of the valve Y31 has chafed through and touches earth",
         "Make the wire good, lay it where nothing chafes it, and fit a new control fuse.", 30,
         _earthed("Y31")),
    _row("oil-pump-fuse", "Oil pump Q2: one motor fuse blown",
         "one of the three fuses of the oil pump's motor is blown",
         "Find what blew the fuse, and fit a new one.", 20, _one_of("blown", "Q2")),
    _row("band-motor-fuse", "Band motor: one motor fuse blown",
         "one of the three fuses of the band's motor is blown",
         "Find what blew the fuse, and fit a new one.", 20, _one_of("blown", "Q1")),
)  # fmt: skip
