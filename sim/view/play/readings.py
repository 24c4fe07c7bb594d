"""What the picture reads off the model besides places: depth of the cut, load, removal, wander.

Pure looks at the plant; nothing is kept.
"""

from sim.plant.machine import Machine
from sim.session.session import Session
from sim.units import MM

MM3_S_TO_CM3_MIN = 0.06


def depth_m(session: Session) -> float:
    """Return how deep the kerf under the band is now, m."""
    plant = session.saw.plant
    here_m = _edge_depth_m(session) if plant.head.cutting else 0.0
    return min(max(plant.bar.kerf_depth_m, here_m), plant.bar.height_m)


def _edge_depth_m(session: Session) -> float:
    plant = session.saw.plant
    return min(max(plant.bar.height_m - plant.head.place.position, 0.0), plant.bar.height_m)


def load_share(session: Session) -> float:
    """Return the cutting power as a share of the motor's, 0 when nothing is cut."""
    plan = session.saw.plant.head.cutting
    if plan is None:
        return 0.0
    return plan.table.power_w(_edge_depth_m(session)) / session.machine.motor_w


def rubbed(session: Session) -> float:
    """Return the share of their way on which the teeth rub, 0 when nothing is cut: it grows as they go blunt."""
    plan = session.saw.plant.head.cutting
    return plan.teeth.rubbed if plan is not None else 0.0


def removal_mm3_s(session: Session) -> float:
    """Return how much metal is removed a second, mm3/s."""
    plan = session.saw.plant.head.cutting
    if plan is None:
        return 0.0
    at_m = _edge_depth_m(session)
    feed_m_s = plan.table.feed_m_s_at(at_m)
    return feed_m_s * plan.table.contact_m_at(at_m) * session.machine.kerf_m * 1e9


def wander_m(session: Session) -> float:
    """Return what the deviation gauge shows, m."""
    return session.saw.plant.head.sawing.wander_m


def descent_mm_min(session: Session) -> float:
    """Return how fast the head comes down, mm/min; 0 when it does not."""
    rate_m_s = session.saw.plant.head.place.rate
    return -rate_m_s / MM * 60 if rate_m_s < 0.0 else 0.0


def shuttle_edges_m(session: Session) -> tuple[float, float]:
    """Return the rear and the front edge of the shuttle's jaws along x, m."""
    machine: Machine = session.machine
    front_m = -(machine.jaw_front_m + session.saw.plant.shuttle.place.position)
    return front_m - machine.jaw_length_m, front_m
