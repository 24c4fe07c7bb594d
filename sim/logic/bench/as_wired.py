"""The wiring of a saw as it stands now: its contacts, what is on, what has failed, as a network of resistances.

Every contact stands as the thing does that moves it: a switch or a sensor by what drives its wire, a
contactor by its coil, the safety relay by its two relays. So the network and the controller read the same
saw, and tests hold what arrives at a card to the image of the controller.

Never here: what a meter makes of it (see `meter`).
"""

from collections.abc import Mapping
from functools import lru_cache
from typing import Final

from sim.plant.power import MAIN, MOTORS, VARIATOR
from sim.saw import Saw
from sim.signals import OUTPUTS
from sim.wiring.circuit import PHASES, State, circuit
from sim.wiring.failures import Failure, wounds
from sim.wiring.loom import Is, Loom, WiredContact, WiredDevice
from sim.wiring.network import Network, Volts

_CONTACTORS: Final = (*MOTORS, *VARIATOR)


def stands(saw: Saw) -> State:
    """Return how the contacts and outputs of a saw stand."""
    power, bus, harness = saw.plant.power, saw.bus, saw.plant.harness

    def pulled(tag: str) -> bool:
        if tag in MAIN:
            return power.pulled_in(tag)
        stuck = saw.plant.seized(tag) if tag in _CONTACTORS else None
        return (bus.seen[tag] and power.coil_fed(tag)) if stuck is None else stuck

    def closed(device: WiredDevice, contact: WiredContact) -> bool:
        if device.what in (Is.CONTACTOR, Is.RELAY):
            return pulled(device.tag) is not contact.closed_at_rest
        if device.what is Is.SAFETY_RELAY:
            return power.switched is not contact.closed_at_rest
        if device.what is Is.FUSE:
            return device.tag != "F24" or power.fuse_24
        if device.heats(contact):
            return True
        return bus.driven(device.tag)

    def on(tag: str) -> bool:
        return bus.forced.get(tag, bus.driven(tag))

    lost = power.phase_lost and not harness.loses_phase
    return State(closed, on, PHASES[:-1] if lost else PHASES)


def as_wired(saw: Saw) -> tuple[Network, Mapping[str, Volts]]:
    """Return the network of a saw as it stands, and the potential of every point that hangs on one."""
    harness, state = saw.plant.harness, stands(saw)
    closed = frozenset(
        (device.tag, contact.name) for device in harness.loom.devices
        for contact in device.contacts if state.closed(device, contact)
    )  # fmt: skip
    on = frozenset(filter(state.on, OUTPUTS))
    return _solved(harness.loom, closed, on, state.phases, harness.failures)


@lru_cache(maxsize=2048)
def _solved(
    loom: Loom,
    closed: frozenset[tuple[str, str]],
    on: frozenset[str],
    phases: tuple[str, ...],
    failures: tuple[Failure, ...],
) -> tuple[Network, Mapping[str, Volts]]:
    """Return the network of one state of a saw; many looks are made in the same."""
    state = State(lambda d, c: (d.tag, c.name) in closed, lambda tag: tag in on, phases)
    net = circuit(loom, state, wounds(loom, failures))
    return net, net.potentials()
