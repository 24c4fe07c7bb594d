"""Faults of actuators: a coil without current, or a valve, pump or motor that ignores its coil.

A broken wire leaves the coil dead; a stuck spool leaves the coil live and the thing unmoved. The
difference can be metered.
"""

from typing import Final

from sim.faults.fault import Acts, Family, Fault, Who, fault
from sim.faults.forms import seized
from sim.faults.wiring import broken, on_path
from sim.wiring.failures import FailureKind, Role

_F, _M = Family.ACTUATOR, Who.MAINTENANCE
_BROKEN: Final = "Find the break in the wire to the coil, and make it good."
_SPOOL: Final = "Relieve the hydraulic pressure, take the valve out, clean its spool and refit it."
_OF_HEAD: Final = "Lower the head on to bed, bar or prop, relieve the lift, take the valve out, clean its spool and refit it."
_OF_VISE: Final = (
    "Chock the bar, relieve the vise, take the valve out, clean its spool and refit it."
)


def _coil_wire(tag: str) -> Acts:
    return broken(on_path(FailureKind.OPEN, tag, Role.COIL))


def _coil(name: str, tag: str, title: str, what: str) -> Fault:
    return fault(
        name, f"{title} {tag}: wire to the coil broken", _F, f"no current reaches {what}", _BROKEN,
        _M, 15, **_coil_wire(tag),
    )  # fmt: skip


def _spool(
    name: str, tag: str, title: str, what: str, *, at: bool = False, remedy: str = _SPOOL
) -> Fault:
    stuck = "open" if at else "shut"
    return fault(
        name, f"{title} {tag}: stuck {stuck}", _F, f"{what} is stuck {stuck}, whatever its coil does",
        remedy, _M, 30, spare=tag, **seized(tag, at=at),
    )  # fmt: skip


ACTUATOR_ROWS: Final = (
    _coil("raise-coil-wire", "Y11", "Head raise valve", "the coil of the valve that raises the head"),
    _spool("lower-valve-shut", "Y12", "Head lower valve", "the valve that lowers the head", remedy=_OF_HEAD),
    _spool("lower-valve-open", "Y12", "Head lower valve", "the valve that lowers the head", at=True, remedy=_OF_HEAD),
    _coil("forward-coil-wire", "Y21", "Shuttle forward valve", "the coil that drives the shuttle forward"),
    _spool("back-valve-shut", "Y22", "Shuttle back valve", "the valve that drives the shuttle back"),
    _coil("cutting-clamp-coil-wire", "Y31", "Cutting vise clamp valve", "the coil that clamps the cutting vise"),
    _coil("cutting-release-coil-wire", "Y33", "Cutting vise release valve", "the coil that releases the cutting vise"),
    _spool("cutting-release-valve-shut", "Y33", "Cutting vise release valve", "the valve that releases the cutting vise", remedy=_OF_VISE),
    _spool("shuttle-clamp-valve-shut", "Y32", "Shuttle vise clamp valve", "the valve that clamps the shuttle vise", remedy=_OF_VISE),
    _coil("shuttle-release-coil-wire", "Y34", "Shuttle vise release valve", "the coil that releases the shuttle vise"),
    fault(
        "contactor-dead", "Band contactor Q1: does not pull in", _F,
        "no current reaches the coil of the band contactor",
        "Find the break in the wire to the contactor, and make it good.",
        _M, 15, **_coil_wire("Q1"),
    ),
    fault(
        "oil-pump-coupling", "Oil pump Q2: coupling broken", _F,
        "the motor of the oil pump runs, and the pump behind its broken coupling does not",
        "Fit a new coupling to the oil pump.",
        _M, 40, **seized("Q2", at=False),
    ),
    fault(
        "coolant-pump-jammed", "Coolant pump Q3: jammed with chips", _F,
        "the impeller of the coolant pump is jammed with chips and does not turn",
        "Take the coolant pump up, and clear its impeller.",
        _M, 20, **seized("Q3", at=False),
    ),
    _coil("coolant-coil-wire", "Q3", "Coolant contactor", "the coil of the coolant pump's contactor"),
    fault(
        "variator-motor-dead", "Variator motor M2: does not run faster", _F,
        "no current reaches the variator motor in its faster direction",
        "Find the break in the wire to the variator motor, and make it good.",
        _M, 15, **_coil_wire("M2"),
    ),
)  # fmt: skip
