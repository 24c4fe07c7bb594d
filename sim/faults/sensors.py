"""Faults of sensors: a switch, or its wire, shows the controller what is not so.

A broken wire reads dead and a welded contact reads live, whatever the machine does; nothing on the
machine itself has changed. The lamp on a switch shows what the switch sends: with a broken wire it goes
on and off as it should, with a switch that is broken itself it does not.
"""

from typing import Final

from sim.faults.fault import Acts, Family, Fault, Who, fault
from sim.faults.forms import device
from sim.faults.wiring import at_contact, broken, on_path
from sim.signals import DEAD, LIVE
from sim.wiring.failures import FailureKind, Role

_BROKEN: Final = "Find the break in the wire, and make it good."
_FIT: Final = "Fit a new switch."


def _wire(name: str, tag: str, title: str, what: str, *, minutes: float = 15) -> Fault:
    return _row(
        name, f"{title} {tag}: wire broken", f"the wire from {what} is broken", _BROKEN,
        broken(on_path(FailureKind.OPEN, tag, Role.SIGNAL)), minutes,
    )  # fmt: skip


def _welded(name: str, tag: str, title: str, what: str, *, minutes: float = 20) -> Fault:
    return _row(
        name, f"{title} {tag}: contact stuck", f"the contact of {what} never opens", _FIT,
        broken(at_contact(FailureKind.WELDED, tag)), minutes, spare=tag,
    )  # fmt: skip


def _dead(name: str, tag: str, title: str, what: str, *, minutes: float = 20) -> Fault:
    return _row(
        name, f"{title} {tag}: itself dead", f"{what} sends nothing, though its wire is whole",
        "Fit a new one, and set it as the old one stood.", device(tag, DEAD), minutes, spare=tag,
    )  # fmt: skip


def _row(
    name: str, title: str, changes: str, remedy: str, acts: Acts, minutes: float, spare: str = ""
) -> Fault:
    return fault(
        name, title, Family.SENSOR, changes, remedy, Who.MAINTENANCE, minutes, spare=spare, **acts
    )


SENSOR_ROWS: Final = (
    _wire("head-up-wire", "B11", "Head-up switch", "the upper switch of the head"),
    _welded("head-up-stuck", "B11", "Head-up switch", "the upper switch of the head"),
    _wire("head-down-wire", "B12", "Head-down switch", "the lower switch of the head"),
    _welded("head-down-stuck", "B12", "Head-down switch", "the lower switch of the head"),
    _wire("back-limit-wire", "B21", "Length-stop switch", "the switch on the length stop"),
    _welded("back-limit-stuck", "B21", "Length-stop switch", "the switch on the length stop"),
    _wire("forward-limit-wire", "B22", "Shuttle-forward switch", "the switch of the forward shuttle"),
    _wire("cutting-back-wire", "B31", "Cutting-jaw switch", "the switch of the released cutting jaw"),
    _wire("cutting-clamped-wire", "B33", "Cutting-vise pressure switch", "the pressure switch of the cutting vise"),
    _welded("cutting-clamped-stuck", "B33", "Cutting-vise pressure switch", "the pressure switch of the cutting vise"),
    _wire("shuttle-clamped-wire", "B34", "Shuttle-vise pressure switch", "the pressure switch of the shuttle vise"),
    _wire("band-turns-wire", "B1", "Band-turning sensor", "the sensor that sees the band turn"),
    _wire("at-speed-wire", "B2", "Band-speed sensor", "the sensor that sees the band at speed"),
    _wire("bar-sensor-wire", "B53", "Bar sensor", "the sensor that sees bar in the shuttle vise"),
    _wire("guard-wire", "B41", "Guard switch", "the switch of the band guard"),
    _wire("tension-wire", "B51", "Tension switch", "the switch on the tension washers"),
    _wire("deviation-wire", "B52", "Deviation gauge", "the gauge that watches the band wander"),
    _wire("air-switch-wire", "B61", "Air switch", "the pressure switch of the air"),
    _wire("coolant-switch-wire", "B63", "Coolant switch", "the float switch of the coolant tank"),
    _wire("overload-wire", "F1", "Overload contact", "the contact of the overload relay"),
    _wire("trip-line-wire", "S2", "Trip-line switch", "the switch of the trip line"),
    _dead("head-up-dead", "B11", "Head-up switch", "the upper switch of the head"),
    _dead("head-down-dead", "B12", "Head-down switch", "the lower switch of the head"),
    _row(
        "head-down-held", "Head-down switch B12: held in by chips",
        "chips hold the lower switch of the head in, so it sends all the time",
        "Clear the chips from the switch, and see that it springs back.", device("B12", LIVE), 5,
    ),
    _dead("back-limit-dead", "B21", "Length-stop switch", "the switch on the length stop"),
    _dead("cutting-back-dead", "B31", "Cutting-jaw switch", "the switch of the released cutting jaw"),
    _dead("band-turns-dead", "B1", "Band-turning sensor", "the sensor that sees the band turn"),
    _dead("bar-sensor-dead", "B53", "Bar sensor", "the sensor that sees bar in the shuttle vise"),
    _dead("deviation-dead", "B52", "Deviation gauge", "the gauge that watches the band wander"),
    _dead("coolant-switch-dead", "B63", "Coolant switch", "the float switch of the coolant tank"),
    _wire("palm-key-wire", "S3", "Left palm key", "the left palm key"),
)  # fmt: skip
