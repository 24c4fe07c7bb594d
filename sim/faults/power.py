"""Faults of the power path: contactors, safety relay and its channels, mains, 24 V, fuses of branches."""

from typing import Final

from sim.faults.fault import Acts, Family, Fault, Who, fault
from sim.faults.wiring import at_contact, at_terminal, broken, on_path
from sim.plant.power import Power
from sim.wiring.failures import FailureKind, Role

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


def _row(
    name: str, title: str, changes: str, remedy: str, minutes: float, acts: Acts, spare: str = ""
) -> Fault:
    return fault(name, title, _F, changes, remedy, _M, minutes, spare=spare, **acts)


POWER_ROWS: Final = (
    _row("main-contactor-q11-welded", "Main contactor Q11: contacts welded",
         "the contacts of main contactor Q11 are welded together and do not open",
         "Fit a new main contactor Q11.", 40, _one_of("welded", "Q11"), "Q11"),
    _row("main-contactor-q12-welded", "Main contactor Q12: contacts welded",
         "the contacts of main contactor Q12 are welded together and do not open",
         "Fit a new main contactor Q12.", 40, _one_of("welded", "Q12"), "Q12"),
    _row("main-contactor-wire", "Main contactor Q12: wire to the coil broken",
         "no current reaches the coil of main contactor Q12",
         "Find the break in the wire to the coil, and make it good.", 20, broken(at_terminal("Q12:A1"))),
    _row("stop-contact-stuck", "Emergency stop S1: a contact of channel 2 does not open",
         "one of the two contacts of the emergency stop at the console stays closed",
         "Fit a new contact block to the emergency stop.", 20, broken(at_contact(FailureKind.WELDED, "S1", "21-22")), "S1"),
    _row("stop-channel-wire", "Emergency stop S9: wire of channel 1 broken",
         "the wire of channel 1 through the emergency stop at the infeed is broken",
         "Find the break in the wire, and make it good.", 20, broken(at_terminal("S9:12"))),
    _row("feedback-wire", "Safety relay K0: feedback loop broken",
         "the wire from the mirror contacts of the main contactors to the safety relay is broken",
         "Find the break in the wire, and make it good.", 20, broken(at_terminal("K0:Y1"))),
    _row("relay-message-wire", "Safety relay K0: wire to the controller broken",
         "the wire that tells the controller of the safety relay is broken",
         "Find the break in the wire, and make it good.", 15, broken(on_path(FailureKind.OPEN, "K0", Role.SIGNAL))),
    _row("mains-weak", "Mains too weak for the start of the band",
         "a bad joint in the mains lets the voltage fall when the motor of the band starts",
         "Have a qualified electrician find and make good the joint, with its own supply locked off: the isolator of the saw does not make the mains dead.", 45, _is_so("weak_mains", True, False)),
    _row("control-supply-weak", "Control supply G1: gives too little current",
         "the aged 24 V supply no longer gives its current, so its voltage falls under load",
         "Fit a new 24 V supply.", 30, _is_so("weak_24", True, False), "G1"),
    _row("valve-return-lost", "Valves: common 0 V wire off",
         "the common 0 V wire of the valve coils has come off its terminal",
         "Put the 0 V wire back on its terminal, and tighten it.", 15, broken(at_terminal("X39:1"))),
    _row("valve-wire-earthed", "Shuttle back valve Y22: wire touches earth",
         "the wire to the coil of the valve Y22 has chafed through and touches earth",
         "Make the wire good, lay it where nothing chafes it, and fit a new control fuse.", 30,
         broken(on_path(FailureKind.TO_0, "Y22", Role.COIL))),
    _row("clamp-wire-earthed", "Cutting vise clamp valve Y31: wire touches earth",
         "the wire to the coil of the valve Y31 has chafed through and touches earth",
         "Make the wire good, lay it where nothing chafes it, and fit a new control fuse.", 30,
         broken(on_path(FailureKind.TO_0, "Y31", Role.COIL))),
    _row("oil-pump-fuse", "Oil pump Q2: fuse 1-2 of F12 blown",
         "one of the three fuses of the oil pump's motor is blown",
         "Find what blew the fuse, and fit a new one.", 20, broken(at_contact(FailureKind.BLOWN, "F12", "1-2"))),
    _row("band-motor-fuse", "Band motor: fuse 1-2 of F11 blown",
         "one of the three fuses of the band's motor is blown",
         "Find what blew the fuse, and fit a new one.", 20, broken(at_contact(FailureKind.BLOWN, "F11", "1-2"))),
)  # fmt: skip
